"""Which map an export is read by: told by its columns, and by its name only where a map says so.

A map belongs to a form of export. Every file whose header has the map's columns is of that form,
so that next week's download needs no map of its own. `files` in a map narrows it to some names.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fnmatch import fnmatchcase
from typing import Any, NoReturn

from pipeline.course import ExportMap
from pipeline.errors import InputError, UnknownForm
from pipeline.fingerprints import fingerprint
from pipeline.ingest.header import DOUBLED, HeaderRow, header_rows
from pipeline.ingest.question_headers import question_headers
from pipeline.ingest.questions import BETWEEN_NUMBERS, Questions
from pipeline.tables import TableFile

_FACTS = ("term", "section", "quiz", "setting", "supervised", "calculator", "date", "date_order",
          "time_zone")  # fmt: skip


@dataclass(frozen=True, slots=True)
class Form:
    """How one file is to be read.

    Args:
        map: the course's map for it with its facts filled in, or one that holds facts alone.
        rows: the first rows of the file, each as if it held the column names.
        row: the one that does by the map; None where no map names columns for this file.
    """

    map: ExportMap
    rows: list[HeaderRow]
    row: HeaderRow | None


def form_of(
    maps: Iterable[ExportMap],
    questions: Questions,
    table: TableFile,
    sheet: str | None,
    called: str,
) -> Form:
    """Choose the map of a file, or of one sheet of it.

    Maps whose `files` name it come first, the first of them that its columns fit; then those
    without `files`, the one that names more of its columns. A map without columns, or one that
    names the file, adds the facts that the chosen one leaves open.

    Args:
        maps: of the course.
        questions: of the course.
        table: the file.
        sheet: of a workbook.
        called: its name relative to `exports/`.

    Raises:
        UnknownForm: the columns of a map that names the file are not there.
        InputError: two maps fit alike.
    """
    maps = [one for one in maps if not one.files or _names_file(one, called)]
    maps = [one for one in maps if one.sheet in (None, sheet) or not _is_there(one, table)]
    facts = [one for one in maps if one.files or not _names_columns(one)]
    wanted = {header for one in maps for header in (*_fixed(one), *one.questions)}
    rows = header_rows(table, sheet, wanted)
    fitting = [
        (one, row)
        for one in maps
        if _names_columns(one) and (row := _fitting_row(one, rows, questions))
    ]
    if not fitting:
        if by_name := [one for one in facts if _names_columns(one)]:
            _missing(by_name[0], rows, table.name)
        return Form(_filled(facts[0] if facts else ExportMap(), facts, called), rows, None)
    chosen, row = _most_specific(fitting, table.name)
    return Form(_filled(chosen, facts, called), rows, row)


def said_encoding(maps: Sequence[ExportMap], called: str) -> str | None:
    """Encoding that a map says of a file: one that names it, else one that names no file."""
    fitting = [one for one in maps if one.encoding and (not one.files or _names_file(one, called))]
    fitting.sort(key=lambda one: not one.files)
    return fitting[0].encoding if fitting else None


def _names_file(one: ExportMap, called: str) -> bool:
    """Whether a map's `files` name a file, by its whole name or the last part of it."""
    names = (called, called.rpartition("/")[2])
    return any(name == glob or fnmatchcase(name, glob) for glob in one.files for name in names)


def narrowed_map(
    maps: Iterable[ExportMap], questions: Questions, table: TableFile
) -> ExportMap | None:
    """The map that would fit a file, did its `files` not leave the file out."""
    for one in maps:
        if one.files and _names_columns(one) and (one.sheet is None or one.sheet in table.sheets):
            rows = header_rows(table, one.sheet, {*_fixed(one), *one.questions})
            if _fitting_row(one, rows, questions):
                return one
    return None


def read_by(chosen: ExportMap) -> str:
    """Sixteen hex digits over all that a map says of a file; its place in the settings apart."""
    text = repr(replace(chosen, files=(), line=0))
    return fingerprint(text)


def possible_marks(maps: Iterable[ExportMap], called: str) -> set[str]:
    """What `read_by` may give for a file of this name that is not there to be looked at."""
    maps = [one for one in maps if not one.files or _names_file(one, called)]
    facts = [one for one in maps if one.files or not _names_columns(one)]
    base = facts[0] if facts else ExportMap()
    every = (_filled(one, facts, called) for one in (base, *maps))
    return {read_by(replace(one, layout=layout)) for one in every for layout in ("long", "wide")}


def question_columns(
    chosen: ExportMap, row: HeaderRow, rows: Iterable[HeaderRow], questions: Questions
) -> dict[str, str]:
    """Header -> item of a wide file: what the map says, and what the headers say of themselves.

    Another week's file of the form has other questions; these are told as they are when a map is
    worked out. Where a column says the quiz of a row, its questions stand under their places in it.
    """
    if "item" in chosen.columns:
        places = {name.rpartition(BETWEEN_NUMBERS)[2] for name in chosen.questions}
        return {header: header for header in row.names if header in places}
    below = [list(one.names) for one in rows if one.line > row.line and one.rows == 1]
    said = {*_fixed(chosen), *chosen.beside, *chosen.left_out}
    found = question_headers(row, below, questions, said)
    named = {header: questions.named(item) for header, item in chosen.questions.items()}
    tried = _tried(chosen, questions)
    found |= {header: str(told[0]) for header in row.names
              if (told := questions.find_in(header))[0] and told[1].strip() in tried}  # fmt: skip
    mine = {header: item for header, item in named.items() if header in row.names}
    own = {(item, chosen.tries.get(header)) for header, item in mine.items()}
    spoken_of = {item for item, _ in own}

    def further_try(header: str, item: str) -> bool:
        number = tried.get(questions.find_in(header)[1].strip())
        return bool(number) and (item, number) not in own

    asked = {
        header: item for header, item in found.items()
        if header not in said and (item not in spoken_of or further_try(header, item))
    }  # fmt: skip
    beside = said_alike(chosen, asked, row, questions).beside
    return {header: item for header, item in asked.items() if header not in beside} | mine


def _names_columns(one: ExportMap) -> bool:
    return bool(one.columns or one.questions)


def _is_there(one: ExportMap, table: TableFile) -> bool:
    """Whether a map's sheet is there, so that it is that one; fails where it names the file."""
    if one.files and one.sheet not in table.sheets:
        table.rows(one.sheet)
    return True


def _fitting_row(one: ExportMap, rows: list[HeaderRow], questions: Questions) -> HeaderRow | None:
    fixed = _fixed(one)
    for row in rows:
        names = set(row.names)
        if not fixed <= names:
            continue
        if row.goes_by_number:
            if _begins_with_answers(one, row, rows, questions):
                return row
        elif one.layout == "long" or _has_questions(one, row, rows, questions):
            return row
    return None


def _begins_with_answers(
    one: ExportMap, numbered: HeaderRow, rows: list[HeaderRow], questions: Questions
) -> bool:
    """Whether the first rows answer questions of the list, where columns go by number alone."""
    places = [numbered.names.index(header) for header in one.columns.get("item", ())]
    called = questions.called(one.questions)
    cells = [row.cells[place] for row in rows if row.cells and row.whole
             for place in places if place < len(row.cells)]  # fmt: skip
    return (
        bool(cells)
        and 2 * sum(bool(called.find(text)) for text in cells) > len(cells)
        and (called.find(cells[0]) is not None)
    )


def _fixed(one: ExportMap) -> set[str]:
    """Headers that every file of a map's form has."""
    return {header for headers in one.columns.values() for header in headers}


def _has_questions(
    one: ExportMap, row: HeaderRow, rows: list[HeaderRow], questions: Questions
) -> bool:
    """Whether a row names questions as the map has them.

    Next week's `Q1` is another question: a map that gives headers a meaning which they do not have
    by themselves is for files with all of them, or all of a quiz that they name. Other questions
    have what the map's have beside.
    """
    named, names = question_columns(one, row, rows, questions), set(row.names)
    if "item" in one.columns or {*one.questions, *one.beside} <= names:
        return bool(named)
    needed = {header for header in one.questions if not questions.begins_with_quiz(header)}
    there = needed <= names and not names.isdisjoint(one.questions)
    if renames_questions(one, questions) and not there:
        return False
    told = said_alike(one, named, row, questions)
    several = Counter(named.values())
    beside = {what.partition(" of ")[2] for header, what in told.beside.items() if header in names}
    return bool(named) and all(
        (several[item] == 1 or header in told.tries)
        and (not one.beside or _whose(item, told.tries.get(header)) in beside)
        for header, item in named.items()
    )


def said_alike(
    chosen: ExportMap, named: Mapping[str, str], row: HeaderRow, questions: Questions
) -> ExportMap:
    """A map that says of all questions of a file what it says of its own, by the words for it.

    Args:
        chosen: the map.
        named: header of each column of answers -> item.
        row: of names.
        questions: of the course.
    """
    tried = _tried(chosen, questions)
    tries = {header: tried.get(questions.find_in(header)[1].strip(), 0) for header in named}
    tries = {header: number for header, number in tries.items() if number} | dict(chosen.tries)
    names = Counter(DOUBLED.sub("", header) for header in chosen.beside)
    ways: Counter[tuple[str, str, str]] = Counter()
    for header, said in chosen.beside.items():
        what, _, whose = said.partition(" of ")
        bare = DOUBLED.sub("", header)
        for answer, item in chosen.questions.items():
            if whose == _whose(questions.named(item), chosen.tries.get(answer)):
                pairs = enumerate(zip(answer, header, strict=False))
                shorter = min(len(answer), len(header))
                same = next((at for at, (one, other) in pairs if one != other), shorter)
                apart = ("", bare) if names[bare] > 1 else (answer[same:], header[same:])
                ways[*apart, what] += 1
    beside = dict(chosen.beside)
    for answer, item in named.items():
        right = row.names[row.names.index(answer) + 1 :][:1]
        for mine, other, what in sorted(ways, key=lambda way: (ways[way], way)):
            # Of columns of one name, the one right of an answer speaks of it.
            alike = [one for one in right if names[other] > 1 and DOUBLED.sub("", one) == other]
            told = {answer.removesuffix(mine) + other} & set(row.names) - chosen.beside.keys()
            for header in alike or told if answer.endswith(mine) else ():
                beside[header] = f"{what} of {_whose(item, tries.get(answer))}"
    return replace(chosen, tries=tries, beside=beside)


def _tried(chosen: ExportMap, questions: Questions) -> dict[str, int]:
    """What the headers of a map's tries say besides their questions -> number of the try."""
    return {questions.find_in(name)[1].strip(): number for name, number in chosen.tries.items()}


def _whose(item: str, number: int | None) -> str:
    return f"{item} try {number}" if number else item


def renames_questions(one: ExportMap, questions: Questions) -> bool:
    """Whether a map gives headers a meaning that they do not have by themselves."""
    return any(
        questions.find_in(header)[0] != questions.named(item)
        for header, item in one.questions.items()
    )


def _most_specific(
    fitting: list[tuple[ExportMap, HeaderRow]], name: str
) -> tuple[ExportMap, HeaderRow]:
    if by_name := [pair for pair in fitting if pair[0].files]:
        return by_name[0]
    named = [(_fixed(one) | set(one.questions)) & set(row.names) for one, row in fitting]
    left = [
        pair
        for pair, mine in zip(fitting, named, strict=True)
        if not any(mine < other for other in named)
    ]
    if len({read_by(one) for one, _ in left}) > 1:
        (first, row), (second, _) = left[:2]
        raise InputError(
            f"{name}, line {row.line}: the maps in lines {first.line} and {second.line} of the "
            "settings both fit these columns. Say in one of them which `files` it is for, or take "
            "one out."
        )
    return left[0]


def _filled(first: ExportMap, facts: list[ExportMap], called: str) -> ExportMap:
    """A map with what it leaves open filled in by others, and by the file's name."""

    def said(name: str) -> Any:
        values = (getattr(one, name) for one in (first, *facts))
        return next((value for value in values if value is not None), None)

    filled = replace(first, **{name: said(name) for name in _FACTS})
    pattern = next((one.section_from for one in (first, *facts) if one.section_from), None)
    if pattern is not None and filled.section is None:
        return replace(filled, section=section_of(pattern, called), section_from=pattern)
    return filled


def section_of(pattern: str, called: str) -> str | None:
    """The class section in a file's name, such as `B` in `week5 section B.csv`.

    Args:
        pattern: the name with `{section}` in place of the section; `*` and `?` stand for anything.
        called: the name relative to `exports/`.
    """
    before, _, after = pattern.partition("{section}")
    form = _glob(before) + r"(?P<section>.+?)" + _glob(after)
    for name in (called, called.rpartition("/")[2]):
        if found := re.fullmatch(form, name, re.I):
            return found["section"].strip() or None
    return None


def _glob(text: str) -> str:
    """A glob as an expression without the anchors that `translate` puts around it."""
    return "".join(re.escape(c) if c not in "*?" else {"*": ".*?", "?": "."}[c] for c in text)


def _missing(chosen: ExportMap, rows: list[HeaderRow], name: str) -> NoReturn:
    wanted = _fixed(chosen) | set(chosen.questions)
    best = max(rows, key=lambda row: len(wanted & set(row.names)), default=HeaderRow(1, ()))
    lacking = sorted(wanted - set(best.names))
    more = f" and {len(lacking) - 1} more" if len(lacking) > 1 else ""
    raise UnknownForm(
        f"{name}, line {best.line}: missing column {lacking[0]!r}{more}, which the map in line "
        f"{chosen.line} of the settings names. Mend the map, or take it out and let "
        "`lostroot check DIR --write` work out a new one."
    )
