"""What a course folder holds that questions can be drafted from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from pipeline.drafting.exports import questions_of_exports
from pipeline.drafting.lines import Line, questions_in
from pipeline.drafting.packages import (
    questions_of_items,
    questions_of_package,
    questions_of_standards,
)
from pipeline.drafting.same_sheet import joined
from pipeline.drafting.sources import SourceQuestion
from pipeline.errors import CourseError, InputError

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
        found.questions += questions_of_standards(folder)
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
            questions, not_read = questions_of_package(path, name)
            found.questions += questions
            found.not_read += not_read
        case ".xml":
            found.questions += questions_of_items(path, name)
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
