"""The search for unnamed wrong rules over a course: what is looked at, and what is kept."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from functools import partial
from typing import Any, Final

import pandas as pd

from pipeline.discovery.evidence import (
    FEWEST_ALIKE,
    FEWEST_QUESTIONS,
    LEVEL,
    Asked,
    Given,
    Proposal,
    kinds_of,
    proposals,
    told,
)
from pipeline.errors import UnreadableProblem
from pipeline.exact.values import value_words
from pipeline.fingerprints import fingerprint, source_texts
from pipeline.procedures.endings import comparable_value
from pipeline.procedures.other_steps import OtherStep, other_step
from pipeline.records import Request
from pipeline.run.workers import workers
from pipeline.tagging.questions import question_of, read_as_asked
from pipeline.tasks.catalogue import TASKS, plans, read_problem
from pipeline.warehouse import Warehouse

MOST_LOOKED_AT, MOST_OF_KIND, MOST_KINDS = 80, 8, 4
"""Questions of a task that are searched, those with the most unexplained answers first."""
AS_MANY_ANSWERS: Final = 250
"""Answers that take as long to judge as one task takes to search."""
_QUESTION: Final = ["task", "problem", "numbers"]


def find_proposals(warehouse: Warehouse, refused: frozenset[str], say: Any) -> None:
    """Fill `computed.proposal`; a task is searched again where its answers have changed.

    Args:
        warehouse: the database that is being built, its answers shared among errors.
        refused: rules that a person has turned down.
        say: told what is being done.
    """
    for name in ("main.tags", "staging.unexplained_value", "staging.explained_value"):
        warehouse.make(name)
    explained = warehouse.frame("staging.explained_value")
    chosen = {
        task: (rows, explained.merge(rows[_QUESTION].drop_duplicates()))
        for task, rows in chosen_answers(warehouse.frame("staging.unexplained_value")).items()
    }
    texts = source_texts(*(f"pipeline/{name}" for name in ("discovery", "procedures", "exact")))
    program = fingerprint(*texts)
    made_from = {
        task: fingerprint(
            *(one.to_csv(index=False) for one in mine), str(len(chosen)), *sorted(refused), program
        )
        for task, mine in chosen.items()
    }
    before = warehouse.frame("computed.searched_task")
    known = dict(zip(before["task"], before["made_from"], strict=True))
    led = warehouse.frame("computed.led_to")
    led = led[led["task"].isin(before.loc[before["program"] == program, "task"])]
    new = {task: mine for task, mine in chosen.items() if known.get(task) != made_from[task]}
    if not new and known.keys() == chosen.keys():
        return
    say("looking for errors that nobody has named", None)
    with workers(len(new) * AS_MANY_ANSWERS) as run_map:
        work = partial(_proposed, refused=refused, level=LEVEL / max(len(chosen), 1))
        parts = [(*mine, led[led["task"] == task]) for task, mine in new.items()]
        searched = list(run_map(work, parts))
    found = [row for rows, _ in searched for row in rows]
    stands = warehouse.frame("computed.proposal").to_dict("records")
    found += [row for row in stands if row["task"] in chosen and row["task"] not in new]
    found.sort(key=lambda row: (-row["answers"], row["task"], row["rule"]))
    for position, row in enumerate(found, 1):
        row["position"] = position
    warehouse.put("computed.proposal", pd.DataFrame(found))
    kept = led[led["task"].isin(chosen.keys() - new.keys())]
    warehouse.put("computed.led_to", pd.concat([kept, *(mine for _, mine in searched)]))
    tasks = pd.DataFrame(made_from.items(), columns=["task", "made_from"])
    warehouse.put("computed.searched_task", tasks.assign(program=program))


def chosen_answers(rows: pd.DataFrame) -> dict[str, pd.DataFrame]:
    """The answers that are looked at, by task: enough questions, the fullest of each kind."""
    alike = rows.groupby([*_QUESTION, "value_key"], dropna=False)["student"].transform("nunique")
    rows = rows[(alike >= FEWEST_ALIKE) & rows["task"].isin(TASKS)]
    sizes = rows.groupby(_QUESTION, as_index=False).agg({"answers": "sum"})
    sizes = sizes.sort_values(["answers", *_QUESTION], ascending=[False, True, True, True])
    sizes = sizes.groupby("task").head(MOST_LOOKED_AT)
    ways = [_ways(*row) for row in zip(sizes["task"], sizes["problem"], strict=True)]
    sizes["kind"] = kinds_of(ways)
    sizes = sizes[pd.Series(ways, sizes.index, object).astype(bool)]
    sizes = sizes[sizes.groupby(["task", "kind"]).cumcount() < MOST_OF_KIND]
    kinds = sizes.drop_duplicates(["task", "kind"])
    kinds = kinds[kinds.groupby("task").cumcount() < MOST_KINDS]
    sizes = sizes.merge(kinds[["task", "kind"]])
    sizes = sizes[sizes.groupby("task")["task"].transform("size") >= FEWEST_QUESTIONS]
    rows = rows.merge(sizes[[*_QUESTION, "kind"]], on=_QUESTION)
    rows = rows.sort_values([*_QUESTION, "value_key", "student"], ignore_index=True)
    return {str(task): mine for task, mine in rows.groupby("task")}


def _ways(task: str, problem: str) -> frozenset[str]:
    """The ways in which a question of a task is worked; none where it cannot be read."""
    try:
        return frozenset(f"{task}: {plan.name}" for plan in plans(read_problem(problem, task)))
    except UnreadableProblem:
        return frozenset()


def _proposed(
    looked_at: tuple[pd.DataFrame, ...], refused: frozenset[str], level: float
) -> tuple[list[dict[str, Any]], pd.DataFrame]:
    """The proposals of a task, and which rules lead to its answers.

    Looked at are answers that nothing explains, those that are explained, and rules found before.
    """
    rows, explained, before = looked_at
    rows = rows.assign(student=pd.factorize(rows["student"], sort=True)[0])
    values = explained.groupby(_QUESTION)["value"].agg(tuple).to_dict()
    asked = [_asked(mine, values.get(question, ())) for question, mine in rows.groupby(_QUESTION)]
    led = {
        tuple(place): frozenset(map(_rule, rules))
        for _, *place, rules in before.itertuples(index=False)
    }
    found = [one for one in proposals(asked, level, led=led) if str(one.rule) not in refused]
    told = [(asked[0].task, *place, sorted(map(str, some))) for place, some in led.items()]
    return [_row(one) for one in found], pd.DataFrame(told, columns=list(before))


def _rule(text: str) -> OtherStep:
    return other_step(text) or OtherStep("", "", (text,))


def _asked(rows: pd.DataFrame, explained: Sequence[str]) -> Asked:
    task, problem, numbers, kind = rows.iloc[0][[*_QUESTION, "kind"]]
    question = partial(Request, task, problem, numbers=numbers)
    given: dict[Hashable, Given] = {}
    for key, mine in rows.groupby("value_key"):
        ending, words = _ending_of(question(str(mine["value"].iloc[0])))
        if ending is not None:
            same = given.get(ending, Given(0, frozenset(), words, key=str(key)))
            given[ending] = same._replace(
                answers=same.answers + int(mine["answers"].sum()),
                students=same.students | frozenset(mine["student"].tolist()),
                known={**same.known, **mine["known"].iloc[0]},
            )
    others = {_ending_of(question(value))[0] for value in explained} - given.keys()
    return Asked(task, problem, numbers, kind, given, frozenset(others))


def _ending_of(request: Request) -> tuple[Hashable | None, str]:
    """The comparable form of a stored value, and its words; None where it has none."""
    readings = read_as_asked(request, question_of(request)).readings
    if not readings:
        return None, ""
    return comparable_value(readings[0].value), value_words(readings[0].value)


def _row(one: Proposal) -> dict[str, Any]:
    examples = one.hits[:2]
    return {
        "task": one.hits[0][0].task,
        "rule": str(one.rule),
        "answers": one.answers,
        "students": one.students,
        "questions": len(one.hits),
        "by_noise": one.by_noise,
        "example_problems": [asked.problem for asked, _ in examples],
        "example_answers": [asked.given[ends[0]].words for asked, ends in examples],
        **told(one),
    }
