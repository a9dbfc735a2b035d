"""What a course folder holds that questions can be drafted from: files, QTI packages, exports.

A worksheet and the headers of the sheet with its answers are told to be the same questions.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from io import BytesIO
from pathlib import Path
from typing import BinaryIO, cast

from pipeline.course.standard_files import read_standard_files
from pipeline.drafting.exports import questions_of_exports
from pipeline.drafting.lines import Line, questions_in
from pipeline.drafting.sources import SourceQuestion
from pipeline.errors import CourseError, InputError
from pipeline.standards import Interaction, QtiItem, read_qti_items, read_qti_package
from pipeline.tables import Source, archive_members
from pipeline.wording import asked_by, numbering_of


def _questions_of_package(path: Path, name: str) -> tuple[list[SourceQuestion], list[str]]:
    """Questions of a zipped package, and what of it could not be read.

    Raises:
        InputError: no archive, or a broken manifest.
    """
    members = archive_members(Source(path, name))
    package = read_qti_package(
        [(one.name.removeprefix(f"{name}/"), partial(_opened, one)) for one in members], name
    )
    title = path.stem
    found = [one for item in package.items for one in _questions(item, title)]
    return found, list(package.not_read)


def _questions_of_items(path: Path, name: str) -> list[SourceQuestion]:
    """Questions of a single QTI file.

    Raises:
        InputError: broken, or of another kind.
    """
    with path.open("rb") as stream:
        return [one for item in read_qti_items(stream, name) for one in _questions(item, "")]


def _questions_of_standards(folder: Path) -> list[SourceQuestion]:
    """Questions of the packages that lie in the folder `standards` of a course folder.

    Raises:
        CourseError: a file of that folder is broken.
    """
    items = {id(item): item for item in read_standard_files(folder).packages.values()}
    return [one for item in items.values() for one in _questions(item, "")]


def _opened(one: Source) -> BinaryIO:
    with one.opened() as stream:
        return cast("BinaryIO", BytesIO(stream.read()))


def _questions(item: QtiItem, title: str) -> Iterator[SourceQuestion]:
    """One question for each place where a student answers."""
    body = re.sub(r"\s*_{4,}\s*$", "", item.body.strip())
    number = numbering_of(body)
    base = SourceQuestion(number.rest, f"{item.file}, line {item.line}", topic=title or item.title)
    if not item.interactions:
        yield _named(base, item.identifier, cannot="it holds no place where a student answers")
        return
    several = len(item.interactions) > 1
    for one in item.interactions:
        name = f"{item.identifier}:{one.response}" if several else item.identifier
        yield _of_interaction(base, name, item, one, several)


def _named(base: SourceQuestion, name: str, cannot: str) -> SourceQuestion:
    return SourceQuestion(base.wording, base.source, name, topic=base.topic, cannot=cannot)


def _of_interaction(
    base: SourceQuestion, name: str, item: QtiItem, one: Interaction, several: bool
) -> SourceQuestion:
    if item.templates:
        return _named(base, name, "each candidate gets numbers of its own: take the problem from "
                      "a column of the export")  # fmt: skip
    if one.kind in ("several", "other"):
        return _named(base, name, f"answers of the kind {one.name} are not judged")
    if several:
        return _named(base, name, "one of several places of one question: write what it asks for")
    keys = one.key_texts
    return SourceQuestion(
        base.wording,
        base.source,
        name,
        topic=base.topic,
        options=tuple(option.text for option in one.options) if one.kind == "choice" else (),
        key=keys[0] if len(keys) == 1 else "",
    )


_FEWEST = 3


def joined(
    documents: Sequence[SourceQuestion], shown: Sequence[SourceQuestion]
) -> Iterator[SourceQuestion]:
    """Each question once: as its document words it, called what the export calls it.

    A sheet belongs to a document where most of the numbers that both have stand before the same
    problem, and three at least. What a picture hides in the document, the sheet may show.

    Args:
        documents: questions of Word files, texts and packages.
        shown: questions as exports show them.
    """
    counts = Counter(one.id for one in documents)
    numbered = {one.id: one for one in documents if one.id and counts[one.id] == 1}
    sheets: dict[str, list[SourceQuestion]] = defaultdict(list)
    for one in shown:
        sheets[one.source].append(one)
    called: dict[str, SourceQuestion] = {}
    rest: list[SourceQuestion] = []
    for sheet in sheets.values():
        pairs = {one.id: one for one in sheet if one.id in numbered and not one.quiz}
        alike = sum(_problem(numbered[name]) == _problem(one) for name, one in pairs.items())
        same = pairs if alike >= _FEWEST and 2 * alike > len(pairs) else {}
        called |= same
        rest += [one for one in sheet if one.id not in same]
    for one in documents:
        yield _called(one, called.get(one.id))
    yield from rest


def _called(one: SourceQuestion, shown: SourceQuestion | None) -> SourceQuestion:
    if shown is None:
        return one
    hidden = one.cannot and asked_by(shown.wording, one.instruction, one.topic).problem
    if hidden:
        one = replace(one, wording=shown.wording, cannot="")
    return replace(one, shown_as=shown.shown_as)


def _problem(one: SourceQuestion) -> str:
    """The problem of a question without blanks; its number where there is none to compare."""
    found = asked_by(one.wording, one.instruction, one.topic).problem
    return re.sub(r"\s", "", found) or one.source


QUESTIONS = "questions"
_MOST_BYTES = 20 << 20


@dataclass(slots=True)
class Sources:
    """Questions found, and files that could not be read, a sentence each."""

    questions: list[SourceQuestion] = field(default_factory=list)
    not_read: list[str] = field(default_factory=list)


def sources_in(folder: Path) -> Sources:
    """What questions can be drafted from: the folders `questions` and `standards`, exports.

    Word files and QTI packages may also lie in the course folder itself.
    """
    found = Sources()
    for path in _files(folder):
        name = path.relative_to(folder).as_posix()
        try:
            _read(path, name, found)
        except InputError as error:
            found.not_read.append(str(error))
    try:
        found.questions += _questions_of_standards(folder)
    except CourseError as error:
        found.not_read.append(str(error))
    shown, not_searched = questions_of_exports(folder)
    found.questions = list(joined(found.questions, shown))
    found.not_read += not_searched
    return found


def _files(folder: Path) -> Iterator[Path]:
    inside = folder / QUESTIONS
    for path in sorted(inside.rglob("*")) if inside.is_dir() else ():
        if path.is_file() and not path.name.startswith((".", "~$")):
            yield path
    for path in sorted(folder.iterdir()):
        if path.suffix.lower() in (".docx", ".zip") and not path.name.startswith((".", "~$")):
            yield path


def _read(path: Path, name: str, found: Sources) -> None:
    match path.suffix.lower():
        case ".docx":
            # Imported late: the library is wanted for Word files alone.
            from pipeline.drafting.word_files import word_lines

            found.questions += questions_in(word_lines(path, name), name)
        case ".txt" | ".md":
            found.questions += questions_in(map(Line, _text(path, name).splitlines()), name)
        case ".zip":
            questions, not_read = _questions_of_package(path, name)
            found.questions += questions
            found.not_read += not_read
        case ".xml":
            found.questions += _questions_of_items(path, name)
        case ".doc" | ".odt" | ".pdf" | ".rtf" | ".pages" | ".tex":
            found.not_read.append(
                f"{name}: files of this kind are not read; expected .docx, .txt, .md, a QTI .xml "
                "or a .zip of such. Save it as .docx or as text."
            )
        case _:
            pass


def _text(path: Path, name: str) -> str:
    if path.stat().st_size > _MOST_BYTES:
        raise InputError(f"{name}: larger than 20 MB; expected a text of questions. Split it.")
    try:
        return path.read_text("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError(
            f"{name}: not UTF-8 (byte {error.start}). Save it as text in UTF-8."
        ) from error
