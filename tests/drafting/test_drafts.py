"""Questions out of Word files, text, QTI and exports, drafted into the list."""

from __future__ import annotations

import csv
import zipfile
from pathlib import Path

import pytest
from docx import Document
from openpyxl import load_workbook

from pipeline.check import CheckReport, check_course
from pipeline.check.item_set import BlindSpots
from pipeline.course import new_course, read_course
from pipeline.drafting import DraftRow, drafted, read_list, sources_in
from pipeline.drafting.folder import joined, questions_of_exports
from pipeline.drafting.lines import Line, SourceQuestion, questions_in
from pipeline.drafting.word_files import typed_mathematics, word_lines
from pipeline.errors import CourseError, ExitCode, InputError
from pipeline.reading.records import Unread
from pipeline.wording import asked_by
from tests.drafting import office


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    new_course(tmp_path / "course")
    return tmp_path / "course"


def checked(folder: Path, write: bool = True) -> CheckReport:
    """A check without what the questions cannot see, which takes long to find out."""
    return check_course(
        folder, write=write, untaggable=lambda *_: None, unseen=lambda _: BlindSpots()
    )


def rows_of(folder: Path) -> list[DraftRow]:
    return list(drafted(sources_in(folder).questions, (), ()))


def of_text(text: str) -> list[DraftRow]:
    return list(drafted(questions_in(map(Line, text.splitlines()), "a.txt"), (), ()))


def column(rows: list[DraftRow], name: str) -> list[str]:
    return [row.cells.get(name, "") for row in rows]


EXERCISES = """\
1 solve x^2-7x+12=0
2 solve 2x^2+3x=5
3 solve (x-3)^2=16
4 solve x/3+x/4=7
5 solve sqrt(3x+1)=5
6 solve |2x-5|=9
7 solve x^2+8x+3=0
8 solve 3x^2-4x-2=0
9 number-of-solutions x^2+2x+5=0
Factoring 1 factor x^2+11x+24
Factoring 2 factor 3x^2-27
Factoring 3 factor x^3-8
13 simplify sqrt(72)
14 expand (x+4)(x-9)
15 evaluate 2x^2-5x+1 at x=-3
16 logarithm log_3(81)
17 simplify (x^2-16)/(x+4)
18a function f(x)=3x^2-4; f(-2)
18b domain 1/(x-6)
19 solve 2x+y=7; x-y=2
20 choice x^2=25
21  -
22 skip -
23 vertex y=x^2-8x+3
24 convert 7/8 to decimal
"""


def test_a_word_file_of_exercises_becomes_a_filled_list(folder: Path) -> None:
    office.exercises(folder / "questions" / "midterm.docx")
    report = checked(folder)
    listed = read_list(folder)
    found = [
        f"{row.cells['item']} {row.cells.get('task', '')} {row.cells.get('problem', '-')}"
        for row in listed.rows
    ]

    assert found == EXERCISES.splitlines()
    cells = {row.cells["item"]: row.cells for row in listed.rows}
    assert (cells["7"]["method"], cells["8"]["method"]) == ("complete-square", "formula")
    assert (cells["1"]["topic"], cells["14"]["topic"]) == ("Quadratic equations", "Expressions")
    assert (cells["20"]["answer"], cells["20"]["options"]) == ("5 or -5", "5\n5 or -5\n25")
    assert cells["Factoring 2"]["computed"] == "3(x - 3)(x + 3)"
    assert cells["24"]["computed"] == "0.875"
    assert {name: one["status"] for name, one in cells.items() if one["status"] != "sure"} == {
        "21": "cannot"
    }
    assert any("21 is no question yet: it holds a picture" in one for one in report.problems)
    assert [one.task for one in read_course(folder).items].count("skip") == 2


def test_a_lettered_title_is_a_heading_and_an_instruction_holds_below_it() -> None:
    rows = of_text(
        "A. Linear Equations\nSolve for x.\n1. 2x + 3 = 7\n"
        "B. Quadratic Equations\n2. Solve x^2 = 9\n"
    )

    assert column(rows, "item") == ["1", "2"]
    assert column(rows, "topic") == ["Linear Equations", "Quadratic Equations"]
    assert column(rows, "problem") == ["2x + 3 = 7", "x^2 = 9"]
    assert [row.status for row in rows] == ["sure", "sure"]


def test_lettered_titles_in_a_row_stay_options() -> None:
    (row,) = of_text("1. Solve x + 1 = x.\nA. No Solution\nB. All Real Numbers\n")

    assert row.cells["options"] == "No Solution\nAll Real Numbers"


def test_equations_on_lines_of_their_own_are_a_system() -> None:
    rows = of_text("1. Solve the system.\n2x + y = 7\nx - y = 2\n2. Solve the equation\n2x = 8\n")

    assert column(rows, "problem") == ["2x + y = 7; x - y = 2", "2x = 8"]


def test_a_chain_of_equations_is_no_question_yet() -> None:
    (row,) = of_text("1. Solve 2x + y = 7 x - y = 2")

    assert row.status == "cannot"


def test_true_or_false_takes_the_key_of_its_source_and_an_open_stem_takes_its_options() -> None:
    judged, choice = of_text(
        "1. T / F : (x + 3)^2 = x^2 + 9\nAnswer: F\n"
        "2. The slope of y = -4x + 1 equals (a) 4 (b) -4 (c) 1/4 (d) -27\n"
    )

    assert (judged.cells["task"], judged.cells["answer"]) == ("choice", "false")
    assert (choice.cells["task"], choice.cells["answer"], choice.status) == ("choice", "-4", "sure")


def test_a_part_may_speak_of_another_part() -> None:
    rows = of_text("2. (a) Solve x^2 - 4 = 0. (b) Use your answer to part (a) to solve 2x = 4.")

    assert column(rows, "problem") == ["x^2 - 4 = 0", "2x = 4"]


def test_a_second_draft_adds_nothing_and_changes_nothing(folder: Path) -> None:
    office.exercises(folder / "questions" / "midterm.docx")
    checked(folder)
    before = (folder / "items.xlsx").read_bytes()
    report = checked(folder)

    assert report.drafts == ()
    assert (folder / "items.xlsx").read_bytes() == before


def test_what_a_person_wrote_stays_and_new_questions_go_below(folder: Path) -> None:
    book = load_workbook(folder / "items.xlsx")
    book["items"]["A2"], book["items"]["B2"] = "mine", "roots"
    book["items"]["C2"], book["items"]["D2"] = "solve", "x^2 = 9"
    book.save(folder / "items.xlsx")
    text = "1. Solve x^2 = 9.\n2. Factor x^2 - 9.\n"
    (folder / "questions" / "quiz.txt").write_text(text, encoding="utf-8")
    checked(folder)
    listed = read_list(folder).rows

    assert [row.cells["item"] for row in listed] == ["mine", "2"]
    assert listed[0].cells["computed"] == "−3 or 3"
    assert "status" not in listed[0].cells
    assert (listed[1].line, listed[1].cells["status"]) == (3, "sure")


def test_rows_are_appended_to_a_list_in_text_too(folder: Path) -> None:
    (folder / "items.xlsx").unlink()
    mine = 'item;topic;task;problem;notes\nmine;roots;solve;"x^2 = 9";"keep; this"\n'
    (folder / "items.csv").write_text(mine, encoding="utf-8")
    (folder / "questions" / "q.md").write_text("3) Simplify $\\frac{6}{8}$\n", encoding="utf-8")
    checked(folder)
    with (folder / "items.csv").open(encoding="utf-8", newline="") as stream:
        header, first, second = csv.reader(stream, delimiter=";")

    assert header[:5] == ["item", "topic", "task", "problem", "notes"]
    assert first[:5] == ["mine", "roots", "solve", "x^2 = 9", "keep; this"]
    assert second[:4] == ["3", "q", "simplify", "6/8"] or second[:4][3] == "6/8"
    assert dict(zip(header, second, strict=True))["status"] == "sure"


def drafted_from(folder: Path, name: str, text: str) -> list[tuple[str, ...]]:
    (folder / "questions" / name).write_text(text, encoding="utf-8")
    checked(folder)
    names = ("item", "task", "problem", "status")
    return [tuple(row.cells.get(name, "") for name in names) for row in read_list(folder).rows]


def test_a_table_of_questions_in_markdown(folder: Path) -> None:
    """Tables as in the specification of GitHub Flavored Markdown, 4.10."""
    table = (
        "## Mixed\n\n| # | Question |\n|:--|---|\n| 1 | Factor x^2 - 9. |\n| 2 | Solve 2x = 8 |\n"
    )

    assert drafted_from(folder, "q.md", f"{table}\n3. Solve the equation:\n|x - 3| = |2x|\n") == [
        ("1", "factor", "x^2 - 9", "sure"),
        ("2", "solve", "2x = 8", "sure"),
        ("3", "solve", "|x - 3| = |2x|", "sure"),
    ]


def test_bold_numbers_and_titles_with_a_number(folder: Path) -> None:
    text = "algebra hw wk 6\n\n**1.** Solve each equation.\n\na) x^2 = 49\n\nb) x^2 - 5x = 0\n"

    assert drafted_from(folder, "q.md", text) == [
        ("1a", "solve", "x^2 = 49", "sure"),
        ("1b", "solve", "x^2 - 5x = 0", "sure"),
    ]


@pytest.mark.parametrize(("wording", "options", "right"), [
    ("Which of the following is a solution of x^2 - x - 12 = 0?", "3 4 -4 12", "4"),
    ("Which number is one root of x^2 = 9?", "9 3 81 18", "3"),
    ("Which number is one root of x^2 = 9?", "3 -3 81 18", ""),
    ("Which are the solutions of x^2 = 9?", "9 3 81 18", ""),
])  # fmt: skip
def test_the_option_that_is_one_solution(
    folder: Path, wording: str, options: str, right: str
) -> None:
    lines = [f"{letter}) {one}" for letter, one in zip("abcd", options.split(), strict=True)]
    drafted_from(folder, "q.txt", f"1. {wording}\n" + "\n".join(lines) + "\n")

    assert read_list(folder).rows[0].cells.get("answer", "") == right


def test_an_empty_course_says_what_can_be_drafted_and_how_to_begin(folder: Path) -> None:
    with pytest.raises(CourseError, match="put the questions into the folder `questions`"):
        checked(folder, write=False)
    (folder / "questions" / "q.txt").write_text("1. Solve 2x = 8\n", encoding="utf-8")
    report = checked(folder, write=False)

    assert isinstance(report, CheckReport)
    assert report.exit_code is ExitCode.NEEDS_A_LOOK
    assert "1 question found in questions/q.txt" in " ".join(report.lines())
    assert read_list(folder).rows == []


TEXT = """\
# Linear equations
Name: ________   Date: ________
For exercises 1-3, solve each equation.
1. 2x + 3 = 11
2. $\\frac{x}{2} = 7$
3. Factor 6x + 9
Factoring
Factor completely.
4) x^2 - 25
5) 2x^2 - 8
Answer: 2(x - 2)(x + 2)
6. Given f(x) = x^2 + 1:
a) find f(3)
b) find f(a)
7. What is the slope of the line through (1, 2) and (3, 8)?
A) 2
B) 3
C) 6
Key: B
8. A rectangle is 3 feet longer than it is wide and has an area of 70 square feet. Find its width.
9. Solve x^2 = 16
Answer: 4
10. Explain why 0 has no reciprocal.
"""


def test_plain_text_with_headings_instructions_parts_options_and_keys() -> None:
    rows = of_text(TEXT)

    assert [
        (row.cells["item"], row.cells.get("task", ""), row.cells.get("problem", ""), row.status)
        for row in rows
    ] == [
        ("1", "solve", "2x + 3 = 11", "sure"),
        ("2", "solve", "x/2 = 7", "sure"),
        ("3", "factor", "6x + 9", "sure"),
        ("4", "factor", "x^2 - 25", "sure"),
        ("5", "factor", "2x^2 - 8", "sure"),
        ("6a", "function", "f(x) = x^2 + 1; f(3)", "sure"),
        ("6b", "function", "f(x) = x^2 + 1; f(a)", "sure"),
        ("7", "choice", "(1, 2), (3, 8)", "sure"),
        ("8", "", "", "cannot"),
        ("9", "solve", "x^2 = 16", "look"),
        ("10", "skip", "", "sure"),
    ]
    assert column(rows, "topic")[:4] == ["Linear equations"] * 3 + ["Factoring"]
    assert rows[7].cells["answer"] == "3"
    assert rows[9].why == "the source gives the key 4, computed is −4 or 4"
    assert rows[9].cells["answer"] == "4"


@pytest.mark.parametrize(
    ("wording", "key"),
    [
        ("Find the larger root of x^2 - 5x + 6 = 0", "3"),
        ("Find the negative solution of x^2 = 49", "−7"),
        ("Find the sum of the roots of x^2 - 8x + 15 = 0", "8"),
        ("Solve the system x + y = 10, x - y = 4. What is x?", "7"),
        ("Find the y-intercept of y = 3x - 7", "−7"),
        ("Find the x-intercept of 2x - 3y = 12", "6"),
    ],
)
def test_the_key_is_that_of_what_is_asked(wording: str, key: str) -> None:
    (row,) = of_text(f"1. {wording}")

    assert (row.status, row.cells["computed"]) == ("sure", key)


@pytest.mark.parametrize(
    "line",
    [
        "4. Solve 2x + 3 = 11.  A) 3  B) 4  C) 5",
        "4. Solve 2x + 3 = 11. (a) 3 (b) 4 (c) 5",
        "4. Solve 2x + 3 = 11.\nA. 3  B. 4  C. 5",
    ],
)
def test_options_on_one_line_make_a_choice(line: str) -> None:
    (row,) = of_text(line)

    assert (row.cells["task"], row.cells["options"]) == ("choice", "3\n4\n5")
    assert (row.status, row.cells["answer"]) == ("sure", "4")


def test_a_sentence_may_end_in_one_of_its_options() -> None:
    (row,) = of_text("MC 5. If 9 - 3x < 21, then  A. x < -4  B. x > -4  C. x < 4  D. x > 10")

    assert row.cells["options"] == "x < -4\nx > -4\nx < 4\nx > 10"
    assert (row.cells["task"], row.cells["answer"]) == ("choice", "x > -4")


def test_a_claim_to_be_justified_is_asked_about_and_not_left_out() -> None:
    (row,) = of_text("6. True or false? sqrt(x^2 + 9) = x + 3 for all x > 0. Justify.")

    assert row.cells["options"] == "true\nfalse"
    assert row.status == "cannot"


@pytest.mark.parametrize(
    ("texts", "problems"),
    [
        (["Multiply 6(7)", "Simplify 2x - (5)", "Simplify sqrt(72)", "Solve 5x = 2(15)"],
         ["6(7)", "2x - (5)", "sqrt(72)", "5x = 2(15)"]),
        (["Solve 2x = 6 (2)", "Simplify sqrt(72) (3)", "Expand x(x + 1) (2)"],
         ["2x = 6", "sqrt(72)", "x(x + 1)"]),
        (["Solve 2x = 6 (2 pts)", "Expand 4(x + 1) [1 point]", "Multiply 3(5)"],
         ["2x = 6", "4(x + 1)", "3(5)"]),
    ],
)  # fmt: skip
def test_a_factor_in_brackets_at_the_end_is_told_from_points_possible(
    folder: Path, texts: list[str], problems: list[str]
) -> None:
    rows = [f'k{n},"{text}",{n}' for text in texts for n in range(8)]
    (folder / "exports" / "a.csv").write_text("\n".join(["Pupil,Question,Reply", *rows]))
    found, _ = questions_of_exports(folder)

    assert [asked_by(one.wording).problem for one in found] == problems


def test_parts_on_one_line_are_questions_of_their_own() -> None:
    rows = of_text("7. Let f(x) = 2x + 1. (a) f(2) (b) f(-1)")

    assert column(rows, "item") == ["7a", "7b"]
    assert column(rows, "computed") == ["5", "−1"]


@pytest.mark.parametrize("first", ["9. a) Factor x^2 - 9.", "9. (a) Factor x^2 - 9."])
def test_a_first_part_on_the_line_of_the_number_is_kept(first: str) -> None:
    rows = of_text(f"{first}\nb) Hence solve x^2 - 9 = 0.\n10. Solve 2x = 6.")

    assert column(rows, "item") == ["9a", "9b", "10"]
    assert column(rows, "computed") == ["(x - 3)(x + 3)", "−3 or 3", "3"]


def test_equations_to_choose_from_are_options_and_no_parts() -> None:
    (row,) = of_text("2. Which equation has no real solution?\na) x^2 = 9\nb) x^2 = -9\nAnswer: b")

    assert (row.cells["task"], row.cells["answer"]) == ("choice", "x^2 = -9")


@pytest.mark.parametrize("gap", ["3x + __ = 15", "(x + __)^2 = x^2 + 6x + 9"])
def test_a_gap_to_fill_in_is_no_equation_to_solve(gap: str) -> None:
    (row,) = of_text(f"3. Fill in: {gap}")

    assert row.status == "cannot"


@pytest.mark.parametrize(
    "text", ["1. Expand (a)(b + 2) + a", "1. Simplify 3a) b + 2", "(a) 5x = 3"]
)
def test_letters_of_formulas_are_no_options(text: str) -> None:
    assert all("options" not in row.cells for row in of_text(text))


BANK = """\
COLLEGE ALGEBRA - EXAM 2 REVIEW
Fall 2026
Part I. Multiple Choice. Choose the best answer.
1. The expression (x^3)^4 is equivalent to
A. x^7
*B. x^12
Part II. Short Answer. Show your work.
2. For the function y = x^2 - 2x - 8, find
   a) the vertex
   b) the y-intercept
3. Write the equation of the line in slope-intercept form.
In problems 4-5, factor completely.
4. 4x^2 - 36
BONUS: Solve 2x = 8.
5. True or False: The equation x^2 + 1 = 0 has no real solutions.
"""


def test_a_review_sheet_keeps_its_directions_apart_from_its_questions() -> None:
    rows = of_text(BANK)

    assert [
        (row.cells["item"], row.cells.get("task", ""), row.cells.get("problem", "")) for row in rows
    ] == [
        ("1", "choice", "(x^3)^4"),
        ("2a", "vertex", "y = x^2 - 2x - 8"),
        ("2b", "function", "f(x) = x^2 - 2x - 8; f(0)"),
        ("3", "", ""),
        ("4", "factor", "4x^2 - 36"),
        ("BONUS", "solve", "2x = 8"),
        ("5", "", "True or False: The equation x^2 + 1 = 0 has no real solutions."),
    ]
    assert set(column(rows, "topic")) == {"COLLEGE ALGEBRA - EXAM 2 REVIEW"}


PARTS = """\
Worksheet 3
Part A: Simplify
1. 3x + 2x - 4
Section 2 - Expanding
Expand.
2. (x + 3)^2
PART C. Solve by completing the square
3. x^2 + 6x = 7
Part D. Choose well. No calculator.
4. Factor x^2 - 9
"""


SHEET = """\
Quiz 3 - Complex numbers
Name ____________  Score ____ / 16
*60 minutes, no calculators.*
For Exercises 1-2, simplify each expression.
1. 3x + 2x
2. 4(x - 1)
In Exercises 3 and 4, multiply the complex numbers. Write your answer in the form a + bi.
3. (2 + 3i)(1 - i)
4. (4 - i)(4 + i)
"""


def test_what_a_sheet_says_of_itself_is_no_question_and_directions_end_with_their_range() -> None:
    rows = of_text(SHEET)

    assert column(rows, "item") == ["1", "2", "3", "4"]
    assert set(column(rows, "topic")) == {"Quiz 3 - Complex numbers"}
    assert [one.startswith("multiply") for one in column(rows, "wording")] == [False] * 2 + [
        True
    ] * 2


def test_the_title_of_a_part_is_the_topic_below_it_and_may_say_what_to_do() -> None:
    rows = of_text(PARTS)

    assert [(row.cells["topic"], row.cells["task"], row.status) for row in rows] == [
        ("Simplify", "simplify", "sure"),
        ("Expanding", "expand", "sure"),
        ("Solve by completing the square", "solve", "sure"),
        ("Solve by completing the square", "factor", "sure"),
    ]


def test_a_story_below_an_instruction_keeps_its_own_words() -> None:
    story = "A rectangle is 3 feet longer than it is wide and has an area of 70 square feet."
    rows = of_text(f"Each problem is worth 4 points.\nSimplify.\n1. 2x + 3x\n2. {story}")

    assert column(rows, "wording") == ["Simplify: 2x + 3x", story]


@pytest.mark.parametrize(
    ("inner", "typed"),
    [
        (office.over(office.run("x+1"), office.run("2")), "(x+1)/2"),
        (office.over(office.run("1"), office.run("2")) + office.run("x"), "(1/2)x"),
        (office.up(office.run("𝑥"), office.run("2")) + office.run("−4"), "x^2-4"),
        (office.up(office.fenced(office.run("2x")), office.run("-3")), "(2x)^(-3)"),
        (office.root(office.run("x+1")), "sqrt(x+1)"),
        (office.root(office.run("8"), office.run("3")), "cbrt(8)"),
        (office.root(office.run("x"), office.run("4")), "(x)^(1/4)"),
        (office.fenced(office.run("x-1"), "|", "|") + office.run("≤4"), "|x-1|<=4"),
        (office.call(office.run("ln"), office.run("x")), "ln(x)"),
        (office.call(office.low(office.run("log"), office.run("2")), office.run("8")), "log_2(8)"),
        (office.system(office.run("x+y=1"), office.run("x-y=2")), "x+y=1; x-y=2"),
        (office.up(office.run("x"), office.over(office.run("2"), office.run("3"))), "x^(2/3)"),
    ],
)
def test_office_mathematics_is_typed_out(inner: str, typed: str) -> None:
    assert typed_mathematics(office.equation(inner)) == typed


@pytest.mark.parametrize(
    ("inner", "said"),
    [
        ("<m:nary><m:e><m:r><m:t>x</m:t></m:r></m:e></m:nary>", "a sum, product or integral sign"),
        ("<m:m><m:mr><m:e><m:r><m:t>1</m:t></m:r></m:e></m:mr></m:m>", "a matrix"),
        ("<m:bar><m:e><m:r><m:t>x</m:t></m:r></m:e></m:bar>", "a bar over or under"),
    ],
)
def test_mathematics_that_no_problem_holds_is_named(inner: str, said: str) -> None:
    with pytest.raises(Unread, match=said):
        typed_mathematics(office.equation(inner))


W = 'xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main"'


@pytest.mark.parametrize(
    ("xml", "said"),
    [
        (f"<w:r {W}><w:object/></w:r>", "older editor"),
        (f"<w:r {W}><w:instrText>EQ \\f(1,2)</w:instrText></w:r>", "equation field"),
        (f"<w:r {W}><w:pict/></w:r>", "a picture"),
    ],
)
def test_equations_of_older_editors_are_left_to_a_person(
    tmp_path: Path, xml: str, said: str
) -> None:
    document = Document()
    paragraph = document.add_paragraph("1. Solve ")
    paragraph._p.append(office.parse_xml(xml))
    document.save(str(tmp_path / "a.docx"))
    (row,) = drafted(questions_in(word_lines(tmp_path / "a.docx", "a.docx"), "a.docx"), (), ())

    assert (row.status, "task" in row.cells) == ("cannot", False)
    assert said in row.why


def test_raised_text_is_an_exponent(tmp_path: Path) -> None:
    document = Document()
    paragraph = document.add_paragraph("Solve x")
    paragraph.add_run("2").font.superscript = True
    paragraph.add_run(" = 9.")
    document.save(str(tmp_path / "a.docx"))

    assert [line.text for line in word_lines(tmp_path / "a.docx", "a")] == ["Solve x^2 = 9."]


@pytest.mark.parametrize("content", [b"", b"no zip", b"PK\x03\x04broken"])
def test_a_broken_word_file_is_named(folder: Path, content: bytes) -> None:
    (folder / "questions" / "a.docx").write_bytes(content)
    with pytest.raises(InputError, match=r"a\.docx: cannot be opened as a Word file"):
        word_lines(folder / "questions" / "a.docx", "a.docx")

    assert "a.docx" in sources_in(folder).not_read[0]


def test_a_word_file_that_swells_is_refused_unread(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "a.docx", "w", zipfile.ZIP_DEFLATED) as archive:
        for number in range(3):
            archive.writestr(f"word/{number}.xml", b"\0" * (70 << 20))

    with pytest.raises(InputError, match="larger than 200 MB unpacked"):
        word_lines(tmp_path / "a.docx", "a.docx")


def test_entities_of_a_word_file_are_never_followed(tmp_path: Path) -> None:
    document = Document()
    document.add_paragraph("Solve x = 2")
    document.save(str(tmp_path / "whole.docx"))
    declared = b'<!DOCTYPE d [<!ENTITY e SYSTEM "file:///etc/hostname">]>'
    with (
        zipfile.ZipFile(tmp_path / "whole.docx") as whole,
        zipfile.ZipFile(tmp_path / "a.docx", "w") as archive,
    ):
        for name in whole.namelist():
            data = whole.read(name)
            if name == "word/document.xml":
                head, _, rest = data.partition(b"<w:document")
                data = head + declared + b"<w:document" + rest.replace(b"Solve", b"&e;Solve")
            archive.writestr(name, data)

    (line,) = word_lines(tmp_path / "a.docx", "a")

    assert (line.text, "never followed" in line.cannot) == ("", True)


QTI = """\
<assessmentItem xmlns="http://www.imsglobal.org/xsd/imsqti_v2p2" identifier="{id}" title="t"
  adaptive="false" timeDependent="false">
 <responseDeclaration identifier="R" cardinality="single" baseType="string">
  <correctResponse><value>{key}</value></correctResponse></responseDeclaration>
 <itemBody><p>{body}</p><p><textEntryInteraction responseIdentifier="R"/></p></itemBody>
</assessmentItem>"""


def test_a_package_of_items_gives_questions_with_keys(folder: Path) -> None:
    with zipfile.ZipFile(folder / "questions" / "bank.zip", "w") as archive:
        archive.writestr("a.xml", QTI.format(id="i-1", key="12", body="Solve x/3 + x/4 = 7."))
        archive.writestr("b.xml", QTI.format(id="i-2", key="4", body="Solve x^2 = 25."))
        archive.writestr("c.xml", QTI.format(id="i-3", key="x", body="Name the unknown of 3x."))
    rows = rows_of(folder)

    assert [(row.cells["item"], row.status) for row in rows] == [
        ("i-1", "sure"), ("i-2", "look"), ("i-3", "look"),
    ]  # fmt: skip
    assert "answer" not in rows[0].cells
    assert rows[1].cells["answer"] == "4"
    assert (rows[2].cells["task"], rows[2].cells["answer"]) == ("judge", "x")


WIDE = """\
Quiz 4,,,
Student,1. Solve x^2 = 49,2. Factor x^2 - 9,3. Graph y = x
ann,7,(x-3)(x+3),
bob,"7, -7",(x-3)^2,
"""


def test_headers_of_a_wide_sheet_that_ask_become_questions(folder: Path) -> None:
    (folder / "exports" / "quiz4.csv").write_text(WIDE, encoding="utf-8")
    rows = rows_of(folder)

    assert column(rows, "item") == ["1", "2", "3"]
    assert column(rows, "task") == ["solve", "factor", "skip"]
    assert column(rows, "topic") == ["quiz4"] * 3


def long_sheet(right: str, wrong: str) -> str:
    lines = ["student,question,answer"]
    for number in range(12):
        given = right if number < 6 else wrong
        lines += [f"s{number},1. Solve x^2 = 49,{given}", f"s{number},2. Factor x^2 - 9,x"]
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("name", ["IP address", "Address (x2)", "IP addresses"])
def test_a_column_of_addresses_is_no_question(folder: Path, name: str) -> None:
    text = f"Username,Question ID,Submission,{name}\nk1,q1,5,192.0.2.7\nk2,q1,6,192.0.2.9\n"
    (folder / "exports" / "log.csv").write_text(text)

    assert questions_of_exports(folder) == ([], [])


def test_cells_of_a_long_sheet_become_questions_held_against_the_answers(folder: Path) -> None:
    sheet = long_sheet('"7, -7"', "7")
    (folder / "exports" / "all.csv").write_text(sheet, encoding="utf-8")
    checked(folder)
    first, second = read_list(folder).rows

    assert (first.cells["item"], first.cells["status"]) == ("1", "sure")
    assert (second.cells["item"], second.cells["status"]) == ("2", "look")
    assert second.cells["why"].startswith("only 0 of 12 answers equal the computed")


def test_what_was_not_searched_is_said(folder: Path) -> None:
    names = ",".join(f"{number}. Solve {number}x = 6" for number in range(1, 2101))
    sheet = f"student,{names}\nann{',1' * 2100}\n"
    (folder / "exports" / "a.csv").write_text(sheet, encoding="utf-8")
    found = sources_in(folder)

    assert len(found.questions) == 1999
    assert found.not_read[0].startswith("exports/a.csv: 2,101 columns; questions were looked for")


def test_answers_are_never_taken_for_questions(folder: Path) -> None:
    sheet = "student,item,answer\nann,q1,x = 2\nbob,q1,x^2 = 4\ncy,q1,(x+1)(x-1)\n"
    (folder / "exports" / "a.csv").write_text(sheet, encoding="utf-8")

    assert rows_of(folder) == []


def test_errors_of_the_list_come_first_and_all_at_once(folder: Path) -> None:
    (folder / "items.xlsx").unlink()
    items = "item,topic,task,problem\n" + "".join(f"q{n},t,gibberish,x\n" for n in range(20))
    (folder / "items.csv").write_text(items, encoding="utf-8")
    report = checked(folder, write=False)
    short, whole = list(report.lines()), list(report.lines(whole=True))

    assert report.exit_code is ExitCode.WRONG_USE
    assert len(report.list_errors) == 20
    assert short[1] == "to mend in the list of questions:"
    assert len(short) < 40 < len(whole) + 20
    assert sum("gibberish" in line for line in whole) == 20


def test_a_title_above_the_header_of_a_workbook_is_passed_over(folder: Path) -> None:
    book = load_workbook(folder / "items.xlsx")
    sheet = book["items"]
    sheet.delete_rows(1, sheet.max_row)
    sheet.append(["Algebra questions"])
    sheet.append(["item", "topic", "task", "problem"])
    sheet.append(["1", "roots", "solve", "x^2 = 9"])
    book.save(folder / "items.xlsx")

    assert [item.id for item in read_course(folder).items] == ["1"]
    assert read_list(folder).header == 2


def test_messages_of_a_workbook_speak_of_no_delimiter(folder: Path) -> None:
    book = load_workbook(folder / "items.xlsx")
    sheet = book["items"]
    sheet.delete_rows(1, sheet.max_row)
    sheet.append(["problem"])
    sheet.append(["x^2 = 9", "3 or -3"])
    book.save(folder / "items.xlsx")

    with pytest.raises(CourseError) as raised:
        read_course(folder)
    assert "delimiter" not in str(raised.value)


@pytest.mark.parametrize(
    ("wording", "key"),
    [
        ("True or false: x = 4 is a solution of sqrt(x + 5) = x - 7", "false"),
        ("Is x = 2 a solution of 3x - 1 = 5?", "yes"),
        ("Is 3 a root of x^2 - 9 = 0?", "yes"),
        ("T/F: (x + 4)^2 = x^2 + 16 for all x", "false"),
        ("True or false: (a + b)^2 = a^2 + 2ab + b^2", "true"),
        ("True or false: (p - q)^2 = p^2 - q^2 for all real p and q", "false"),
        ("True or false? 2(x + 3) = 2x + 6", "true"),
        ("True or false: sqrt(x^2) = x", "false"),
        ("True or false: sqrt(a^2 + b^2) = a + b", None),
        ("True or false: the graph of y = x^2 opens up", None),
    ],
)
def test_a_claim_is_computed_where_it_can_be(wording: str, key: str | None) -> None:
    (row,) = of_text(f"1. {wording}")

    assert (row.cells.get("answer"), row.status) == (key, "sure" if key else "cannot")
    assert set(row.cells["options"].split("\n")) in ({"true", "false"}, {"yes", "no"})


def test_the_key_is_in_the_form_that_is_asked_for() -> None:
    rows = of_text(
        "1. What percent of 80 is 12?\n2. Condense: 2 log x + log y\n"
        "3. Write log_2(x^3/y) as a difference of logarithms.\n"
    )

    assert column(rows, "computed") == ["15%", "log(x²y)", "3log_2(x) − log_2(y)"]


def test_lines_beside_questions_are_no_part_of_them() -> None:
    rows = of_text(
        "Every problem is worth 4 points. Nothing on part B needs a calculator.\n"
        "A. Equations\n1. Solve 2x = 8\nOffice hour: Thursday 3-4.\n"
        "2. Solve x^2 = 2x\nand give the exact answers.\n"
        "C. Rational and Radical Expressions\nFor the last two, read carefully!\n"
        "3. Simplify 6/8\n4. Which is x^0?\n\u2610 0 \u2610 1 \u2610 x\n"
    )

    assert column(rows, "problem")[:3] == ["2x = 8", "x^2 = 2x", "6/8"]
    assert [row.cells.get("form") for row in rows[:2]] == [None, "exact"]
    assert column(rows, "topic") == ["Equations"] * 2 + ["Rational and Radical Expressions"] * 2
    assert rows[3].cells["options"] == "0\n1\nx"


def shown(number: str, wording: str, sheet: str = "answers.csv, line 1") -> SourceQuestion:
    return SourceQuestion(wording, sheet, number, shown_as=f"{number}. {wording}")


def test_a_sheet_of_answers_names_the_questions_of_its_worksheet() -> None:
    hidden = "it holds a picture"
    worksheet = [
        SourceQuestion("x^2 = 9", "w.docx", "1", "Solve."),
        SourceQuestion("2x = 8", "w.docx", "2", "Solve."),
        SourceQuestion("3x = 6", "w.docx", "3", "Solve."),
        SourceQuestion("", "w.docx", "4", "Solve.", cannot=hidden),
        SourceQuestion("", "w.docx", "5", "Solve.", cannot=hidden),
    ]
    sheet = [
        shown("1", "x² = 9"), shown("2", "2x = 8"), shown("3", "3x = 6"),
        shown("4", "5x = 20"), shown("5", "see the sheet"), shown("6", "7x = 7"),
    ]  # fmt: skip

    found = list(joined(worksheet, sheet))

    assert [(one.id, one.shown_as, bool(one.cannot)) for one in found] == [
        ("1", "1. x² = 9", False), ("2", "2. 2x = 8", False), ("3", "3. 3x = 6", False),
        ("4", "4. 5x = 20", False), ("5", "5. see the sheet", True), ("6", "6. 7x = 7", False),
    ]  # fmt: skip


def test_a_sheet_of_other_questions_is_no_sheet_of_the_worksheet() -> None:
    worksheet = [SourceQuestion(f"{n}x = 8", "w.docx", str(n), "Solve.") for n in range(1, 5)]
    sheet = [shown(str(n), f"x^2 = {n}") for n in range(1, 5)]

    assert list(joined(worksheet, sheet)) == [*worksheet, *sheet]


def test_a_draft_that_waits_keeps_the_answers_under_its_name(folder: Path) -> None:
    (folder / "questions" / "quiz.txt").write_text(
        "1. Solve 2x = 8\n2. A gym charges $40 once and $25 a month. When is the total $340?\n",
        encoding="utf-8",
    )
    (folder / "exports" / "a.csv").write_text(
        "student,item,answer\nA1,1,4\nA1,2,12\n", encoding="utf-8"
    )

    report = checked(folder)

    assert report.unlisted == {}
    assert [item.task for item in read_course(folder).items] == ["solve", "skip"]


def test_keys_at_the_end_of_a_sheet_are_held_against_what_is_computed() -> None:
    rows = of_text(
        "1. Solve 2x = 8\n2. Factor x^2 - 9\n3. How many legs has a table?\n"
        "Answer Key\n1. 4\n2. (x - 3)(x + 1)\n3. 4\n9. 7\n"
    )

    assert column(rows, "item") == ["1", "2", "3"]
    assert [row.status for row in rows] == ["sure", "look", "look"]
    assert rows[1].cells["answer"] == "(x - 3)(x + 1)"
    assert (rows[2].cells["task"], rows[2].cells["answer"]) == ("judge", "4")


def test_a_story_goes_on_and_an_instruction_behind_it_does_not() -> None:
    rows = of_text(
        "Name: ____ Review Sheet\n1. A pool is 4 feet longer than it is wide, and 96 square feet.\n"
        "Find its width.\nSimplify each expression. Leave no negative exponents.\n2. (x^2 y^-3)^2\n"
        "**Solve.**\n3. x/4 = 2\n"
    )

    assert rows[0].cells["wording"].endswith("Find its width.")
    assert column(rows, "task") == ["", "simplify", "solve"]
    assert rows[1].cells["form"] == "simplified+positive-exponents"
    assert column(rows, "topic") == ["Review Sheet"] * 3
