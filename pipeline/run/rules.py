"""What decides what an answer is taken for: the program's texts and the course's own rules."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, TypeAlias

from pipeline.course import Course, ReadingSettings
from pipeline.course.hand_tags import UNEXPLAINED
from pipeline.fingerprints import fingerprint, source_texts
from pipeline.records import OwnPattern
from pipeline.tagging.choices import OptionText

JUDGES = ("exact", "reading", "procedures", "tasks", "patterns", "tagging")
"""Packages whose text decides what an answer is taken for."""

Cell: TypeAlias = tuple[str, str, str]
"""Task, problem and value key: one wrong answer to one question."""


@dataclass(frozen=True, slots=True)
class Rules:
    """The course's part of the rules.

    Args:
        reading: how answers are read.
        own: its own error patterns.
        options: problem and key of a choice question -> its options.
    """

    reading: ReadingSettings = field(default_factory=ReadingSettings)
    own: tuple[OwnPattern, ...] = ()
    options: Mapping[tuple[Any, Any], tuple[OptionText, ...]] = field(default_factory=dict)


def rules_of(course: Course) -> Rules:
    """Collect the rules by which the answers of a course are read and explained."""
    options: dict[tuple[Any, Any], dict[str, str | None]] = {}
    for item in course.items:
        if item.place == "choice":
            mine = options.setdefault((item.problem or None, item.answer), {})
            mine.update({option.text: option.pattern for option in item.options})
    return Rules(
        course.reading,
        course.patterns,
        {question: tuple(texts.items()) for question, texts in options.items()},
    )


def refused_of(course: Course) -> frozenset[str]:
    """Rules that were proposed for a new error, and that a person turned down."""
    return frozenset(tag.value_key for tag in course.hand_tags if tag.is_refusal)


def tags_of(course: Course) -> dict[Cell, tuple[str, ...]]:
    """Wrong answer -> errors that a person laid it to; empty for none that is known."""
    return {
        (tag.task, tag.problem, tag.value_key): tuple(
            name for name in tag.patterns if name != UNEXPLAINED
        )
        for tag in course.hand_tags
    }


def rule_set(course: Course) -> str:
    """Sixteen hex digits over everything that decides what an answer is taken for.

    Args:
        course: its own patterns, options, tags by hand and reading settings are part of the rules.
    """
    rules = rules_of(course)
    options, tags = sorted(rules.options.items(), key=repr), sorted(tags_of(course).items())
    return fingerprint(program_rules(course), repr((rules.own, options, tags)))


def program_rules(course: Course) -> str:
    """Sixteen hex digits over what every answer is held against: the program, how it reads."""
    texts = source_texts(*(f"pipeline/{name}" for name in JUDGES))
    return fingerprint(*texts, repr(course.reading))


def own_rules(rules: Rules, task: str, problem: str | None, key: str | None) -> str:
    """Sixteen hex digits over those rules of the course that concern one question.

    Args:
        rules: of the course.
        task: of the question.
        problem: of the question.
        key: its right answer where the course gives it.

    Returns:
        Empty where none concern it. Sentences and sources of errors are no part of it.
    """
    own = [(one.id, one.wrong) for one in rules.own if one.task == task]
    options = rules.options.get((problem or None, key), ()) if task == "choice" else ()
    return fingerprint(repr((own, options))) if own or options else ""
