"""Formulas solved for one of their letters."""

from __future__ import annotations

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
from pipeline.exact.values import Equation
from pipeline.procedures.inequalities import turn_sign
from pipeline.procedures.parts import Part, join, over, stand_in, tree_of_part
from pipeline.procedures.places import Place
from pipeline.procedures.walk import Walk

_ONE: Final = Polynomial.constant(1)
_EULER: Final = Constant("e")
_TWO: Final = Numeral(Fraction(2))
_MAPPED: Final = (Sum, Product, Negation, Quotient)


class Formula(NamedTuple):
    """factor*u + rest `sign` other, where u is the letter, or the one `held` around it.

    Factor, rest and other hold no letter that is asked for; `held` is a power, root, logarithm or
    bracket, and None where u is the letter itself.
    """

    letter: str
    factor: Part
    rest: Part
    other: Part
    sign: str = "="
    held: Node | None = None


def start_with(start: Formula) -> Part | None:
    """Decide to carry the term without the letter across before dividing."""
    return None


def carry_term(other: Part, rest: Part) -> Part:
    """Carry a term to the other side."""
    return join(other, rest, -1)


def divide_by(other: Part, factor: Part) -> Part:
    """Divide by what the letter is multiplied by."""
    return over(other, factor)


def root_of_power(other: Part, exponent: Node) -> Node:
    """Undo a power by the positive root, since lengths and the like are positive."""
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


def state_sign(sign: str) -> str:
    """Say by the sign whether the boundary belongs to the solutions."""
    return sign


def solve_formula(step: Walk, start: Formula) -> object:
    """Carry across what stands beside the letter, divide by what stands before it, go inside."""
    found = step.do(start_with, Place.FORMULA, start)
    if found is None:
        found = _isolated(step, start)
    if start.held is not None:
        inside, tree = _undone(step, start.held, start.letter, found)
        return solve_formula(step, formula_of(inside, tree, start.letter))
    tree = tree_of_part(found)
    if letters(tree) & {start.letter}:
        raise CannotBeWorked
    sign = start.sign
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
    """Take a power, root, logarithm or bracket off; return what was inside, and what it equals."""
    match held:
        case Power(base, exponent) if letter in letters(base):
            return base, step.do(root_of_power, Place.FORMULA, other, exponent)
        case Power(base, exponent):
            return exponent, step.do(by_logarithm, Place.FORMULA, base, other)
        case Root(radicand, index):
            return radicand, step.do(power_of_root, Place.FORMULA, other, index)
        case Call(name, (argument,), base):
            ten = Numeral(Fraction(10)) if name == "log" else _EULER
            return argument, step.do(as_power, Place.FORMULA, base or ten, other)
    return held, tree_of_part(other)


def formula_of(
    left: Node, right: Node, letter: str, sign: str = "=", held: Node | None = None
) -> Formula:
    """See an equation or inequality as a formula for a letter.

    Args:
        left: one side.
        right: the other.
        letter: what is asked for.
        sign: the sign between the sides.
        held: the bracket to take off first; else the one power, root or logarithm that is around
            the letter, if there is one.

    Raises:
        CannotBeWorked: the letter is bound in another way.
    """
    left, right = _plain(left, letter), _plain(right, letter)
    if letter not in letters(left):
        left, right, sign = right, left, TURNED.get(sign, sign)
    if held is None:
        around = wrappings(left, letter) | wrappings(right, letter)
        held = around.pop() if len(around) == 1 else None
    name = letter
    if held is not None:
        inner = stand_in(held)
        left, right = exchanged(left, held, inner), exchanged(right, held, inner)
        name = inner.name
    whole = _one_sided(left, right, name) or gathered(left, right, name)
    if held is not None and any(letter in one.letters for part in whole[1:4] for one in part):
        raise CannotBeWorked(_BOUND.format(letter))
    return whole._replace(letter=letter, sign=sign, held=held)


_BOUND: Final = "{} occurs in a way that is not worked step by step"


def _plain(node: Node, letter: str) -> Node:
    """Let letters stand for what is no fraction of polynomials and holds no letter asked for."""
    held = letter in letters(node)
    if isinstance(node, _MAPPED):
        return node if not held and fraction_of(node) else mapped(node, lambda n: _plain(n, letter))
    return node if held or fraction_of(node) is not None else stand_in(node)


def wrappings(node: Node, letter: str) -> set[Node]:
    """Find the outermost powers, roots and logarithms around a letter."""
    if letter not in letters(node):
        return set()
    if isinstance(node, Power | Root | Call):
        return {node}
    return {one for part in children(node) for one in wrappings(part, letter)}


def _one_sided(left: Node, right: Node, letter: str) -> Formula | None:
    """See factor*letter + rest on the one side as it is written."""
    whole, other = fraction_of(left), fraction_of(right)
    if letter in letters(right) or whole is None or other is None or letter in whole[1].letters:
        return None
    parts = whole[0].collected(letter)
    if len(parts) != 2:
        return None
    rest, factor = (reduce_fraction(part, whole[1]) for part in parts)
    return Formula(letter, factor, rest, other)


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
