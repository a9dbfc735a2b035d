"""Rows of a table that are no answers: sums of the rows above, and column names said once more."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from pipeline.ingest.columns import is_totals
from pipeline.ingest.distinct import where_text
from pipeline.ingest.facts import score_of
from pipeline.ingest.file_rows import Rows
from pipeline.ingest.plan import Plan
from pipeline.tables import plain_text

_Mask = npt.NDArray[np.bool_]
_SENTENCE = 3
_OTHERS = 5
"""Rows that must be there to tell that one is unlike them."""


def names_again(rows: Rows, plan: Plan) -> npt.NDArray[np.bool_]:
    """Rows that say the column names once more, as where pages were put together.

    In place of a student, the name of its column is enough: a name may stand over two rows.
    """
    again = np.zeros(len(rows.lines), dtype=bool)
    said = (*plan.header.cells, *[""] * (len(plan.header.names) - len(plan.header.cells)))
    places = [place for place in rows.columns if said[place]]
    if not len(again) or not places:
        return again
    first = where_text(
        rows.columns[places[-1]], lambda text: plain_text(text).strip() == said[places[-1]]
    )
    for row in np.flatnonzero(first):
        cells = [plain_text(cell).strip() for cell in rows.cells(int(row))]
        again[row] = (*cells, *[""] * (len(said) - len(cells))) == said
    if "student" in plan.fields:
        place = plan.fields["student"][0]
        name = plan.header.names[place].split(": ")[-1]
        again |= where_text(rows.columns[place], lambda text: plain_text(text).strip() == name)
    return again


def summing_up(rows: Rows, plan: Plan) -> npt.NDArray[np.bool_]:
    """Rows that sum up others: without a student, or with a word of totals in place of one."""
    summing = np.zeros(len(rows.lines), dtype=bool)
    if not len(summing):
        return summing
    place = plan.fields.get("student", (0,))[0]
    perhaps = where_text(
        rows.columns[place],
        lambda text: not text.strip() or is_totals(plain_text(text), plan.map.totals),
    )
    for row in np.flatnonzero(perhaps):
        summing[row] = sums_up(rows.cells(int(row)), plan)
    return summing


def remarks_between(rows: Rows, plan: Plan) -> _Mask:
    """Rows of a long file with neither question nor answer that sum up, or hold a sentence."""
    said = [*plan.fields.get("item", ()), *plan.fields.get("answer", ())]
    bare = np.full(len(rows.lines), bool(said))
    for place in said:
        bare &= where_text(rows.columns[place], lambda text: not text.strip()).to_numpy(bool)
    for row in np.flatnonzero(bare):
        cells = rows.cells(int(row))
        first = next((text for text in map(plain_text, cells) if text.strip()), "")
        bare[row] = is_totals(first, plan.map.totals) or len(first.split()) >= _SENTENCE
    return bare


def sums_up(cells: list[str], plan: Plan) -> bool:
    """Whether the first text of a row of a wide file is a word of totals."""
    student = plan.fields.get("student", (0,))[0]
    cell = cells[student] if student < len(cells) else ""
    first = cell if cell.strip() else next((text for text in cells if text.strip()), "")
    return is_totals(plain_text(first), plan.map.totals)


def unlike_students(rows: Rows, plan: Plan) -> _Mask:
    """Rows of a wide file that sum up others, by what stands in them, under a word of their own.

    All their cells are numbers, and besides they have no digit in place of the id where all others
    have one, or numbers where no other row has one: broken ones, or behind a gap of the table.
    """
    height, places = len(rows.lines), [one.boxes[0] for one in plan.questions]
    if height <= _OTHERS or "student" not in plan.fields or not places:
        return np.zeros(height, dtype=bool)
    cells = [rows.columns[place] for place in places]
    filled, number, broken = (
        np.column_stack([where_text(one, holds).to_numpy(bool) for one in cells])
        for holds in (lambda text: text.strip() != "", _is_number, _is_broken)
    )
    summing = (number == filled).all(axis=1) & (filled.sum(axis=1) > 1)
    students = rows.columns[plan.fields["student"][0]]
    coded_id = where_text(students, lambda text: any(map(str.isdigit, text))).to_numpy(bool)
    alone = ~coded_id & (coded_id.sum() >= max(_OTHERS, height - summing.sum()))
    alike = number[~summing].any(axis=0) if (~summing).any() else np.ones(len(places), dtype=bool)
    strange = (number & ~alike).sum(axis=1) > 1
    apart = np.diff(rows.lines, prepend=rows.lines[:1] - 1) > 1
    half = 2 * (number & broken).sum(axis=1) > filled.sum(axis=1)
    return np.asarray(summing & (alone | (strange & (apart | half))))


def _is_number(text: str) -> bool:
    return score_of(plain_text(text), decimal_comma=True)[0] is not None


def _is_broken(text: str) -> bool:
    return any(sign in plain_text(text) for sign in ".,%")
