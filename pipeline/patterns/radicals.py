"""Errors with radicals."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import combinations
from math import isqrt

from pipeline.exact.evaluate import tree_of_surd
from pipeline.exact.numbers import Surd, square_part
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import Letter, Node, Power, Product, Quotient, Root, Sum, exchanged, nodes
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.operations import root
from pipeline.procedures.rewriting.operations import (
    add,
    divide,
    multiply,
    raise_to_power,
    take_root,
)
from pipeline.procedures.rewriting.terms import (
    Monomial,
    factors_of,
    monomial,
    negative,
    number,
    over,
    power,
    product_of,
    rational,
    signed,
    sum_of,
    terms_of,
    value_of,
    whole,
)
from pipeline.procedures.walk import Choices, Ending, Place, needed

_MOST_TERMS = 5


_Radicals = list[tuple[Node, Node]]
"""Terms with one radical: the signed number before it, and what is under it."""


def _radical_term(term: Node) -> tuple[Node, Node] | None:
    """A term as its signed number and its radicand; None where it has no radical of its own."""
    sign, body = signed(term)
    factors = factors_of(body)
    roots = [factor for factor in factors if isinstance(factor, Root)]
    outside = product_of(*(factor for factor in factors if not isinstance(factor, Root)))
    if len(roots) != 1 or whole(roots[0].index) != 2 or value_of(outside) is None:
        return None
    return (outside if sign == 1 else negative(outside)), roots[0].radicand


def _with_joined(
    terms: tuple[Node, ...],
    found: dict[int, tuple[Node, Node]],
    chosen: list[tuple[int, ...]],
    join: Callable[[_Radicals], Node | None],
) -> Iterator[Node]:
    for places in chosen:
        joined = join([found[at] for at in places]) if len(places) > 1 else None
        if joined is not None:
            rest = (term for at, term in enumerate(terms) if at not in places)
            yield sum_of(joined, *rest)


def _joined(place: Sum, join: Callable[[_Radicals], Node | None]) -> Choices | None:
    """Join all terms with radicals, or two of them, wrongly; the others stay as they are."""
    terms = terms_of(place)
    if len(terms) > _MOST_TERMS:
        return None
    found = {at: one for at, term in enumerate(terms) if (one := _radical_term(term)) is not None}
    chosen = [tuple(found), *combinations(found, 2)] if len(found) > 2 else [tuple(found)]
    return Choices(_with_joined(terms, found, chosen, join))


def _under_one_root(found: _Radicals) -> Node | None:
    """Add what is under the radicals, behind the only number before one of them."""
    sizes = [abs(rational(outside) or Fraction(0)) for outside, _ in found]
    if len([size for size in sizes if size != 1]) > 1 or (rational(found[0][0]) or 0) < 1:
        return None
    inside = [
        radicand if (rational(outside) or 0) > 0 else negative(radicand)
        for outside, radicand in found
    ]
    return product_of(number(max(sizes)), Root(sum_of(*inside)))


@pattern(
    source="OpenStax Elementary Algebra 2e, 9.2 (exercise); Matz 1980 (from memory)",
    shows=(
        "simplify | sqrt(27) + sqrt(12) | sqrt(39)",
        "simplify | sqrt(5) + sqrt(3) | sqrt(8)",
        "simplify | 3sqrt(8) + sqrt(18) | 3sqrt(26)",
    ),
    silent=(
        "simplify | sqrt(27) + sqrt(12) | 5sqrt(3)",
        "simplify | sqrt(27) * sqrt(12) | 18",
    ),
)
@instead_of(add)
def roots_added_under_one_root(place: Sum) -> Choices | None:
    """Adds or subtracts the numbers under the radical signs."""
    return _joined(place, _under_one_root)


def _both_added(found: _Radicals) -> Node | None:
    if all(abs(rational(outside) or 0) == 1 for outside, _ in found):
        return None
    outside = sum_of(*(one for one, _ in found))
    return product_of(outside, Root(sum_of(*(radicand for _, radicand in found))))


@pattern(
    source="from memory",
    shows=(
        "simplify | 2sqrt(3) + 4sqrt(3) | 6sqrt(6)",
        "simplify | 4sqrt(5) + 3sqrt(2) | 7sqrt(7)",
    ),
    silent=(
        "simplify | 2sqrt(3) + 4sqrt(3) | 6sqrt(3)",
        "simplify | sqrt(3) + sqrt(5) | sqrt(8)",
    ),
)
@instead_of(add)
def radicands_added_with_coefficients(place: Sum) -> Choices | None:
    """Adds the numbers before the radicals and the numbers under them."""
    return _joined(place, _both_added)


def _radicands_multiplied(found: _Radicals) -> Node | None:
    if len({radicand for _, radicand in found}) < len(found):
        return None
    outside = sum_of(*(one for one, _ in found))
    return product_of(outside, Root(product_of(*(radicand for _, radicand in found))))


@pattern(
    source="common practice",
    shows=(
        "simplify | 2sqrt(3) + 4sqrt(5) | 6sqrt(15)",
        "simplify | sqrt(2) + sqrt(7) | 2sqrt(14)",
    ),
    silent=(
        "simplify | 2sqrt(3) + 4sqrt(5) | 2sqrt(3) + 4sqrt(5)",
        "simplify | 2sqrt(3) + 4sqrt(3) | 6sqrt(3)",
    ),
)
@instead_of(add)
def unlike_radicals_joined(place: Sum) -> Choices | None:
    """Adds the numbers before different radicals and multiplies the numbers under them."""
    return _joined(place, _radicands_multiplied)


@pattern(
    source="common practice",
    shows=(
        "simplify | 2sqrt(3) + 5sqrt(3) - sqrt(2) | 6sqrt(3)",
        "simplify | 2sqrt(3) + 4sqrt(5) | 6sqrt(5)",
    ),
    silent=(
        "simplify | 2sqrt(3) + 5sqrt(3) - sqrt(2) | 7sqrt(3) - sqrt(2)",
        "simplify | 2sqrt(3) + 4sqrt(3) | 6sqrt(3)",
    ),
)
@instead_of(add)
def unlike_radicals_joined_as_like(place: Sum) -> Choices | None:
    """Joins different radicals as if they were alike, under one of their numbers."""
    found = [_radical_term(term) for term in terms_of(place)]
    kept = [one for one in found if one is not None]
    radicands = dict.fromkeys(radicand for _, radicand in kept)
    if len(kept) < len(found) or not 2 <= len(found) <= _MOST_TERMS or len(radicands) < 2:
        return None
    outside = sum_of(*(one for one, _ in kept))
    return Choices(product_of(outside, Root(radicand)) for radicand in radicands)


@pattern(
    source="common practice",
    shows=(
        "simplify | 3sqrt(2)*2sqrt(5) | 6sqrt(7)",
        "simplify | sqrt(2)*sqrt(5) | sqrt(7)",
    ),
    silent=(
        "simplify | 3sqrt(2)*2sqrt(5) | 6sqrt(10)",
        "simplify | sqrt(2) + sqrt(5) | sqrt(7)",
    ),
)
@instead_of(multiply)
def radicands_added_in_product(place: Product) -> Node | None:
    """Adds the numbers under two radicals that are to be multiplied."""
    numbers, radicands = _two_roots(place)
    return product_of(*numbers, Root(sum_of(*radicands))) if radicands else None


def _two_roots(place: Product) -> tuple[tuple[Node, ...], tuple[Node, ...]]:
    """What stands before two square roots in a product, and under them; nothing elsewhere."""
    factors = [inner for factor in place.factors for inner in factors_of(factor)]
    inside = [one.radicand for one in factors if isinstance(one, Root) and whole(one.index) == 2]
    others = [one for one in factors if not isinstance(one, Root)]
    return (tuple(others), tuple(inside)) if len(inside) == 2 else ((), ())


@pattern(
    source="common practice",
    shows=(
        "simplify | sqrt(3) * sqrt(3) | 9",
        "simplify | sqrt(2) * sqrt(8) | 16",
    ),
    silent=(
        "simplify | sqrt(3) * sqrt(3) | 3",
        "simplify | 2sqrt(3) * 3sqrt(3) | 18",
    ),
)
@instead_of(multiply)
def radicals_multiplied_in_part(place: Product) -> Node | None:
    """Multiplies the numbers under two radicals and leaves the radical sign out."""
    numbers, radicands = _two_roots(place)
    return product_of(*numbers, *radicands) if radicands else None


@radicals_multiplied_in_part.also(multiply, shows=("simplify | 2sqrt(3) * 3sqrt(3) | 6sqrt(3)",))
def _like_radical_kept(place: Product) -> Node | None:
    """Multiplies the numbers before two like radicals and keeps the radical as it is."""
    numbers, radicands = _two_roots(place)
    return product_of(*numbers, Root(radicands[0])) if len(set(radicands)) == 1 else None


@radicals_multiplied_in_part.also(
    raise_to_power,
    shows=("simplify | (2 + sqrt(3))^2 | 13 + 4sqrt(3)", "simplify | (3sqrt(2))^2 | 36"),
    silent=("simplify | (2 + sqrt(3))^2 | 7 + 4sqrt(3)", "simplify | (3sqrt(2))^2 | 18"),
)
def _square_of_radical_squares_its_number(place: Power) -> Node | None:
    """Takes the square of a radical for the square of the number under it."""
    roots = {one for one in nodes(place.base) if isinstance(one, Root) and whole(one.index) == 2}
    if whole(place.exponent) != 2 or len(roots) != 1:
        return None
    (root,) = roots
    square = polynomial_of(Power(exchanged(place.base, root, Letter("r")), place.exponent))
    if square is None or square.letters != {"r"} or square.degree() != 2:
        return None
    parts = [tree_of_surd(one) for one in square.coefficients("r")]
    by = (number(1), root, Power(root.radicand, place.exponent))
    return sum_of(*(product_of(part, one) for part, one in zip(parts, by, strict=True)))


@pattern(
    source="Pournara et al. 2016 (related: unlike terms joined); common practice",
    shows=(
        "simplify | 3 + 2sqrt(5) | 5sqrt(5)",
        "simplify | 7 - 4sqrt(3) | 3sqrt(3)",
    ),
    silent=(
        "simplify | 3 + 2sqrt(5) | 3 + 2sqrt(5)",
        "simplify | 3sqrt(5) + 2sqrt(5) | 5sqrt(5)",
    ),
)
@instead_of(add)
def number_added_into_radical(place: Sum) -> Choices | None:
    """Adds a number without radical to the number before a radical."""
    terms = terms_of(place)
    plain = [at for at, term in enumerate(terms) if rational(term) is not None]
    if len(plain) != 1 or len(terms) > _MOST_TERMS:
        return None
    others = [at for at in range(len(terms)) if at != plain[0]]
    return Choices(
        sum_of(product_of(sum_of(terms[plain[0]], found[0]), Root(found[1])), *rest)
        for at in others
        if (found := _radical_term(terms[at])) is not None
        for rest in [[terms[one] for one in others if one != at]]
    )


@pattern(
    source="from memory",
    shows=(
        "simplify | 5sqrt(8) | 2sqrt(2)",
        "simplify | 3sqrt(50) | 5sqrt(2)",
    ),
    silent=(
        "simplify | 5sqrt(8) | 10sqrt(2)",
        "simplify | 5sqrt(8) | 20sqrt(2)",
    ),
)
@instead_of(multiply)
def number_before_radical_lost(place: Product) -> Node | None:
    """Simplifies the radical and loses the number before it."""
    factors = factors_of(place)
    roots = [factor for factor in factors if isinstance(factor, Root)]
    if len(factors) != 2 or len(roots) != 1 or isinstance(factors[1], Root) is False:
        return None
    return roots[0] if rational(factors[0]) is not None else None


@pattern(
    source="common practice",
    shows=(
        "simplify | 5sqrt(8) | 7sqrt(2)",
        "simplify | 3sqrt(50) | 8sqrt(2)",
    ),
    silent=(
        "simplify | 5sqrt(8) | 10sqrt(2)",
        "simplify | 5sqrt(8) | 2sqrt(2)",
    ),
)
@instead_of(multiply)
def number_before_radical_added(place: Product) -> Node | None:
    """Adds the number that comes out of a radical to the number before it."""
    factors = [inner for factor in place.factors for inner in factors_of(factor)]
    if len(factors) != 3 or not isinstance(factors[2], Root):
        return None
    first, second = rational(factors[0]), rational(factors[1])
    if first is None or second is None:
        return None
    return product_of(number(first + second), factors[2])


def _radical_below(place: Quotient) -> tuple[Root, list[Node]] | None:
    """The square root of a number in a denominator, and what else stands there."""
    factors = factors_of(place.denominator)
    roots = [factor for factor in factors if isinstance(factor, Root)]
    if len(roots) != 1 or whole(roots[0].index) != 2 or rational(roots[0].radicand) is None:
        return None
    return roots[0], [factor for factor in factors if not isinstance(factor, Root)]


@pattern(
    source="from memory",
    shows=(
        "simplify | 5/sqrt(3) | 5/3",
        "simplify | 4/sqrt(7) | 4/7",
    ),
    silent=(
        "simplify | 5/sqrt(3) | 5sqrt(3)/3",
        "simplify | 5/sqrt(3) | 5sqrt(3)",
    ),
)
@instead_of(divide)
def rationalized_denominator_only(place: Quotient) -> Node | None:
    """Multiplies only the denominator by the radical that rationalizes it."""
    below = needed(_radical_below(place))
    return Quotient(place.numerator, product_of(*below[1], below[0].radicand))


@pattern(
    source="common practice",
    shows=(
        "simplify | 1/sqrt(3) | sqrt(3)",
        "simplify | 5/sqrt(2) | 5sqrt(2)",
    ),
    silent=(
        "simplify | 1/sqrt(3) | sqrt(3)/3",
        "simplify | 5/sqrt(2) | 5/2",
    ),
)
@instead_of(divide)
def denominator_lost_in_rationalizing(place: Quotient) -> Node | None:
    """Moves the radical below into the numerator and leaves nothing of it in the denominator."""
    below = needed(_radical_below(place))
    return over(product_of(place.numerator, below[0]), product_of(*below[1]))


@pattern(
    source="common practice",
    shows=(
        "simplify | sqrt(32)/8 | 2",
        "simplify | sqrt(20)/5 | 2",
    ),
    silent=(
        "simplify | sqrt(32)/8 | sqrt(2)/2",
        "simplify | sqrt(32)/sqrt(8) | 2",
    ),
)
@instead_of(divide)
def radical_divided_by_plain_number(place: Quotient) -> Node | None:
    """Divides the number under a radical by a number outside of it."""
    above, below = place.numerator, whole(place.denominator)
    if not isinstance(above, Root) or below is None or below < 2:
        return None
    inside = whole(above.radicand)
    return Root(number(inside // below)) if inside and inside % below == 0 else None


@pattern(
    source="from memory",
    shows=(
        "solve | (x + 5)^2 = 63 | 18.812, -28.812",
        "solve | x^2 = 12 | 4sqrt(3), -4sqrt(3)",
    ),
    silent=(
        "solve | x^2 = 12 | 2sqrt(3), -2sqrt(3)",
        "solve | x^2 = 36 | 36, -36",
    ),
)
@instead_of(root, Place.SQUARE_ROOT, Place.COMPLETING_THE_SQUARE, Place.QUADRATIC_FORMULA)
def square_factor_left_unrooted(radicand: Surd) -> Choices | None:
    """Takes a square factor out of a radical without rooting it: sqrt(20) becomes 4 sqrt(5)."""
    if not radicand.is_rational or not radicand:
        return None
    value = radicand.as_fraction()
    outside, inside = square_part(value.numerator)
    below_outside, below_inside = square_part(value.denominator)
    below = below_outside
    if below_inside != 1:
        outside, inside = square_part(value.numerator * value.denominator)
        below = value.denominator
    if inside == 1:
        return None
    return Choices(
        Surd(((inside, taken * outside),), below)
        for taken in range(2, min(outside, 200) + 1)
        if outside % taken == 0
    )


def _radicand(place: Root) -> int | None:
    """The whole number under a square root."""
    return whole(place.radicand) if whole(place.index) == 2 else None


def _square_factors(size: int) -> list[int]:
    """All s > 1 whose square divides a number."""
    return [s for s in range(2, min(isqrt(size), 200) + 1) if size % (s * s) == 0]


@square_factor_left_unrooted.also(
    take_root,
    shows=(
        "simplify | sqrt(125) | 25sqrt(5)",
        "simplify | sqrt(12) | 4sqrt(3)",
        "simplify | sqrt(-9) | 9i",
    ),
    silent=(
        "simplify | sqrt(125) | 5sqrt(5)",
        "simplify | sqrt(125) | 5sqrt(25)",
        "simplify | sqrt(-9) | 3i",
    ),
)
def _square_factor_taken_whole(place: Root) -> Choices | None:
    """Takes a square factor out of the radical without taking its root."""
    size = _radicand(place)
    if not size:
        return None
    factors = _square_factors(abs(size))
    sign = 1 if size > 0 else -1
    return Choices(
        product_of(number(s * s), Root(number(sign * (abs(size) // (s * s))))) for s in factors
    )


def inside_root(place: Root) -> Monomial | None:
    """A product of letters, with or without a number, under a square root."""
    one = monomial(place.radicand)
    if one is None or not one.powers or whole(place.index) != 2:
        return None
    plain = all(isinstance(base, Letter) and e.denominator == 1 and e > 0 for base, e in one.powers)
    return one if plain and one.coefficient.is_integer and one.coefficient.real_sign() > 0 else None


def halves(one: Monomial) -> tuple[Node, Node]:
    """What the letters leave outside of the root, and what they leave under it."""
    outside = [power(base, e // 2) for base, e in one.powers if e // 2]
    under = [base for base, e in one.powers if e % 2]
    return product_of(*outside), product_of(*under)


@square_factor_left_unrooted.also(
    take_root,
    shows=("simplify | sqrt(b^5) | b^4sqrt(b)", "simplify | sqrt(12x^2) | 4xsqrt(3)"),
    silent=("simplify | sqrt(b^5) | b^2sqrt(b)", "simplify | sqrt(12x^2) | 2xsqrt(3)"),
)
def _letters_taken_whole(place: Root) -> Choices | None:
    """Takes a square factor out of the radical without taking its root."""
    one = needed(inside_root(place))
    outside, under = halves(one)
    unhalved = [power(base, e - e % 2) for base, e in one.powers if e > 1]
    found = [product_of(Root(number(one.coefficient)), *unhalved, Root(under))]
    size = int(one.coefficient.as_fraction())
    found += [
        product_of(number(s * s), Root(number(size // (s * s))), outside, Root(under))
        for s in range(2, min(isqrt(size), 200) + 1)
        if size % (s * s) == 0
    ]
    return Choices(found)


@pattern(
    source="common practice",
    shows=(
        "simplify | sqrt(45) | 5sqrt(3)",
        "simplify | sqrt(50) | 2sqrt(5)",
    ),
    silent=(
        "simplify | sqrt(45) | 3sqrt(5)",
        "simplify | sqrt(45) | 9sqrt(5)",
    ),
)
@instead_of(take_root)
def radical_inside_outside_swapped(place: Root) -> Node | None:
    """Swaps the number before the radical with the number under it."""
    size = _radicand(place)
    if size is None or size <= 0:
        return None
    outside, inside = square_part(size)
    return product_of(number(inside), Root(number(outside))) if outside > 1 else None


@pattern(
    source="Mathematics Educators question 1040",
    shows=(
        "simplify | sqrt(9) | sqrt(3)",
        "simplify | sqrt(64) | sqrt(8)",
    ),
    silent=(
        "simplify | sqrt(9) | 3",
        "simplify | sqrt(8) | 2sqrt(2)",
    ),
)
@instead_of(take_root)
def root_sign_kept(place: Root) -> Node | None:
    """Takes the root and keeps the radical sign."""
    size = _radicand(place)
    if size is None or size <= 1 or isqrt(size) ** 2 != size:
        return None
    return Root(number(isqrt(size)))


@pattern(
    source="Schechter 2006 (kind of error); Kontorovich 2016 (from memory)",
    shows=(
        "evaluate | sqrt((-5)^2) | -5",
        "simplify | sqrt((2 - 7)^2) | -5",
    ),
    silent=(
        "evaluate | sqrt((-5)^2) | 5",
        "evaluate | sqrt(5^2) | -5",
    ),
)
@instead_of(take_root)
def root_of_square_keeps_sign(place: Root) -> Node | None:
    """Cancels root and square although the number inside is negative."""
    inside = place.radicand
    if not isinstance(inside, Power) or whole(inside.exponent) != whole(place.index):
        return None
    value = rational(inside.base)
    return inside.base if value is not None and value < 0 else None


@pattern(
    source="a teacher's blog, 2014; Roach, Gibson and Weber 2004 (from memory)",
    shows=(
        "simplify | sqrt(25) | 5 or -5",
        "simplify | sqrt(8) | 2sqrt(2), -2sqrt(2)",
    ),
    silent=(
        "simplify | sqrt(25) | 5",
        "simplify | sqrt(25) | -5",
    ),
)
@instead_of(take_root)
def principal_root_with_both_signs(place: Root) -> Ending | None:
    """Gives a square root both signs, although the sign stands for the principal root."""
    value = value_of(place)
    if value is None or whole(place.index) != 2 or not value:
        return None
    return Ending(frozenset({value, -value}))


def _root_before(term: Monomial) -> Node:
    """The root of the number before the letters; 1 is not written."""
    return number(1) if term.coefficient == 1 else Root(number(term.coefficient))


@pattern(
    source="common practice",
    shows=(
        "simplify | sqrt(x^16) | x^4",
        "simplify | sqrt(9y^16) | 3y^4",
    ),
    silent=(
        "simplify | sqrt(x^16) | x^8",
        "simplify | sqrt(x^16) | 4x",
    ),
)
@instead_of(take_root)
def exponent_rooted_not_halved(place: Root) -> Node | None:
    """Takes the square root of the exponent of a letter instead of half of it."""
    one = monomial(place.radicand)
    if one is None or not one.powers or whole(place.index) != 2:
        return None
    roots = []
    for base, exponent in one.powers:
        root = isqrt(int(exponent)) if exponent.denominator == 1 and exponent > 1 else 0
        if not root or root * root != exponent:
            return None
        roots.append(power(base, root))
    return product_of(_root_before(one), *roots)


@pattern(
    source="common practice",
    shows=(
        "simplify | sqrt(b^5) | b^2",
        "simplify | sqrt(16x^7) | 4x^3",
    ),
    silent=(
        "simplify | sqrt(b^5) | b^2sqrt(b)",
        "simplify | sqrt(b^4) | b^2",
    ),
)
@instead_of(take_root)
def leftover_under_root_dropped(place: Root) -> Node | None:
    """Halves an odd exponent and forgets the letter that stays under the root."""
    one = inside_root(place)
    if one is None or not any(e % 2 and e > 1 for _, e in one.powers):
        return None
    return product_of(_root_before(one), halves(one)[0])
