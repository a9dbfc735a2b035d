"""The right path of each further kind of equation and inequality agrees with sympy."""

from __future__ import annotations

import random
from itertools import pairwise
from typing import Any

import pytest
import sympy

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.exact.values import Number, Point, Region, Roots, Statement, Value
from pipeline.tasks.catalogue import plans, read_problem
from pipeline.tasks.task import right_of_run

X = sympy.Symbol("x", real=True)
HOW_MANY = 300


def as_sympy(number: Surd) -> Any:
    total = sum((n * sympy.sqrt(d) for d, n in number.terms), sympy.Integer(0))
    return total / number.denominator


def right(problem: str) -> Value:
    return right_of_run(plans(read_problem(problem, "solve")), "real").value


def members(value: Value) -> set[Any]:
    if isinstance(value, Statement):
        assert value.code.value in {"NO_SOLUTION", "NO_REAL"}, value
        return set()
    assert isinstance(value, Roots), value
    return {sympy.expand(as_sympy(one.surd)) for one in value.members if one.surd is not None}


def inside(value: Value, point: Any) -> bool:
    if isinstance(value, Statement):
        return value.code.value == "ALL_REAL"
    assert isinstance(value, Region), value
    for part in value.parts:
        low = None if part.low is None else _end(part.low)
        high = None if part.high is None else _end(part.high)
        above = low is None or point > low or (not part.left_open and point == low)
        below = high is None or point < high or (not part.right_open and point == high)
        if bool(above) and bool(below):
            return True
    return False


def _end(number: Number) -> Any:
    assert number.surd is not None
    return as_sympy(number.surd)


def same_region(value: Value, holds: Any, ends: list[Any]) -> bool:
    """Compare at every boundary, between the boundaries, and beyond them."""
    ends = sorted(set(ends))
    between = [(one + two) / 2 for one, two in pairwise(ends)]
    points = [*ends, *between, *([ends[0] - 1, ends[-1] + 1] if ends else [sympy.Integer(0)])]
    return all(inside(value, point) == bool(holds(point)) for point in points)


COMPARE = {
    "<": lambda one, two: one < two,
    "<=": lambda one, two: one <= two,
    ">": lambda one, two: one > two,
    ">=": lambda one, two: one >= two,
}


def nonzero(rng: random.Random, size: int = 9) -> int:
    return rng.choice([n for n in range(-size, size + 1) if n])


def term(number: int, letter: str = "x") -> str:
    return f"({number}){letter}"


def one_of_linear_inequalities(rng: random.Random) -> None:
    a, b, c, d = nonzero(rng), rng.randint(-9, 9), rng.randint(-9, 9), rng.randint(-9, 9)
    sign = rng.choice(list(COMPARE))
    value = right(f"{term(a)} + ({b}) {sign} {term(c)} + ({d})")
    ends = [sympy.Rational(d - b, a - c)] if a != c else []
    assert same_region(value, lambda x: COMPARE[sign](a * x + b, c * x + d), ends)


def test_linear_inequalities() -> None:
    rng = random.Random("linear inequality")
    for _ in range(HOW_MANY):
        one_of_linear_inequalities(rng)


def one_of_chains_of_inequalities(rng: random.Random) -> None:
    p, q, low = nonzero(rng), rng.randint(-9, 9), rng.randint(-20, 10)
    high, first, second = (
        low + rng.randint(1, 20), rng.choice(["<", "<="]), rng.choice(["<", "<="])
    )  # fmt: skip
    value = right(f"{low} {first} {term(p)} + ({q}) {second} {high}")
    ends = [sympy.Rational(low - q, p), sympy.Rational(high - q, p)]

    def holds(x: Any) -> bool:
        middle = p * x + q
        return bool(COMPARE[first](low, middle)) and bool(COMPARE[second](middle, high))

    assert same_region(value, holds, ends)


def test_chains_of_inequalities() -> None:
    rng = random.Random("chain")
    for _ in range(HOW_MANY):
        one_of_chains_of_inequalities(rng)


def one_of_quadratic_inequalities(rng: random.Random) -> None:
    a, b, c = nonzero(rng, 4), rng.randint(-9, 9), rng.randint(-12, 12)
    sign = rng.choice(list(COMPARE))
    value = right(f"{term(a, 'x^2')} + {term(b)} {sign} {-c}")
    ends = [one for one in sympy.roots(a * X**2 + b * X + c, X) if one.is_real]
    assert same_region(value, lambda x: COMPARE[sign](sympy.expand(a * x**2 + b * x + c), 0), ends)


def test_quadratic_inequalities() -> None:
    rng = random.Random("quadratic inequality")
    for _ in range(HOW_MANY):
        one_of_quadratic_inequalities(rng)


def one_of_rational_inequalities(rng: random.Random) -> None:
    p, q, r, s = nonzero(rng, 5), rng.randint(-9, 9), nonzero(rng, 5), rng.randint(-9, 9)
    sign, bound = rng.choice(list(COMPARE)), rng.randint(-3, 3)
    if p * s == q * r:
        return
    value = right(f"({term(p)} + ({q}))/({term(r)} + ({s})) {sign} {bound}")
    pole = sympy.Rational(-s, r)
    ends = [pole]
    if p - bound * r:
        ends.append(sympy.Rational(bound * s - q, p - bound * r))

    def holds(x: Any) -> bool:
        return x != pole and bool(COMPARE[sign]((p * x + q) / (r * x + s), bound))

    assert same_region(value, holds, ends), (p, q, r, s, sign, bound)


def test_rational_inequalities() -> None:
    rng = random.Random("rational inequality")
    for _ in range(HOW_MANY):
        one_of_rational_inequalities(rng)


def test_absolute_value_equations() -> None:
    rng = random.Random("absolute value")
    for _ in range(HOW_MANY):
        k, p, q, m = nonzero(rng, 4), nonzero(rng, 5), rng.randint(-9, 9), rng.randint(-6, 6)
        slope, r = rng.choice([0, 0, 1, 2, -1, 3]), rng.randint(-9, 20)
        if slope and abs(k * p) == abs(slope):
            continue
        value = right(f"({k})|{term(p)} + ({q})| + ({m}) = {term(slope)} + ({r})")
        found = set()
        for side in (1, -1):
            x = sympy.Rational(r - m - side * k * q, side * k * p - slope)
            if k * abs(p * x + q) + m == slope * x + r:
                found.add(x)
        assert members(value) == found


def one_of_absolute_value_inequalities(rng: random.Random) -> None:
    k, p, q, m = nonzero(rng, 4), nonzero(rng, 5), rng.randint(-9, 9), rng.randint(-6, 6)
    r, sign = rng.randint(-9, 20), rng.choice(list(COMPARE))
    value = right(f"({k})|{term(p)} + ({q})| + ({m}) {sign} {r}")
    ends = [
        (side * sympy.Rational(r - m, k) - q) / p
        for side in (1, -1)
        if sympy.Rational(r - m, k) >= 0
    ]
    assert same_region(value, lambda x: COMPARE[sign](k * abs(p * x + q) + m, r), ends)


def test_absolute_value_inequalities() -> None:
    rng = random.Random("absolute value inequality")
    for _ in range(HOW_MANY):
        one_of_absolute_value_inequalities(rng)


def test_radical_equations() -> None:
    rng = random.Random("radical")
    for _ in range(HOW_MANY):
        k, p, q = nonzero(rng, 3), nonzero(rng, 5), rng.randint(-9, 30)
        slope, r, m = rng.choice([0, 0, 1, 1, -1, 2]), rng.randint(-9, 9), rng.randint(-5, 5)
        value = right(f"({k})sqrt({term(p)} + ({q})) + ({m}) = {term(slope)} + ({r})")
        other = slope * X + r - m
        squared = sympy.Poly(k**2 * (p * X + q) - other**2, X)
        found = {
            sympy.expand(x)
            for x in sympy.roots(squared)
            if x.is_real
            and sympy.expand(p * x + q) >= 0
            and k * sympy.expand(other.subs(X, x)) >= 0
        }
        assert members(value) == found


def test_equations_with_two_radicals() -> None:
    rng = random.Random("two radicals")
    for _ in range(HOW_MANY):
        p, q, root = rng.randint(1, 4), rng.randint(-6, 12), rng.randint(0, 12)
        r = rng.randint(1, 4)
        inner = p * root + q
        s = rng.randint(0, 6) ** 2 - r * root
        constant = rng.choice([1, 2, 3, 4, 5])
        sign = rng.choice(["+", "-"])
        if inner < 0 or p == r:
            continue
        value = right(f"sqrt({term(p)} + ({q})) {sign} sqrt({term(r)} + ({s})) = {constant}")
        side = 1 if sign == "+" else -1
        left = sympy.sqrt(p * X + q) + side * sympy.sqrt(r * X + s)
        other = constant**2 + (r * X + s) - (p * X + q)
        squared = sympy.Poly(4 * constant**2 * (r * X + s) - other**2, X)
        found = {
            sympy.expand(x)
            for x in sympy.roots(squared)
            if x.is_real and abs(sympy.N(left.subs(X, x) - constant, 30)) < 1e-20
        }
        assert members(value) == found


def test_rational_equations() -> None:
    rng = random.Random("rational")
    for _ in range(HOW_MANY):
        a, b, c, d = nonzero(rng, 6), rng.randint(-6, 6), nonzero(rng, 6), rng.randint(-6, 6)
        e = nonzero(rng, 4)
        text = f"({a})/(x + ({b})) + ({c})/(x + ({d})) = {e}"
        value = right(text)
        numerator, denominator = sympy.fraction(
            sympy.together(sympy.Integer(a) / (X + b) + sympy.Integer(c) / (X + d) - e)
        )
        found = {
            sympy.expand(x)
            for x in sympy.roots(sympy.Poly(numerator, X))
            if x.is_real and sympy.expand(denominator.subs(X, x)) != 0 and x not in (-b, -d)
        }
        assert members(value) == found, text


def test_proportions_with_an_excluded_root() -> None:
    """The root that a denominator excludes is never among the solutions."""
    rng = random.Random("excluded")
    for _ in range(HOW_MANY):
        r, s = rng.randint(-9, 9), rng.randint(-9, 9)
        value = right(f"(x^2 + ({s}))/(x - ({r})) = ({r * r + s})/(x - ({r}))")
        assert members(value) == ({sympy.Integer(-r)} if r else set())


def test_systems_of_two_linear_equations() -> None:
    rng = random.Random("systems")
    y = sympy.Symbol("y", real=True)
    for _ in range(HOW_MANY):
        a, b, c, d = (nonzero(rng) for _ in range(4))
        e, f = rng.randint(-20, 20), rng.randint(-20, 20)
        value = right(f"{term(a)} + {term(b, 'y')} = {e}; {term(c)} + {term(d, 'y')} = {f}")
        found = sympy.linsolve([a * X + b * y - e, c * X + d * y - f], X, y)
        if a * d == b * c:
            expected = "ALL_REAL" if found else "NO_SOLUTION"
            assert isinstance(value, Statement)
            assert value.code.value == expected
        else:
            assert isinstance(value, Point)
            assert {tuple(_end(one) for one in value.coordinates)} == set(found)


@pytest.mark.parametrize("degree", [3, 4])
def test_polynomial_equations(degree: int) -> None:
    rng = random.Random(f"polynomial {degree}")
    for _ in range(HOW_MANY):
        roots = [rng.randint(-5, 5) for _ in range(degree - 2)]
        poly = sympy.Poly(sympy.prod([X - one for one in roots]), X) * sympy.Poly(
            [rng.randint(1, 4), rng.randint(-6, 6), rng.randint(-9, 9)], X
        )
        numbers = [int(one) for one in poly.all_coeffs()]
        text = " + ".join(
            term(number, f"x^{power}") if power else f"({number})"
            for power, number in zip(range(degree, -1, -1), numbers, strict=True)
        )
        found = {sympy.expand(one) for one in sympy.roots(poly) if one.is_real}
        assert members(right(text + " = 0")) == found


def test_equations_in_quadratic_form() -> None:
    rng = random.Random("quadratic form")
    for _ in range(HOW_MANY):
        one, two = rng.randint(-9, 9), rng.randint(-9, 9)
        middle, last = -(one + two), one * two
        if not middle or not last:
            continue
        fourth = members(right(f"x^4 + {term(middle, 'x^2')} + ({last}) = 0"))
        assert fourth == {s * sympy.sqrt(u) for u in (one, two) if u >= 0 for s in (1, -1)}
        rooted = members(right(f"x + {term(middle, 'sqrt(x)')} + ({last}) = 0"))
        assert rooted == {sympy.Integer(u * u) for u in (one, two) if u >= 0}
        thirds = members(right(f"x^(2/3) + {term(middle, 'x^(1/3)')} + ({last}) = 0"))
        assert thirds == {sympy.Integer(u**3) for u in (one, two)}


def test_powers_are_undone_over_the_real_numbers() -> None:
    rng = random.Random("powers")
    for _ in range(HOW_MANY):
        value, above, below = rng.randint(-5, 5), rng.choice([3, 4, 5]), rng.choice([1, 2, 3])
        if above % below == 0 and below > 1:
            continue
        shift = rng.randint(-9, 9)
        base = abs(value) if below == 2 else value
        raised = sympy.real_root(sympy.Integer(base) ** above, below)
        if not raised.is_Integer:
            base = base**below
            raised = sympy.Integer(value if below != 2 else abs(value)) ** above
        found = {base - shift, -base - shift} if above % 2 == 0 and below != 2 else {base - shift}
        exponent = f"({above}/{below})" if below > 1 else str(above)
        assert members(right(f"(x + ({shift}))^{exponent} = {raised}")) == {
            sympy.Integer(one) for one in found
        }


TEXTBOOK = [
    # OpenStax Elementary Algebra 2e, 8.6 and 9.6
    ("1/y+2/3=1/5", {"-15/7"}),
    ("1-2/a=15/(a^2)", {"5", "-3"}),
    ("2/(x+1)+1/(x-1)=1/(x^2-1)", {"2/3"}),
    ("(x+13)/(x^2-7x+10)=6/(x-5)-4/(x-2)", set()),
    ("sqrt(3m+2)-5=0", {"23/3"}),
    ("sqrt(2r-3)+5=0", set()),
    ("sqrt(x-2)+2=x", {"2", "3"}),
    ("3sqrt(6b+3)-25=50", {"311/3"}),
    ("sqrt(m)+1=sqrt(m+9)", {"16"}),
    # OpenStax Intermediate Algebra 2e, 6.5 and 9.4
    ("36x^3+24x^2=-4x", {"0", "-1/3"}),
    ("10x-17sqrt(x)+3=0", {"1/25", "9/4"}),
    ("8x^(2/3)-43x^(1/3)+15=0", {"27/512", "125"}),
    ("6x^(-2)-23x^(-1)+20=0", {"2/5", "3/4"}),
    # OpenStax College Algebra 2e, 2.6
    ("(x-1)^(3/4)=8", {"17"}),
    ("sqrt(2x+3)+sqrt(x-2)=4", {"3"}),
    ("x^3+2x^2-x-2=0", {"-2", "1", "-1"}),
]


@pytest.mark.parametrize(("problem", "printed"), TEXTBOOK)
def test_textbook_answers(problem: str, printed: set[str]) -> None:
    assert {str(one) for one in members(right(problem))} == printed


@pytest.mark.parametrize("problem", ["x^3 = 5", "sin(x) = 1", "x + y = 3", "2^x = x"])
def test_what_no_procedure_serves_is_left_to_others(problem: str) -> None:
    with pytest.raises(CannotBeWorked, match="no procedure"):
        right_of_run(plans(read_problem(problem, "solve")), "real")
