"""Errors in writing a number in another notation."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Node, Product, Quotient
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import multiply
from pipeline.procedures.rewriting.terms import product_of, whole
from pipeline.procedures.walk import Choices
from pipeline.tasks.convert import CONVERSION, Conversion, rescale

_SKILL = "conversions"


def _ten(exponent: int) -> Surd:
    return Surd.of(Fraction(10) ** exponent)


@pattern(
    "point-moved-one-place-off",
    skill=_SKILL,
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
@instead_of(rescale, CONVERSION)
def point_moved_one_place_off(start: Conversion) -> Choices | None:
    """Moves the decimal point one place too few or too many."""
    if start.source == "fraction" and start.target == "decimal":
        return None
    right = rescale(start)
    return Choices((right * 10, right / 10))


@pattern(
    "percent-not-scaled",
    skill=_SKILL,
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
@instead_of(rescale, CONVERSION)
def percent_not_scaled(start: Conversion) -> Surd | None:
    """Puts a percent sign behind the number and does not multiply by 100."""
    return start.value if start.target == "percent" else None


@pattern(
    "percent-sign-dropped",
    skill=_SKILL,
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
@instead_of(rescale, CONVERSION)
def percent_sign_dropped(start: Conversion) -> Surd | None:
    """Leaves out the percent sign and does not divide by 100."""
    percent = start.source == "percent" and start.target != "percent"
    return start.value * 100 if percent else None


@percent_sign_dropped.also(
    multiply,
    "evaluate",
    shows=("evaluate | 15% of 80 | 1200", "evaluate | 8% of 50 | 400"),
    silent=("evaluate | 15% of 80 | 12", "evaluate | 15% of 80 | 65"),
)
def _hundredths_taken_as_whole(place: Product) -> Node | None:
    """Takes the number of hundredths as it stands and does not divide by 100."""
    first, *others = place.factors
    if not isinstance(first, Quotient) or whole(first.denominator) != 100:
        return None
    return product_of(first.numerator, *others)


@pattern(
    "percent-sign-kept",
    skill=_SKILL,
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
@instead_of(rescale, CONVERSION)
def percent_sign_kept(start: Conversion) -> Surd | None:
    """Divides by 100 and keeps the percent sign as well."""
    percent = start.source == "percent" and start.target != "percent"
    return start.value / 100 if percent else None


@pattern(
    "percent-scaled-the-wrong-way",
    skill=_SKILL,
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
@instead_of(rescale, CONVERSION)
def percent_scaled_the_wrong_way(start: Conversion) -> Surd | None:
    """Multiplies by 100 where one has to divide."""
    # The reverse error types 0.0035%, which reads like 0.35% with the sign left out.
    return start.value * 10000 if start.source == "percent" else None


@pattern(
    "fraction-turned-over",
    skill=_SKILL,
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
@instead_of(rescale, CONVERSION)
def fraction_turned_over(start: Conversion) -> Surd | None:
    """Divides the denominator by the numerator."""
    if start.source != "fraction":
        return None
    return rescale(start._replace(value=start.below / start.above))


@pattern(
    "fraction-read-as-point",
    skill=_SKILL,
    source="common practice",
    shows=(
        "convert | 3/8 to decimal | 3.8",
        "convert | 1/4 to decimal | 1.4",
    ),
    silent=(
        "convert | 3/8 to decimal | 0.375",
        "convert | 3/8 to decimal | 8.3",
    ),
)
@instead_of(rescale, CONVERSION)
def fraction_read_as_point(start: Conversion) -> Surd | None:
    """Writes the numerator before the decimal point and the denominator behind it."""
    if start.source != "fraction" or not (start.above.is_integer and start.below.is_integer):
        return None
    digits = len(str(abs(start.below.as_fraction().numerator)))
    return rescale(start._replace(value=start.above + start.below * _ten(-digits)))


@pattern(
    "decimal-as-unit-fraction",
    skill=_SKILL,
    source="common practice",
    shows=(
        "convert | 0.4 to fraction | 1/4",
        "convert | 0.25 to fraction | 1/25",
    ),
    silent=(
        "convert | 0.4 to fraction | 2/5",
        "convert | 0.25 to fraction | 1/4",
    ),
)
@instead_of(rescale, CONVERSION)
def decimal_as_unit_fraction(start: Conversion) -> Surd | None:
    """Writes 1 over the digits of the decimal."""
    if start.source != "decimal" or start.target != "fraction" or not start.places:
        return None
    return 1 / (start.value * _ten(start.places))


@pattern(
    "exponent-of-ten-with-wrong-sign",
    skill=_SKILL,
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
@instead_of(rescale, CONVERSION)
def exponent_of_ten_with_wrong_sign(start: Conversion) -> Surd | None:
    """Uses the opposite sign in the exponent of ten."""
    if "scientific" not in (start.source, start.target):
        return None
    return start.value * _ten(-2 * start.exponent)


@pattern(
    "zeros-appended-to-digits",
    skill=_SKILL,
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
@instead_of(rescale, CONVERSION)
def zeros_appended_to_digits(start: Conversion) -> Surd | None:
    """Appends as many zeros as the exponent says instead of moving the decimal point."""
    if start.source != "scientific" or start.exponent < 1 or not start.places:
        return None
    return start.value * _ten(start.places)


@pattern(
    "power-of-ten-as-product",
    skill=_SKILL,
    source="Otero, Druga and Lan 2024, label 3 (Slavit 2006)",
    shows=(
        "convert | 3.2*10^5 to decimal | 160",
        "convert | 4*10^3 to decimal | 120",
    ),
    silent=(
        "convert | 3.2*10^5 to decimal | 320000",
        "convert | 4*10^3 to decimal | 4000",
    ),
)
@instead_of(rescale, CONVERSION)
def power_of_ten_as_product(start: Conversion) -> Surd | None:
    """Multiplies ten by the exponent."""
    if start.source != "scientific":
        return None
    return start.value * _ten(-start.exponent) * 10 * start.exponent
