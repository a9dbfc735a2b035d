"""A course's facts and the catalogue of error patterns as the frames of the schema `store`."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import fields, replace
from importlib.resources import files
from typing import Any, Final

import pandas as pd

from pipeline.course import Course, Item, Term
from pipeline.exact.values import value_words
from pipeline.patterns.catalogue import catalogue
from pipeline.patterns.registry import Pattern
from pipeline.records import OwnPattern
from pipeline.run.versions import record_of
from pipeline.tagging.own_patterns import own_predictions
from pipeline.tagging.questions import question_of


def course_frames(course: Course) -> dict[str, pd.DataFrame]:
    """Lay out terms, weeks, topics, outcomes, lessons, items and defaults.

    Args:
        course: with its terms settled.

    Returns:
        Frames by the name of the table that they fill.
    """
    return {
        "store.term": _frame(map(_term, course.terms)),
        "store.week": pd.DataFrame([row for term in course.terms for row in _weeks(term)]),
        "store.topic": _frame(_row(one, id="topic") for one in course.topics),
        "store.outcome": _frame(_row(one, id="outcome") for one in course.outcomes),
        "store.lesson": _lessons(course),
        "store.item": _frame(map(_item, course.items)),
        "store.default_used": pd.DataFrame({"sentence": list(course.defaults)}, dtype="object"),
    }


def _frame(rows: Iterable[dict[str, Any]]) -> pd.DataFrame:
    return pd.DataFrame([row | {"position": place} for place, row in enumerate(rows, start=1)])


def _term(term: Term) -> dict[str, Any]:
    last = term.last_day if term.first_day else None
    return {**_row(term, ("breaks",), id="term"), "last_day": last}


def _weeks(term: Term) -> list[dict[str, Any]]:
    if not term.first_day:
        return []
    rows = []
    for week in range(1, term.weeks + 1):
        first, last = term.week_days(week)
        rows.append({"term": term.id, "week": week, "first_day": first, "last_day": last})
    return rows


def _row(record: Any, left_out: tuple[str, ...] = (), **names: str) -> dict[str, Any]:
    """The fields of a record, some under the names that the database has for them."""
    told = {one.name: getattr(record, one.name) for one in fields(record)}
    return {
        names.get(name, name): list(value) if isinstance(value, tuple) else value
        for name, value in told.items()
        if name not in left_out
    }


def _item(item: Item) -> dict[str, Any]:
    said_in_record = ("correction", "asked", "keep", "template", "wording", "line")
    return {
        **_row(item, said_in_record, id="item", start="item_from", answer="key"),
        "place": item.place,
        "options": json.dumps([option.text for option in item.options]),
        "record": record_of(item),
        "listed": item.line > 0,
    }


def _lessons(course: Course) -> pd.DataFrame:
    rows = []
    for place, lesson in enumerate(course.lessons, start=1):
        term = next((t for t in course.terms if lesson.date in t), None)
        when = {"term": term.id, "week": term.week_of(lesson.date)} if term else {"term": None}
        rows.append({"lesson": f"lesson-{place:02}", **when, **_row(lesson, date="day")})
    return pd.DataFrame(rows)


WORKED_EXAMPLES: Final = files("pipeline.patterns").joinpath("worked_examples.json")
"""Pattern -> its worked example; written with the catalogue page, since working takes long."""


def catalogue_frame(course: Course) -> pd.DataFrame:
    """The catalogue, and the course's own patterns after it, for `store.pattern`.

    Args:
        course: declares its own patterns.
    """
    examples = json.loads(WORKED_EXAMPLES.read_text("utf-8"))
    rows = [_declared(one) | examples.get(one.id, {}) for one in catalogue()]
    rows += [
        {"pattern": own.id, "skill": own.skill, "sentence": own.sentence,
         "source": own.source or "this course", "tasks": [own.task], "general": False,
         "formulas": list(own.wrong),
         **_own_example(own, course)}
        for own in course.patterns
    ]  # fmt: skip
    frame = pd.DataFrame(rows)
    return frame.assign(position=range(1, len(frame) + 1))


def _declared(one: Pattern) -> dict[str, Any]:
    return {
        "pattern": one.id,
        "skill": one.skill,
        "sentence": one.sentence,
        "source": one.source,
        "tasks": list(one.tasks),
        "general": one.general,
    }


def _own_example(own: OwnPattern, course: Course) -> dict[str, Any]:
    """The first question of the course that can show an own pattern."""
    for item in course.items:
        if item.task != own.task:
            continue
        request = item.request()
        for one in own_predictions((own,), request):
            right = question_of(replace(request, task="judge" if item.answer else item.task)).right
            return {
                "example_task": own.task,
                "example_problem": item.problem,
                "example_wrong": value_words(one.value).replace("−", "-"),
                "example_right": value_words(right.value) if right else None,
            }
    return {}
