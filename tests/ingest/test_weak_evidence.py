"""What is used on weak evidence is asked about; what looks like ours and is not used is said."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pytest

from pipeline.check import check_course
from pipeline.check.item_set import BlindSpots
from pipeline.course import Item, read_course
from pipeline.errors import ExitCode, InputError
from pipeline.ingest.column_facts import Column
from pipeline.ingest.facts import score_of
from pipeline.ingest.propose import propose_map
from pipeline.ingest.question_headers import named_columns, worth_of
from pipeline.ingest.questions import Questions
from tests.ingest.test_messy_tables import CODES, QUAD, ROOT, as_csv, proposed

RIGHT = {"2, -2", "-2, 2", "±2", "2, 4", "4, 2"}
ANSWERS = [
    (code, item, text)
    for code, root, quad in zip(CODES, ROOT, QUAD, strict=True)
    for item, text in (("root-1", root), ("quad-1", quad))
]


def long_rows(name: str, cells: Sequence[str]) -> list[list[str]]:
    """A long table with one more column, whose cells come again for each second student."""
    rows = [[*row, cells[at // 2 % len(cells)]] for at, row in enumerate(ANSWERS)]
    return [["Code", "Task", "Reply", name], *rows]


@pytest.mark.parametrize(
    ("name", "cells"),
    [("gear", ("laptop", "phone")), ("Xw", ("09:02", "09:07")), ("kit", ("F-A", "F-B"))],
)
def test_groups_that_no_name_calls_sections_are_asked_about(
    course_of: Callable, load_course: Callable, name: str, cells: Sequence[str]
):
    found, loaded = proposed(course_of, load_course, long_rows(name, cells))

    assert "section" not in found.columns
    assert loaded.responses["section"].isna().all()
    assert loaded.left_out == {name: "class sections"}


@pytest.mark.parametrize(
    ("name", "cells"),
    [
        ("Klasgroep", ("1BA-3", "1BA-4")),
        ("Tutorium", ("Mo 10", "Mi 14")),
        ("class", ("P3", "P4")),
        ("meeting", ("014", "022")),
        ("Şubeniz", ("A", "C")),
    ],
)
def test_sections_by_a_name_or_by_codes_are_taken(
    course_of: Callable, load_course: Callable, name: str, cells: Sequence[str]
):
    found, loaded = proposed(course_of, load_course, long_rows(name, cells))

    assert found.columns["section"] == (name,)
    assert set(loaded.responses["section"]) == set(cells)
    assert loaded.left_out == {}


@pytest.mark.parametrize(
    ("name", "cells", "what"),
    [
        ("Ww", ("20260203", "20260204"), "dates"),
        ("Mark", ("75%", "50%"), "points"),
        ("Grade", ("A", "C"), None),
        ("Try", ("x1y", "x2y"), "tries"),
        ("Submitted", ("KW 37", "KW 38"), "dates"),
        ("Marked on", ("2026-02-03", "2026-02-04"), "points"),
        ("my remark", ("see 4", "see 5"), None),
        ("pct", ("75%", "50%"), None),
    ],
)
def test_a_column_named_for_what_it_is_not_read_as_is_said(
    course_of: Callable, load_course: Callable, name: str, cells: Sequence[str], what: str | None
):
    _, loaded = proposed(course_of, load_course, long_rows(name, cells))

    assert loaded.left_out.get(name) == what


def test_rows_of_two_kinds_under_one_student_are_asked_about(course_of: Callable):
    rows = [
        row
        for code, root, quad in zip(CODES, ROOT, QUAD, strict=True)
        for row in (
            [code, "risposta", root, quad],
            ["", "punti", *(str(2 * (one in RIGHT)) for one in (root, quad))],
        )
    ]
    course = course_of({"a.csv": as_csv([["Alunno", "riga", "root-1", "quad-1"], *rows])})

    with pytest.raises(InputError, match="'riga' says another thing in each row of a student"):
        propose_map(course, "exports/a.csv")


def test_rows_without_an_answer_beside_one_with_are_no_tries(
    course_of: Callable, load_course: Callable
):
    """A log says, too, when a question was opened; who never answered it stays asked."""
    rows = [
        row
        for code, item, text in ANSWERS
        for row in ([code, item, "opened", ""], [code, item, "typed", text])
    ]
    rows.append(["k19", "root-1", "opened", ""])
    _, loaded = proposed(course_of, load_course, [["Code", "Task", "what", "Reply"], *rows])

    assert len(loaded.responses) == len(ANSWERS) + 1
    assert not loaded.rejected["needs_look"].any()
    assert len(loaded.rejected) == len(ANSWERS)


@pytest.mark.parametrize(
    ("name", "cells"), [("quiz", ("Week 2", "Exam")), ("when", ("2026-02-03", "2026-05-03"))]
)
def test_a_question_left_open_in_another_sitting_stays(
    course_of: Callable, load_course: Callable, name: str, cells: tuple[str, str]
):
    rows = [row for code, item, text in ANSWERS
            for row in ([code, item, text, cells[0]], [code, item, "", cells[1]])]  # fmt: skip
    header = "answered_at" if name == "when" else name
    course = course_of({"a.csv": as_csv([["student", "item", "answer", header], *rows])})
    loaded = load_course(course)

    assert len(loaded.responses) == 2 * len(ANSWERS)
    assert loaded.rejected.empty


@pytest.mark.parametrize(
    ("text", "score"),
    [
        ("2 su 2", (2, 2)),
        ("1.5 out of 2", (1.5, 2)),
        ("1 av 2", (1, 2)),
        ("2/3", (2, 3)),
        ("2", (2, None)),
        ("1.5 pts", (1.5, None)),
        ("2 Punkte", (2, None)),
        ("2 x", (None, None)),
        ("2 or 2", (None, None)),
        ("2 x 2", (None, None)),
        ("out of 2", (None, None)),
    ],
)
def test_points_earned_and_possible_in_one_cell(text: str, score: tuple[float | None, ...]):
    assert score_of(text, decimal_comma=False) == score


@pytest.mark.parametrize(
    ("header", "of_score", "worth"),
    [
        ("Mark/2.00", True, "2.00"),
        ("Bewertung/4,00", True, "4.00"),
        ("Pts /2", True, "2"),
        ("punten af 2", True, "2"),
        ("Soru 5 (5 puan)", False, "5"),
        ("Zad. 4 (2 p)", False, "2"),
        ("Expand 3(2p)", False, ""),
        ("20% of 40", False, ""),
        ("Simplify x/2", False, ""),
        ("Mark", True, ""),
        ("Grade 2", True, ""),
        ("Quiz 3", True, ""),
        ("Points max. 3", True, "3"),
        ("Solve 2(z3)", False, ""),
    ],
)
def test_a_header_says_the_points_possible(header: str, of_score: bool, worth: str):
    assert worth_of(header, of_score) == worth


def test_points_possible_of_a_long_file_stand_in_the_header_of_its_scores(
    course_of: Callable, load_course: Callable
):
    rows = [[*row, str(2.0 * (row[2] in RIGHT))] for row in ANSWERS]
    _, loaded = proposed(course_of, load_course, [["Code", "Task", "Reply", "Mark/2.00"], *rows])

    assert set(loaded.responses["points"]) == {2.0}


def test_points_possible_of_a_long_file_stand_in_the_texts_of_its_questions(
    course_of: Callable, load_course: Callable
):
    texts = {"root-1": "1. Solve x^2 = 4 (3 pts)", "quad-1": "2. Solve x^2 - 6x + 8 = 0 (1 pt)"}
    rows = [[code, texts[item], text] for code, item, text in ANSWERS]
    _, loaded = proposed(course_of, load_course, [["Code", "Task", "Reply"], *rows])

    points = loaded.responses.groupby("item")["points"].agg(set).to_dict()
    assert points == {"root-1": {3.0}, "quad-1": {1.0}}


NUMBERED = Questions(
    [
        Item("wk6.1", "t", "solve", "x^2 = 49"),
        Item("wk6.2", "t", "solve", "x + 1 = 3"),
        Item("IV", "t", "expand", "(x + 1)^2"),
        Item("10b", "t", "evaluate", "(-3)^2"),
        Item("slope", "t", "evaluate", "slope through (1, 2) and (3, 8)"),
        Item("rad", "t", "simplify", "sqrt(50) + sqrt(8)"),
        Item("abs", "t", "judge", "sqrt(x^2) = |x|", "true"),
    ]
)


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("IV.", "IV"),
        ("Problème iv", "IV"),
        ("no. 10b", "10b"),
        ("7. Calcula (-3)^2 (2 pts)", "10b"),
        ("<p>Simplify &radic;(50) + &radic;(8)</p>", "rad"),
        ("Zadanie 5 [ sqrt(x^2) = |x| ]", "abs"),
        ("Calculer slope through (1, 2) and (3, 8)", "slope"),
        ("V.", None),
        ("no. 10c", None),
        ("Calculer slope through (1, 2) and (3, 9)", None),
        ("7. Calcula (-3)^3 (2 pts)", None),
    ],
)
def test_questions_are_told_however_their_name_or_text_is_dressed(text: str, item: str | None):
    assert NUMBERED.find(text) == item


def test_names_go_by_several_numbers_only_where_the_list_has_them_all():
    assert NUMBERED.counted_by(["6-1", "6-2"]) == {"6-1": "wk6.1", "6-2": "wk6.2"}
    assert NUMBERED.counted_by(["6-1", "6-3"]) == {}
    assert NUMBERED.counted_by(["6-1", "week 6.2"]) == {}


@pytest.mark.parametrize(
    ("names", "found"),
    [
        (["6.1", "6.2", "6.1 pts"], {"6.1": "wk6.1", "6.2": "wk6.2", "6.1 pts": "wk6.1"}),
        (
            ["Work out (-3)^2", "Work out (-3)^2 (score)"],
            {"Work out (-3)^2": "10b", "Work out (-3)^2 (score)": "10b"},
        ),
        (["3.1", "3.2"], {}),
    ],
)
def test_headers_of_several_numbers_name_questions(names: list[str], found: dict[str, str]):
    told = named_columns(names, lambda _: (), NUMBERED)

    assert {name: one.item for name, one in told.items()} == found


def test_headers_in_two_languages_count_once():
    items = Questions([Item(f"q{n}", "t", "solve", f"x = {n}") for n in (1, 2, 3)])
    told = named_columns([f"Cwestiwn {n} / Question {n}" for n in (1, 2, 3)], lambda _: (), items)

    assert [one.item for one in told.values()] == ["q1", "q2", "q3"]


def test_seconds_beside_responses_are_no_answers(course_of: Callable, load_course: Callable):
    rows = [
        [code, root, f"{9 + at}.5", quad, f"{3 + at}.2"]
        for at, (code, root, quad) in enumerate(zip(CODES, ROOT, QUAD, strict=True))
    ]
    header = ["Seat", "root-1 Resp", "root-1 Took", "quad-1 Resp", "quad-1 Took"]
    found, _ = proposed(course_of, load_course, [header, *rows])

    assert found.questions == {"root-1 Resp": "root-1", "quad-1 Resp": "quad-1"}


def tried(text: str, right: str) -> tuple[str, str, str, str]:
    """Two tries with their points, the second one right where the first one was not."""
    return (text, "2", "", "") if text in RIGHT else (text, "0", right, "2")


def test_points_under_tries_of_three_rows_of_names_are_no_tries(
    course_of: Callable, load_course: Callable
):
    head = [
        ["Code", "root-1", "", "", "", "quad-1", "", "", ""],
        ["", *["first try", "", "second try", ""] * 2],
        ["", *["answer", "pts (2)"] * 4],
    ]
    rows = [
        [code, *tried(root, "2, -2"), *tried(quad, "2, 4")]
        for code, root, quad in zip(CODES, ROOT, QUAD, strict=True)
    ]
    found, loaded = proposed(course_of, load_course, [*head, *rows])

    assert set(found.tries.values()) == {1, 2}
    assert sorted(found.beside.values()) == [
        f"score of {item} try {number}" for item in ("quad-1", "root-1") for number in (1, 2)
    ]
    assert set(loaded.responses["score"].dropna()) == {0.0, 2.0}


def test_a_class_with_the_look_of_a_question_does_not_contradict_it(
    course_of: Callable, load_course: Callable
):
    items = "item,topic,task,problem\n3,a,solve,x^2 = 4\n4,a,solve,x^2 - 6x + 8 = 0\n"
    numbers = {"root-1": "no. 3", "quad-1": "no. 4"}
    rows = [[code, "P3", numbers[item], text] for code, item, text in ANSWERS]
    course = course_of(
        {"a.csv": as_csv([["who", "class", "which no.", "what"], *rows])}, items=items
    )

    found = propose_map(course, "exports/a.csv").map
    assert found.columns["item"] == ("which no.",)
    assert found.columns["section"] == ("class",)


@pytest.mark.parametrize("name", ["Handed in", "Envoi"])
def test_dates_parted_by_blanks_are_dates(name: str):
    column = Column(0, name, ["14 09 2026 16 h 41", "15 09 2026 9 h 05"])

    assert column.dates == 1.0


def test_a_yes_or_no_of_each_student_is_not_asked_about(course_of: Callable, load_course: Callable):
    _, loaded = proposed(course_of, load_course, long_rows("laptop", ("yes", "no")))

    assert loaded.left_out == {}


@pytest.mark.parametrize(
    ("second", "code"),
    [
        (
            '[[terms]]\nid = "2026-fall"\nfirst_day = 2026-08-24\nweeks = 15\n',
            ExitCode.NEEDS_A_LOOK,
        ),
        ("", ExitCode.DONE),
    ],
)
def test_answers_that_no_page_counts_end_the_check_with_a_look(
    course_of: Callable, second: str, code: ExitCode
):
    """With one semester declared, answers without a date belong to it; with two, to none."""
    first = 'time_zone = "UTC"\n[[terms]]\nid = "2026-spring"\nfirst_day = 2026-01-12\nweeks = 16\n'
    rows = [["student", "item", "answer"], *map(list, ANSWERS)]
    course = course_of({"a.csv": as_csv(rows)}, settings=first + second)
    report = check_course(course.folder, untaggable=lambda *_: None, unseen=lambda _: BlindSpots())

    assert report.exit_code is code
    assert any("neither a date nor a semester" in one for one in report.files[0].notes) == bool(
        second
    )


def test_ids_with_a_point_in_them_are_no_points(course_of: Callable, load_course: Callable):
    items = "item,topic,task,problem\n5.1,a,solve,x^2 = 4\n5.2,a,solve,x^2 - 6x + 8 = 0\n"
    ids = {"root-1": "5.1", "quad-1": "5.2"}
    rows = [["student", "item", "answer"], *([who, ids[item], text] for who, item, text in ANSWERS)]
    course = course_of({"a.csv": as_csv(rows)}, items=items)

    assert load_course(course).responses["points"].isna().all()


@pytest.mark.parametrize(
    ("header", "item"),
    [
        ("19. (see picture)", "19"),
        ("24) Solve the inequality shown: (picture)", "24"),
        ("19. x^2 = 4", "19. x^2 = 4"),
        ("20. (see picture)", "20. (see picture)"),
    ],
)
def test_a_question_in_a_picture_is_the_one_of_its_number(header: str, item: str):
    listed = Questions([Item("19", "t", "skip", ""), Item("24", "t", "solve", "x > 4")])

    assert listed.named(header) == item


def test_days_of_eight_digits_are_dates_under_a_name_that_says_so(
    course_of: Callable, load_course: Callable
):
    """Source: ISO 8601-1:2019, 5.2.2.1, basic format. Elsewhere they may be ids."""
    found, loaded = proposed(
        course_of, load_course, long_rows("yyyymmdd", ("20260203", "20260204"))
    )

    assert found.columns["answered_at"] == ("yyyymmdd",)
    assert {day.day for day in loaded.responses["answered_on"]} == {3, 4}


@pytest.mark.parametrize(("header", "named"), [("A3", True), ("B", False), ("remark 3", False)])
def test_a_column_named_like_the_questions_is_not_passed_over_in_a_small_class(
    course_of: Callable, load_course: Callable, header: str, named: bool
):
    items = "item,topic,task,problem\nA1,a,solve,x^2 = 4\nA2,a,solve,x^2 - 6x + 8 = 0\n"
    rows = [["k1", "2, -2", "2, 4", "5"], ["k2", "2", "2, 4", "5"], ["k3", "4", "2", "6"]]
    course = course_of({"a.csv": as_csv([["Code", "A1", "A2", header], *rows])}, items=items)
    check_course(course.folder, write=True)
    loaded = load_course(read_course(course.folder))

    assert (header in loaded.left_out or header in set(loaded.responses["item"])) is named


# Written as nobody foresaw: only what stands in the columns tells them.
SECTIONS = ("Rm 12", "Rm 14")


def many(name: str, of: Callable[[int, int], str], students: int = 12) -> list[list[str]]:
    """A long table of more students, and one more column: of student and question in each row."""
    answers = [(f"7{at:03}", root, quad) for at, (root, quad) in
               enumerate(zip(ROOT * 2, QUAD * 2, strict=True)) if at < students]  # fmt: skip
    rows = [[code, item, text, of(at, kind)] for at, (code, root, quad) in enumerate(answers)
            for kind, (item, text) in enumerate((("root-1", root), ("quad-1", quad)))]  # fmt: skip
    return [["Rhif", "Dæmi", "Svar", name], *rows]


@pytest.mark.parametrize("name", ["Room", "Bekkur", "Ruang"])
def test_codes_that_group_the_students_are_sections_under_any_name(
    course_of: Callable, load_course: Callable, name: str
):
    found, loaded = proposed(course_of, load_course, many(name, lambda at, _: SECTIONS[at % 2]))

    assert found.columns["section"] == (name,)
    assert set(loaded.responses["section"]) == set(SECTIONS)


@pytest.mark.parametrize(
    ("name", "cells"),
    [("Kumu", ("Ms Tane", "Mr Hale")), ("Tæki", ("A", "B")), ("Device", ("Pad 6", "Pad 7"))],
)
def test_other_groups_of_students_are_no_sections(
    course_of: Callable, load_course: Callable, name: str, cells: Sequence[str]
):
    found, loaded = proposed(course_of, load_course, many(name, lambda at, _: cells[at % 2]))

    assert "section" not in found.columns
    assert loaded.left_out == ({} if name == "Device" else {name: "class sections"})


@pytest.mark.parametrize("name", ["Nom et prénom", "inoa", "Audzēknis"])
def test_whole_names_alone_are_those_of_the_students(
    course_of: Callable, load_course: Callable, name: str
):
    rows = [[f"Ilze Ozol{code}".translate(str.maketrans("0123456789", "abcdefghij")), item, text]
            for code, item, text, _ in many("", lambda *_: "")[1:]]  # fmt: skip
    found, loaded = proposed(course_of, load_course, [[name, "Dæmi", "Svar"], *rows])

    assert found.columns["student"] == (name,)
    assert loaded.responses["student"].nunique() == 12


@pytest.mark.parametrize("unit", [1, 1000])
def test_seconds_since_1970_are_dates_under_any_name(
    course_of: Callable, load_course: Callable, unit: int
):
    """Source: POSIX, seconds since the epoch; 1792000000 is 2026-10-14 in UTC."""
    rows = many("Ordua", lambda at, kind: str((1_792_000_000 + 97 * at + kind) * unit))
    _, loaded = proposed(course_of, load_course, rows)

    assert {str(day.date()) for day in loaded.responses["answered_on"]} == {"2026-10-14"}


def test_ids_that_look_like_seconds_stay_ids(course_of: Callable, load_course: Callable):
    rows = [[f"1792{int(code) * 7919 % 10**6:06}", *rest] for code, *rest in
            many("Ruang", lambda at, _: SECTIONS[at % 2])[1:]]  # fmt: skip
    found, _ = proposed(course_of, load_course, [["Rhif", "Dæmi", "Svar", "Ruang"], *rows])

    assert found.columns["student"] == ("Rhif",)
    assert "answered_at" not in found.columns


def test_a_number_of_each_row_is_no_student(course_of: Callable, load_course: Callable):
    rows = [[f"ev-{at:04}", code, item, text]
            for at, (code, item, text, _) in enumerate(many("", lambda *_: "")[1:])]  # fmt: skip
    found, _ = proposed(course_of, load_course, [["event id", "roll", "q", "typed"], *rows])

    assert found.columns["student"] == ("roll",)


def test_what_agrees_with_both_boxes_is_the_score(course_of: Callable, load_course: Callable):
    boxes = [("2", "-2"), ("2", ""), ("4", ""), ("-2", "2"), ("2", ""), ("2", "-2"), ("16", ""),
             ("-2", "2")]  # fmt: skip
    rows = [[code, "root-1", *both, str(int(all(both)))]
            for code, both in zip(CODES, boxes, strict=True)]  # fmt: skip
    rows += [[code, "quad-1", *text.split(", "), str(int(text in RIGHT))]
             for code, text in zip(CODES, QUAD, strict=True) if ", " in text]  # fmt: skip
    header = ["Rhif", "Dæmi", "first reply", "second reply", "awarded"]
    found, _ = proposed(course_of, load_course, [header, *rows])

    assert found.columns["score"] == ("awarded",)


def test_one_sum_for_each_student_is_no_score(course_of: Callable, load_course: Callable):
    found, _ = proposed(course_of, load_course, many("Stig", lambda at, _: str(20 + at % 5)))

    assert "score" not in found.columns


@pytest.mark.parametrize(("right", "wrong"), [("VERDADEIRO", "FALSO"), ("PRAWDA", "FAŁSZ")])
def test_right_and_wrong_in_words_of_other_languages(
    course_of: Callable, load_course: Callable, right: str, wrong: str
):
    rows = [[*row, right if row[2] in RIGHT else wrong] for row in ANSWERS]
    _, loaded = proposed(course_of, load_course, [["Code", "Task", "Reply", "Acertou?"], *rows])

    assert set(loaded.responses["score"]) == {0.0, 1.0}


def test_two_unknown_words_that_go_with_right_answers_are_asked_about(
    course_of: Callable, load_course: Callable
):
    rows = [[*row, "oo" if row[2] in RIGHT else "xx"] for row in ANSWERS]
    _, loaded = proposed(course_of, load_course, [["Code", "Task", "Reply", "Cywir?"], *rows])

    assert "yes and no" in loaded.left_out["Cywir?"]


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("Berechne -x^2 + 3x für x = -2", "v"), ("Oblicz −x² + 3x dla x = −2", "v"),
        ("3. Work out -x^2 + 3x when x = -2", "v"), ("Work out 2x^2 − 1 para x = 3.", "w"),
        ("Rozłóż na czynniki x² + 2x − 24", "f"), ("2x^2 - 1 när x = 4", None),
        ("x = 3 or x = -2", None), ("-x^2 + 3x", None), ("A / f", None), ("Ember / v", "v"),
        ("Ember / w", None), ("Fjord: p55e11", "p55e11"), ("Fjord-p55e11", "p55e11"),
        ("p55e11 (Fjord)", "p55e11"),
    ],
)  # fmt: skip
def test_a_value_given_in_any_language_and_small_words_are_let_be(text: str, item: str | None):
    listed = Questions([
        Item("v", "t", "evaluate", "-x^2 + 3x at x = -2", quiz="Ember"),
        Item("f", "t", "factor", "x^2 + 2x - 24"),
        Item("w", "t", "evaluate", "2x^2 - 1 when x = 3"),
        Item("p55e11", "t", "solve", "2x = 8", quiz="Fjord"),
    ])  # fmt: skip

    assert listed.find(text) == item


def test_numbers_are_places_in_what_ids_begin_with():
    names = ("W1-eq", "W1-val", "W2-sq", "W2-fac")
    listed = Questions([Item(one, "t", "solve", "x = 1") for one in names])

    assert listed.placed_by({"Paper 2#Q1", "Paper 2#Q2"})["Paper 1#Q2"] == "W1-val"
    assert listed.placed_by({"Week 3 - q1"}) == {}
    assert [sorted(one.ids) for one in listed.sets()] == [["W1-eq", "W1-val"], ["W2-fac", "W2-sq"]]


def test_boxes_beside_a_place_belong_to_the_many_that_are_named_so():
    listed = Questions([Item(f"p{n}a", "t", "solve", f"x = {n}") for n in range(1, 10)]).in_order()
    names = [f"Es. {n}" for n in range(1, 8)] + ["Es. 8 (x1)", "Es. 8 (x2)", "Es. 9 (x1)",
                                                 "Es. 9 (x2)"]  # fmt: skip
    found = named_columns(names, lambda _: (), listed)

    assert {name: found[name].item for name in names[7:]} == {
        "Es. 8 (x1)": "p8a", "Es. 8 (x2)": "p8a", "Es. 9 (x1)": "p9a", "Es. 9 (x2)": "p9a",
    }  # fmt: skip


def test_a_sum_behind_the_last_try_is_no_score_of_it(course_of: Callable):
    second = ["", "2, -2", "-2, 2", "", "", "", "2, -2", ""]
    rows = [[code, quad, root, more, str(3 + (more in RIGHT))] for code, root, quad, more in
            zip(CODES, ROOT, QUAD, second, strict=True)]  # fmt: skip
    header = ["Code", "quad-1", "root-1 try 1", "root-1 try 2", "Nota final"]
    found = propose_map(course_of({"a.csv": as_csv([header, *rows])}), "exports/a.csv").map

    assert found.beside == {}
