"""Tables of one invented class under many header rows: each comes out as what was put in.

Every table holds the same answers; only the names of the columns, what else stands there and the
layout differ.
"""

from __future__ import annotations

import csv
import io
import random
import tomllib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from pipeline.check import check_course
from pipeline.check.item_set import BlindSpots
from pipeline.course import Course, read_course
from pipeline.course.exports import ExportMap
from pipeline.errors import ExitCode, InputError
from pipeline.ingest.header import HeaderRow
from pipeline.ingest.proposal import Proposal
from pipeline.ingest.propose import propose_map, refusal
from pipeline.ingest.questions import Questions

ITEMS = """\
item,topic,task,problem,answer,options,quiz,week
roots-01,roots,solve,x^2 - 9 = 0,,,Week 2,2
roots-02,roots,solve,x^2 - 6x + 8 = 0,,,Week 2,2
fact-01,factoring,factor,x^2 + 7x + 12,,,Week 2,2
lin-01,lines,solve,3x - 4 = 11,,,Week 3,3
lin-02,lines,solve,3 - x = 7,,,Week 3,3
exp-01,expanding,expand,(x + 5)^2,,,Week 3,3
ev-01,numbers,evaluate,3 + 4*2,,,Week 3,3
"""
RIGHT = {
    "roots-01": ("3, -3", "x = 3 or x = -3", "±3"),
    "roots-02": ("2, 4", "x=2; x=4"),
    "fact-01": ("(x+3)(x+4)", "(x + 4)(x + 3)"),
    "lin-01": ("5", "x = 5"),
    "lin-02": ("-4", "x = -4"),
    "exp-01": ("x^2 + 10x + 25",),
    "ev-01": ("11",),
}
WRONG = {
    "roots-01": ("3", "9", "x=3", "sqrt(9)"),
    "roots-02": ("-2, -4", "2", "6"),
    "fact-01": ("(x-3)(x-4)", "(x+2)(x+6)", "x(x+7)+12"),
    "lin-01": ("15", "7/3", "x=3"),
    "lin-02": ("4", "10"),
    "exp-01": ("x^2 + 25", "x^2+5x+25"),
    "ev-01": ("14", "24"),
}
TEXTS = {
    "roots-01": "Solve x^2 - 9 = 0",
    "roots-02": "Solve: x² − 6x + 8 = 0",
    "fact-01": "Factor completely: x^2+7x+12",
    "lin-01": "Solve 3x - 4 = 11",
    "lin-02": "Solve 3 - x = 7",
    "exp-01": "Expand (x+5)^2",
    "ev-01": "Evaluate 3 + 4*2",
}
FIRST = ("Ann", "Bo", "Cy", "Dee", "Eli", "Fay", "Gus", "Hal", "Ida", "Jo", "Kim", "Lou")
LAST = ("Roe", "Doe", "Poe", "Moe", "Coe", "Noe")
TIMED = {"iso", "us"}


@dataclass(frozen=True)
class Given:
    """One answer of the class."""

    student: int
    item: str
    answer: str
    attempt: int
    day: int
    right: bool

    @property
    def points(self) -> int:
        return 2 if self.item.startswith("roots") else 1

    @property
    def boxes(self) -> tuple[str, str]:
        """The answer as typed into two boxes."""
        bare = self.answer.replace("±3", "3, -3").replace("x", "").replace("=", "")
        cells = [one.strip() for one in bare.replace("or", ",").replace(";", ",").split(",")]
        return cells[0], cells[1] if len(cells) > 1 else ""


def _class() -> Iterator[Given]:
    draw = random.Random(7)
    for student in range(12):
        for place, item in enumerate(RIGHT):
            for attempt in range(1, 3 if draw.random() < 0.3 else 2):
                right = draw.random() < 0.6
                text = draw.choice((RIGHT if right else WRONG)[item])
                yield Given(student, item, text, attempt, 2 + 7 * (place > 2) + student % 4, right)


CLASS = tuple(_class())


def cell(kind: str, one: Given, row: int) -> str:
    """What stands in a column of a kind beside an answer."""
    number, first, last = 40817 + 331 * one.student, FIRST[one.student], LAST[one.student % 6]
    quiz = "Week 2" if one.day < 9 else "Week 3"
    minute = 10 + one.student
    known = {
        "student": f"k{number}",
        "digits": str(number),
        "mail": f"{first}.{last}{one.student}@alder-valley.example".lower(),
        "first": first,
        "name": f"{first} {last}",
        "flag": "yes" if one.right else "no",
        "letter": "ABCDF"[(3 * row) % 5],
        "last": last,
        "item": one.item,
        "text": TEXTS[one.item],
        "answer": one.answer,
        "key": RIGHT[one.item][0],
        "iso": f"2026-02-{one.day:02} 10:{minute + one.attempt:02}",
        "us": f"2/{one.day + 12}/2026 10:{minute + one.attempt:02} AM",
        "begun": f"2026-02-{one.day:02} 09:{minute:02}",
        "attempt": str(one.attempt),
        "earned": str(one.points * one.right),
        "points": str(one.points),
        "percent": f"{100 * one.right}%",
        "section": "MWF" if one.student % 2 else "TuTh",
        "quiz": quiz,
        "ip": f"10.3.{one.student // 2}.{(7 * one.student) % 250}",
        "seconds": str(37 + 13 * ((row * 7) % 11)),
        "comment": "please look at this" if row % 9 == 0 else "",
        "row": str(row + 1),
        "submission": str(900100 + 10 * one.student + one.attempt + 5 * (quiz == "Week 3")),
        "empty": "",
        "course": "MATH 95",
    }
    return known[kind]


@dataclass(frozen=True)
class Layout:
    """A header row with what stands below each of its names, and whole rows around it."""

    name: str
    wide: bool
    columns: tuple[tuple[str, str], ...]
    above: tuple[tuple[str, ...], ...] = ()
    below: tuple[tuple[str, ...], ...] = ()
    end: tuple[tuple[str, ...], ...] = ()

    @property
    def kinds(self) -> set[str]:
        return {kind for _, kind in self.columns}

    def given(self) -> list[Given]:
        """Answers that the table holds."""
        if not self.wide:
            several = self.kinds & {*TIMED, "attempt"}
            return [one for one in CLASS if several or one.attempt == 1]
        tries = {
            (item, which[:1] or "1") for item, _, which in (k.partition(":") for k in self.kinds)
        }
        return [one for one in CLASS if (one.item, str(one.attempt)) in tries]

    def table(self) -> list[list[str]]:
        """The rows of the file."""
        given = self.given()
        if not self.wide:
            rows = [[cell(kind, one, row) for _, kind in self.columns]
                    for row, one in enumerate(given)]  # fmt: skip
        else:
            rows = [[self._of_student(kind, student, given) for _, kind in self.columns]
                    for student in range(len(FIRST))]  # fmt: skip
        names = [name for name, _ in self.columns]
        return [*map(list, self.above), names, *map(list, self.below), *rows, *map(list, self.end)]

    def _of_student(self, kind: str, student: int, given: Sequence[Given]) -> str:
        item, _, which = kind.partition(":")
        own = [one for one in given if one.student == student]
        if item not in RIGHT:
            return cell(kind, own[0], student)
        number = which[:1] if which[:1].isdigit() else "1"
        one = next((one for one in own if (one.item, str(one.attempt)) == (item, number)), None)
        if one is None:
            return ""
        if which.endswith(("left", "right")):
            return one.boxes[which.endswith("right")]
        beside = next((kind for kind in ("earned", "seconds", "flag") if which == kind), None)
        beside = "earned" if which.endswith("earned") else beside
        return cell(beside, one, student) if beside else one.answer

    def expected(self) -> dict[str, list[Any]]:
        """Field -> what is to be stored, in the order of student, question and try."""
        given = sorted(self.given(), key=lambda one: (one.item, one.answer, one.student))
        boxed = {kind.partition(":")[0] for kind in self.kinds if kind.endswith("left")}
        answers = ["; ".join(filter(None, one.boxes)) if one.item in boxed else one.answer
                   for one in given]  # fmt: skip
        earned = any(kind.endswith("earned") for kind in self.kinds)
        worth = "points" in self.kinds or any(row[0] == "Points possible" for row in self.below)
        return {
            "answers": sorted(zip((one.item for one in given), answers, strict=True)),
            "students": [len({one.student for one in given})],
            "timed": [bool(self.kinds & TIMED)],
            # A percentage is no number of points.
            "score": [sum(one.points * one.right for one in given) if earned else 0],
            "points": [sum(one.points for one in given) if worth else 0],
            "attempt": [sum(one.attempt for one in given)
                        if any(kind == "attempt" or ":2" in kind for kind in self.kinds) else 0],
            "section": [] if "section" not in self.kinds else ["MWF", "TuTh"],
        }  # fmt: skip


@cache
def layouts() -> tuple[Layout, ...]:
    text = (Path(__file__).parent / "header_rows.toml").read_text("utf-8")
    found = []
    for kind, written in tomllib.loads(text).items():
        for one in written:
            rows = {
                name: tuple(map(tuple, one.get(name, ()))) for name in ("above", "below", "end")
            }
            columns = tuple((name, below) for name, below in one["columns"])
            found.append(Layout(one["name"], kind == "wide", columns, **rows))
    return tuple(found)


def as_csv(rows: Sequence[Sequence[str]]) -> bytes:
    stream = io.StringIO(newline="")
    csv.writer(stream).writerows(rows)
    return stream.getvalue().encode()


@pytest.fixture(scope="module")
def class_course(build_course: Callable, tmp_path_factory: pytest.TempPathFactory) -> Course:
    return build_course(tmp_path_factory.mktemp("class") / "algebra", {}, items=ITEMS)


def stored(course: Course, load_course: Callable, rows: Sequence[Sequence[str]]) -> dict[str, list]:
    """Field -> what is stored of a table by the map that is worked out for it."""
    (course.folder / "exports" / "a.csv").write_bytes(as_csv(rows))
    proposal = propose_map(course, "exports/a.csv")
    loaded = load_course(replace(course, exports=(proposal.map,)))
    assert loaded.errors == {}
    assert loaded.rejected.empty
    found = loaded.responses
    return {
        "answers": sorted(zip(found["item"], found["answer"], strict=True)),
        "students": [found["student"].nunique()],
        "timed": [bool(found["answered_at"].notna().all())],
        "score": [found["score"].sum()],
        "points": [found["points"].sum()],
        "attempt": [found["attempt"].fillna(0).sum()],
        "section": sorted(set(found["section"].dropna())),
    }


@pytest.mark.parametrize("layout", layouts(), ids=lambda one: one.name)
def test_a_table_under_any_header_row_is_stored_as_it_is(
    class_course: Course, load_course: Callable, layout: Layout
):
    assert stored(class_course, load_course, layout.table()) == layout.expected()


ROMAN = ("I", "II", "III", "IV", "V", "VI", "VII")


def _fresh() -> Iterator[tuple[Layout, bool]]:
    """Layouts of a second set, and whether the questions are called by bare numbers there."""
    text = (Path(__file__).parent / "fresh_header_rows.toml").read_text("utf-8")
    for kind, written in tomllib.loads(text).items():
        for one in written:
            columns = [tuple(pair) for pair in one["columns"]]
            each = [
                [(name.format(n=n, id=item, v="", p=TEXTS[item], rom=ROMAN[n - 1]), item + below)
                 for name, below in one.get("questions", ())]
                for n, item in enumerate(RIGHT, 1)
            ]  # fmt: skip
            parts = zip(*each, strict=True) if one.get("grouped") else each
            columns += [pair for part in parts for pair in part]
            columns += [tuple(pair) for pair in one.get("end", ())]
            layout = Layout(columns[0][0], kind == "wide", tuple(columns))
            yield layout, bool(one.get("numbered"))


@pytest.mark.thorough
@pytest.mark.parametrize(
    ("layout", "numbered"), [pytest.param(*one, id=one[0].name) for one in _fresh()]
)
def test_fresh_header_rows_are_stored_as_they_are(
    class_course: Course, load_course: Callable, layout: Layout, numbered: bool
):
    course, ids = class_course, dict(zip(RIGHT, map(str, range(1, 8)), strict=True))
    if numbered:
        course = replace(course, items=tuple(replace(one, id=ids[one.id]) for one in course.items))
    expected = layout.expected()
    if numbered:
        expected["answers"] = sorted((ids[item], text) for item, text in expected["answers"])
    if layout.wide and "points" not in layout.kinds:
        told = any("(/2)" in name for name, _ in layout.columns)
        expected["points"] = [2 * len(expected["answers"]) if told else 0]

    assert stored(course, load_course, layout.table()) == expected


SHUFFLED = ("own words", "much besides", "submissions", "French", "texts, numbered", "two boxes",
            "tries without a word")  # fmt: skip


@pytest.mark.parametrize("seed", [1, 2])
@pytest.mark.parametrize("name", SHUFFLED)
def test_the_order_of_the_columns_does_not_matter(
    class_course: Course, load_course: Callable, name: str, seed: int
):
    layout = next(one for one in layouts() if one.name == name)
    order = random.Random(seed).sample(range(len(layout.columns)), len(layout.columns))
    rows = [[row[place] for place in order] for row in layout.table()]

    assert stored(class_course, load_course, rows) == layout.expected()


OWN_WORDS = next(one for one in layouts() if one.name == "own words")
LONG_ROWS = OWN_WORDS.table()
WIDE_ROWS = next(one for one in layouts() if one.name == "ids").table()


def test_answers_without_any_column_names_are_told_by_what_they_are(
    class_course: Course, load_course: Callable
):
    assert stored(class_course, load_course, LONG_ROWS[1:]) == OWN_WORDS.expected()


@pytest.mark.parametrize(
    ("rows", "why"),
    [
        (WIDE_ROWS[1:], "no question of the list is named in it"),
        ([row[1:] for row in LONG_ROWS], "no column tells the students apart"),
        ([row[1:] for row in WIDE_ROWS], "no column tells the students apart"),
        ([[row[0], row[1], "filler"] for row in LONG_ROWS], "none holds answers"),
        ([[f"r{at}" if at else "Student", *row[1:]] for at, row in enumerate(LONG_ROWS)],
         "each answer would be another student"),
        ([[row[0], row[1].replace("-", " no "), *row[2:]] for row in LONG_ROWS],
         "no question of the list is named in it"),
    ],
)  # fmt: skip
def test_a_table_that_cannot_be_meant_is_refused_without_a_word_of_a_student(
    class_course: Course, rows: list[list[str]], why: str
):
    (class_course.folder / "exports" / "a.csv").write_bytes(as_csv(rows))
    with pytest.raises(InputError, match=why) as caught:
        propose_map(class_course, "exports/a.csv")

    assert "k408" not in str(caught.value)


def test_what_stands_below_rows_like_it_is_shown_to_nobody():
    """A row of answers that was taken for the names may hold the name of a student."""
    cells = ("Vern Alder", "roots-01", "x = 2")
    seen = [[(line, list(cells)) for line in range(1, 9)]]

    def told(line: int) -> str:
        proposal = Proposal(ExportMap(), HeaderRow(line, cells), ())
        return refusal("exports/a.csv", (proposal, "why"), seen, Questions([]))

    assert "Alder" not in told(6)
    assert "exports/a.csv, line 6: why." in told(6)
    assert "Column names seen: Vern Alder, roots-01" in told(1)


def test_a_missing_column_of_students_is_asked_for_by_a_map_to_fill_in(class_course: Course):
    rows = [row[1:] for row in LONG_ROWS]
    (class_course.folder / "exports" / "a.csv").write_bytes(as_csv(rows))
    with pytest.raises(InputError) as caught:
        propose_map(class_course, "exports/a.csv")

    item, answer = rows[0][0], rows[0][1]
    told = f"[[exports]]: columns = {{ student = \"the name of their column\", item = ['{item}'], "
    assert f"{told}answer = ['{answer}']" in str(caught.value)


def test_check_shows_three_answers_as_they_would_be_stored(course_of: Callable):
    course = course_of({"a.csv": as_csv(LONG_ROWS)}, items=ITEMS)
    report = check_course(course.folder, write=True, unseen=lambda _: BlindSpots())
    text = "\n".join(report.lines())

    assert text.count("as stored: student (hidden), item roots-01, answer ") >= 1
    assert text.count("as stored: ") == 3
    assert "k408" not in text
    assert report.exit_code == ExitCode.DONE


@pytest.mark.parametrize(
    ("header", "left_out", "told"),
    [
        ("Student,Task,Answer,Second box", "", "Second box"),
        ("Student,Task,Answer,Second box", 'left_out = ["Second box"]\n', None),
        ("Student,Task,Answer,Zapis", "", "Zapis"),
    ],
)
def test_a_column_of_answers_is_not_left_out_in_silence(
    course_of: Callable, load_course: Callable, header: str, left_out: str, told: str | None
):
    rows = [[one.student, one.item, one.answer, one.answer] for one in CLASS if one.attempt == 1]
    settings = f"[[exports]]\n{left_out}"
    settings += 'columns = { student = "Student", item = "Task", answer = "Answer" }\n'
    table = as_csv([header.split(","), *[[*map(str, row)] for row in rows]])
    course = course_of({"a.csv": table}, items=ITEMS, settings=settings)
    (file,) = check_course(course.folder, unseen=lambda _: BlindSpots()).files

    assert file.left_out == ({told: "answers"} if told else {})
    assert load_course(read_course(course.folder)).rejected.empty
