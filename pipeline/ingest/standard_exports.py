"""Exports in an open standard's format: told by what is in them, given as tables of answers."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import partial
from itertools import chain
from typing import BinaryIO, cast

from pipeline.course import Course
from pipeline.errors import InputError
from pipeline.ingest.result_sets import (
    QUESTIONS,
    RESULT,
    ResultFolder,
    decoded,
    in_time,
    result_set,
)
from pipeline.ingest.standard_rows import COLUMNS, StandardRows
from pipeline.standards.answer_records import ItemAnswer, LaterWord, LeftOut
from pipeline.standards.caliper import CaliperEvents
from pipeline.standards.events import EventFile
from pipeline.standards.qti_results import result_answers
from pipeline.standards.xapi import XapiStatements
from pipeline.tables import Contents, Recognizer, Source, TableRow

_HEAD = 1 << 14
_KINDS: tuple[tuple[type[EventFile], tuple[re.Pattern[str], ...]], ...] = (
    (CaliperEvents, (
        re.compile(
            r'"(?:@context|dataVersion)"\s*:\s*\[?\s*"http://purl\.imsglobal\.org/ctx/caliper/'
        ),
        re.compile(r'"type"\s*:\s*"(?:AssessmentItem|Grade)Event"'),
    )),
    (XapiStatements, (
        re.compile(r'^\{\s*"(?:statements"\s*:\s*\[|more")'),
        re.compile(r'"verb"\s*:\s*\{'),
    )),
)  # fmt: skip


def recognizers(course: Course, told: Mapping[str, str] | None = None) -> tuple[Recognizer, ...]:
    """Tells exports in the formats of QTI, xAPI and Caliper; see `pipeline.tables`.

    Args:
        course: its questions, and the QTI packages of its folder `standards`, say what is meant.
        told: question -> the address by whose end earlier files told it.
    """
    return (
        lambda source: _results(course, source),
        lambda source: _json(course, source, told or {}),
    )


def _results(course: Course, source: Source) -> Contents | None:
    """QTI results, a file or an archive of files."""
    if isinstance(source, ResultFolder) or (source.ending == ".zip" and source.member is None):
        return result_set(course, source)
    head = _head(source)
    if not head.lstrip("\ufeff \t\r\n").startswith("<"):
        return None
    if QUESTIONS.search(head) and not RESULT.search(head):
        raise InputError(
            f"{source.name}: these are questions and no answers. Put the file into the folder "
            "`standards` beside `exports`, where it says what identifiers of options mean."
        )
    if source.ending != ".xml" and not RESULT.search(head):
        return None
    return _table(course, source, lambda: _Results(source), {})


class _Results:
    """One file of results, which is read whole: its attempts stand in no order."""

    items: frozenset[str] = frozenset()
    later = LaterWord()

    def __init__(self, source: Source) -> None:
        with source.opened() as stream:
            results = result_answers(cast("BinaryIO", stream), source.name)
            self._answers = list(in_time(results))

    def answers(self, _notes: list[str]) -> Iterator[ItemAnswer | LeftOut]:
        return iter(self._answers)


def _json(course: Course, source: Source, told: Mapping[str, str]) -> Contents | None:
    """XAPI statements or Caliper events, a file each."""
    if source.ending == ".zip":
        return None
    head = _head(source).lstrip("\ufeff \t\r\n")
    if not head.startswith(("{", "[")):
        return None
    for kind, signs in _KINDS:
        if any(sign.search(head) for sign in signs):
            return _table(course, source, partial(kind, source.opened, source.name), told)
    return None


def _table(
    course: Course,
    source: Source,
    look: Callable[[], EventFile | _Results],
    told: Mapping[str, str],
) -> Contents:
    notes: list[str] = []
    later: list[LaterWord] = []

    def rows(_sheet: str) -> Iterator[TableRow]:
        notes.clear()
        later.clear()
        yield 1, list(COLUMNS)
        file = look()  # all of it is proved before anything of it is given
        packages = course.standards.packages
        table = StandardRows(course, packages, frozenset(file.items), dict(told))
        answers = file.answers(notes)
        cells = chain.from_iterable(table.rows(one, str(one.line)) for one in answers)
        yield from enumerate(cells, 2)
        notes.extend(table.sentences())
        later.append(replace(file.later, addresses=table.told))

    return Contents(rows, notes=lambda: tuple(notes), later=lambda: tuple(later))


def _head(source: Source) -> str:
    try:
        with source.opened() as stream:
            return decoded(stream.read(_HEAD))
    except (OSError, EOFError, zipfile.BadZipFile, ValueError, NotImplementedError):
        return ""  # whoever reads it says what is wrong
