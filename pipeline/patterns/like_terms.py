"""Errors in collecting like terms."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache

from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial
from pipeline.exact.trees import Letter, Node, Root, Sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ONE
from pipeline.procedures.parts import Part, over, times
from pipeline.procedures.parts import over as over_part
from pipeline.procedures.rewriting.operations import add
from pipeline.procedures.rewriting.terms import (
    Monomial,
    factors_of,
    monomial,
    number,
    product_of,
    rational,
    signed,
    sum_of,
    terms_of,
)
from pipeline.procedures.solving_for import Formula, divide_by, start_with
from pipeline.procedures.walk import Choices, Place, needed
from pipeline.tasks.translate import put_sum

_MOST_TERMS = 8


@lru_cache(maxsize=1024)
def _monomials(place: Sum) -> list[Monomial] | None:
    """All terms as monomials of letters, None where one is something else."""
    terms = terms_of(place)
    if len(terms) > _MOST_TERMS:
        return None
    found = [monomial(term) for term in terms]
    if any(one is None for one in found):
        return None
    kept = [one for one in found if one is not None]
    plain = all(isinstance(base, Letter) for one in kept for base, _ in one.powers)
    return kept if plain and any(one.powers for one in kept) else None


def _with_pair_joined(
    terms: list[Monomial], first: int, second: int, joined: Monomial | Node
) -> Node:
    rest = [one.tree() for index, one in enumerate(terms) if index not in (first, second)]
    tree = joined.tree() if isinstance(joined, Monomial) else joined
    return sum_of(*rest[:first], tree, *rest[first:])


def _pairs(terms: list[Monomial]) -> list[tuple[int, int]]:
    return [(i, j) for j in range(len(terms)) for i in range(j)]


def _bases(one: Monomial) -> set[Node]:
    return {base for base, _ in one.powers}


def _joined(one: Monomial, two: Monomial) -> Iterator[Monomial]:
    """Write two terms as one; a letter without a number adds none: n + 5 is 5n."""
    powers = (*one.powers, *two.powers)
    yield Monomial(one.coefficient + two.coefficient, powers)
    for bare, other in ((one, two), (two, one)):
        if bare.powers and bare.coefficient == 1:
            yield Monomial(other.coefficient, powers)


@pattern(
    source="Pournara et al. 2016; Gumpo 2014; Kuchemann 1981 (from memory)",
    shows=(
        "simplify | 3x + 4 | 7x",
        "simplify | 5x + 2y | 7xy",
        "expand | 5(x + 2) | 15x",
        "simplify | n + 5 | 5n",
        "solve | 3(x + 4) = 27 | 9/4",
        "solve | 4(n + 5) = 20 | 1",
        "solve | 3x + 4 = 21 | 3",
        "solve | 5x - 2 = 12 | 4",
    ),
    silent=(
        "simplify | 3x + 4 | 3x + 4",
        "simplify | 3x + 4x | 7x",
        "solve | 3(x + 4) = 27 | 5",
        "solve | 3x + 4 = 21 | 17/3",
    ),
)
@instead_of(add)
def unlike_terms_joined(place: Sum) -> Choices | None:
    """Joins unlike terms into one, such as a number with a letter."""
    terms = _monomials(place)
    if terms is None:
        return None
    return Choices(
        _with_pair_joined(terms, i, j, joined)
        for i, j in _pairs(terms)
        for joined in _joined(terms[i], terms[j])
        if not set(terms[i].powers) & set(terms[j].powers)
        and not (_bases(terms[i]) & _bases(terms[j]))
    )


@unlike_terms_joined.also(
    start_with,
    Place.FORMULA,
    shows=("solve-for | P = 2L + 2W for W | W = P/(4L)", "solve-for | y = mx + b for x | y/(m+b)"),
    silent=("solve-for | P = 2L + 2W for W | W = P/2 - L",),
)
def _joined_before_solving(start: Formula) -> Choices | None:
    (rest, below), (factor, divisor) = start.rest, start.factor
    if len(rest.terms) != 1 or len(factor.terms) != 1 or below != divisor:
        return None
    ((letters, size),) = rest.terms.items()
    ((others, number),) = factor.terms.items()
    multiplied = Polynomial({letters: ONE}) * Polynomial({others: size + number})
    return Choices(over(start.other, (one, below)) for one in (rest + factor, multiplied) if one)


@unlike_terms_joined.also(
    put_sum,
    shows=(
        "translate | three more than twice a number: 2x + 3 | 5x",
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | -3x = 11",
    ),
    silent=(
        "translate | three more than twice a number: 2x + 3 | 3 + 2n",
        "translate | three more than twice a number: 2x + 3 | 6x",
    ),
)
def _unlike_terms_of_sentence_joined(place: Sum) -> Choices | None:
    joined: Choices | None = unlike_terms_joined.moves[0].version(place)
    return joined


@pattern(
    source="common practice",
    shows=(
        "simplify | 4x - x | 3",
        "simplify | 2y + 5y | 7",
    ),
    silent=(
        "simplify | 4x - x | 3x",
        "simplify | 4x - x | 4",
    ),
)
@instead_of(add)
def letter_left_out_of_like_terms(place: Sum) -> Node | None:
    """Joins the numbers before like terms and leaves the letter out."""
    terms = _monomials(place)
    if terms is None or not terms[0].powers or len({one.powers for one in terms}) != 1:
        return None
    return number(sum((one.coefficient for one in terms), Surd.of(0)))


@pattern(
    source="Kuchemann 1981 (from memory)",
    shows=(
        "simplify | 3x + 4 | 7",
        "simplify | 2x + 5 | 7",
    ),
    silent=(
        "simplify | 3x + 4 | 7x",
        "simplify | 3x + 4 | 3x + 4",
    ),
)
@instead_of(add)
def letter_dropped_in_sum(place: Sum) -> Node | None:
    """Adds a number to a coefficient and leaves the letter out."""
    terms = _monomials(place)
    if terms is None or len(terms) != 2 or all(one.powers for one in terms):
        return None
    return number(terms[0].coefficient + terms[1].coefficient)


def _exponents_added(one: Monomial, two: Monomial) -> Monomial:
    powers = dict(one.powers)
    for base, power in two.powers:
        powers[base] = powers.get(base, Fraction(0)) + power
    return Monomial(one.coefficient + two.coefficient, tuple(powers.items()))


@pattern(
    source="Pournara et al. 2016",
    shows=(
        "simplify | 3x^2 + 5x^2 | 8x^4",
        "simplify | 4x + 2x | 6x^2",
    ),
    silent=(
        "simplify | 3x^2 + 5x^2 | 8x^2",
        "simplify | 3x^2 * 5x^2 | 15x^4",
    ),
)
@instead_of(add)
def exponents_added_in_sum(place: Sum) -> Choices | None:
    """Adds the exponents when like terms are added."""
    terms = needed(_monomials(place))
    return Choices(
        _with_pair_joined(terms, i, j, _exponents_added(terms[i], terms[j]))
        for i, j in _pairs(terms)
        if terms[i].powers and terms[i].powers == terms[j].powers
    )


@pattern(
    source="Booth et al. 2014 (from memory)",
    shows=(
        "simplify | 2x^2 + 3x | 5x^3",
        "simplify | x^2 + x^3 | x^5",
    ),
    silent=(
        "simplify | 2x^2 + 3x | 2x^2 + 3x",
        "simplify | 2x^2 * 3x | 6x^3",
    ),
)
@instead_of(add)
def different_powers_added(place: Sum) -> Choices | None:
    """Adds terms with different powers of a letter, coefficients and exponents alike."""
    terms = needed(_monomials(place))
    found: list[Node] = []
    for i, j in _pairs(terms):
        one, two = terms[i], terms[j]
        if one.powers == two.powers or not _bases(one) or _bases(one) != _bases(two):
            continue
        joined = _exponents_added(one, two)
        highest = max((one, two), key=lambda term: sum(power for _, power in term.powers))
        options = [joined, joined._replace(powers=highest.powers)]
        if one.coefficient == two.coefficient == 1:
            options.append(joined._replace(coefficient=Surd.of(1)))
        found += [_with_pair_joined(terms, i, j, option) for option in options]
    return Choices(found)


@lru_cache(maxsize=1024)
def _radicals(place: Sum) -> list[Monomial] | None:
    found = []
    for term in terms_of(place):
        sign, body = signed(term)
        roots = [one for one in factors_of(body) if isinstance(one, Root)]
        outside = rational(product_of(*(one for one in factors_of(body) if one not in roots)))
        if len(roots) != 1 or outside is None:
            return None
        found.append(Monomial(Surd.of(sign * outside), ((roots[0], Fraction(1)),)))
    return found if len(found) <= _MOST_TERMS else None


def _likes(place: Sum) -> list[Monomial] | None:
    """All terms as monomials of letters, or all as numbers of one radical each."""
    return _monomials(place) or _radicals(place)


@pattern(
    source="Ashlock 2006; Matz 1980 (from memory)",
    shows=(
        "simplify | 6x - x | 6",
        "simplify | 9y - y | 9",
        "simplify | 7sqrt(2) - sqrt(2) | 7",
    ),
    silent=(
        "simplify | 6x - x | 5x",
        "simplify | 6x - x | 6x",
    ),
)
@instead_of(add)
def letter_taken_off(place: Sum) -> Node | None:
    """Takes the letter, or the radical, off where one of it is subtracted."""
    terms = _likes(place)
    if terms is None or len(terms) != 2 or terms[0].powers != terms[1].powers:
        return None
    return number(terms[0].coefficient) if terms[1].coefficient == -1 else None


@pattern(
    source="Ashlock 2006; Matz 1980 (from memory)",
    shows=(
        "simplify | 6x - x | 6x",
        "simplify | 5y + y | 5y",
        "simplify | 5sqrt(3) + sqrt(3) | 5sqrt(3)",
        "solve | 7x + x = 56 | 8",
        "solve | 6x - x = 30 | 5",
    ),
    silent=(
        "simplify | 6x - x | 5x",
        "simplify | 5y + 2y | 5y",
        "solve | 7x + x = 56 | 7",
        "solve | 7x + 2x = 56 | 8",
    ),
)
@instead_of(add)
def bare_letter_counts_as_none(place: Sum) -> Choices | None:
    """Counts a letter, or a radical, without a number before it as none of it."""
    terms = needed(_likes(place))
    return Choices(
        sum_of(*(one.tree() for index, one in enumerate(terms) if index != left))
        for left, bare in enumerate(terms)
        if bare.powers
        and bare.coefficient in (1, -1)
        and any(bare.powers == one.powers for i, one in enumerate(terms) if i != left)
    )


@pattern(
    source="Payne and Squibb 1990 (from memory)",
    shows=(
        "simplify | 2x + 5x | 10x",
        "simplify | 3a^2 + 4a^2 | 12a^2",
        "simplify | 2sqrt(3) + 5sqrt(3) | 10sqrt(3)",
    ),
    silent=(
        "simplify | 2x + 5x | 7x",
        "simplify | 2x + 5x | 7x^2",
    ),
)
@instead_of(add)
def coefficients_multiplied_in_sum(place: Sum) -> Choices | None:
    """Multiplies the coefficients of like terms that are to be added."""
    terms = needed(_likes(place))
    return Choices(
        _with_pair_joined(
            terms, i, j, Monomial(terms[i].coefficient * terms[j].coefficient, terms[i].powers)
        )
        for i, j in _pairs(terms)
        if terms[i].powers and terms[i].powers == terms[j].powers
    )


@coefficients_multiplied_in_sum.also(
    divide_by,
    Place.FORMULA,
    shows=("solve-for | ax + bx = c for x | c/(ab)", "solve-for | S = 2ab + 2ac for a | S/(4bc)"),
    silent=("solve-for | ax + bx = c for x | c/(a + b)", "solve-for | abx = c for x | c/(ab)"),
)
def _factors_of_letter_multiplied(other: Part, factor: Part) -> Part | None:
    """Multiplies what stands before the letter in two terms, where it is to be added."""
    terms = [(Polynomial({one: size}), factor[1]) for one, size in factor[0].ordered()]
    return over_part(other, times(*terms)) if len(terms) == 2 else None


def _plain(powers: tuple[tuple[Node, object], ...]) -> bool:
    return all(isinstance(base, Letter) for base, _ in powers)


@pattern(
    source="common practice",
    shows=(
        "simplify | x + x | x^2",
        "simplify | 2x + 3x | 6x^2",
    ),
    silent=(
        "simplify | x + x | 2x",
        "simplify | 2x * 3x | 6x^2",
    ),
)
@instead_of(add)
def like_terms_multiplied(place: Sum) -> Node | None:
    """Multiplies like terms that are to be added."""
    terms = terms_of(place)
    found = [monomial(term) for term in terms]
    powers = {one.powers for one in found if one is not None}
    if None in found or len(powers) != 1 or not next(iter(powers)):
        return None
    return product_of(*terms) if _plain(next(iter(powers))) else None
