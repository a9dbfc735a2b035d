"""No pattern on a right answer, whatever its notation; little to say about chance answers."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sympy import Rational, latex, sqrt

from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine

from .fresh_cases import factor, pair, plain, quadratic, squared, terms

RATIONAL = st.builds(Fraction, st.integers(-12, 12), st.integers(1, 6))
SHAPES = ("zero form", "constant right", "both sides", "factored")
MOST_CHANCE = 0.05
"""Share of chance answers that one fault alone may seem to explain by more than half."""


def factored(one: Fraction, two: Fraction) -> str:
    return f"{factor(one.denominator, -one.numerator)}{factor(two.denominator, -two.numerator)} = 0"


def problem_of(one: Fraction, two: Fraction, shape: str, move: int) -> str:
    """Write an equation with two given roots."""
    a = one.denominator * two.denominator
    b, c = int(-a * (one + two)), int(a * one * two)
    match shape:
        case "factored":
            return factored(one, two)
        case "constant right":
            return quadratic(a, b, c + move, move)
        case "both sides":
            left = terms((a, "x^2"), (b + move, "x"))
            return f"{left} = {terms((move, 'x'), (-c, ''))}"
        case _:
            return quadratic(a, b, c)


def notations(roots: list[Fraction]) -> list[str]:
    exact = [Rational(root.numerator, root.denominator) for root in roots]
    texts = [plain(root) for root in exact]
    labels = [f"x = {text}" for text in texts]
    return [
        ", ".join(texts),
        " or ".join(labels),
        "; ".join(reversed(labels)),
        "{" + ", ".join(texts) + "}",
        r" \text{ or } ".join(f"x={latex(root)}" for root in exact),
        " and ".join(texts),
        "\n".join(labels),
    ]


@given(RATIONAL, RATIONAL, st.sampled_from(SHAPES), st.integers(1, 9), st.integers(0, 6))
@settings(max_examples=150)
def test_right_rational_roots_show_no_pattern(
    one: Fraction, two: Fraction, shape: str, move: int, style: int
) -> None:
    roots = [one] if one == two else [one, two]
    answer = notations(roots)[style]
    found = examine(Request("solve", problem_of(one, two, shape, move), answer))

    assert found.verdict is Verdict.RIGHT, answer
    assert found.patterns == ()


@given(st.integers(-9, 9), st.integers(2, 80), st.integers(0, 4))
@settings(max_examples=120)
def test_right_radicals_show_no_pattern(h: int, k: int, style: int) -> None:
    upper, lower = pair(-h, sqrt(k))
    answer = [
        f"x = {-h} ± √{k}",
        f"{plain(upper)}, {plain(lower)}",
        f"x={latex(upper)}, x={latex(lower)}",
        rf"{-h}\pm\sqrt{{{k}}}",
        f"{float(upper):.4f}; {float(lower):.4f}",
    ][style]
    found = examine(Request("solve", squared(h, k), answer))

    assert found.verdict is Verdict.RIGHT, answer
    assert found.patterns == ()


@given(st.integers(2, 9), st.integers(-12, 12), st.integers(-20, 20))
@settings(max_examples=60)
def test_right_solutions_of_linear_equations_show_no_pattern(a: int, b: int, c: int) -> None:
    answer = plain(Rational(c - b, a))
    found = examine(Request("solve", f"{terms((a, 'x'), (b, ''))} = {c}", f"x = {answer}"))

    assert found.verdict is Verdict.RIGHT
    assert found.patterns == ()


@given(st.integers(1, 5), st.integers(-6, 6), st.integers(1, 20))
@settings(max_examples=40)
def test_no_real_solution_shows_no_pattern_where_it_is_right(a: int, h: int, k: int) -> None:
    problem = quadratic(a, 2 * a * h, a * h * h + k)
    found = examine(Request("solve", problem, "no real solution"))

    assert found.verdict is Verdict.RIGHT
    assert found.patterns == ()


CHANCE = {
    "two whole numbers": lambda rng: f"{rng.randint(-12, 12)}, {rng.randint(-12, 12)}",
    "one whole number": lambda rng: str(rng.randint(-12, 12)),
    "fractions": lambda rng: f"{rng.randint(-30, 30)}/{rng.randint(2, 9)}, {rng.randint(-9, 9)}",
}


@pytest.mark.parametrize("kind", CHANCE)
def test_chance_answers_are_seldom_explained(kind: str) -> None:
    rng = random.Random(f"chance {kind}")
    wrong = explained = 0
    for _ in range(120):
        a, b, c = rng.choice([1, 1, 2, 3, 5]), rng.randint(-12, 12), rng.randint(-20, 20)
        problem = rng.choice(
            [quadratic(a, b or 3, c), quadratic(1, 2 * b or 4, 0, abs(c) + 1), squared(b or 2, 17)]
        )
        for _ in range(4):
            found = examine(Request("solve", problem, CHANCE[kind](rng)))
            wrong += found.verdict is Verdict.WRONG
            first = found.patterns[:1]
            explained += any(len(one.faults) == 1 and one.share > 0.5 for one in first)

    assert wrong > 400
    assert explained / wrong <= MOST_CHANCE
