"""Columns of an export that hold answers and are not read: none is left out in silence."""

from __future__ import annotations

from itertools import islice

from pipeline.course import Course
from pipeline.ingest.column_facts import Column
from pipeline.ingest.long_layout import LongTable
from pipeline.ingest.marker import Marker
from pipeline.ingest.plan import Plan
from pipeline.ingest.question_headers import named_columns, unlisted
from pipeline.ingest.questions import Questions
from pipeline.tables import TableFile, plain_text

__all__ = ["answers_left_out"]

_LOOKED_AT = 100


def answers_left_out(
    course: Course, questions: Questions, table: TableFile, plan: Plan
) -> tuple[str, ...]:
    """Headers of columns that hold answers, to judge by the first hundred rows, and are not used.

    Those that the map lists under `left_out` are left out on purpose.

    Args:
        course: its right answers tell what an answer is.
        questions: of the course.
        table: the file.
        plan: what its columns are taken for.
    """
    names = set(plan.unused) - set(plan.map.left_out)
    if not names:
        return ()
    width = len(plan.header.names)
    below = [
        [plain_text(cell).strip() for cell in cells]
        for line, cells in islice(table.rows(plan.map.sheet), plan.header.line + _LOOKED_AT)
        if line > plan.header.line and isinstance(cells, list) and len(cells) <= width
    ]
    if not below:
        return ()
    if plan.map.layout == "wide":
        return _of_wide(questions, plan, below, names)
    if "item" not in plan.fields:
        return ()
    marker = Marker(course.items, decimal_comma=course.reading.decimal_comma)
    item = (plan.fields["item"][0], 1.0)
    long = LongTable(plan.header, below, item, questions, marker, frozenset())
    used = {place for places in plan.fields.values() for place in places}
    return tuple(name for name in long.other_answers(used) if name in names)


def _of_wide(
    questions: Questions, plan: Plan, below: list[list[str]], names: set[str]
) -> tuple[str, ...]:
    columns = {
        place: Column(place, name, [cells[place] if place < len(cells) else "" for cells in below])
        for place, name in enumerate(plan.header.names)
        if name in names
    }
    named = named_columns(
        plan.header.names,
        lambda place: columns[place].counts if place in columns else (),
        questions,
    )
    found = []
    for one in columns.values():
        told = named.get(one.name)
        asks = told.says is None if told else unlisted(one.name)
        if asks and one.filled and one.dates < 0.5 and one.share(questions.find) < 0.5:
            found.append(one.name)
    return tuple(found)
