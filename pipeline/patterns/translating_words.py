"""Errors in putting words into algebra."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import (
    TURNED,
    Letter,
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
    mapped,
    replaced,
)
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.terms import (
    difference,
    negative,
    number,
    over,
    power,
    product_of,
    rational,
    signed,
    sum_of,
    terms_of,
    whole,
)
from pipeline.procedures.walk import Choices, Place, needed
from pipeline.tasks.translate import (
    Sentence,
    put_power,
    put_product,
    put_quotient,
    put_root,
    put_sentence,
    put_sum,
)

_NUMBERS = "OpenStax Elementary Algebra 2e, 3.1 (related: consecutive integers); common practice"


def _steps(parts: tuple[Node, ...]) -> tuple[Letter, list[Fraction]] | None:
    """See n, n + d, n + 2d, ... with d of 1 or 2, side by side; None when they are not."""
    opened = [polynomial_of(part) for part in parts]
    names = frozenset().union(*map(letters, parts))
    if len(parts) < 2 or len(names) != 1 or None in opened:
        return None
    name = next(iter(names))
    shifts: list[Fraction] = []
    for one in opened:
        found = one.coefficients(name) if one is not None else []
        if len(found) != 2 or found[1] != 1 or not found[0].is_rational:
            return None
        shifts.append(found[0].as_fraction())
    step = shifts[1] - shifts[0]
    even = all(b - a == step for a, b in pairwise(shifts))
    return (Letter(name), shifts) if even and step in (1, 2) else None


def _shifted(letter: Letter, by: Fraction) -> Node:
    return sum_of(letter, number(by)) if by else letter


def _respaced(parts: tuple[Node, ...]) -> Iterator[list[Node]]:
    found = _steps(parts)
    if found is None:
        return
    letter, shifts = found
    start, step = shifts[0], shifts[1] - shifts[0]
    count = range(len(shifts))
    yield [_shifted(letter, start + (3 - step) * index) for index in count]
    if step == 2:
        odd = [start, *(start + 2 * index - 1 for index in count[1:])]
        yield [_shifted(letter, one) for one in odd]


@pattern(
    source=_NUMBERS,
    shows=(
        "translate | the sum of two consecutive even integers is 46: n + (n + 2) = 46 | "
        "n + (n + 1) = 46",
        "translate | the sum of three consecutive odd integers is 63: n + (n + 2) + (n + 4) = 63 | "
        "n + (n + 1) + (n + 3) = 63",
    ),
    silent=(
        "translate | the sum of two consecutive even integers is 46: n + (n + 2) = 46 | "
        "2x + 2 = 46",
        "translate | the sum of two consecutive even integers is 46: n + (n + 2) = 46 | "
        "(n - 2) + n = 46",
        "translate | the sum of two consecutive even integers is 46: n + (n + 2) = 46 | n = 22",
    ),
)
@instead_of(put_sum)
def consecutive_step_mistaken(place: Sum) -> Choices:
    """Steps by 1 where the words name even or odd numbers, or by 2 where they name any."""
    return Choices(sum_of(*parts) for parts in _respaced(place.terms))


@consecutive_step_mistaken.also(put_product)
def _factors_respaced(place: Product) -> Choices:
    return Choices(product_of(*parts) for parts in _respaced(place.factors))


@pattern(
    source=_NUMBERS,
    shows=(
        "translate | the sum of three consecutive odd integers is 63: n + (n + 2) + (n + 4) = 63 | "
        "n + 2n + 4n = 63",
        "translate | the sum of three consecutive integers is 75: n + (n + 1) + (n + 2) = 75 | "
        "x + 2x + 3x = 75",
    ),
    silent=(
        "translate | the sum of three consecutive integers is 75: n + (n + 1) + (n + 2) = 75 | "
        "3n + 3 = 75",
        "translate | the sum of three consecutive integers is 75: n + (n + 1) + (n + 2) = 75 | "
        "(n - 1) + n + (n + 1) = 75",
    ),
)
@instead_of(put_sum)
def consecutive_as_multiples(place: Sum) -> Choices | None:
    """Takes multiples of the first number for the numbers that follow it."""
    found = _steps(place.terms)
    if found is None or found[1][0]:
        return None
    letter, shifts = found
    step = shifts[1]
    doubled = [product_of(number(shift or 1), letter) for shift in shifts]
    counted = [product_of(number(shift / step + 1), letter) for shift in shifts]
    return Choices((sum_of(*doubled), sum_of(*counted)))


@pattern(
    source=_NUMBERS,
    shows=(
        "translate | the sum of two consecutive integers is 41: n + (n + 1) = 41 | n + n = 41",
        "translate | the product of two consecutive integers is 56: n(n + 1) = 56 | n^2 = 56",
    ),
    silent=(
        "translate | the sum of two consecutive integers is 41: n + (n + 1) = 41 | n + n + 1 = 41",
        "translate | the sum of three consecutive integers is 75: n + (n + 1) + (n + 2) = 75 | "
        "n + n + n = 75",
        "translate | the product of two consecutive integers is 56: n(n + 1) = 56 | n(n - 1) = 56",
    ),
)
@instead_of(put_sum)
def consecutive_taken_as_equal(place: Sum) -> Node | None:
    """Writes the same letter for each of several numbers that follow one another."""
    found = _steps(place.terms)
    return sum_of(*[found[0]] * len(place.terms)) if found else None


@consecutive_taken_as_equal.also(put_product)
def _factors_taken_as_equal(place: Product) -> Node | None:
    found = _steps(place.factors)
    return product_of(*[found[0]] * len(place.factors)) if found else None


_GROUPING = "OpenStax Elementary Algebra 2e, 1.2 (related: the words that group); common practice"


@pattern(
    source=_GROUPING,
    shows=(
        "translate | twice the sum of a number and 3: 2(x + 3) | 2x + 3",
        "translate | half of the sum of a number and 8: (x + 8)/2 | x + 8/2",
        "translate | half of the sum of a number and 8: (x + 8)/2 | 1/2 x + 8",
        "translate | 10 decreased by the sum of a number and 4: 10 - (x + 4) | 10 - x + 4",
        "translate | the square of the sum of a number and 3: (x + 3)^2 | x + 3^2",
        "translate | the sum of 4 and a number times 3: 3(4 + x) | 4 + 3x",
    ),
    silent=(
        "translate | twice the sum of a number and 3: 2(x + 3) | 2x + 6",
        "translate | twice the sum of a number and 3: 2(x + 3) | 2(x - 3)",
        "translate | half of the sum of a number and 8: (x + 8)/2 | 1/2 x + 4",
        "translate | 10 decreased by the sum of a number and 4: 10 - (x + 4) | 6 - n",
    ),
)
@instead_of(put_product)
def grouping_words_lost(place: Product) -> Choices | None:
    """Lets a factor, divisor, power or minus reach one term, where the words take a whole sum."""
    for index, inner in enumerate(place.factors):
        if isinstance(inner, Sum):
            before, after = place.factors[:index], place.factors[index + 1 :]
            first, *middle, last = inner.terms
            as_written = sum_of(product_of(*before, first), *middle, product_of(last, *after))
            behind = sum_of(first, *middle, product_of(*before, last, *after))
            return Choices((as_written, behind))
    return None


@grouping_words_lost.also(put_quotient)
def _over_one_term(place: Quotient) -> Choices | None:
    above, below = place.numerator, place.denominator
    if isinstance(above, Sum):
        first, *middle, last = above.terms
        ends = sum_of(over(first, below), *middle, last), sum_of(first, *middle, over(last, below))
        return Choices(ends)
    if isinstance(below, Sum):
        first, *rest = below.terms
        return Choices((sum_of(over(above, first), *rest),))
    return None


@grouping_words_lost.also(put_power)
def _power_of_one_part(place: Power) -> Choices | None:
    match place.base:
        case Sum(terms):
            first, last = Power(terms[0], place.exponent), Power(terms[-1], place.exponent)
            return Choices((sum_of(*terms[:-1], last), sum_of(first, *terms[1:])))
        case Product(factors):
            return Choices((product_of(*factors[:-1], Power(factors[-1], place.exponent)),))
    return None


@grouping_words_lost.also(put_sum)
def _minus_on_one_term(place: Sum) -> Node | None:
    opened: list[Node] = []
    for term in place.terms:
        if isinstance(term, Negation) and isinstance(term.argument, Sum):
            first, *rest = term.argument.terms
            opened += [Negation(first), *rest]
        else:
            opened.append(term)
    return sum_of(*opened) if len(opened) > len(place.terms) else None


def _stretched(terms: tuple[Node, ...]) -> Iterator[Node]:
    for index, term in enumerate(terms):
        sign, body = signed(term)
        others = (*terms[:index],), (*terms[index + 1 :],)
        match body:
            case Product((factor, *rest)) if sign > 0 and not letters(factor):
                yield product_of(factor, sum_of(*others[0], product_of(*rest), *others[1]))
            case Quotient(above, below) if sign > 0 and letters(above):
                yield over(sum_of(*others[0], above, *others[1]), below)
            case Quotient(above, below) if sign > 0:
                yield over(above, sum_of(*others[0], below, *others[1]))
            case Power(base, exponent) if sign > 0 and letters(base):
                yield Power(sum_of(*others[0], base, *others[1]), exponent)


@pattern(
    source=_GROUPING,
    shows=(
        "translate | three more than twice a number: 2x + 3 | 2(x + 3)",
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | 2(x - 5) = 11",
        "translate | the square of a number, increased by 4: x^2 + 4 | (x + 4)^2",
        "translate | the quotient of a number and 4, increased by 1: n/4 + 1 | (n + 1)/4",
    ),
    silent=(
        "translate | three more than twice a number: 2x + 3 | 3 + n*2",
        "translate | three more than twice a number: 2x + 3 | 2x - 3",
        "translate | the square of a number, increased by 4: x^2 + 4 | x^2 - 4",
    ),
)
@instead_of(put_sum)
def grouping_added_to_words(place: Sum) -> Choices | None:
    """Takes a whole sum, where the words multiply, divide or square one of its terms alone."""
    return Choices(_stretched(place.terms)) if len(place.terms) == 2 else None


@grouping_added_to_words.also(put_product)
def _power_of_product(place: Product) -> Node | None:
    *before, last = place.factors
    if not isinstance(last, Power) or not letters(last.base):
        return None
    return Power(product_of(*before, last.base), last.exponent)


@pattern(
    source="common practice",
    shows=(
        "translate | the square of the sum of a number and 3: (x + 3)^2 | x^2 + 9",
        "translate | the square of the difference of a and b: (a - b)^2 | a^2 - b^2",
    ),
    silent=(
        "translate | the square of the sum of a number and 3: (x + 3)^2 | x^2 + 6x + 9",
        "translate | the square of the difference of a and b: (a - b)^2 | (b - a)^2",
    ),
)
@instead_of(put_power)
def sum_of_squares_for_square_of_sum(place: Power) -> Node | None:
    """Adds the squares, where the words square the sum."""
    if not isinstance(place.base, Sum):
        return None
    powers = []
    for term in place.base.terms:
        sign, body = signed(term)
        raised = Power(body, place.exponent)
        powers.append(raised if sign > 0 else Negation(raised))
    return sum_of(*powers)


@pattern(
    source="common practice",
    shows=(
        "translate | the sum of the squares of a and b: a^2 + b^2 | (a + b)^2",
        "translate | two legs differ by 1, hypotenuse 5: x^2 + (x + 1)^2 = 5^2 | "
        "(x + (x + 1))^2 = 5^2",
    ),
    silent=(
        "translate | the sum of the squares of a and b: a^2 + b^2 | b^2 + a^2",
        "translate | the sum of the squares of a and b: a^2 + b^2 | a^2 - b^2",
    ),
)
@instead_of(put_sum)
def square_of_sum_for_sum_of_squares(place: Sum) -> Node | None:
    """Squares the sum, where the words add the squares."""
    parts = [signed(term) for term in place.terms]
    exponents = {body.exponent for _, body in parts if isinstance(body, Power)}
    if len(exponents) != 1 or not all(isinstance(body, Power) for _, body in parts):
        return None
    bases = [
        body.base if sign > 0 else Negation(body.base)
        for sign, body in parts
        if isinstance(body, Power)
    ]
    return Power(sum_of(*bases), exponents.pop())


@pattern(
    source="common practice",
    shows=(
        "translate | a triangle of base b and height b + 4 has area 30: b(b + 4)/2 = 30 | "
        "b(b + 4) = 30",
        "translate | the area of a triangle of base b and height h: (1/2)bh | bh",
    ),
    silent=(
        "translate | a triangle of base b and height b + 4 has area 30: b(b + 4)/2 = 30 | "
        "b(b + 4) = 60",
        "translate | the area of a triangle of base b and height h: (1/2)bh | hb/2",
        "translate | the area of a triangle of base b and height h: (1/2)bh | 2bh",
    ),
)
@instead_of(put_quotient)
def triangle_area_not_halved(place: Quotient) -> Node | None:
    """Leaves out the half in an area, as that of a triangle."""
    lettered = [one for one in children(place.numerator) if letters(one)]
    found = whole(place.denominator) == 2 and isinstance(place.numerator, Product)
    return place.numerator if found and len(lettered) > 1 else None


@triangle_area_not_halved.also(put_product)
def _half_left_out(place: Product) -> Node | None:
    rest = [one for one in place.factors if rational(one) != Fraction(1, 2)]
    halved = len(rest) == len(place.factors) - 1
    return product_of(*rest) if halved and len(rest) > 1 else None


@pattern(
    source="Didis and Erbas 2015 (kind of error); common practice",
    shows=(
        "translate | a rectangle, 3 longer than wide, has area 40: w(w + 3) = 40 | "
        "2w + 2(w + 3) = 40",
        "translate | the area of a rectangle of length l and width w: l w | 2l + 2w",
    ),
    silent=(
        "translate | a rectangle, 3 longer than wide, has area 40: w(w + 3) = 40 | w^2 + 3w = 40",
        "translate | the area of a rectangle of length l and width w: l w | w*l",
        "translate | the area of a rectangle of length l and width w: l w | l + w",
    ),
)
@instead_of(put_product)
def perimeter_for_area(place: Product) -> Node | None:
    """Writes the perimeter of a rectangle where the words speak of its area."""
    if len(place.factors) != 2 or not all(map(letters, place.factors)):
        return None
    return sum_of(*(product_of(number(2), one) for one in place.factors))


_AREAS = "OpenStax Elementary Algebra 2e, 3.4 (related: triangles and rectangles); common practice"


def _rectangle(node: Node) -> tuple[Node, Node] | None:
    """Return the sides of 2a + 2b or 2(a + b)."""
    match node:
        case Product((two, Sum((one, other)))) if whole(two) == 2:
            found = (one, other)
        case Sum((Product((two, *one)), Product((again, *other)))):
            if whole(two) != 2 or whole(again) != 2:
                return None
            found = (product_of(*one), product_of(*other))
        case _:
            return None
    return found if all(letters(one) and signed(one)[0] > 0 for one in found) else None


@pattern(
    source=_AREAS,
    shows=(
        "translate | a rectangle, 3 longer than wide, has perimeter 40: 2w + 2(w + 3) = 40 | "
        "w(w + 3) = 40",
        "translate | the perimeter of a rectangle of length l and width w: 2(l + w) | l w",
    ),
    silent=(
        "translate | a rectangle, 3 longer than wide, has perimeter 40: 2w + 2(w + 3) = 40 | "
        "4w + 6 = 40",
        "translate | the perimeter of a rectangle of length l and width w: 2(l + w) | l+l+w+w",
    ),
)
@instead_of(put_sum)
def area_for_perimeter(place: Sum) -> Node | None:
    """Writes the area of a rectangle where the words speak of its perimeter."""
    sides = _rectangle(place)
    return product_of(*sides) if sides else None


area_for_perimeter.also(put_product)(area_for_perimeter.moves[0].version)


@pattern(
    source=_AREAS,
    shows=(
        "translate | a rectangle, 3 longer than wide, has perimeter 40: 2w + 2(w + 3) = 40 | "
        "w + (w + 3) = 40",
        "translate | the perimeter of a rectangle of length l and width w: 2(l + w) | l + w",
    ),
    silent=(
        "translate | a rectangle, 3 longer than wide, has perimeter 40: 2w + 2(w + 3) = 40 | "
        "w + (w + 3) = 20",
        "translate | the perimeter of a rectangle of length l and width w: 2(l + w) | 2w + 2l",
    ),
)
@instead_of(put_sum)
def two_sides_for_perimeter(place: Sum) -> Node | None:
    """Adds two sides of a rectangle where its perimeter has four."""
    sides = _rectangle(place)
    return sum_of(*sides) if sides else None


two_sides_for_perimeter.also(put_product)(two_sides_for_perimeter.moves[0].version)


_COINS = "translate | dimes and quarters worth $3.75: 0.10d + 0.25q = 3.75"


_TICKETS = "translate | x tickets at $5 and y at $9 bring $860: 5x + 9y = 860"


def _count(term: Node) -> tuple[Fraction, Node] | None:
    """Return the value of each and what is counted, in a term such as 5x."""
    match term:
        case Product((factor, *rest)):
            value = rational(factor)
            return None if value is None else (value, product_of(*rest))
    return None


@pattern(
    source="OpenStax Elementary Algebra 2e, 3.3 (related: number times value); common practice",
    shows=(f"{_COINS} | d + q = 3.75", f"{_TICKETS} | x + y = 860"),
    silent=(
        f"{_COINS} | 10d + 25q = 375",
        f"{_COINS} | 2d + 5q = 75",
        f"{_TICKETS} | 9y = 860 - 5x",
    ),
)
@instead_of(put_sum)
def value_of_each_left_out(place: Sum) -> Node | None:
    """Counts the things where the words ask for what they are worth."""
    counts = [_count(term) for term in place.terms]
    found = [one for one in counts if one is not None]
    same = len({value for value, _ in found}) < 2
    return None if same or len(found) < len(counts) else sum_of(*(node for _, node in found))


def _amounts(node: Node) -> int:
    """Count the decimals of one side: coins of one kind need no value of their own."""
    return (isinstance(node, Numeral) and bool(node.places)) + sum(map(_amounts, children(node)))


def _in_cents(node: Node) -> Node:
    if isinstance(node, Numeral):
        return number(node.value * 100) if node.places else node
    return mapped(node, _in_cents)


@pattern(
    source="OpenStax Elementary Algebra 2e, 3.3 (related: number times value); common practice",
    shows=(
        f"{_COINS} | 10d + 25q = 3.75",
        "translate | d dimes and 3 more nickels are worth $2.40: 0.10d + 0.05(d + 3) = 2.40 | "
        "10d + 5(d + 3) = 2.40",
    ),
    silent=(
        f"{_COINS} | 10d + 25q = 375",
        "translate | d dimes and 3 more nickels are worth $2.40: 0.10d + 0.05(d + 3) = 2.40 | "
        "0.15d + 0.15 = 2.4",
    ),
)
@instead_of(put_sentence)
def cents_and_dollars_mixed(sentence: Sentence) -> Choices | None:
    """Writes one side of an equation in cents and the other in dollars."""
    if not sentence.is_equation:
        return None
    left, right = sentence.sides
    if max(map(_amounts, sentence.sides)) < 2:
        return None
    return Choices(
        Sentence(sides, sentence.signs)
        for sides in ((_in_cents(left), right), (left, _in_cents(right)))
    )


_SOURCE = "OpenStax Elementary Algebra 2e, 3.2 (related: percent equations); common practice"


def _percent(place: Node) -> tuple[Fraction, Node] | None:
    """See 0.2x, 20%x or 20/100 x: the part, and what it is a part of."""
    match place:
        case Product((Numeral(value, int()), *rest)) if (value * 100).denominator <= 10:
            return value, product_of(*rest)
        case Product((Quotient(above, below) as part, *rest)) if whole(below) == 100:
            found = rational(part)
            return (found, product_of(*rest)) if found is not None and above else None
    return None


@pattern(
    source=_SOURCE,
    shows=(
        "translate | 15% of a number: 0.15x | 15x",
        "translate | 20% of a number is 16: 20%*n = 16 | 20n = 16",
        "translate | a price p, increased by 8% tax: p + 0.08p | p + 8p",
    ),
    silent=(
        "translate | 15% of a number: 0.15x | 15% x",
        "translate | 15% of a number: 0.15x | 15x/100",
        "translate | 20% of a number is 16: 20%*n = 16 | n/5 = 16",
        "translate | a price p, increased by 8% tax: p + 0.08p | 1.08p",
    ),
)
@instead_of(put_product, Place.ONE_LETTER)
def percent_written_as_whole_number(place: Product) -> Node | None:
    """Takes the number before the percent sign as it stands, 20 for 20 hundredths."""
    found = _percent(place)
    return product_of(number(found[0] * 100), found[1]) if found else None


@pattern(
    source=_SOURCE,
    shows=(
        "translate | a price p, increased by 8% tax: p + 0.08p | p + 0.8p",
        "translate | an amount after growing by 5%: 1.05a | 1.5a",
    ),
    silent=(
        "translate | a price p, increased by 8% tax: p + 0.08p | 1.08p",
        "translate | 15% of a number: 0.15x | 1.5x",
        "translate | an amount after growing by 5%: 1.05a | a + 0.05a",
    ),
)
@instead_of(put_product, Place.ONE_LETTER)
def percent_point_misplaced(place: Product) -> Node | None:
    """Writes a percent under ten as tenths: 0.8 for 8 hundredths."""
    found = needed(_percent(place))
    whole_part, part = divmod(found[0], 1)
    small = 0 < part < Fraction(1, 10) and whole_part <= 1
    return product_of(number(whole_part + part * 10), found[1]) if small else None


def _change(place: Sum) -> tuple[Node, Fraction] | None:
    """See an amount with a part of itself: x + 0.2x."""
    if len(place.terms) != 2:
        return None
    sign, body = signed(place.terms[1])
    found = _percent(body)
    if found is None or found[1] != place.terms[0]:
        return None
    return place.terms[0], sign * found[0]


@pattern(
    source=_SOURCE,
    shows=(
        "translate | a price p, increased by 8% tax: p + 0.08p | p + 0.08",
        "translate | a price less 20% is 48: x - 0.2x = 48 | x - 20 = 48",
        "translate | an amount after growing by 5%: 1.05a | a + 5",
    ),
    silent=(
        "translate | a price p, increased by 8% tax: p + 0.08p | 108% p",
        "translate | a price less 20% is 48: x - 0.2x = 48 | 0.8x = 48",
        "translate | an amount after growing by 5%: 1.05a | a + 0.05a",
    ),
)
@instead_of(put_sum)
def percent_of_nothing_added(place: Sum) -> Choices | None:
    """Adds or subtracts a percent as a number by itself, not as a part of the amount."""
    amount, part = needed(_change(place))
    return Choices((sum_of(amount, number(part)), sum_of(amount, number(part * 100))))


@percent_of_nothing_added.also(put_product)
def _growth_added(place: Product) -> Choices | None:
    found = _percent(place)
    if found is None or found[0] == 1:
        return None
    part, amount = found[0] - 1, found[1]
    return Choices((sum_of(amount, number(part)), sum_of(amount, number(part * 100))))


@pattern(
    source=_SOURCE,
    shows=(
        "translate | a price less 20% is 48: x - 0.2x = 48 | 0.2x = 48",
        "translate | an amount after growing by 5%: 1.05a | 0.05a",
    ),
    silent=(
        "translate | a price less 20% is 48: x - 0.2x = 48 | x = 60",
        "translate | a price less 20% is 48: x - 0.2x = 48 | x*80% = 48",
        "translate | an amount after growing by 5%: 1.05a | 105a/100",
    ),
)
@instead_of(put_sum)
def percent_change_given_alone(place: Sum) -> Node | None:
    """Writes what is added or taken off alone, without the amount that it changes."""
    found = _change(place)
    return product_of(number(abs(found[1])), found[0]) if found else None


@percent_change_given_alone.also(put_product)
def _growth_alone(place: Product) -> Node | None:
    found = _percent(place)
    return product_of(number(abs(found[0] - 1)), found[1]) if found else None


def _taken_of_other(part: Node, amount: Node) -> Sentence | None:
    given = rational(amount)
    if given is None:
        return None
    found = _percent(part)
    if found is not None:
        return Sentence((found[1], number(given * found[0])), ("=",))
    change = _change(part) if isinstance(part, Sum) else None
    return Sentence((change[0], number(given * (1 - change[1]))), ("=",)) if change else None


@pattern(
    source=_SOURCE,
    shows=(
        "translate | 20% of a number is 16: 20%*n = 16 | n = 0.2*16",
        "translate | 45 is 30% of what number: 45 = 0.3x | x = 0.3*45",
        "translate | a price less 20% is 48: x - 0.2x = 48 | x = 48 + 0.2*48",
    ),
    silent=(
        "translate | 20% of a number is 16: 20%*n = 16 | n = 16/0.2",
        "translate | 45 is 30% of what number: 45 = 0.3x | 0.3x = 45",
        "translate | a price less 20% is 48: x - 0.2x = 48 | x = 48/0.8",
    ),
)
@instead_of(put_sentence)
def percent_of_other_number(sentence: Sentence) -> Choices | None:
    """Takes the percent of the number that is given and not of the one that is unknown."""
    if not sentence.is_equation:
        return None
    left, right = sentence.sides
    turned = (_taken_of_other(one, two) for one, two in ((left, right), (right, left)))
    return Choices(one for one in turned if one is not None)


@pattern(
    source="Otero, Druga and Lan 2024 (label 4)",
    shows=(
        "translate | three times a number: 3x | x^3",
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | x^2 - 5 = 11",
    ),
    silent=(
        "translate | three times a number: 3x | 3n",
        "translate | three times a number: 3x | x + 3",
    ),
)
@instead_of(put_product)
def multiple_written_as_power(place: Product) -> Node | None:
    """Writes a power where the words name a multiple: x^2 for twice x."""
    first, *rest = place.factors
    size = whole(first)
    return power(product_of(*rest), size) if size is not None and 2 <= size <= 9 else None


@pattern(
    source="Slavit 2006 (power taken as a multiple)",
    shows=(
        "translate | the square of a number: x^2 | 2x",
        "translate | the cube of a number, less 4: x^3 - 4 | 3x - 4",
    ),
    silent=(
        "translate | the square of a number: x^2 | x*x",
        "translate | the square of a number: x^2 | n^2",
        "translate | the cube of a number, less 4: x^3 - 4 | 4 - x^3",
    ),
)
@instead_of(put_power)
def power_written_as_multiple(place: Power) -> Node | None:
    """Writes a multiple where the words name a power: 2x for the square of x."""
    return product_of(place.exponent, place.base) if whole(place.exponent) else None


@pattern(
    source="common practice",
    shows=(
        "translate | the square of a number: x^2 | x^3",
        "translate | the cube of a number, less 4: x^3 - 4 | x^2 - 4",
    ),
    silent=(
        "translate | the square of a number: x^2 | x^2",
        "translate | the cube of a number, less 4: x^3 - 4 | n^3 - 4",
    ),
)
@instead_of(put_power)
def square_and_cube_mistaken(place: Power) -> Node | None:
    """Takes a square for a cube, or a cube for a square."""
    size = whole(place.exponent)
    return power(place.base, 5 - size) if size in (2, 3) else None


@pattern(
    source="common practice",
    shows=(
        "translate | the square of the sum of a number and 3: (x + 3)^2 | x + 3",
        "translate | two legs differ by 1, hypotenuse 5: x^2 + (x + 1)^2 = 5^2 | x + (x + 1) = 5",
    ),
    silent=(
        "translate | the square of the sum of a number and 3: (x + 3)^2 | (x + 3)(x + 3)",
        "translate | the square of the sum of a number and 3: (x + 3)^2 | x^2 + 6x + 9",
    ),
)
@instead_of(put_power)
def power_left_out(place: Power) -> Node:
    """Leaves out a power that the words ask for."""
    return place.base


def _without_powers(node: Node) -> Node:
    if isinstance(node, Power):
        return _without_powers(node.base)
    return mapped(node, _without_powers)


@power_left_out.also(put_sentence)
def _every_power_left_out(sentence: Sentence) -> Sentence:
    return Sentence(tuple(map(_without_powers, sentence.sides)), sentence.signs)


@pattern(
    source="a teacher's page on one lesson (a root taken as half); common practice",
    shows=(
        "translate | the square root of a number: sqrt(x) | x/2",
        "translate | 4 more than the square root of a number: sqrt(x) + 4 | x^2 + 4",
    ),
    silent=(
        "translate | the square root of a number: sqrt(x) | x^(1/2)",
        "translate | the square root of a number: sqrt(x) | √n",
        "translate | 4 more than the square root of a number: sqrt(x) + 4 | 4 - sqrt(x)",
    ),
)
@instead_of(put_root)
def square_root_mistaken(place: Root) -> Choices:
    """Takes a half, or a square, where the words name a square root."""
    return Choices((over(place.radicand, number(2)), power(place.radicand, 2)))


_VOCABULARY = "OpenStax Prealgebra 2e, 2.2 (related: the words for operations); common practice"


@pattern(
    source=_VOCABULARY,
    shows=(
        "translate | a number divided by 6: y/6 | 6/y",
        "translate | the quotient of a number and 4, increased by 1: n/4 + 1 | 4/n + 1",
    ),
    silent=(
        "translate | a number divided by 6: y/6 | y ÷ 6",
        "translate | a number divided by 6: y/6 | 1/6 y",
        "translate | the quotient of a number and 4, increased by 1: n/4 + 1 | n/4 - 1",
    ),
)
@instead_of(put_quotient)
def divisor_put_on_top(place: Quotient) -> Node | None:
    """Writes a quotient the other way round, the divisor on top."""
    if (not letters(place) and whole(place.numerator) == 1) or whole(place.denominator) == 100:
        return None
    return over(place.denominator, place.numerator)


@pattern(
    source="Didis and Erbas 2015 (kind of error); common practice",
    shows=(
        "translate | two numbers, 7 apart, have product 60: x(x + 7) = 60 | x + (x + 7) = 60",
        "translate | four times a number: 4x | x + 4",
    ),
    silent=(
        "translate | two numbers, 7 apart, have product 60: x(x + 7) = 60 | n^2 + 7n = 60",
        "translate | four times a number: 4x | n*4",
        "translate | four times a number: 4x | x - 4",
    ),
)
@instead_of(put_product)
def times_written_as_plus(place: Product) -> Node:
    """Adds where the words multiply."""
    return sum_of(*place.factors)


@pattern(
    source="Otero, Druga and Lan 2024 (label 54)",
    shows=(
        "translate | a number divided by 6: y/6 | 6y",
        "translate | half of a number is 9: (1/2)x = 9 | 2x = 9",
    ),
    silent=(
        "translate | a number divided by 6: y/6 | y/6",
        "translate | half of a number is 9: (1/2)x = 9 | 0.5x = 9",
        "translate | half of a number is 9: (1/2)x = 9 | 9 = x/2",
    ),
)
@instead_of(put_quotient, Place.ONE_LETTER)
def divided_by_written_as_times(place: Quotient) -> Node | None:
    """Multiplies where the words divide or take a part."""
    if not letters(place) or whole(place.denominator) == 100:
        return None
    return product_of(place.denominator, place.numerator)


@divided_by_written_as_times.also(put_product, Place.ONE_LETTER)
def _multiple_for_part(place: Product) -> Node | None:
    part, *rest = place.factors
    found = rational(part) if isinstance(part, Quotient) else None
    if not found or found.numerator != 1 or found.denominator == 100:
        return None
    return product_of(number(found.denominator), *rest)


@pattern(
    source=_VOCABULARY,
    shows=(
        "translate | four times a number: 4x | x/4",
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | x/2 - 5 = 11",
    ),
    silent=(
        "translate | four times a number: 4x | 4*x",
        "translate | four times a number: 4x | x^4",
    ),
)
@instead_of(put_product, Place.ONE_LETTER)
def times_written_as_divided_by(place: Product) -> Node | None:
    """Divides where the words multiply."""
    first, *rest = place.factors
    size = whole(first)
    return over(product_of(*rest), first) if size is not None and size > 1 else None


@pattern(
    source="common practice",
    shows=(
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | x - 5 = 11",
        "translate | twice the sum of a number and 3: 2(x + 3) | x + 3",
    ),
    silent=(
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | 2x - 5 = 11",
        "translate | twice the sum of a number and 3: 2(x + 3) | 2x + 6",
    ),
)
@instead_of(put_product)
def factor_left_out(place: Product) -> Node | None:
    """Leaves out a factor that the words name, such as twice."""
    first, *rest = place.factors
    return product_of(*rest) if isinstance(first, Numeral) and whole(first) else None


_APPLES = "translate | five times as many apples A as pears P: A = 5P"


_STUDENTS = "translate | six times as many students S as professors P: S = 6P"


@pattern(
    source="Clement 1982; Clement, Lochhead and Monk 1981 (from memory)",
    shows=(
        f"{_APPLES} | 5A = P",
        f"{_STUDENTS} | 6S = P",
        f"{_STUDENTS} | P/S = 6",
        "translate | there are 4 more dogs D than cats C: D = C + 4 | D + 4 = C",
    ),
    silent=(
        f"{_APPLES} | A = 5P",
        f"{_APPLES} | P = A/5",
        f"{_APPLES} | A/P = 5",
        f"{_STUDENTS} | 6P - S = 0",
        f"{_STUDENTS} | S = P + 6",
        "translate | there are 4 more dogs D than cats C: D = C + 4 | D - 4 = C",
        "translate | there are 4 more dogs D than cats C: D = C + 4 | D - C = 4",
    ),
)
@instead_of(put_sentence)
def comparison_reversed(sentence: Sentence) -> Sentence | None:
    """Puts the number beside the wrong letter, as if the letters were labels of things."""
    names = sorted(frozenset().union(*map(letters, sentence.sides)))
    if not sentence.signs or len(names) != 2:
        return None
    first, second = map(Letter, names)
    swapped = ((names[0], second), (names[1], first))
    return Sentence(tuple(replaced(side, swapped) for side in sentence.sides), sentence.signs)


@comparison_reversed.also(
    put_sentence,
    shows=(
        "translate | twice a number x is 8 less than y: 2x = y - 8 | 2x - 8 = y",
        "translate | a is 5 more than three times b: a = 3b + 5 | a + 5 = 3b",
    ),
    silent=(
        "translate | twice a number x is 8 less than y: 2x = y - 8 | 2x + 8 = y",
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | 2x = 6",
    ),
)
def _number_on_the_wrong_side(sentence: Sentence) -> Sentence | None:
    """Adds or subtracts the number on the wrong side of the equation."""
    first, *others = sentence.sides
    if len(others) != 1 or len(frozenset().union(*map(letters, sentence.sides))) != 2:
        return None
    for here, there, turned in ((first, others[0], False), (others[0], first, True)):
        beside = [term for term in terms_of(here) if not letters(term)]
        rest = [term for term in terms_of(here) if letters(term)]
        if len(beside) == len(rest) == 1 and letters(there):
            sides = (rest[0], sum_of(there, beside[0]))
            return Sentence(sides[::-1] if turned else sides, sentence.signs)
    return None


_AT_LEAST = "translate | 5 more than twice a number is at least 17: 2x + 5 >= 17"


@pattern(
    source="common practice",
    shows=(
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | 2x - 5",
        f"{_AT_LEAST} | 2x + 5",
    ),
    silent=(
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | 2x = 16",
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | 8",
        f"{_AT_LEAST} | 2x >= 12",
    ),
)
@instead_of(put_sentence)
def one_side_given_for_equation(sentence: Sentence) -> Choices | None:
    """Gives one quantity where the words say that two are equal, or how they compare."""
    if not sentence.signs:
        return None
    return Choices(Sentence((side,)) for side in sentence.sides if letters(side))


@pattern(
    source="Scofield 2003 (code EPE)",
    shows=(
        "translate | three less than a number: x - 3 | x - 3 = 0",
        "translate | twice the sum of a number and 3: 2(x + 3) | 2(x + 3) = 0",
    ),
    silent=(
        "translate | three less than a number: x - 3 | y = x - 3",
        "translate | three less than a number: x - 3 | x - 3 = n",
        "translate | twice the sum of a number and 3: 2(x + 3) | 2(x + 3) = 2x + 6",
    ),
)
@instead_of(put_sentence)
def equation_made_of_expression(sentence: Sentence) -> Sentence | None:
    """Sets an expression equal to zero where the words state no equation."""
    return None if sentence.signs else Sentence((*sentence.sides, number(0)), ("=",))


def _terms(sentence: Sentence) -> tuple[Node, ...]:
    side = sentence.sides[0]
    return side.terms if isinstance(side, Sum) else (side,)


@pattern(
    source="OpenStax Prealgebra 2e, 2.2 (related: less than and is less than); common practice",
    shows=(
        "translate | three less than a number: x - 3 | 3 < x",
        "translate | three less than a number: x - 3 | x < 3",
        "translate | seven more than a number: x + 7 | x > 7",
    ),
    silent=(
        "translate | three less than a number: x - 3 | x - 3",
        "translate | seven more than a number: x + 7 | 7 + x",
    ),
)
@instead_of(put_sentence)
def less_than_written_as_inequality(sentence: Sentence) -> Choices | None:
    """Writes an inequality sign where the words take so much less, or more, than a number."""
    if sentence.signs or not isinstance(sentence.sides[0], Sum) or len(_terms(sentence)) != 2:
        return None
    first, second = (signed(term)[1] for term in _terms(sentence))
    return Choices(Sentence((first, second), (sign,)) for sign in "<>")


@pattern(
    source="OpenStax Prealgebra 2e, 2.2 (related: less than and is less than); common practice",
    shows=(
        "translate | 12 is less than a number: 12 < x | x - 12",
        "translate | a number is greater than 9: n > 9 | n + 9",
    ),
    silent=(
        "translate | 12 is less than a number: 12 < x | x > 12",
        "translate | a number is greater than 9: n > 9 | 9 < y",
    ),
)
@instead_of(put_sentence)
def is_less_than_written_as_difference(sentence: Sentence) -> Choices | None:
    """Subtracts or adds where the words compare two numbers."""
    if len(sentence.signs) != 1 or sentence.is_equation:
        return None
    first, second = sentence.sides
    simple = all(isinstance(side, Letter | Numeral) for side in sentence.sides)
    found = (difference(first, second), difference(second, first), Sum((first, second)))
    return Choices(Sentence((one,)) for one in found) if simple else None


@pattern(
    source="OpenStax Elementary Algebra 2e, 2.7 (related: at least and at most); common practice",
    shows=(
        f"{_AT_LEAST} | 2x + 5 <= 17",
        "translate | a number is no more than 9: n <= 9 | n >= 9",
    ),
    silent=(
        f"{_AT_LEAST} | 17 <= 2x + 5",
        f"{_AT_LEAST} | 2x + 5 > 17",
        "translate | a number is no more than 9: n <= 9 | 9 >= x",
    ),
)
@instead_of(put_sentence)
def inequality_sign_turned(sentence: Sentence) -> Sentence | None:
    """Turns an inequality sign round, as at most for at least."""
    turned = tuple(TURNED[sign] for sign in sentence.signs)
    return Sentence(sentence.sides, turned) if turned != sentence.signs else None


_STRICT = {"<": "<=", "<=": "<", ">": ">=", ">=": ">"}


@pattern(
    source="OpenStax Elementary Algebra 2e, 2.7 (related: at least and more than); common practice",
    shows=(
        f"{_AT_LEAST} | 2x + 5 > 17",
        "translate | a number is no more than 9: n <= 9 | n < 9",
    ),
    silent=(
        f"{_AT_LEAST} | x >= 6",
        "translate | a number is no more than 9: n <= 9 | n > 9",
    ),
)
@instead_of(put_sentence)
def inequality_strictness_mistaken(sentence: Sentence) -> Sentence | None:
    """Counts the limit in where the words leave it out, or leaves it out where they count it in."""
    turned = tuple(_STRICT.get(sign, sign) for sign in sentence.signs)
    return Sentence(sentence.sides, turned) if turned != sentence.signs else None


@pattern(
    source="Makonye and Shingirayi 2014 (related: solved as an equation); common practice",
    shows=(
        f"{_AT_LEAST} | 2x + 5 = 17",
        "translate | a number is no more than 9: n <= 9 | n = 9",
    ),
    silent=(
        f"{_AT_LEAST} | 2x + 5 >= 17",
        "translate | a number is no more than 9: n <= 9 | n < 9",
    ),
)
@instead_of(put_sentence)
def inequality_written_as_equation(sentence: Sentence) -> Sentence | None:
    """Writes an equals sign where the words say at least, at most, more or less."""
    if len(sentence.signs) != 1 or sentence.is_equation:
        return None
    return Sentence(sentence.sides, ("=",))


@pattern(
    source="Capraro and Joffrion 2006 (label 45 of Otero, Druga and Lan 2024)",
    shows=(
        "translate | three less than a number: x - 3 | 3 - x",
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | 5 - 2n = 11",
    ),
    silent=(
        "translate | three less than a number: x - 3 | -3 + n",
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | 11 = 2n - 5",
        "translate | three less than a number: x - 3 | x + 3",
    ),
)
@instead_of(put_sum)
def subtraction_turned_round(place: Sum) -> Node | None:
    """Turns a difference round, as the words stand in order: 3 - x for three less than x."""
    signs = [signed(term)[0] for term in place.terms]
    if len(signs) != 2 or signs[0] == signs[1]:
        return None
    return sum_of(*(negative(term) for term in place.terms))


@pattern(
    source="common practice",
    shows=(
        "translate | five more than twice a number: 2x + 5 | 5x + 2",
        "translate | 3 less than 4 times a number: 4x - 3 | 3x - 4",
    ),
    silent=(
        "translate | five more than twice a number: 2x + 5 | 5 + 2x",
        "translate | five more than a number: x + 5 | 5x + 1",
    ),
)
@instead_of(put_sum)
def numbers_of_words_exchanged(place: Sum) -> Node | None:
    """Puts the two numbers of the words in each other's place."""
    if len(place.terms) != 2:
        return None
    (one, first), (two, second) = map(signed, place.terms)
    match first, second:
        case Product((Numeral() as size, Letter() as letter)), Numeral():
            terms = product_of(second, letter), size
        case _:
            return None
    return sum_of(
        *(
            term if sign > 0 else negative(term)
            for sign, term in zip((one, two), terms, strict=True)
        )
    )


_MOST_TERMS = 4


@pattern(
    source="Otero, Druga and Lan 2024 (labels 34 and 45)",
    shows=(
        "translate | seven more than a number: x + 7 | 7x",
        "translate | the sum of two consecutive integers is 41: n + (n + 1) = 41 | n(n + 1) = 41",
    ),
    silent=(
        "translate | seven more than a number: x + 7 | 7 + a",
        "translate | seven more than a number: x + 7 | x - 7",
        "translate | the sum of two consecutive integers is 41: n + (n + 1) = 41 | 2n + 1 = 41",
    ),
)
@instead_of(put_sum)
def plus_written_as_times(place: Sum) -> Node | None:
    """Multiplies where the words add."""
    plus = all(signed(term)[0] > 0 for term in place.terms)
    return product_of(*place.terms) if plus and len(place.terms) <= _MOST_TERMS else None


@pattern(
    source=_VOCABULARY,
    shows=(
        "translate | three less than a number: x - 3 | x + 3",
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | 2x + 5 = 11",
    ),
    silent=(
        "translate | three less than a number: x - 3 | x - 3",
        "translate | three less than a number: x - 3 | 3 - x",
    ),
)
@instead_of(put_sum)
def minus_written_as_plus(place: Sum) -> Node:
    """Adds where the words subtract."""
    return sum_of(*(signed(term)[1] for term in place.terms))


@pattern(
    source=_VOCABULARY,
    shows=(
        "translate | seven more than a number: x + 7 | x - 7",
        "translate | seven more than a number: x + 7 | 7 - x",
    ),
    silent=(
        "translate | seven more than a number: x + 7 | 7 + x",
        "translate | seven more than a number: x + 7 | 7x",
    ),
)
@instead_of(put_sum)
def plus_written_as_minus(place: Sum) -> Choices | None:
    """Subtracts where the words add."""
    if len(place.terms) != 2 or any(signed(term)[0] < 0 for term in place.terms):
        return None
    first, second = place.terms
    return Choices((difference(first, second), difference(second, first)))


@pattern(
    source=_VOCABULARY,
    shows=(
        "translate | the difference of a number and 3: x - 3 | x/3",
        "translate | a number divided by 6: y/6 | y - 6",
        "translate | four times a number: 4x | x - 4",
    ),
    silent=(
        "translate | the difference of a number and 3: x - 3 | 3 - x",
        "translate | a number divided by 6: y/6 | y/6",
        "translate | four times a number: 4x | x + 4",
    ),
)
@instead_of(put_sum)
def operation_word_mistaken(place: Sum) -> Choices | None:
    """Takes the name of one operation for that of another, as quotient for difference."""
    if len(place.terms) != 2:
        return None
    (sign, first), (other, second) = map(signed, place.terms)
    if sign == other:
        return Choices((over(first, second),)) if sign > 0 else None
    return Choices((over(first, second), product_of(first, second)))


@operation_word_mistaken.also(put_quotient)
def _quotient_mistaken(place: Quotient) -> Choices | None:
    if not letters(place):
        return None
    above, below = place.numerator, place.denominator
    return Choices((difference(above, below), sum_of(above, below)))


@operation_word_mistaken.also(put_product)
def _product_mistaken(place: Product) -> Choices | None:
    if len(place.factors) != 2 or any(isinstance(one, Quotient) for one in place.factors):
        return None
    first, second = place.factors
    return Choices((difference(first, second), difference(second, first)))
