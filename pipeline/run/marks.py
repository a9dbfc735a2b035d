"""What a stored database was built from, and whether it still holds."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import duckdb
import pandas as pd

from pipeline.course import Course
from pipeline.errors import CourseError
from pipeline.fingerprints import fingerprint, source_texts
from pipeline.run.after_load import latest_loads, stop_for_missing_exports
from pipeline.run.load import SETTLED_FROM
from pipeline.run.rules import program_rules, rule_set
from pipeline.warehouse import Warehouse, reading


@dataclass(frozen=True, slots=True)
class Marks:
    """Fingerprints that tell what a stored database was built from."""

    settings: str
    items: str
    rules: str
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
    texts = [m.text for m in warehouse.models.values() if m.schema in {"store", "computed"}]
    return fingerprint(*texts)


def stored_marks(warehouse: Warehouse) -> Marks | None:
    """What the database was built from; None for one that is new."""
    stored = warehouse.frame("store.course")
    if stored.empty:
        return None
    row = stored.iloc[0]
    names = ("settings", "items", "rule_set", "program", "inputs", "layout", "maps")
    return Marks(*(row[name] for name in names))


def marks_of(course: Course, warehouse: Warehouse) -> Marks:
    """Fingerprints of today: files that are loaded count by themselves."""
    queries = [model.text for model in warehouse.models.values()]
    facts = (course.title, course.terms, course.topics, course.outcomes, course.lessons)
    privacy = (course.privacy.limit, course.privacy.shared_weeks)
    limits = (privacy, course.time_zone, course.defaults, course.margin)
    return Marks(
        settings=_settings(course),
        items=fingerprint(repr(course.items), repr(course.terms)),
        rules=rule_set(course),
        program=program_rules(course),
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
