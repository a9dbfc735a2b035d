"""The work behind one export file: every row new, a known duplicate, or rejected."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import chain, islice

import numpy as np
import numpy.typing as npt
import pandas as pd

from pipeline.course import Course
from pipeline.errors import InputError
from pipeline.ingest.answer_keys import answer_keys
from pipeline.ingest.columns import is_unanswered
from pipeline.ingest.distinct import (
    coded,
    filled,
    per_distinct,
    replaced,
    same,
    values_of,
    where_text,
)
from pipeline.ingest.export_files import OpenedExport
from pipeline.ingest.frames import Batch, duplicate_frame, score_frame, stored_frame
from pipeline.ingest.known import KnownResponses
from pipeline.ingest.left_out import columns_left_out
from pipeline.ingest.places import questions_instead
from pipeline.ingest.plan import Plan
from pipeline.ingest.question_headers import holds_mathematics
from pipeline.ingest.raw_answers import RawBatch, raw_batches
from pipeline.ingest.same_day import known_by_day
from pipeline.ingest.settle import Settling
from pipeline.ingest.sieve import Sieve
from pipeline.ingest.vet import UNREAD_SCORES, Vetting
from pipeline.ingest.withheld import TYPED, WITHHELD
from pipeline.standards.answer_records import LaterWord
from pipeline.tables import plain_text

NO_TERM = (
    "with neither a date nor a semester; export the dates, or say `term` for this file in "
    "[[exports]]"
)
"""Of answers that no page counts, and the way out."""

CONFLICT = (
    "another answer to the same question, student and attempt is stored already, or to an earlier "
    "attempt of this file: number the attempts, or take one of the two out"
)
_FIRST: Mapping[str | None, str] = {"MDY": "month", "DMY": "day"}
_MOST_LISTED = 12
_TELLING, _FEW, _NEARLY_ALL = 8, 5, 0.9
_MOST_LOOKED_UP, _MOST_OF = 300, 0.75
_UNMATCHED = (
    "answers to a question whose text the list does not have (put it into the list; under "
    "`wording` if the question is there)"
)
_UNLISTED = "questions that the list does not have (put them into the list), in nearly all rows"
_WORDS = "scores in words, none of which is read (name the one for right under `right` of the map)"
WAITING = frozenset({_UNMATCHED, _UNLISTED})
"""What a column holds that is read, and waits for its question to be listed."""


@dataclass
class Loading:
    """One file on its way, batch by batch.

    Args:
        course: with its terms settled.
        opened: the file and its plan.
        vetting: what its rows are held against.
        settling: lays answers to terms and questions.
        known: what is stored; grows.
        counts: rows read, stored, duplicates, rejected.
        done: whether all batches are drawn.
        sieve: the last batch's.
        students: line -> what a copy of the file has in place of the id.
        copyable: whether a copy may take the place of the file.
        seen: keys of all answers in the file, batch by batch; None where no earlier download of it
            was loaded, so that nobody asks what is gone.
        unlisted: answers stored to questions that no item lists.
        unmatched: whether one of these is called by its text.
        instead: see `Plan.instead`.
    """

    course: Course
    opened: OpenedExport
    vetting: Vetting
    settling: Settling
    known: KnownResponses
    counts: dict[str, int] = field(
        default_factory=lambda: dict.fromkeys(("read", "stored", "duplicates", "rejected"), 0)
    )
    done: bool = False
    sieve: Sieve | None = None
    students: dict[int, str] = field(default_factory=dict)
    copyable: bool = True
    seen: list[npt.NDArray[np.int64]] | None = None
    unlisted: int = 0
    unmatched: bool = False
    instead: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.opened.table.name in self.known.files:
            self.seen = []

    def batches(self) -> Iterator[Batch]:
        """Draw the batches, once."""
        notes, table = None, self.opened.table
        for plan, raw in self._drawn():
            sieve = Sieve(table.name, raw.answers)
            sieve.notes = notes or sieve.notes
            notes = sieve.notes
            section = next(iter(self._told(filter(None, [plan.section]))), None)
            self.vetting = replace(
                self.vetting, plan=replace(plan, section=section, instead=self.instead)
            )
            batch = self._batch(raw, sieve)
            self.sieve = sieve
            self.counts["read"] += len(raw.answers) + len(raw.broken)
            self.counts["stored"] += len(batch.stored)
            self.counts["duplicates"] += len(batch.duplicates)
            self.counts["rejected"] += len(batch.rejected)
            yield batch
        self.done = True

    def _drawn(self) -> Iterator[tuple[Plan, RawBatch]]:
        """The rows of the file, once all its students are known; few files have several batches."""
        plans, table = self.opened.plans, self.opened.table
        first = ((one, raw) for one in plans for raw in raw_batches(table, one))
        begin = list(islice(first, 2))
        again = (raw for one in plans for raw in raw_batches(table, one.of_students))
        for raw in again if len(begin) > 1 else (raw for _, raw in begin):
            self.vetting.meet(raw.answers["student"])
        self._refuse_a_name()
        self._refuse_swapped(begin[0][1].answers)
        self.instead = questions_instead(self.course, self.vetting.questions, self.opened)
        yield from chain(begin, first)

    def _told(self, names: Iterable[str]) -> list[str]:
        """Names of columns, sheets or files; a note for each that holds a student's id."""
        told = self.vetting.places_told(pd.Series([*names], dtype=object))
        return [name or WITHHELD for name in told]

    def _refuse_a_name(self) -> None:
        """Stop where the file is called by a student's id, which lists of files would tell."""
        name = self.opened.table.name
        if self._told([name]) == [WITHHELD]:
            parts = name.split("/")
            alone = WITHHELD in (told := self._told(parts))
            shown = "/".join(
                part
                if alone and one != WITHHELD
                else f"{part[:2]}… (a name of {len(part)} letters)"
                for part, one in zip(parts, told, strict=True)
            )
            raise InputError(
                f"{shown}: it holds the id or address of a student, and names of files are stored. "
                "Give the file, or the folder, another name."
            )

    def _refuse_swapped(self, raw: pd.DataFrame) -> None:
        """Stop where students stand in the place of questions: questions are stored as they are."""
        texts = {name: coded(raw[name])[1] for name in ("student", "item")}
        find = self.vetting.questions.find_worded
        unlisted = sum(not find(plain_text(text)) for text in texts["item"][:_MOST_LOOKED_UP])
        if 2 * unlisted <= len(texts["item"]) or len(texts["item"]) < _FEW:
            return
        named = sum(bool(find(plain_text(one))) for one in texts["student"][:_MOST_LOOKED_UP])
        if named > _MOST_OF * len(texts["student"]):
            header_of = self.opened.plan.header_of
            raise InputError(
                f"{self.opened.table.name}: {header_of('student')!r}, taken for the student, names "
                f"questions of the list, and {header_of('item')!r}, taken for the question, hardly "
                "any: the two columns are swapped. Put each under the name of the other, in the "
                "file or in the map."
            )

    def _batch(self, raw: RawBatch, sieve: Sieve) -> Batch:
        sieve.notes.add("rows of totals or of column names, left out", raw.totals)
        sieve.notes.add("rows without any answer", raw.empty)
        self.vetting.vet(sieve)
        if raw.broken:
            lines, rows = zip(*raw.broken, strict=True)
            places = self.vetting.places_told(pd.Series([row.place for row in rows], dtype=object))
            sieve.add_broken(list(lines), list(rows), places)
        frame = self.settling.settle(sieve.frame)
        own = same(frame["quiz_given"], frame["quiz_own"])
        frame["quiz_other"] = replaced(frame["quiz_given"], own, None)
        frame = known_by_day(
            self._withheld(frame), self.known, self.settling, self.course.time_zone
        )
        frame = _with_blanks(frame, sieve)
        frame["fate"] = self._fates(frame)
        sieve.frame = frame
        sieve.reject(frame["fate"] == "conflict", frame["column"], CONFLICT)
        frame = sieve.frame
        self._remember(sieve)
        stored = self._with_setting(frame[frame["fate"] == "new"])
        self._note_outside(sieve, stored)
        again = frame[frame["fate"] == "duplicate"]
        earlier = self.known.held_before(again["response"].to_numpy())
        if self.seen is not None:
            self.seen.append(frame["response"].to_numpy())
        self.known.add(stored["response"].to_numpy(), stored["slot"].to_numpy())
        return Batch(
            stored=stored_frame(stored, sieve.file),
            rejected=sieve.rejected(),
            duplicates=duplicate_frame(again, sieve.file),
            scores=score_frame(again[earlier], sieve.file),
        )

    def _withheld(self, frame: pd.DataFrame) -> pd.DataFrame:
        """Keys of the answers as they were typed, and the texts without those that name a person.

        Who is known grows from week to week; the key of an answer does not turn on that. What was
        stored under the key of the note keeps it, and what will be read from a copy, which holds
        the note, gets it.
        """
        if not frame[[f"{name}_names" for name in TYPED]].any(axis=None):
            frame["slot"], frame["response"] = answer_keys(frame)
            return frame
        kept = frame.copy()
        for name in TYPED:
            for column in {name, f"{name}_given"} & set(frame.columns):
                kept[column] = replaced(frame[column], frame[f"{name}_names"], WITHHELD)
        typed, noted = np.array(answer_keys(frame)), np.array(answer_keys(kept))
        copied = self.course.privacy.after_load == "pseudonymize"
        by_note = self.known.holds(noted[1]) | (copied & ~self.known.holds(typed[1]))
        kept["slot"], kept["response"] = np.where(by_note, noted, typed)
        return kept

    def _remember(self, sieve: Sieve) -> None:
        """Keep what a copy of the file needs: whose line is whose, by pseudonym."""
        if self.course.privacy.after_load != "pseudonymize":
            return
        pairs = sieve.frame[["line", "student"]].drop_duplicates()
        for line, student in pairs.itertuples(index=False):
            whose = "" if pd.isna(student) else self.vetting.pseudonyms.marked(student)
            self.copyable &= self.students.setdefault(int(line), whose) == whose
        self.copyable &= not sieve.rejected()["needs_look"].any()

    def _fates(self, frame: pd.DataFrame) -> npt.NDArray[np.str_]:
        """`new`, `duplicate` or `conflict` for each row; the first of a slot is the one stored."""
        keys, slots = frame["response"].to_numpy(), frame["slot"].to_numpy()
        again = frame["slot"].duplicated().to_numpy()
        first = keys
        if again.any():
            places, _ = pd.factorize(slots)
            first = keys[~again][
                places
            ]  # the distinct slots stand in the order of their first rows
        stored, filled = self.known.holds(keys), self.known.fills(slots)
        behind = _behind(frame, filled & ~stored)
        return np.select(
            [stored, filled | behind, ~again, first == keys],
            ["duplicate", "conflict", "new", "duplicate"],
            "conflict",
        )

    def _with_setting(self, frame: pd.DataFrame) -> pd.DataFrame:
        """Settings that the export leaves open, from the quiz; without any, a quiz is a quiz."""
        settings = {one.id: one.setting for one in self.course.quizzes}
        setting = filled(frame["setting"], per_distinct(frame["quiz"], settings.get))
        new = {"setting": replaced(setting, setting.isna(), "quiz")}
        for name in ("supervised", "calculator"):
            by_quiz = {one.id: getattr(one, name) for one in self.course.quizzes}
            new[name] = frame[name].fillna(values_of(frame["quiz"], by_quiz.get, "boolean"))
        return frame.assign(**new)

    def _note_outside(self, sieve: Sieve, stored: pd.DataFrame) -> None:
        outside = stored["answered_on"].notna() & stored["answered_week"].isna()
        sieve.notes.add(
            "answers dated outside every term, or outside their own, stored without a week",
            stored.loc[outside, "line"],
        )
        termless = stored["term"].isna() & stored["answered_on"].isna()
        sieve.notes.add(
            f"in no page: answers {NO_TERM}",
            stored.loc[termless, "line"],
        )
        unlisted = stored["place"] == "unlisted"
        self.unlisted += int(unlisted.sum())
        self.unmatched |= any(map(holds_mathematics, stored.loc[unlisted, "item"].unique()))
        sieve.notes.add(
            "answers to questions that no item lists, stored unjudged", stored.loc[unlisted, "line"]
        )

    def left_out(self) -> dict[str, str]:
        """Columns that are worth a question and are not read: header -> what it holds."""
        questions, table = self.vetting.questions, self.opened.table
        found = (columns_left_out(self.course, questions, table, one) for one in self.opened.plans)
        said = {header: what for told in found for header, what in told.items()}
        listed = questions.ids
        asked = [one for plan in self.opened.plans for one in plan.questions if one.item]
        if any(holds_mathematics(one.header) for one in asked if one.item in listed):
            said |= {one.header: _UNMATCHED for one in asked
                     if one.item not in listed and holds_mathematics(one.header)}  # fmt: skip
        if self.unmatched and "item" in self.opened.plan.fields:
            said[self.opened.plan.header_of("item")] = _UNMATCHED
        stored = self.counts["stored"]
        if self.sieve and 2 * self.sieve.notes.count(UNREAD_SCORES) > stored:
            said[self.opened.plan.header_of("score")] = _WORDS
        if stored >= _TELLING and self.unlisted > _NEARLY_ALL * stored:
            said[self.opened.plan.header_of("item")] = _UNLISTED
        return said

    def later(self) -> LaterWord:
        """What the file says of answers that other files brought, by `source_id`."""
        found = LaterWord()
        for said in self.opened.table.contents.later():
            found = said.under(self.vetting.pseudonyms.of_source)
        return found

    def notes(self) -> tuple[str, ...]:
        """What is to be said of the file besides its rows."""
        found = self.sieve.notes.sentences() if self.sieve else ()
        said = {
            "columns not used": tuple(
                dict.fromkeys(chain.from_iterable(one.unused for one in self.opened.plans))
            ),
            "sheets not read": self.opened.other_sheets,
            "class sections, by the names of sheets with other students each": tuple(
                one.section for one in self.opened.plans if one.section
            ),
        }
        unused = [f"{what}: {_listed(self._told(names))}" for what, names in said.items() if names]
        order, plan = self.vetting.order, self.opened.plan
        if order in _FIRST and plan.map.date_order is None:
            unused.append(f"days in numbers are read with the {_FIRST[order]} first")
        if not self.vetting.first_try:
            unused.append("tries are counted from 0 in the file, and stored from 1")
        if self.instead:
            unused.append(
                "its numbers are places in another quiz than the map has, since the answers to each"
                f" question fit: {_listed(sorted(self.instead.values()))}"
            )
        empty = [] if self.counts["read"] else ["no answer stands below the column names"]
        return (*unused, *empty, *found, *self.opened.table.contents.notes())


def _behind(frame: pd.DataFrame, refused: npt.NDArray[np.bool_]) -> npt.NDArray[np.bool_]:
    """Tries at a question behind one of the same student that is refused: another file's stands."""
    if not refused.any():
        return refused
    whose = frame["student"].astype(object), frame["item"].astype(object)
    attempt = frame["attempt"].astype("float64")
    first = attempt.where(refused).groupby([*whose], dropna=False).transform("min")
    return (attempt > first).to_numpy(bool)


def _with_blanks(frame: pd.DataFrame, sieve: Sieve) -> pd.DataFrame:
    """Cells that say there is no answer as blank ones; their keys stay those of what was typed."""
    none = where_text(frame["answer"], is_unanswered)
    sieve.notes.add("answers of a dash, or `absent`, taken as blank", frame.loc[none, "line"])
    return frame.assign(answer=replaced(frame["answer"], none, "")) if none.any() else frame


def _listed(names: Sequence[str]) -> str:
    more = f" and {len(names) - _MOST_LISTED:,} more" if len(names) > _MOST_LISTED else ""
    return ", ".join(names[:_MOST_LISTED]) + more
