"""The right path through an expression keeps its value, as sympy finds it."""

from __future__ import annotations

from fractions import Fraction

import pytest
import sympy
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pipeline.exact.polynomials import Polynomial, polynomial_of
from pipeline.exact.trees import (
    Absolute,
    Constant,
    Letter,
    Negation,
    Node,
    Numeral,
    Power,
    Product,
    Quotient,
    Root,
    Sum,
)
from pipeline.patterns.catalogue import moves
from pipeline.procedures.rewriting.factoring import factor_out
from pipeline.procedures.rewriting.regrouping import as_seen
from pipeline.procedures.rewriting.working import evaluate, work_out
from pipeline.procedures.walk import Walk, walk
from pipeline.tasks.catalogue import plans, read_problem


def to_sympy(node: Node) -> sympy.Expr:  # noqa: C901, PLR0911 - one return per kind of node
    match node:
        case Numeral(value):
            return sympy.Rational(value.numerator, value.denominator)
        case Letter(name):
            return sympy.Symbol(name, positive=True)
        case Constant("i"):
            return sympy.I
        case Sum(terms):
            return sympy.Add(*map(to_sympy, terms))
        case Product(factors):
            return sympy.Mul(*map(to_sympy, factors))
        case Negation(part):
            return -to_sympy(part)
        case Quotient(above, below):
            return to_sympy(above) / to_sympy(below)
        case Power(base, exponent):
            return to_sympy(base) ** to_sympy(exponent)
        case Root(radicand, index):
            return to_sympy(radicand) ** (1 / to_sympy(index))
        case Absolute(part):
            return sympy.Abs(to_sympy(part))
    raise AssertionError(node)


def same(first: sympy.Expr, second: sympy.Expr) -> bool:
    difference = sympy.simplify(sympy.expand(first - second))
    return difference == 0 or bool(abs(sympy.N(difference, 30)) < 1e-20)


numerals = st.integers(1, 12).map(lambda value: Numeral(Fraction(value)))
letters = st.sampled_from("xyab").map(Letter)
leaves = numerals | letters


def larger(inner: st.SearchStrategy[Node]) -> st.SearchStrategy[Node]:
    small = st.integers(0, 3).map(lambda value: Numeral(Fraction(value)))
    return st.one_of(
        st.lists(inner, min_size=2, max_size=3).map(lambda parts: Sum(tuple(parts))),
        st.lists(inner, min_size=2, max_size=2).map(lambda parts: Product(tuple(parts))),
        inner.map(Negation),
        st.builds(Power, inner, small),
        st.builds(Quotient, inner, inner),
    )


expressions = st.recursive(leaves, larger, max_leaves=6)
plain = st.recursive(
    numerals,
    lambda inner: larger(inner) | inner.map(Root) | inner.map(Absolute),
    max_leaves=6,
)


def ending(node: Node, task: str = "simplify") -> Node | None:
    run = Walk().through(work_out, (node, task))
    return next((end for end in run.endings if not isinstance(end, str)), None)


@settings(max_examples=220)
@given(expressions)
def test_expressions_with_letters_keep_their_value(node: Node) -> None:
    found = ending(node)
    assume(found is not None)

    assert same(to_sympy(found), to_sympy(node))


@settings(max_examples=160)
@given(plain)
def test_expressions_without_letters_keep_their_value(node: Node) -> None:
    found = ending(node)
    assume(found is not None)
    expected = to_sympy(node)
    assume(expected.is_finite is not False and not expected.has(sympy.nan, sympy.zoo))

    assert same(to_sympy(found), expected)


@settings(max_examples=60)
@given(expressions, st.integers(-6, 6))
def test_evaluating_agrees_with_substitution(node: Node, at: int) -> None:
    value = Numeral(Fraction(abs(at))) if at >= 0 else Negation(Numeral(Fraction(-at)))
    run = Walk().through(evaluate, (node, (("x", value),), "evaluate"))
    assume(run.endings and not isinstance(run.endings[0], str))
    expected = to_sympy(node).subs(sympy.Symbol("x", positive=True), at)
    assume(not expected.has(sympy.nan, sympy.zoo))

    assert same(to_sympy(run.endings[0]), expected)


small = st.integers(-9, 9)
linear = st.builds(
    lambda p, q, name: Polynomial.letter(name) * p + Polynomial.constant(q),
    st.integers(1, 5),
    small,
    st.sampled_from("xy"),
)


@settings(max_examples=120)
@given(st.lists(linear, min_size=2, max_size=3), st.integers(1, 6), small)
def test_factoring_keeps_the_value(factors: list[Polynomial], outside: int, extra: int) -> None:
    whole = Polynomial.constant(outside)
    for factor in factors:
        whole = whole * factor
    whole = whole + Polynomial.constant(extra)
    run = Walk().through(factor_out, whole)

    assert polynomial_of(run.endings[0]) == whole


def test_a_root_of_a_negative_number_may_end_without_real_value() -> None:
    node = Root(Negation(Numeral(Fraction(16))))

    assert Walk().through(work_out, (node, "simplify")).endings == [
        "NO_REAL",
        Product((Numeral(Fraction(4)), Constant("i"))),
    ]


def test_division_by_zero_has_no_ending() -> None:
    node = Quotient(Numeral(Fraction(5)), Sum((Letter("x"), Negation(Letter("x")))))

    assert Walk().through(work_out, (node, "simplify")).endings == []


@pytest.mark.parametrize("base", [2, 3])
def test_every_place_is_logged(base: int) -> None:
    node = Power(Sum((Letter("x"), Numeral(Fraction(base)))), Numeral(Fraction(2)))
    run = Walk().through(work_out, (node, "expand"))

    names = [step.operation.__name__ for step in run.log]
    assert names == ["copy_expression", "raise_to_power", "add", "add", "write_answer"]


def paths(problem: str) -> set[tuple[str, ...]]:
    (plan,) = plans(read_problem(problem, "expand"))
    return {
        tuple(one.id for one in faults) for _, faults in walk(plan.procedure, plan.start, moves)
    }


def test_a_small_expression_is_walked_with_two_faults() -> None:
    assert max(map(len, paths("3(x + 4) - 2x"))) == 2


def test_a_large_expression_is_walked_with_one_fault() -> None:
    found = paths("2(x + 3) - 4(x - 1) + 3x(x + 2) - 7(x + 9)")

    assert max(map(len, found)) == 1
    assert ("minus-not-carried-through",) in found


@pytest.mark.parametrize("problem", ["(a + b + c + d)^9", " + ".join(["x*y"] * 40)])
def test_an_endless_expression_is_judged_only(problem: str) -> None:
    assert plans(read_problem(problem, "expand")) == ()


@pytest.mark.parametrize(
    ("problem", "seen"),
    [
        ("2/3*3/4", "(2/3)*(3/4)"),
        ("-3*(-4)", "(-3)*(-4)"),
        ("-3(x - 4)", "(-3)*(x - 4)"),
    ],
)
def test_signs_and_fractions_are_grouped_as_people_do(problem: str, seen: str) -> None:
    tree = read_problem(problem, "simplify").tree

    assert as_seen(tree) == read_problem(seen, "simplify").tree
    assert as_seen(Sum((Letter("y"), tree))).terms[0] == Letter("y")


def test_a_subtracted_product_keeps_its_sign_outside() -> None:
    tree = read_problem("5 - 3(x + 2)", "simplify").tree

    assert as_seen(tree) == tree
