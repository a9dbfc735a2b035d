"""The plan for one export file: its header row found, every column given its place."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import islice
from typing import NoReturn

from pipeline.course import Course, ExportMap
from pipeline.course.exports import BESIDE
from pipeline.errors import InputError, UnknownForm
from pipeline.ingest.columns import header_words, is_row_of_points, meanings, standard_field
from pipeline.ingest.facts import score_of
from pipeline.ingest.forms import Form, form_of, narrowed_map, question_columns, said_alike
from pipeline.ingest.header import HeaderRow, shown
from pipeline.ingest.question_headers import ANSWER_FIELDS, worth_in, worth_of
from pipeline.ingest.questions import Questions
from pipeline.tables import TableFile

_NUMBERED_REPLY = re.compile(r"(?:response|answer|reply) (\d+)")
_PLACE_OF_ANSWER = ("student", "item", "attempt", "answered_at")
_COMPARED_ROWS = 200
_NEEDED = ("student", "item", "answer")
_NAMED = 0.5
_NEXT_ROWS, _LEAST_SCORES = 3, 2
# A column of these beside the questions of a wide file speaks of the whole row, not of an answer.
_NOT_WIDE = ("item", "answer", "score", "points", "work", "problem", "count")


@dataclass(frozen=True, slots=True)
class QuestionColumn:
    """One question of a wide file, or one try at it: its boxes, and columns about its answer.

    In a long file, a try at the question of the row, whose `item` is "". `worth` is the points
    possible that a header says, or a row below the headers; "" for none.
    """

    item: str
    header: str
    boxes: tuple[int, ...]
    about: Mapping[str, int] = field(default_factory=dict)
    attempt: int | None = None
    worth: str = ""


@dataclass(frozen=True, slots=True)
class Plan:
    """Where everything stands in one file, or one sheet of it.

    Args:
        map: the course's map for it, or one that only says the layout.
        header: the row of column names.
        fields: field of ours -> places of its columns, from 0.
        questions: of a wide file, in the order of the columns.
        unused: headers that were not taken for anything.
        sheet: of a workbook.
        further: whether it is a sheet beside the first one that is read.
        section: of all its rows, where the name of its sheet tells it.
        points_line: of a row below the names that says the points possible; 0 for none.
        instead: id that the map says -> id, where its names are places in another quiz.
    """

    map: ExportMap
    header: HeaderRow
    fields: Mapping[str, tuple[int, ...]]
    questions: tuple[QuestionColumn, ...] = ()
    unused: tuple[str, ...] = ()
    sheet: str | None = None
    further: bool = False
    section: str | None = None
    points_line: int = 0
    instead: Mapping[str, str] = field(default_factory=dict)

    def header_of(self, name: str) -> str:
        """Header of a field's first column; the field's own name when it has none."""
        places = self.fields.get(name)
        return self.header.names[places[0]] if places else name

    @property
    def names(self) -> Mapping[str, str]:
        """What its cells call questions -> ids, as the map says."""
        return self.map.questions if "item" in self.fields else {}

    @property
    def of_students(self) -> Plan:
        """What is to be read to know the students alone; of a wide file all, to tell its totals."""
        whose = {"student": self.fields["student"]} if "student" in self.fields else {}
        return self if self.questions else replace(self, fields=whose)

    @property
    def worth(self) -> str:
        """Points possible of every answer of a long file, as the header of its scores says."""
        return worth_of(self.header_of("score"), of_score=True) if "score" in self.fields else ""


def sheet_plans(
    course: Course, questions: Questions, table: TableFile, called: str
) -> Iterator[Plan]:
    """Find the header row and the place of every column.

    Of a workbook, every sheet that has the columns of the first one that can be read; those that
    speak of the same answers again are left out.

    Args:
        course: holds the maps; see `pipeline.ingest.forms`.
        questions: of the course.
        table: the file.
        called: the name that the maps are asked for, relative to `exports/`.

    Raises:
        UnknownForm: no row of the first sixty has the columns of a map, or the standard names.
        InputError: a map that names this file does not fit it, or two maps do.
    """
    found: list[Plan] = []
    unknown: list[UnknownForm] = []
    for sheet in table.sheets or (None,):
        try:
            told = questions.in_file(called, sheet)
            plan = _plan_sheet(course, told, table, (sheet, called))
        except UnknownForm as error:
            unknown.append(error)
            continue
        found.append(replace(plan, sheet=sheet))
    if not found:
        raise unknown[0]
    first, *others = found
    seen = {0: _slots(first, table)} if others else {}
    for at, one in enumerate(others, 1):
        mine = _slots(one, table) if _are_alike(first, one) else set()
        if mine and 2 * len(mine & set().union(*seen.values())) <= len(mine):
            seen[at] = mine
    are_sections = len(seen) > 1 and _are_sections(first, list(seen.values()))
    for at in seen or (0,):
        section = found[at].sheet if are_sections else None
        yield replace(found[at], further=at > 0, section=section)


def _are_sections(first: Plan, slots: Sequence[set[tuple[str, ...]]]) -> bool:
    """Whether sheets put the same questions to different students, as class sections do."""
    if {"section", "item"} & first.fields.keys() or first.map.section is not None:
        return False
    students = [{slot[0] for slot in mine if slot[0]} for mine in slots]
    asked = {frozenset(slot[-2] for slot in mine) for mine in slots}
    return len(asked) == 1 and sum(map(len, students)) == len(set().union(*students))


def _plan_sheet(
    course: Course, questions: Questions, table: TableFile, named: tuple[str | None, str]
) -> Plan:
    form = form_of(course.exports, questions, table, *named)
    if form.row is not None:
        return _mapped(form, form.row, table.name, questions)
    plan = _standard(form.map, form.rows, questions)
    return plan or _unknown(table.name, form.rows, narrowed_map(course.exports, questions, table))


def _slots(plan: Plan, table: TableFile) -> set[tuple[str, ...]]:
    """Places of answers in the first rows: who, to what, which try, when.

    A sheet whose places another one fills holds something else of the same answers, such as points.
    """
    rows = islice(table.rows(plan.sheet), plan.header.line + _COMPARED_ROWS)
    at = [plan.fields[name][0] for name in _PLACE_OF_ANSWER if name in plan.fields]
    whose = [
        tuple(cells[place] if place < len(cells) else "" for place in at)
        for line, cells in rows
        if line > plan.header.line and isinstance(cells, list)
    ]
    asked = [(one.item, str(one.attempt)) for one in plan.questions] or [("", "")]
    return {(*who, *what) for who in whose for what in asked}


def _are_alike(one: Plan, other: Plan) -> bool:
    """Whether two sheets are read by one map, so that one can stand for both."""
    names = [{name: plan.header_of(name) for name in plan.fields} for plan in (one, other)]
    return one.map == other.map and names[0] == names[1]


def _standard(base: ExportMap, rows: list[HeaderRow], questions: Questions) -> Plan | None:
    """Columns by the standard names; a wide file by `student` and headers that are item ids."""
    for row in (one for one in rows if one.whole):
        fields: dict[str, tuple[int, ...]] = {}
        for place, name in enumerate(row.names):
            if found := standard_field(name):
                fields.setdefault(found, (place,))
        if {"answer", "points"} <= fields.keys() and "score" not in fields:
            return None  # they may be earned: their values tell
        if all(name in fields for name in _NEEDED) or {"item", "answer", "count"} <= set(fields):
            return _with_unused(Plan(replace(base, layout="long"), row, fields))
        if "student" in fields and any(map(_is_id_of_student, row.names)):
            return None  # the other may hold names: their values tell
        ids = {name: name for name in row.names if name in questions.ids}
        if "student" in fields and ids and "answer" not in fields:
            plan = Plan(replace(base, layout="wide"), row, _of_row(fields))
            return _with_unused(replace(plan, questions=_question_columns(row, ids, base)))
    return None


def _is_id_of_student(name: str) -> bool:
    """Whether a header that is not our own says that ids of students stand below it."""
    words = header_words(name).split()
    coded = not {"id", "no", "nr", "number", "code"}.isdisjoint(words)
    return coded and not standard_field(name) and meanings(name).get("student", 0) > _NAMED


def _of_row(
    fields: Mapping[str, tuple[int, ...]], said: Collection[str] = ()
) -> dict[str, tuple[int, ...]]:
    left = set(_NOT_WIDE) - ({"item"} & set(said))  # a map may say the quiz of a row
    return {name: places for name, places in fields.items() if name not in left}


def _unknown(name: str, rows: list[HeaderRow], narrowed: ExportMap | None) -> NoReturn:
    best: tuple[str, ...] = ()
    seen = max(rows[:5], key=lambda row: sum(map(bool, row.names)), default=HeaderRow(1, ()))
    for row in rows:
        found = tuple(one for one in _NEEDED if one in {standard_field(n) for n in row.names})
        if len(found) > len(best):
            best, seen = found, row
    lacking = ", ".join(one for one in _NEEDED if one not in best)
    way_out = "`lostroot check DIR --write` works out a map for other names."
    if narrowed:
        way_out = (
            f"The map in line {narrowed.line} of the settings has these columns, but its `files` "
            "leave this file out: take `files` out of it, and answers that do not fit are refused."
        )
    raise UnknownForm(
        f"{name}, line {seen.line}: missing column {lacking}; expected student, item, answer (a "
        "row per answer), or student and the ids of items (a row per student); seen: "
        f"{shown(seen.names)}. {way_out}"
    )


def _mapped(form: Form, row: HeaderRow, name: str, questions: Questions) -> Plan:
    chosen = form.map
    columns = dict(chosen.columns)
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
    if chosen.layout == "long" and chosen.tries:
        plan = replace(plan, questions=_tries_of_rows(row, chosen, fields["answer"]))
    if chosen.layout == "wide":
        named = question_columns(chosen, row, form.rows, questions)
        found = _question_columns(row, named, said_alike(chosen, named, row, questions))
        plan = _with_row_of_points(
            replace(plan, fields=_of_row(fields, chosen.columns), questions=found), form
        )
    return _with_unused(plan)


def _with_row_of_points(plan: Plan, form: Form) -> Plan:
    """The points possible that a row next to the names says, under the scores or the answers."""
    for row in form.rows:
        first = next(filter(None, row.cells), "")
        if not plan.header.line < row.line <= plan.header.line + _NEXT_ROWS:
            continue
        if is_row_of_points(first) or _bounds_scores(row, form.rows, plan):
            said = [
                _number_in(row.cells, (*one.boxes, *one.about.values())) for one in plan.questions
            ]
            told = tuple(replace(one, worth=worth or one.worth)
                         for one, worth in zip(plan.questions, said, strict=True))  # fmt: skip
            return replace(plan, questions=told, points_line=row.line)
    return plan


def _bounds_scores(row: HeaderRow, rows: Sequence[HeaderRow], plan: Plan) -> bool:
    """Whether a row has nothing but numbers under scores, none below what anybody earned."""
    scores = [one.about["score"] for one in plan.questions if "score" in one.about]
    answers = [at for one in plan.questions for at in one.boxes]
    cells = (*row.cells, *[""] * (len(plan.header.names) - len(row.cells)))
    coded = any(map(str.isdigit, "".join(cells[at] for at in plan.fields.get("student", ()))))
    if coded or len(scores) < _LEAST_SCORES or any(cells[at] for at in answers):
        return False
    below = [one.cells for one in rows if one.line > row.line]
    limits = {at: _score_in(cells, at) for at in scores}
    earned = ((limits[at], _score_in(one, at)) for at in scores for one in below)
    return bool(below) and all(
        limit is not None and (got is None or got <= limit) for limit, got in earned
    )


def _score_in(cells: Sequence[str], place: int) -> float | None:
    return score_of(cells[place], decimal_comma=True)[0] if place < len(cells) else None


def _number_in(cells: Sequence[str], places: Sequence[int]) -> str:
    texts = {cells[place] for place in places if place < len(cells)} - {""}
    return texts.pop() if len(texts) == 1 and score_of(min(texts), False)[0] else ""


def _check_needed(chosen: ExportMap, fields: Mapping[str, object], name: str) -> None:
    needed: tuple[str, ...] = ("student",) if chosen.layout == "wide" else _NEEDED
    if "count" in fields:
        needed = tuple(one for one in needed if one != "student")
    if lacking := [one for one in needed if one not in fields]:
        raise InputError(
            f"{name}: the map in line {chosen.line} of the settings names no column for "
            f"{', '.join(lacking)}. Add it under `columns`."
        )


def _question_columns(
    row: HeaderRow, named: Mapping[str, str], said: ExportMap
) -> tuple[QuestionColumn, ...]:
    """Columns of the questions; headers of one item and try are its boxes, in the map's order."""
    boxes: dict[tuple[str, int | None], list[int]] = {}
    at = {header: place for place, header in reversed(list(enumerate(row.names)))}
    for header in (*(one for one in said.questions if one in named), *named):
        places = boxes.setdefault((named[header], said.tries.get(header)), [])
        if at[header] not in places:
            places.append(at[header])
    # What the map says that a column is, its name says no more.
    words = {header_words(name): place for place, name in reversed(list(enumerate(row.names)))
             if name not in said.beside}  # fmt: skip
    beside = _beside(row, said)
    columns = []
    for (item, attempt), places in boxes.items():
        header = row.names[places[0]]
        about = {
            one: words[key]
            for one in ANSWER_FIELDS
            for key in _names_of(one, header, item)
            if key in words
        } | beside.get((item, attempt), {})
        worth = worth_of(row.names[about["score"]], of_score=True) if "score" in about else ""
        worth = worth or worth_in(header)
        columns.append(QuestionColumn(item, header, tuple(places), about, attempt, worth))
    return tuple(columns)


def _tries_of_rows(
    row: HeaderRow, said: ExportMap, places: Sequence[int]
) -> tuple[QuestionColumn, ...]:
    """Columns of the tries at the question of a row; those without a number are its first."""
    boxes: dict[int, list[int]] = {}
    for place in places:
        boxes.setdefault(said.tries.get(row.names[place], 1), []).append(place)
    beside = _beside(row, said)
    return tuple(
        QuestionColumn("", row.names[own[0]], tuple(own), beside.get(("", attempt), {}), attempt)
        for attempt, own in sorted(boxes.items())
    )


def _beside(row: HeaderRow, said: ExportMap) -> dict[tuple[str, int | None], dict[str, int]]:
    """Item and try -> what the map says that other columns say of its answer."""
    found: dict[tuple[str, int | None], dict[str, int]] = {}
    for place, header in enumerate(row.names):
        if told := BESIDE.fullmatch(said.beside.get(header, "")):
            number = told[2] or told[4]
            attempt = int(number) if number else None
            found.setdefault((told[3] or "", attempt), {})[told[1]] = place
    return found


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
