"""Columns of an export that are worth a question and are not read: none is left out in silence."""

from __future__ import annotations

from pipeline.course import Course
from pipeline.ingest.long_layout import LongTable
from pipeline.ingest.marker import Marker
from pipeline.ingest.plan import Plan
from pipeline.ingest.questions import Questions
from pipeline.ingest.sample import sampled_rows
from pipeline.ingest.wide_layout import WideTable
from pipeline.tables import TableFile


def columns_left_out(
    course: Course, questions: Questions, table: TableFile, plan: Plan
) -> dict[str, str]:
    """Headers of columns that are not read though they hold answers, dates or class sections.

    Those that the map lists under `left_out` are left out on purpose.

    Args:
        course: its right answers tell what an answer is.
        questions: of the course.
        table: the file.
        plan: what its columns are taken for.

    Returns:
        Header -> what it holds.
    """
    free = set(plan.unused) - set(plan.map.left_out)
    if not free:
        return {}
    width = len(plan.header.names)
    rows = sampled_rows(table, plan.sheet)
    below = [cells for line, cells in rows if line > plan.header.line and len(cells) <= width]
    if not below:
        return {}
    marker = Marker(course.items, decimal_comma=course.reading.decimal_comma)
    layout: LongTable | WideTable
    if plan.map.layout == "wide":
        layout = WideTable(plan.header, below, questions, marker)
    elif "item" in plan.fields:
        item = (plan.fields["item"], 1.0)
        layout = LongTable(plan.header, below, item, questions, marker)
    else:
        return {}
    fields: dict[str, tuple[str, ...]] = {
        name: tuple(plan.header.names[place] for place in places)
        for name, places in plan.fields.items()
    } | {name: () for one in plan.questions for name in one.about if name not in plan.fields}
    return layout.unread(fields, set(plan.header.names) - free)
