"""The catalogue of error patterns as a frame, each with one worked example."""

from __future__ import annotations

import json
from dataclasses import replace
from importlib.resources import files
from typing import Any, Final

import pandas as pd

from pipeline.course import Course
from pipeline.exact.values import value_words
from pipeline.patterns.catalogue import catalogue
from pipeline.patterns.registry import Pattern
from pipeline.records import OwnPattern
from pipeline.tagging.own_patterns import own_predictions
from pipeline.tagging.questions import question_of

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
