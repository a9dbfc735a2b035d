"""Working to print holds what it shows: right lines follow, wrong ones fail by their pattern."""

from __future__ import annotations

import json
import re

import pytest

from pipeline.patterns.catalogue import catalogue, moves, pattern_of
from pipeline.patterns.registry import Pattern
from pipeline.procedures.equations import equation_of
from pipeline.procedures.walk import Walk, faulty_outcomes
from pipeline.records import Request, Verdict
from pipeline.run.course_frames import WORKED_EXAMPLES
from pipeline.tagging.examine import examine
from pipeline.tasks.catalogue import TASKS, plans, read_problem
from tests.patterns.showing import Worked, worked

EXAMPLES = json.loads(WORKED_EXAMPLES.read_text("utf-8"))
"""What is printed, kept beside the catalogue; `test_catalogue.py` holds it to what is worked."""


def of_degree_two(text: str) -> bool:
    problem = read_problem(text)
    if len(problem.relations) != 1 or problem.is_inequality:
        return False
    return equation_of(problem.relations[0], problem.letter) is not None


ALL = [
    (one, Worked(told["example_problem"], told["example_right_work"], told["example_wrong_work"]))
    for one in catalogue()
    if (told := EXAMPLES[one.id])["example_wrong_work"]
]


def task_of(declared: Pattern, shown: Worked) -> str:
    return next(one.task for one in declared.shows if one.problem == shown.problem)


EQUATIONS = [pair for pair in ALL if task_of(*pair) == "solve"]
EXPRESSIONS = [
    (declared, shown)
    for declared, shown in ALL
    if TASKS[task_of(declared, shown)].of_expression
    if not re.search(
        r"l(n|og)\(| or ", " ".join(shown.wrong)
    )  # such lines are not checked by value
]
WORKED = [pair for pair in EQUATIONS if of_degree_two(pair[1].problem)]
SYSTEMS = [pair for pair in EQUATIONS if ";" in pair[1].problem and pair[1].wrong[2:]]


def named(value: object) -> str:
    return value.id if isinstance(value, Pattern) else ""


@pytest.mark.parametrize(("declared", "shown"), [*WORKED, *SYSTEMS], ids=named)
def test_right_lines_follow(declared: Pattern, shown: Worked) -> None:
    numbers = "complex" if "i" in shown.right[-1] and "no" not in shown.right[-1] else "real"
    asked = Request("solve", shown.problem, shown.right[-1], numbers=numbers)  # type: ignore[arg-type]
    assert examine(asked).verdict is Verdict.RIGHT, shown.right

    work = "\n".join(shown.right)
    found = examine(Request("solve", shown.problem, shown.right[-1], work=work))
    assert found.first_wrong_line == 0, shown.right


@pytest.mark.parametrize(("declared", "shown"), [*WORKED, *SYSTEMS], ids=named)
def test_wrong_lines_go_wrong_by_the_pattern(declared: Pattern, shown: Worked) -> None:
    found = examine(Request("solve", shown.problem, shown.wrong[-1], work="\n".join(shown.wrong)))

    assert found.first_wrong_line, shown.wrong
    assert found.first_wrong_line > 1
    assert declared.id in {one.id for one in found.patterns}, shown.wrong


def first_wrong(declared: Pattern, shown: Worked, lines: tuple[str, ...]) -> int | None:
    task = task_of(declared, shown)
    # Over the complex numbers ln(x) + ln(y) = ln(xy) does not hold.
    numbers = "real" if re.search(r"\bl(n|og)\b", shown.problem) else "complex"
    asked = Request(task, shown.problem, lines[-1], numbers=numbers, work="\n".join(lines[1:]))  # type: ignore[arg-type]

    return examine(asked).first_wrong_line


@pytest.mark.parametrize(("declared", "shown"), EXPRESSIONS, ids=named)
def test_only_the_faulty_line_of_an_expression_is_wrong(declared: Pattern, shown: Worked) -> None:
    assert first_wrong(declared, shown, shown.right) in (0, None)
    assert first_wrong(declared, shown, shown.wrong) == 1


def test_an_expression_shows_the_step_that_goes_wrong() -> None:
    shown = worked(pattern_of("minus-before-bracket-ignored"))

    assert shown is not None
    assert shown.wrong == ("(5x + 2) − (3x − 4)", "5x + 2 + 3x − 4", "8x − 2")
    assert shown.right == ("(5x + 2) − (3x − 4)", "2x + 6")


def test_most_errors_are_shown_in_working() -> None:
    assert len(ALL) >= 250


def test_no_answer_jumps_over_lines_that_the_right_working_has() -> None:
    """Below a right line stands a wrong answer only where the right one is a step away, too."""
    for _, shown in EQUATIONS:
        assert shown.wrong[-2] not in shown.right[:-2], shown.wrong

    assert worked(pattern_of("square-joined-with-first-power")) is None


class Counting(Walk):
    """A run that notes how many steps were done before its last line."""

    before_last_line = 0

    def write(self, *line: object) -> None:
        super().write(*line)
        self.before_last_line = self.count


@pytest.mark.parametrize(("declared", "shown"), EQUATIONS, ids=named)
def test_no_line_hides_the_fault(declared: Pattern, shown: Worked) -> None:
    """Where all lines above a wrong answer are right, the fault was made below the last of them."""
    if shown.wrong[:-1] != shown.right[:-1]:
        return
    problem = read_problem(shown.problem)
    for plan in plans(problem):
        run = Counting().through(plan.procedure, plan.start)
        faults = [
            place
            for place, step in enumerate(run.log)
            if any(
                declared.id == one.id
                for faults in faulty_outcomes(step, moves).values()
                for one in faults
            )
        ]
        if faults and len(run.lines) + 2 >= len(shown.wrong) > 2:
            assert faults[-1] >= run.before_last_line, shown.wrong


def test_the_formula_shows_what_is_wrong_in_it() -> None:
    lines = {
        "divided-by-a": "x = (−8 ± √16)/2",
        "denominator-of-formula-left-out": "x = −5 ± √9",
        "discriminant-not-rooted": "x = (11 ± 217)/8",
    }
    for identifier, line in lines.items():
        shown = worked(pattern_of(identifier))

        assert shown is not None
        assert shown.wrong[1] == line


def test_the_lines_of_a_system_are_in_its_letters() -> None:
    shown = worked(pattern_of("scaled-left-side-only"))

    assert shown is not None
    assert shown.wrong[1:-1] == ("4x + 2y = 5", "7x = 9", "x = 9/7", "y = 17/7")


def test_a_choice_among_numbers_is_no_line() -> None:
    assert worked(pattern_of("boundary-picked-as-solution")) is None


def test_lines_are_those_of_the_procedure() -> None:
    shown = worked(pattern_of("half-not-squared"))

    assert shown is not None
    assert shown.wrong == (
        "x² + 10x = 11",
        "(x + 5)² = 16",
        "x + 5 = 4 or x + 5 = −4",
        "x = −9 or x = −1",
    )


def test_the_formula_is_written_out() -> None:
    shown = worked(pattern_of("minus-b-not-negated"))

    assert shown is not None
    assert "x = (−8 ± √48)/8" in shown.wrong


def test_tasks_without_equations_show_the_step_that_goes_wrong() -> None:
    shown = worked(pattern_of("vertex-b-not-negated"))

    assert shown is not None
    assert shown.wrong == ("y = 2x^2 + 16x - 5", "axis: 4", "(4, 91)")
    assert shown.right == ("y = 2x^2 + 16x - 5", "axis: −4", "(−4, −37)")
    assert worked(pattern_of("halved-after-squaring")) is None


STEPS = [
    (declared, shown)
    for declared, shown in ALL
    if len(shown.wrong) == 3 and re.match(r"[a-z ]+: ", shown.wrong[1])
]


@pytest.mark.parametrize(("declared", "shown"), STEPS, ids=named)
def test_a_step_alone_leads_from_the_question_to_both_answers(
    declared: Pattern, shown: Worked
) -> None:
    task = task_of(declared, shown)
    right, wrong = (
        examine(Request(task, shown.problem, lines[-1])) for lines in (shown.right, shown.wrong)
    )

    assert right.verdict in (Verdict.RIGHT, Verdict.RIGHT_OTHER_FORM)
    assert declared.id in {one.id for one in wrong.patterns}
    assert shown.right[1] != shown.wrong[1]


@pytest.mark.parametrize(
    ("identifier", "substitute"),
    [("substitute-undone-the-wrong-way", "u = x²"), ("negative-square-root-value-kept", "u = √x")],
)
def test_lines_about_a_substitute_are_in_its_letter(identifier: str, substitute: str) -> None:
    shown = worked(pattern_of(identifier))

    assert shown is not None
    for lines in (shown.right, shown.wrong):
        assert lines[1] == substitute
        assert not any("x" in line for line in lines[2:-1])


@pytest.mark.parametrize(("declared", "shown"), WORKED, ids=named)
def test_wrong_lines_go_wrong_once(declared: Pattern, shown: Worked) -> None:
    """What comes after the faulty step follows from it."""
    whole = Request("solve", shown.problem, shown.wrong[-1], work="\n".join(shown.wrong))
    first = examine(whole).first_wrong_line or 0
    tail = shown.wrong[first - 1 :]
    numbers = "complex" if "i" in tail[-1] and "no" not in tail[-1] else "real"
    found = examine(Request("solve", tail[0], tail[-1], work="\n".join(tail), numbers=numbers))  # type: ignore[arg-type]

    # Branches joined by "or" are no question; the check of working holds those.
    assert found.verdict in (Verdict.RIGHT, Verdict.RIGHT_OTHER_FORM, Verdict.NO_KEY), shown.wrong
    assert not found.first_wrong_line, shown.wrong
