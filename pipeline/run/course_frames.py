"""A course's facts and the catalogue of error patterns as the frames of the schema `store`."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from importlib.resources import files
from typing import Any, Final

import pandas as pd

from pipeline.course import Course, Term
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
        "store.term": _frame(course.terms, _term),
        "store.week": pd.DataFrame([row for term in course.terms for row in _weeks(term)]),
        "store.topic": _frame(course.topics, _topic),
        "store.outcome": _frame(course.outcomes, _outcome),
        "store.lesson": _lessons(course),
        "store.item": _frame(course.items, _item),
        "store.default_used": pd.DataFrame({"sentence": list(course.defaults)}, dtype="object"),
    }


def _frame(records: tuple[Any, ...], row: Callable[[Any], dict[str, Any]]) -> pd.DataFrame:
    rows = [{**row(record), "position": place} for place, record in enumerate(records, start=1)]
    return pd.DataFrame(rows)


def _term(term: Term) -> dict[str, Any]:
    last = term.last_day if term.first_day else None
    return {
        "term": term.id,
        "title": term.title,
        "first_day": term.first_day,
        "last_day": last,
        "weeks": term.weeks,
    }


def _weeks(term: Term) -> list[dict[str, Any]]:
    if not term.first_day:
        return []
    rows = []
    for week in range(1, term.weeks + 1):
        first, last = term.week_days(week)
        rows.append({"term": term.id, "week": week, "first_day": first, "last_day": last})
    return rows


def _topic(topic: Any) -> dict[str, Any]:
    return {
        "topic": topic.id,
        "title": topic.title,
        "first_week": topic.first_week,
        "outcome": topic.outcome,
        "needs": list(topic.needs),
        "weight": topic.weight,
    }


def _outcome(outcome: Any) -> dict[str, Any]:
    return {
        "outcome": outcome.id,
        "statement": outcome.statement,
        "target": outcome.target,
        "bar": outcome.bar,
        "evidence": list(outcome.evidence),
        "attempt": outcome.attempt,
        "fewest": outcome.fewest,
    }


def _item(item: Any) -> dict[str, Any]:
    return {
        "item": item.id,
        "item_from": item.start,
        "topic": item.topic,
        "place": item.place,
        "task": item.task,
        "problem": item.problem,
        "key": item.answer,
        "form": item.form,
        "numbers": item.numbers,
        "outcome": item.outcome,
        "options": json.dumps([option.text for option in item.options]),
        "quiz": item.quiz,
        "week": item.week,
        "method": item.method,
        "follows": item.follows,
        "same": item.same,
        "record": record_of(item),
        "listed": item.line > 0,
    }


def _lessons(course: Course) -> pd.DataFrame:
    rows = []
    for place, lesson in enumerate(course.lessons, start=1):
        term = next((t for t in course.terms if lesson.date in t), None)
        rows.append(
            {
                "lesson": f"lesson-{place:02}",
                "term": term.id if term else None,
                "day": lesson.date,
                "week": term.week_of(lesson.date) if term else None,
                "title": lesson.title,
                "topics": list(lesson.topics),
                "patterns": list(lesson.patterns),
                "sections": list(lesson.sections),
            }
        )
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
