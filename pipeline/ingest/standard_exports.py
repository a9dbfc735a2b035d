"""Exports in an open standard's format: told by what is in them, given as tables of answers."""

from __future__ import annotations

import io
import re
import zipfile
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import chain
from typing import BinaryIO, cast

from pipeline.course import Course
from pipeline.errors import InputError
from pipeline.ingest.standard_rows import COLUMNS, StandardRows
from pipeline.standards import QtiItem, read_qti_package
from pipeline.standards.answer_records import ItemAnswer, LeftOut
from pipeline.standards.caliper import event_answers
from pipeline.standards.qti_results import result_answers
from pipeline.standards.xapi import statement_answers
from pipeline.standards.xml_reading import MAX_XML_BYTES
from pipeline.tables import (
    BrokenRow,
    Contents,
    Recognizer,
    Source,
    TableRow,
    archive_members,
)

__all__ = ["recognizers"]

_HEAD = 1 << 14
_PEEKED = 20
_MANIFEST = "imsmanifest.xml"
_TABLES = (".csv", ".tsv", ".tab", ".txt", ".xlsx", ".xlsm", ".ods", ".parquet", ".json", ".jsonl")
_RESULT = re.compile(r"<(?:[\w.-]+:)?assessmentResult[\s>]")
_QUESTIONS = re.compile(
    r"<(?:[\w.-]+:)?(?:assessmentItem|assessmentTest|qti-assessment-\w+|questestinterop|manifest)[\s>]"
)
_SOURCED = re.compile(r"""<(?:[\w.-]+:)?context\b[^<>]*?\bsourcedId\s*=\s*["']([^"'<>]+)""")
_EVENTS = re.compile(
    r'"(?:@context|dataVersion)"\s*:\s*\[?\s*"http://purl\.imsglobal\.org/ctx/caliper/'
)
_EVENT = re.compile(r'"type"\s*:\s*"(?:AssessmentItem|Grade)Event"')
_STATEMENTS = re.compile(r'^\s*\{\s*"(?:statements"\s*:\s*\[|more")')
_STATEMENT = re.compile(r'"verb"\s*:\s*\{')
_PLACE = re.compile(r"(\d+:\d+): (.*)", re.DOTALL)

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
    if source.ending == ".zip" and source.member is None:
        return _result_archive(course, source)
    head = _head(source)
    if not head.lstrip("\ufeff \t\r\n").startswith("<"):
        return None
    if _QUESTIONS.search(head) and not _RESULT.search(head):
        raise InputError(
            f"{source.name}: these are questions and no answers. Put the file into the folder "
            "`standards` beside `exports`, where it says what identifiers of options mean."
        )
    if source.ending != ".xml" and not _RESULT.search(head):
        return None
    return _table(course, source, _result_answers)


def _result_answers(
    stream: BinaryIO, name: str, _notes: list[str]
) -> Iterator[ItemAnswer | LeftOut]:
    return _in_time(result_answers(stream, name))


def _in_time(answers: Iterator[ItemAnswer | LeftOut]) -> Iterator[ItemAnswer | LeftOut]:
    """Answers without their numbers where the file holds all attempts and their times.

    Their order of time is their order, and stays so beside another sitting of the same student,
    which counts its attempts from 1 again.
    """
    found = list(answers)
    of_item: dict[str, list[ItemAnswer]] = defaultdict(list)
    for one in found:
        if isinstance(one, ItemAnswer):
            of_item[one.item].append(one)
    timed = {item for item, ones in of_item.items() if _told_by_time(ones)}
    for one in found:
        if isinstance(one, ItemAnswer) and one.item in timed:
            yield replace(one, attempt=None)
        else:
            yield one


def _told_by_time(answers: list[ItemAnswer]) -> bool:
    numbers = {one.attempt for one in answers}
    times = {one.answered_at for one in answers}
    return numbers == set(range(1, len(numbers) + 1)) and len(times) == len(numbers) and all(times)


def _result_archive(course: Course, source: Source) -> Contents | None:
    """An archive of results, read in one pass however many files are in it.

    An archive with tables beside the results is none: it is taken apart, member by member.
    """
    members = archive_members(source)
    inside = [one for one in members if one.ending == ".xml"]
    if not inside or any(one.ending in _TABLES for one in members):
        return None
    heads = _heads(source, inside[:_PEEKED])
    results = [head for head in heads if _RESULT.search(head)]
    if not results:
        if any(one.member and one.member.endswith(_MANIFEST) for one in members):
            raise InputError(
                f"{source.name}: a package of questions and no answers. Put it into the folder "
                "`standards` beside `exports`, where it says what identifiers of options mean."
            )
        return None
    peeked = zip(inside, heads, strict=False)
    personal = any(_names_its_student(str(one.member), head) for one, head in peeked)
    notes: list[str] = []

    def rows(_sheet: str) -> Iterator[TableRow]:
        notes.clear()
        yield 1, list(COLUMNS)
        with zipfile.ZipFile(source.path) as archive:
            yield from _archive_rows(course, source, archive, inside, personal, notes)

    return Contents(rows, notes=lambda: tuple(notes))


def _heads(source: Source, inside: list[Source]) -> list[str]:
    with zipfile.ZipFile(source.path) as archive:
        return [_decoded(_bytes_of(archive, str(one.member), _HEAD)[0]) for one in inside]


def _archive_rows(
    course: Course, source: Source, archive: zipfile.ZipFile, inside: list[Source],
    personal: bool, notes: list[str],
) -> Iterator[TableRow]:  # fmt: skip
    package = dict(course.standards.packages) | _own_package(source, archive, inside)
    table = StandardRows(course, package)
    line = 2
    for number, one in enumerate(inside, 1):
        member = str(one.member)
        data, error = _bytes_of(archive, member)
        head = _decoded(data[:_HEAD])
        if _QUESTIONS.search(head) and not _RESULT.search(head):
            continue
        hidden = personal or _names_its_student(member, head)
        called = f"member {number}" if hidden else member
        try:
            if error:
                raise InputError(f"{source.name}/{member}:1:1: {error}")
            stream = cast("BinaryIO", io.BytesIO(data))
            answers = list(_in_time(result_answers(stream, f"{source.name}/{member}")))
        except InputError as refused:
            place, reason = _told(str(refused), f"{source.name}/{member}:")
            yield line, BrokenRow(reason, place=f"{called}:{place}")
            line += 1
            continue
        for answer in answers:
            for cells in table.rows(answer, f"{called}:{answer.line}"):
                yield line, cells
                line += 1
    notes += table.sentences()


def _bytes_of(
    archive: zipfile.ZipFile, member: str, most: int = MAX_XML_BYTES + 1
) -> tuple[bytes, str]:
    """The first bytes of a member, or why there are none."""
    try:
        with archive.open(member) as stream:
            return stream.read(most), ""
    except (zipfile.BadZipFile, EOFError, OSError, ValueError, NotImplementedError) as error:
        return b"", f"the archive breaks off or is damaged here ({error}). Download it again."


def _own_package(
    source: Source, archive: zipfile.ZipFile, inside: list[Source]
) -> dict[str, QtiItem]:
    """Questions of an archive that is a package, too."""
    names = [str(one.member) for one in inside]
    manifest = next((name for name in names if name.rpartition("/")[2] == _MANIFEST), None)
    if manifest is None:
        return {}
    listed = set(re.findall(r'href\s*=\s*"([^"]+)"', _decoded(_bytes_of(archive, manifest)[0])))
    folder = manifest.removesuffix(_MANIFEST)
    wanted = [name for name in names if name == manifest or name.removeprefix(folder) in listed]
    members = [
        (name, lambda name=name: cast("BinaryIO", io.BytesIO(_bytes_of(archive, name)[0])))
        for name in wanted
    ]
    return read_qti_package(members, source.name).named()


def _names_its_student(member: str, head: str) -> bool:
    """Whether the name of a member holds the identity that its context names."""
    found = _SOURCED.search(head)
    return found is not None and found[1].strip().casefold() in member.casefold()


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


def _told(message: str, name: str) -> tuple[str, str]:
    """Place and reason of an error whose file is known."""
    found = _PLACE.fullmatch(message.removeprefix(name))
    return (found[1], found[2]) if found else ("1", message.removeprefix(name).strip())


def _head(source: Source) -> str:
    try:
        with source.opened() as stream:
            return _decoded(stream.read(_HEAD))
    except (OSError, EOFError, zipfile.BadZipFile, ValueError, NotImplementedError):
        return ""  # whoever reads it says what is wrong


def _decoded(data: bytes) -> str:
    """The begin of a file as text, good enough to look for names in."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace")
    return data.replace(b"\0", b"").decode("utf-8", "replace")
