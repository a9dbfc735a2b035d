"""What decides what an answer is taken for, and what a stored database was built from."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any, TypeAlias

import duckdb
import pandas as pd

from pipeline.course import Course, ReadingSettings
from pipeline.course.hand_tags import UNEXPLAINED
from pipeline.errors import CourseError
from pipeline.fingerprints import fingerprint, source_texts
from pipeline.records import OwnPattern
from pipeline.run.after_load import latest_loads, stop_for_missing_exports
from pipeline.run.load import SETTLED_FROM
from pipeline.tagging.choices import OptionText
from pipeline.warehouse import Warehouse, reading

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


def _rule_set(course: Course) -> str:
    """Sixteen hex digits over everything that decides what an answer is taken for.

    Args:
        course: its own patterns, options, tags by hand and reading settings are part of the rules.
    """
    rules = rules_of(course)
    options, tags = sorted(rules.options.items(), key=repr), sorted(tags_of(course).items())
    return fingerprint(_program_rules(course), repr((rules.own, options, tags)))


def _program_rules(course: Course) -> str:
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


@dataclass(frozen=True, slots=True)
class Marks:
    """Fingerprints that tell what a stored database was built from."""

    settings: str
    items: str
    rule_set: str
    program: str
    inputs: str
    layout: str
    maps: str


def must_start_afresh(course: Course, database: Path) -> bool:
    """Whether what is stored rests on other terms, maps or tables than those of today.

    Raises:
        CourseError: the database was built with another pseudonym key, or exports that it was
            built from are no longer there.
    """
    if not database.exists():
        return True
    with reading(database) as warehouse:
        row = _course_row(warehouse)
        if row is None:
            raise CourseError(
                f"{database.name} is no database of this program, or a very old one. Move it away "
                "and run again: a new one is built from the exports. Nothing was changed."
            )
        _stop_for_another_key(row, course, database)
        afresh = row.get("layout") != _layout(warehouse) or row.get("settings") != _settings(course)
        if afresh:
            stop_for_missing_exports(course, _loaded(warehouse))
        return afresh


def _course_row(warehouse: Warehouse) -> dict[Hashable, Any] | None:
    rows = []
    if warehouse.holds("store.course"):
        rows = warehouse.frame("store.course").to_dict("records")
    return rows[0] if rows else None


def _stop_for_another_key(row: dict[Hashable, Any], course: Course, database: Path) -> None:
    if row.get("key_fingerprint", course.key_fingerprint) != course.key_fingerprint:
        raise CourseError(
            f"{database.name} was built with another pseudonym key than "
            f"{course.privacy.key_file.name}: the same student would count twice. Put the "
            "old key back, or move the database away to start again from the exports."
        )


def _loaded(warehouse: Warehouse) -> dict[str, str]:
    """File -> SHA-256 of its latest load; none where an old version kept no account of them."""
    if not warehouse.holds("store.source_file"):
        return {}
    if not {"file", "sha256", "loaded_at"} <= set(warehouse.frame("store.source_file")):
        return {}
    return dict(latest_loads(warehouse)["sha256"])


def earlier_answers(database: Path) -> pd.DataFrame:
    """Stored answers of a database that is to be built anew; none where its shape is another."""
    if not database.exists():
        return pd.DataFrame()
    with reading(database) as warehouse:
        if not warehouse.holds("store.response"):
            return pd.DataFrame()
        answers = warehouse.frame("store.response")
        needed = {*SETTLED_FROM, "place", "task", "problem", "key", "form", "numbers", "method"}
        return answers if needed <= set(answers) else pd.DataFrame()


def _settings(course: Course) -> str:
    """Fingerprint of what exports are read by; worked-out terms grow with the answers."""
    return (course if course.declared_terms else replace(course, terms=())).fingerprint


def _layout(warehouse: Warehouse) -> str:
    texts = [m.text for m in warehouse.models.values() if m.is_filled or m.schema == "store"]
    return fingerprint(*texts)


def stored_marks(warehouse: Warehouse) -> Marks | None:
    """What the database was built from; None for one that is new."""
    stored = warehouse.frame("store.course")
    if stored.empty:
        return None
    row = stored.iloc[0]
    return Marks(*(row[one.name] for one in fields(Marks)))


def marks_of(course: Course, warehouse: Warehouse) -> Marks:
    """Fingerprints of today: files that are loaded count by themselves."""
    queries = [model.text for model in warehouse.models.values()]
    facts = (course.title, course.terms, course.topics, course.outcomes, course.lessons)
    privacy = (course.privacy.limit, course.privacy.shared_weeks)
    limits = (privacy, course.time_zone, course.defaults, course.margin)
    return Marks(
        settings=_settings(course),
        items=fingerprint(repr(course.items), repr(course.terms)),
        rule_set=_rule_set(course),
        program=_program_rules(course),
        inputs=fingerprint(
            repr(facts),
            repr(limits),
            duckdb.__version__,
            *queries,
            *source_texts("pipeline/statistics", "pipeline/run"),
        ),
        layout=_layout(warehouse),
        maps=course.maps_fingerprint,
    )
