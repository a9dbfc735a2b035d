from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest
from openpyxl import Workbook

from pipeline.course import Break, Lesson, Option, Outcome, OwnPattern, Quiz, Topic, read_course
from pipeline.errors import CourseError, ExitCode, ListErrors

ITEMS = "item,topic,task,problem\nq1,roots,solve,x^2 = 4\n"
FULL = """
title = "College Algebra"
time_zone = "America/Chicago"
[[terms]]
id = "spring"
first_day = 2026-01-12
weeks = 15
breaks = [["2026-03-16", "2026-03-20"], ["2026-04-03"]]
[[topics]]
id = "roots"
title = "Square roots"
first_week = 3
outcome = "equations"
[[topics]]
id = "quadratics"
needs = ["roots"]
[[outcomes]]
id = "equations"
statement = "Solve equations."
target = "75 %"
bar = 0.6
evidence = ["exam"]
attempt = "last"
fewest = 4
[[lessons]]
date = 2026-02-18
title = "Roots"
topics = ["roots"]
patterns = ["half-not-squared"]
[[quizzes]]
id = "Midterm"
week = 8
setting = "exam"
supervised = true
[[patterns]]
id = "own-one"
sentence = "Takes all of b."
task = "square-constant"
wrong = ["b^2", "b"]
[privacy]
limit = 5
[reading]
decimal_comma = true
"""


def folder_of(tmp_path: Path, settings: str | None = None, items: str = ITEMS) -> Path:
    (tmp_path / "items.csv").write_text(items, encoding="utf-8")
    if settings is not None:
        (tmp_path / "course.toml").write_text(settings, encoding="utf-8")
    return tmp_path


def test_everything_that_is_said_is_read(tmp_path: Path):
    course = read_course(folder_of(tmp_path, FULL))

    assert (course.title, course.time_zone) == ("College Algebra", "America/Chicago")
    term = course.terms[0]
    assert term.breaks == (
        Break(date(2026, 3, 16), date(2026, 3, 20)),
        Break(date(2026, 4, 3), date(2026, 4, 3)),
    )
    assert course.topics == (
        Topic("roots", "Square roots", 3, "equations"),
        Topic("quadratics", "quadratics", needs=("roots",)),
    )
    assert course.outcomes == (
        Outcome("equations", "Solve equations.", 0.75, 0.6, ("exam",), "last", 4),
    )
    assert course.lessons == (
        Lesson(date(2026, 2, 18), "Roots", ("roots",), ("half-not-squared",)),
    )
    assert course.quizzes == (Quiz("Midterm", 8, "exam", True),)
    assert course.quiz_weeks == {"Midterm": 8}
    assert course.patterns == (
        OwnPattern("own-one", "Takes all of b.", "square-constant", ("b^2", "b")),
    )
    assert course.privacy.limit == 5
    assert course.reading.decimal_comma


def test_margin_and_weights_are_read(tmp_path: Path):
    said = 'margin = "4 %"\n[[topics]]\nid = "roots"\nweight = 2.5\n[[topics]]\nid = "b"\n'
    course = read_course(folder_of(tmp_path, said))

    assert course.margin == pytest.approx(0.04)
    assert [topic.weight for topic in course.topics[:2]] == [2.5, 1.0]
    assert read_course(folder_of(tmp_path, "")).margin == pytest.approx(0.05)


def test_every_default_is_named(tmp_path: Path):
    bare = read_course(folder_of(tmp_path)).defaults
    full = read_course(folder_of(tmp_path, FULL)).defaults

    for words in ("title", "time zone", "terms", "outcomes", "fewer than 10 students", "decimal"):
        assert any(words in sentence for sentence in bare), words
        assert not any(words in sentence for sentence in full if words != "decimal"), words
    assert all(sentence.endswith(".") for sentence in bare)


def test_sheets_say_the_same_as_tables(tmp_path: Path):
    book = Workbook()
    book.active.title = "course"
    for pair in (("title", "College Algebra"), ("time_zone", "America/Chicago")):
        book.active.append(pair)
    sheets = {
        "terms": [
            ("id", "first day", "weeks", "breaks"),
            ("spring", date(2026, 1, 12), 15, "2026-03-16 to 2026-03-20; 2026-04-03"),
        ],
        "topics": [
            ("id", "title", "first_week", "outcome", "needs"),
            ("roots", "Square roots", 3, "equations", None),
            ("quadratics", None, None, None, "roots"),
        ],
        "outcomes": [
            ("id", "statement", "target", "bar", "evidence", "attempt", "fewest"),
            ("equations", "Solve equations.", "75 %", 0.6, "exam", "last", 4),
        ],
        "lessons": [
            ("date", "title", "topics", "patterns"),
            (date(2026, 2, 18), "Roots", "roots", "half-not-squared"),
        ],
        "quizzes": [("id", "week", "setting", "supervised"), ("Midterm", 8, "exam", "yes")],
        "patterns": [
            ("id", "sentence", "task", "wrong"),
            ("own-one", "Takes all of b.", "square-constant", "b^2\nb"),
        ],
        "privacy": [("limit", 5)],
        "reading": [("decimal_comma", "yes")],
    }
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    toml, sheet_folder = tmp_path / "toml", tmp_path / "sheets"
    toml.mkdir()
    sheet_folder.mkdir()
    first = read_course(folder_of(toml, FULL))
    book.save(folder_of(sheet_folder) / "course.xlsx")
    second = read_course(sheet_folder)

    for name in ("title", "time_zone", "terms", "topics", "outcomes", "lessons", "quizzes",
                 "patterns", "reading", "defaults"):  # fmt: skip
        assert getattr(first, name) == getattr(second, name), name


@pytest.mark.parametrize(
    ("settings", "message"),
    [
        ("title = \nx = 1", r"course\.toml: Invalid value .*line 1, column 9"),
        ('[[terms]]\nid = "a"\nfirst_day = 2026-01-12\nweeks = 0',
         r"course\.toml, line 4: `weeks` in terms is 0; expected a whole number from 1 to 53"),
        ('\n[[terms]]\nid = "a"\nfirst_day = "soon"\nweeks = 3',
         r"line 4: `first_day` in terms is soon; expected a date such as 2026-01-31"),
        ('[[terms]]\nid = "a"\nfirst_day = 2026-01-12\nweeks = 3\nbreaks = [["2026-05-01"]]',
         r"line 5: `breaks` in terms .*; expected days from 2026-01-12 to 2026-02-01"),
        ('[[terms]]\nid = "a"\nfirst_day = 2026-01-12\nweeks = 3\n'
         '[[terms]]\nid = "b"\nfirst_day = 2026-01-20\nweeks = 3',
         r"terms a and b overlap: a ends on 2026-02-01, b begins on 2026-01-20"),
        ('[[terms]]\nid = "a"\nfirst_day = 2026-01-12\nweeks = 3\n'
         '[[terms]]\nid = "a"\nfirst_day = 2026-03-20\nweeks = 3',
         r"line 6: `id` in terms is a; expected a name that no other block"),
        ('[[term]]\nid = "a"', r"line 1: there is no table `term`; expected one of terms,"),
        ('[terms]\nid = "a"', r"line 1: write \[\[terms\]\] with these brackets"),
        ('[[topics]]\nid = "a"\ntitel = "A"',
         r"line 3: topics has no setting `titel`.*Did you mean `title`"),
        ('[[topics]]\nid = "a"\nneeds = ["rots"]',
         r"line 3: `needs` in topics .*'rots' is none"),
        ('[[lessons]]\ntitle = "x"', r"line 1: `date` in lessons is empty; expected a date"),
        ('[[topics]]\nid = "a"\nweight = 0',
         r"line 3: `weight` in topics is 0; expected a number from 0.1 to 10"),
        ('[[topics]]\nid = "a"\nweight = "high"', r"`weight` in topics is high; expected a number"),
        ('margin = 5', r"line 1: `margin` in course is 5; expected a fraction from 0 to 1"),
        ('margin = "0.5 %"', r"`margin` in course is 0.5 %; expected a fraction from 0.01 to 0.3"),
        ('[[outcomes]]\nid = "a"\nbar = 70', r"line 3: `bar` in outcomes is 70; expected a frac"),
        ('time_zone = "Central"', r"`time_zone` in course is Central; expected a name such as Am"),
        ('[[exports]]\nfiles = ["a.csv"]\n[exports.columns]\nstuden = "x"',
         r"line 3: `columns` in exports .*not studen"),
        ('[[exports]]\nsection_from = "a.csv"', r"`section_from` in exports is a.csv; expected a"),
        ('[privacy]\nlimit = 1', r"line 2: `limit` in privacy is 1; expected a whole number"),
        ('[reading]\ndecimal_comma = "perhaps"', r"expected true or false"),
        ("decimal_comma = true",
         r"line 1: course has no setting `decimal_comma`.*below the heading \[reading\]"),
        ('[privacy]\ntime_zone = "UTC"', r"`time_zone`.*It stands above the first \[heading\]"),
        ("[reading]\nfont = 3", r"reading has no setting `font`.*Take it out or move it"),
    ],
)  # fmt: skip
def test_a_wrong_setting_names_place_value_and_what_was_expected(
    tmp_path: Path, settings: str, message: str
):
    with pytest.raises(CourseError) as caught:
        read_course(folder_of(tmp_path, settings))

    assert re.search(message, str(caught.value), re.S), str(caught.value)
    assert caught.value.exit_code == ExitCode.WRONG_USE


@pytest.mark.parametrize(
    ("items", "message"),
    [
        ("item,topic,task\nq,t,solve\n", "line 1: no column problem; expected the columns"),
        ("item,topic,task,problem,metod\n", "line 1: column 'metod'; expected the columns"),
        ("item,topic,task,problem,item\n", "line 1: column 'item' stands there twice"),
        ("item,topic,task,problem\n", "no question in it"),
        ("item,topic,task,problem\nq1,t,sovle,x\n", "line 2: column `task` is sovle; expected"),
        ("item,topic,task,problem\nq1,t,solve,\n", "line 2: column `problem` is empty"),
        ("item,topic,task,problem\nq1,t,solve,2, 4\n", "line 2: 5 fields, the header has 4"),
        ("item,topic,task,problem\nq1,t,judge,x\n", "column `answer` is empty; expected the key"),
        ("item,topic,task,problem,week\nq1,t,solve,x,two\n", "column `week` is two"),
        ("item,topic,task,problem,form\nq1,t,solve,x,neat\n", "column `form` is neat"),
        ("item,topic,task,problem,from\nq1,t,solve,x,someday\n",
         "items.csv, line 2: column `from` is someday"),
        ("item,topic,task,problem\nq1,t,solve,x\nq1,t,solve,y\n",
         "items.csv, line 3: item q1 is there already (line 2)"),
        ("item,topic,task,problem,answer,options\nq1,t,choice,x,B,2 | 3\n",
         "column `answer` is B; expected the text of one of the options, never its letter"),
        ("item,topic,task,problem,answer,options\nq1,t,choice,x,2,2\n", "two options or more"),
    ],
)  # fmt: skip
def test_a_wrong_item_names_line_column_value_and_what_was_expected(
    tmp_path: Path, items: str, message: str
):
    with pytest.raises(CourseError) as caught:
        read_course(folder_of(tmp_path, items=items))

    assert message in str(caught.value)


@pytest.mark.parametrize(
    ("task", "answer", "place"),
    [("tip of it", "(-2, -5)", "judge"), ("the odd one", "3/4", "judge"), ("solve", "2", "task")],
)
def test_words_that_are_no_task_leave_a_question_to_its_key(
    tmp_path: Path, task: str, answer: str, place: str
):
    items = f'item,topic,task,problem,answer\nq1,t,{task},Same thing? x = 2,"{answer}"\n'
    course = read_course(folder_of(tmp_path, items=items))

    assert [item.place for item in course.items] == [place]
    assert any("judged by its key alone" in one for one in course.defaults) == (place == "judge")


@pytest.mark.parametrize(("task", "answer"), [("sovle", "2"), ("tip of it", ""), ("tip", "on it")])
def test_a_misspelt_task_or_one_without_a_key_is_asked_about(
    tmp_path: Path, task: str, answer: str
):
    items = f"item,topic,task,problem,answer\nq1,t,{task},Same thing? x = 2,{answer}\n"

    with pytest.raises(CourseError, match="column `task` is"):
        read_course(folder_of(tmp_path, items=items))


def test_a_header_on_a_sheet_of_names_and_values_is_told(tmp_path: Path):
    folder_of(tmp_path)
    book = Workbook()
    book.active.title = "course"
    book.active.append(["title"])
    book.active.append(["Algebra"])
    book.save(tmp_path / "course.xlsx")

    with pytest.raises(CourseError, match=r"`Algebra`.*a name and, beside it, the value"):
        read_course(tmp_path)


def test_an_item_is_read_whole(tmp_path: Path):
    items = (
        "item,topic,task,problem,answer,form,numbers,outcome,options,quiz,week,method,asked,keep,"
        "notes\n"
        "q1,t,Solve,'-x^2 = 4,,Exact + simplified,complex,o,,Quiz 1,3,formula,x + 4,x > 0,mine\n"
        'p1,t,choice,Which?,"2, 4",,,,"2, 4 | -2, -4 => called-no-solution",,,,,,\n'
    )
    first, second = read_course(folder_of(tmp_path, items=items)).items

    assert (first.task, first.problem, first.form) == ("solve", "-x^2 = 4", "exact+simplified")
    assert (first.numbers, first.week, first.method) == ("complex", 3, "formula")
    assert (first.asked, first.keep, first.place) == ("x + 4", "x > 0", "task")
    assert second.options == (Option("2, 4"), Option("-2, -4", "called-no-solution"))


def test_a_correction_takes_the_place_of_the_version_it_mends(tmp_path: Path):
    items = (
        "item,topic,task,problem,from,correction\n"
        "q1,t,solve,x = 1,,\n"
        "q1,t,solve,x = 2,2026-02-01,\n"
        "q1,t,solve,x = 3,,yes\n"
    )
    found = read_course(folder_of(tmp_path, items=items)).items

    assert [(item.start, item.problem) for item in found] == [
        ("", "x = 1"),
        ("2026-02-01", "x = 3"),
    ]
    assert found[1].correction


NAIVE = """\
Question #,Unit,Type,Question,Correct answer,Points
1,Quadratics,Solve for x,Solve by factoring: x^2 - 5x + 6 = 0,"2, 3",5
2,Quadratics,Factoring,3x^2 - 27,,5
,Expressions,multiply,"Multiply: (x + 1)(x - 4)",,5
4,Numbers,Compute,3/4 + 1/6,,5
5,Words,word problem,A rectangle has area 40. Find its width.,5,5
6,Essays,essay,Explain factoring.,,5
7,Quadratics,solve,"x^2 = 9, rounded",3,5
"""


def test_a_naive_list_is_taken_and_what_was_taken_is_said(tmp_path: Path):
    course = read_course(folder_of(tmp_path, items=NAIVE))

    assert [(item.id, item.task, item.problem, item.method) for item in course.items] == [
        ("1", "solve", "x^2 - 5x + 6 = 0", "factoring"),
        ("2", "factor", "3x^2 - 27", None),
        ("3", "expand", "(x + 1)(x - 4)", None),
        ("4", "evaluate", "3/4 + 1/6", None),
        ("5", "judge", "A rectangle has area 40. Find its width.", None),
        ("6", "skip", "Explain factoring.", None),
        ("7", "solve", "x^2 = 9, rounded", None),
    ]
    said = " ".join(course.defaults)
    assert "column 'Question' is taken for `problem`" in said
    assert "column 'Points' is not used" in said
    assert "line 4: no name: called 3" in said
    assert "task 'compute' is taken for `evaluate`" in said
    assert "problem 'Multiply: (x + 1)(x - 4)' is taken for `(x + 1)(x - 4)`" in said


def test_a_list_of_problems_alone_is_enough(tmp_path: Path):
    items = "Problem\n3. Solve x^2 = 4\nFactor x^2 - 9\n"
    first, second = read_course(folder_of(tmp_path, items=items)).items

    assert (first.id, first.task, first.problem) == ("3", "solve", "x^2 = 4")
    assert (second.id, second.task, second.topic) == ("2", "factor", "all questions")


def test_all_errors_of_a_list_are_said_at_once_with_the_nearest_task(tmp_path: Path):
    items = (
        "item,topic,task,problem,week\nq1,t,sovle,x,two\nq2,,solve,x^2 = 4,3\n"
        "q5,t,judge,x,4\nq3,t,solve,x = 2,\nq3,t,solve,x = 3,\nq4,t,gibberish,,\n"
    )
    with pytest.raises(ListErrors) as caught:
        read_course(folder_of(tmp_path, items=items))

    told = caught.value.each
    assert len(told) == 5
    assert "items.csv, line 2: column `task` is sovle; expected one of solve" in told[0]
    assert told[0].endswith("Did you mean `solve`?")
    assert told[1].startswith("items.csv, line 3: column `topic` is empty")
    assert told[2].startswith("items.csv, line 4: column `answer` is empty")
    assert told[3].startswith("items.csv, line 7: column `task` is gibberish")
    assert "line 6: item q3 is there already (line 5)" in told[4]


def test_a_draft_that_waits_for_a_person_is_not_judged_yet(tmp_path: Path):
    items = (
        "item,topic,task,problem,status,why,computed\n"
        "q1,t,,,cannot,its equation is a picture,\n"
        "q2,t,solve,x = 2,cannot,mended since,\nq3,t,solve,x = 3,sure,,4\n"
    )
    course = read_course(folder_of(tmp_path, items=items))

    assert [(item.id, item.task) for item in course.items] == [
        ("q1", "skip"),
        ("q2", "solve"),
        ("q3", "solve"),
    ]
    assert course.items[2].answer is None, "a computed key is shown, and computed anew"


def test_a_date_in_the_items_workbook_is_refused_with_its_cell(tmp_path: Path):
    book = Workbook()
    book.active.append(["item", "topic", "task", "problem", "answer"])
    book.active.append(["q1", "t", "judge", "1/2 of 1", date(2026, 1, 2)])
    book.save(tmp_path / "items.xlsx")

    with pytest.raises(CourseError, match=r"line 2: column `answer` is 2026-01-02.*turned it into"):
        read_course(tmp_path)


def test_two_files_for_one_thing_are_refused(tmp_path: Path):
    folder_of(tmp_path, FULL)
    Workbook().save(tmp_path / "course.xlsx")
    with pytest.raises(CourseError, match="keep only one"):
        read_course(tmp_path)
    Workbook().save(tmp_path / "items.xlsx")
    with pytest.raises(CourseError, match="keep only one"):
        read_course(tmp_path)


def test_a_folder_that_is_none_names_the_way_out(tmp_path: Path):
    with pytest.raises(CourseError, match="`lostroot new DIR` makes one"):
        read_course(tmp_path / "nowhere")
    with pytest.raises(CourseError, match="no items file"):
        read_course(tmp_path)


def test_the_fingerprint_follows_what_stored_answers_rest_on(tmp_path: Path):
    def fingerprint(settings: str, items: str = ITEMS) -> str:
        return read_course(folder_of(tmp_path, settings, items)).fingerprint

    def maps(settings: str) -> str:
        return read_course(folder_of(tmp_path, settings)).maps_fingerprint

    first = fingerprint(FULL)
    assert first == fingerprint(FULL.replace("College", "Our"), ITEMS + "q2,t,solve,x = 1\n")
    assert first != fingerprint(FULL.replace("2026-03-16", "2026-03-17"))
    assert first != fingerprint(FULL.replace("Chicago", "Denver"))
    assert first != fingerprint(FULL, ITEMS + "q2,t,skip,\n")
    assert first == fingerprint(FULL + '[[exports]]\nquiz = "Midterm"\n')
    assert maps(FULL) != maps(FULL + '[[exports]]\nquiz = "Midterm"\n')
    assert maps(FULL) == maps("# moved\n" + FULL)
