"""Errors in writing the powers and roots that words name."""

from __future__ import annotations

from pipeline.exact.trees import (
    Node,
    Power,
    Product,
    Root,
    children,
)
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.terms import (
    number,
    over,
    power,
    product_of,
    whole,
    with_children,
)
from pipeline.procedures.walk import Choices
from pipeline.tasks.translate import (
    Sentence,
    put_power,
    put_product,
    put_root,
    put_sentence,
)

_SKILL = "translating words"
_VOCABULARY = "OpenStax Prealgebra 2e, 2.2 (the words for operations); common practice"
_MOST_TERMS = 4


@pattern(
    "multiple-written-as-power",
    skill=_SKILL,
    source="Slavit 2006 (power and multiple); common practice",
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
    "power-written-as-multiple",
    skill=_SKILL,
    source="Slavit 2006 (power and multiple); common practice",
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
    "square-and-cube-mistaken",
    skill=_SKILL,
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
    "power-left-out",
    skill=_SKILL,
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


@power_left_out.also(put_sentence)
def _every_power_left_out(sentence: Sentence) -> Sentence:
    return Sentence(tuple(map(_without_powers, sentence.sides)), sentence.signs)


def _without_powers(node: Node) -> Node:
    if isinstance(node, Power):
        return _without_powers(node.base)
    parts = tuple(map(_without_powers, children(node)))
    return with_children(node, parts) if parts else node


@pattern(
    "square-root-mistaken",
    skill=_SKILL,
    source="common practice",
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
