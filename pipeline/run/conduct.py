"""The conductor: ingest, judge, attribute, count, publish."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from typing import TypeAlias

import pandas as pd

from pipeline.course import Course, read_course
from pipeline.errors import CourseError, InternalError
from pipeline.run.catalogue import catalogue_frame
from pipeline.run.changes import refuse_changed_questions
from pipeline.run.classify import Map, judge_all, rule_set, source_texts
from pipeline.run.course_frames import course_frames
from pipeline.run.load import Loads, load_course, settle_stored
from pipeline.run.lock import held
from pipeline.run.summary import RunSummary, summarize
from pipeline.statistics.compute import compute
from pipeline.warehouse import Warehouse, building, reading

__all__ = ["DATABASE", "run_course"]

DATABASE = "course.duckdb"
MANY_ANSWERS = 2_000
"""Distinct answers from which on several processes pay."""

Progress: TypeAlias = Callable[[str, float | None], None]


class _NothingNew(Exception):
    """The database holds all there is."""


@dataclass(frozen=True, slots=True)
class _Marks:
    """Fingerprints that tell what a stored database was built from."""

    settings: str
    items: str
    rules: str
    inputs: str
    layout: str


def run_course(folder: Path, progress: Progress | None = None) -> RunSummary:
    """Bring a course's database up to date with its folder.

    Args:
        folder: the course folder.
        progress: told what is being done, and how much of it is done, 0 to 1 or None.

    Returns:
        What was done; its lines fill one screen.

    Raises:
        CourseError: the folder cannot be used, another run holds it, or the key is another one.
        InputError: an input file cannot be read at all.
    """
    say = progress or (lambda _sentence, _done: None)
    course = read_course(folder)
    database = folder / DATABASE
    with held(folder / ".run.lock", lambda: say("waiting for another run to end", None)):
        try:
            loads = _build(course, database, say)
        except _NothingNew as nothing:
            loads = nothing.args[0]
            with reading(database) as warehouse:
                return summarize(warehouse, database, loads, changed=False)
        with reading(database) as warehouse:
            return summarize(warehouse, database, loads, changed=True)


def _build(course: Course, database: Path, say: Progress) -> Loads:
    say("opening the database", None)
    afresh = _must_start_afresh(course, database)
    with building(database, afresh=afresh) as warehouse:
        warehouse.create("store", "computed")
        course, loads = load_course(course, warehouse, lambda sentence: say(sentence, None))
        old, new = _stored_marks(warehouse), _marks(course, warehouse)
        responses = warehouse.frame("store.response")
        refuse_changed_questions(course, warehouse.frame("store.item"), responses)
        if old == new and not loads.files:
            raise _NothingNew(loads)
        if old is not None and old.items != new.items:
            settle_stored(course, warehouse)
        _put_course(course, warehouse, new)
        _judge(course, warehouse, say, again=old is None or old.rules != new.rules)
        _count(warehouse, say)
    return loads


def _must_start_afresh(course: Course, database: Path) -> bool:
    """Whether what is stored rests on other terms, maps or tables than those of today.

    Raises:
        CourseError: the database was built with another pseudonym key.
    """
    if not database.exists():
        return True
    with reading(database) as warehouse:
        try:
            stored = warehouse.frame("store.course")
        except InternalError:
            return True
        if stored.empty or not {"layout", "settings", "key_fingerprint"} <= set(stored):
            return True
        row = stored.iloc[0]
        if row["key_fingerprint"] != course.key_fingerprint:
            message = (
                f"{database.name} was built with another pseudonym key than "
                f"{course.privacy.key_file.name}: the same student would count twice. Put the "
                "old key back, or move the database away to start again from the exports."
            )
            raise CourseError(message)
        return bool(row["layout"] != _layout(warehouse) or row["settings"] != _settings(course))


def _settings(course: Course) -> str:
    """Fingerprint of what exports are read by; worked-out terms grow with the answers."""
    return course.fingerprint if course.declared_terms else "terms worked out"


def _layout(warehouse: Warehouse) -> str:
    texts = [m.text for m in warehouse.models.values() if m.schema in {"store", "computed"}]
    return _digest(*texts)


def _digest(*texts: str) -> str:
    return hashlib.sha256("\0".join(texts).encode()).hexdigest()[:16]


def _stored_marks(warehouse: Warehouse) -> _Marks | None:
    stored = warehouse.frame("store.course")
    if stored.empty:
        return None
    row = stored.iloc[0]
    return _Marks(row["settings"], row["items"], row["rule_set"], row["inputs"], row["layout"])


def _marks(course: Course, warehouse: Warehouse) -> _Marks:
    """Fingerprints of today: files that are loaded count by themselves."""
    queries = [model.text for model in warehouse.models.values()]
    facts = (course.title, course.terms, course.topics, course.outcomes, course.lessons)
    limits = (course.privacy.limit, course.time_zone, course.defaults)
    return _Marks(
        settings=_settings(course),
        items=_digest(repr(course.items), repr(course.terms)),
        rules=rule_set(course),
        inputs=_digest(repr(facts), repr(limits), *queries, *source_texts("statistics", "run")),
        layout=_layout(warehouse),
    )


def _put_course(course: Course, warehouse: Warehouse, marks: _Marks) -> None:
    for name, frame in course_frames(course).items():
        warehouse.put(name, frame)
    row = {
        "title": course.title,
        "minimum_students": course.privacy.limit,
        "time_zone": str(course.time_zone),
        "rule_set": marks.rules,
        "inputs": marks.inputs,
        "key_fingerprint": course.key_fingerprint,
        "settings": marks.settings,
        "items": marks.items,
        "layout": marks.layout,
    }
    warehouse.put("store.course", pd.DataFrame([row]))


def _judge(course: Course, warehouse: Warehouse, say: Progress, *, again: bool) -> None:
    """Judge what is new, or everything when the rules have changed."""
    if again:
        warehouse.put("store.pattern", catalogue_frame(course))
        for table in ("examined", "candidate", "prediction"):
            warehouse.put(f"store.{table}", pd.DataFrame())
    warehouse.make("staging.unexamined")
    requests = warehouse.frame("staging.unexamined")
    if not len(requests):
        return
    say(f"judging {len(requests):,} distinct answers", 0.0)
    with _workers(len(requests)) as run_map:
        judged = judge_all(requests, course, _told(run_map, len(requests), say))
    warehouse.put("store.examined", judged.examined, replace=False)
    warehouse.put("store.candidate", judged.candidates, replace=False)
    known = warehouse.frame("store.prediction")
    both = pd.concat([known, judged.predictions], ignore_index=True)
    keys = ["task", "problem", "numbers", "method", "value_key", "pattern"]
    warehouse.put("store.prediction", both.drop_duplicates(keys) if len(both) else both)


@contextmanager
def _workers(size: int) -> Iterator[Map]:
    """The plain map for little work, that of a process pool for much."""
    cores = os.cpu_count() or 1
    if size <= MANY_ANSWERS or cores == 1:
        yield map
        return
    # Forking a process whose database has threads running can hang; a fresh one cannot.
    with ProcessPoolExecutor(cores, mp_context=get_context("spawn")) as pool:
        yield pool.map


def _told(run_map: Map, total: int, say: Progress) -> Map:
    """The same map, telling how far it is."""

    def mapped(work: Callable[[object], tuple[list[object], ...]], chunks: object) -> Iterator:  # type: ignore[type-arg]
        done = 0
        for rows in run_map(work, chunks):  # type: ignore[arg-type]
            done += len(rows[0])
            say(f"judging {total:,} distinct answers", done / total)
            yield rows

    return mapped


def _count(warehouse: Warehouse, say: Progress) -> None:
    """Build every table, and stop before publishing when a promise is broken."""
    say("counting", None)
    warehouse.build(computed=False)
    say("working out how common each error is", None)
    for name, frame in compute(warehouse.frame).items():
        warehouse.put(name, frame)
    say("building the tables of the pages", None)
    warehouse.build(computed=True)
    broken = warehouse.check()
    if broken:
        raise InternalError("The new database was not published: " + " ".join(broken))
