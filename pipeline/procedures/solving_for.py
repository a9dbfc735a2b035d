"""Formulas solved for one of their letters, and which ways there are to it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from fractions import Fraction
from typing import Final, NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial, fraction_of, reduce_fraction
from pipeline.exact.trees import (
    TURNED,
    Call,
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
    children,
    exchanged,
    letters,
    mapped,
)
from pipeline.exact.values import Equation, Roots, number_of
from pipeline.procedures.inequalities import turn_sign
from pipeline.procedures.parts import Part, join, over, stand_in, tree_of_part
from pipeline.procedures.walk import Place, Plan, Walk
from pipeline.reading.problems import Problem

_ONE: Final = Polynomial.constant(1)
_NOTHING: Final[Part] = (Polynomial({}), _ONE)
_EULER: Final = Constant("e")
_EVEN: Final = tuple(Numeral(Fraction(power)) for power in (2, 4, 6))
_MAPPED: Final = (Sum, Product, Negation, Quotient)


class Formula(NamedTuple):
    """factor*u + rest `sign` across*u + other; u is the letter, or the one `held` around it.

    Factor, rest, across and other hold no letter that is asked for; `held` is a power, root,
    logarithm, fraction or bracket, and None where u is the letter itself. `both` says whether the
    letter may be negative, None where it measures something and both signs are as right; `roots`
    are those that undid an even power on the way here.
    """

    letter: str
    factor: Part
    rest: Part
    other: Part
    across: Part = _NOTHING
    sign: str = "="
    held: Node | None = None
    both: bool | None = None
    roots: tuple[Root, ...] = ()


def start_with(start: Formula) -> Part | None:
    """Decide to carry the term without the letter across before dividing."""
    return None


def carry_term(other: Part, rest: Part) -> Part:
    """Carry a term to the other side."""
    return join(other, rest, -1)


def carry_letter(here: Part, there: Part) -> Part:
    """Carry a multiple of the letter across to the other multiple of it."""
    return join(here, there, -1)


def divide_by(other: Part, factor: Part) -> Part:
    """Divide by what the letter is multiplied by."""
    return over(other, factor)


def root_of_power(other: Part, exponent: Node) -> Node:
    """Undo a power by the positive root."""
    tree = tree_of_part(other)
    if isinstance(exponent, Numeral):
        return Root(tree, exponent)
    return Power(tree, Quotient(Numeral(Fraction(1)), exponent))


def power_of_root(other: Part, index: Node) -> Node:
    """Undo a root by the power."""
    return Power(tree_of_part(other), index)


def as_power(base: Node, other: Part) -> Node:
    """From log(y) = other return y, the base to the other side."""
    return Power(base, tree_of_part(other))


def by_logarithm(base: Node, other: Part) -> Node:
    """From base^y = other return y, the logarithm of the other side."""
    tree = tree_of_part(other)
    return Call("ln", (tree,)) if base == _EULER else Call("log", (tree,), base)


def turn_over(above: Node, other: Part) -> Node:
    """From above/y = other return y, both sides turned upside down."""
    if not other[0]:
        raise CannotBeWorked
    return Quotient(above, tree_of_part(other))


def state_sign(sign: str) -> str:
    """Say by the sign whether the boundary belongs to the solutions."""
    return sign


def give_both_signs(tree: Node, root: Root, letter: str) -> Roots:
    """Give the root that undid an even power both signs."""
    return Roots((number_of(tree), number_of(exchanged(tree, root, Negation(root)))))


def solve_formula(step: Walk, start: Formula) -> object:
    """Carry across what stands beside the letter, divide by what stands before it, go inside."""
    if start.across[0]:
        gathered_factor = step.do(carry_letter, Place.FORMULA, start.factor, start.across)
        start = start._replace(factor=gathered_factor, across=_NOTHING)
    found = step.do(start_with, Place.FORMULA, start)
    if found is None:
        found = _isolated(step, start)
    if start.held is not None:
        inside, tree = _undone(step, start.held, start.letter, found)
        roots = start.roots
        if isinstance(tree, Root) and tree.index in _EVEN:
            roots = (*roots, tree)
        inner = _formula_of(inside, tree, start.letter)
        return solve_formula(step, inner._replace(both=start.both, roots=roots))
    tree = tree_of_part(found)
    if letters(tree) & {start.letter}:
        raise CannotBeWorked
    sign = start.sign
    if sign == "=" and start.both and len(start.roots) == 1:
        return step.do(give_both_signs, Place.FORMULA, tree, start.roots[0], start.letter)
    if sign == "=":
        step.may_end(tree)
    elif start.factor[0].is_constant and start.factor[1].is_constant:
        factor = start.factor[0].constant_term
        sign = step.do(turn_sign, Place.LINEAR_INEQUALITY, sign, factor, Surd.of(0))
        sign = step.do(state_sign, Place.FORMULA, sign)
    else:
        raise CannotBeWorked("the sign of what is divided by is not known")
    return Equation(Relation((Letter(start.letter), tree), (sign,)))


def _isolated(step: Walk, start: Formula) -> Part:
    other = start.other
    if start.rest[0]:
        other = step.do(carry_term, Place.FORMULA, other, start.rest)
    if start.factor != (_ONE, _ONE):
        other = step.do(divide_by, Place.FORMULA, other, start.factor)
    return other


def _undone(step: Walk, held: Node, letter: str, other: Part) -> tuple[Node, Node]:
    """Take off what holds the letter; return what was inside, and what that equals."""
    match held:
        case Power(base, exponent) if letter in letters(base):
            return base, step.do(root_of_power, Place.FORMULA, other, exponent)
        case Power(base, exponent):
            return exponent, step.do(by_logarithm, Place.FORMULA, base, other)
        case Quotient(above, below):
            return below, step.do(turn_over, Place.FORMULA, above, other)
        case Root(radicand, index):
            return radicand, step.do(power_of_root, Place.FORMULA, other, index)
        case Call(name, (argument,), base):
            ten = Numeral(Fraction(10)) if name == "log" else _EULER
            return argument, step.do(as_power, Place.FORMULA, base or ten, other)
    return held, tree_of_part(other)


def _formula_of(
    left: Node, right: Node, letter: str, sign: str = "=", held: Node | None = None
) -> Formula:
    """See an equation or inequality as a formula for a letter.

    Args:
        left: one side.
        right: the other.
        letter: what is asked for.
        sign: the sign between the sides.
        held: the bracket or fraction to take off first; else the one power, root or logarithm that
            is around the letter, if there is one.

    Raises:
        CannotBeWorked: the letter is bound in another way.
    """
    left, right = _plain(left, letter), _plain(right, letter)
    if letter not in letters(left):
        left, right, sign = right, left, TURNED.get(sign, sign)
    if held is None:
        around = _wrappings(left, letter) | _wrappings(right, letter)
        held = around.pop() if len(around) == 1 else None
    name = letter
    if held is not None:
        inner = stand_in(held)
        left, right = exchanged(left, held, inner), exchanged(right, held, inner)
        name = inner.name
    whole = _side_by_side(left, right, name) or gathered(left, right, name)
    if held is not None and any(letter in one.letters for part in whole[1:5] for one in part):
        raise CannotBeWorked(_BOUND.format(letter))
    return whole._replace(letter=letter, sign=sign, held=held)


_BOUND: Final = "{} occurs in a way that is not worked step by step"


def _plain(node: Node, letter: str) -> Node:
    """Let letters stand for what is no fraction of polynomials and holds no letter asked for."""
    held = letter in letters(node)
    if isinstance(node, _MAPPED):
        return node if not held and fraction_of(node) else mapped(node, lambda n: _plain(n, letter))
    return node if held or fraction_of(node) is not None else stand_in(node)


def _wrappings(node: Node, letter: str) -> set[Node]:
    """Find the outermost powers, roots and logarithms around a letter."""
    if letter not in letters(node):
        return set()
    if isinstance(node, Power | Root | Call):
        return {node}
    return {one for part in children(node) for one in _wrappings(part, letter)}


def _side_by_side(left: Node, right: Node, letter: str) -> Formula | None:
    """See factor*letter + rest on each side as it is written."""
    here, there = _linear_in(left, letter), _linear_in(right, letter)
    if here is None or there is None or not join(here[1], there[1], -1)[0]:
        return None
    return Formula(letter, here[1], here[0], there[0], there[1])


def _linear_in(side: Node, letter: str) -> tuple[Part, Part] | None:
    """Return rest and factor of rest + factor*letter."""
    whole = fraction_of(side)
    if whole is None or letter in whole[1].letters:
        return None
    parts = whole[0].collected(letter)
    if len(parts) > 2:
        return None
    rest, factor = (reduce_fraction(part, whole[1]) for part in (*parts, *_NOTHING[:1] * 2)[:2])
    return rest, factor


def gathered(left: Node, right: Node, letter: str) -> Formula:
    """Gather the terms with the letter on one side, the others on the other.

    Raises:
        CannotBeWorked: the letter does not occur to the first power only.
    """
    whole = fraction_of(Sum((left, Negation(right))))
    parts = whole[0].collected(letter) if whole is not None else []
    if len(parts) != 2:
        raise CannotBeWorked(_BOUND.format(letter))
    return Formula(letter, (parts[1], _ONE), (Polynomial({}), _ONE), (-parts[0], _ONE))


_ZERO: Final = Numeral(Fraction(0))
_OF_EITHER_SIGN: Final = frozenset("xyz")
"""Letters that by convention stand for any number; others measure something, such as a length."""


def formula_plans(problem: Problem) -> list[Plan]:
    """Read a formula with the letter to the first power, or inside one power, root or logarithm.

    Raises:
        CannotBeWorked: it is no equation or inequality, or the letter is bound in another way.
    """
    letter = problem.letter
    relations = [one for one in problem.relations if not _says_positive(one, letter)]
    if len(relations) != 1 or len(relations[0].signs) != 1:
        raise CannotBeWorked("a formula is an equation, such as `A = b*h/2 for h`")
    (left, right), (sign,) = relations[0].sides, relations[0].signs
    both = True if letter in _OF_EITHER_SIGN else None
    if len(relations) < len(problem.relations):
        both = False
    return [
        Plan(name, solve_formula, start._replace(both=both))
        for name, start in ways_to_isolate(left, right, letter, sign)
    ]


def ways_to_isolate(
    left: Node, right: Node, letter: str, sign: str = "="
) -> Iterator[tuple[str, Formula]]:
    """See a formula as terms with and without a letter, and by the bracket or fraction around it.

    Yields:
        The name of the way, and the formula.

    Raises:
        CannotBeWorked: the letter is bound in another way.
    """
    yield "formula", _formula_of(left, right, letter, sign)
    brackets = _brackets(left, letter) + _brackets(right, letter)
    fractions = _fractions(left, letter) + _fractions(right, letter)
    for name, around in (("bracket", brackets), ("reciprocal", fractions)):
        if len(around) == 1 and not _wrappings(around[0], letter) and sign == "=":
            with suppress(CannotBeWorked):  # the letter stands elsewhere as well
                yield name, _formula_of(left, right, letter, sign, around[0])


def _says_positive(relation: Relation, letter: str) -> bool:
    return relation.sides == (Letter(letter), _ZERO) and relation.signs[0] in (">", ">=")


def _brackets(node: Node, letter: str, inside: bool = False) -> list[Node]:
    """Find the sums with a letter that are multiplied or divided as a whole."""
    if letter not in letters(node):
        return []
    if isinstance(node, Sum) and inside:
        return [node]
    if isinstance(node, Quotient) and letter in letters(node.denominator):
        return []
    inside = isinstance(node, Product | Quotient)
    return [one for part in children(node) for one in _brackets(part, letter, inside)]


def _fractions(node: Node, letter: str) -> list[Node]:
    """Find the fractions with a letter below the line and not above it."""
    if letter not in letters(node) or isinstance(node, Power | Root | Call):
        return []
    if isinstance(node, Quotient) and letter not in letters(node.numerator):
        return [node]
    return [one for part in children(node) for one in _fractions(part, letter)]


def both_signs(plan: Plan) -> list[Roots]:
    """Return a formula with both signs before an even power's root, where they are as right."""
    if plan.procedure is not solve_formula or plan.start.both is not None:
        return []
    found = solve_formula(Walk(), plan.start._replace(both=True))
    return [found] if isinstance(found, Roots) else []
