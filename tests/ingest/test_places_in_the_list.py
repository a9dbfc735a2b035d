"""Numbers of questions are places in the list where the answers to each question say so."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence

import pytest

from pipeline.check import check_course
from pipeline.course import read_course
from pipeline.errors import InputError
from pipeline.ingest.propose import propose_map
from tests.ingest.conftest import Loaded
from tests.ingest.test_messy_tables import CODES, as_csv

ITEMS = """\
item,topic,task,problem
A1-1,a,solve,x + 4 = 9
A1-2,a,expand,(x + 1)^2
A2-1,a,solve,2x = 14
A2-2,a,factor,x^2 - 9
"""
IDS = ("A1-1", "A1-2", "A2-1", "A2-2")
TYPED = (("5", "13", "5"), ("x^2+2x+1", "x^2+1", "x^2 + 2x + 1"), ("7", "7", "12"),
         ("(x-3)(x+3)", "(x-3)^2", "(x+3)(x-3)"))  # fmt: skip
ROWS = [(code, [mine[at % 3] for mine in TYPED]) for at, code in enumerate(CODES)]


def long(order: tuple[int, ...], name: str = "Q{}") -> str:
    rows = [[code, name.format(place), texts[question]]
            for code, texts in ROWS for place, question in enumerate(order, 1)]  # fmt: skip
    return as_csv([["Learner", "Question", "Typed"], *rows])


def wide(order: tuple[int, ...], name: str = "Question {}") -> str:
    names = [name.format(place) for place in range(1, 5)]
    return as_csv([["Learner", *names], *([code, *(t[at] for at in order)] for code, t in ROWS)])


@pytest.mark.parametrize("name", ["Q{}", "{}", "Aufgabe {}"])
@pytest.mark.parametrize("shape", [long, wide])
def test_numbers_are_places_where_the_answers_fit(
    course_of: Callable, load_course: Callable, shape: Callable, name: str
):
    course = course_of({"a.csv": shape((0, 1, 2, 3), name)}, items=ITEMS)
    report = check_course(course.folder, write=True)
    loaded = load_course(read_course(course.folder))

    assert set(loaded.responses["item"]) == set(IDS), "\n".join(report.lines())
    typed = loaded.responses.groupby("item")["answer"].agg(list)
    assert all(typed[item] == [texts[at] for _, texts in ROWS] for at, item in enumerate(IDS))
    assert not loaded.left_out


@pytest.mark.parametrize("order", [(0, 2, 1, 3), (1, 2, 3, 0), (3, 2, 1, 0)])
@pytest.mark.parametrize("shape", [long, wide])
def test_questions_in_another_order_are_not_read(
    course_of: Callable, load_course: Callable, shape: Callable, order: tuple[int, ...]
):
    course = course_of({"a.csv": shape(order)}, items=ITEMS)
    check_course(course.folder, write=True)
    loaded = load_course(read_course(course.folder))

    assert not len(loaded.responses)
    assert loaded.errors


def test_next_week_is_read_by_the_ids_that_the_map_keeps(
    course_of: Callable, load_course: Callable
):
    course = course_of({"a.csv": wide((0, 1, 2, 3))}, items=ITEMS)
    check_course(course.folder, write=True)
    later = as_csv([["Learner", *(f"Question {n}" for n in range(1, 5))], ["z9z", "", "", "", "9"]])
    (course.folder / "exports" / "a.csv").write_text(later)
    rows = load_course(read_course(course.folder)).responses

    assert rows[["item", "answer"]].to_numpy().tolist() == [["A2-2", "9"]]


@pytest.mark.parametrize("name", ["response_pk", "Answer ID", "Response number"])
def test_a_number_of_its_own_in_each_row_is_no_box(
    course_of: Callable, load_course: Callable, name: str
):
    rows = [[str(4100 + 13 * at + n), code, IDS[n], text]
            for at, (code, texts) in enumerate(ROWS) for n, text in enumerate(texts)]  # fmt: skip
    text = as_csv([[name, "Learner", "Task", "response_value"], *rows])
    course = course_of({"a.csv": text}, items=ITEMS)
    check_course(course.folder, write=True)
    loaded = load_course(read_course(course.folder))

    assert set(loaded.responses["answer"]) == {text for mine in TYPED for text in mine}
    assert not loaded.left_out


@pytest.mark.parametrize("name", ["Question #", "Item no."])
def test_a_number_of_a_question_is_no_number_of_points(
    course_of: Callable, load_course: Callable, name: str
):
    problems = [line.split(",")[3] for line in ITEMS.splitlines()[1:]]
    rows = [[code, str(n), problems[n - 1], text, f"{int(text == TYPED[n - 1][0])}/1"]
            for code, texts in ROWS for n, text in enumerate(texts, 1)]  # fmt: skip
    course = course_of(
        {"a.csv": as_csv([["Learner", name, "Prompt", "Typed", "Score"], *rows])}, items=ITEMS
    )
    check_course(course.folder, write=True)
    loaded = load_course(read_course(course.folder))

    assert set(loaded.responses["points"]) == {1.0}
    assert set(loaded.responses["score"]) == {0.0, 1.0}


@pytest.mark.parametrize("name", ["Points", "Total"])
def test_points_beside_a_set_of_questions_are_no_number_of_a_question(
    course_of: Callable, load_course: Callable, name: str
):
    rows = [[f"A{half}", code, *texts[2 * half - 2 : 2 * half], str(1 + at % 2)]
            for at, (code, texts) in enumerate(ROWS) for half in (1, 2)]  # fmt: skip
    course = course_of(
        {"a.csv": as_csv([["Homework", "Learner", "1", "2", name], *rows])}, items=ITEMS
    )
    check_course(course.folder, write=True)

    assert not len(load_course(read_course(course.folder)).responses)


QUIZZES = """\
item,topic,task,problem,quiz
lin,a,solve,x + 4 = 9,Check 1
sq,a,expand,(x + 1)^2,Check 1
two,a,solve,2x = 14,Check 1
dif,a,factor,x^2 - 9,Check 1
half,b,solve,x/2 = 8,Check 2
cube,b,simplify,x^2*x,Check 2
sum,b,simplify,3x + 5x,Check 2
quad,b,factor,x^2 - 5x + 6,Check 2
"""
OF_QUIZ = {"lin": ("5", "13"), "sq": ("x^2+2x+1", "x^2+1"), "two": ("7", "12"),
           "dif": ("(x-3)(x+3)", "(x-3)^2"), "half": ("16", "4"), "cube": ("x^3", "x^2"),
           "sum": ("8x", "8x^2"), "quad": ("(x-2)(x-3)", "(x-1)(x-6)")}  # fmt: skip
PLACE = {item: (f"Check {1 + at // 4}", 1 + at % 4) for at, item in enumerate(OF_QUIZ)}


def answers(items: Collection[str], codes: Sequence[str] = CODES) -> list[tuple[str, str, str]]:
    return [(code, item, OF_QUIZ[item][(at + n) % 2])
            for at, code in enumerate(codes) for n, item in enumerate(items)]  # fmt: skip


def by_quiz_and_number(items: Collection[str]) -> str:
    rows = [
        [PLACE[item][0], str(PLACE[item][1]), code, text] for code, item, text in answers(items)
    ]
    return as_csv([["Quiz", "No.", "Learner", "Typed"], *rows])


def by_both_in_one(items: Collection[str]) -> str:
    rows = [["{} - Q{}".format(*PLACE[item]), code, text] for code, item, text in answers(items)]
    return as_csv([["Task", "Learner", "Typed"], *rows])


def by_place(items: Collection[str]) -> str:
    places = {item: str(at) for at, item in enumerate(OF_QUIZ, 1)}
    rows = [[places[item], code, text] for code, item, text in answers(items)]
    return as_csv([["Nr", "Learner", "Typed"], *rows])


@pytest.mark.parametrize("shape", [by_quiz_and_number, by_both_in_one, by_place])
def test_a_form_with_places_is_learnt_once(
    course_of: Callable, load_course: Callable, shape: Callable
):
    """The first file asks a part of the list; the next one, of the same form, the rest of it."""
    first, later = list(OF_QUIZ)[:5], list(OF_QUIZ)[5:]
    course = course_of({"a.csv": shape(first)}, items=QUIZZES)
    report = check_course(course.folder, write=True)
    (course.folder / "exports" / "b.csv").write_text(shape(later))
    loaded = load_course(read_course(course.folder))

    assert not loaded.errors, "\n".join(report.lines())
    found = zip(loaded.responses["item"], loaded.responses["answer"], strict=True)
    assert sorted(found) == sorted((item, text) for _, item, text in answers(OF_QUIZ))


@pytest.mark.parametrize("name", ["{} - Q{}", "{} #{}", "{0[6]}.{1}", "C{0[6]}.{1}", "T{0[6]}-{1}"])
def test_headers_that_name_a_quiz_and_a_place_in_it(
    course_of: Callable, load_course: Callable, name: str
):
    header = ["Learner", *(name.format(*PLACE[item]) for item in OF_QUIZ)]
    rows = [[code, *(text for mine, _, text in answers(OF_QUIZ) if mine == code)] for code in CODES]
    course = course_of({"a.csv": as_csv([header, *rows])}, items=QUIZZES)
    check_course(course.folder, write=True)
    loaded = load_course(read_course(course.folder))

    found = zip(loaded.responses["item"], loaded.responses["answer"], strict=True)
    assert sorted(found) == sorted((item, text) for _, item, text in answers(OF_QUIZ))


def test_places_in_the_one_quiz_that_the_answers_fit(course_of: Callable, load_course: Callable):
    items = list(OF_QUIZ)[4:]
    rows = [[code, *(text for mine, _, text in answers(items) if mine == code)] for code in CODES]
    course = course_of({"a.csv": as_csv([["Learner", *"1234"], *rows])}, items=QUIZZES)
    check_course(course.folder, write=True)

    assert set(load_course(read_course(course.folder)).responses["item"]) == set(items)


def test_other_questions_under_the_same_numbers_are_refused(
    course_of: Callable, load_course: Callable
):
    course = course_of({"a.csv": by_place(OF_QUIZ)}, items=QUIZZES)
    check_course(course.folder, write=True)
    other = [
        ["Nr", "Learner", "Typed"],
        *([str(n), code, f"{n}y"] for code in CODES for n in "123"),
    ]
    (course.folder / "exports" / "b.csv").write_text(as_csv(other))

    with pytest.raises(InputError, match=r"b.csv: 0 of 24 answers .* they may be others"):
        load_course(read_course(course.folder))


def test_numbers_of_a_quiz_are_no_ids_of_other_quizzes(course_of: Callable, load_course: Callable):
    """Ids are 1 to 8; number 1 of the second quiz is 5."""
    ids = {item: str(at) for at, item in enumerate(OF_QUIZ, 1)}
    lines = QUIZZES.splitlines()
    numbered = [
        lines[0],
        *(f"{ids[line.split(',')[0]]},{line.split(',', 1)[1]}" for line in lines[1:]),
    ]
    course = course_of({"a.csv": by_quiz_and_number(OF_QUIZ)}, items="\n".join(numbered) + "\n")
    check_course(course.folder, write=True)
    loaded = load_course(read_course(course.folder))

    found = zip(loaded.responses["item"], loaded.responses["answer"], strict=True)
    assert sorted(found) == sorted((ids[item], text) for _, item, text in answers(OF_QUIZ))
    assert loaded.responses["points"].isna().all()


@pytest.mark.parametrize(("first", "second"), [("first root / answer", "second root"),
                                               ("answer", "other one")])  # fmt: skip
def test_boxes_are_told_by_what_is_right_together(
    course_of: Callable, load_course: Callable, first: str, second: str
):
    items = ITEMS.replace("factor,x^2 - 9", "solve,x^2 = 9")
    rows = [[code, item, *boxes] for at, code in enumerate(CODES) for item, boxes in
            (("A1-1", ("5", "")), ("A2-1", ("12" if at % 3 else "7", "")),
             ("A2-2", ("3", "-3" if at % 2 else "4")))]  # fmt: skip
    course = course_of({"a.csv": as_csv([["Learner", "Task", first, second], *rows])}, items=items)
    check_course(course.folder, write=True)
    loaded = load_course(read_course(course.folder)).responses

    assert set(loaded.loc[loaded["item"] == "A2-2", "answer"]) == {"3; -3", "3; 4"}
    assert set(loaded.loc[loaded["item"] == "A1-1", "answer"]) == {"5"}


@pytest.mark.parametrize(
    ("name", "right", "wrong"),
    [("richtig?", "ja", "nein"), ("graded_pct", "100%", "0%")],
)
def test_yes_and_no_that_go_with_right_answers_are_asked_about(
    course_of: Callable, load_course: Callable, name: str, right: str, wrong: str
):
    rows = [[code, item, text, right if text == OF_QUIZ[item][0] else wrong]
            for code, item, text in answers(OF_QUIZ)]  # fmt: skip
    text = as_csv([["Learner", "Task", "Typed", name], *rows])
    course = course_of({"a.csv": text}, items=QUIZZES)
    check_course(course.folder, write=True)
    loaded = load_course(read_course(course.folder))
    assert "yes and no" in loaded.left_out[name]

    settings = course.folder / "course.toml"
    said = settings.read_text() + f'\nscore = "{name}"\n'
    settings.write_text(said)
    loaded = load_course(read_course(course.folder))
    right = [text == OF_QUIZ[item][0] for item, text in
             zip(loaded.responses["item"], loaded.responses["answer"], strict=True)]  # fmt: skip
    assert loaded.responses["score"].tolist() == [float(one) for one in right]


def test_sums_and_remarks_below_answers_are_no_answers(course_of: Callable, load_course: Callable):
    rows = [[code, item, text, ""] for code, item, text in answers(OF_QUIZ)]
    below = [["Total", "", "", "450"], ["Exported for the registrar on 18 September", "", "", ""],
             ["a9", "", "", ""]]  # fmt: skip
    text = as_csv([["student", "item", "answer", "score"], *rows, *below])
    loaded = load_course(course_of({"a.csv": text}, items=QUIZZES))

    assert len(loaded.rejected) == 1  # the last may be a student's


def test_students_of_one_name_stay_two_where_a_column_has_their_ids(
    course_of: Callable, load_course: Callable
):
    names = ["Ada Lo", "Ben Ito", "Cy Roe", "Ada Lo", "Di Park", "Ed Wu", "Flo Kay", "Gus Ortiz"]
    header = ["No.", "Student", "Student no.", *IDS]
    rows = [[str(at), name, f"310{4 * at:02}", *texts]
            for at, (name, (_, texts)) in enumerate(zip(names, ROWS, strict=True), 1)]  # fmt: skip
    course = course_of({"a.csv": as_csv([header, *rows])}, items=ITEMS)
    check_course(course.folder, write=True)
    loaded = load_course(read_course(course.folder))

    assert loaded.responses["student"].nunique() == len(rows)
    assert len(loaded.responses) == len(rows) * len(IDS)


@pytest.mark.parametrize("shape", [long, wide])
@pytest.mark.parametrize("name", ["Q{}", "Aufgabe {}"])
def test_next_week_is_read_where_its_answers_fit_the_places(
    course_of: Callable, load_course: Callable, shape: Callable, name: str
):
    course = course_of({"week 1.csv": shape((0, 1, 2, 3), name)}, items=ITEMS)
    check_course(course.folder, write=True)
    later = shape((0, 1, 2, 3), name).replace("k1", "m1")
    (course.folder / "exports" / "week 2.csv").write_text(later)
    loaded = load_course(read_course(course.folder))

    assert not loaded.errors
    assert len(loaded.responses) == 2 * len(ROWS) * len(IDS)
    assert set(loaded.responses["item"]) == set(IDS)


@pytest.mark.parametrize("order", [(3, 2, 1, 0), (1, 2, 3, 0), (0, 2, 1, 3)])
@pytest.mark.parametrize("shape", [long, wide])
def test_other_questions_next_week_are_not_read(
    course_of: Callable, load_course: Callable, shape: Callable, order: tuple[int, ...]
):
    """They would be taken for the same; none is right for half of the questions, or for more."""
    course = course_of({"week 1.csv": shape((0, 1, 2, 3))}, items=ITEMS)
    check_course(course.folder, write=True)
    (course.folder / "exports" / "week 2.csv").write_text(shape(order).replace("k1", "m1"))

    with pytest.raises(InputError, match=r"week 2.csv: .* check DIR --write` gives this file's"):
        load_course(read_course(course.folder))


@pytest.mark.parametrize("shape", [long, wide])
def test_the_same_numbers_are_places_in_the_quiz_that_the_answers_fit(
    course_of: Callable, load_course: Callable, shape: Callable
):
    of_quiz = [[*OF_QUIZ][:4], [*OF_QUIZ][4:]]
    course = course_of({"a.csv": numbered(of_quiz[0], shape)}, items=QUIZZES)
    check_course(course.folder, write=True)
    settings = (course.folder / "course.toml").read_text()
    (course.folder / "exports" / "b.csv").write_text(numbered(of_quiz[1], shape))
    check_course(course.folder, write=True)
    loaded = load_course(read_course(course.folder))

    assert (course.folder / "course.toml").read_text() == settings
    assert "places in another quiz" in loaded.notes

    found = zip(loaded.responses["item"], loaded.responses["answer"], strict=True)
    assert sorted(found) == sorted((item, text) for _, item, text in answers(OF_QUIZ))


def numbered(items: Sequence[str], shape: Callable) -> str:
    """Questions of one quiz by their place in it alone."""
    texts = {code: {item: text for mine, item, text in answers(items) if mine == code}
             for code in CODES}  # fmt: skip
    if shape is wide:
        rows = [[code, *(texts[code][item] for item in items)] for code in CODES]
        return as_csv([["Learner", *(f"Q{n}" for n in range(1, 5))], *rows])
    rows = [[code, f"Q{n}", texts[code][item]] for code in CODES for n, item in enumerate(items, 1)]
    return as_csv([["Learner", "Question", "Typed"], *rows])


@pytest.mark.parametrize("name", ["{}", "Q{}", "Problem {}"])
def test_rows_may_name_the_quiz_and_headers_the_place_in_it(
    course_of: Callable, load_course: Callable, name: str
):
    def table(quizzes: Sequence[str]) -> str:
        rows = [
            [quiz, code, *(text for mine, item, text in answers(OF_QUIZ)
                           if mine == code and PLACE[item][0] == quiz)]
            for quiz in quizzes for code in CODES
        ]  # fmt: skip
        names = [name.format(number) for number in range(1, 5)]
        return as_csv([["Homework", "Student ID", *names], *rows])

    course = course_of({"a.csv": table(["Check 1"])}, items=QUIZZES)
    report = check_course(course.folder, write=True)
    (course.folder / "exports" / "b.csv").write_text(table(["Check 2"]))
    loaded = load_course(read_course(course.folder))

    assert not loaded.errors, "\n".join(report.lines())
    found = zip(loaded.responses["item"], loaded.responses["answer"], strict=True)
    assert sorted(found) == sorted((item, text) for _, item, text in answers(OF_QUIZ))
    assert not loaded.left_out
    assert loaded.responses["student"].nunique() == len(CODES)


def of_each(items: Collection[str], codes: Sequence[str] = CODES) -> list[list[str]]:
    """A row of answers for each student."""
    return [[code, *(text for mine, _, text in answers(items) if mine == code)] for code in codes]


def stored(course_of: Callable, load_course: Callable, text: str, items: str = QUIZZES) -> Loaded:
    course = course_of({"a.csv": text}, items=items)
    check_course(course.folder, write=True)
    loaded: Loaded = load_course(read_course(course.folder))
    return loaded


def test_quizzes_over_places_are_named_in_two_rows(course_of: Callable, load_course: Callable):
    upper = ["", "Check 1", "", "", "", "Check 2", "", "", ""]
    rows = [upper, ["Learner", *"12341234"], *of_each(OF_QUIZ)]
    loaded = stored(course_of, load_course, as_csv(rows))

    found = zip(loaded.responses["item"], loaded.responses["answer"], strict=True)
    assert sorted(found) == sorted((item, text) for _, item, text in answers(OF_QUIZ))


def test_a_total_of_a_quiz_names_no_quiz(course_of: Callable, load_course: Callable):
    names = ["Learner", *("{} - {}".format(*PLACE[item]) for item in OF_QUIZ), "Check 1 total"]
    rows = [[*row, str(at % 4)] for at, row in enumerate(of_each(OF_QUIZ))]
    loaded = stored(course_of, load_course, as_csv([names, *rows]))

    assert set(loaded.responses["item"]) == set(OF_QUIZ)
    assert set(loaded.responses["quiz"]) == {"Check 1", "Check 2"}


def test_boxes_are_joined_before_places_are_judged(course_of: Callable, load_course: Callable):
    items = QUIZZES.replace("cube,b,simplify,x^2*x", "cube,b,solve,x^2 = 9")
    boxes = [[PLACE[item][0], str(PLACE[item][1]), code, *(("3", "-3") if item == "cube" and at % 2
              else (text, "5" if item == "cube" else ""))]
             for at, (code, item, text) in enumerate(answers([*OF_QUIZ][4:]))]  # fmt: skip
    header = ["Quiz", "No.", "Login", "Answer box 1", "Answer box 2"]
    loaded = stored(course_of, load_course, as_csv([header, *boxes]), items)

    assert set(loaded.responses["item"]) == {*OF_QUIZ} - {*[*OF_QUIZ][:4]}
    assert "3; -3" in set(loaded.responses["answer"])


def test_an_id_with_its_text_in_brackets_is_no_question_to_draft(
    course_of: Callable, load_course: Callable
):
    items = ITEMS.replace("A1-1", "4104").replace("x + 4 = 9", "Solve x + 4 <= 9")
    header = ["Learner", "4104 (Solve x + 4 <= 9)", "comment on 4104", "A1-2", "A2-1", "A2-2"]
    rows = [[code, texts[0].replace("5", "x <= 5"), "", *texts[1:]] for code, texts in ROWS]
    loaded = stored(course_of, load_course, as_csv([header, *rows]), items)

    assert set(loaded.responses["item"]) == {"4104", *IDS[1:]}
    assert not loaded.left_out


def test_a_question_is_told_by_its_words_as_the_list_has_them(
    course_of: Callable, load_course: Callable
):
    text = "Evaluate x^2 - 4x when x = -3"
    items = ITEMS.replace("A1-1,a,solve,x + 4 = 9", f"A1-1,a,evaluate,{text}")
    rows = [[code, text, "21" if at % 2 else "3"] for at, code in enumerate(CODES)]
    rows += [[code, "(x + 1)^2", texts[1]] for code, texts in ROWS]
    loaded = stored(course_of, load_course, as_csv([["Login", "Question", "Typed"], *rows]), items)

    assert set(loaded.responses["item"]) == {"A1-1", "A1-2"}


def test_headers_that_name_another_quiz_next_week(course_of: Callable, load_course: Callable):
    def table(items: Sequence[str]) -> str:
        names = ["Learner", *("{} - {}".format(*PLACE[item]) for item in items)]
        return as_csv([names, *of_each(items)])

    course = course_of({"a.csv": table([*OF_QUIZ][:4])}, items=QUIZZES)
    check_course(course.folder, write=True)
    (course.folder / "exports" / "b.csv").write_text(table([*OF_QUIZ][4:]))
    loaded = load_course(read_course(course.folder))

    assert not loaded.errors
    found = zip(loaded.responses["item"], loaded.responses["answer"], strict=True)
    assert sorted(found) == sorted((item, text) for _, item, text in answers(OF_QUIZ))


@pytest.mark.parametrize("asked", [1, 4])
def test_few_answers_that_are_right_in_another_quiz_are_not_taken_for_this_one(
    course_of: Callable, load_course: Callable, asked: int
):
    """One student who makes up a quiz: read where each answer fits the other quiz, else refused."""
    course = course_of({"a.csv": numbered([*OF_QUIZ][:4], wide)}, items=QUIZZES)
    check_course(course.folder, write=True)
    texts = [OF_QUIZ[item][0] for item in [*OF_QUIZ][4:]][:asked]
    late = [["Learner", "Q1", "Q2", "Q3", "Q4"], ["z9z", *texts, *[""] * (4 - asked)]]
    (course.folder / "exports" / "b.csv").write_text(as_csv(late))
    if asked < 4:
        with pytest.raises(InputError, match="they may be others"):
            load_course(read_course(course.folder))
    else:
        found = load_course(read_course(course.folder)).responses.query("answer == '16'")
        assert found["item"].tolist() == ["half"]


TWO_SETS = ITEMS.replace("A1-1", "W1-a").replace("A1-2", "W1-b").replace("A2-1", "W1-c").replace(
    "A2-2", "W1-d"
) + "".join(f"W2-{one},a,solve,3x = {n}\n" for n, one in enumerate("abcd", 90))


@pytest.mark.parametrize("beside", ["Es. 5", "Es. 5a", "Sum 1"])
def test_some_columns_of_one_wording_alone_are_not_read(
    course_of: Callable, load_course: Callable, beside: str
):
    """Numbers are places in what ids begin with, where no column of that wording is left over."""
    header, *rows = wide((0, 1, 2, 3), "Es. {}").splitlines()
    text = "\n".join([f"{header},{beside}", *(f"{row},{at % 3}" for at, row in enumerate(rows))])
    course = course_of({"a.csv": text}, items=TWO_SETS)
    check_course(course.folder, write=True)
    loaded = load_course(read_course(course.folder))

    if beside.startswith("Es."):
        assert loaded.errors
    else:
        assert set(loaded.responses["item"]) == {"W1-a", "W1-b", "W1-c", "W1-d"}
        assert not loaded.left_out


@pytest.mark.parametrize("quiz", ["Check 2", "Ember", "2 of 3"])
def test_numbers_of_quizzes_that_the_list_has_not_are_no_places(course_of: Callable, quiz: str):
    """The advice asks for no column that is there."""
    header = ["Learner", *(f"{3 + at // 4}.{1 + at % 4}" for at in range(8))]
    rows = [[code, *(text for mine, _, text in answers(OF_QUIZ) if mine == code)] for code in CODES]
    items = QUIZZES.replace("Check 2", quiz)
    course = course_of({"a.csv": as_csv([header, *rows])}, items=items)

    with pytest.raises(InputError, match="no question of the list") as said:
        propose_map(course, "exports/a.csv")
    assert "column `quiz`" not in str(said.value)


def test_points_in_a_row_are_no_names_of_places(course_of: Callable):
    """Cells such as 1, 1, 1, 2, 2, 2 are not `1 (2)`, the second place of a quiz."""
    header = ["Learner", *(name for at in range(1, 9) for name in (f"Q{at}", f"Q{at} pts"))]
    rows = [
        [code, *(cell for mine, item, text in answers(OF_QUIZ) if mine == code
                 for cell in (text, str(1 + (text == OF_QUIZ[item][0]))))]
        for code in CODES
    ]  # fmt: skip
    course = course_of({"a.csv": as_csv([header, *rows])}, items=QUIZZES)
    found = propose_map(course, "exports/a.csv").map

    assert list(found.questions) == header[1::2]


def test_numbers_in_ids_are_no_numbers_of_questions_where_the_answers_fit_the_places(
    course_of: Callable, load_course: Callable
):
    items = ITEMS.replace("A1-1", "lin-2").replace("A1-2", "exp-1").replace("A2-1", "lin-1")
    items = items.replace("A2-2", "fac-3")
    course = course_of({"a.csv": wide((0, 1, 2, 3), "Aufg. {}")}, items=items)
    check_course(course.folder, write=True)
    loaded = load_course(read_course(course.folder))

    found = loaded.responses.groupby("item")["answer"].apply(set)
    assert {item: found[item] for item in ("lin-2", "lin-1")} == {
        "lin-2": {"5", "13"}, "lin-1": {"7", "12"}
    }  # fmt: skip
