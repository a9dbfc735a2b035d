"""Rows of a file as raw answers: one row per answer, long and wide alike, all text as it stood."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pandas as pd

from pipeline.course.delimited import BrokenRow
from pipeline.course.tables import TableFile
from pipeline.course.workbook import plain_text
from pipeline.ingest.columns import EXPORT_FIELDS, is_totals
from pipeline.ingest.plan import Plan

__all__ = ["BATCH_ROWS", "RawBatch", "raw_batches"]

BATCH_ROWS = 50_000
_Numbered = list[tuple[int, list[str]]]


@dataclass(frozen=True)
class RawBatch:
    """Some rows of a file.

    Args:
        answers: one row per answer, text columns `EXPORT_FIELDS` with "" for nothing, `line`,
            and `column`, the header that the answer stands under.
        broken: line and reason of rows that are no rows.
        totals: lines of rows that sum up others.
        empty: lines of rows of a wide file without any answer.
    """

    answers: pd.DataFrame
    broken: tuple[tuple[int, str], ...]
    totals: tuple[int, ...]
    empty: tuple[int, ...]


def raw_batches(table: TableFile, plan: Plan) -> Iterator[RawBatch]:
    """Read a file below its header.

    Yields:
        Batches of at most 50,000 answers, in the order of the file.
    """
    wide = plan.map.layout == "wide"
    size = max(1, BATCH_ROWS // max(1, len(plan.questions))) if wide else BATCH_ROWS
    rows: _Numbered = []
    broken: list[tuple[int, str]] = []
    width = len(plan.header.names)
    for line, cells in table.rows(plan.map.sheet):
        if line <= plan.header.line:
            continue
        if isinstance(cells, BrokenRow):
            broken.append((line, cells.reason))
        elif len(cells) == width:
            rows.append((line, cells))
        else:
            fitted = _fitted(cells, width, table.is_workbook)
            if isinstance(fitted, str) and not (wide and _sums_up(cells, plan)):
                broken.append((line, fitted))
            else:
                rows.append((line, cells if isinstance(fitted, str) else fitted))
        if len(rows) + len(broken) >= size:
            yield _batch(rows, broken, plan, wide)
            rows, broken = [], []
    yield _batch(rows, broken, plan, wide)


def _fitted(cells: list[str], width: int, is_workbook: bool) -> list[str] | str:
    """A row as wide as its header; a workbook leaves empty cells at the end away."""
    if is_workbook and not any(cells[width:]):
        return (cells + [""] * (width - len(cells)))[:width]
    return (
        f"the row has {len(cells)} fields, the header has {width}: "
        "put fields that hold the delimiter in quotes"
    )


def _may_sum_up(rows: _Numbered, plan: Plan) -> bool:
    """Whether one of the rows has no student, or a word of totals in place of one."""
    place = plan.fields.get("student", (0,))[0]
    students = {cells[place] if place < len(cells) else "" for _, cells in rows}
    return any(
        not text.strip() or is_totals(plain_text(text), plan.map.totals) for text in students
    )


def _sums_up(cells: list[str], plan: Plan) -> bool:
    student = plan.fields.get("student", (0,))[0]
    cell = cells[student] if student < len(cells) else ""
    first = cell if cell.strip() else next((text for text in cells if text.strip()), "")
    return is_totals(plain_text(first), plan.map.totals)


def _batch(rows: _Numbered, broken: list[tuple[int, str]], plan: Plan, wide: bool) -> RawBatch:
    totals: tuple[int, ...] = ()
    # A long file has a question in every row, and somebody's id may be the word Max.
    if wide and _may_sum_up(rows, plan):
        totals = tuple(line for line, cells in rows if _sums_up(cells, plan))
        summing = set(totals)
        rows = [row for row in rows if row[0] not in summing]
    if wide:
        answers, empty = _wide(rows, plan)
    else:
        answers, empty = _long(rows, plan), ()
    return RawBatch(answers, tuple(broken), totals, empty)


def _long(rows: _Numbered, plan: Plan) -> pd.DataFrame:
    columns = list(zip(*(cells for _, cells in rows), strict=True))
    frame = pd.DataFrame({"line": [line for line, _ in rows]}, dtype="int64")
    for name in EXPORT_FIELDS:
        places = plan.fields.get(name, ())
        if not places or not columns:
            frame[name] = pd.Series("", index=frame.index, dtype=object)
        elif len(places) == 1:
            frame[name] = pd.Series(columns[places[0]], dtype=object)
        else:
            boxes = zip(*(columns[place] for place in places), strict=True)
            texts = [_joined(parts, plan.map.join) for parts in boxes]
            frame[name] = pd.Series(texts, dtype=object)
    frame["column"] = plan.header_of("answer")
    return frame


def _joined(parts: tuple[str, ...], join: str) -> str:
    """Boxes as one answer; the mark of a box that a spreadsheet program changed is kept."""
    filled = [part for part in parts if part]
    if len(filled) < 2:
        return filled[0] if filled else ""
    marked = next((part for part in filled if plain_text(part) != part and part[0] != "\x01"), None)
    return marked or join.join(plain_text(part) for part in filled)


def _wide(rows: _Numbered, plan: Plan) -> tuple[pd.DataFrame, tuple[int, ...]]:
    taken: dict[str, list[str]] = {name: [] for name in ("item", "answer", "column")}
    about: dict[str, list[str]] = {name: [] for name in _about_fields(plan)}
    sources: list[int] = []
    empty: list[int] = []
    keep_blank = plan.map.blank == "unanswered"
    for number, (line, cells) in enumerate(rows):
        texts = [_joined(tuple(cells[b] for b in q.boxes), plan.map.join) for q in plan.questions]
        if not any(texts):
            empty.append(line)
            continue
        for question, text in zip(plan.questions, texts, strict=True):
            if text or keep_blank:
                sources.append(number)
                taken["item"].append(question.item)
                taken["answer"].append(text)
                taken["column"].append(question.header)
                for name, values in about.items():
                    place = question.about.get(name)
                    values.append("" if place is None else cells[place])
    frame = pd.DataFrame({"line": [rows[number][0] for number in sources]}, dtype="int64")
    for name in EXPORT_FIELDS:
        places = plan.fields.get(name, ())
        whole = [rows[n][1][places[0]] for n in sources] if places else [""] * len(sources)
        own = about.get(name)
        values = [o or w for o, w in zip(own, whole, strict=True)] if own is not None else whole
        frame[name] = pd.Series(values, dtype=object)
    for name, values in taken.items():
        frame[name] = pd.Series(values, dtype=object)
    return frame, tuple(empty)


def _about_fields(plan: Plan) -> set[str]:
    return {name for question in plan.questions for name in question.about}
