"""Errors in putting percents that words name into signs."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.trees import Node, Numeral, Product, Quotient, Sum
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.terms import number, product_of, rational, signed, sum_of, whole
from pipeline.procedures.walk import Choices
from pipeline.tasks.translate import (
    ONE_LETTER,
    Sentence,
    put_product,
    put_sentence,
    put_sum,
)

_SKILL = "translating words"
_SOURCE = "OpenStax Elementary Algebra 2e, 3.2 (percent equations); common practice"


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
    "percent-written-as-whole-number",
    skill=_SKILL,
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
@instead_of(put_product, ONE_LETTER)
def percent_written_as_whole_number(place: Product) -> Node | None:
    """Takes the number before the percent sign as it stands, 20 for 20 hundredths."""
    found = _percent(place)
    return product_of(number(found[0] * 100), found[1]) if found else None


@pattern(
    "percent-point-misplaced",
    skill=_SKILL,
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
@instead_of(put_product, ONE_LETTER)
def percent_point_misplaced(place: Product) -> Node | None:
    """Writes a percent under ten as tenths: 0.8 for 8 hundredths."""
    found = _percent(place)
    if found is None:
        return None
    whole_part, part = divmod(found[0], 1)
    small = 0 < part < Fraction(1, 10) and whole_part <= 1
    return product_of(number(whole_part + part * 10), found[1]) if small else None


@pattern(
    "percent-of-nothing-added",
    skill=_SKILL,
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
    found = _change(place)
    if found is None:
        return None
    amount, part = found
    return Choices((sum_of(amount, number(part)), sum_of(amount, number(part * 100))))


@percent_of_nothing_added.also(put_product)
def _growth_added(place: Product) -> Choices | None:
    found = _percent(place)
    if found is None or found[0] == 1:
        return None
    part, amount = found[0] - 1, found[1]
    return Choices((sum_of(amount, number(part)), sum_of(amount, number(part * 100))))


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
    "percent-change-given-alone",
    skill=_SKILL,
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


@pattern(
    "percent-of-other-number",
    skill=_SKILL,
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


def _taken_of_other(part: Node, amount: Node) -> Sentence | None:
    given = rational(amount)
    if given is None:
        return None
    found = _percent(part)
    if found is not None:
        return Sentence((found[1], number(given * found[0])), ("=",))
    change = _change(part) if isinstance(part, Sum) else None
    return Sentence((change[0], number(given * (1 - change[1]))), ("=",)) if change else None
