"""Each procedure, done right, ends in the solution set that sympy finds."""

from __future__ import annotations

import random
from functools import cache
from typing import Any

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.exact.numbers import Surd
from pipeline.patterns.catalogue import moves
from pipeline.procedures.equations import Equation
from pipeline.procedures.quadratic import QUADRATIC, solve_linear
from pipeline.procedures.walk import Walk, walk

X = sympy.Symbol("x")


def side(a: int, b: int, c: int) -> tuple[Surd, Surd, Surd]:
    return Surd.of(a), Surd.of(b), Surd.of(c)


@cache
def expected(difference: tuple[int, int, int]) -> frozenset[Any]:
    a, b, c = difference
    return frozenset(sympy.roots(sympy.Poly(a * X**2 + b * X + c, X)))


def as_sympy(root: Surd) -> Any:
    terms = (number * sympy.sqrt(radicand) for radicand, number in root.terms)
    return sympy.Add(*terms) / root.denominator


def same(found: frozenset[Surd], difference: tuple[int, int, int]) -> bool:
    ours = {sympy.expand(as_sympy(root)) for root in found}
    return ours == {sympy.expand(root) for root in expected(difference)}


def drawn(rng: random.Random, name: str) -> tuple[Equation, tuple[int, int, int]]:
    """Draw an equation that a procedure serves; factoring needs rational roots."""
    left = [rng.randint(1, 6), rng.randint(-12, 12), rng.randint(-20, 20)]
    right = [0, rng.choice([0, 0, rng.randint(-9, 9)]), rng.choice([0, rng.randint(-30, 30)])]
    if name == "factoring":
        p, q, r, s = (rng.choice([n for n in range(-6, 7) if n]) for _ in range(4))
        left = [p * r, p * s + q * r + right[1], q * s + right[2]]
    if name == "square-root":
        left[1] = right[1] = 0
    if name == "complete-square" and left[1] == right[1]:
        left[1] += 1
    difference = tuple(one - two for one, two in zip(left, right, strict=True))
    return Equation(side(*left), side(*right)), difference


@pytest.mark.parametrize("name", QUADRATIC)
def test_right_path_ends_in_the_solution_set_of_sympy(name: str) -> None:
    """500 random quadratics for each of the four procedures."""
    rng = random.Random(f"right paths {name}")
    for _ in range(500):
        equation, difference = drawn(rng, name)
        run = Walk().through(QUADRATIC[name], equation)

        sets = [ending for ending in run.endings if isinstance(ending, frozenset)]
        assert len(sets) == 1, equation
        assert same(sets[0], difference), equation


def test_linear_right_path_ends_in_the_solution_of_sympy() -> None:
    """500 random linear equations, identities and contradictions among them."""
    rng = random.Random("linear")
    for _ in range(500):
        a, b, c, d = (rng.randint(-9, 9) for _ in range(4))
        run = Walk().through(solve_linear, Equation(side(0, a, b), side(0, c, d)))

        if a == c:
            assert run.endings == ["ALL_REAL" if b == d else "NO_SOLUTION"]
        else:
            assert run.endings == [frozenset({Surd.of(d - b) / (a - c)})]


@given(st.integers(1, 9), st.integers(-20, 20), st.integers(-30, 30))
@settings(max_examples=60)
def test_a_path_names_at_most_two_faults_each_once(a: int, b: int, c: int) -> None:
    """No path has more than two faults, and none names one twice."""
    for procedure in QUADRATIC.values():
        for _, faults in walk(procedure, Equation(side(a, b, c), side(0, 0, 0)), moves):
            assert len(faults) <= 2
            assert len(set(faults)) == len(faults)


def test_negative_radicand_ends_in_the_complex_pair_and_in_no_real_solution() -> None:
    """Neither ending of a negative radicand is a fault."""
    run = Walk().through(QUADRATIC["formula"], Equation(side(1, 0, 4), side(0, 0, 0)))

    i = Surd(((-1, 1),))
    assert run.endings == ["NO_REAL", frozenset({2 * i, -2 * i})]


def test_a_later_fault_does_not_lead_to_no_real_solution() -> None:
    """What goes wrong after a negative radicand cannot be why a student stopped at it."""
    equation = Equation(side(1, 3, -5), side(0, 0, 0))
    stopped = {tuple(one.id for one in faults)
               for ending, faults in walk(QUADRATIC["formula"], equation, moves)
               if ending == "NO_REAL"}  # fmt: skip

    assert ("square-means-double",) not in stopped
    assert not any("divided-by-a" in faults for faults in stopped)
