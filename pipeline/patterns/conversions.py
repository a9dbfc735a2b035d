"""Errors in writing a number in another notation."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Node, Numeral, Power, Product, Quotient
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.operations import place_point
from pipeline.procedures.rewriting.operations import divide, multiply
from pipeline.procedures.rewriting.terms import difference, number, product_of, whole
from pipeline.procedures.walk import Choices, Place, needed
from pipeline.tasks.convert import Conversion, rescale


def _percent_of(place: Product) -> tuple[Node, Node] | None:
    """The number of percent, and the number that they are taken of."""
    first, *others = place.factors
    if not isinstance(first, Quotient) or whole(first.denominator) != 100:
        return None
    return first.numerator, product_of(*others)


@pattern(
    source="common practice",
    shows=(
        "convert | 0.35 to percent | 3.5%",
        "convert | 45% to decimal | 4.5",
        "convert | 0.00032 to scientific | 3.2*10^-5",
    ),
    silent=(
        "convert | 0.35 to percent | 35%",
        "convert | 0.35 to percent | 0.35%",
    ),
)
@instead_of(rescale, Place.CONVERSION)
def point_moved_one_place_off(start: Conversion) -> Choices | None:
    """Moves the decimal point one place too few or too many."""
    if start.source == "fraction" and start.target == "decimal":
        return None
    right = rescale(start)
    return Choices((right * 10, right / 10))


@point_moved_one_place_off.also(
    multiply,
    Place.EVALUATE,
    shows=("evaluate | 30% of 60 | 1.8", "evaluate | 30% of 60 | 180"),
    silent=("evaluate | 30% of 60 | 18", "evaluate | 3/10 * 60 | 1.8"),
)
def _percent_moved_one_place_off(place: Product) -> Choices | None:
    found = needed(_percent_of(place))
    return Choices(product_of(Quotient(found[0], number(below)), found[1]) for below in (10, 1000))


@point_moved_one_place_off.also(
    place_point,
    Place.LINEAR,
    shows=("solve | 0.2x = 6 | 3", "solve | 0.3x - 0.12 = 0.6 | 24", "solve | 0.25x = 5 | 0.2"),
    silent=("solve | 0.2x = 6 | 30", "solve | x/5 = 6 | 3", "solve | 2x = 6 | 30"),
)
def _point_of_quotient_misplaced(quotient: Surd, right: Surd, a: Surd) -> Choices | None:
    """Puts the decimal point of a quotient in the wrong place."""
    if a.is_integer and right.is_integer:
        return None
    found = [quotient * 10, quotient / 10]
    if right.is_integer and (a * 100).is_integer and not (a * 10).is_integer:
        found.append(quotient / 100)  # the point of the divisor is overlooked
    return Choices(found)


@point_moved_one_place_off.also(
    divide,
    Place.EVALUATE,
    shows=("evaluate | 1.2/0.4 | 0.3", "evaluate | 2.4/0.6 | 40"),
    silent=("evaluate | 1.2/0.4 | 3", "evaluate | 12/4 | 0.3"),
)
def _point_of_decimals_misplaced(place: Quotient) -> Choices | None:
    """Puts the decimal point of a quotient in the wrong place."""
    match place:
        case Quotient(Numeral(above, one), Numeral(below, two)) if (one or two) and below:
            return Choices(number(above / below * by) for by in (10, Fraction(1, 10)))
    return None


@pattern(
    source="common practice",
    shows=(
        "convert | 0.35 to percent | 0.35%",
        "convert | 3/8 to percent | 0.375%",
    ),
    silent=(
        "convert | 0.35 to percent | 35%",
        "convert | 0.35 to percent | 3.5%",
    ),
)
@instead_of(rescale, Place.CONVERSION)
def percent_not_scaled(start: Conversion) -> Surd | None:
    """Puts a percent sign behind the number and does not multiply by 100."""
    return start.value if start.target == "percent" else None


@pattern(
    source="common practice",
    shows=(
        "convert | 45% to decimal | 45",
        "convert | 0.5% to decimal | 0.5",
    ),
    silent=(
        "convert | 45% to decimal | 0.45",
        "convert | 45% to decimal | 4.5",
    ),
)
@instead_of(rescale, Place.CONVERSION)
def percent_sign_dropped(start: Conversion) -> Surd | None:
    """Leaves out the percent sign and does not divide by 100."""
    percent = start.source == "percent" and start.target != "percent"
    return start.value * 100 if percent else None


@percent_sign_dropped.also(
    multiply,
    Place.EVALUATE,
    shows=("evaluate | 15% of 80 | 1200", "evaluate | 8% of 50 | 400"),
    silent=("evaluate | 15% of 80 | 12", "evaluate | 15% of 80 | 65"),
)
def _hundredths_taken_as_whole(place: Product) -> Node | None:
    """Takes the number of hundredths as it stands and does not divide by 100."""
    found = _percent_of(place)
    return None if found is None else product_of(*found)


@pattern(
    source="common practice",
    shows=(
        "evaluate | 15% of 80 | 12%",
        "evaluate | 20% of 45 | 9%",
    ),
    silent=(
        "evaluate | 15% of 80 | 12",
        "evaluate | 15% of 80 | 15%",
    ),
)
@instead_of(multiply, Place.EVALUATE)
def part_of_number_given_as_percent(place: Product) -> Node | None:
    """Writes a percent sign behind the number that the percent of another number is."""
    return Quotient(place, number(100)) if _percent_of(place) else None


@pattern(
    source="common practice",
    shows=(
        "evaluate | 20% of 50 | 2.5",
        "evaluate | 15% of 60 | 4",
    ),
    silent=(
        "evaluate | 20% of 50 | 10",
        "evaluate | 20% of 50 | 1000",
    ),
)
@instead_of(multiply, Place.EVALUATE)
def divided_by_number_of_percent(place: Product) -> Node | None:
    """Divides by the number of percent instead of taking so many hundredths."""
    found = _percent_of(place)
    return None if found is None else Quotient(found[1], found[0])


@pattern(
    source="common practice",
    shows=(
        "evaluate | 15% of 240 | 225",
        "evaluate | 12% of 50 | 38",
    ),
    silent=(
        "evaluate | 15% of 240 | 36",
        "evaluate | 15% of 240 | 204",
    ),
)
@instead_of(multiply, Place.EVALUATE)
def percent_subtracted_as_number(place: Product) -> Node | None:
    """Takes the number of percent off the number that they are taken of."""
    found = _percent_of(place)
    return None if found is None else difference(found[1], found[0])


@pattern(
    source="common practice",
    shows=(
        "convert | 45% to decimal | 0.45%",
        "convert | 6% to decimal | 0.06%",
    ),
    silent=(
        "convert | 45% to decimal | 45%",
        "convert | 45% to decimal | 0.45",
        "convert | 0.45 to percent | 0.45%",
    ),
)
@instead_of(rescale, Place.CONVERSION)
def percent_sign_kept(start: Conversion) -> Surd | None:
    """Divides by 100 and keeps the percent sign as well."""
    percent = start.source == "percent" and start.target != "percent"
    return start.value / 100 if percent else None


@pattern(
    source="common practice",
    shows=(
        "convert | 6% to decimal | 600",
        "convert | 45% to decimal | 4500",
    ),
    silent=(
        "convert | 0.35 to percent | 35%",
        "convert | 45% to decimal | 45",
    ),
)
@instead_of(rescale, Place.CONVERSION)
def percent_scaled_the_wrong_way(start: Conversion) -> Surd | None:
    """Multiplies by 100 where one has to divide."""
    # The reverse error types 0.0035%, which reads like 0.35% with the sign left out.
    return start.value * 10000 if start.source == "percent" else None


@pattern(
    source="common practice",
    shows=(
        "convert | 3/8 to decimal | 2.67",
        "convert | 4/5 to percent | 125%",
    ),
    silent=(
        "convert | 3/8 to decimal | 0.375",
        "convert | 3/8 to decimal | 3.8",
    ),
)
@instead_of(rescale, Place.CONVERSION)
def fraction_turned_over(start: Conversion) -> Surd | None:
    """Divides the denominator by the numerator."""
    if start.source != "fraction":
        return None
    return rescale(start._replace(value=start.below / start.above))


def _ten(exponent: int) -> Surd:
    return Surd.of(Fraction(10) ** exponent)


@pattern(
    source="common practice",
    shows=(
        "convert | 3/8 to decimal | 3.8",
        "convert | 1/4 to decimal | 1.4",
        "convert | 1/4 to decimal | 0.14",
        "convert | 2/5 to percent | 25%",
        "convert | 3 3/4 to decimal | 3.34",
    ),
    silent=(
        "convert | 3/8 to decimal | 0.375",
        "convert | 3/8 to decimal | 8.3",
        "convert | 2/5 to percent | 40%",
        "convert | 3/8 to percent | 38",
    ),
)
@instead_of(rescale, Place.CONVERSION)
def fraction_read_as_point(start: Conversion) -> Choices | None:
    """Writes the digits of numerator and denominator side by side as a decimal or a percent."""
    if start.mixed and start.target == "decimal":
        whole, *rest = start.mixed
        digits = "".join(map(str, rest))
        return Choices((whole + int(digits) * _ten(-len(digits)),))
    if not (parts := _whole_parts(start)):
        return None
    above, below = parts
    number = int(f"{above}{below}")
    if start.target == "percent":
        gap = start.value * 100 - number
        return None if abs(gap.as_fraction()) < 1 else Choices((Surd.of(number),))
    return Choices(number * _ten(-len(str(digits))) for digits in (below, number))


@pattern(
    source="common practice",
    shows=(
        "convert | 1/5 to decimal | 0.5",
        "convert | 1/8 to percent | 8%",
        "convert | 1/12 to decimal | 0.12",
    ),
    silent=(
        "convert | 1/5 to decimal | 0.2",
        "convert | 2/5 to decimal | 0.5",
        "convert | 1/8 to percent | 80%",
    ),
)
@instead_of(rescale, Place.CONVERSION)
def denominator_as_digits(start: Conversion) -> Surd | None:
    """Takes the denominator of 1/n for the digits of the decimal, or for the number of percent."""
    above, below = _whole_parts(start) or (0, 0)
    if above != 1:
        return None
    return start.below * (1 if start.target == "percent" else _ten(-len(str(below))))


def _whole_parts(start: Conversion) -> tuple[int, int] | None:
    """Numerator and denominator of a positive fraction of whole numbers."""
    if start.source != "fraction" or not (start.above.is_integer and start.below.is_integer):
        return None
    above, below = (int(part.as_fraction()) for part in (start.above, start.below))
    return (above, below) if min(above, below) > 0 else None


@pattern(
    source="common practice",
    shows=(
        "convert | 0.4 to fraction | 1/4",
        "convert | 0.25 to fraction | 1/25",
        "convert | 45% to fraction | 1/45",
    ),
    silent=(
        "convert | 0.4 to fraction | 2/5",
        "convert | 0.25 to fraction | 1/4",
    ),
)
@instead_of(rescale, Place.CONVERSION)
def decimal_as_unit_fraction(start: Conversion) -> Surd | None:
    """Writes 1 over the digits of the decimal, or over the number of percent."""
    if start.target != "fraction" or start.source not in ("decimal", "percent"):
        return None
    digits = 2 if start.source == "percent" else start.places
    return 1 / (start.value * _ten(digits)) if digits and start.value else None


@pattern(
    source="common practice",
    shows=(
        "convert | 0.00032 to scientific | 3.2*10^4",
        "convert | 3.2*10^5 to decimal | 0.000032",
    ),
    silent=(
        "convert | 0.00032 to scientific | 3.2*10^-4",
        "convert | 3.2*10^5 to decimal | 320000",
    ),
)
@instead_of(rescale, Place.CONVERSION)
def exponent_of_ten_with_wrong_sign(start: Conversion) -> Surd | None:
    """Uses the opposite sign in the exponent of ten."""
    if "scientific" not in (start.source, start.target):
        return None
    return start.value * _ten(-2 * start.exponent)


@pattern(
    source="common practice",
    shows=(
        "convert | 3.2*10^5 to decimal | 3200000",
        "convert | 1.75*10^4 to decimal | 1750000",
    ),
    silent=(
        "convert | 3.2*10^5 to decimal | 320000",
        "convert | 3*10^5 to decimal | 3000000",
    ),
)
@instead_of(rescale, Place.CONVERSION)
def zeros_appended_to_digits(start: Conversion) -> Surd | None:
    """Appends as many zeros as the exponent says instead of moving the decimal point."""
    if start.source != "scientific" or start.exponent < 1 or not start.places:
        return None
    return start.value * _ten(start.places)


@zeros_appended_to_digits.also(
    multiply,
    shows=("evaluate | 3.2*10^4 | 320000", "evaluate | 1.75*10^3 | 175000"),
    silent=("evaluate | 3.2*10^4 | 32000", "evaluate | 3*10^4 | 300000"),
)
def _zeros_appended_in_product(place: Product) -> Node | None:
    match place.factors:
        case (Numeral(value), Power(Numeral(base), exponent)) if base == 10:
            shift = next((n for n in range(1, 7) if (value * 10**n).denominator == 1), 0)
            appended = shift and value.denominator > 1 and (whole(exponent) or 0) > 0
            return product_of(number(value * 10**shift), place.factors[1]) if appended else None
    return None


@pattern(
    source="Slavit 2006 (label 3 of Otero, Druga and Lan 2024)",
    shows=(
        "convert | 3.2*10^5 to decimal | 160",
        "convert | 4*10^3 to decimal | 120",
    ),
    silent=(
        "convert | 3.2*10^5 to decimal | 320000",
        "convert | 4*10^3 to decimal | 4000",
    ),
)
@instead_of(rescale, Place.CONVERSION)
def power_of_ten_as_product(start: Conversion) -> Surd | None:
    """Multiplies ten by the exponent."""
    if start.source != "scientific":
        return None
    return start.value * _ten(-start.exponent) * 10 * start.exponent


@pattern(
    source="common practice",
    shows=(
        "convert | 2 1/3 to improper fraction | 5/3",
        "convert | 3 2/5 to improper fraction | 11/5",
    ),
    silent=(
        "convert | 2 1/3 to improper fraction | 7/3",
        "convert | 5/3 to mixed number | 2 1/3",
    ),
)
@instead_of(rescale, Place.CONVERSION)
def whole_multiplied_by_numerator(start: Conversion) -> Choices | None:
    """Multiplies the whole number by the numerator, and adds the denominator or nothing."""
    if not start.mixed or start.target == "mixed":
        return None
    whole, above, below = start.mixed
    return Choices(Surd.of(Fraction(whole * above + more, below)) for more in (below, 0))


@pattern(
    source="common practice",
    shows=(
        "convert | 2 1/3 to improper fraction | 6/3",
        "convert | 4 2/5 to improper fraction | 20/5",
    ),
    silent=(
        "convert | 2 1/3 to improper fraction | 7/3",
        "convert | 2 1/3 to improper fraction | 5/3",
    ),
)
@instead_of(rescale, Place.CONVERSION)
def numerator_of_mixed_number_not_added(start: Conversion) -> Surd | None:
    """Multiplies the whole number by the denominator and does not add the numerator."""
    return Surd.of(start.mixed[0]) if start.mixed and start.target == "improper" else None


def _divided(start: Conversion) -> tuple[int, int, int] | None:
    """Quotient, remainder and divisor of an improper fraction that is to be a mixed number."""
    if start.target != "mixed" or start.source != "fraction" or start.mixed:
        return None
    above, below = (one.as_fraction() for one in (start.above, start.below))
    if above <= below or below < 2 or not above % below:
        return None
    return int(above // below), int(above % below), int(below)


@pattern(
    source="common practice",
    shows=(
        "convert | 7/3 to mixed number | 1 2/3",
        "convert | 17/5 to mixed number | 2 3/5",
    ),
    silent=(
        "convert | 7/3 to mixed number | 2 1/3",
        "convert | 7/3 to decimal | 5/3",
    ),
)
@instead_of(rescale, Place.CONVERSION)
def quotient_and_remainder_swapped(start: Conversion) -> Surd | None:
    """Writes the remainder as the whole number and the quotient as the numerator."""
    parts = _divided(start)
    return None if parts is None else Surd.of(parts[1] + Fraction(parts[0], parts[2]))


@pattern(
    source="common practice",
    shows=(
        "convert | 7/3 to mixed number | 2 1/7",
        "convert | 17/5 to mixed number | 3 2/17",
        "convert | 17/5 to mixed number | 3 5/2",
    ),
    silent=(
        "convert | 7/3 to mixed number | 2 1/3",
        "convert | 15/5 to mixed number | 3",
    ),
)
@instead_of(rescale, Place.CONVERSION)
def remainder_over_numerator(start: Conversion) -> Choices | None:
    """Writes the remainder over the number that was divided, or the divisor over the remainder."""
    whole, rest, divisor = needed(_divided(start))
    shares = [Fraction(rest, int(start.above.as_fraction()))]
    shares += [Fraction(divisor, rest)] if rest else []
    return Choices(Surd.of(whole + share) for share in shares)


@pattern(
    source="common practice",
    shows=(
        "convert | 17/5 to decimal | 3.2",
        "convert | 11/4 to decimal | 2.3",
    ),
    silent=(
        "convert | 17/5 to decimal | 3.4",
        "convert | 7/5 to decimal | 1.4",
    ),
)
@instead_of(rescale, Place.CONVERSION)
def remainder_as_decimals(start: Conversion) -> Surd | None:
    """Writes the remainder of the division behind the decimal point."""
    parts = _whole_parts(start)
    if not parts or start.target != "decimal" or parts[0] < parts[1]:
        return None
    whole, rest = divmod(parts[0], parts[1])
    return whole + rest * _ten(-len(str(rest)))
