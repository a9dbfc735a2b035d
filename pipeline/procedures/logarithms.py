"""Logarithms: their values, and equations with one or two of them on one side."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple, TypeGuard

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import (
    Coefficients,
    added,
    multiplied,
    real_roots,
    scaled,
    value_at,
)
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Call, Letter, Node, Relation, letters
from pipeline.procedures import operations as op
from pipeline.procedures.equations import (
    ONE,
    ZERO,
    Bracket,
    Equation,
    coefficients,
    multiples_of,
    terms_of,
)
from pipeline.procedures.quadratic import solve_linear
from pipeline.procedures.quantities import (
    EULER,
    Quantity,
    approximate,
    logarithm,
    minus,
    node_of,
    over,
    quantity_of,
    raised,
    settled,
    solution,
    times,
)
from pipeline.procedures.walk import NO_SOLUTION, Place, Plan, Walk

MAX_ROOT = 12
"""Largest denominator of a logarithm that is looked for."""


class Single(NamedTuple):
    """The logarithm of a number to a base."""

    base: Quantity
    argument: Quantity


class _Term(NamedTuple):
    """factor*log(inside), to a base that is told beside it."""

    factor: Surd
    inside: Coefficients


class Logarithms(NamedTuple):
    """log(first) + side*log(second) = right; second is () where there is one logarithm."""

    base: Quantity
    first: Coefficients
    second: Coefficients
    side: int
    right: Surd

    @property
    def inside(self) -> tuple[Coefficients, ...]:
        """What stands under logarithms."""
        return (self.first, self.second) if self.second else (self.first,)


def exponent_for(base: Quantity, argument: Quantity) -> Surd:
    """Return the rational r with base^r = argument.

    Raises:
        CannotBeWorked: there is none with a small denominator.
    """
    if not (isinstance(base, Surd) and isinstance(argument, Surd)):
        found = settled(over(logarithm(argument), logarithm(base)))
        if not isinstance(found, Surd) or not found.is_rational:
            raise CannotBeWorked
        return found
    if not (base.is_rational and argument.is_rational) or argument.real_sign() <= 0:
        raise CannotBeWorked
    for below in range(1, MAX_ROOT + 1):
        wanted = argument.as_fraction() ** below
        power, value = 0, Fraction(1)
        step = base.as_fraction()
        if step <= 0 or step == 1:
            raise CannotBeWorked
        up = (wanted > 1) == (step > 1)
        while value != wanted and abs(power) < 64 and (value < wanted) == (wanted > 1):
            value, power = (value * step, power + 1) if up else (value / step, power - 1)
        if value == wanted:
            return Surd.of(Fraction(power, below))
    raise CannotBeWorked


def evaluate_log(base: Quantity, argument: Quantity) -> Quantity | str:
    """Ask which power of the base the argument is."""
    if isinstance(argument, Surd) and (not argument.is_real or argument.real_sign() <= 0):
        return NO_SOLUTION
    try:
        return exponent_for(base, argument)
    except CannotBeWorked:
        return logarithm(argument, base)


def find_logarithm(step: Walk, start: Single) -> Quantity | str:
    """Find the value of a logarithm."""
    found = step.do(evaluate_log, Place.LOGARITHM, start.base, start.argument)
    return found if isinstance(found, str) else settled(found)


def combine_logs(start: Logarithms) -> tuple[Coefficients, Coefficients]:
    """Write a sum of logarithms as that of a product, a difference as that of a quotient."""
    if not start.second:
        return start.first, (Surd.of(1),)
    if start.side > 0:
        return multiplied(start.first, start.second), (Surd.of(1),)
    return start.first, start.second


def to_exponential(base: Quantity, right: Surd) -> Quantity:
    """From log(y) = right return y = base^right."""
    return raised(base, right)


def keep_positive(roots: op.Roots, inside: tuple[Coefficients, ...]) -> op.Roots:
    """Keep the roots for which every logarithm exists."""
    return frozenset(
        one for one in roots if all(value_at(part, one).real_sign() > 0 for part in inside)
    )


def carry_beyond(here: Quantity, there: Surd) -> Quantity:
    """Carry a constant across to a number that is no surd, such as e^2."""
    return minus(here, there)


def divide_beyond(right: Quantity, a: Surd) -> Quantity:
    """Divide a number that is no surd by the coefficient of the unknown."""
    return over(right, a)


def _solve_logarithms(step: Walk, start: Logarithms) -> op.Roots | Node | str:
    """Combine the logarithms, write without logarithm, solve, check."""
    above, below = step.do(combine_logs, Place.LOGARITHM, start)
    value = step.do(to_exponential, Place.LOGARITHM, start.base, start.right)
    return _solve_without_logarithm(step, above, below, value, start.inside)


def _solve_without_logarithm(
    step: Walk,
    above: Coefficients,
    below: Coefficients,
    value: Quantity,
    inside: tuple[Coefficients, ...],
) -> op.Roots | Node | str:
    """Solve above/below = value, and keep what lies under logarithms positive."""
    value = settled(value)
    if not isinstance(value, Surd):
        return _beyond(step, above, below, value)
    difference = added(above, scaled(below, -value))
    if not difference:
        raise CannotBeWorked
    roots = real_roots(difference)
    return step.do(keep_positive, Place.LOGARITHM, roots, inside) or NO_SOLUTION


def _beyond(
    step: Walk, above: Coefficients, below: Coefficients, value: Quantity
) -> op.Roots | Node:
    """Solve a linear equation whose right side is no surd."""
    if len(above) != 2 or not 1 <= len(below) <= 2:
        raise CannotBeWorked
    (q, p), (d, c) = above, (*below, Surd.of(0))[:2]
    if c:
        top = minus(times(value, d), q)
        return solution(over(top, minus(p, times(value, c))))
    return solve_beyond(step, p, q, value if d == 1 else times(value, d))


def solve_beyond(step: Walk, p: Surd, q: Surd, value: Quantity) -> op.Roots | Node:
    """From p*x + q = value, which is no surd, return x."""
    value = step.do(carry_beyond, Place.LOGARITHM, value, q) if q else value
    return solution(step.do(divide_beyond, Place.LOGARITHM, value, p) if p != 1 else value)


def is_logarithm(node: Node) -> TypeGuard[Call]:
    """Whether a node is a logarithm to any base."""
    return isinstance(node, Call) and node.name in ("log", "ln")


def base_of(call: Call) -> Quantity:
    """Return the base of a logarithm as written: ln, log or log_b.

    Raises:
        CannotBeWorked: it is no number.
    """
    if call.name == "ln":
        return EULER
    if call.base is None:
        return Surd.of(10)
    if letters(call.base):
        raise CannotBeWorked("the base is no number")
    return quantity_of(call.base)


def terms_with_logarithms(
    node: Node, letter: str
) -> tuple[Quantity | None, list[_Term], Surd] | None:
    """See a side as multiples of logarithms to one base and a constant; None when it is not."""
    terms = multiples_of(node, is_logarithm)
    if terms is None:
        return None
    found: list[_Term] = []
    bases, rest = set(), Surd.of(0)
    for factor, call in terms:
        inside = () if call is None else coefficients(call.arguments[0], letter)
        if call is None:
            rest = rest + factor
        elif inside:
            bases.add(base_of(call))
            found.append(_Term(factor, inside))
        else:
            return None
    if len(bases) > 1 or (found and not is_positive_base(bases)):
        return None
    return (bases.pop() if bases else None), found, rest


def is_positive_base(bases: set[Quantity]) -> bool:
    """Whether the bases can be those of logarithms."""
    return all(one != Surd.of(1) and approximate(node_of(one)) > 0 for one in bases)


_MOST = 4


class Isolated(NamedTuple):
    """factor*log(inside) + rest = right."""

    base: Quantity
    factor: Surd
    inside: Coefficients
    rest: Surd
    right: Surd


class BothSides(NamedTuple):
    """A sum of logarithms equal to another one, or to a number where `right` is empty."""

    base: Quantity
    left: tuple[_Term, ...]
    right: tuple[_Term, ...]
    number: Surd


class UnknownBase(NamedTuple):
    """log_x(argument) = right."""

    argument: Quantity
    right: Surd


def start_removing(start: Isolated) -> tuple[Coefficients, Surd] | None:
    """Decide to isolate the logarithm before it is written as a power."""
    return None


def solve_isolated(step: Walk, start: Isolated) -> op.Roots | Node | str:
    """Isolate the logarithm, write without it, solve, check."""
    early = step.do(start_removing, Place.LOGARITHM, start)
    if early is not None:
        value = raised(start.base, early[1])
        return _solve_without_logarithm(step, early[0], (ONE,), value, (start.inside,))
    right = start.right
    right = step.do(op.carry_constant, Place.LINEAR, right, start.rest) if start.rest else right
    right = step.do(op.divide, Place.LINEAR, right, start.factor) if start.factor != 1 else right
    return _solve_logarithms(step, Logarithms(start.base, start.inside, (), 1, right))


def power_inside(factor: Surd, inside: Coefficients) -> Coefficients:
    """Write n*log(y) as log(y^n)."""
    if not factor.is_integer or not 0 < (times := int(factor.as_fraction())) <= _MOST:
        raise CannotBeWorked
    found = inside
    for _ in range(times - 1):
        found = multiplied(found, inside)
    return found


def _side(
    step: Walk, base: Quantity, terms: tuple[_Term, ...]
) -> tuple[Coefficients, Coefficients]:
    """Write a side with one logarithm, of above over below."""
    if not 1 <= len(terms) <= 2 or terms[0].factor.real_sign() < 0:
        raise CannotBeWorked
    parts, side = [], 1
    for factor, inside in terms:
        side = factor.real_sign()
        size = factor if side > 0 else -factor
        parts.append(step.do(power_inside, Place.LOGARITHM, size, inside) if size != 1 else inside)
    second = parts[1] if len(parts) == 2 else ()
    return step.do(combine_logs, Place.LOGARITHM, Logarithms(base, parts[0], second, side, ZERO))


def drop_logarithms(
    left: tuple[Coefficients, Coefficients], right: tuple[Coefficients, Coefficients]
) -> tuple[Coefficients, Coefficients]:
    """From log(left) = log(right) return left = right, multiplied out."""
    return multiplied(left[0], right[1]), multiplied(right[0], left[1])


def solve_both_sides(step: Walk, start: BothSides) -> op.Roots | Node | str:
    """Write each side with one logarithm, leave the logarithms out, solve, check."""
    inside = tuple(one.inside for one in (*start.left, *start.right))
    left = _side(step, start.base, start.left)
    if not start.right:
        value = step.do(to_exponential, Place.LOGARITHM, start.base, start.number)
        return _solve_without_logarithm(step, *left, value, inside)
    right = _side(step, start.base, start.right)
    first, second = step.do(drop_logarithms, Place.LOGARITHM, left, right)
    if max(len(first), len(second)) == 2:
        roots = solve_linear(step, _linear(first, second))
        if isinstance(roots, str):
            return roots
    else:
        roots = real_roots(added(first, scaled(second, -ONE)))
    return step.do(keep_positive, Place.LOGARITHM, roots, inside) or NO_SOLUTION


def _linear(first: Coefficients, second: Coefficients) -> Equation:
    (b, a), (d, c) = ((*one, ZERO, ZERO)[:2] for one in (first, second))
    brackets = ((Bracket(ONE, a, b, False),), (Bracket(ONE, c, d, False),))
    return Equation((ZERO, a, b), (ZERO, c, d), brackets=brackets)


def base_from(argument: Quantity, right: Surd) -> Quantity:
    """From x^right = argument return x."""
    return raised(argument, ONE / right)


def solve_for_base(step: Walk, start: UnknownBase) -> op.Roots | Node:
    """Write as a power, and take the root."""
    return solution(step.do(base_from, Place.LOGARITHM, start.argument, start.right))


def plans_with_logarithms(relation: Relation, letter: str) -> list[Plan]:
    """Return the ways to solve an equation in which the unknown stands under logarithms."""
    first, second = relation.sides
    if letter not in letters(first):
        first, second = second, first
    unknown = _unknown_base(first, second, letter)
    if unknown is not None:
        return [Plan("base", solve_for_base, unknown)]
    sides = [terms_with_logarithms(side, letter) for side in (first, second)]
    if None in sides:
        return []
    (base, left, rest), (other, right, number) = sides  # type: ignore[misc]
    if not left or base is None or other not in (None, base):
        return []
    if right and (rest or number):
        left, right = [*left, *(one._replace(factor=-one.factor) for one in right)], []
    left = sorted(left, key=lambda one: one.factor.real_sign() < 0)
    right = sorted(right, key=lambda one: one.factor.real_sign() < 0)
    return _plans(BothSides(base, tuple(left), tuple(right), number - rest), rest, number)


def _plans(start: BothSides, rest: Surd, number: Surd) -> list[Plan]:
    if len(start.left) != 1 or start.right:
        return [Plan("logarithms", solve_both_sides, start)]
    ((factor, inside),) = start.left
    if factor == 1 and not rest:
        logarithms = Logarithms(start.base, inside, (), 1, start.number)
        return [Plan("logarithms", _solve_logarithms, logarithms)]
    isolated = Isolated(start.base, factor, inside, rest, number)
    if rest:
        return [Plan("isolated-logarithm", solve_isolated, isolated)]
    return [
        Plan("isolated-logarithm", solve_isolated, isolated),
        Plan("logarithms", solve_both_sides, start),
    ]


def _unknown_base(first: Node, second: Node, letter: str) -> UnknownBase | None:
    sign, call = terms_of(first)[0]
    if len(terms_of(first)) > 1 or not isinstance(call, Call) or letters(second):
        return None
    right = quantity_of(second)
    known = call.name == "log" and not letters(call.arguments[0]) and sign == 1
    if not known or not right:
        return None
    if not isinstance(right, Surd) or call.base != Letter(letter):
        return None
    argument = settled(quantity_of(call.arguments[0]))
    if argument == ONE or approximate(argument) <= 0:
        return None
    return UnknownBase(argument, right)
