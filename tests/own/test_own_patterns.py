"""A course's own patterns: formulas in the problem's numbers, held and followed exactly."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook

from pipeline.check import check_course
from pipeline.cli import main
from pipeline.course import read_course
from pipeline.course.keep_map import keep_patterns
from pipeline.course.keyfile import write_key
from pipeline.course.read import own_patterns
from pipeline.errors import CourseError, ExitCode
from pipeline.records import OwnPattern, Request, Verdict
from pipeline.tagging.examine import examine
from pipeline.tagging.own_patterns import fault_of_formula, own_predictions

ITEMS = "item,topic,task,problem\nq1,roots,solve,x^2 = 4\n"
BLOCK = """
[[patterns]]
id = "{id}"
sentence = "Takes all of b."
task = "{task}"
wrong = {wrong}
"""


def own(task: str, *wrong: str, name: str = "own-one") -> OwnPattern:
    return OwnPattern(name, "Does something else.", task, wrong)


def names(request: Request, *rules: OwnPattern) -> list[str]:
    return [one.id for one in examine(request, rules).patterns]


@pytest.mark.parametrize(
    ("task", "formula", "problem", "answer"),
    [
        ("solve", "-b/a, b/a", "2y^2 + 3y = 5", "-1.5, 1.5"),
        ("solve", "(-b ± sqrt(b^2 + 4ac))/(2a)", "x^2 - 4x + 2 = 0", "2 + sqrt(6), 2 - sqrt(6)"),
        ("solve", "b/a", "3n - 12 = 0", "-4"),
        ("solve", "no solution", "x^2 = 9", "no solution"),
        ("square-constant", "b^2", "x^2 + 6x", "36"),
        ("discriminant", "b^2 - ac", "2x^2 + 3x - 5 = 0", "19"),
        ("vertex", "(b/(2a), c)", "y = x^2 + 6x + 1", "(3, 1)"),
        ("evaluate", "(p + r)/(q + s)", "3/4 + 2/5", "5/9"),
        ("evaluate", "p - q", "7 - 3", "10"),
        ("expand", "a x^2 + c", "(t - 3)^2", "t^2 + 9"),
        ("discriminant", "four_a_c in discriminant: 3*a*b", "2x^2 - 7x + 3 = 0", "31"),
        ("solve", "square in completing the square: 3*a", "x^2 + 10x = 11", "-5 ± sqrt(26)"),
        ("solve", "write_down: -r", "2y + 3 = 11", "-4"),
        ("expand", "(a + b)^c in expand: a^c + b", "(t + 3)^2", "t^2 + 3"),
        ("translate", "a + b in answer: a*b", "seven more than a number: x + 7", "7x"),
        ("simplify", "a^b/c^d: a^(b/d)", "(6x^8)/(2x^2)", "3x^4"),
        ("judge", "-k", "What is the slope of y = 3x - 4?", "-3"),
        ("judge", "q", "What is the slope of y = 3x - 4?", "-4"),
        ("choice", "q", "Slope of y = 3x - 4", "-4"),
    ],
)
def test_a_formula_predicts_its_value(task: str, formula: str, problem: str, answer: str) -> None:
    rule = own(task, formula)
    request = Request(task, problem, answer, key="3" if task in ("judge", "choice") else None)
    keys = [one.key for one in own_predictions([rule], request)]

    assert len(keys) == 1
    if task != "choice":
        found = examine(request, [rule])
        assert found.verdict is Verdict.WRONG
        assert found.value_key in keys or "own-one" in [one.id for one in found.patterns]
        assert "own-one" in [one.id for one in found.patterns]


@pytest.mark.parametrize(
    ("task", "formula", "problem", "answer"),
    [
        ("solve", "-b/a, b/a", "2y^2 + 3y = 5", "-1.5"),
        ("solve", "c", "3n - 12 = 0", "-12"),
        ("solve", "-b/(a - 1)", "x^2 + 6x = 16", "6"),
        ("square-constant", "b^2", "x^2 + 6x", "35"),
        ("evaluate", "t", "7 - 3", "4"),
        ("discriminant", "four_a_c in vertex: 3*a*b", "2x^2 - 7x + 3 = 0", "31"),
        ("discriminant", "four_a_c in discriminant: r", "2x^2 - 7x + 3 = 0", "25"),
        ("expand", "(a + b)^c in expand: a^c + b", "2(t + 3)", "2t + 3"),
        ("translate", "a + b in answer: b + a", "seven more than a number: x + 7", "x + 7"),
        ("judge", "w", "What is the slope of y = 3x - 4?", "-4"),
        ("expand", "a x^2 + c", "(t - 3)(s + 1)", "t^2 + 9"),
    ],
)
def test_it_stays_silent(task: str, formula: str, problem: str, answer: str) -> None:
    """Another value; a number that is not there; a division by zero; several letters."""
    request = Request(task, problem, answer, key="3" if task == "judge" else None)

    assert "own-one" not in names(request, own(task, formula))


@given(st.integers(-9, 9).filter(bool), st.integers(-20, 20).filter(bool))
def test_a_formula_that_gives_the_right_answer_predicts_nothing(a: int, b: int) -> None:
    request = Request("solve", f"{a}x + {b} = 0".replace("+ -", "- "), "")

    assert own_predictions([own("solve", "-b/a")], request) == ()
    assert len(own_predictions([own("solve", "-b/a", "b/a")], request)) == 1


@given(st.integers(-20, 20), st.integers(-20, 20))
def test_no_right_answer_ever_carries_an_own_tag(first: int, second: int) -> None:
    rules = [
        own("evaluate", formula, name=f"own-{n}")
        for n, formula in enumerate(("p+q", "pq", "p-q", "q"))
    ]
    problem = f"({first}) * ({second})"
    found = examine(Request("evaluate", problem, str(first * second)), rules)

    assert found.verdict is Verdict.RIGHT
    assert found.patterns == ()


def test_all_formulas_must_be_there() -> None:
    request = Request("solve", "3n - 12 = 0", "-4")

    assert own_predictions([own("solve", "b/a", "c/a")], request) == ()


def test_shares_sum_to_one_beside_the_catalogue() -> None:
    found = examine(Request("evaluate", "3/4 + 2/5", "5/9"), [own("evaluate", "(p+r)/(q+s)")])
    ids = [one.id for one in found.patterns]

    assert ids[:2] == ["fractions-added-across", "own-one"]
    assert found.patterns[0].share == pytest.approx(found.patterns[1].share)
    assert sum(one.share for one in found.patterns) + (found.unexplained or 0) == pytest.approx(1)
    assert found.patterns[1].says == "Does something else."


@pytest.mark.parametrize(
    "formula",
    [
        "",
        "foo(a)",
        "z + 1",
        "a +* b",
        "__import__('os')",
        "lambda: 1",
        "a;b;c =",
        "exec(a)",
        "halve: 2*a",
        "half in a hurry: 2*a",
        "half: z",
        "half: 2*(",
        "(a +: b",
        "half:",
    ],
)
def test_a_formula_that_cannot_be_read_is_refused(formula: str) -> None:
    assert fault_of_formula(formula)


@given(st.text(max_size=40))
def test_any_text_is_taken_or_refused(text: str) -> None:
    assert fault_of_formula(text) is None or isinstance(fault_of_formula(text), str)


def folder(tmp_path: Path, settings: str, items: str = ITEMS) -> Path:
    (tmp_path / "items.csv").write_text(items, encoding="utf-8")
    (tmp_path / "course.toml").write_text(settings, encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize(
    ("fields", "told"),
    [
        ({"wrong": '"b^^2"'}, r"course.toml, line 6: `wrong` of the pattern forgot-half is b\^\^2"),
        ({"wrong": '["b", "m + 1"]'}, r"m \+ 1; expected a formula .* the letter m stands for no"),
        ({"wrong": '""'}, r"line 6: `wrong` .* expected the wrong answer as a formula"),
        ({"task": "sovle"}, r"line 5: `task` in patterns is sovle.*Did you mean `solve`"),
        ({"task": "skip"}, r"`task` in patterns is skip"),
        ({"id": "half-not-squared"}, r"line 3: `id` .* an id that the catalogue has not"),
        ({"id": "Forgot Half"}, r"small letters and hyphens"),
    ],
)
def test_errors_say_where_what_and_the_way_out(
    tmp_path: Path, fields: dict[str, str], told: str
) -> None:
    block = {"id": "forgot-half", "task": "square-constant", "wrong": '"b^2"', **fields}

    with pytest.raises(CourseError, match=told):
        read_course(folder(tmp_path, BLOCK.format(**block)))


def test_an_option_and_a_lesson_name_known_errors_only(tmp_path: Path) -> None:
    block = BLOCK.format(id="forgot-half", task="choice", wrong='"b^2"')
    options = "item,topic,task,problem,answer,options\nq1,t,choice,Which?,4,4 | 36 => {}\n"
    course = read_course(folder(tmp_path, block, options.format("forgot-half")))

    assert course.items[0].options[1].pattern == "forgot-half"
    with pytest.raises(CourseError, match=r"line 2.*'36' is forgot-haf.*Did you mean forgot-half"):
        read_course(folder(tmp_path, block, options.format("forgot-haf")))
    lesson = '[[lessons]]\ndate = 2026-01-12\ntitle = "T"\npatterns = ["half-not-squard"]\n'
    with pytest.raises(CourseError, match=r"lessons.*Did you mean half-not-squared"):
        read_course(folder(tmp_path, lesson))


def test_check_names_own_patterns_that_no_question_can_show(tmp_path: Path) -> None:
    write_key(tmp_path / "pseudonym.key")
    (tmp_path / "exports").mkdir()
    blocks = BLOCK.format(id="own-shown", task="solve", wrong='"c"')
    blocks += BLOCK.format(id="own-idle", task="vertex", wrong='"(b, c)"')
    report = "\n".join(check_course(folder(tmp_path, blocks)).lines())

    assert "no question can show your own: own-idle" in report
    assert "own-shown" not in report


def test_patterns_lists_those_of_the_course_it_is_called_in(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder(tmp_path, BLOCK.format(id="forgot-half", task="square-constant", wrong='"b^2"'))
    monkeypatch.chdir(tmp_path)

    assert main(["patterns"]) == ExitCode.DONE
    assert "of this course\n  forgot-half: Takes all of b." in capsys.readouterr().out
    assert main(["patterns", "forgot-half"]) == ExitCode.DONE
    assert "square-constant: b^2" in capsys.readouterr().out


def test_a_template_without_its_number_signs_is_a_legal_pattern(tmp_path: Path) -> None:
    template = files("pipeline.course").joinpath("templates/course.toml").read_text("utf-8")
    lines = template.splitlines()
    start = lines.index("# [[patterns]]")
    block = "\n".join(line.removeprefix("# ") for line in lines[start : start + 5])
    course = read_course(folder(tmp_path, block))

    assert [one.wrong for one in course.patterns] == [("b^2",)]


@pytest.mark.parametrize("file", ["course.toml", "course.xlsx"])
def test_an_error_named_on_the_sheet_is_written_where_the_settings_stand(
    tmp_path: Path, file: str
) -> None:
    if file == "course.xlsx":
        book = Workbook()
        book.active.title = "course"
        book.active.append(["title"])
        book.active.append(["Small"])
        book.save(tmp_path / file)
    else:
        (tmp_path / file).write_text('title = "Small"  # stays\n', encoding="utf-8")
    settings = {
        "id": "three-for-four", "sentence": "Takes three.", "task": "discriminant",
        "step": "four_a_c", "instead": "3*a*b",
    }  # fmt: skip

    assert keep_patterns(tmp_path, [settings]) == file
    (found,) = own_patterns(tmp_path)
    assert found.wrong == ("four_a_c: 3*a*b",)
