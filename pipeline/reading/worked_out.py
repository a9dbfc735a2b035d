"""Whether a calculation or division is carried out, a quadratic stands around one square."""

from __future__ import annotations

from fractions import Fraction

from pipeline.errors import BudgetExceeded
from pipeline.exact.evaluate import surd_of
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import (
    Absolute,
    MixedNumber,
    Negation,
    Node,
    Numeral,
    Power,
    Product,
    Quotient,
    Root,
    Sum,
    children,
    letters,
)

_TEN = Numeral(Fraction(10))


def is_worked_out(tree: Node) -> bool:
    """Whether no part that has a rational value is left to be calculated.

    A fraction, a mixed number and a number times a power of ten are numbers as they stand.
    """
    match tree:
        case MixedNumber():
            return True
        case Product((Numeral(), Power(base, exponent))) if base == _TEN:
            return is_worked_out(exponent)
        case Sum() | Product() | Quotient() | Power() | Root() | Absolute():
            value = None if letters(tree) else surd_of(tree)
            if value is not None and value.is_rational:
                return isinstance(tree, Quotient) and all(map(_is_signed_numeral, children(tree)))
    return all(map(is_worked_out, children(tree)))


def _is_signed_numeral(node: Node) -> bool:
    return isinstance(node.argument if isinstance(node, Negation) else node, Numeral)


def is_divided(tree: Node) -> bool:
    """Whether every fraction that is left has a numerator of lower degree than its denominator."""
    match tree:
        case Quotient(above, below) if letters(below):
            return _is_proper(above, below)
        case Quotient(above, _):
            bare = above.argument if isinstance(above, Negation) else above
            return not (isinstance(bare, Sum) and letters(bare))
        case Product(factors):
            over = next((one for one in factors if _is_over_letters(one)), None)
            if isinstance(over, Quotient):
                rest = tuple(one for one in factors if one is not over)
                return _is_proper(Product((*rest, over.numerator)), over.denominator)
    return all(is_divided(part) for part in children(tree))


def _is_over_letters(node: Node) -> bool:
    return isinstance(node, Quotient) and bool(letters(node.denominator))


def _is_proper(above: Node, below: Node) -> bool:
    try:
        upper, lower = polynomial_of(above), polynomial_of(below)
    except (BudgetExceeded, ZeroDivisionError):
        return False
    return upper is not None and lower is not None and upper.degree() < lower.degree()


def is_vertex_form(tree: Node) -> bool:
    """Whether letters stand in one square of a linear term alone, and nowhere beside it."""
    terms = tree.terms if isinstance(tree, Sum) else (tree,)
    with_letters = [term for term in terms if letters(term)]
    plain = len(terms) - len(with_letters)
    return len(with_letters) == 1 and plain <= 1 and _is_scaled_square(with_letters[0])


def _is_scaled_square(term: Node) -> bool:
    match term:
        case Negation(inner):
            return _is_scaled_square(inner)
        case Quotient(above, below) if not letters(below):
            return _is_scaled_square(above)
        case Product(factors):
            lettered = [one for one in factors if letters(one)]
            return len(lettered) == 1 and _is_scaled_square(lettered[0])
        case Power(base, Numeral(value)):
            return value == 2 and _is_linear(base)
    return False


def _is_linear(base: Node) -> bool:
    """Whether it is x or x plus a number: a number before x belongs before the square."""
    whole = polynomial_of(base)
    if whole is None or len(whole.letters) != 1 or whole.degree() != 1:
        return False
    (letter,) = whole.letters
    lead = whole.coefficients(letter)[1]
    return lead in (1, -1)
