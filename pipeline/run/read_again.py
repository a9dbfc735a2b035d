"""Files that a changed map or list of questions touches: what was read of them loads anew."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass
from pathlib import Path

import pandas as pd

from pipeline.course import Course, read_key
from pipeline.errors import InputError
from pipeline.ingest import KnownResponses, Pseudonyms
from pipeline.ingest.export_files import export_sources, open_export
from pipeline.ingest.forms import possible_marks, read_by
from pipeline.ingest.loading import CONFLICT
from pipeline.ingest.questions import Questions
from pipeline.run.after_load import latest_loads, stop_for_missing_exports
from pipeline.run.news import PLACE
from pipeline.warehouse import Warehouse, reading

_OF_FILES = ("rejected", "duplicate", "note", "source_file")


@dataclass(frozen=True, slots=True)
class Vanished:
    """Answers that no export holds any more, out of a database that is to be built anew.

    Args:
        answers: rows of `store.response`.
        told: rows of `store.vanished`.
        files: the latest account of each of their files.
    """

    answers: pd.DataFrame
    told: pd.DataFrame
    files: pd.DataFrame

    def keep(self, warehouse: Warehouse, settled: Callable[[pd.DataFrame], pd.DataFrame]) -> None:
        """Put them into the database that is being built, those that came back apart.

        Args:
            warehouse: the database, the exports loaded.
            settled: gives rows the question, term and week that they have today.
        """
        there = set(warehouse.part("store.response", ["response"])["response"])
        rows = self.answers[~self.answers["response"].isin(there)]
        if rows.empty:
            return
        _put_kept(warehouse, settled(rows), self.files)
        kept = self.told[self.told["response"].isin(rows["response"])]
        warehouse.put("store.vanished", kept, replace=False)


def identity_rules(course: Course) -> str:
    """Fingerprint of key and rules of identity: only under the same is a pseudonym the same."""
    pseudonyms = Pseudonyms(read_key(course.privacy.key_file), course.privacy)
    return f"{pseudonyms.erasing_rules} {course.privacy.link_terms}"


def vanished_of(course: Course, database: Path) -> Vanished | None:
    """What a rebuild from the exports would lose; None where there is nothing of today's shape."""
    if not database.exists():
        return None
    with reading(database) as before:
        if not all(map(before.holds, ("store.vanished", "store.response", "store.source_file"))):
            return None
        told = before.frame("store.vanished")
        if told.empty or "identity" not in told:
            return None
        told = told[told["identity"] == identity_rules(course)]
        rows = before.select("store.response", "response", told["response"].tolist())
        if set(rows.columns) != set(before.columns("store.response")):
            return None
        return Vanished(rows, told, latest_loads(before))


@dataclass(frozen=True, slots=True)
class TakenOut:
    """What is read again.

    Args:
        files: in the order of their names.
        answers: file, line and question of the answers that were stored of them.
    """

    files: tuple[str, ...] = ()
    answers: frozenset[tuple[Hashable, ...]] = frozenset()


def take_out_outdated(course: Course, warehouse: Warehouse) -> TakenOut:
    """Take out what was read of files by another map, or before the list had their questions.

    With a file go those whose rows were held against its rows: they may not be known any more.
    What an earlier download of a file held and the latest does not cannot be read again; it stays
    as it was read.

    Args:
        course: as read from its folder.
        warehouse: the database that is being built.

    Raises:
        CourseError: one of the files is no longer there.
    """
    stored = warehouse.frame("store.course")
    if stored.empty:
        return TakenOut()
    latest = latest_loads(warehouse)
    touched = _with_listed_questions(course, warehouse)
    if stored["maps"].iloc[0] != course.maps_fingerprint:
        touched |= _touched(course, latest)
    if not touched:
        return TakenOut()
    touched = _with_those_beside(warehouse, touched)
    stop_for_missing_exports(course, {name: str(latest["sha256"][name]) for name in touched})
    outdated = sorted(touched)
    answers = warehouse.select("store.response", "file", outdated)[PLACE]
    _take_out(warehouse, outdated, latest)
    return TakenOut(tuple(outdated), frozenset(answers.itertuples(index=False, name=None)))


def _with_listed_questions(course: Course, warehouse: Warehouse) -> set[str]:
    """Files, still there, with answers that were stored to a question that the list has now."""
    waiting = warehouse.select("store.response", "place", ["unlisted"])[["file", "item"]]
    waiting = waiting.drop_duplicates()
    listed = Questions(course.items)
    there = dict(export_sources(course)).keys() if len(waiting) else ()
    return {
        str(file)
        for file, item in waiting.itertuples(index=False)
        if file in there and listed.in_file(str(file)).named(str(item)) in listed.ids
    }


def _touched(course: Course, latest: pd.DataFrame) -> set[str]:
    questions, sources = Questions(course.items), dict(export_sources(course))
    touched = set()
    for name, row in latest.iterrows():
        if (source := sources.get(str(name))) is None:
            now = possible_marks(course.exports, str(name).removeprefix("exports/"))
        else:
            try:
                opened = open_export(course, questions, source, KnownResponses.empty())
            except InputError:
                touched.add(str(name))
                continue
            if opened is None or opened.sha256 != row["sha256"]:
                continue  # a changed file is read anyhow, and by its map of today
            now = {read_by(opened.plan.map)}
        if row["read_by"] not in now:
            touched.add(str(name))
    return touched


def _with_those_beside(warehouse: Warehouse, touched: set[str]) -> set[str]:
    conflicts = warehouse.select("store.rejected", "reason", [CONFLICT])
    whole = touched | set(conflicts["file"])
    while True:
        keys = warehouse.part("store.response", ["response", "file"])
        mine = keys.loc[keys["file"].isin(whole), "response"].tolist()
        beside = set(warehouse.select("store.duplicate", "response", mine)["file"])
        mended = warehouse.select("store.correction", "file", sorted(whole))["response"]
        beside |= set(keys.loc[keys["response"].isin(mended), "file"])
        if beside <= whole:
            return whole
        whole |= beside


def _take_out(warehouse: Warehouse, files: list[str], latest: pd.DataFrame) -> None:
    kept = warehouse.select("store.vanished", "file", files)
    rows = warehouse.select("store.response", "response", kept["response"].tolist())
    warehouse.remove("store.response", "file", files)
    corrected = set(warehouse.frame("store.correction")["response"])
    left = {*warehouse.part("store.response", ["response"])["response"], *rows["response"]}
    warehouse.remove("store.correction", "response", sorted(corrected - left))
    for table in _OF_FILES:
        warehouse.remove(f"store.{table}", "file", files)
    _put_kept(warehouse, rows, latest)


def _put_kept(warehouse: Warehouse, rows: pd.DataFrame, latest: pd.DataFrame) -> None:
    """Store answers that no export holds, with an account of their own."""
    if len(rows):
        warehouse.put("store.response", rows, replace=False)
        account = rows.groupby("file").size().rename("stored").reset_index()
        account = account.assign(rows_read=account["stored"], duplicates=0, rejected=0, sha256="")
        for name in ("loaded_at", "file_time", "read_by"):
            account[name] = account["file"].map(latest[name])
        warehouse.put("store.source_file", account, replace=False)
