"""From exports into the database that is being built, and stored answers settled anew."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Set
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from functools import partial
from itertools import chain, islice

import pandas as pd

from pipeline.course import Course, read_key
from pipeline.errors import InputError
from pipeline.ingest import (
    KnownResponses,
    LoadedFile,
    Pseudonyms,
    add_tombstones,
    load_exports,
    read_tombstones,
    settle_responses,
    settle_terms,
)
from pipeline.ingest.export_files import export_sources
from pipeline.ingest.loading import WAITING
from pipeline.ingest.survey import UNDATED
from pipeline.ingest.withheld import naming_one_of
from pipeline.run.after_load import Copy, copy_of, latest_loads
from pipeline.run.keys import with_derived_keys
from pipeline.run.news import News
from pipeline.run.read_again import identity_rules, take_out_outdated
from pipeline.run.scores import Corrections, FileWord, correct_scores, follow, withhold
from pipeline.run.versions import stop_for_changed_questions
from pipeline.tables import Source
from pipeline.warehouse import Warehouse

SETTLED_FROM = ["item", "term_given", "problem_given", "quiz_given", "answered_on", "answer"]
REJECTION = ["file", "line", "column", "reason"]


@dataclass
class Loads:
    """What a run read.

    Args:
        read: rows read now.
        stored: rows stored now.
        duplicates: rows known before.
        rejected: rows rejected now.
        fresh: rows rejected now, to be looked at, that no earlier run had rejected.
        left_out: columns of files loaded now that are worth a question and were not read.
        files: files loaded now.
        failed: files of which nothing could be taken, with the reason.
        copies: pseudonymized copies that wait to take the place of their exports.
        warnings: sentences for the summary.
        moved: what a change of the rules moved, in lines.
        news: what the stored rows brought.
        scores: scores that differ from those stored before.
        vanished: answers that an earlier download held and the latest does not; they are kept.
        again: files read again since their map has changed.
        withheld: whether a text that was stored before names a student who came now.
    """

    read: int = 0
    stored: int = 0
    duplicates: int = 0
    rejected: int = 0
    fresh: int = 0
    left_out: list[str] = field(default_factory=list)
    files: list[str] = field(default_factory=list)
    failed: list[InputError] = field(default_factory=list)
    copies: list[Copy] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    moved: list[str] = field(default_factory=list)
    news: News = field(default_factory=News)
    scores: Corrections = field(default_factory=Corrections)
    vanished: int = 0
    again: list[str] = field(default_factory=list)
    withheld: bool = False


def load_course(
    course: Course, warehouse: Warehouse, loads: Loads, say: Callable[[str], None]
) -> Course:
    """Load what is new.

    Args:
        course: as read from its folder.
        warehouse: the database that is being built; holds what earlier runs stored.
        loads: is told what was read.
        say: told what is being done.

    Returns:
        The course with its terms settled.
    """
    erased = _erased(course, warehouse)
    taken = take_out_outdated(course, warehouse)
    loads.again += taken.files
    loads.news.before = taken.answers
    known = _known(course, warehouse, erased)
    course = settle_terms(course, known)
    sections, items = _seen(warehouse)
    before = _rejections(warehouse)
    words: list[FileWord] = []
    for loaded in load_exports(course, known):
        say(f"reading {loaded.file}")
        if loaded.error is not None:
            loads.failed.append(loaded.error)
            continue
        _load_file(course, loaded, warehouse, loads)
        words.append(FileWord(loaded.file, _utc(loaded.file_time), loaded.later))
    if known.met and set(warehouse.distinct("store.response", "student")) - known.students:
        loads.withheld = withhold(warehouse, naming_one_of(known.met))
    loads.scores.add(follow(warehouse, words))
    told = pd.DataFrame(list(known.addresses.items()), columns=["item", "address"], dtype="object")
    warehouse.put("store.address", told)
    loads.fresh = len(_rejections(warehouse) - before)
    if loads.stored:
        now = _seen(warehouse)
        loads.news.limit = course.privacy.limit
        loads.news.sections = _of_enough(course, warehouse, now[0] - sections) if sections else []
        loads.news.questions = len(now[1] - items)
    return course if course.declared_terms else _with_terms_of(course, warehouse)


def _with_terms_of(course: Course, warehouse: Warehouse) -> Course:
    """The course without terms that refused rows alone name: these may name a person."""
    held = set(warehouse.distinct("store.response", "term"))
    kept = tuple(term for term in course.terms if term.id in held)
    return replace(course, terms=kept or (UNDATED,))


def _seen(warehouse: Warehouse) -> tuple[set[str], set[str]]:
    """Class sections and questions of stored answers."""
    sections, items = (warehouse.distinct("store.response", n) for n in ("section", "item"))
    return set(map(str, sections)), set(map(str, items))


def _of_enough(course: Course, warehouse: Warehouse, sections: Set[str]) -> list[str]:
    """Sections that enough students are in to be named."""
    rows = warehouse.select("store.response", "section", sorted(sections))
    students = rows.groupby("section")["student"].nunique()
    return sorted(map(str, students.index[students >= course.privacy.limit]))


def stored_files(warehouse: Warehouse) -> dict[str, str]:
    """File -> SHA-256 of its latest load."""
    return dict(latest_loads(warehouse)["sha256"])


def _erased(course: Course, warehouse: Warehouse) -> frozenset[str]:
    """Tombstones of the course folder, which outlive the database, and of the database."""
    pseudonyms = Pseudonyms(read_key(course.privacy.key_file), course.privacy)
    erased = read_tombstones(course.folder, pseudonyms)
    stored = frozenset(warehouse.frame("store.erased")["student"])
    if stored - erased:
        erased = add_tombstones(course.folder, pseudonyms, stored)
    warehouse.put("store.erased", pd.DataFrame({"student": sorted(erased)}, dtype="object"))
    return erased


def _known(course: Course, warehouse: Warehouse, erased: frozenset[str]) -> KnownResponses:
    stored = warehouse.part("store.response", ["response", "slot"])
    return KnownResponses(
        keys=stored["response"].to_numpy(dtype="int64"),
        slots=stored["slot"].to_numpy(dtype="int64"),
        erased=erased,
        students=_students(warehouse),
        files=stored_files(warehouse),
        first_answers=_first_answers(course, warehouse),
        addresses=dict(warehouse.frame("store.address").itertuples(index=False, name=None)),
        matching=partial(warehouse.matching, "store.response"),
    )


def _students(warehouse: Warehouse) -> frozenset[str]:
    """Pseudonyms that the last run stored; what a file brings is known while it is read."""
    if not warehouse.holds("staging.enrolled"):
        return frozenset()
    return frozenset(warehouse.frame("staging.enrolled")["student"])


def _first_answers(course: Course, warehouse: Warehouse) -> dict[str, tuple[date, date]]:
    """Term -> first and last day of its stored answers, where the answers show the terms."""
    spans = (
        {} if course.declared_terms else warehouse.spans("store.response", "term", "answered_on")
    )
    return {str(term): span for term, span in spans.items()}


def as_loaded(course: Course, warehouse: Warehouse) -> Course | None:
    """The course with its terms settled if a database holds every export as it is; else None.

    Args:
        course: as read from its folder.
        warehouse: a finished database; it is only read.
    """
    pseudonyms = Pseudonyms(read_key(course.privacy.key_file), course.privacy)
    stones = frozenset(warehouse.frame("store.erased")["student"])
    if read_tombstones(course.folder, pseudonyms) != stones:
        return None
    known = KnownResponses.empty()
    known.files, known.first_answers = stored_files(warehouse), _first_answers(course, warehouse)
    current = all(
        isinstance(source, Source) and known.files.get(name) == source.sha256()
        for name, source in export_sources(course)
    )
    return settle_terms(course, known) if current else None


def _rejections(warehouse: Warehouse) -> set[tuple[object, ...]]:
    table = warehouse.frame("store.rejected")
    table = table[table["needs_look"].fillna(True).astype(bool)]
    return set(table[REJECTION].fillna("").astype(str).itertuples(index=False, name=None))


def _load_file(course: Course, loaded: LoadedFile, warehouse: Warehouse, loads: Loads) -> None:
    """Store one file whole or not at all; what was said of an earlier load of it is replaced."""
    try:
        drawn = loaded.batches()
        batches = list(islice(drawn, None if loaded.may_break_off else 1))
    except InputError as error:
        loads.failed.append(error)
        return
    for table in ("rejected", "duplicate", "note"):
        warehouse.remove(f"store.{table}", "file", [loaded.file])
    scores = Corrections()
    for batch in chain(batches, drawn):
        responses = with_derived_keys(course, batch.stored)
        scores.add(correct_scores(warehouse, batch.scores, _utc(loaded.file_time)))
        loads.news.see(batch.stored)
        warehouse.put("store.response", responses, replace=False)
        warehouse.put("store.rejected", batch.rejected, replace=False)
        warehouse.put("store.duplicate", batch.duplicates, replace=False)
    loads.scores.add(scores)
    said = [*loaded.notes, *scores.sentences(), *_vanished(course, loaded, warehouse, loads)]
    notes = pd.DataFrame({"file": loaded.file, "sentence": said}, dtype="object")
    warehouse.put("store.note", notes, replace=False)
    account = loaded.source_file()
    if course.privacy.after_load == "pseudonymize":
        account["sha256"] = _copied(course, loaded, loads) or account["sha256"]
    warehouse.put("store.source_file", account, replace=False)
    loads.files.append(loaded.file)
    loads.left_out += [
        f"Not judged: {loaded.file}: {header!r} holds {what}"
        if what in WAITING
        else f"Not read: column {header!r} of {loaded.file}, which seems to hold {what}. Name it "
        "in the map of this form, or under its `left_out`"
        for header, what in loaded.left_out.items()
    ]
    loads.read += int(account["rows_read"].iloc[0])
    loads.stored += int(account["stored"].iloc[0])
    loads.duplicates += int(account["duplicates"].iloc[0])
    loads.rejected += int(account["rejected"].iloc[0])


def _utc(time: datetime) -> pd.Timestamp:
    """A time as the database holds it: UTC, microseconds, without a zone."""
    return pd.Timestamp(time).tz_convert("UTC").tz_localize(None).as_unit("us")


def _vanished(
    course: Course, loaded: LoadedFile, warehouse: Warehouse, loads: Loads
) -> Iterator[str]:
    """Remember answers that this file held before and holds no longer; they stay stored."""
    if loaded.seen is None:
        return
    before = set(warehouse.select("store.vanished", "file", [loaded.file])["response"])
    warehouse.remove("store.vanished", "file", [loaded.file])
    stored = warehouse.part("store.response", ["response"], ("file", loaded.file))["response"]
    gone = stored[~stored.isin(loaded.seen)]
    if len(gone):
        told = identity_rules(course)
        frame = pd.DataFrame({"file": loaded.file, "response": gone, "identity": told})
        warehouse.put("store.vanished", frame, replace=False)
        loads.vanished += len(set(gone) - before)
        yield f"answers of an earlier download that this one no longer holds, kept: {len(gone):,}"


def _copied(course: Course, loaded: LoadedFile, loads: Loads) -> str | None:
    """Write the copy that is to replace an export; its digest is stored, so that it is known."""
    copy = copy_of(course, loaded)
    if copy is None:
        loads.warnings.append(
            f"{loaded.file} still holds ids: rows of it need a look, or it is of a kind that no "
            "copy is written of (archives, packed files, several sheets, .ods, .parquet, JSON); "
            "mend the rows and run again, or save it as CSV"
        )
        return None
    loads.copies.append(copy)
    return copy.sha256


def settle_stored(course: Course, warehouse: Warehouse) -> tuple[str, ...]:
    """Give every stored answer the question, term and week that the items now say.

    Returns:
        Sentences on corrections.

    Raises:
        CourseError: a question reads otherwise than when it was answered.
    """
    stored = warehouse.frame("store.response")
    if not len(stored):
        return ()
    settled, corrections = hold_questions(course, stored)
    warehouse.put("store.response", settled)
    return corrections


def hold_questions(course: Course, stored: pd.DataFrame) -> tuple[pd.DataFrame, tuple[str, ...]]:
    """Settle stored answers, and stop where that would lay them to another question.

    Args:
        course: with its terms settled.
        stored: rows of `store.response`.

    Returns:
        The rows as they are now, and sentences on corrections.

    Raises:
        CourseError: a question reads otherwise than when it was answered.
    """
    settled = stored.copy()
    found = settle_responses(course, stored[SETTLED_FROM])
    for name in found.columns:
        settled[name] = found[name]
    settled = with_derived_keys(course, settled)
    return settled, stop_for_changed_questions(course, stored, settled)
