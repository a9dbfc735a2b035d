"""Raw answers, made fit to store: identities replaced, times read, whatever cannot be taken out.

Answers that a spreadsheet program has changed are named: 1/2 became 2-Jan, what was typed is lost.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

import pandas as pd

from pipeline.course import EXPORT_FIELDS, Course
from pipeline.ingest.dates import DateOrder, extended_days, local_days, parse_times
from pipeline.ingest.distinct import (
    Codes,
    coded,
    per_distinct,
    plain,
    replaced,
    trimmed,
    used,
    values_of,
    where_text,
)
from pipeline.ingest.facts import attempts, flags, scores, settings, whole_numbers
from pipeline.ingest.plan import Plan
from pipeline.ingest.pseudonyms import Pseudonyms, own_name
from pipeline.ingest.questions import Questions
from pipeline.ingest.settle import Settling, term_names
from pipeline.ingest.sieve import Sieve
from pipeline.ingest.withheld import TYPED, WITHHELD, bare, identifying
from pipeline.standards.answer_records import seconds_of
from pipeline.tables import DATE_CELL, FORMATTED_CELL, FORMULA_CELL, NUMBER_CELL, plain_text

_MONTH = "(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)"
_DATE = re.compile(
    rf"\d{{1,2}}[-.] ?{_MONTH}\.?(?:[- ]\d\d(?:\d\d)?)?|{_MONTH}[-.] ?\d\d(?:\d\d)?"
    r"|\d{1,2}/\d{1,2}/(?:19|20)\d\d|(?:19|20)\d\d-\d\d-\d\d(?:[T ]00:00(?::00)?)?",
    re.I,
)
_ERROR = re.compile(r"#(?:DIV/0!|N/A|NAME\?|NULL!|NUM!|REF!|VALUE!|SPILL!|CALC!|#+)", re.I)
_AGAIN = "export again with this column as text, or as CSV that no spreadsheet program has saved"
DATE_REASON = f"a spreadsheet program turned this answer into a date: {_AGAIN}"
ERROR_REASON = f"a spreadsheet program turned this answer into an error: {_AGAIN}"
FORMULA_REASON = f"a spreadsheet program took this answer for a formula: {_AGAIN}"
FORMATTED_REASON = (
    f"a spreadsheet program turned this answer into a number of another form: {_AGAIN}"
)
_MARKED = {FORMATTED_CELL: FORMATTED_REASON, DATE_CELL: DATE_REASON, FORMULA_CELL: FORMULA_REASON}


def _damage(text: str) -> str | None:
    """Why a text, with the mark of its cell, is not what was typed; None where it is."""
    if text[:1] in _MARKED:
        return _MARKED[text[0]]
    bare = text.removeprefix(NUMBER_CELL).strip()
    if _DATE.fullmatch(bare):
        return DATE_REASON
    return ERROR_REASON if _ERROR.fullmatch(bare) else None


_DATE_EXPECTED = (
    "no date that can be read; expected 2026-01-31 14:05, or 1/31/2026 2:05 PM with the order of "
    "day and month known (`date_order` in the map)"
)


_NO_TERM = "it names a person; expected a semester, such as 2026-fall"
_ERASED = "this student was erased and stays so"
UNREAD_SCORES = "scores that are no numbers, kept as no score"
_ODD_ID = (
    "an id unlike all others, as of the key or of a trial: take these rows out if it is no "
    'student, or say totals = ["-"] in the map if it is one'
)
_MANY_STUDENTS = 10
_FOREIGN = (
    "a pseudonym made under another key or other rules of identity: put the raw export back, or "
    "the key and the [privacy] settings under which this copy was made"
)


@dataclass(frozen=True)
class Vetting:
    """What the rows of one file are held against."""

    course: Course
    questions: Questions
    pseudonyms: Pseudonyms
    settling: Settling
    plan: Plan
    order: DateOrder | None
    is_workbook: bool
    erased: frozenset[str] = frozenset()
    stored: frozenset[str] = frozenset()
    met: set[str] = field(default_factory=set, repr=False)
    first_try: int = 1

    def vet(self, sieve: Sieve) -> None:
        """Turn the raw answers of a sieve into answers that can be stored.

        Adds `problem_given, quiz_given, term_given, answered_on`, and for each text that may name
        a person whether it does; takes `problem` and the raw `student` away. The order of the
        steps decides which complaint a row gets: who comes before what, and what before when.
        """
        self.meet(sieve.frame["student"])
        places = self.places_told(sieve.frame["source_place"])
        sieve.frame = sieve.frame.assign(source_place=places)
        self._students(sieve)
        self._items(sieve)
        self._answers(sieve)
        self._withhold(sieve)
        self._times(sieve)
        self._numbers(sieve)
        self._drop_blank_beside_answered(sieve)
        self._terms(sieve)
        self._pseudonymize(sieve)
        self._facts(sieve)

    def _students(self, sieve: Sieve) -> None:
        frame, column = sieve.frame, self.plan.header_of("student")
        dates = where_text(frame["student"], lambda text: text.startswith(DATE_CELL))
        sieve.reject(
            dates, column, "a spreadsheet program turned this id into a date: format as text"
        )
        normal = per_distinct(sieve.frame["student"], self.pseudonyms.normal)
        sieve.frame = sieve.frame.assign(student=normal)
        tests = where_text(sieve.frame["student"], self.pseudonyms.is_test_account)
        reason = "a test account, left out as the course says"
        sieve.reject(tests, column, reason, needs_look=False)
        foreign = where_text(sieve.frame["student"], self.pseudonyms.is_foreign)
        sieve.reject(foreign, column, _FOREIGN)
        if self.erased:
            erased = where_text(
                sieve.frame["student"], lambda one: self.pseudonyms.tombstone(one) in self.erased
            )
            sieve.reject(erased, column, _ERASED, needs_look=False)
        if not self.plan.map.totals:
            sieve.reject(_is_odd(sieve.frame["student"]), column, _ODD_ID)
        nobody = (sieve.frame["student"] == "") & (trimmed(sieve.frame["count"]) == "")
        sieve.reject(nobody, column, "no student: expected an id, or a `count` of answers")

    def _items(self, sieve: Sieve) -> None:
        questions = self.questions.called(self.plan.names)
        instead = self.plan.instead

        def told(text: str) -> str:
            name = questions.named(plain_text(text))
            return instead.get(name, name)

        named = per_distinct(sieve.frame["item"], told)
        sieve.frame = sieve.frame.assign(item=named)
        sieve.reject(named == "", self.plan.header_of("item"), "no question: expected an item's id")

    def _answers(self, sieve: Sieve) -> None:
        skipped = {item.id for item in self.course.items if item.place == "skip"}
        for name in ("answer", "problem"):
            frame = sieve.frame
            reasons = per_distinct(frame[name], _damage).where(~frame["item"].isin(skipped))
            headers = frame["column"] if name == "answer" else self.plan.header_of(name)
            plain = per_distinct(frame[name], plain_text)
            for reason in reasons.dropna().unique():
                sieve.reject(reasons == reason, headers, reason, plain)
                kept = sieve.frame.index
                reasons, plain = reasons[kept], plain[kept]
                headers = headers[kept] if isinstance(headers, pd.Series) else headers
        if self.is_workbook:
            self._take_marks_off(sieve)
        self._drop_skipped(sieve, skipped)

    def _take_marks_off(self, sieve: Sieve) -> None:
        """Have the texts of a workbook without the marks of their cells."""
        frame = sieve.frame
        numbers = where_text(frame["answer"], lambda text: text.startswith(NUMBER_CELL))
        sieve.notes.add(
            "answers that the file holds as numbers, so that zeros at either end may be lost",
            frame.loc[numbers, "line"],
        )
        texts = [name for name in EXPORT_FIELDS if name != "student"]
        sieve.frame = frame.assign(
            **{name: per_distinct(frame[name], plain_text) for name in texts}
        )

    def meet(self, students: pd.Series[Any]) -> None:
        """Remember whose rows a file holds: a text above them may name them."""
        normal = map(self.pseudonyms.normal, coded(students)[1])
        self.met.update(bare(own_name(one)) for one in normal)

    def is_student(self, text: str) -> bool:
        """Whether a text is the id of any student whom the course knows, or once knew."""
        terms = (term.id for term in self.course.terms)
        return self.pseudonyms.is_one_of(text, self.stored, self.erased, terms)

    def places_told(self, places: pd.Series[Any]) -> pd.Series[Any]:
        """Places in an archive; none where a file in it is named after a student."""
        nobody = pd.Series("", index=places.index)
        return replaced(places, identifying(places, nobody, self.is_student, self.met), "")

    def _names(self, frame: pd.DataFrame, texts: pd.Series[Any]) -> pd.Series[bool]:
        """Which texts hold an e-mail address or any student's id."""
        students = per_distinct(frame["student"], own_name)
        return identifying(texts, students, self.is_student, self.met)

    def _withhold(self, sieve: Sieve) -> None:
        """Mark what a student typed, or an export names, of an identity."""
        frame = sieve.frame
        marks = {name: self._names(frame, frame[name]) for name in TYPED}
        marks["item"] &= ~frame["item"].isin(self.questions.ids)
        for name, found in marks.items():
            if found.any():
                sieve.notes.add(f"`{name}` withheld: {WITHHELD}", sieve.frame.loc[found, "line"])
        sieve.frame = sieve.frame.assign(**{f"{name}_names": one for name, one in marks.items()})

    def _drop_skipped(self, sieve: Sieve, skipped: set[str]) -> None:
        """Essays, graphs and uploads are counted; their text is not stored."""
        there = sieve.frame["item"].isin(skipped)
        if there.any():
            kept = {name: replaced(sieve.frame[name], there, None) for name in ("answer", "work")}
            sieve.frame = sieve.frame.assign(**kept)

    def _times(self, sieve: Sieve) -> None:
        texts = trimmed(sieve.frame["answered_at"])
        times, days = read_days(self.course, self.plan, self.order, texts)
        sieve.frame = sieve.frame.assign(answered_at=times, answered_on=days)
        bad = (texts != "") & times.isna()
        sieve.reject(bad, self.plan.header_of("answered_at"), _DATE_EXPECTED, texts)

    def _numbers(self, sieve: Sieve) -> None:
        for name in ("attempt", "count"):
            texts = trimmed(sieve.frame[name])
            numbers = attempts(texts, self.first_try) if name == "attempt" else whole_numbers(texts)
            sieve.frame = sieve.frame.assign(**{name: numbers})
            sieve.reject(
                (texts != "") & numbers.isna(), self.plan.header_of(name),
                f"{name} is no whole number from 1", texts,
            )  # fmt: skip
        sieve.frame = sieve.frame.assign(count=sieve.frame["count"].fillna(1))

    @staticmethod
    def _drop_blank_beside_answered(sieve: Sieve) -> None:
        """Rows that say a question was opened, or a hint asked for: they are no tries at it.

        Only on the same day in the same quiz: left open in an exam is left open, whatever came
        before.
        """
        frame = sieve.frame
        blank = trimmed(frame["answer"]) == ""
        open_rows = blank & frame["attempt"].isna() & (frame["student"] != "")
        if not open_rows.any():
            return
        told = ("student", "item", "quiz", "setting")
        day = frame["answered_on"].astype(str)
        sittings = pd.MultiIndex.from_arrays([*(plain(frame[name]) for name in told), day])
        beside = pd.Series(sittings.isin(sittings[~blank]), frame.index)
        reason = "no answer in it, and the student answered this question on the same day"
        sieve.reject(open_rows & beside, frame["column"], reason, needs_look=False)

    def _terms(self, sieve: Sieve) -> None:
        given = _filled(sieve.frame["term"], self.plan.map.term)
        if self.course.declared_terms:
            known = term_names(self.course.terms)
            ids = ", ".join(term.id for term in self.course.terms)
            found = per_distinct(given, lambda text: known.get(text.casefold()))
            unknown = given.notna() & found.isna()
            given = found
            sieve.frame = sieve.frame.assign(term_given=given)
            sieve.reject(unknown, self.plan.header_of("term"), f"no term of this course: {ids}")
        else:
            sieve.frame = sieve.frame.assign(term_given=given)
            named = self._names(sieve.frame, given)
            sieve.reject(named, self.plan.header_of("term"), _NO_TERM)

    def _pseudonymize(self, sieve: Sieve) -> None:
        linked = self.course.privacy.link_terms
        terms = None if linked else self.settling.terms(sieve.frame)
        students = self.pseudonyms.all_of(sieve.frame["student"], terms)
        sieve.frame = sieve.frame.assign(student=students)

    def _named_sections(self, sections: pd.Series[Any]) -> pd.Series[Any]:
        """Class sections by the titles that a roster in the folder `standards` gives them."""
        titles = self.course.standards.classes
        if not titles:
            return sections
        return per_distinct(sections, lambda text: titles.get(text.strip(), text))

    def _facts(self, sieve: Sieve) -> None:
        frame, given = sieve.frame, self.plan.map
        section = self.plan.section if given.section is None else given.section
        comma = self.course.reading.decimal_comma
        score, points, bad = scores(frame["score"], decimal_comma=comma, right=given.right)
        most, _, _ = scores(frame["points"], decimal_comma=comma)
        setting, other = settings(frame["setting"])
        new: dict[str, Any] = {
            # `correct` and `80%` are shares of the points that another column tells.
            "score": score.where(~(points > 0) | most.isna(), score / points * most),
            "points": most.fillna(points),
            "section": _filled(self._named_sections(frame["section"]), section),
            "quiz_given": _filled(frame["quiz"], given.quiz),
            "setting": _or_whole(setting, given.setting),
            "work": _filled(frame["work"], None),
            "problem_given": _filled(frame["problem"], None),
            "source_place": _filled(frame["source_place"], None),
            "source_id": per_distinct(
                frame["source_id"], lambda text: self.pseudonyms.of_source(text) if text else None
            ),
            "seconds": values_of(frame["seconds"], seconds_of, "float64"),
        }
        for name, whole in (("supervised", given.supervised), ("calculator", given.calculator)):
            found, strange = flags(frame[name])
            new[name] = found if whole is None else found.fillna(whole)
            sieve.notes.add(f"`{name}` neither yes nor no, left open", frame.loc[strange, "line"])
        if given.section_from is not None and section is None:
            unnamed = frame.loc[new["section"].isna(), "line"]
            sieve.notes.add("no class section: the name does not fit `section_from`", unnamed)
        sieve.notes.add(UNREAD_SCORES, frame.loc[bad, "line"])
        sieve.notes.add("settings other than practice, quiz, exam", frame.loc[other, "line"])
        sieve.frame = frame.assign(**new).drop(columns=["problem", "term", "quiz"])


def _is_odd(students: pd.Series[Any]) -> pd.Series[bool]:
    """Rows of the one word where all other ids are built alike, with digits."""
    texts = set(coded(students)[1]) - {""}
    odd = {text for text in texts if not any(map(str.isdigit, text))}
    built = {re.sub(r"[^\W\d_]+", "b", re.sub(r"\d+", "9", text)) for text in texts - odd}
    alone = len(odd) == len(built) == 1 and len(texts) > _MANY_STUDENTS
    return where_text(students, lambda text: alone and text in odd)


def _filled(texts: pd.Series[Any], whole_file: str | None) -> pd.Series[Any]:
    """Texts, outer blanks gone; where there is none, that of the whole file, or missing."""
    return _or_whole(per_distinct(texts, lambda text: text.strip() or None), whole_file)


def _or_whole(texts: pd.Series[Any], whole_file: str | None) -> pd.Series[Any]:
    return replaced(texts, texts.isna(), whole_file) if whole_file is not None else texts


def read_days(
    course: Course, plan: Plan, order: DateOrder | None, column: pd.Series[Any]
) -> tuple[pd.Series[Any], pd.Series[Any]]:
    """Times in UTC and days in the course's zone; the file's date where a row has none.

    Args:
        course: its time zone counts where the map names none.
        plan: of the file.
        order: of day and month.
        column: of trimmed texts, none of them missing.
    """
    zone = plan.map.time_zone or course.time_zone
    rows, texts = coded(used(column))
    written = extended_days(pd.Series(texts, dtype=object))
    times = parse_times(written, order, zone)
    if plan.map.date is not None:
        whole = pd.Timestamp(plan.map.date).tz_localize(zone).tz_convert("UTC").tz_localize(None)
        times = times.where(written != "", whole)
    days = local_days(times, course.time_zone)
    return _laid_out(times, rows, column.index), _laid_out(days, rows, column.index)


def _laid_out(distinct: pd.Series[Any], rows: Codes, index: pd.Index[Any]) -> pd.Series[Any]:
    return pd.Series(distinct.to_numpy()[rows], index)
