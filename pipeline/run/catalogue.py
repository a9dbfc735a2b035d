"""The catalogue of error patterns as a frame, each with one worked example."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pandas as pd

from pipeline.course import Course
from pipeline.exact.values import value_words
from pipeline.patterns.catalogue import catalogue
from pipeline.patterns.registry import Pattern
from pipeline.records import OwnPattern, Request
from pipeline.tagging.own_patterns import own_predictions
from pipeline.tagging.questions import question_of
from pipeline.tagging.showing import worked

__all__ = ["catalogue_frame"]


def catalogue_frame(course: Course, known: pd.DataFrame | None = None) -> pd.DataFrame:
    """The catalogue, and the course's own patterns after it, for `store.pattern`.

    Args:
        course: declares its own patterns.
        known: rows of an earlier run under the same rules; working out examples takes long.
    """
    rows = _known(known, {one.id for one in catalogue()}) if known is not None else None
    if rows is None:
        rows = list(_rows_of_catalogue())
    rows += [
        {"pattern": own.id, "skill": own.skill, "sentence": own.sentence,
         "source": own.source or "this course", "tasks": [own.task], "general": False,
         "formulas": list(own.wrong),
         **_own_example(own, course)}
        for own in course.patterns
    ]  # fmt: skip
    frame = pd.DataFrame(rows)
    return frame.assign(position=range(1, len(frame) + 1))


def _known(known: pd.DataFrame, ids: set[str]) -> list[dict[Any, Any]] | None:
    mine = known[known["pattern"].isin(ids)].sort_values("position")
    plain = mine.astype(object).where(mine.notna(), None)
    return plain.to_dict("records") if set(mine["pattern"]) == ids else None


@cache  # examples are worked step by step, the same for every course
def _rows_of_catalogue() -> tuple[dict[Any, Any], ...]:
    return tuple(map(_declared, catalogue()))


def _declared(one: Pattern) -> dict[Any, Any]:
    return {
        "pattern": one.id,
        "skill": one.skill,
        "sentence": one.sentence,
        "source": one.source,
        "tasks": list(one.tasks),
        "general": one.general,
        **_example(one),
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


def _example(pattern: Pattern) -> dict[str, Any]:
    """The first example whose working can be printed, else the first of all."""
    if not pattern.shows:
        return {}
    lines = worked(pattern)
    same = [one for one in pattern.shows if lines is not None and one.problem == lines.problem]
    shown = (same or list(pattern.shows))[0]
    right = question_of(Request(shown.task, shown.problem, "")).right
    return {
        "example_task": shown.task,
        "example_problem": shown.problem,
        "example_wrong": shown.answer,
        "example_right": value_words(right.value) if right else None,
        "example_wrong_work": list(lines.wrong) if lines else None,
        "example_right_work": list(lines.right) if lines else None,
    }
