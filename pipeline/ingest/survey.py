"""Terms worked out from the dates of the answers, for a course that declares none."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pandas as pd

from pipeline.course import Course, Term
from pipeline.errors import InputError
from pipeline.ingest.dates import DateOrder
from pipeline.ingest.distinct import per_distinct
from pipeline.ingest.export_files import OpenedExport, date_order, export_sources, open_export
from pipeline.ingest.known import KnownResponses
from pipeline.ingest.plan import Plan
from pipeline.ingest.questions import Questions
from pipeline.ingest.raw_answers import raw_batches
from pipeline.ingest.vet import read_days

_Span = tuple[date, date]
UNDATED = Term("all answers", "All answers", None, 1)
"""The term of a course whose answers show none."""


def season_of(day: date) -> str:
    """The US academic term that a day falls into. Source: common practice."""
    if day.month <= 5:
        return f"Spring {day.year}"
    return f"Summer {day.year}" if day.month <= 7 else f"Fall {day.year}"


def settle_terms(course: Course, known: KnownResponses) -> Course:
    """Give a course without declared terms those that its answers show.

    A term that exports name keeps its name; other answers fall into spring, summer and fall. Week
    1 begins on the Monday of the first answer. Files that cannot be read are passed over here;
    `load_exports` reports them.
    """
    if course.declared_terms:
        return course
    spans: dict[str, _Span | None] = dict(known.first_answers)
    questions = Questions(course.items)
    for _, source in export_sources(course):
        try:
            opened = open_export(course, questions, source, known)
            if opened is not None:
                _look_through(course, opened, spans)
        except InputError:
            continue
    terms = sorted(
        (_term(name, span) for name, span in spans.items()),
        key=lambda term: (term.first_day or date.max, term.id),
    )
    return replace(course, terms=tuple(terms) or (UNDATED,))


def _look_through(course: Course, opened: OpenedExport, spans: dict[str, _Span | None]) -> None:
    order = date_order(course, opened)
    for plan in opened.plans:
        for batch in raw_batches(opened.table, plan):
            _see(course, plan, order, batch.answers, spans)


def _see(
    course: Course,
    plan: Plan,
    order: DateOrder | None,
    answers: pd.DataFrame,
    spans: dict[str, _Span | None],
) -> None:
    texts = per_distinct(answers["answered_at"], lambda text: text.strip().lstrip("\x00"))
    _, days = read_days(course, plan, order, texts)
    given = per_distinct(answers["term"], lambda text: text.strip() or plan.map.term or "")
    pairs = pd.DataFrame({"given": given, "day": days}).drop_duplicates()
    for name, day in pairs.itertuples(index=False):
        _stretch(spans, str(name), None if pd.isna(day) else day.date())


def _stretch(spans: dict[str, _Span | None], given: str, day: date | None) -> None:
    if day is None:
        if given:
            spans.setdefault(given, None)
        return
    name = given or season_of(day)
    span = spans.get(name)
    spans[name] = (min(span[0], day), max(span[1], day)) if span else (day, day)


def _term(name: str, span: _Span | None) -> Term:
    if span is None:
        return Term(name, name, None, 1)
    monday = span[0] - timedelta(days=span[0].weekday())
    return Term(name, name, monday, (span[1] - monday).days // 7 + 1)
