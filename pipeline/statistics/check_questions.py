"""What the search for check questions looks at: the first errors of the class and its questions."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any, NamedTuple

import pandas as pd

from pipeline.fingerprints import fingerprint
from pipeline.records import OwnPattern, whole_problem
from pipeline.statistics.next_lesson import MADE
from pipeline.tagging.telling_apart import CourseQuestion, Wanted, check_questions

FIRST = 3
"""Errors, from the top of the order, that questions are looked for."""
OTHERS = 6
"""Commonest other errors that an answer is told from."""
MOST = 12
"""Questions of the course that the search begins with, new ones and asked ones."""


class _Course(NamedTuple):
    """What the search looks at, whatever the error."""

    items: list[dict[Any, Any]]
    met: frozenset[tuple[str, str]]
    own: tuple[OwnPattern, ...]
    program: str
    before: pd.DataFrame


def questions_to_check(
    read: Callable[[str], pd.DataFrame], ranking: pd.DataFrame, laid: pd.DataFrame, main: str
) -> pd.DataFrame:
    """Find questions that tell the first errors of a class from others.

    Args:
        read: gives tables by name.
        ranking: what `rank_lessons` returns.
        laid: answers laid to errors of the term of the ranking: rows by pattern, columns by item.
        main: the setting that pages are about.

    Returns:
        The columns of `computed.check_question`. What was found before is kept where all that the
        search looks at is as it was.
    """
    made = ranking[ranking["recent_rate"] * ranking["opportunities"] >= MADE]
    made = made[made["setting"] == main].sort_values("rank")
    course, came = _course(read), _explanations(read, main, ranking)
    found = []
    for row in made.head(FIRST).to_dict("records"):
        others = made[made["pattern"] != row["pattern"]].nlargest(OTHERS, "recent_rate")
        rivals = _rivals(came, set(row["members"]))
        likely = dict.fromkeys([*sorted(others["members"].explode()), *rivals])
        wanted = Wanted(tuple(row["members"]), tuple(likely))
        mine = laid[laid.index.get_level_values("pattern") == row["pattern"]].sum()
        part = _searched(course, wanted, _questions(course, set(mine.index[mine >= MADE])))
        found.append(part.assign(term=row["term"], setting=main, pattern=row["pattern"]))
    return pd.concat(found, ignore_index=True) if found else pd.DataFrame()


def _explanations(
    read: Callable[[str], pd.DataFrame], main: str, ranking: pd.DataFrame
) -> pd.DataFrame:
    """Answers of a setting of the current term with each error that leads there alone."""
    wrong, known = read("staging.wrong_value"), read("store.candidate")
    here = (wrong["setting"] == main) & wrong["term"].isin(ranking["term"]) & ~wrong["if_meant"]
    single = (known["faults"].map(len) == 1) & ~known["general"].astype(bool)
    return known[single & known["examined"].isin(wrong.loc[here, "examined"])]


def _rivals(came: pd.DataFrame, error: set[str]) -> list[str]:
    """Other errors that lead to an answer which the error leads to."""
    shared = came["examined"].isin(came.loc[came["pattern"].isin(error), "examined"])
    return sorted(set(came.loc[shared, "pattern"]) - error)


def _course(read: Callable[[str], pd.DataFrame]) -> _Course:
    items = read("store.item").sort_values("position").drop_duplicates("item", keep="last")
    met = read("staging.question")[["task", "problem"]].dropna()
    own = read("store.pattern").dropna(subset=["formulas"]).sort_values("position")
    return _Course(
        items[(items["place"] == "task") & items["problem"].notna()].to_dict("records"),
        frozenset(met.itertuples(index=False, name=None)),
        tuple(
            OwnPattern(row["pattern"], row["sentence"], row["tasks"][0], tuple(row["formulas"]))
            for row in own.to_dict("records")
        ),
        str(read("store.course")["program"].iloc[0]),
        read("computed.check_question"),
    )


def _questions(course: _Course, came: set[Any]) -> tuple[CourseQuestion, ...]:
    """Questions of the topics and tasks in which an error came: new ones, then those it came on.

    A question is new while no answer to its problem came.
    """
    shown = [row for row in course.items if row["item"] in came]
    alike = {(row["topic"], row["task"]) for row in shown}
    problems = {problem for _, problem in course.met}
    new = [
        row
        for row in course.items
        if (row["topic"], row["task"]) in alike and row["problem"] not in problems
    ]
    both = [(row, False) for row in new[:MOST]] + [(row, True) for row in shown[:MOST]]
    return tuple(_question(*pair) for pair in both)


def _question(row: dict[Any, Any], asked: bool) -> CourseQuestion:
    said = json.loads(row["record"])
    return CourseQuestion(
        item=row["item"],
        task=row["task"],
        problem=whole_problem(row["problem"], said["asked"], said["keep"]),
        key=said["answer"],
        numbers=row["numbers"],
        asked=asked,
    )


def _searched(
    course: _Course, wanted: Wanted, questions: tuple[CourseQuestion, ...]
) -> pd.DataFrame:
    """What the search finds, or found before when it looked at the same."""
    tasks = {one.task for one in questions}
    met = tuple(sorted({problem for task, problem in course.met if task in tasks}))
    looked_at = (wanted, questions, met, course.own, course.program)
    made_from = fingerprint(repr(looked_at))
    known = course.before[course.before["made_from"] == made_from]
    if len(known):
        return known
    found = check_questions(wanted, questions, frozenset(met), course.own)
    rows = [
        {
            "place": place,
            "item": one.item,
            "task": one.task,
            "problem": one.problem,
            "standing": one.standing,
            "typed": [meaning.answer for meaning in one.meanings],
            "meanings": [" / ".join(meaning.errors) for meaning in one.meanings],
        }
        for place, one in enumerate(found, 1)
    ]
    return pd.DataFrame(rows).assign(made_from=made_from)
