"""Syntax trees as MathML, so that a page shows mathematics the way a book prints it."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from markupsafe import Markup, escape

from pipeline.exact.trees import (
    Absolute,
    Call,
    Constant,
    Letter,
    Negation,
    Node,
    Numeral,
    PlusMinus,
    Power,
    Product,
    Quotient,
    Relation,
    Root,
    Sum,
)

SIGNS = {"!=": "≠", "<=": "≤", ">=": "≥", "~": "≈"}
NAMES = {"pi": "π", "oo": "∞"}
DOT = "<mo>·</mo>"
# Juxtaposition: an invisible product, so that a screen reader still says it.
CLOSE = "<mo>&#8290;</mo>"


def mathml(tree: Node, block: bool = False) -> Markup:
    """Return a tree as one MathML element.

    >>> from fractions import Fraction
    >>> print(mathml(Quotient(Letter("x"), Numeral(Fraction(2)))))
    <math><mfrac><mi>x</mi><mn>2</mn></mfrac></math>
    """
    display = ' display="block"' if block else ""
    printed = _divided(tree) if isinstance(tree, Quotient) else _print(tree)
    return Markup(f"<math{display}>{printed}</math>")  # noqa: S704 - every leaf is escaped


def _divided(tree: Quotient) -> str:
    """Print a whole quotient; ÷ keeps one numerical fraction over another readable."""
    if _fraction(tree.numerator) and _fraction(tree.denominator):
        return _row(f"{_print(tree.numerator)}<mo>÷</mo>{_print(tree.denominator)}")
    return _print(tree)


def _fraction(node: Node) -> bool:
    match node:
        case Numeral(value):
            return value.denominator != 1
        case Quotient(numerator, denominator):
            return isinstance(numerator, Numeral) and isinstance(denominator, Numeral)
        case _:
            return False


def _row(inner: str) -> str:
    return f"<mrow>{inner}</mrow>"


def _fenced(inner: str) -> str:
    return _row(f"<mo>(</mo>{inner}<mo>)</mo>")


def _print(node: Node) -> str:
    return _PRINTERS[type(node)](node)


def _numeral(node: Numeral) -> str:
    if node.places is not None:
        return f"<mn>{float(node.value):.{node.places}f}</mn>"
    if node.value.denominator != 1:
        return _over(str(node.value.numerator), str(node.value.denominator))
    return f"<mn>{node.value.numerator}</mn>"


def _over(numerator: str, denominator: str) -> str:
    return f"<mfrac><mn>{numerator}</mn><mn>{denominator}</mn></mfrac>"


def _letter(node: Letter) -> str:
    return f"<mi>{escape(node.name)}</mi>"


def _constant(node: Constant) -> str:
    return f"<mi>{escape(NAMES.get(node.name, node.name))}</mi>"


def _sum(node: Sum) -> str:
    first, *rest = node.terms
    return _row(_print(first) + "".join(_term(term) for term in rest))


def _term(node: Node) -> str:
    match node:
        case Negation(argument):
            return f"<mo>−</mo>{_bound(argument, Sum)}"
        case PlusMinus():
            return _plus_minus(node)
        case _:
            return f"<mo>+</mo>{_bound(node, Sum)}"


def _bound(node: Node, *weaker: type) -> str:
    """Print a part, in brackets where it binds more weakly than what stands around it."""
    return _fenced(_print(node)) if isinstance(node, weaker) else _print(node)


def _negation(node: Negation) -> str:
    return _row(f"<mo>−</mo>{_bound(node.argument, Sum, Negation, PlusMinus, Relation)}")


def _plus_minus(node: PlusMinus) -> str:
    sign = "±" if node.upper > 0 else "∓"
    return _row(f"<mo>{sign}</mo>{_bound(node.argument, Sum, Negation, PlusMinus)}")


def _product(node: Product) -> str:
    weaker = (Sum, Negation, PlusMinus, Relation)
    first, *rest = node.factors
    text = _bound(first, *weaker[:1], *weaker[2:])
    for before, factor in zip(node.factors, rest, strict=False):
        text += (DOT if _needs_dot(before, factor) else CLOSE) + _bound(factor, *weaker)
    return _row(text)


def _needs_dot(before: Node, factor: Node) -> bool:
    """Two numbers side by side would read as one; so would a letter before a number."""
    starts_with_number = isinstance(_head(factor), Numeral | Quotient)
    return starts_with_number and not isinstance(before, Sum)


def _head(node: Node) -> Node:
    while isinstance(node, Power):
        node = node.base
    return node


def _quotient(node: Quotient) -> str:
    return f"<mfrac>{_print(node.numerator)}{_print(node.denominator)}</mfrac>"


def _power(node: Power) -> str:
    weaker = (Sum, Negation, PlusMinus, Relation, Product, Quotient, Power)
    fraction = isinstance(node.base, Numeral) and node.base.value.denominator != 1
    base = _fenced(_print(node.base)) if fraction else _bound(node.base, *weaker)
    return f"<msup>{base}{_print(node.exponent)}</msup>"


def _root(node: Root) -> str:
    if node.index == Numeral(Fraction(2)):
        return f"<msqrt>{_print(node.radicand)}</msqrt>"
    return f"<mroot>{_print(node.radicand)}{_print(node.index)}</mroot>"


def _absolute(node: Absolute) -> str:
    return _row(f'<mo stretchy="true">|</mo>{_print(node.argument)}<mo stretchy="true">|</mo>')


def _call(node: Call) -> str:
    name = f"<mi>{escape(node.name)}</mi>"
    if node.base is not None:
        name = f"<msub>{name}{_print(node.base)}</msub>"
    arguments = "<mo>,</mo>".join(_print(argument) for argument in node.arguments)
    return _row(f"{name}<mo>&#8289;</mo>{_fenced(arguments)}")


def _relation(node: Relation) -> str:
    first, *rest = node.sides
    return _row(
        _print(first)
        + "".join(
            f"<mo>{escape(SIGNS.get(sign, sign))}</mo>{_print(side)}"
            for sign, side in zip(node.signs, rest, strict=True)
        )
    )


_PRINTERS: dict[type, Callable[..., str]] = {
    Numeral: _numeral,
    Constant: _constant,
    Letter: _letter,
    Sum: _sum,
    Product: _product,
    Negation: _negation,
    Quotient: _quotient,
    Power: _power,
    Root: _root,
    Absolute: _absolute,
    PlusMinus: _plus_minus,
    Call: _call,
    Relation: _relation,
}
