"""What decides what an answer is taken for: the program's texts and the course's own rules."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any, TypeAlias

from pipeline.course import Course, ReadingSettings
from pipeline.course.hand_tags import UNEXPLAINED
from pipeline.records import OwnPattern
from pipeline.tagging.choices import OptionText

__all__ = ["Cell", "Rules", "rule_set", "rules_of", "source_texts"]

JUDGES = ("exact", "reading", "procedures", "patterns", "tagging")
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
        tags: wrong answer -> errors that a person laid it to; empty for none that is known.
    """

    reading: ReadingSettings = field(default_factory=ReadingSettings)
    own: tuple[OwnPattern, ...] = ()
    options: Mapping[tuple[Any, Any], tuple[OptionText, ...]] = field(default_factory=dict)
    tags: Mapping[Cell, tuple[str, ...]] = field(default_factory=dict)


def rules_of(course: Course) -> Rules:
    """Collect the rules of a course."""
    options: dict[tuple[Any, Any], dict[str, str | None]] = {}
    for item in course.items:
        if item.place == "choice":
            mine = options.setdefault((item.problem or None, item.answer), {})
            mine.update({option.text: option.pattern for option in item.options})
    tags = {
        (tag.task, tag.problem, tag.value_key): tuple(
            name for name in tag.patterns if name != UNEXPLAINED
        )
        for tag in course.hand_tags
    }
    return Rules(
        course.reading,
        course.patterns,
        {question: tuple(texts.items()) for question, texts in options.items()},
        tags,
    )


def rule_set(course: Course) -> str:
    """Sixteen hex digits over everything that decides what an answer is taken for.

    Args:
        course: its own patterns, options, tags by hand and reading settings are part of the rules.
    """
    digest = hashlib.sha256()
    for text in source_texts(*JUDGES):
        digest.update(text.encode() + b"\0")
    rules = rules_of(course)
    options, tags = sorted(rules.options.items(), key=repr), sorted(rules.tags.items())
    digest.update(repr((rules.own, rules.reading, options, tags)).encode())
    return digest.hexdigest()[:16]


def source_texts(*packages: str) -> Iterator[str]:
    """Texts of the files of some packages of the pipeline, in the order of their names."""
    for package in packages:
        for name, text in sorted(_sources(files("pipeline") / package)):
            yield f"{name}\n{text}"


def _sources(folder: Traversable, prefix: str = "") -> Iterator[tuple[str, str]]:
    for entry in folder.iterdir():
        name = f"{prefix}/{entry.name}"
        if entry.is_dir() and entry.name != "__pycache__":
            yield from _sources(entry, name)
        elif entry.is_file() and not entry.name.endswith((".pyc", ".md")):
            yield name, entry.read_text(encoding="utf-8")
