"""Right answers to further kinds of question in the notations that people type, and silence."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest

from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine

RIGHT = [
    ("solve", "2x + 1 < 9", "x<4", "x < 4", "4 > x", "(-oo, 4)", "(-∞,4)", "{x | x < 4}"),
    ("solve", "5 - 2x >= 11", "x <= -3", "x ≤ -3", "(-∞, -3]", "-3 >= x", r"x\le -3"),
    ("solve", "-3 < 2x + 1 <= 7", "-2 < x <= 3", "(-2, 3]", "x > -2 and x <= 3"),
    ("solve", "x^2 - x - 6 > 0", "x < -2 or x > 3", "(-oo,-2) U (3,oo)", "(−∞,−2)∪(3,∞)"),
    ("solve", "x^2 + 3 > 0", "all real numbers", "(-∞, ∞)", "R", "ℝ"),
    ("solve", "-x^2 + x - 7 > 0", "no solution", "∅", "none"),
    ("solve", "1/x < 2", "x < 0 or x > 1/2", "(-oo,0) U (0.5,oo)"),
    ("solve", "|x - 3| = 5", "8, -2", "x = -2 or x = 8", "{-2, 8}", "x=8,x=-2"),
    ("solve", "|x + 2| = -3", "no solution", "∅", "no real solution"),
    ("solve", "|x - 1| < 3", "-2 < x < 4", "(-2,4)"),
    ("solve", "|2x + 1| >= 5", "x <= -3 or x >= 2", "(-∞,-3]∪[2,∞)"),
    ("solve", "sqrt(x + 6) = x", "3", "x = 3", "{3}"),
    ("solve", "sqrt(2r - 3) + 5 = 0", "no solution", "no real solution"),
    ("solve", "x/(x - 3) = 3/(x - 3)", "no solution", "∅"),
    ("solve", "1/y + 2/3 = 1/5", "-15/7", "y = -15/7", "-2 1/7", "-2.143"),
    ("solve", "2x + y = 5; x - y = 1", "(2, 1)", "x = 2, y = 1", "y=1, x=2", "x=2 and y=1"),
    ("solve", "x + y = 2; 2x + 2y = 5", "no solution"),
    ("solve", "x + y = 2; 2x + 2y = 4", "infinitely many solutions"),
    ("solve", "x^4 - 6x^2 + 8 = 0", "±2, ±sqrt(2)", "2, -2, 1.414, -1.414"),
    ("solve", "x^3 + 2x^2 - x - 2 = 0", "-2, -1, 1", "x = 1, x = -1, x = -2"),
    ("solve", "w(w + 4) = 96; keep w > 0; asked w + 4", "12", "12 ft", "w + 4 = 12"),
    # The stories of OpenStax Elementary Algebra 2e, 7.6 and 10.4, with their printed answers.
    ("solve", "w(w+1)=30; keep w > 0; asked w, w + 1", "5 and 6 feet", "6, 5"),
    ("solve", "n(n+1)=240; asked n, n + 1", "-16,-15 and 15,16"),
    ("solve", "w(3w+5)=350; keep w > 0; asked w, 3w + 5", "width 10, length 35 feet"),
    ("solve", "h(6h+4)/2=208; keep h > 0; asked h, 6h + 4", "height 8, width 52 inches"),
    ("slope", "(1, 2), (3, 5)", "3/2", "1.5", "m = 3/2"),
    ("slope", "(1, 2), (1, 5)", "undefined", "no slope"),
    ("line", "through (1, 2), slope 3", "y = 3x - 1", "3x - y = 1", "y - 2 = 3(x - 1)"),
    ("line", "through (1, 2) and (1, 7)", "x = 1"),
    ("solve-for", "P = 2L + 2W for W", "W = (P - 2L)/2", "P/2 - L", "(P-2L)/2 = W"),
    ("function", "f(x) = 2x^2 - 3; f(4)", "29", "f(4) = 29"),
    ("function", "f(x) = 2x + 3; f^-1(x)", "(x - 3)/2", "f^-1(x) = x/2 - 3/2", "y = (x-3)/2"),
    ("domain", "1/(x^2 - 9)", "x != 3, x != -3", "(-oo,-3) U (-3,3) U (3,oo)"),
    ("domain", "sqrt(2x - 6)", "x >= 3", "[3, ∞)", "[3, oo)"),
    ("divide", "(x^2 + 5x + 7) / (x + 2)", "x + 3 + 1/(x + 2)"),
    ("convert", "0.35 to percent", "35%", "35", "35.0%"),
    ("convert", "0.00032 to scientific", "3.2*10^-4", "3.2 x 10^(-4)", "3.2 × 10^{-4}"),
    ("logarithm", "log_2(8)", "3"),
    ("logarithm", "log_2(x + 3) = 4", "13", "x = 13"),
]


@pytest.mark.parametrize(
    ("task", "problem", "answer"),
    [(task, problem, answer) for task, problem, *answers in RIGHT for answer in answers],
)
def test_right_answers_are_right_in_any_notation(task: str, problem: str, answer: str) -> None:
    found = examine(Request(task, problem, answer))

    assert found.verdict in (Verdict.RIGHT, Verdict.RIGHT_OTHER_FORM), found
    assert found.patterns == ()


Draw = Callable[[random.Random], tuple[str, str, str]]
KINDS: dict[str, Draw] = {
    "inequality": lambda r: (
        "solve",
        f"{r.randint(2, 6)}x + {r.randint(1, 9)} < {r.randint(10, 40)}",
        f"x {r.choice('<>')} {r.randint(-15, 15)}",
    ),
    "quadratic inequality": lambda r: (
        "solve",
        f"x^2 + {r.randint(1, 9)}x - {r.randint(1, 20)} > 0",
        f"x < {r.randint(-12, 0)} or x > {r.randint(1, 12)}",
    ),
    "absolute value": lambda r: (
        "solve",
        f"|{r.randint(1, 3)}x - {r.randint(1, 9)}| = {r.randint(2, 15)}",
        f"{r.randint(-15, 15)}, {r.randint(-15, 15)}",
    ),
    "radical": lambda r: (
        "solve",
        f"sqrt({r.randint(1, 3)}x + {r.randint(1, 9)}) = {r.randint(2, 7)}",
        f"{r.randint(-15, 40)}",
    ),
    "rational": lambda r: (
        "solve",
        f"{r.randint(2, 9)}/x + {r.randint(1, 9)} = {r.randint(2, 12)}",
        f"{r.randint(-9, 9)}/{r.randint(2, 9)}",
    ),
    "system": lambda r: (
        "solve",
        f"{r.randint(1, 4)}x + {r.randint(1, 4)}y = {r.randint(1, 20)};"
        f" {r.randint(1, 4)}x - {r.randint(1, 4)}y = {r.randint(-9, 9)}",
        f"({r.randint(-9, 9)}, {r.randint(-9, 9)})",
    ),
    "line": lambda r: (
        "line",
        f"through ({r.randint(-9, 9)}, {r.randint(-9, 9)}), slope {r.randint(2, 6)}",
        f"y = {r.randint(2, 6)}x + {r.randint(-15, 15)}",
    ),
}


@pytest.mark.parametrize("kind", KINDS)
def test_random_wrong_answers_are_seldom_explained(kind: str) -> None:
    """At most one in twenty gets a pattern with more than half of the share."""
    rng, wrong, explained = random.Random(kind), 0, 0
    for _ in range(200):
        found = examine(Request(*KINDS[kind](rng)))
        if found.verdict is not Verdict.WRONG:
            continue
        wrong += 1
        first = found.patterns[0] if found.patterns else None
        explained += first is not None and len(first.faults) == 1 and first.share > 0.5

    assert wrong > 150
    assert explained <= wrong / 20


LINES = [
    ("|x - 3| = 5", "x - 3 = 5 or x - 3 = -5\nx = 8 or x = -2", "8, -2", 0),
    ("sqrt(x + 6) = x", "x + 6 = x^2\nx^2 - x - 6 = 0\nx = 3 or x = -2", "3, -2", 4),
    ("w(w + 4) = 96; keep w > 0; asked w + 4", "w^2 + 4w - 96 = 0\nw = 8\n12", "12", 0),
    ("w(w + 4) = 96; keep w > 0; asked w + 4", "w^2 + 4w - 96 = 0\nw = 8", "8", 3),
    ("w(w + 4) = 96; keep w > 0; asked w + 4", "w^2 + 4w = 90", "12", 1),
]


@pytest.mark.parametrize(("problem", "work", "answer", "line"), LINES)
def test_working_of_further_kinds(problem: str, work: str, answer: str, line: int) -> None:
    assert examine(Request("solve", problem, answer, work=work)).first_wrong_line == line


def test_what_is_kept_and_asked_may_stand_in_fields_of_their_own() -> None:
    apart = Request("solve", "w(w + 4) = 96", "8", asked="w + 4", keep="w > 0")
    together = Request("solve", "w(w + 4) = 96; keep w > 0; asked w + 4", "8")

    assert examine(apart) == examine(together)
    assert examine(apart).patterns[0].id == "other-quantity-given"


@pytest.mark.parametrize(
    ("task", "problem", "answer", "verdict"),
    [
        ("solve-for", "P = 2L + 2W for W", "P = 2L + 2W", Verdict.RIGHT_OTHER_FORM),
        ("solve-for", "P = 2L + 2W for W", "2W = P - 2L", Verdict.RIGHT_OTHER_FORM),
        ("solve-for", "P = 2L + 2W for W", "L = (P - 2W)/2", Verdict.RIGHT_OTHER_FORM),
        ("solve", "3x + 2y = 12 for y", "x = 4 - 2y/3", Verdict.RIGHT_OTHER_FORM),
        (
            "solve-for",
            "A = P(1 + rt) for r",
            "r = (A - P - Prt)/(Pt) + r",
            Verdict.RIGHT_OTHER_FORM,
        ),
        ("solve-for", "P = 2L + 2W for W", "(P - 2L)/2 = W", Verdict.RIGHT),
        ("solve-for", "P = 2L + 2W for W", "w = (p - 2l)/2", Verdict.RIGHT),
        ("solve-for", "P = 2L + 2W for W", "P/2 - L", Verdict.RIGHT),
        ("solve", "n + o > 6 for o", "6 - n < o", Verdict.RIGHT),
        ("solve", "d = rt", "t = d/r", Verdict.RIGHT),
        ("line", "slope 2, y-intercept 3", "2x - y = -3", Verdict.RIGHT),
    ],
)
def test_a_formula_is_solved_where_the_letter_stands_alone(
    task: str, problem: str, answer: str, verdict: Verdict
) -> None:
    """What is the same equation and not solved is right in another form."""
    assert examine(Request(task, problem, answer)).verdict is verdict
