"""Course, items and exports read as a run would read them, and what was found."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Hashable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace
from itertools import combinations
from pathlib import Path
from types import MappingProxyType
from typing import Any

import pandas as pd

from pipeline.check.drafts import Drafts, drafts_of, how_to_begin
from pipeline.check.item_set import (
    BlindSpots,
    blind_spots,
    never_judged,
    to_mend,
    why_not_tagged,
)
from pipeline.check.report import NOT_USED, CheckReport, FileReport, Rejected
from pipeline.course import Course, ExportMap, Item, OwnPattern, key_warnings, read_course
from pipeline.course.keep_map import keep_maps
from pipeline.errors import CourseError, InputError, ListErrors
from pipeline.ingest import KnownResponses, LoadedFile, load_exports, settle_terms
from pipeline.ingest.columns import standard_field
from pipeline.ingest.export_files import export_sources, open_export
from pipeline.ingest.forms import read_by
from pipeline.ingest.places import questions_instead
from pipeline.ingest.plan import Plan
from pipeline.ingest.propose import ColumnRemark, Proposal, propose_map
from pipeline.ingest.questions import Questions

_TOKENS = re.compile(r"\d+|[^\W\d_]+|.")


@dataclass
class _SectionNames:
    """Files of one form that the same questions were put to, by different students.

    Args:
        files: file without a class section -> its form, its students and its questions.
    """

    files: dict[str, tuple[str, set[str], set[str]]] = field(default_factory=dict)

    def see(self, file: str, plan: Plan, stored: pd.DataFrame) -> None:
        """Take in stored rows of a file."""
        told = (plan.map.section, plan.map.section_from, plan.section)
        if "section" in plan.fields or any(told):
            return
        _, students, items = self.files.setdefault(file, (read_by(plan.map), set(), set()))
        students |= set(stored["student"].dropna().unique())
        items |= set(stored["item"].dropna().unique())

    def proposals(self) -> Iterator[str]:
        """A sentence for each way of naming that may tell sections."""
        found: dict[str, list[str]] = {}
        for (one, mine), (other, theirs) in combinations(sorted(self.files.items()), 2):
            alike = mine[0] == theirs[0] and mine[2] & theirs[2]
            apart = alike and mine[1] and theirs[1] and not mine[1] & theirs[1]
            names = (name.removeprefix("exports/") for name in (one, other))
            if apart and (pattern := _pattern(*names)):
                found.setdefault(pattern, []).extend((one, other))
        for pattern, beside in found.items():
            files = list(dict.fromkeys(beside))
            yield (
                f"{files[0]} and {files[1]} ask the same of different students, and no column "
                "names a class section: if each is a section, write "
                f"section_from = {pattern!r} into the map, for all files of this form"
            )


def _pattern(one: str, other: str) -> str | None:
    """Two names as a pattern with `{section}` for the one word or number in which they differ."""
    ours, theirs = _TOKENS.findall(one), _TOKENS.findall(other)
    differing = [n for n, pair in enumerate(zip(ours, theirs, strict=False)) if pair[0] != pair[1]]
    if len(ours) != len(theirs) or len(differing) != 1 or not ours[differing[0]].isalnum():
        return None
    parts = ["*" if token.isdigit() else token for token in ours]
    parts[differing[0]] = "{section}"
    return "".join(parts)


_SHOWN = 3
_SAID_OF_ROWS = (
    "answered_at", "attempt", "section", "term", "quiz", "setting", "score", "points", "count",
)  # fmt: skip


def check_course(
    folder: Path,
    *,
    write: bool = False,
    untaggable: Callable[[Item, tuple[OwnPattern, ...]], str | None] = why_not_tagged,
    unseen: Callable[[Course], BlindSpots] = blind_spots,
    unusable: Mapping[str, str] = MappingProxyType({}),
) -> CheckReport:
    """Read course, items and exports as a run would, and store nothing.

    Args:
        folder: the course folder.
        write: keep the maps that are worked out, and draft questions that the list lacks.
        untaggable: why an item with an algebra task cannot be worked on; None when it can.
        unseen: what the item set cannot tell apart or never shows.
        unusable: exports that no questions are drafted from, and why they cannot be used.

    Raises:
        CourseError: the course itself cannot be used, or its files cannot be written.
        InputError: the list of questions cannot be opened, or none can be drafted.
    """
    if not folder.is_dir():
        read_course(folder)
    drafts = drafts_of(folder, unusable)
    if unusable and not drafts.listed.rows and not drafts.rows:
        raise InputError("; ".join(unusable.values()))
    if write:
        drafts.write()
    elif drafts.rows and not drafts.listed.rows:
        return CheckReport(folder.resolve().name, {}, drafts=tuple(drafts.lines()))
    try:
        course = read_course(folder)
    except ListErrors as error:
        drafted = tuple(drafts.lines())
        return CheckReport(folder.resolve().name, {}, list_errors=error.each, drafts=drafted)
    except CourseError as error:
        raise _nothing_listed(error, drafts) from error
    if course.tags_left_out:
        raise CourseError(course.tags_left_out[0])
    found = _proposals(course)
    if write and drafts.stand_in(found.failed):
        drafts.take_back()
        told = {**unusable, **found.failed}
        return check_course(
            folder, write=write, untaggable=untaggable, unseen=unseen, unusable=told
        )
    proposals = tuple(found.maps.values())
    mapped = replace(course, exports=(*course.exports, *proposals))
    known = KnownResponses.empty()
    mapped = settle_terms(mapped, known)
    drawn = _Drawn({row.cells["item"]: Counter() for row in drafts.rows if row.status != "cannot"})
    files = tuple(drawn.reports(mapped, known, found))
    if write:
        drafts.write_beside(course, drawn.answers)
    why_not = _why_not_tagged(course, untaggable)
    return CheckReport(
        title=course.title,
        questions=_places(course, set(why_not)),
        not_tagged=tuple(f"{name}: {why}" for name, why in why_not.items()),
        unlisted=dict(drawn.unlisted.most_common()),
        files=files,
        problems=(
            *key_warnings(course.privacy.key_file),
            *found.cautions,
            *drafts.to_mend(),
            *to_mend(course.items),
        ),
        to_look_at=tuple(drafts.to_look_at()),
        sections=tuple(drawn.sections.proposals()),
        drafts=tuple(drafts.lines()),
        proposals=proposals,
        blind=unseen(mapped),
        defaults=course.defaults,
        unfinished=course.unfinished,
        written=keep_maps(folder, proposals) if write and proposals else None,
    )


def _nothing_listed(error: CourseError, drafts: Drafts) -> CourseError:
    """An empty list says how to fill it."""
    if drafts.listed.rows:
        return error
    if drafts.rows:
        return CourseError(
            f"{drafts.listed.path.name}: none of the {len(drafts.rows)} questions found is one "
            f"yet; open it, mend the rows marked `cannot`, and give the command again."
        )
    return CourseError(f"{error} Or {how_to_begin()}.")


def _why_not_tagged(
    course: Course, untaggable: Callable[[Item, tuple[OwnPattern, ...]], str | None]
) -> dict[str, str]:
    """Question that can be judged, not tagged -> why."""
    reasons = {item.id: untaggable(item, course.patterns) for item in course.items}
    lost = {item.id for item in course.items if never_judged(item)}
    return {name: why for name, why in reasons.items() if why and name not in lost}


def _places(course: Course, not_tagged: set[str]) -> dict[str, int]:
    lost = {item.id for item in course.items if never_judged(item)}
    names = {"task": "tagged", "judge": "judged only", "choice": "choice", "skip": "skipped"}
    counts = dict.fromkeys(names.values(), 0)
    for item in {item.id: item for item in course.items}.values():
        place = "judged only" if item.id in not_tagged else names[item.place]
        place = "not to be judged" if item.id in lost else place
        counts[place] = counts.get(place, 0) + 1
    return counts


@dataclass(slots=True)
class _Proposals:
    """What was worked out for files that neither maps nor standard names fit.

    Args:
        maps: by what they say; files that are alike share one.
        remarks: file -> what each of its columns was taken for.
        failed: file -> why no map could be worked out.
        cautions: what may be meant otherwise.
    """

    maps: dict[str, ExportMap] = field(default_factory=dict)
    remarks: dict[str, tuple[ColumnRemark, ...]] = field(default_factory=dict)
    failed: dict[str, str] = field(default_factory=dict)
    cautions: list[str] = field(default_factory=list)

    def add(self, file: str, proposal: Proposal, *, narrowed: bool = False) -> None:
        self.remarks[file] = proposal.remarks
        self.cautions += [f"{file}: {caution}" for caution in proposal.cautions]
        one = proposal.map
        # A map belongs to its form; names of questions are held against the answers of each file.
        if not narrowed:
            one = replace(one, files=())
        alike = repr(replace(one, files=()))
        earlier = self.maps.get(alike)
        self.maps[alike] = replace(one, files=(*earlier.files, *one.files)) if earlier else one


def _proposals(course: Course) -> _Proposals:
    questions, known, found = Questions(course.items), KnownResponses.empty(), _Proposals()
    for name, source in export_sources(course):
        opened = None
        try:
            told = replace(course, exports=(*course.exports, *found.maps.values()))
            opened = open_export(told, questions, source, known)
            if opened:
                questions_instead(course, questions, opened)
            if opened and opened.plan.map.line == 0 and opened.plan.map.columns:
                found.remarks[name] = ()
            elif opened and _leaves_points_out(opened.plan):
                with suppress(InputError):  # its answers are read in any case
                    proposal = propose_map(course, name)
                    if proposal.map.beside:
                        found.add(name, proposal)
        except InputError:
            try:
                found.add(name, propose_map(course, name), narrowed=opened is not None)
            except InputError as error:
                found.failed[name] = str(error)
    return found


def _leaves_points_out(plan: Plan) -> bool:
    """Whether columns stand between those of the questions of a wide file, and none is read."""
    places = [place for one in plan.questions for place in (*one.boxes, *one.about.values())]
    between = range(min(places, default=0), max(places, default=0) + 1)
    told = plan.map.columns or any(one.about for one in plan.questions)
    return plan.map.layout == "wide" and not told and len(between) > len(places)


@dataclass(slots=True)
class _Drawn:
    """What a run would store of the exports, drawn and let go.

    Args:
        answers: question that was drafted just now -> texts of its answers, which tell whether the
            key fits.
        unlisted: answers to questions that no item lists.
        sections: whose each file is.
    """

    answers: dict[str, Counter[str]]
    unlisted: Counter[str] = field(default_factory=Counter)
    sections: _SectionNames = field(default_factory=_SectionNames)

    def reports(
        self, course: Course, known: KnownResponses, found: _Proposals
    ) -> Iterator[FileReport]:
        """One for each export."""
        for loaded in load_exports(course, known):
            try:
                if loaded.error or loaded.plan is None:
                    # The way out of `run` is this command: where it found no map, its words count.
                    error = str(loaded.error)
                    told = found.failed.get(loaded.file, error)
                    raise InputError(told if "check DIR --write" in error else error)
                batches = list(self._batches(loaded, loaded.plan))
            except InputError as caught:
                yield FileReport(loaded.file, error=str(caught))
                continue
            row = loaded.source_file().iloc[0]
            names = ("rows_read", "stored", "duplicates", "rejected")
            read, stored, duplicates, left = (int(row[name]) for name in names)
            yield FileReport(
                file=loaded.file,
                columns=tuple(_columns(loaded.plan, found.remarks.get(loaded.file, ()))),
                header_line=loaded.plan.header.line,
                by_number=loaded.plan.header.goes_by_number,
                layout=loaded.plan.map.layout,
                counts=(read, stored, duplicates, left),
                rejected=tuple(
                    _reasons(pd.concat([one for one, _, _ in batches], ignore_index=True))
                ),
                notes=loaded.notes,
                proposed=loaded.file in found.remarks,
                left_out=dict(loaded.left_out),
                termless=sum(count for _, _, count in batches),
                samples=tuple(one for _, texts, _ in batches for one in texts)[:_SHOWN],
            )

    def _batches(
        self, loaded: LoadedFile, plan: Plan
    ) -> Iterator[tuple[pd.DataFrame, list[str], int]]:
        """Rejected rows, some answers as they would be stored, and how many no page counts.

        These are the ones without a date and a semester.
        """
        for batch in loaded.batches():
            self.sections.see(loaded.file, plan, batch.stored)
            unlisted = batch.stored["place"] == "unlisted"
            self.unlisted.update(batch.stored.loc[unlisted, "item"].tolist())
            drafted = batch.stored["item"].isin(self.answers)
            given = batch.stored.loc[drafted, ["item", "answer"]]
            for item, text in given.itertuples(index=False):
                self.answers[str(item)][str(text)] += 1
            shown = map(_as_stored, batch.stored.head(_SHOWN).to_dict("records"))
            termless = batch.stored[["term", "answered_on"]].isna().all(axis=1)
            yield batch.rejected, list(shown), int(termless.sum())


def _as_stored(row: Mapping[Hashable, Any]) -> str:
    """One answer as it would be stored, its student hidden."""
    said = [f"{name} {row[name]}" for name in _SAID_OF_ROWS if pd.notna(row.get(name))]
    student = "(hidden)" if pd.notna(row["student"]) else "none, a count"
    answer = row["answer"] if pd.notna(row["answer"]) else ""
    return ", ".join([f"student {student}", f"item {row['item']}", f"answer {answer!r}", *said])


def _reasons(rejected: pd.DataFrame) -> Iterator[Rejected]:
    look = rejected[rejected["needs_look"]]
    for (reason, column), rows in look.groupby(["reason", "column"], dropna=False, sort=False):
        first = rows.sort_values("line").iloc[0]
        where = f", column {column!r}" if isinstance(column, str) else ""
        value = f", value {first['value']!r}" if isinstance(first["value"], str) else ""
        yield Rejected(str(reason), len(rows), f"line {first['line']}{where}{value}")


def _columns(plan: Plan, remarks: tuple[ColumnRemark, ...]) -> Iterator[ColumnRemark]:
    """The remarks of a proposal, and what the plan made of columns that it did not name."""
    planned = {one.header: one for one in _taken_for(plan)}
    for said in remarks or planned.values():
        mine = planned.get(said.header, said)
        missed = said.taken_for == NOT_USED != mine.taken_for
        yield replace(mine, why="by its name") if missed else said


def _taken_for(plan: Plan) -> Iterator[ColumnRemark]:
    meant = {place: name for name, places in plan.fields.items() for place in places}
    for question in plan.questions:
        meant |= dict.fromkeys(question.boxes, f"answers to {question.item}")
        meant |= {place: f"{name} of {question.item}" for name, place in question.about.items()}
    for place, header in enumerate(plan.header.names):
        if header:
            why = "its standard name" if standard_field(header) == meant.get(place) else "the map"
            taken = meant.get(place, NOT_USED)
            yield ColumnRemark(header, taken, "" if taken == NOT_USED else why)
