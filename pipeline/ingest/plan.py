"""The plan for one export file: its header row found, every column given its place."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from fnmatch import fnmatchcase
from typing import Any, NoReturn

from pipeline.course import Course, ExportMap
from pipeline.course.exports import BESIDE
from pipeline.course.tables import TableFile
from pipeline.errors import InputError
from pipeline.ingest.columns import header_words, standard_field
from pipeline.ingest.header import HeaderRow, header_rows
from pipeline.ingest.questions import Questions

__all__ = ["ANSWER_FIELDS", "Plan", "QuestionColumn", "plan_file"]

_NUMBERED_REPLY = re.compile(r"(?:response|answer|reply) (\d+)")
_AGAIN = re.compile(r" \(\d+\)$")  # how `header_rows` tells doubled names apart
_NEEDED = ("student", "item", "answer")
# A column of these beside the questions of a wide file speaks of the whole row, not of an answer.
_NOT_WIDE = ("item", "answer", "score", "points", "work", "problem", "count")
# What may stand in a column of its own beside a question of a wide file: `q1`, `q1 score`.
ANSWER_FIELDS = ("score", "points", "work", "problem", "attempt", "answered_at", "count")


@dataclass(frozen=True, slots=True)
class QuestionColumn:
    """One question of a wide file, or one try at it: its boxes, and columns about its answer."""

    item: str
    header: str
    boxes: tuple[int, ...]
    about: Mapping[str, int] = field(default_factory=dict)
    attempt: int | None = None


@dataclass(frozen=True, slots=True)
class Plan:
    """Where everything stands in one file.

    Args:
        map: the course's map for it, or one that only says the layout.
        header: the row of column names.
        fields: field of ours -> places of its columns, from 0.
        questions: of a wide file, in the order of the columns.
        unused: headers that were not taken for anything.
    """

    map: ExportMap
    header: HeaderRow
    fields: Mapping[str, tuple[int, ...]]
    questions: tuple[QuestionColumn, ...] = ()
    unused: tuple[str, ...] = ()

    def header_of(self, name: str) -> str:
        """Header of a field's first column; the field's own name when it has none."""
        places = self.fields.get(name)
        return self.header.names[places[0]] if places else name


def plan_file(course: Course, questions: Questions, table: TableFile, called: str) -> Plan:
    """Find the header row and the place of every column.

    Args:
        course: the first of its maps whose `files` fit and that names columns is taken; what that
            one leaves open, the other fitting maps may say.
        questions: of the course.
        table: the file.
        called: the name that the maps are asked for, relative to `exports/`.

    Raises:
        InputError: no row of the first sixty has the columns of the map, or the standard names.
    """
    chosen = _chosen([one for one in course.exports if _fits(one, called)])
    rows = header_rows(table, chosen.sheet if chosen else None)
    if chosen is not None and (chosen.columns or chosen.questions):
        return _mapped(chosen, rows, table.name, questions)
    base = chosen or ExportMap(files=(called,))
    return _standard(base, rows, questions) or _missing(table.name, rows)


def _fits(one: ExportMap, called: str) -> bool:
    names = (called, called.rpartition("/")[2])
    return any(name == glob or fnmatchcase(name, glob) for glob in one.files for name in names)


def _chosen(fitting: list[ExportMap]) -> ExportMap | None:
    """The first map that names columns, with what it leaves open filled in by the others."""
    if not fitting:
        return None
    first = next((one for one in fitting if one.columns or one.questions), fitting[0])

    def said(name: str) -> Any:
        values = (getattr(one, name) for one in (first, *fitting))
        return next((value for value in values if value is not None), None)

    return replace(
        first,
        term=said("term"),
        section=said("section"),
        quiz=said("quiz"),
        setting=said("setting"),
        supervised=said("supervised"),
        calculator=said("calculator"),
        date=said("date"),
        date_order=said("date_order"),
        time_zone=said("time_zone"),
    )


def _standard(base: ExportMap, rows: list[HeaderRow], questions: Questions) -> Plan | None:
    """Columns by the standard names; a wide file by `student` and headers that are item ids."""
    for row in rows:
        fields: dict[str, tuple[int, ...]] = {}
        for place, name in enumerate(row.names):
            if found := standard_field(name):
                fields.setdefault(found, (place,))
        if all(name in fields for name in _NEEDED) or {"item", "answer", "count"} <= set(fields):
            return _with_unused(Plan(replace(base, layout="long"), row, fields))
        ids = {name: name for name in row.names if name in questions.ids}
        if "student" in fields and ids and "answer" not in fields:
            plan = Plan(replace(base, layout="wide"), row, _of_row(fields))
            return _with_unused(replace(plan, questions=_question_columns(row, ids, base)))
    return None


def _of_row(fields: Mapping[str, tuple[int, ...]]) -> dict[str, tuple[int, ...]]:
    return {name: places for name, places in fields.items() if name not in _NOT_WIDE}


def _missing(name: str, rows: list[HeaderRow]) -> NoReturn:
    best: tuple[str, ...] = ()
    line = rows[0].line if rows else 1
    for row in rows:
        found = tuple(one for one in _NEEDED if one in {standard_field(n) for n in row.names})
        if len(found) > len(best):
            best, line = found, row.line
    lacking = ", ".join(one for one in _NEEDED if one not in best)
    raise InputError(
        f"{name}, line {line}: missing column {lacking}; expected student, item, answer (a row "
        "per answer), or student and the ids of items (a row per student). "
        "`lostroot check DIR --write` works out a map for other names."
    )


def _mapped(chosen: ExportMap, rows: list[HeaderRow], name: str, questions: Questions) -> Plan:
    columns = dict(chosen.columns)
    wanted = {header for headers in columns.values() for header in headers}
    wanted |= {*chosen.questions, *chosen.beside}
    for row in rows:
        if wanted <= set(row.names):
            break
    else:
        _missing_mapped(chosen, rows, name, wanted)
    places = {header: place for place, header in reversed(list(enumerate(row.names)))}
    fields = {one: tuple(places[h] for h in headers) for one, headers in columns.items()}
    taken = {place for found in fields.values() for place in found}
    said = {*chosen.questions, *chosen.beside, *chosen.left_out}
    for place, header in enumerate(row.names):
        own = standard_field(header)
        if own and own not in fields and place not in taken and header not in said:
            fields[own] = (place,)
    _check_needed(chosen, fields, name)
    plan = Plan(chosen, row, fields)
    if chosen.layout == "wide":
        named = {header: questions.named(item) for header, item in chosen.questions.items()}
        if not named:
            named = {one: item for one in row.names if one and (item := questions.find(one))}
        found = _question_columns(row, named, chosen)
        plan = replace(plan, fields=_of_row(fields), questions=found)
    return _with_unused(plan)


def _check_needed(chosen: ExportMap, fields: Mapping[str, object], name: str) -> None:
    needed: tuple[str, ...] = ("student",) if chosen.layout == "wide" else _NEEDED
    if "count" in fields:
        needed = tuple(one for one in needed if one != "student")
    if lacking := [one for one in needed if one not in fields]:
        raise InputError(
            f"{name}: the map in line {chosen.line} of the settings names no column for "
            f"{', '.join(lacking)}. Add it under `columns`."
        )


def _missing_mapped(
    chosen: ExportMap, rows: list[HeaderRow], name: str, wanted: set[str]
) -> NoReturn:
    best = max(rows, key=lambda row: len(wanted & set(row.names)), default=HeaderRow(1, ()))
    lacking = sorted(wanted - set(best.names))
    more = f" and {len(lacking) - 1} more" if len(lacking) > 1 else ""
    raise InputError(
        f"{name}, line {best.line}: missing column {lacking[0]!r}{more}, which the map in line "
        f"{chosen.line} of the settings names. Mend the map, or take it out and let "
        "`lostroot check DIR --write` work out a new one."
    )


def _question_columns(
    row: HeaderRow, named: Mapping[str, str], said: ExportMap
) -> tuple[QuestionColumn, ...]:
    """Columns of the questions; headers of one item and try are its boxes, from left to right."""
    boxes: dict[tuple[str, int | None], list[int]] = {}
    for place, header in enumerate(row.names):
        if header in named:
            boxes.setdefault((named[header], said.tries.get(header)), []).append(place)
    words = {header_words(name): place for place, name in reversed(list(enumerate(row.names)))}
    beside, right = _beside(row, said), _right_of(row, boxes)
    columns = []
    for (item, attempt), places in boxes.items():
        header = row.names[places[0]]
        about = (
            right.get((item, attempt), {})
            | {
                one: words[key]
                for one in ANSWER_FIELDS
                for key in _names_of(one, header, item)
                if key in words
            }
            | beside.get((item, attempt), {})
        )
        columns.append(QuestionColumn(item, header, tuple(places), about, attempt))
    return tuple(columns)


def _beside(row: HeaderRow, said: ExportMap) -> dict[tuple[str, int | None], dict[str, int]]:
    """Item and try -> what the map says that other columns say of its answer."""
    found: dict[tuple[str, int | None], dict[str, int]] = {}
    for place, header in enumerate(row.names):
        if told := BESIDE.fullmatch(said.beside.get(header, "")):
            attempt = int(told[3]) if told[3] else None
            found.setdefault((told[2], attempt), {})[told[1]] = place
    return found


def _right_of(
    row: HeaderRow, boxes: Mapping[tuple[str, int | None], list[int]]
) -> dict[tuple[str, int | None], dict[str, int]]:
    """What the column right of each answer says of it, where each question has a `Score` there."""
    right = {item: max(places) + 1 for item, places in boxes.items()}
    names = {
        item: standard_field(_AGAIN.sub("", row.names[place])) if place < len(row.names) else None
        for item, place in right.items()
    }
    found = set(names.values())
    if len(boxes) < 2 or len(found) != 1 or not found <= set(ANSWER_FIELDS):
        return {}
    return {item: {str(name): right[item]} for item, name in names.items()}


def _names_of(one: str, header: str, item: str) -> Iterator[str]:
    """What `score` of a question may be called: `q1 score`, or `Score 1` of `Response 1`."""
    yield header_words(f"{header} {one}")
    yield header_words(f"{item} {one}")
    if numbered := _NUMBERED_REPLY.fullmatch(header_words(header)):
        yield f"{one} {numbered[1]}"


def _with_unused(plan: Plan) -> Plan:
    used = {place for places in plan.fields.values() for place in places}
    for column in plan.questions:
        used |= {*column.boxes, *column.about.values()}
    unused = [name for place, name in enumerate(plan.header.names) if name and place not in used]
    return replace(plan, unused=tuple(unused))
