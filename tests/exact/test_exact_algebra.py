"""Exact numbers, polynomials, fractions and regions against sympy as the reference."""

from __future__ import annotations

from fractions import Fraction

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.errors import BudgetExceeded
from pipeline.exact.evaluate import integer_root, power_of, root_of
from pipeline.exact.factors import is_irreducible
from pipeline.exact.numbers import Surd
from pipeline.exact.numeric import agree, recognized
from pipeline.exact.polynomials import (
    Polynomial,
    divide_exactly,
    fraction_of,
    greatest_common_divisor,
    polynomial_of,
)
from pipeline.exact.regions import complement, intersection, union
from pipeline.exact.trees import Letter, Node, Numeral, Power, Product, Quotient, Root, Sum
from pipeline.exact.values import Interval, Number, Region, value_key

X, Y = sympy.symbols("x y")
small = st.integers(-9, 9)
rationals = st.fractions(min_value=-20, max_value=20, max_denominator=12)


@st.composite
def surds(draw: st.DrawFn) -> Surd:
    value = Surd.of(draw(rationals))
    for radicand in draw(st.lists(st.sampled_from([2, 3, 6, 10, -1, -5]), max_size=3)):
        root = Surd.root_of(radicand)
        assert root is not None
        value = value + root * draw(rationals)
    return value


def in_sympy(value: Surd) -> sympy.Expr:
    terms = (sympy.Rational(n, value.denominator) * sympy.sqrt(d) for d, n in value.terms)
    return sympy.Add(*terms)


@settings(max_examples=120)
@given(surds(), surds())
def test_numbers_agree_with_sympy(first: Surd, second: Surd) -> None:
    left, right = in_sympy(first), in_sympy(second)
    assert sympy.expand(in_sympy(first + second) - left - right) == 0
    assert sympy.expand(in_sympy(first * second) - left * right) == 0
    if second:
        assert (first / second) * second == first


@given(surds(), surds(), surds())
def test_numbers_form_a_field(first: Surd, second: Surd, third: Surd) -> None:
    assert first * (second + third) == first * second + first * third
    assert (first + second) + third == first + (second + third)
    assert first - first == 0


@given(surds(), surds())
def test_order_of_real_numbers_agrees_with_sympy(first: Surd, second: Surd) -> None:
    if first.is_real and second.is_real:
        assert (first < second) == bool(in_sympy(first).evalf(40) < in_sympy(second).evalf(40))


@given(st.integers(-400, 400), st.integers(1, 60))
def test_square_root_of_a_fraction(upper: int, lower: int) -> None:
    root = Surd.root_of(Fraction(upper, lower))
    assert root is not None
    assert root * root == Fraction(upper, lower)


@given(st.integers(0, 30), st.integers(1, 30))
def test_nested_root_comes_out_where_it_is_a_sum_of_roots(first: int, second: int) -> None:
    one, other = Surd.root_of(first), Surd.root_of(second)
    assert one is not None
    assert other is not None
    root = Surd.root_of((one + other) * (one + other))
    assert root in {one + other, None} or (root is not None and root * root == (one + other) ** 2)


def test_a_nested_root_that_is_no_sum_of_roots_stays() -> None:
    root = Surd.root_of(2)
    assert root is not None
    assert Surd.root_of(root + 1) is None


@pytest.mark.parametrize(
    ("radicand", "index", "expected"),
    [(8, 3, 2), (-27, 3, -3), (16, 4, 2), (Fraction(1, 32), 5, Fraction(1, 2)), (10, 3, None)],
)
def test_roots_of_other_index(radicand: int, index: int, expected: int | None) -> None:
    assert root_of(Surd.of(radicand), index) == expected


@given(st.integers(0, 10**30), st.integers(2, 7))
def test_whole_root(number: int, index: int) -> None:
    assert integer_root(number**index, index) == number


def test_powers_are_bounded() -> None:
    with pytest.raises(BudgetExceeded):
        power_of(Surd.of(9), Fraction(9**9))
    with pytest.raises(ZeroDivisionError):
        power_of(Surd.of(0), Fraction(-1))


@st.composite
def polynomials(draw: st.DrawFn) -> tuple[Polynomial, sympy.Expr]:
    total, expression = Polynomial({}), sympy.Integer(0)
    for _ in range(draw(st.integers(1, 4))):
        factor, p, q = draw(small), draw(st.integers(0, 2)), draw(st.integers(0, 2))
        term = Polynomial.letter("x") ** p * Polynomial.letter("y") ** q * factor
        total, expression = total + term, expression + factor * X**p * Y**q
    return total, expression


def polynomial_in_sympy(value: Polynomial) -> sympy.Expr:
    total = sympy.Integer(0)
    for monomial, factor in value.terms.items():
        term = in_sympy(factor)
        for name, power in monomial:
            term *= sympy.Symbol(name) ** power
        total += term
    return total


@settings(max_examples=80)
@given(polynomials(), polynomials())
def test_polynomials_agree_with_sympy(
    first: tuple[Polynomial, sympy.Expr], second: tuple[Polynomial, sympy.Expr]
) -> None:
    product = first[0] * second[0]
    assert sympy.expand(polynomial_in_sympy(product) - first[1] * second[1]) == 0
    if second[0]:
        assert divide_exactly(product, second[0]) == first[0]


@settings(max_examples=60)
@given(polynomials(), polynomials(), polynomials())
def test_common_divisor_agrees_with_sympy(
    first: tuple[Polynomial, sympy.Expr],
    second: tuple[Polynomial, sympy.Expr],
    shared: tuple[Polynomial, sympy.Expr],
) -> None:
    left, right = first[0] * shared[0], second[0] * shared[0]
    if left and right:
        ours = polynomial_in_sympy(greatest_common_divisor(left, right))
        theirs = sympy.gcd(sympy.expand(first[1] * shared[1]), sympy.expand(second[1] * shared[1]))
        assert sympy.simplify(ours / theirs).is_number


@settings(max_examples=60)
@given(st.lists(small, min_size=2, max_size=5), st.lists(small, min_size=2, max_size=3))
def test_irreducible_agrees_with_sympy(first: list[int], second: list[int]) -> None:
    value = Polynomial.univariate("x", first) * Polynomial.univariate("x", second)
    if value.degree() > 0:
        _, factors = sympy.factor_list(polynomial_in_sympy(value))
        content = sympy.Poly(polynomial_in_sympy(value), X).content()
        single = len(factors) == 1 and factors[0][1] == 1
        assert is_irreducible(value) == (single and abs(content) == 1)


def number(value: int) -> Node:
    return Numeral(Fraction(value))


def test_equal_fractions_have_one_form() -> None:
    x, y = Letter("x"), Letter("y")
    square = Sum((Power(x, number(2)), Product((number(-1), Power(y, number(2))))))
    lower = Sum((Power(x, number(2)), Product((number(2), x, y)), Power(y, number(2))))
    reduced = fraction_of(Quotient(square, lower))
    assert reduced == fraction_of(Quotient(Sum((x, Product((number(-1), y)))), Sum((x, y))))


def test_a_large_power_is_no_polynomial_but_is_still_compared() -> None:
    letters = Sum(tuple(Letter(name) for name in "abcd"))
    assert polynomial_of(Power(letters, number(60))) is None
    squared = Power(Power(letters, number(30)), number(2))
    assert agree(Power(letters, number(60)), squared)


def test_a_root_in_disguise_is_recognized() -> None:
    """The cube root of 7 + 5*sqrt(2) is 1 + sqrt(2) (Bombelli's kind of example; from memory)."""
    root = Root(number(2))
    disguised = Root(Sum((number(7), Product((number(5), root)))), number(3))
    expected = Surd.root_of(2)
    assert expected is not None
    assert recognized(disguised) == expected + 1


def region(*ends: tuple[int | None, int | None, bool, bool]) -> Region:
    def end(value: int | None) -> Number | None:
        return None if value is None else Number.exactly(value)

    return union(*(Region((Interval(end(a), end(b), left, right),)) for a, b, left, right in ends))


ends = st.tuples(small, st.integers(0, 6), st.booleans(), st.booleans()).map(
    lambda e: (e[0], e[0] + e[1], e[2], e[3])
)


@pytest.mark.thorough
@settings(max_examples=80)
@given(st.lists(ends, min_size=1, max_size=3), st.lists(ends, min_size=1, max_size=3))
def test_regions_agree_with_sympy(
    first: list[tuple[int, int, bool, bool]], second: list[tuple[int, int, bool, bool]]
) -> None:
    left, right = region(*first), region(*second)
    one = sympy.Union(*(sympy.Interval(*e) for e in first))
    other = sympy.Union(*(sympy.Interval(*e) for e in second))
    for ours, theirs in (
        (union(left, right), sympy.Union(one, other)),
        (intersection(left, right), sympy.Intersection(one, other)),
        (complement(left), sympy.Complement(sympy.S.Reals, one)),
    ):
        for probe in (Fraction(n, 2) for n in range(-24, 36)):
            inside = any(_holds(part, probe) for part in ours.parts)
            place = sympy.Rational(probe.numerator, probe.denominator)
            assert inside == bool(theirs.contains(place))


def _holds(part: Interval, probe: Fraction) -> bool:
    point = Number.exactly(probe)
    single = Region((Interval(point, point, False, False),))
    return bool(intersection(Region((part,)), single).parts)


def test_regions_have_one_key() -> None:
    assert value_key(region((1, 3, True, True), (3, 5, False, True))) == "(1, 5)"
    assert value_key(region((None, None, True, True))) == "ALL_REAL"
    assert value_key(region((2, 2, True, False))) == "NO_SOLUTION"
