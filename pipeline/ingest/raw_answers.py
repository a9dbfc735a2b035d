"""Rows of a file as raw answers: one row per answer, long and wide alike, all text as it stood."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from pipeline.ingest.columns import EXPORT_FIELDS, is_totals, sums_in
from pipeline.ingest.distinct import (
    coded,
    filled,
    per_distinct,
    per_pair,
    text_column,
    where_text,
)
from pipeline.ingest.facts import score_of
from pipeline.ingest.file_rows import Rows, file_rows
from pipeline.ingest.plan import Plan
from pipeline.ingest.question_headers import worth_in
from pipeline.ingest.questions import BETWEEN_NUMBERS
from pipeline.tables import BrokenRow, TableFile, plain_text

_Mask = npt.NDArray[np.bool_]
_SENTENCE = 3
_OTHERS = 5
"""Rows that must be there to tell that one is unlike them."""


def _names_again(rows: Rows, plan: Plan) -> npt.NDArray[np.bool_]:
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


def _summing_up(rows: Rows, plan: Plan) -> npt.NDArray[np.bool_]:
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
        summing[row] = _sums_up(rows.cells(int(row)), plan)
    return summing


def _remarks_between(rows: Rows, plan: Plan) -> _Mask:
    """Rows of a long file without a question that sum up, or hold a sentence and no answer."""
    asked, answers = plan.fields.get("item", ()), plan.fields.get("answer", ())
    bare = np.full(len(rows.lines), bool(asked))
    for place in asked:
        bare &= where_text(rows.columns[place], lambda text: not text.strip()).to_numpy(bool)
    for row in np.flatnonzero(bare):
        cells = rows.cells(int(row))
        first = next((text for text in map(plain_text, cells) if text.strip()), "")
        answered = any(cells[place].strip() for place in answers)
        sentence = not answered and len(first.split()) >= _SENTENCE
        bare[row] = is_totals(first, plan.map.totals) or sentence
    return bare


def _sums_up(cells: list[str], plan: Plan) -> bool:
    """Whether the first text of a row of a wide file is a word of totals."""
    student = plan.fields.get("student", (0,))[0]
    cell = cells[student] if student < len(cells) else ""
    first = cell if cell.strip() else next((text for text in cells if text.strip()), "")
    return is_totals(plain_text(first), plan.map.totals)


def _counts_rows(cells: list[str], rows: int) -> bool:
    """Whether a row is one text that says how many rows the table has: `Total rows: 252`."""
    first, *others = [plain_text(text) for text in cells if text.strip()] or [""]
    worded = re.search(r"[^\W\d_]{3}", first)
    return not others and bool(worded) and re.findall(r"\d+", first) == [str(rows)]


def _unlike_students(rows: Rows, plan: Plan) -> tuple[_Mask, _Mask]:
    """Rows of a wide file that sum up others, by what stands in them, under a word of their own.

    And those among them that a word of totals behind an empty id says to do so.

    All their cells are numbers, and besides they have no digit in place of the id where all others
    have one, or numbers where no other row has one: broken ones, or behind a gap of the table.
    """
    height, places = len(rows.lines), [one.boxes[0] for one in plan.questions]
    if height <= _OTHERS or "student" not in plan.fields or not places:
        return np.zeros(height, dtype=bool), np.zeros(height, dtype=bool)
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
    odd = np.asarray(summing & (alone | (strange & (apart | half))))
    named = odd & strange & where_text(students, lambda text: not text.strip()).to_numpy(bool)
    for row in np.flatnonzero(named):
        first = next((text for text in rows.cells(int(row)) if text.strip()), "")
        named[row] = sums_in(plain_text(first))
    return odd, named


def _is_number(text: str) -> bool:
    return score_of(plain_text(text), decimal_comma=True)[0] is not None


def _is_broken(text: str) -> bool:
    return any(sign in plain_text(text) for sign in ".,%")


BATCH_ROWS = 250_000
_SUMMING = (
    "by its numbers a row of totals and no student: put the word in place of the id under `totals` "
    'of the map, or say totals = ["-"] there if every row is that of a student'
)
_CAPTION = (
    "a line of its own above column names that come again, as of the class section of the rows "
    "below: write it into a column beside them"
)
_RAGGED = "the row has {} fields, the header has {}: put fields that hold the delimiter in quotes"
_Column = pd.Series  # of texts, as `pipeline.ingest.distinct` has them
_Rows = npt.NDArray[np.int64]


@dataclass(frozen=True)
class RawBatch:
    """Some rows of a file.

    Args:
        answers: one row per answer, text columns `EXPORT_FIELDS` with "" for nothing, `line`,
            and `column`, the header that the answer stands under.
        broken: rows that are no rows, with their lines.
        totals: lines of rows that sum up others, or say the column names again.
        empty: lines of rows of a wide file without any answer.
    """

    answers: pd.DataFrame
    broken: tuple[tuple[int, BrokenRow], ...]
    totals: tuple[int, ...]
    empty: tuple[int, ...]


def raw_batches(table: TableFile, plan: Plan) -> Iterator[RawBatch]:
    """Read a file below its header.

    Yields:
        Batches of at most 250,000 answers, in the order of the file; one without any for a file
        that ends below its header.
    """
    wide = plan.map.layout == "wide"
    size = max(1, BATCH_ROWS // max(1, len(plan.questions))) if wide else BATCH_ROWS
    none = True
    for rows in file_rows(table, plan):
        for start in range(0, max(1, len(rows.lines)), size):
            none = False
            part = rows.taken(np.arange(start, min(start + size, len(rows.lines))))
            batch = _batch(part, () if start else rows.odd, plan)
            yield _of_sheet(batch, str(plan.sheet)) if plan.further else batch
    if none:
        yield RawBatch(_long(Rows.empty(), plan), (), (), ())


def _batch(rows: Rows, odd: Sequence[tuple[int, list[str] | BrokenRow]], plan: Plan) -> RawBatch:
    wide = plan.map.layout == "wide"
    broken: list[tuple[int, BrokenRow]] = []
    totals: list[int] = []
    for line, cells in odd:
        if isinstance(cells, BrokenRow):
            broken.append((line, cells))
        elif (wide and _sums_up(cells, plan)) or _counts_rows(cells, len(rows.lines)):
            totals.append(line)
        else:
            fields, width = len(cells), len(plan.header.names)
            broken.append((line, BrokenRow(_RAGGED.format(fields, width))))
    named = _names_again(rows, plan) | (rows.lines == (plan.points_line or -1))
    totals += rows.lines[named].tolist()
    captions = set(rows.lines[np.flatnonzero(named[1:])].tolist()) if wide else set()
    rows = rows.taken(np.flatnonzero(~named)) if named.any() else rows
    # A long file has a question in every row, and somebody's id may be the word Max.
    summing = _summing_up(rows, plan) if wide else _remarks_between(rows, plan)
    totals += rows.lines[summing].tolist()
    rows = rows.taken(np.flatnonzero(~summing)) if summing.any() else rows
    if not plan.questions and not wide:
        return RawBatch(_long(rows, plan), tuple(broken), tuple(sorted(totals)), ())
    if wide and not plan.map.totals:
        unlike, named = _unlike_students(rows, plan)
        broken += [(int(line), BrokenRow(_SUMMING)) for line in rows.lines[unlike & ~named]]
        totals += rows.lines[named].tolist()
        rows = rows.taken(np.flatnonzero(~unlike)) if unlike.any() else rows
    answers, empty = _wide(rows, plan)
    broken += [(line, BrokenRow(_CAPTION)) for line in empty if line in captions]
    empty = tuple(line for line in empty if line not in captions)
    return RawBatch(answers, tuple(broken), tuple(sorted(totals)), empty)


def _of_sheet(batch: RawBatch, sheet: str) -> RawBatch:
    """Rows of a further sheet, whose lines alone would not tell where they stand."""
    lines, rows = np.unique(batch.answers["line"].to_numpy(), return_inverse=True)
    places = text_column(rows, [f"{sheet}, row {line}" for line in lines])
    broken = [(at, replace(row, place=f"{sheet}, row {at}")) for at, row in batch.broken]
    answers = batch.answers.assign(source_place=places)
    return replace(batch, answers=answers, broken=tuple(broken))


def _long(rows: Rows, plan: Plan) -> pd.DataFrame:
    frame = {"line": pd.Series(rows.lines)}
    for name in EXPORT_FIELDS:
        frame[name] = _joined_boxes(rows, plan.fields.get(name, ()), _between(name, plan))
    if "points" not in plan.fields:
        said = per_distinct(frame["item"], worth_in)
        worth = _constant(plan.worth, len(rows.lines)) if plan.worth else said
        frame["points"] = worth
    frame["column"] = _constant(plan.header_of("answer"), len(rows.lines))
    return pd.DataFrame(frame)


def _between(name: str, plan: Plan) -> str:
    """What joins several columns of a field: names of people and of questions are read as one."""
    return {"student": " ", "item": BETWEEN_NUMBERS}.get(name, plan.map.join)


def _constant(text: str, rows: int) -> _Column[Any]:
    return text_column(np.zeros(rows, dtype=np.int8), [text])


def _joined_boxes(rows: Rows, places: Sequence[int], join: str) -> _Column[Any]:
    """One column out of those of several boxes, each combination joined once."""
    if not places or not rows.columns:
        return _constant("", len(rows.lines))
    if len(places) == 1:
        return rows.columns[places[0]]
    boxes = [coded(rows.columns[place]) for place in places]
    combined = np.zeros(len(rows.lines), dtype=np.int64)
    for codes, texts in boxes:
        combined = pd.factorize(combined * len(texts) + codes)[0]
    _, first = np.unique(combined, return_index=True)
    parts = [texts[codes[first]] for codes, texts in boxes]
    joined = [_joined(one, join) for one in zip(*parts, strict=True)]
    codes, texts = pd.factorize(np.array(joined, dtype=object))
    return text_column(codes[combined], texts)


def _joined(parts: tuple[str, ...], join: str) -> str:
    """Boxes as one answer; the mark of a box that a spreadsheet program changed is kept."""
    filled = [part for part in parts if part]
    if len(filled) < 2:
        return filled[0] if filled else ""
    marked = next((part for part in filled if plain_text(part) != part and part[0] != "\x01"), None)
    return marked or join.join(plain_text(part) for part in filled)


def _wide(rows: Rows, plan: Plan) -> tuple[pd.DataFrame, tuple[int, ...]]:
    """One row per answer, in the order of the rows and within a row of the questions."""
    questions, height = plan.questions, len(rows.lines)
    answers = _stacked([_joined_boxes(rows, one.boxes, plan.map.join) for one in questions], height)
    there = where_text(answers, bool).to_numpy(bool).reshape(height, len(questions))
    answered: npt.NDArray[np.bool_] = np.asarray(there.any(axis=1))
    asked = there | (plan.map.blank == "unanswered")
    if plan.map.layout == "long":  # the first try of a row that is there was asked
        asked, answered = there.copy(), np.ones(height, dtype=bool)
        asked[:, 0] |= ~there.any(axis=1)
    kept = np.flatnonzero((asked & answered[:, None]).ravel())
    sources, which = np.divmod(kept, max(1, len(questions)))
    frame = {"line": pd.Series(rows.lines[sources])}
    for name in EXPORT_FIELDS:
        whole = _joined_boxes(rows, plan.fields.get(name, ()), _between(name, plan))
        frame[name] = whole.iloc[sources].reset_index(drop=True)
        if any(name in one.about for one in questions):
            own = [rows.columns[one.about[name]] if name in one.about and height else
                   _constant("", height) for one in questions]  # fmt: skip
            told = _stacked(own, height).iloc[kept].reset_index(drop=True)
            frame[name] = filled(told.where(told != ""), frame[name])
    tries = [str(one.attempt or "") for one in questions]
    own_try = _per_question(tries, which)
    frame["attempt"] = filled(own_try.where(own_try != ""), frame["attempt"])
    item = _per_question([one.item for one in questions], which)
    if plan.map.layout == "wide" and "item" in plan.fields:  # the row says the set of its numbers
        item = per_pair(frame["item"], item, lambda of, number: f"{of}{BETWEEN_NUMBERS}{number}")
    frame["item"] = filled(item.where(item != ""), frame["item"])
    worth = _per_question([one.worth for one in questions], which)
    frame["points"] = filled(frame["points"].where(frame["points"] != ""), worth)
    frame["column"] = _per_question([one.header for one in questions], which)
    frame["answer"] = answers.iloc[kept].reset_index(drop=True)
    return pd.DataFrame(frame), tuple(rows.lines[~answered].tolist())


def _per_question(texts: Sequence[str], which: _Rows) -> _Column[Any]:
    codes, distinct = pd.factorize(np.array(texts, dtype=object))
    return text_column(codes[which], distinct)


def _stacked(columns: Sequence[_Column[Any]], height: int) -> _Column[Any]:
    """Columns of equal height as one, row by row."""
    parts = [coded(column) for column in columns]
    texts = np.concatenate([texts for _, texts in parts] or [np.empty(0, dtype=object)])
    places, every = pd.factorize(texts)
    starts = np.cumsum([0, *(len(texts) for _, texts in parts)])
    codes = np.empty((height, len(parts)), dtype=np.int64)
    for place, (own, _) in enumerate(parts):
        codes[:, place] = places[starts[place] + own]
    return text_column(codes.ravel(), every)
