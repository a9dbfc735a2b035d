"""A course's facts as the frames of the schema `store`."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pandas as pd

from pipeline.course import Course, Term
from pipeline.run.removed_questions import record_of


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
