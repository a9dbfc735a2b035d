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
from itertools import islice
from pathlib import Path, PurePosixPath
from typing import BinaryIO, cast

from pipeline.course.standard_files import read_standard_files
from pipeline.drafting.lines import Line, SourceQuestion, questions_in
from pipeline.errors import CourseError, InputError
from pipeline.ingest.columns import meanings
from pipeline.ingest.export_files import exports_in
from pipeline.ingest.question_headers import companions
from pipeline.ingest.questions import WORTH
from pipeline.standards import Interaction, QtiItem, read_qti_items, read_qti_package
from pipeline.tables import (
    Source,
    TableFile,
    archive_members,
    open_source,
    plain_text,
    table_sources,
)
from pipeline.wording import asked_by, lettered_parts, numbering_of
from pipeline.wording.vocabulary import SAYS

_FEW_WORDS, _MOST_WORDS = 3, 0.75
_HEADER_ROWS, _SAMPLED_ROWS, _MOST_COLUMNS = 12, 2_000, 2_000
_COULD_ASK = re.compile(r"\w.*[\s=^(√]", re.DOTALL)
_BARE_WORTH = re.compile(r"\s+[\[(]\s*\d+(?:\.\d+)?\s*[\])]\s*$")
"""Points possible without a word: where every question ends so, else it may be a factor."""


def questions_of_exports(folder: Path) -> tuple[list[SourceQuestion], list[str]]:
    """Questions whose text stands in the exports of a course folder, and what was not searched.

    Files that cannot be read are passed over; loading them says why.
    """
    found: list[SourceQuestion] = []
    left: list[str] = []
    for name, path in exports_in(folder):
        try:
            for source in table_sources(path, name):
                table = open_source(source)
                for sheet in table.sheets or (None,):
                    rows, width = _sampled(table, sheet)
                    found += _questions_of(rows, source.name)
                    if width > _MOST_COLUMNS:
                        left.append(
                            f"{source.name}: {width:,} columns; questions were looked for in the "
                            f"first {_MOST_COLUMNS:,} alone. Split the file for the others."
                        )
        except InputError:
            continue
    return found, left


def _sampled(table: TableFile, sheet: str | None) -> tuple[_Rows, int]:
    """The first rows, cut to the first columns, and how many columns there are."""
    rows: _Rows = []
    width = 0
    for line, cells in islice(table.rows(sheet), _SAMPLED_ROWS):
        if isinstance(cells, list):
            width = max(width, len(cells))
            rows.append((line, [plain_text(cell).strip() for cell in cells[:_MOST_COLUMNS]]))
    return rows, width


def _questions_of(rows: _Rows, name: str) -> Iterator[SourceQuestion]:
    quiz = PurePosixPath(name).stem
    found = _of_column(rows) or _of_header(rows)
    are_worths = len(found) > 1 and all(_BARE_WORTH.search(text) for _, text, _ in found)
    for line, text, group in found:
        number = numbering_of(text)
        bare = _BARE_WORTH.sub("", number.rest) if are_worths else number.rest
        stem, options = lettered_parts(WORTH.sub("", bare))
        yield SourceQuestion(
            stem,
            f"{name}, line {line}",
            number.id,
            options=tuple(one.rest for one in options),
            topic=group or quiz,
            quiz=group,
            shown_as=text,
        )


_Rows = list[tuple[int, list[str]]]
_Found = list[tuple[int, str, str]]
"""Line, text, and the quiz that the row names."""


def _of_header(rows: _Rows) -> _Found:
    """Cells of the one row, among the first, that hold questions.

    Where most of these are numbered, so is every other one, whatever it asks.
    """
    best: list[str] = []
    found: _Found = []
    for line, cells in rows[:_HEADER_ROWS]:
        beside = companions(cells)
        asking = [cell for cell in cells if cell not in beside and _asks(cell)]
        if len(asking) > len(best) and _place_of("answer", cells) is None:
            best = asking
            numbered = 2 * sum(map(_is_numbered, asking)) > len(asking)
            shown = (cell for cell in cells if cell in asking
                     or (numbered and cell not in beside and _is_numbered(cell)))  # fmt: skip
            found = [(line, cell, "") for cell in dict.fromkeys(shown)]
    return found


def _is_numbered(text: str) -> bool:
    return numbering_of(text).id != "" and len(text.split()) > _FEW_WORDS


def _of_column(rows: _Rows) -> _Found:
    """Distinct cells of the columns in which most cells hold questions, under another name.

    Where most columns of one text hold a question, so does every other such column of several
    words, whatever it asks.
    """
    width = max((len(cells) for _, cells in rows), default=0)
    columns = [
        [(line, cells[place], cells) for line, cells in rows if place < len(cells) and cells[place]]
        for place in range(width)
    ]
    texts = [[text for _, text, _ in column] for column in columns]
    asking = [_holds_questions(one) for one in texts]
    alone = [len(set(one[1:])) == 1 and len(one[1].split()) > _FEW_WORDS for one in texts]
    told = sum(ask and lone for ask, lone in zip(asking, alone, strict=True))
    every = told > 1 and 2 * told > sum(alone)
    found: dict[str, tuple[int, str, str]] = {}
    for column, asks, lone in zip(columns, asking, alone, strict=True):
        if not (asks or (every and lone)):
            continue
        quiz = _place_of("quiz", column[0][2])
        for line, text, cells in column[1:]:
            if text not in found and (lone or _asks(text)):
                group = cells[quiz] if quiz is not None and quiz < len(cells) else ""
                found[text] = (line, text, group)
    return list(found.values())


def _holds_questions(column: list[str]) -> bool:
    """Whether most cells below the first ask something, and that one does not."""
    sample = Counter(column[1:60])
    asking = sum(count for text, count in sample.items() if _asks(text))
    return len(column) > 3 and 10 * asking >= 7 * sum(sample.values()) and not _asks(column[0])


def _place_of(field: str, names: list[str]) -> int | None:
    told = (meanings(name).get(field, 0) > _MOST_WORDS for name in names)
    return next((place for place, said in enumerate(told) if said), None)


def _asks(text: str) -> bool:
    """Whether a text says what to do with a formula; a bare equation may be somebody's answer."""
    if len(text) < 6 or not _COULD_ASK.search(text) or not SAYS.search(text):
        return False
    asked = asked_by(lettered_parts(WORTH.sub("", numbering_of(text).rest))[0])
    return bool(asked.task and asked.verb and (asked.problem or asked.task == "skip"))


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
