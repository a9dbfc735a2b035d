"""Errors with fractions whose parts are sums."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import gcd, lcm

from pipeline.exact.coefficients import Coefficients, added, scaled, trimmed
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Node, Quotient, Sum, letters
from pipeline.patterns.division_of_polynomials import Divided
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ZERO
from pipeline.procedures.operations import quotients
from pipeline.procedures.rational_equations import Term, clear_denominators
from pipeline.procedures.rewriting.operations import add, copy_expression, divide
from pipeline.procedures.rewriting.terms import (
    ONE,
    Monomial,
    as_fraction,
    canonical,
    monomial,
    negative,
    number,
    product_of,
    signed,
    sum_of,
    terms_of,
    value_of,
    whole,
)
from pipeline.procedures.rewriting.terms import ZERO as ZERO_NODE
from pipeline.procedures.rewriting.terms import over as over_node
from pipeline.procedures.walk import Choices, Place
from pipeline.tasks.divide import divide_rows


@pattern(
    source="Scofield 2003 (code EPE)",
    shows=(
        "simplify | x/2 + x/3 | 5x",
        "simplify | 1/x + 1/3 | x + 3",
        "simplify | (x + 1)/4 - x/6 | x + 3",
    ),
    silent=(
        "simplify | x/2 + x/3 | 5x/6",
        "simplify | x/2 + x/3 | 2x/5",
        "solve | x/2 + x/3 = 5 | 6",
    ),
)
@instead_of(copy_expression, Place.SIMPLIFY)
def expression_multiplied_by_denominator(tree: Node) -> Node | None:
    """Multiplies an expression by the common denominator, as if it were a side of an equation."""
    parts = [as_fraction(term) for term in terms_of(tree)]
    below = [lower for _, lower in parts if lower != ONE]
    if len(parts) < 2 or not below or not letters(tree):
        return None
    sizes = [size for lower in below if (size := whole(lower)) is not None]
    others = dict.fromkeys(lower for lower in below if whole(lower) is None)
    return product_of(number(lcm(*sizes)), *others, tree)


def _without(terms: tuple[Node, ...], index: int) -> Node:
    return sum_of(*terms[:index], *terms[index + 1 :])


def _without_common_factor(one: Node, two: Node) -> tuple[Node, Node] | None:
    """Divide two terms by their greatest common factor; None where there is none."""
    first, second = monomial(one), monomial(two)
    if first is None or second is None:
        return None
    numbers = (first.coefficient, second.coefficient)
    if not all(value.is_integer and value for value in numbers):
        return None
    shared = gcd(*(int(value.as_fraction()) for value in numbers))
    powers, lower = dict(first.powers), dict(second.powers)
    common = {base: min(powers[base], lower[base]) for base in powers if base in lower}
    if shared == 1 and not common:
        return None
    return tuple(  # type: ignore[return-value]  # two terms give two
        Monomial(
            term.coefficient / shared,
            tuple(
                (base, left)
                for base, size in term.powers
                if (left := size - common.get(base, Fraction(0)))
            ),
        ).tree()
        for term in (first, second)
    )


def _crossed_out(
    above: tuple[Node, ...], below: tuple[Node, ...], i: int, j: int
) -> Iterator[Node]:
    """Cross out what one term above and one below have in common, the whole or a part."""
    (sign, one), (other, two) = signed(above[i]), signed(below[j])
    if one == two and (sign == other or len(above) == 1 or len(below) == 1):
        top = _without(above, i) if len(above) > 1 else number(sign * other)
        yield over_node(top, _without(below, j) if len(below) > 1 else ONE)
        left = sum_of(*above[:i], number(sign), *above[i + 1 :])
        yield over_node(left, sum_of(*below[:j], number(other), *below[j + 1 :]))
        return
    parts = _without_common_factor(above[i], below[j])
    # What is left undivided below one term is told by another pattern.
    if parts is not None and (len(below) > 1 or value_of(parts[1]) not in (1, -1)):
        bottom = sum_of(*below[:j], parts[1], *below[j + 1 :])
        yield over_node(sum_of(*above[:i], parts[0], *above[i + 1 :]), bottom)


@pattern(
    source="OpenStax Elementary Algebra 2e, 8.1 (caution); Scofield 2003; Ruhl, Belward and"
    " Balatti 2011 (kind of error)",
    shows=(
        "simplify | (x + 2)/(x + 7) | 2/7",
        "simplify | (x + 6)/6 | x",
        "evaluate | (6 + 8)/6 | 8",
        "simplify | (a - b)/b | a",
        "simplify | 3/(6x + 5) | 1/(2x + 5)",
        "simplify | x/(x + 5) | 1/6",
        "simplify | x/(x + y) | 1/(1 + y)",
    ),
    silent=(
        "simplify | (x + 2)/(x + 7) | (x + 2)/(x + 7)",
        "simplify | (6x)/6 | x",
    ),
)
@instead_of(divide)
def cancelled_across_sum(place: Quotient) -> Choices | None:
    """Cancels a term, or a factor of one term, of a sum above or below the fraction bar."""
    above, below = terms_of(place.numerator), terms_of(place.denominator)
    if len(above) < 2 and len(below) < 2:
        return None
    pairs = [(i, j) for i in range(len(above)) for j in range(len(below))]
    crossed = [one for i, j in pairs for one in _crossed_out(above, below, i, j)]
    return Choices(tree for tree in crossed if tree != ZERO_NODE)


@cancelled_across_sum.also(
    quotients,
    Place.QUADRATIC_FORMULA,
    shows=(
        "solve | 3x^2 - 2x - 4 = 0 | (1 ± 2sqrt(13))/3",
        "solve | 3x^2 - 2x - 4 = 0 | (2 ± sqrt(13))/3",
        "solve | 2x^2 - 6x + 1 = 0 | (6 ± sqrt(7))/2",
    ),
    silent=("solve | 3x^2 - 2x - 4 = 0 | (1 ± sqrt(13))/3",),
)
def _one_term_of_formula_cancelled(
    minus_b: Surd, signed: tuple[Surd, ...], below: Surd
) -> Choices | None:
    if not minus_b.is_integer or not below.is_integer or any(one.is_rational for one in signed):
        return None
    divisor = int(below.as_fraction())
    ((_, outside),) = signed[0].terms if len(signed[0].terms) == 1 else ((0, 0),)
    first, second = gcd(int(minus_b.as_fraction()), divisor), gcd(outside, divisor)
    ways = []
    if minus_b and first > 1:
        ways.append(quotients(minus_b / first, signed, below / first))
    if signed[0].denominator == 1 and second > 1:
        ways.append(quotients(minus_b, tuple(root / second for root in signed), below / second))
    return Choices(ways) if ways else None


@pattern(
    source="Otero, Druga and Lan 2024 (label 25); OpenStax Elementary Algebra 2e, 8.1 (caution);"
    " Scofield 2003",
    shows=(
        "simplify | (4x + 6)/2 | 2x + 6",
        "simplify | (6 ± 2sqrt(3))/2 | 6 ± sqrt(3)",
        "simplify | (8 - 2sqrt(10))/2 | 4 - 2sqrt(10)",
        "solve | (4x + 8)/4 = 6 | -2",
        "solve | (6x + 9)/3 = 11 | 1",
        "function | f(x) = 3x^2 - x; (f(x + h) - f(x))/h | 6x + 3h^2 - h",
        "function | f(x) = x^2 + 4x; (f(x + h) - f(x))/h | 2x + h^2 + 4h",
    ),
    silent=(
        "solve | (4x + 8)/4 = 6 | 4",
        "simplify | (4x + 6)/2 | 2x + 3",
        "simplify | (4x + 6)/2 | 4x + 12",
        "function | f(x) = x^2; (f(x + h) - f(x))/h | 2x + h",
    ),
)
@instead_of(divide)
def denominator_divides_one_term(place: Quotient) -> Choices | None:
    """Divides only one term of the numerator by the denominator."""
    terms = terms_of(place.numerator)
    if not 2 <= len(terms) <= 5 or isinstance(place.denominator, Sum):
        return None
    return Choices(
        sum_of(*terms[:index], Quotient(term, place.denominator), *terms[index + 1 :])
        for index, term in enumerate(terms)
    )


def _without_coefficient(numbers: Coefficients, place: int) -> Coefficients:
    return trimmed((*numbers[:place], Surd.of(0), *numbers[place + 1 :]))


@denominator_divides_one_term.also(
    divide_rows,
    Place.DIVISION,
    shows=(
        "divide | (6x^3 + 4x) / (2x) | 3x^2 + 4x",
        "divide | (8x^2 + 6x) / 2 | 8x^2 + 3x",
    ),
    silent=("divide | (6x^3 + 4x) / (2x) | 3x^2 + 2",),
)
def _one_term_divided(above: Coefficients, below: Coefficients) -> Choices | None:
    lower = len(below) - 1
    if any(below[:-1]) or sum(1 for number in above if number) < 2:
        return None
    return Choices(
        (
            added(
                _without_coefficient(above, power), (*[ZERO] * (power - lower), number / below[-1])
            ),
            (),
        )
        for power, number in enumerate(above)
        if number and power >= lower
    )


@pattern(
    source="common practice",
    shows=(
        "simplify | (5x + 10)/5 | x",
        "simplify | (x^2 + 3x)/x | 3",
        "simplify | (x^2 - 4)/(x - 2) | x",
    ),
    silent=(
        "simplify | (5x + 10)/5 | x + 2",
        "simplify | (5x + 10)/5 | x + 10",
        "simplify | (5x)/5 | x",
    ),
)
@instead_of(divide)
def one_term_divided_others_left_out(place: Quotient) -> Choices | None:
    """Divides one term of the numerator and leaves the others out."""
    above, below = terms_of(place.numerator), terms_of(place.denominator)
    if len(above) < 2 or len(below) not in (1, len(above)):
        return None
    lower = below * len(above) if len(below) == 1 else below
    return Choices(Quotient(*pair) for pair in zip(above, lower, strict=True))


@one_term_divided_others_left_out.also(
    divide_rows,
    Place.DIVISION,
    shows=("divide | (x^2 + 3x) / x | 3", "divide | (x^2 - 4) / (x - 2) | x"),
    silent=("divide | (x^2 + 3x) / x | x + 3", "divide | (x^2 - 4) / (x - 2) | x + 2"),
)
def _one_row_divided(above: Coefficients, below: Coefficients) -> Choices | None:
    one, two = (
        [(power, number) for power, number in enumerate(row) if number] for row in (above, below)
    )
    if len(one) < 2 or len(two) not in (1, len(one)):
        return None
    pairs = zip(one, two * len(one) if len(two) == 1 else two, strict=True)
    return Choices(
        ((*[ZERO] * (power - lower), number / size), ())
        for (power, number), (lower, size) in pairs
        if power >= lower
    )


@pattern(
    source="common practice",
    shows=(
        "evaluate | 1/(3 + 2) | 7/3",
        "simplify | 1/(x + 2) | 1/x + 2",
    ),
    silent=(
        "evaluate | 1/(3 + 2) | 1/5",
        "simplify | 1/(x + 2) | 1/x + 1/2",
    ),
)
@instead_of(divide)
def divided_by_first_term_only(place: Quotient) -> Node | None:
    """Divides by the first term of a denominator and adds the others."""
    first, *rest = terms_of(place.denominator)
    return sum_of(Quotient(place.numerator, first), *rest) if rest else None


@pattern(
    source="Figueras, Males and Otten 2008 (kind of error); from memory",
    shows=(
        "simplify | (x^2 + 6)/(x + 3) | x + 2",
        "simplify | (x^2 - 9)/(x - 3) | x - 3",
    ),
    silent=(
        "simplify | (x^2 - 9)/(x - 3) | x + 3",
        "simplify | (x^2 + 6)/(x + 3) | (x^2 + 6)/(x + 3)",
    ),
)
@instead_of(divide)
def cancelled_term_by_term(place: Quotient) -> Choices | None:
    """Divides the terms of the numerator one by one by those of the denominator."""
    above, below = terms_of(place.numerator), terms_of(place.denominator)
    if len(below) < 2 or len(above) < len(below):
        return None
    first = Quotient(above[0], below[0])
    last = Quotient(signed(above[-1])[1], signed(below[-1])[1])
    middle = above[1:-1]
    divided = [Quotient(term, below[0]) for term in middle]
    return Choices(
        sum_of(first, *beside, ending)
        for beside in ([middle, divided] if middle else [middle])
        for ending in (last, negative(last))
    )


@cancelled_term_by_term.also(
    divide_rows,
    Place.DIVISION,
    shows=(
        "divide | (x^2 + 6) / (x + 3) | x + 2",
        "divide | (x^3 - 8) / (x - 2) | x^2 + 4",
    ),
    silent=("divide | (x^2 - 9) / (x + 3) | x + 3",),
)
def _first_by_first_last_by_last(above: Coefficients, below: Coefficients) -> Divided | None:
    one = [(power, number) for power, number in enumerate(above) if number]
    two = [(power, number) for power, number in enumerate(below) if number]
    if len(two) < 2 or len(one) != len(two):
        return None
    total: Coefficients = ()
    for (upper, factor), (lower, divisor) in zip(one, two, strict=True):
        if upper < lower:
            return None
        total = added(total, (*[ZERO] * (upper - lower), factor / divisor))
    return total, ()


@pattern(
    source="a public collection of student mistakes",
    shows=(
        "simplify | (x + 2)/(x + 2) | 0",
        "simplify | (5x)/(5x) | 0",
    ),
    silent=(
        "simplify | (x + 2)/(x + 2) | 1",
        "simplify | (x + 2)/(x + 3) | 2/3",
    ),
)
@instead_of(divide)
def cancelled_to_zero(place: Quotient) -> Node | None:
    """Leaves zero where numerator and denominator cancel as a whole."""
    return ZERO_NODE if place.numerator == place.denominator else None


@pattern(
    source="Scofield 2003",
    shows=(
        "simplify | 1/(x + 5) | 1/x + 1/5",
        "evaluate | 6/(2 + 1) | 9",
    ),
    silent=(
        "simplify | 1/(x + 5) | 1/(x + 5)",
        "simplify | (x + 5)/5 | x/5 + 1",
    ),
)
@instead_of(divide)
def denominator_split(place: Quotient) -> Node | None:
    """Splits a fraction with a sum below into one fraction for each term."""
    below = terms_of(place.denominator)
    if len(below) < 2 or isinstance(place.numerator, Sum):
        return None
    return sum_of(
        *(
            Quotient(place.numerator if sign == 1 else negative(place.numerator), body)
            for sign, body in map(signed, below)
        )
    )


@pattern(
    source="OpenStax Elementary Algebra 2e, 8.3; OpenStax Intermediate Algebra 2e, 7.2 (caution)",
    shows=(
        "simplify | (3x)/(x - 1) - (x - 4)/(x - 1) | (2x - 4)/(x - 1)",
        "simplify | 5/(x + 2) - (x + 3)/(x + 2) | (8 - x)/(x + 2)",
    ),
    silent=(
        "simplify | (3x)/(x - 1) - (x - 4)/(x - 1) | (2x + 4)/(x - 1)",
        "simplify | (3x)/(x - 1) + (x - 4)/(x - 1) | (2x - 4)/(x - 1)",
    ),
)
@instead_of(add)
def numerator_minus_first_term_only(place: Sum) -> Node | None:
    """Subtracts only the first term of a numerator that is a sum."""
    changed = False
    terms: list[Node] = []
    for term in place.terms:
        sign, body = signed(term)
        if sign < 0 and isinstance(body, Quotient) and isinstance(body.numerator, Sum):
            first, *rest = terms_of(body.numerator)
            terms.append(Quotient(sum_of(negative(first), *rest), body.denominator))
            changed = True
        else:
            terms.append(term)
    return sum_of(*terms) if changed else None


@numerator_minus_first_term_only.also(
    add,
    shows=(
        "simplify | 2/(x + 1) - 3/(x - 1) | (1 - x)/(x^2 - 1)",
        "simplify | x/(x + 2) - 4/(x - 3) | (x^2 - 7x + 8)/((x + 2)(x - 3))",
    ),
    silent=(
        "simplify | 2/(x + 1) - 3/(x - 1) | -(x + 5)/(x^2 - 1)",
        "simplify | 2/(x + 1) - 3/x | -(x + 3)/(x(x + 1))",
    ),
)
def _rescaled_numerator_subtracted_in_part(place: Sum) -> Node | None:
    if len(place.terms) != 2:
        return None
    (above, below), (other, other_below) = map(as_fraction, place.terms)
    sign, other = signed(other)
    rescaled = terms_of(canonical(product_of(other, below)))
    if sign > 0 or not isinstance(below, Sum) or len(rescaled) < 2 or below == other_below:
        return None
    first, *rest = rescaled
    top = sum_of(product_of(above, other_below), negative(first), *rest)
    return Quotient(top, product_of(below, other_below))


@numerator_minus_first_term_only.also(
    clear_denominators,
    Place.RATIONAL_EQUATION,
    shows=(
        "solve | 6/x - (x - 1)/x = 2 | 5/3",
        "solve | 3 - (x + 4)/(x - 1) = 1 | -2",
        "solve | 2/(x - 1) - (3 - x)/(x - 1) = 4 | 3/5",
    ),
    silent=(
        "solve | 6/x + (x - 1)/x = 2 | 3",
        "solve | 2/(x - 1) - (3 - x)/(x - 1) = 4 | no solution",
    ),
)
def _numerator_subtracted_in_part(terms: tuple[Term, ...]) -> Choices:
    return Choices(
        clear_denominators((*terms[:i], term._replace(above=_later_kept(term)), *terms[i + 1 :]))
        for i, term in enumerate(terms)
        if term.taken_off
    )


def _later_kept(term: Term) -> Coefficients:
    """The first term takes the minus, the others stay."""
    twice_first = scaled(term.taken_off, Surd.of(2))
    return scaled(added(term.above, twice_first), Surd.of(-1))


@pattern(
    source="OpenStax Intermediate Algebra 2e, 7.1 (caution)",
    shows=(
        "simplify | (x + 2)/(2 + x) | -1",
        "simplify | (a + 7)/(7 + a) | -1",
    ),
    silent=(
        "simplify | (x + 2)/(2 + x) | 1",
        "simplify | (x - 2)/(2 - x) | -1",
    ),
)
@instead_of(divide)
def sum_and_reversed_as_opposites(place: Quotient) -> Node | None:
    """Takes a sum and the same sum in another order for opposites."""
    if not (isinstance(place.numerator, Sum) and isinstance(place.denominator, Sum)):
        return None
    same = canonical(place.numerator) == canonical(place.denominator)
    return number(-1) if same and place.numerator != place.denominator else None


@pattern(
    source="OpenStax Intermediate Algebra 2e, 7.1 (kind of error); from memory",
    shows=(
        "simplify | (x - 2)/(2 - x) | 1",
        "simplify | (x^2 - 9)/(3 - x) | x + 3",
    ),
    silent=(
        "simplify | (x - 2)/(2 - x) | -1",
        "simplify | (x - 2)/(x - 2) | 1",
    ),
)
@instead_of(divide)
def opposites_cancelled_to_one(place: Quotient) -> Node | None:
    """Cancels opposite factors as if they were equal."""
    below = place.denominator
    if not isinstance(below, Sum) or not letters(below):
        return None
    quotient = canonical(place)
    if isinstance(quotient, Quotient):
        return None
    first = terms_of(place.numerator)[0]
    turned = signed(first)[0] == 1 and signed(terms_of(canonical(below))[0])[0] == -1
    return canonical(negative(quotient)) if turned else None


@opposites_cancelled_to_one.also(
    add,
    shows=("simplify | 5/(x - 3) + 2/(3 - x) | 7/(x - 3)", "simplify | 3/(x - 2) - 3/(2 - x) | 0"),
    silent=("simplify | 5/(x - 3) + 2/(3 - x) | 3/(x - 3)", "simplify | 2/x + 3/x | 5/x"),
)
def _opposite_denominators_as_equal(place: Sum) -> Choices | None:
    """Adds over opposite denominators as if they were equal."""
    parts = [as_fraction(term) for term in terms_of(place)]
    if len(parts) != 2 or not all(letters(lower) for _, lower in parts):
        return None
    (one, first), (two, second) = parts
    if canonical(first) != canonical(negative(second)):
        return None
    return Choices(Quotient(sum_of(one, two), lower) for lower in (first, second))


def _primitive(node: Node) -> Node:
    terms = terms_of(node)
    found = [monomial(term) for term in terms]
    if len(terms) < 2 or any(one is None for one in found):
        return node
    kept = [one for one in found if one is not None]
    if any(not one.coefficient.is_integer for one in kept):
        return node
    common = gcd(*(int(one.coefficient.as_fraction()) for one in kept))
    divided = (one._replace(coefficient=one.coefficient / (common or 1)) for one in kept)
    return sum_of(*(one.tree() for one in divided))


@pattern(
    source="OpenStax Elementary Algebra 2e, 7.3 (related: a common factor lost); common practice",
    shows=(
        "simplify | (3x - 6)/(2x - 4) | 1/2",
        "simplify | (5x + 10)/15 | (x + 2)/15",
    ),
    silent=(
        "simplify | (3x - 6)/(2x - 4) | 3/2",
        "simplify | (5x + 10)/15 | (x + 2)/3",
    ),
)
@instead_of(divide)
def common_factor_divided_once(place: Quotient) -> Choices | None:
    """Takes a common factor out of one part of a fraction and loses it."""
    return Choices(
        Quotient(*parts)
        for parts in (
            (_primitive(place.numerator), place.denominator),
            (place.numerator, _primitive(place.denominator)),
        )
        if parts[0] != ZERO_NODE
    )
