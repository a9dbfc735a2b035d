"""Column maps worked out from a file: by what its columns hold first, by their headers next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import chain

from pipeline.course import Course, ExportMap
from pipeline.errors import InputError, UnknownEncoding
from pipeline.ingest.forms import said_encoding
from pipeline.ingest.header import shown
from pipeline.ingest.long_layout import LongTable, long_tables
from pipeline.ingest.marker import Marker
from pipeline.ingest.places import maps_by_place
from pipeline.ingest.proposal import ColumnRemark, Proposal
from pipeline.ingest.questions import Questions
from pipeline.ingest.sample import SampledRow, naming_columns, sampled_rows
from pipeline.ingest.wide_layout import WideTable, wide_tables
from pipeline.tables import TableFile, open_table

__all__ = ["ColumnRemark", "Proposal", "propose_map"]

_FITTING = 5
"""Answers of which one at least is right, where a map takes numbers for the right questions."""
_BY_HAND = "Write the map by hand in [[exports]]"


def propose_map(course: Course, file: str) -> Proposal:
    """Work out how the columns of an export are to be taken.

    Args:
        course: its questions, and the answers that are right, tell the columns apart.
        file: name inside the course folder, such as `exports/week5.xlsx`.

    Raises:
        InputError: the file cannot be opened; no way to take it can be meant; or two ways can, and
            the text says which line decides.
    """
    table, encoding = _opened(course, file)
    listed = Questions(course.items)
    marker = Marker(course.items, decimal_comma=course.reading.decimal_comma)
    found: list[tuple[Proposal, str | None]] = []
    seen: dict[str | None, Sequence[SampledRow]] = {}
    for sheet in table.sheets or (None,):
        seen[sheet] = sampled_rows(table, sheet)
        base = ExportMap((file.removeprefix("exports/"),), sheet=sheet, encoding=encoding)
        named = listed.in_file(file, sheet)
        tables = (seen[sheet], named, marker)
        for one in chain[LongTable | WideTable](long_tables(*tables), wide_tables(*tables)):
            if (proposal := one.proposal(base)) is not None:
                found.append((proposal, one.refusal(proposal)))
        best = _split(found)[0]
        # A number in the file's name, ids of some questions alone, and numbers in ids may mislead.
        sure = named is listed and best and listed.ids.issuperset(best.map.questions.values())
        sure = sure and best and _FITTING * best.right > best.judged
        for place in () if sure else maps_by_place(course, seen[sheet], base, marker):
            found += [(place, None)] if best is None or place.right > best.right else []
    best = _best(found, list(seen.values()), listed, file)
    # Every sheet that has the columns is read, as is next week's, whatever it is called; what a
    # file's name says of its questions, next week's name says of others.
    told = listed.in_file(file, best.map.sheet)
    said = best.map.questions
    own = {header: item for header, item in said.items() if listed.find_in(header)[0] == item}
    by_file = all(told.find_in(name)[0] == item for name, item in said.items() if name not in own)
    return replace(best, map=replace(best.map, sheet=None, questions=own if by_file else said))


def _opened(course: Course, file: str) -> tuple[TableFile, str | None]:
    """The file, and its encoding where its letters alone show it, so that a map has to say it."""
    said = said_encoding(course.exports, file.removeprefix("exports/"))
    try:
        return open_table(course.folder / file, file, said), None
    except UnknownEncoding as error:
        if error.shown is None:
            raise
        return open_table(course.folder / file, file, error.shown), error.shown


def _best(
    found: Sequence[tuple[Proposal, str | None]],
    seen: Sequence[Sequence[SampledRow]],
    questions: Questions,
    file: str,
) -> Proposal:
    """The map that finds most right answers."""
    best, strongest = _split(found)
    if best is None:
        raise InputError(refusal(file, strongest, seen, questions))
    if best.doubts:
        raise InputError(
            f"{file}: {'; '.join(best.doubts)}, with the header that is the right one."
        )
    fitting = [proposal for proposal, refused in found if refused is None]
    alike = {one.map.sheet for one in fitting if one.map.columns == best.map.columns}
    others = {str(one.map.sheet) for one in fitting} - set(map(str, alike))
    encoding = best.map.encoding
    told = [
        f"no byte mark tells how it is encoded; its letters show {encoding!r}, which the map says"
    ] if encoding else []  # fmt: skip
    told += [
        f"sheet {name!r} holds answers under other column names and is not read: save it as a file "
        "of its own"
        for name in sorted(others)
    ]
    return replace(best, cautions=(*best.cautions, *told))


def _split(
    found: Sequence[tuple[Proposal, str | None]],
) -> tuple[Proposal | None, tuple[Proposal, str] | None]:
    """The best map, unless one that is refused finds far more right answers; that one."""
    fitting = [proposal for proposal, refused in found if refused is None]
    refused = [(proposal, why) for proposal, why in found if why is not None]
    best = max(fitting, key=_rank, default=None)
    strongest = max(refused, key=lambda one: _rank(one[0]), default=None)
    outdone = best and strongest and strongest[0].right > 2 * best.right + 2
    return None if outdone else best, strongest


def _rank(one: Proposal) -> tuple[int, ...]:
    used = len(one.map.questions) + len(one.map.beside) + len(one.map.columns)
    return one.right, one.answers, -one.judged, one.header.rows, used, one.header_line


def refusal(
    file: str,
    strongest: tuple[Proposal, str] | None,
    seen: Sequence[Sequence[SampledRow]],
    questions: Questions,
) -> str:
    """What is missing, and the headers seen; never what may be a cell of a student."""
    if strongest is not None:
        proposal, why = strongest
        where = f"{file}, line {proposal.header_line}: {why}."
        if _stands_among_answers(proposal, seen):
            return f"{where} Its cells may be a student's and are not shown. {_BY_HAND}."
        names = shown(proposal.header.names)
        return f"{where} Column names seen: {names}. {_BY_HAND}{_example(proposal)}."
    if any(naming_columns(rows, questions.find) for rows in seen):
        return (
            f"{file}: no row among the first ones names the columns, or none holds answers to the "
            "questions that stand in the file; expected columns of students, questions and "
            f"answers under a row of names. Add that row and check again. {_BY_HAND} if it is "
            "there."
        )
    counted = "; where the file counts them within a quiz, give the list a column `quiz`"
    counted = "" if any(questions.sets()) else counted
    return (
        f"{file}: no question of the list is named in it, neither by its id nor by its text, so no "
        "row among the first ones names a student and questions that are known. Put the questions "
        f"into the list of items, or their ids into the file{counted}. {_BY_HAND} if they are "
        "there."
    )


def _stands_among_answers(proposal: Proposal, seen: Sequence[Sequence[SampledRow]]) -> bool:
    """Whether a row above the names that were found fills as many cells: names stand above all."""
    filled = sum(map(bool, proposal.header.names))
    return any(
        line < proposal.header_line - proposal.header.rows and sum(map(bool, cells)) >= filled
        for rows in seen
        for line, cells in rows
    )


def _example(proposal: Proposal) -> str:
    """A map to fill in, where only the column of the students was not found."""
    columns = proposal.map.columns
    hidden = "..." in shown(header for headers in columns.values() for header in headers)
    if hidden or not columns or {"student", "count"} & set(columns):
        return ""
    found = [f"{name} = {list(headers)!r}" for name, headers in columns.items()]
    said = ", ".join(['student = "the name of their column"', *found])
    return f": columns = {{ {said} }}"
