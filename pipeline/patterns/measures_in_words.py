"""Errors about the quantities that words name: areas, perimeters, values."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.trees import (
    Node,
    Numeral,
    Product,
    Quotient,
    Sum,
    children,
    letters,
)
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.terms import (
    number,
    product_of,
    rational,
    signed,
    sum_of,
    whole,
    with_children,
)
from pipeline.procedures.walk import Choices
from pipeline.tasks.translate import (
    Sentence,
    put_product,
    put_quotient,
    put_sentence,
    put_sum,
)

_SKILL = "translating words"
_NUMBERS = "OpenStax Elementary Algebra 2e, 3.1 (consecutive integers); common practice"
_AREAS = "OpenStax Elementary Algebra 2e, 3.4 (triangles and rectangles); common practice"


@pattern(
    "triangle-area-not-halved",
    skill=_SKILL,
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
    "perimeter-for-area",
    skill=_SKILL,
    source="Didis and Erbas 2015 (the equation is not formed); common practice",
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


@pattern(
    "area-for-perimeter",
    skill=_SKILL,
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


@area_for_perimeter.also(put_product)
def _area_for_twice_the_sum(place: Product) -> Node | None:
    sides = _rectangle(place)
    return product_of(*sides) if sides else None


@pattern(
    "two-sides-for-perimeter",
    skill=_SKILL,
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


@two_sides_for_perimeter.also(put_product)
def _two_sides_of_twice_the_sum(place: Product) -> Node | None:
    sides = _rectangle(place)
    return sum_of(*sides) if sides else None


_COINS = "translate | dimes and quarters worth $3.75: 0.10d + 0.25q = 3.75"
_TICKETS = "translate | x tickets at $5 and y at $9 bring $860: 5x + 9y = 860"


@pattern(
    "value-of-each-left-out",
    skill=_SKILL,
    source="OpenStax Elementary Algebra 2e, 3.3 (number times value); common practice",
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


def _count(term: Node) -> tuple[Fraction, Node] | None:
    """Return the value of each and what is counted, in a term such as 5x."""
    match term:
        case Product((factor, *rest)):
            value = rational(factor)
            return None if value is None else (value, product_of(*rest))
    return None


@pattern(
    "cents-and-dollars-mixed",
    skill=_SKILL,
    source="OpenStax Elementary Algebra 2e, 3.3 (number times value); common practice",
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


def _amounts(node: Node) -> int:
    """Count the decimals of one side: coins of one kind need no value of their own."""
    return (isinstance(node, Numeral) and bool(node.places)) + sum(map(_amounts, children(node)))


def _in_cents(node: Node) -> Node:
    if isinstance(node, Numeral):
        return number(node.value * 100) if node.places else node
    parts = tuple(map(_in_cents, children(node)))
    return with_children(node, parts) if parts else node
