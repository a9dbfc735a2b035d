"""The form asked for: exact, simplified, factored, expanded, a notation of numbers, and so on."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from fractions import Fraction
from typing import Final

from pipeline.errors import BudgetExceeded, UsageError
from pipeline.exact.evaluate import surd_of
from pipeline.exact.factors import common_integer_factor, is_irreducible
from pipeline.exact.numbers import square_part
from pipeline.exact.polynomials import greatest_common_divisor, polynomial_of
from pipeline.exact.trees import (
    Absolute,
    Call,
    Constant,
    Letter,
    MixedNumber,
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
    holds,
    is_decimal,
    letters,
    nodes,
    unsigned,
)
from pipeline.exact.values import Equation, Expression, Number, Region, Value, numbers_of

_MOST_TRIED = 1000
"""Numbers whose third and higher powers are looked for below a root."""


def _is_reduced(tree: Node) -> bool:
    """Whether no fraction shares a factor above and below, and none stands inside another."""
    if isinstance(tree, Quotient):
        upper, lower = tree.numerator, tree.denominator
        if holds(upper, Quotient) or holds(lower, Quotient) or _share_factor(upper, lower):
            return False
        if isinstance(lower, Numeral) and lower.value == 1:
            return False
    return all(_is_reduced(part) for part in children(tree))


def _is_one_fraction(tree: Node) -> bool:
    """Whether no fraction stands beside something that it could be brought together with."""
    if isinstance(tree, Sum) and not isinstance(tree, MixedNumber):
        below = _denominators(tree)
        numbers = [one for one in tree.terms if not letters(one) and not holds(one, Root)]
        return not any(map(letters, below)) and (not below or len(numbers) < 2)
    return True


def _denominators(tree: Sum) -> list[Node]:
    bare = [unsigned(one) for one in tree.terms]
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


def _is_simplified(tree: Node) -> bool:
    """Whether nothing is left to do: sums collected, roots and fractions in lowest terms."""
    return (
        _roots_simplified(tree)
        and _is_reduced(tree)
        and _is_collected(tree)
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


def _is_collected(tree: Node) -> bool:
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
    return all(_is_collected(part) for part in children(tree))


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


def _is_worked_out(tree: Node) -> bool:
    """Whether no part that has a rational value is left to be calculated.

    A fraction, a mixed number and a number times a power of ten are numbers as they stand.
    """
    match tree:
        case MixedNumber():
            return True
        case Product((Numeral(), Power(base, exponent))) if base == _TEN:
            return _is_worked_out(exponent)
        case Sum() | Product() | Quotient() | Power() | Root() | Absolute():
            value = None if letters(tree) else surd_of(tree)
            if value is not None and value.is_rational:
                return isinstance(tree, Quotient) and all(map(_is_signed_numeral, children(tree)))
    return all(map(_is_worked_out, children(tree)))


def _is_signed_numeral(node: Node) -> bool:
    return isinstance(unsigned(node), Numeral)


def _is_divided(tree: Node) -> bool:
    """Whether every fraction that is left has a numerator of lower degree than its denominator."""
    match tree:
        case Quotient(above, below) if letters(below):
            return _is_proper_division(above, below)
        case Quotient(above, _):
            bare = unsigned(above)
            return not (isinstance(bare, Sum) and letters(bare))
        case Product(factors):
            over = next((one for one in factors if _is_over_letters(one)), None)
            if isinstance(over, Quotient):
                rest = tuple(one for one in factors if one is not over)
                return _is_proper_division(Product((*rest, over.numerator)), over.denominator)
    return all(_is_divided(part) for part in children(tree))


def _is_over_letters(node: Node) -> bool:
    return isinstance(node, Quotient) and bool(letters(node.denominator))


def _is_proper_division(above: Node, below: Node) -> bool:
    try:
        upper, lower = polynomial_of(above), polynomial_of(below)
    except (BudgetExceeded, ZeroDivisionError):
        return False
    return upper is not None and lower is not None and upper.degree() < lower.degree()


def _is_vertex_form(tree: Node) -> bool:
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


NOTATIONS: Final = ("fraction", "decimal", "percent", "scientific", "mixed", "improper")
_PERCENT: Final = re.compile(r"%|٪|％|\bper\s?cent\b|\bpct\b", re.IGNORECASE)
_E_NOTATION: Final = re.compile(r"(\d+(?:\.\d*)?|\.\d+)\s*[eE]\s*[+-]?\d")


def has_percent_sign(typed: str) -> bool:
    """Whether a percent sign, or the word, stands in a typed text."""
    return _PERCENT.search(typed) is not None


def _is_in_notation(tree: Node, notation: str, typed: str = "") -> bool:
    """Whether a number is written in a notation.

    Args:
        tree: the number as read; an outer minus sign belongs to every notation.
        notation: one of `NOTATIONS`.
        typed: the text as typed: a percent sign and the e of 3.2e5 leave nothing in the tree.
    """
    if notation == "percent" or has_percent_sign(typed):
        return notation == "percent" and has_percent_sign(typed)
    by_e = _E_NOTATION.search(typed)
    if by_e:
        return notation == "scientific" and 1 <= float(by_e[1]) < 10
    bare = unsigned(tree)
    if notation == "decimal":
        return isinstance(bare, Numeral)
    if notation == "mixed":
        return isinstance(bare, MixedNumber) or _is_whole(bare)
    if notation == "improper":
        return _is_fraction(bare) and not isinstance(bare, MixedNumber)
    return _is_scientific(bare) if notation == "scientific" else _is_fraction(bare)


def _is_fraction(bare: Node) -> bool:
    """Whether whole numbers stand above and below the bar; a whole number is one as well."""
    if isinstance(bare, MixedNumber):
        return True
    if isinstance(bare, Quotient):
        return _is_whole(bare.numerator) and _is_whole(bare.denominator)
    return _is_whole(bare)


def _is_whole(node: Node) -> bool:
    bare = unsigned(node)
    return isinstance(bare, Numeral) and bare.places is None and bare.value.denominator == 1


def _is_scientific(bare: Node) -> bool:
    """Whether a number from 1 to under 10 stands before a power of ten; a bare power has the 1."""
    factors = bare.factors if isinstance(bare, Product) else (bare,)
    if len(factors) > 2 or not _is_power_of_ten(factors[-1]):
        return False
    lead = factors[0]
    inner = unsigned(lead)
    return len(factors) == 1 or (isinstance(inner, Numeral) and 1 <= inner.value < 10)


def _is_power_of_ten(node: Node) -> bool:
    return isinstance(node, Power) and node.base == _TEN and _is_whole(node.exponent)


_BRACKETS = re.compile(r"[\[(\]].*[,;].*[\])\[]|\binterval\b", re.DOTALL)
_DECIMAL = re.compile(r"decimal:(\d+)")

EXPECTED: Final = {
    "exact": "an exact value was expected, not a rounded decimal",
    "worked-out": "the calculation was expected to be carried out",
    "simplified": "the simplified form was expected",
    "factored": "the completely factored form was expected",
    "expanded": "the expanded form was expected",
    "reduced": "a fraction in lowest terms was expected",
    "divided": "the division was expected to be carried out",
    "vertex": "the vertex form a(x - h)^2 + k was expected",
    "interval": "interval notation was expected",
    "slope-intercept": "the form y = mx + b was expected",
    "positive-exponents": "positive exponents alone were expected",
    "fraction": "a fraction was expected",
    "decimal": "a decimal was expected",
    "percent": "a percent was expected",
    "scientific": "scientific notation, with one digit before the point, was expected",
    "mixed": "a mixed number was expected",
    "improper": "an improper fraction was expected",
}
"""What is said of a right answer in another form than the one asked for."""
FORMS: Final = ("any", *EXPECTED)


def parts_of_form(form: str | None) -> tuple[str, ...]:
    """Return the parts of a form such as `exact+simplified`.

    Raises:
        UsageError: a part is unknown.
    """
    parts = tuple(part.strip() for part in (form or "any").split("+"))
    for part in parts:
        if part not in FORMS and not _DECIMAL.fullmatch(part):
            raise UsageError(f"unknown form “{part}”; use {', '.join(FORMS)} or decimal:N")
    return parts


def places_of_form(form: str | None) -> list[int]:
    """Decimals that a form asks for, where it asks for some."""
    found = (_DECIMAL.fullmatch(part) for part in parts_of_form(form))
    return [int(one[1]) for one in found if one]


def missing_form(value: Value, form: str | None, typed: str = "") -> str | None:
    """Return what was expected of the form of a right value, or None when the form is right.

    Args:
        value: what was read.
        form: the form asked for.
        typed: the text as typed, which alone tells 35% from 35/100 and 3.2e5 from 320000.
    """
    for part in parts_of_form(form):
        decimals = _DECIMAL.fullmatch(part)
        if decimals:
            if not all(_has_places(number, int(decimals[1])) for number in numbers_of(value)):
                return f"a decimal with {decimals[1]} places was expected"
        elif part in _SHAPES:
            if not _SHAPES[part](value, typed):
                return EXPECTED[part]
        elif part in NOTATIONS:
            if not all(_is_in_notation(tree, part, typed) for tree in trees_of(value)):
                return EXPECTED[part]
        elif part != "any" and not all(_CHECKS[part](tree) for tree in trees_of(value)):
            return EXPECTED[part]
    return None


def trees_of(value: Value) -> Iterator[Node]:
    """Yield the trees whose form counts: numbers, expressions, right sides of equations."""
    if isinstance(value, Expression):
        yield value.tree
    elif isinstance(value, Equation):
        sides = value.relation.sides
        yield from (side for side in sides if not isinstance(side, Letter))
    else:
        yield from (number.tree for number in numbers_of(value))


def _is_interval(value: Value, typed: str) -> bool:
    """Whether a set of numbers is written with brackets; none and all may be said in words."""
    one = value.parts[0] if isinstance(value, Region) and len(value.parts) == 1 else None
    everything = one is not None and one.low is None and one.high is None
    ordered = isinstance(value, Region) and bool(value.parts) and not everything
    return not ordered or _BRACKETS.search(typed) is not None


def _is_slope_intercept(value: Value, _: str) -> bool:
    """Whether y, or the x of a vertical line, stands alone before a sum without brackets."""
    if not isinstance(value, Equation) or len(value.relation.sides) != 2:
        return False
    first, second = value.relation.sides
    alone, rest = (first, second) if isinstance(first, Letter) else (second, first)
    return isinstance(alone, Letter) and alone.name in "xy" and _is_expanded(rest)


def _has_positive_exponents(tree: Node) -> bool:
    raised = (one.exponent for one in nodes(tree) if isinstance(one, Power))
    return not any(isinstance(one, Negation) for one in raised)


def _has_places(number: Number, places: int) -> bool:
    whole = number.surd is not None and number.surd.is_integer
    return number.places == places or (number.places is None and whole)


def _is_exact(tree: Node) -> bool:
    return not any(map(is_decimal, nodes(tree)))


def _is_expanded(tree: Node) -> bool:
    """Whether no product or power of a sum is left and like terms are collected."""
    if isinstance(tree, Product) and any(_holds_sum(factor) for factor in tree.factors):
        return False
    if isinstance(tree, Power) and _holds_sum(tree.base):
        return False
    if isinstance(tree, Negation) and _holds_sum(tree.argument):
        return False
    if isinstance(tree, Call) and tree.name in ("log", "ln") and _is_joined(tree.arguments[0]):
        return False
    return _is_collected(tree) and all(_is_expanded(part) for part in children(tree))


def _is_joined(inside: Node) -> bool:
    """Whether a law makes more logarithms of one: a product, a quotient or a power with letters."""
    return isinstance(inside, Product | Quotient | Power | Root) and bool(letters(inside))


def _holds_sum(node: Node) -> bool:
    inner = unsigned(node)
    return isinstance(inner, Sum) and bool(letters(inner))


def _is_factored(tree: Node) -> bool:
    """Whether every factor is irreducible over the rationals and no number is left inside."""
    if isinstance(tree, Relation):
        return all(_is_factored(side) for side in tree.sides)
    if isinstance(tree, Negation):
        return _is_factored(tree.argument)
    if isinstance(tree, Quotient) and not letters(tree.denominator):
        return _is_factored(tree.numerator)
    if isinstance(tree, Product):
        numbers = sum(isinstance(factor, Numeral) for factor in tree.factors)
        return numbers < 2 and all(_is_factored(part) for part in tree.factors)
    if isinstance(tree, Power):
        return _is_factored(tree.base)
    if not letters(tree):
        return True
    value = polynomial_of(tree)
    return value is not None and is_irreducible(value)


_CHECKS: dict[str, Callable[[Node], bool]] = {
    "exact": _is_exact,
    "worked-out": _is_worked_out,
    "simplified": _is_simplified,
    "reduced": lambda tree: _is_reduced(tree) and _is_one_fraction(tree),
    "expanded": _is_expanded,
    "factored": _is_factored,
    "divided": _is_divided,
    "vertex": _is_vertex_form,
    "positive-exponents": _has_positive_exponents,
}
_SHAPES: dict[str, Callable[[Value, str], bool]] = {
    "interval": _is_interval,
    "slope-intercept": _is_slope_intercept,
}
