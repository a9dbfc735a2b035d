"""The search for unnamed wrong rules over a course: what is looked at, and what is kept."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any, Final, NamedTuple

import pandas as pd
from scipy.stats import false_discovery_control

from pipeline.discovery.evidence import (
    FEWEST_ALIKE,
    FEWEST_QUESTIONS,
    LEVEL,
    Asked,
    Given,
    Proposal,
    proposals,
)
from pipeline.discovery.readings import told
from pipeline.discovery.search import Reached, endings_by_rules, reached
from pipeline.errors import UnreadableProblem
from pipeline.exact.values import value_words
from pipeline.fingerprints import fingerprint, source_texts
from pipeline.procedures.endings import comparable_value
from pipeline.reading.problems import read_problem
from pipeline.records import Numbers, Request
from pipeline.run.workers import workers
from pipeline.tagging.questions import question_of, read_as_asked
from pipeline.tasks.catalogue import TASKS, plans
from pipeline.warehouse import Warehouse

__all__ = ["find_proposals"]

MOST_OF_KIND, MOST_OF_TASK = 6, 10
"""Questions that are searched, those with the most unexplained answers first."""
AS_MANY_ANSWERS: Final = 250
"""Answers that take as long to judge as one question takes to search."""


class _Pool(NamedTuple):
    """A question with its unexplained answers, and these in words."""

    task: str
    problem: str
    numbers: Numbers
    kind: tuple[str, ...]
    given: dict[Hashable, Given]
    words: dict[Hashable, str]

    @property
    def size(self) -> int:
        return sum(len(one.students) for one in self.given.values())


def find_proposals(warehouse: Warehouse, refused: frozenset[str], say: Any) -> None:
    """Fill `computed.proposal`, unless it was made from the same.

    Args:
        warehouse: the database that is being built, its answers shared among errors.
        refused: rules that a person has turned down.
        say: told what is being done.
    """
    for name in ("main.tags", "staging.unexplained_value"):
        warehouse.make(name)
    rows = warehouse.frame("staging.unexplained_value")
    texts = source_texts(*(f"pipeline/{name}" for name in ("discovery", "procedures", "exact")))
    made_from = fingerprint(rows.to_csv(index=False), *sorted(refused), *texts)
    before = warehouse.frame("computed.proposal")
    if len(before) and set(before["made_from"]) == {made_from}:
        return
    chosen = _chosen(rows)
    if chosen:
        say("looking for errors that nobody has named", None)
    found = _proposed(chosen)
    kept = [one for one in found if one["rule"] not in refused]
    table = pd.DataFrame(kept).assign(made_from=made_from) if kept else pd.DataFrame()
    if kept:
        table["position"] = range(1, len(table) + 1)
    warehouse.put("computed.proposal", table)


def _chosen(rows: pd.DataFrame) -> list[_Pool]:
    """The questions that are searched: enough of a task, the fullest of each kind."""
    alike = rows.groupby(["task", "problem", "numbers", "value_key"], dropna=False)["student"]
    rows = rows[(alike.transform("nunique") >= FEWEST_ALIKE) & rows["task"].isin(TASKS)]
    rows = rows.assign(student=pd.factorize(rows["student"], sort=True)[0])
    pools = [
        pool
        for (task, problem, numbers), mine in rows.groupby(["task", "problem", "numbers"])
        if (pool := _pool(str(task), str(problem), str(numbers), mine)) is not None
    ]
    pools.sort(key=lambda one: (-one.size, one.task, one.problem))
    kept: list[_Pool] = []
    for one in pools:
        alike_kept = [other for other in kept if other.task == one.task]
        of_kind = sum(other.kind == one.kind for other in alike_kept)
        if len(alike_kept) < MOST_OF_TASK and of_kind < MOST_OF_KIND:
            kept.append(one)
    tasks = [one.task for one in kept]
    return [one for one in kept if tasks.count(one.task) >= FEWEST_QUESTIONS]


def _pool(task: str, problem: str, numbers: Any, rows: pd.DataFrame) -> _Pool | None:
    given: dict[Hashable, Given] = {}
    words: dict[Hashable, str] = {}
    try:
        kind = tuple(plan.name for plan in plans(read_problem(problem, task)))
    except UnreadableProblem:
        return None
    for value, mine in rows.groupby("value"):
        request = Request(task, problem, str(value), numbers=numbers)
        readings = read_as_asked(request, question_of(request)).readings
        ending = comparable_value(readings[0].value) if readings else None
        if ending is not None:
            given[ending] = Given(int(mine["answers"].sum()), frozenset(mine["student"].tolist()))
            words[ending] = value_words(readings[0].value)
    return _Pool(task, problem, numbers, kind, given, words) if given and kind else None


def _searched(asked: tuple[str, str, Numbers, frozenset[Hashable]]) -> Reached:
    task, problem, numbers, wanted = asked
    return reached(endings_by_rules(read_problem(problem, task), numbers), wanted)


def _proposed(chosen: list[_Pool]) -> list[dict[str, Any]]:
    """The proposals of all tasks, at a false discovery rate of 5 %; most answers first."""
    wanted = {
        task: frozenset().union(*(one.given for one in chosen if one.task == task))
        for task in {one.task for one in chosen}
    }
    searched = [(one.task, one.problem, one.numbers, wanted[one.task]) for one in chosen]
    with workers(len(chosen) * AS_MANY_ANSWERS) as run_map:
        leads = list(run_map(_searched, searched))
    asked = [
        Asked(one.task, one.problem, one.numbers, one.kind, one.given, lead)
        for one, lead in zip(chosen, leads, strict=True)
    ]
    by_task = {task: proposals([one for one in asked if one.task == task]) for task in wanted}
    found = [one for task in sorted(by_task) for one in by_task[task]]
    if not found:
        return []
    silent = [1.0 for some in by_task.values() if not some]
    adjusted = false_discovery_control([*(one.by_noise for one in found), *silent])
    words = {(one.task, one.problem): one.words for one in chosen}
    rows = [
        _row(one, words) for one, chance in zip(found, adjusted, strict=False) if chance <= LEVEL
    ]
    return sorted(rows, key=lambda row: (-row["answers"], row["task"], row["rule"]))


def _row(one: Proposal, words: dict[tuple[str, str], dict[Hashable, str]]) -> dict[str, Any]:
    says = told(one)
    examples = one.hits[:2]
    return {
        "task": one.hits[0][0].task,
        "rule": says.rule,
        "what": says.what,
        "answers": one.answers,
        "students": one.students,
        "questions": len(one.hits),
        "by_noise": one.by_noise,
        "readings": list(says.readings),
        "decided_by": says.decided_by,
        "example_problems": [asked.problem for asked, _ in examples],
        "example_answers": [words[asked.task, asked.problem][ends[0]] for asked, ends in examples],
    }
