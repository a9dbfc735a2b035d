"""Questions to check: what they tell apart, and what must never be offered.

Expected answers are worked out by hand; the errors are described under their ids in the catalogue.
"""

from __future__ import annotations

import pytest
import sympy
from sympy.parsing.sympy_parser import (
    convert_xor,
    implicit_multiplication_application,
    parse_expr,
    standard_transformations,
)

from pipeline.patterns.catalogue import pattern_of
from pipeline.records import OwnPattern, Request, Verdict
from pipeline.tagging.examine import examine
from pipeline.tagging.other_numbers import with_other_numbers
from pipeline.tagging.telling_apart import (
    CheckQuestion,
    CourseQuestion,
    Wanted,
    check_questions,
)

SQUARE = CourseQuestion("q1", "solve", "(x - 4)^2 = 25", asked=True)
PRODUCT = CourseQuestion("q2", "solve", "(x + 2)(x + 6) = 12", asked=True)
POWER = CourseQuestion("q3", "simplify", "(3x^7)^2", asked=True)
ROOTS = CourseQuestion("q4", "solve", "x^2 = 9")
LOST = CourseQuestion("q5", "solve", "x^2 + 7x = 0")
MET = frozenset({SQUARE.problem, PRODUCT.problem, POWER.problem})
CASES = [
    (Wanted(("plus-minus-dropped",), ("shift-moved-same-sign",)), SQUARE),
    (Wanted(("zero-product-with-nonzero",), ("factoring-sign-slip",)), PRODUCT),
    (Wanted(("coefficient-left-out-of-power",), ("exponents-multiplied-in-product",)), POWER),
]


def offered(wanted: Wanted, *questions: CourseQuestion) -> tuple[CheckQuestion, ...]:
    return check_questions(wanted, questions, MET)


@pytest.mark.parametrize(("wanted", "source"), CASES)
def test_the_answer_beside_a_question_is_explained_by_the_error_it_stands_for(
    wanted: Wanted, source: CourseQuestion
) -> None:
    """The judge of typed answers, which knows nothing of the search, is asked about each."""
    found = offered(wanted, source)

    assert found
    for one in found:
        right, first, *_ = one.meanings
        judged, told = (
            examine(Request(one.task, one.problem, typed.answer)) for typed in (right, first)
        )
        assert judged.verdict in (Verdict.RIGHT, Verdict.RIGHT_OTHER_FORM)
        assert told.verdict is Verdict.WRONG
        singles = {names.faults for names in told.patterns if len(names.faults) == 1}
        slips = {one for one in singles if pattern_of(one[0]).general}
        assert singles - slips == {(name,) for name in first.errors}
        assert not set(first.errors) & set(wanted.others)


@pytest.mark.parametrize(("wanted", "source"), CASES)
def test_every_error_that_leads_to_an_answer_stands_beside_it(
    wanted: Wanted, source: CourseQuestion
) -> None:
    """However rare it is in the class: the judge lays the answer to it as well."""
    for one in offered(wanted, source):
        for typed in one.meanings[1:]:
            told = examine(Request(one.task, one.problem, typed.answer))
            singles = {p.faults[0] for p in told.patterns if len(p.faults) == 1}
            assert {name for name in singles if not pattern_of(name).general} == set(typed.errors)


@pytest.mark.parametrize(("wanted", "source"), CASES)
def test_nothing_is_offered_that_was_asked_while_another_question_serves(
    wanted: Wanted, source: CourseQuestion
) -> None:
    found = offered(wanted, source)

    assert {one.standing for one in found} == {"varied"}
    assert not {one.problem for one in found} & MET
    assert len({one.problem for one in found}) == len(found)


def test_a_new_question_of_the_course_comes_before_one_with_other_numbers() -> None:
    new = CourseQuestion("q9", "solve", "(x - 3)^2 = 49")

    assert offered(CASES[0][0], SQUARE, new)[0][:2] == ("q9", "(x - 3)^2 = 49")


def test_an_asked_question_is_the_last_resort_and_said_to_be_one() -> None:
    """Words are never varied: a story has other numbers only with other words."""
    story = CourseQuestion("q8", "solve", "(x - 4)^2 = 25; keep x > 0", asked=True)
    found = offered(Wanted(("shift-moved-same-sign",), ()), story)

    assert {one.standing for one in found} <= {"asked"}


@pytest.mark.parametrize(
    ("error", "others", "source"),
    [
        pytest.param("vertex-sign-kept", (), SQUARE, id="an error of another task"),
        pytest.param("plus-minus-dropped", (), POWER, id="an expression has no second root"),
        pytest.param(
            "divided-out-unknown",
            ("second-root-left-out",),
            LOST,
            id="every answer of the error is as well one of another",
        ),
    ],
)
def test_no_question_is_offered_that_tells_nothing(
    error: str, others: tuple[str, ...], source: CourseQuestion
) -> None:
    assert offered(Wanted((error,), others), source) == ()


def test_harder_numbers_are_taken_where_no_others_tell_the_error_apart() -> None:
    """3 of x² = 9 may come of factoring as well; 2√2 of x² = 8 may not."""
    found = offered(Wanted(("plus-minus-dropped",), ("second-root-left-out",)), ROOTS)

    assert found
    assert all(one.meanings[1].errors == ("plus-minus-dropped",) for one in found)
    assert ROOTS.problem not in {one.problem for one in found}


def test_a_joint_name_is_asked_about_by_answers_of_every_error_under_it() -> None:
    """-7 is what both lead to; 0 is told of the second alone, and by the formula of a third."""
    joint = ("divided-out-unknown", "second-root-left-out")
    found = offered(Wanted(joint, ("plus-minus-dropped",)), LOST)

    assert found
    for one in found:
        assert {line.errors for line in one.meanings[1:]} == {joint}


def test_errors_under_one_name_have_an_answer_each() -> None:
    """Of x² + bx: b/2 without the square, b² without the half."""
    joint = Wanted(("half-not-squared", "squared-without-halving"), ())
    base = CourseQuestion("q", "square-constant", "x^2 + 8x", asked=True)
    best = offered(joint, base)[0]
    b = int("".join(filter(str.isdecimal, best.problem.split("+")[1])))

    meant = {line.answer: line.errors for line in best.meanings}
    assert meant == {
        str((b // 2) ** 2): (),
        str(b // 2): ("half-not-squared",),
        str(b * b): ("squared-without-halving",),
    }


def test_an_error_of_the_courses_own_is_searched_for_by_its_formula() -> None:
    own = (OwnPattern("b-for-both", "Gives b.", "solve", ("b",)),)
    base = CourseQuestion("q", "solve", "x^2 - 5x + 6 = 0", asked=True)
    found = check_questions(Wanted(("b-for-both",), ()), (base,), frozenset(), own)

    assert found
    assert found[0].meanings[1].errors == ("b-for-both",)


def roots(text: str) -> set[sympy.Expr]:
    known = (*standard_transformations, convert_xor, implicit_multiplication_application)
    left, right = (parse_expr(side, transformations=known) for side in text.split("="))
    return set(sympy.solve(left - right))


@pytest.mark.parametrize("text", ["x^2 - 7x + 12 = 0", "3(x + 2) - 5 = 10", "(x - 4)^2 = 25"])
def test_other_numbers_leave_the_answer_as_it_was_built(text: str) -> None:
    """sympy solves each: whole roots stay whole, and as many."""
    varied = list(with_other_numbers("solve", text))

    assert varied
    assert text not in varied
    for other in varied:
        assert len(roots(other)) == len(roots(text))
        assert all(root.is_integer for root in roots(other)), other


@pytest.mark.parametrize(
    ("task", "text"),
    [
        pytest.param("translate", "5 more than a number is 13: x + 5 = 13", id="words"),
        pytest.param("solve", "x(x + 4) = 96; keep x > 0", id="what is kept"),
        pytest.param("convert", "0.15 to a percent", id="another notation"),
        pytest.param("judge", "x^2 = 4", id="judged by its key alone"),
        pytest.param("solve", "x^2 = x", id="no number to vary"),
        pytest.param("solve", "x +* 3 = 5", id="cannot be read"),
    ],
)
def test_a_question_that_numbers_alone_do_not_make_is_not_varied(task: str, text: str) -> None:
    assert list(with_other_numbers(task, text)) == []


def test_equal_numbers_stay_equal_and_exponents_stay() -> None:
    for other in with_other_numbers("simplify", "(x^2 - 3x)/(x - 3)"):
        above, below = other.split("/")
        assert above.split(" - ")[1].rstrip(")").rstrip("x") == below.split(" - ")[1].rstrip(")")
        assert above.startswith("(x^2 - ")


def test_the_same_questions_are_found_every_time() -> None:
    assert list(with_other_numbers("solve", SQUARE.problem)) == list(
        with_other_numbers("solve", SQUARE.problem)
    )
    assert offered(*CASES[1]) == offered(*CASES[1])
