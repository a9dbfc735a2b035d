"""Whether anything is left to simplify or to calculate: like terms, fractions, roots, divisions."""

from __future__ import annotations

from fractions import Fraction

from pipeline.errors import BudgetExceeded
from pipeline.exact.evaluate import surd_of
from pipeline.exact.factors import common_integer_factor
from pipeline.exact.numbers import square_part
from pipeline.exact.polynomials import greatest_common_divisor, polynomial_of
from pipeline.exact.trees import (
    Absolute,
    Call,
    Constant,
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
    holds,
    letters,
)

_MOST_TRIED = 1000
"""Numbers whose third and higher powers are looked for below a root."""


def is_reduced(tree: Node) -> bool:
    """Whether no fraction shares a factor above and below, and none stands inside another."""
    if isinstance(tree, Quotient):
        upper, lower = tree.numerator, tree.denominator
        if holds(upper, Quotient) or holds(lower, Quotient) or _share_factor(upper, lower):
            return False
        if isinstance(lower, Numeral) and lower.value == 1:
            return False
    return all(is_reduced(part) for part in children(tree))


def is_one_fraction(tree: Node) -> bool:
    """Whether no fraction stands beside something that it could be brought together with."""
    if isinstance(tree, Sum) and not isinstance(tree, MixedNumber):
        below = _denominators(tree)
        numbers = [one for one in tree.terms if not letters(one) and not holds(one, Root)]
        return not any(map(letters, below)) and (not below or len(numbers) < 2)
    return True


def _denominators(tree: Sum) -> list[Node]:
    bare = [one.argument if isinstance(one, Negation) else one for one in tree.terms]
    return [one.denominator for one in bare if isinstance(one, Quotient)]


def _fractions_left(tree: Node) -> bool:
    """Whether two fractions of a sum are left apart, one of them over a sum: 3/x - 2/(x + 5)."""
    below = _denominators(tree) if isinstance(tree, Sum) else []
    lettered = [one for one in below if letters(one)]
    return len(lettered) > 1 and any(isinstance(one, Sum) for one in lettered)


def _logarithms_left(tree: Node) -> bool:
    """Whether a sum holds two logarithms to one base, which one law makes one."""
    terms = tree.terms if isinstance(tree, Sum) else ()
    bases = [one.base for term in terms for one in _logarithms(term)]
    return len(set(map(repr, bases))) < len(bases)


def _logarithms(term: Node) -> list[Call]:
    if isinstance(term, Call):
        return [term] if term.name in ("log", "ln") and letters(term) else []
    inner = children(term) if isinstance(term, Negation | Product) else ()
    return [found for part in inner for found in _logarithms(part)]


def _share_factor(upper: Node, lower: Node) -> bool:
    if common_integer_factor(upper, lower) != 1:
        return True
    try:
        first, second = polynomial_of(upper), polynomial_of(lower)
        if first is None or second is None or not letters(lower):
            return False
        return not greatest_common_divisor(first, second).is_constant
    except (ZeroDivisionError, BudgetExceeded):
        return False


def is_simplified(tree: Node) -> bool:
    """Whether nothing is left to do: sums collected, roots and fractions in lowest terms."""
    return (
        _roots_simplified(tree)
        and is_reduced(tree)
        and is_collected(tree)
        and not _root_below(tree)
        and not _fractions_left(tree)
        and not _logarithms_left(tree)
    )


def _roots_simplified(tree: Node) -> bool:
    if isinstance(tree, Root) and isinstance(tree.radicand, Numeral | Negation | Quotient):
        inner = tree.radicand
        if not isinstance(inner, Numeral) or inner.value.denominator != 1 or inner.value <= 1:
            return False
    if isinstance(tree, Root) and isinstance(tree.index, Numeral):
        inside = tree.radicand.factors if isinstance(tree.radicand, Product) else (tree.radicand,)
        if any(_holds_power(factor, int(tree.index.value)) for factor in inside):
            return False
    return all(_roots_simplified(part) for part in children(tree))


def _holds_power(factor: Node, index: int) -> bool:
    """Whether something comes out of a root: 4 of sqrt(12), x of sqrt(x^3), 3 of cbrt(54)."""
    match factor:
        case Numeral(value) if value.denominator == 1 and index == 2:
            return value > 1 and square_part(int(value))[0] != 1
        case Numeral(value) if value.denominator == 1 and index > 2:
            most = min(round(abs(int(value)) ** (1 / index)), _MOST_TRIED)
            return any(int(value) % base**index == 0 for base in range(2, most + 1))
        case Power(base, Numeral(exponent)) if letters(base):
            return exponent >= index
    return False


def _root_below(tree: Node) -> bool:
    if (
        isinstance(tree, Quotient)
        and not letters(tree.denominator)
        and holds(tree.denominator, Root)
    ):
        return True
    return any(_root_below(part) for part in children(tree))


def is_collected(tree: Node) -> bool:
    """Whether no two terms of a sum, and no two factors of a product, can be joined."""
    if isinstance(tree, MixedNumber):
        return _is_proper(tree.terms[1])
    if isinstance(tree, Sum):
        shapes = [_shape(term) for term in tree.terms]
        if len(set(shapes)) < len(shapes):
            return False
    if isinstance(tree, Product):
        shapes = [_base(factor) for factor in tree.factors]
        if len(set(shapes)) < len(shapes) or Numeral(Fraction(1)) in tree.factors:
            return False
        if sum(isinstance(factor, Root) for factor in tree.factors) > 1:
            return False
    if isinstance(tree, Power) and not _is_simple_base(tree.base):
        return False
    if isinstance(tree, Negation) and isinstance(tree.argument, Negation):
        return False
    return all(is_collected(part) for part in children(tree))


def _is_simple_base(base: Node) -> bool:
    """Whether a power has nothing left to do: letters or a constant below, but not i."""
    if isinstance(base, Power | Product | Quotient | Negation):
        return False
    return bool(letters(base)) or (isinstance(base, Constant) and base.name != "i")


def _is_proper(fraction: Node) -> bool:
    if not isinstance(fraction, Quotient):
        return False
    upper, lower = fraction.numerator, fraction.denominator
    plain = isinstance(upper, Numeral) and isinstance(lower, Numeral)
    return plain and upper.value < lower.value  # type: ignore[union-attr]


def _shape(term: Node) -> str:
    """A term without its rational factor: like terms have equal shapes."""
    if isinstance(term, Negation):
        return _shape(term.argument)
    if isinstance(term, Quotient) and not letters(term.denominator) and not holds(term, Root):
        return _shape(term.numerator)
    if isinstance(term, Numeral):
        return ""
    if isinstance(term, Quotient) and isinstance(term.denominator, Numeral):
        return _shape(term.numerator)
    if isinstance(term, Product):
        return "*".join(sorted(filter(None, (_shape(factor) for factor in term.factors))))
    return repr(term)


def _base(factor: Node) -> str:
    if isinstance(factor, Numeral):
        return "number"
    return repr(factor.base) if isinstance(factor, Power) else repr(factor)


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
            return _is_proper_division(above, below)
        case Quotient(above, _):
            bare = above.argument if isinstance(above, Negation) else above
            return not (isinstance(bare, Sum) and letters(bare))
        case Product(factors):
            over = next((one for one in factors if _is_over_letters(one)), None)
            if isinstance(over, Quotient):
                rest = tuple(one for one in factors if one is not over)
                return _is_proper_division(Product((*rest, over.numerator)), over.denominator)
    return all(is_divided(part) for part in children(tree))


def _is_over_letters(node: Node) -> bool:
    return isinstance(node, Quotient) and bool(letters(node.denominator))


def _is_proper_division(above: Node, below: Node) -> bool:
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
