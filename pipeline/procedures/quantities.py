"""Numbers that may lie beyond surds, such as e^2 or ln(7)/ln(2): exact as far as they can be.

A quantity is a surd where its value is one, and else the tree that was built.
"""

from __future__ import annotations

from typing import Final, TypeAlias

from pipeline.errors import BudgetExceeded, CannotBeWorked
from pipeline.exact.evaluate import power_of, surd_of, tree_of_surd
from pipeline.exact.numbers import Surd
from pipeline.exact.numeric import NotNumeric, numeric_value, recognized
from pipeline.exact.trees import Call, Constant, Negation, Node, Power, Product, Quotient, Sum

Quantity: TypeAlias = Surd | Node
EULER: Final = Constant("e")
_TEN: Final = Surd.of(10)


def node_of(value: Quantity) -> Node:
    """Return a quantity as a tree."""
    return tree_of_surd(value) if isinstance(value, Surd) else value


def quantity_of(node: Node) -> Quantity:
    """Return a tree without letters as a quantity."""
    found = surd_of(node)
    return node if found is None else found


def settled(value: Quantity) -> Quantity:
    """Return a quantity as a surd where its fifty digits are those of one with small numbers."""
    if isinstance(value, Surd):
        return value
    found = recognized(value)
    return value if found is None else found


def approximate(value: Quantity) -> float:
    """Return a real quantity to the precision of floats.

    Raises:
        CannotBeWorked: it is not real, or too large.
    """
    try:
        found = complex(numeric_value(node_of(value)))
    except (NotNumeric, OverflowError) as error:
        raise CannotBeWorked("the number has no value") from error
    if found.imag:
        raise CannotBeWorked("the number is not real")
    return found.real


def solution(value: Quantity) -> frozenset[Surd] | Node:
    """Return the only solution of an equation as an ending."""
    found = settled(value)
    return frozenset({found}) if isinstance(found, Surd) else found


def plus(first: Quantity, second: Quantity) -> Quantity:
    """Add."""
    if isinstance(first, Surd) and isinstance(second, Surd):
        return first + second
    return Sum((node_of(first), node_of(second)))


def minus(first: Quantity, second: Quantity) -> Quantity:
    """Subtract."""
    if isinstance(first, Surd) and isinstance(second, Surd):
        return first - second
    return Sum((node_of(first), Negation(node_of(second))))


def times(first: Quantity, second: Quantity) -> Quantity:
    """Multiply."""
    if isinstance(first, Surd) and isinstance(second, Surd):
        return first * second
    return Product((node_of(first), node_of(second)))


def over(first: Quantity, second: Quantity) -> Quantity:
    """Divide.

    Raises:
        ZeroDivisionError: by zero.
    """
    if isinstance(first, Surd) and isinstance(second, Surd):
        return first / second
    if second == Surd.of(0):
        raise ZeroDivisionError
    return first if second == Surd.of(1) else Quotient(node_of(first), node_of(second))


def raised(base: Quantity, exponent: Quantity) -> Quantity:
    """Raise to a power.

    Raises:
        BudgetExceeded: the exponent is too large.
    """
    if isinstance(base, Surd) and isinstance(exponent, Surd) and exponent.is_rational:
        found = power_of(base, exponent.as_fraction())
        if found is not None:
            return found
    if isinstance(exponent, Surd) and exponent == 1:
        return base
    if isinstance(exponent, Surd) and abs(exponent.approximate()) > 1000:
        raise BudgetExceeded("the exponent is too large")
    return Surd.of(1) if exponent == Surd.of(0) else Power(node_of(base), node_of(exponent))


def logarithm(argument: Quantity, base: Quantity = EULER) -> Node:
    """Return the logarithm of a number as a tree: ln, log, or a quotient of ln's.

    Args:
        argument: a positive number.
        base: a positive number; 10 makes `log`.
    """
    if base == EULER:
        return Call("ln", (node_of(argument),))
    if base == _TEN:
        return Call("log", (node_of(argument),))
    return Quotient(logarithm(argument), logarithm(base))
