"""The conductor: ingest, judge, attribute, count, publish."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TypeAlias

import pandas as pd

from pipeline.course import Course, read_course
from pipeline.course.keyfile import read_key
from pipeline.database_file import clear_beside
from pipeline.errors import InternalError
from pipeline.run.after_load import discard, move_loaded, put_in_place
from pipeline.run.by_hand import put_tags_on, take_tags_off
from pipeline.run.catalogue import catalogue_frame
from pipeline.run.classify import Map, judge_all
from pipeline.run.course_frames import course_frames
from pipeline.run.current import is_current
from pipeline.run.figures import work_out_figures
from pipeline.run.following import mark_following
from pipeline.run.judged_before import judged_before
from pipeline.run.load import Loads, hold_questions, load_course, settle_stored, stored_files
from pipeline.run.lock import held
from pipeline.run.marks import (
    Marks,
    earlier_answers,
    marks_of,
    must_start_afresh,
    printed_before,
    stored_marks,
)
from pipeline.run.moved import moved, tagged_before, tagged_now
from pipeline.run.outdated import drop_outdated
from pipeline.run.read_again import vanished_of
from pipeline.run.release import is_released, write_release
from pipeline.run.removed_questions import with_removed
from pipeline.run.rules import Rules, rules_of, tags_of
from pipeline.run.summary import RunSummary, summarize, unread_questions
from pipeline.run.workers import workers
from pipeline.warehouse import Warehouse, building, reading

__all__ = ["DATABASE", "LOCK", "Progress", "count_all", "judge_answers", "run_course"]

DATABASE = "course.duckdb"
LOCK = ".run.lock"
_JUDGMENTS = (
    "store.examined",
    "store.candidate",
    "store.prediction",
    "store.untagged_candidate",
    "store.untagged_prediction",
)
Progress: TypeAlias = Callable[[str, float | None], None]


class _NothingNew(Exception):
    """The database holds all there is."""


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
    with held(folder / LOCK, lambda: say("waiting for another run to end", None)):
        say("opening the database", None)
        clear_beside(database)
        listed = course
        course, removed = with_removed(course, database)
        loads, changed = Loads(), not is_current(course, database)
        if changed:
            try:
                loads = _build(course, database, say)
            except _NothingNew as nothing:
                loads, changed = nothing.args[0], False
        with reading(database) as warehouse:
            if course.privacy.after_load == "move":
                loads.warnings += move_loaded(course, stored_files(warehouse))
            if course.privacy.release and (changed or not is_released(folder)):
                write_release(course, warehouse)
            loads.warnings += (*removed, *course.unfinished)
            summary = summarize(warehouse, database, loads, changed=changed)
            unread = unread_questions(warehouse, listed)
            return replace(summary, tags_left_out=course.tags_left_out, unread=unread)


def _build(course: Course, database: Path, say: Progress) -> Loads:
    loads = Loads()
    try:
        _publish(course, database, say, loads)
    finally:
        discard(loads.copies)
    return loads


def _publish(course: Course, database: Path, say: Progress, loads: Loads) -> None:
    """Build the database; only when it is in place may raw exports give way."""
    afresh = must_start_afresh(course, database)
    earlier = earlier_answers(database) if afresh else None
    vanished = vanished_of(course, database) if afresh else None
    printed = printed_before(database) if afresh else None
    before = tagged_before(database)
    with building(database, afresh=afresh) as warehouse:
        warehouse.create("store", "computed")
        course = load_course(course, warehouse, loads, lambda sentence: say(sentence, None))
        if printed is not None:
            warehouse.put("store.shared_printed", printed)
        if vanished is not None:
            vanished.keep(warehouse, partial(_as_of_today, course))
        old, new = stored_marks(warehouse), marks_of(course, warehouse)
        if old == new and not loads.files:
            raise _NothingNew(loads)
        if old is not None and old.items != new.items:
            loads.warnings += settle_stored(course, warehouse)
        elif earlier is not None and len(earlier):
            loads.warnings += hold_questions(course, earlier)[1]
        _put_course(course, warehouse, new)
        judge_answers(course, warehouse, say, again=old is None or old.program != new.program)
        mark_following(course, warehouse)
        count_all(course, warehouse, say)
        loads.moved += moved(before, tagged_now(warehouse))
    loads.warnings += put_in_place(loads.copies)


def _as_of_today(course: Course, stored: pd.DataFrame) -> pd.DataFrame:
    return hold_questions(course, stored)[0]


def _put_course(course: Course, warehouse: Warehouse, marks: Marks) -> None:
    for name, frame in course_frames(course).items():
        warehouse.put(name, frame)
    row = {
        "title": course.title,
        "minimum_students": course.privacy.limit,
        "shared_weeks": course.privacy.shared_weeks,
        "declared_terms": course.declared_terms,
        "margin": course.margin,
        "time_zone": str(course.time_zone),
        "rule_set": marks.rules,
        "program": marks.program,
        "inputs": marks.inputs,
        "key_fingerprint": course.key_fingerprint,
        "settings": marks.settings,
        "items": marks.items,
        "layout": marks.layout,
        "maps": marks.maps,
    }
    warehouse.put("store.course", pd.DataFrame([row]))


def judge_answers(course: Course, warehouse: Warehouse, say: Progress, *, again: bool) -> None:
    """Judge what is new, or everything when the rules have changed; then lay tags by hand over it.

    Args:
        course: with its terms settled.
        warehouse: the database that is being built, its answers stored.
        say: told how far it is.
        again: whether nothing that was judged before holds.
    """
    if again:
        for name in _JUDGMENTS:
            warehouse.put(name, pd.DataFrame())
    known = None if again else warehouse.frame("store.pattern")
    warehouse.put("store.pattern", catalogue_frame(course, known))
    rules = rules_of(course)
    take_tags_off(warehouse)
    drop_outdated(warehouse, rules)
    _judge_new(warehouse, rules, say)
    put_tags_on(warehouse, tags_of(course))


def _judge_new(warehouse: Warehouse, rules: Rules, say: Progress) -> None:
    warehouse.make("staging.unexamined")
    requests = warehouse.frame("staging.unexamined")
    if not len(requests):
        return
    say(f"judging {len(requests):,} distinct answers", 0.0)
    before = judged_before(warehouse, requests, decimal_comma=rules.reading.decimal_comma)
    with workers(len(requests)) as run_map:
        judged = judge_all(requests, rules, _told(run_map, len(requests), say), before)
    warehouse.put("store.examined", judged.examined, replace=False)
    warehouse.put("store.candidate", judged.candidates, replace=False)
    keys = ["task", "problem", "numbers", "method", "value_key", "pattern"]
    new = judged.predictions
    warehouse.put("store.prediction", new.drop_duplicates(keys) if len(new) else new, replace=False)


def _told(run_map: Map, total: int, say: Progress) -> Map:
    """The same map, telling how far it is."""

    def mapped(work: Callable[[object], tuple[list[object], ...]], chunks: object) -> Iterator:  # type: ignore[type-arg]
        done = 0
        for rows in run_map(work, chunks):  # type: ignore[arg-type]
            done += len(rows[0])
            say(f"judging {total:,} distinct answers", done / total)
            yield rows

    return mapped


def count_all(course: Course, warehouse: Warehouse, say: Progress) -> None:
    """Build every table, and stop before publishing when a promise is broken."""
    from pipeline.statistics.compute import compute  # heavy, and each worker imports this module

    say("counting", None)
    with warehouse.at_once():
        warehouse.build(computed=False)
    say("working out how common each error is", None)
    secret = read_key(course.privacy.key_file)
    work_out_figures(warehouse, partial(compute, secret=secret))
    say("building the tables of the pages", None)
    with warehouse.at_once():
        warehouse.make("staging.tag_total")
        warehouse.build(computed=True)
    broken = warehouse.check()
    if broken:
        raise InternalError("The new database was not published: " + " ".join(broken))
