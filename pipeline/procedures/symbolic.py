"""Trees as sympy objects, and sympy numbers as trees.

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
    Root,
    Sum,
    letters,
)
from pipeline.exact.values import Number, number_of

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


def number_of_sympy(expression: Any) -> Number:
    """Return a sympy number as a number of an answer."""
    import sympy

    tree = tree_of(sympy.radsimp(sympy.expand(expression)))
    return number_of(tree)
