"""Right answers of equations outside our own procedures, by sympy on trees that we build.

No text reaches sympy: every node becomes the sympy object that it stands for. Sympy is imported
only here and only when needed, since it takes a good part of a second.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from pipeline.errors import CannotBeWorked
from pipeline.exact.evaluate import surd_of
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
    Relation,
    Root,
    Sum,
    in_order,
    letters,
    nodes,
)
from pipeline.exact.values import (
    Interval,
    Number,
    Point,
    Points,
    Region,
    Roots,
    Statement,
    StatementCode,
    Value,
    number_of,
)
from pipeline.procedures.absolute_value import MOST_BARS, plan_by_cases
from pipeline.records import Numbers

MAX_POWER = 30
"""Highest exponent handed to sympy, whose solvers have no budget of their own."""


def sympy_of(node: Node, real: bool = True) -> Any:  # noqa: C901, PLR0911 - a case for each node
    """Return the sympy object of a tree, its letters as symbols.

    Raises:
        CannotBeWorked: a node that sympy is not to be given.
    """
    import sympy

    def inner(part: Node) -> Any:
        return sympy_of(part, real)

    match node:
        case Numeral(value):
            return sympy.Rational(value.numerator, value.denominator)
        case Constant(name):
            return {"pi": sympy.pi, "e": sympy.E, "i": sympy.I, "oo": sympy.oo}[name]
        case Letter(name):
            return sympy.Symbol(name, real=True) if real else sympy.Symbol(name)
        case Sum(terms):
            return sympy.Add(*(inner(term) for term in terms))
        case Product(factors):
            return sympy.Mul(*(inner(factor) for factor in factors))
        case Negation(part):
            return -inner(part)
        case Quotient(above, below):
            return inner(above) / inner(below)
        case Power(base, exponent):
            return _power(inner(base), exponent, inner)
        case Root(radicand, index):
            return sympy.real_root(inner(radicand), inner(index))
        case Absolute(part):
            return sympy.Abs(inner(part))
        case _:
            raise CannotBeWorked("this notation cannot be solved")


def _power(base: Any, exponent: Node, inner: Any) -> Any:
    import sympy

    number = surd_of(exponent) if not letters(exponent) else None
    if number is None or not number.is_rational or abs(number.as_fraction()) > MAX_POWER:
        raise CannotBeWorked("this exponent cannot be solved for")
    power = number.as_fraction()
    if power.denominator % 2:
        return sympy.real_root(base, power.denominator) ** power.numerator
    return base ** sympy.Rational(power.numerator, power.denominator)


def tree_of(expression: Any) -> Node:
    """Return a sympy number as a tree.

    Raises:
        CannotBeWorked: it has parts that no answer has.
    """
    import sympy

    match expression:
        case sympy.Rational():
            size = Numeral(abs(Fraction(int(expression.p), int(expression.q))))
            return Negation(size) if expression < 0 else size
        case sympy.Symbol():
            return Letter(expression.name)
        case sympy.Add():
            return Sum(tuple(tree_of(part) for part in expression.args))
        case sympy.Mul():
            return Product(tuple(tree_of(part) for part in expression.args))
        case sympy.Pow():
            return Power(tree_of(expression.base), tree_of(expression.exp))
    names = {sympy.pi: "pi", sympy.E: "e", sympy.I: "i"}
    if expression in names:
        return Constant(names[expression])
    raise CannotBeWorked("the solution has no form that an answer could have")


def _number_of_sympy(expression: Any) -> Number:
    """Return a sympy number as a number of an answer."""
    import sympy

    tree = tree_of(sympy.radsimp(sympy.expand(expression)))
    return number_of(tree)


def _within_budget(relation: Relation) -> None:
    """Refuse absolute values with too many cases, and those that our own procedure could not solve.

    Raises:
        CannotBeWorked: sympy would not come back with them.
    """
    names, bars = letters(relation), sum(isinstance(one, Absolute) for one in nodes(relation))
    tried = len(names) == 1 and plan_by_cases(relation, *names) is not None
    if bars > MOST_BARS or tried:
        raise CannotBeWorked(
            f"more than {MOST_BARS} absolute values in one relation, or cases of them without "
            "solutions in closed form; with the right answer beside the question its answers are "
            "judged by that"
        )


def solve_equation(relation: Relation, letter: str, numbers: Numbers) -> Value:
    """Solve an equation for a letter.

    Raises:
        CannotBeWorked: sympy finds no solution in closed form, or may not be asked.
    """
    import sympy

    _within_budget(relation)
    if len(relation.sides) != 2:
        raise CannotBeWorked("an equation has two sides, and this one has more")
    real = numbers == "real"
    left, right = (sympy_of(side, real) for side in relation.sides)
    unknown = sympy.Symbol(letter, real=True) if real else sympy.Symbol(letter)
    try:
        found = _roots(left - right, unknown, real)
    except (NotImplementedError, ValueError, TypeError, AttributeError) as error:
        raise CannotBeWorked("no solution in closed form was found") from error
    if found is None:
        return Statement(StatementCode.ALL_REAL)
    if not found:
        return Statement(StatementCode.NO_REAL if real else StatementCode.NO_SOLUTION)
    return Roots(tuple(_number_of_sympy(root) for root in found))


def _roots(difference: Any, unknown: Any, real: bool) -> list[Any] | None:
    """Return all solutions; None when every number is one."""
    import sympy

    if sympy.simplify(difference) == 0:
        return None
    if difference.is_polynomial(unknown):
        polynomial = sympy.Poly(sympy.expand(difference), unknown)
        roots = sympy.roots(polynomial)
        if sum(roots.values()) != polynomial.degree():
            raise ValueError
        kept = [root for root in roots if not real or root.is_real]
        if real and len(kept) < _real_roots(polynomial, list(roots)):
            raise ValueError
        return kept
    through = _by_substitution(difference, unknown)
    found = through if through is not None else sympy.solve(difference, unknown)
    return [root for root in found if root.is_real or not real]


def _real_roots(polynomial: Any, roots: list[Any]) -> int:
    """Count the distinct real roots; 0 where the form of each tells whether it is real.

    Three real roots of a cubic can be written with complex cube roots only.
    """
    unsure = any(root.is_real is None for root in roots)
    if not unsure or not (polynomial.domain.is_ZZ or polynomial.domain.is_QQ):
        return 0
    return int(polynomial.sqf_part().count_roots())


def _by_substitution(difference: Any, unknown: Any) -> list[Any] | None:
    """Solve a polynomial in an odd real root of the unknown, say x^(2/3) and x^(1/3)."""
    import sympy

    roots = difference.atoms(sympy.Pow, sympy.Piecewise, sympy.Function)
    indices = [n for n in (3, 5, 7) if any(sympy.real_root(unknown, n).has(one) for one in roots)]
    if len(indices) != 1:
        return None
    inner = sympy.Symbol("inner", real=True)
    replaced = difference.subs(sympy.real_root(unknown, indices[0]), inner)
    replaced = replaced.subs(unknown, inner ** indices[0])
    if not replaced.is_polynomial(inner):
        return None
    return [root ** indices[0] for root in sympy.roots(replaced, inner) if root.is_real]


def solve_inequality(relation: Relation, letter: str) -> Value:
    """Solve an inequality, or a chain of them, in one unknown over the real numbers.

    Raises:
        CannotBeWorked: no solution set of intervals was found.
    """
    import sympy

    _within_budget(relation)
    unknown = sympy.Symbol(letter, real=True)
    whole: Any = sympy.S.Reals
    try:
        for first, sign, second in relation.pairs():
            kind = {"<": sympy.Lt, "<=": sympy.Le, ">": sympy.Gt, ">=": sympy.Ge}[sign]
            one = kind(sympy_of(first), sympy_of(second))
            if one in (sympy.true, sympy.false):
                part = sympy.S.Reals if one == sympy.true else sympy.S.EmptySet
            else:
                part = sympy.solve_univariate_inequality(one, unknown, relational=False)
            whole = whole.intersect(part)
        return _region(whole)
    except (NotImplementedError, ValueError, TypeError, KeyError) as error:
        raise CannotBeWorked("no solution set was found") from error


def _region(found: Any) -> Value:
    import sympy

    if found == sympy.S.EmptySet:
        return Statement(StatementCode.NO_SOLUTION)
    if found in (sympy.S.Reals, sympy.Interval(-sympy.oo, sympy.oo)):
        return Statement(StatementCode.ALL_REAL)
    parts = found.args if isinstance(found, sympy.Union) else (found,)
    intervals = []
    for part in parts:
        if isinstance(part, sympy.FiniteSet):
            points = map(_number_of_sympy, part)
            intervals += [Interval(point, point, False, False) for point in points]
        else:
            low = None if part.start == -sympy.oo else _number_of_sympy(part.start)
            high = None if part.end == sympy.oo else _number_of_sympy(part.end)
            intervals.append(Interval(low, high, bool(part.left_open), bool(part.right_open)))
    return Region(tuple(intervals))


def solve_system(relations: tuple[Relation, ...], numbers: Numbers) -> Value:
    """Solve a system of equations; points have their coordinates in alphabetical order.

    Raises:
        CannotBeWorked: the system has no finite solution set that was found.
    """
    import sympy

    for relation in relations:
        _within_budget(relation)
    real = numbers == "real"
    names = in_order({name for relation in relations for name in letters(relation)})
    unknowns = [sympy.Symbol(name, real=True) if real else sympy.Symbol(name) for name in names]
    try:
        equations = [
            sympy_of(relation.sides[0], real) - sympy_of(relation.sides[1], real)
            for relation in relations
        ]
        found = sympy.solve(equations, unknowns, dict=True)
    except (NotImplementedError, ValueError, TypeError) as error:
        raise CannotBeWorked("no solution of the system was found") from error
    if not found:
        return Statement(StatementCode.NO_SOLUTION)
    if any(len(one) != len(unknowns) for one in found):
        raise CannotBeWorked("the system has infinitely many solutions")
    points = [Point(tuple(_number_of_sympy(one[unknown]) for unknown in unknowns)) for one in found]
    return points[0] if len(points) == 1 else Points(tuple(points))
