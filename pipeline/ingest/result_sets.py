"""QTI results that come many at once: an archive, or a folder of files, as one table of answers.

A file of one student each, tens of thousands of them, is read one after another; whatever is broken
is one row that says where, and the others load. A name that holds a student's identity is told as
a number.
"""

from __future__ import annotations

import hashlib
import io
import re
import zipfile
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import BinaryIO, cast

from pipeline.course import Course
from pipeline.errors import InputError
from pipeline.ingest.standard_rows import COLUMNS, StandardRows
from pipeline.standards import QtiItem, read_qti_package
from pipeline.standards.answer_records import ItemAnswer, LeftOut
from pipeline.standards.qti_results import result_answers
from pipeline.standards.xml_reading import MAX_XML_BYTES
from pipeline.tables import BrokenRow, Contents, Source, TableRow, archive_members

MANY_FILES = 200
"""XML files in one folder beyond which they are read as one export, as an archive is."""

RESULT = re.compile(r"<(?:[\w.-]+:)?assessmentResult[\s>]")
QUESTIONS = re.compile(
    r"<(?:[\w.-]+:)?"
    r"(?:assessmentItem|assessmentTest|qti-assessment-\w+|questestinterop|manifest)[\s>]"
)
_HEAD, _PEEKED, _CHUNK = 1 << 14, 20, 1 << 20
_MANIFEST = "imsmanifest.xml"
_TABLES = (".csv", ".tsv", ".tab", ".txt", ".xlsx", ".xlsm", ".ods", ".parquet", ".json", ".jsonl")
_SOURCED = re.compile(r"""<(?:[\w.-]+:)?context\b[^<>]*?\bsourcedId\s*=\s*["']([^"'<>]+)""")
_PLACE = re.compile(r"(\d+:\d+): (.*)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class ResultFolder(Source):
    """The XML files of one folder as one export; `path` is the folder."""

    def sha256(self) -> str:
        """Of the names and bytes of all files, in hex."""
        digest = hashlib.sha256()
        for path in result_files(self.path):
            digest.update(f"{path.name}\n{path.stat().st_size}\n".encode())
            with path.open("rb") as stream:
                while chunk := stream.read(_CHUNK):
                    digest.update(chunk)
        return digest.hexdigest()


def result_files(folder: Path) -> list[Path]:
    """XML files of a folder that are not hidden, in the order of their names."""
    return sorted(
        path
        for path in folder.iterdir()
        if path.suffix.lower() == ".xml" and not path.name.startswith(".") and path.is_file()
    )


@dataclass(frozen=True, slots=True)
class _Files:
    """Files of a set: their names, and the first bytes of one, or why there are none."""

    names: list[str]
    first_bytes: Callable[[str, int], tuple[bytes, str]]

    def head(self, name: str) -> str:
        return decoded(self.first_bytes(name, _HEAD)[0])

    def stream(self, name: str) -> BinaryIO:
        return cast("BinaryIO", io.BytesIO(self.first_bytes(name, MAX_XML_BYTES + 1)[0]))


@contextmanager
def _opened(source: Source, names: list[str]) -> Iterator[_Files]:
    if isinstance(source, ResultFolder):
        yield _Files(names, lambda name, most: _bytes_of(lambda: (source.path / name).open("rb"),
                                                         most))  # fmt: skip
        return
    with zipfile.ZipFile(source.path) as archive:
        yield _Files(names, lambda name, most: _bytes_of(lambda: archive.open(name), most))


def _bytes_of(opened: Callable[[], object], most: int) -> tuple[bytes, str]:
    try:
        with cast("BinaryIO", opened()) as stream:
            return stream.read(most), ""
    except (zipfile.BadZipFile, EOFError, OSError, ValueError, NotImplementedError) as error:
        return b"", f"it cannot be read, or is damaged ({error}). Download it again."


def result_set(course: Course, source: Source) -> Contents | None:
    """Results of an archive or a folder; None where there are none.

    An archive with tables beside the results is none: it is taken apart, member by member.

    Raises:
        InputError: a package of questions, or an archive that cannot be used.
    """
    if isinstance(source, ResultFolder):
        names = [path.name for path in result_files(source.path)]
    else:
        members = archive_members(source)
        if any(one.ending in _TABLES for one in members):
            return None
        names = [str(one.member) for one in members if one.ending == ".xml"]
    with _opened(source, names) as files:
        heads = {name: files.head(name) for name in names[:_PEEKED]}
    if not any(RESULT.search(head) for head in heads.values()):
        if any(QUESTIONS.search(head) for head in heads.values()):
            raise InputError(
                f"{source.name}: a package of questions and no answers. Put it into the folder "
                "`standards` beside `exports`, where it says what identifiers of options mean."
            )
        return None
    personal = any(_names_its_student(name, head) for name, head in heads.items())
    notes: list[str] = []

    def rows(_sheet: str) -> Iterator[TableRow]:
        notes.clear()
        yield 1, list(COLUMNS)
        with _opened(source, names) as files:
            table = StandardRows(
                course, {**course.standards.packages, **_own(source, files, notes)}
            )
            cells = (row for rows in _each(files, table, source.name, personal) for row in rows)
            yield from enumerate(cells, 2)
        notes.extend(table.sentences())

    return Contents(rows, notes=lambda: tuple(notes))


def _each(
    files: _Files, table: StandardRows, called: str, personal: bool
) -> Iterator[Iterator[list[str] | BrokenRow]]:
    """Rows of one file after another."""
    for number, name in enumerate(files.names, 1):
        data, error = files.first_bytes(name, MAX_XML_BYTES + 1)
        head = decoded(data[:_HEAD])
        if QUESTIONS.search(head) and not RESULT.search(head):
            continue
        place = f"member {number}" if personal or _names_its_student(name, head) else name
        try:
            if error:
                raise InputError(f"{called}/{name}:1:1: {error}")
            stream = cast("BinaryIO", io.BytesIO(data))
            answers = list(in_time(result_answers(stream, f"{called}/{name}")))
        except InputError as refused:
            where, reason = _told(str(refused), f"{called}/{name}:")
            yield iter([BrokenRow(reason, place=f"{place}:{where}")])
            continue
        for answer in answers:
            yield table.rows(answer, f"{place}:{answer.line}")


def _own(source: Source, files: _Files, notes: list[str]) -> dict[str, QtiItem]:
    """Questions of a set that is a package, too."""
    manifest = next((n for n in files.names if n.rpartition("/")[2] == _MANIFEST), None)
    if manifest is None:
        return {}
    text = decoded(files.first_bytes(manifest, MAX_XML_BYTES)[0])
    listed = set(re.findall(r"""href\s*=\s*["']([^"']+)""", text))
    folder = manifest.removesuffix(_MANIFEST)
    wanted = [n for n in files.names if n == manifest or n.removeprefix(folder) in listed]
    members = [(name, lambda name=name: files.stream(name)) for name in wanted]
    try:
        package = read_qti_package(members, source.name)
    except InputError as error:
        notes.append(f"questions in it that cannot be read: {error}")
        return {}
    notes.extend(f"a question that cannot be read: {one}" for one in package.not_read)
    return package.named()


def _names_its_student(name: str, head: str) -> bool:
    """Whether the name of a file holds the identity that its context names."""
    found = _SOURCED.search(head)
    return found is not None and found[1].strip().casefold() in name.casefold()


def in_time(answers: Iterator[ItemAnswer | LeftOut]) -> Iterator[ItemAnswer | LeftOut]:
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


def _told(message: str, name: str) -> tuple[str, str]:
    """Place and reason of an error whose file is known."""
    found = _PLACE.fullmatch(message.removeprefix(name))
    return (found[1], found[2]) if found else ("1", message.removeprefix(name).strip())


def decoded(data: bytes) -> str:
    """The begin of a file as text, good enough to look for names in."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace")
    return data.replace(b"\0", b"").decode("utf-8", "replace")
