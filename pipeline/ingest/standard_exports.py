"""Exports in an open standard's format: told by what is in them, given as tables of answers."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable, Iterator
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
from pipeline.standards.answer_records import ItemAnswer, LeftOut
from pipeline.standards.caliper import event_answers
from pipeline.standards.qti_results import result_answers
from pipeline.standards.xapi import statement_answers
from pipeline.standards.xml_reading import MAX_XML_BYTES
from pipeline.tables import (
    Contents,
    Recognizer,
    Source,
    TableRow,
)

__all__ = ["recognizers"]

_HEAD = 1 << 14
_EVENTS = re.compile(
    r'"(?:@context|dataVersion)"\s*:\s*\[?\s*"http://purl\.imsglobal\.org/ctx/caliper/'
)
_EVENT = re.compile(r'"type"\s*:\s*"(?:AssessmentItem|Grade)Event"')
_STATEMENTS = re.compile(r'^\s*\{\s*"(?:statements"\s*:\s*\[|more")')
_STATEMENT = re.compile(r'"verb"\s*:\s*\{')

_Read = Callable[[BinaryIO, str, list[str]], Iterator[ItemAnswer | LeftOut]]


def recognizers(course: Course) -> tuple[Recognizer, ...]:
    """Tells exports in the formats of QTI, xAPI and Caliper; see `pipeline.tables`.

    Args:
        course: its questions, and the QTI packages of its folder `standards`, say what is meant.
    """
    return (
        lambda source: _results(course, source),
        lambda source: _json(course, source),
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
    return _table(course, source, _result_answers)


def _result_answers(
    stream: BinaryIO, name: str, _notes: list[str]
) -> Iterator[ItemAnswer | LeftOut]:
    return in_time(result_answers(stream, name))


def _json(course: Course, source: Source) -> Contents | None:
    """XAPI statements or Caliper events, a file each."""
    if source.ending == ".zip":
        return None
    head = _head(source).lstrip("\ufeff \t\r\n")
    if not head.startswith(("{", "[")):
        return None
    if _EVENTS.search(head) or _EVENT.search(head):
        return _table(course, source, event_answers)
    if _STATEMENTS.search(head) or _STATEMENT.search(head):
        return _table(course, source, statement_answers)
    return None


def _table(course: Course, source: Source, read: _Read) -> Contents:
    notes: list[str] = []

    def rows(_sheet: str) -> Iterator[TableRow]:
        notes.clear()
        yield 1, list(COLUMNS)
        with source.opened() as packed:
            stream = cast("BinaryIO", io.BytesIO(packed.read(MAX_XML_BYTES + 1)))
        # All of the file is proved before anything of it is given.
        addresses = frozenset(
            one.item for one in read(stream, source.name, []) if isinstance(one, ItemAnswer)
        )
        stream.seek(0)
        table = StandardRows(course, course.standards.packages, addresses)
        answers = read(stream, source.name, notes)
        cells = chain.from_iterable(table.rows(one, str(one.line)) for one in answers)
        yield from enumerate(cells, 2)
        notes.extend(table.sentences())

    return Contents(rows, notes=lambda: tuple(notes))


def _head(source: Source) -> str:
    try:
        with source.opened() as stream:
            return decoded(stream.read(_HEAD))
    except (OSError, EOFError, zipfile.BadZipFile, ValueError, NotImplementedError):
        return ""  # whoever reads it says what is wrong
