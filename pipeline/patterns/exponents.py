"""Errors with the rules for products, powers and quotients of powers."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.coefficients import Coefficients
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import (
    Constant,
    Negation,
    Node,
    Numeral,
    Power,
    Product,
    Quotient,
    Root,
    Sum,
)
from pipeline.patterns.distribution import multiplier_of
from pipeline.patterns.division_of_polynomials import Divided
from pipeline.patterns.registry import Pattern, instead_of, pattern
from pipeline.procedures.rewriting.operations import (
    add,
    divide,
    drop_minus,
    multiply,
    raise_to_power,
)
from pipeline.procedures.rewriting.terms import (
    IMAGINARY,
    ONE,
    ZERO,
    Monomial,
    factors_of,
    fraction_parts,
    monomial,
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
from pipeline.procedures.walk import Choices, Place, needed
from pipeline.tasks.divide import divide_rows


def _grouped(one: Monomial) -> dict[Node, list[Fraction]]:
    found: dict[Node, list[Fraction]] = {}
    for base, exponent in one.powers:
        found.setdefault(base, []).append(exponent)
    return found


@pattern(
    source="OpenStax College Algebra 2e, 1.2; Scofield 2003",
    shows=(
        "simplify | x^4 * x^7 | x^28",
        "simplify | (2a^3)(5a^4) | 10a^12",
    ),
    silent=(
        "simplify | x^4 * x^7 | x^11",
        "simplify | (x^4)^7 | x^28",
    ),
)
@instead_of(multiply)
def exponents_multiplied_in_product(place: Product) -> Node | None:
    """Multiplies the exponents when powers of one base are multiplied."""
    found = monomial(place)
    if found is None:
        return None
    groups = _grouped(found)
    if all(len(exponents) < 2 for exponents in groups.values()):
        return None
    powers = []
    for base, exponents in groups.items():
        total = Fraction(1)
        for exponent in exponents:
            total *= exponent
        powers.append((base, total))
    return Monomial(found.coefficient, tuple(powers)).tree()


@exponents_multiplied_in_product.also(
    multiply,
    shows=("expand | x^2(x^3 + 4) | x^6 + 4x^2", "expand | 3a^2(a^4 - 2a^3) | 3a^8 - 6a^6"),
    silent=("expand | x^2(x^3 + 4) | x^5 + 4x^2", "expand | x(x^3 + 4) | x^4 + 4x"),
)
def _multiplied_term_by_term(place: Product) -> Node | None:
    return _term_by_term(place, exponents_multiplied_in_product)


def _term_by_term(place: Product, wrong: Pattern) -> Node | None:
    """A bracket multiplied out, each product as a pattern has it where it has one."""
    outside, terms = needed(multiplier_of(place))
    products = [Product((outside, term)) for term in terms]
    found = [wrong.moves[0].version(one) for one in products]
    parts = (one or right for one, right in zip(found, products, strict=True))
    return sum_of(*parts) if any(found) else None


@exponents_multiplied_in_product.also(
    multiply,
    shows=("simplify | 2^x * 2^y | 2^(xy)", "simplify | 3^n * 3^(2n) | 3^(2n^2)"),
    silent=("simplify | 2^x * 2^y | 2^(x + y)", "simplify | 2^x * 3^y | 6^(xy)"),
)
def _exponents_with_letters_multiplied(place: Product) -> Node | None:
    base, exponents = needed(_powers_of_number(place))
    return Power(number(base), product_of(*exponents)) if ONE not in exponents else None


def _powers_of_number(place: Product) -> tuple[Fraction, list[Node]] | None:
    """The base and both exponents of two powers of one number, not both of them numbers."""
    powers = [one if isinstance(one, Power) else Power(one, ONE) for one in factors_of(place)]
    bases, exponents = [rational(one.base) for one in powers], [one.exponent for one in powers]
    if len(powers) != 2 or bases[0] is None or bases[0] != bases[1]:
        return None
    return None if all(rational(one) is not None for one in exponents) else (bases[0], exponents)


@pattern(
    source="Matz 1980 (from memory)",
    shows=(
        "evaluate | 2^3 * 2^4 | 16384",
        "simplify | 3^2 * 3^5 | 9^7",
        "evaluate | 3 * 3^2 | 729",
    ),
    silent=(
        "evaluate | 2^3 * 2^4 | 128",
        "evaluate | 2^3 * 2^4 | 4096",
    ),
)
@instead_of(multiply)
def bases_multiplied_too(place: Product) -> Node | None:
    """Multiplies the bases as well as adding the exponents."""
    factors = factors_of(place)
    powers = [one if isinstance(one, Power) else Power(one, ONE) for one in factors]
    bases = [rational(one.base) for one in powers]
    exponents = [rational(one.exponent) for one in powers]
    if len(powers) != 2 or bases[0] != bases[1] or exponents == [1, 1]:
        return None
    if bases[0] is None or exponents[0] is None or exponents[1] is None:
        return None
    return power(number(bases[0] * bases[0]), exponents[0] + exponents[1])


@bases_multiplied_too.also(
    multiply,
    shows=("simplify | 3^n * 3^2 | 9^(n + 2)", "simplify | 2^x * 2^y | 4^(x + y)"),
    silent=("simplify | 3^n * 3^2 | 3^(n + 2)", "simplify | 2^x * 2^y | 2^(xy)"),
)
def _bases_multiplied_under_letters(place: Product) -> Node:
    base, exponents = needed(_powers_of_number(place))
    return Power(number(base * base), sum_of(*exponents))


@pattern(
    source="common practice",
    shows=(
        "evaluate | 27^(2/3) | 3",
        "evaluate | 16^(3/4) | 2",
    ),
    silent=(
        "evaluate | 27^(2/3) | 9",
        "evaluate | 27^(1/3) | 3",
        "evaluate | 16^(3/4) | 12",
    ),
)
@instead_of(raise_to_power)
def numerator_of_exponent_forgotten(place: Power) -> Node | None:
    """Takes the root that the denominator of the exponent says and forgets its numerator."""
    exponent = _two_part_exponent(place)
    return power(place.base, Fraction(1, exponent.denominator)) if exponent else None


def _two_part_exponent(place: Power) -> Fraction | None:
    """A positive exponent that says a power and a root."""
    exponent = rational(place.exponent)
    several = exponent is not None and exponent.numerator > 1 < exponent.denominator
    return exponent if several else None


@pattern(
    source="common practice",
    shows=(
        "evaluate | 27^(2/3) | 729",
        "evaluate | 4^(3/2) | 64",
    ),
    silent=(
        "evaluate | 27^(2/3) | 9",
        "evaluate | 27^(1/3) | 27",
        "evaluate | 4^(3/2) | 6",
    ),
)
@instead_of(raise_to_power)
def root_in_exponent_forgotten(place: Power) -> Node | None:
    """Raises to the numerator of the exponent and takes no root."""
    exponent = _two_part_exponent(place)
    return power(place.base, exponent.numerator) if exponent else None


@pattern(
    source="common practice",
    shows=(
        "simplify | (x^2)^3 | x^8",
        "simplify | (a^3)^2 | a^9",
    ),
    silent=(
        "simplify | (x^2)^3 | x^6",
        "simplify | (x^2)^3 | x^5",
    ),
)
@instead_of(raise_to_power)
def exponent_raised_to_exponent(place: Power) -> Node | None:
    """Raises the exponent inside to the one outside, where the two are to be multiplied."""
    exponent, inside = whole(place.exponent), monomial(place.base)
    if exponent is None or not 2 <= exponent <= 4 or inside is None:
        return None
    if not any(inner not in (0, 1) for _, inner in inside.powers):
        return None
    powers = tuple((base, inner**exponent) for base, inner in inside.powers)
    return Monomial(inside.coefficient**exponent, powers).tree()


@pattern(
    source="OpenStax College Algebra 2e, 1.2; Scofield 2003",
    shows=(
        "simplify | (x^2)^7 | x^9",
        "simplify | (2x^4)^3 | 8x^7",
        "simplify | (x^2y)^3 | x^5y^3",
    ),
    silent=(
        "simplify | (x^2)^7 | x^14",
        "simplify | x^2 * x^7 | x^9",
    ),
)
@instead_of(raise_to_power)
def exponents_added_in_power(place: Power) -> Choices | None:
    """Adds the exponents when a power is raised to a power."""
    exponent, inside = rational(place.exponent), monomial(place.base)
    if exponent is None or exponent.denominator != 1 or inside is None or not inside.powers:
        return None
    if len(inside.powers) == 1 and inside.powers[0][1] == 1 and inside.coefficient == 1:
        return None
    every = tuple((base, inner + exponent) for base, inner in inside.powers)
    # An exponent 1 that is not written is hardly added.
    written = tuple(
        (base, exponent if inner == 1 else inner + exponent) for base, inner in inside.powers
    )
    coefficient = inside.coefficient ** int(exponent)
    found = dict.fromkeys((every, written))
    return Choices(Monomial(coefficient, powers).tree() for powers in found)


def _with_number(place: Power) -> tuple[Node, Node] | None:
    """The number and the rest of a product that is raised to a power."""
    factors = factors_of(place.base)
    numbers = [one for one in factors if isinstance(signed(one)[1], Numeral)]
    others = [one for one in factors if not isinstance(signed(one)[1], Numeral)]
    sign, body = signed(place.base)
    if sign < 0:
        numbers = [one for one in factors_of(body) if isinstance(one, Numeral)]
        others = [one for one in factors_of(body) if not isinstance(one, Numeral)]
        numbers = [number(Surd.of(-1)), *numbers] if numbers else []
    return (product_of(*numbers), product_of(*others)) if numbers and others else None


@pattern(
    source="OpenStax Intermediate Algebra 2e, 8.6; Scofield 2003; Dawkins 2006",
    shows=(
        "simplify | (2x^4)^2 | 2x^8",
        "simplify | (4x)^2 | 4x^2",
        "simplify | (3sqrt(5))^2 | 15",
    ),
    silent=(
        "simplify | (2x^4)^2 | 4x^8",
        "simplify | (x^4)^2 | x^8",
    ),
)
@instead_of(raise_to_power)
def coefficient_left_out_of_power(place: Power) -> Node | None:
    """Raises the letters of a product to the power and leaves the number as it is."""
    parts = _with_number(place)
    if parts is None or rational(place.exponent) is None:
        return None
    return product_of(parts[0], Power(parts[1], place.exponent))


@pattern(
    source="common practice",
    shows=(
        "simplify | (3x^2)^2 | 9x^2",
        "simplify | (2a)^3 | 8a",
    ),
    silent=(
        "simplify | (3x^2)^2 | 9x^4",
        "simplify | (3x^2)^2 | 3x^4",
    ),
)
@instead_of(raise_to_power)
def letters_left_out_of_power(place: Power) -> Node | None:
    """Raises the number of a product to the power and leaves the letters as they are."""
    parts = _with_number(place)
    if parts is None or rational(place.exponent) is None:
        return None
    return product_of(Power(parts[0], place.exponent), parts[1])


@pattern(
    source="Slavit 2006 (power taken as a multiple); Robinson 2013",
    shows=(
        "simplify | (3x^5)^3 | 9x^15",
        "simplify | (5a^2)^2 | 10a^4",
    ),
    silent=(
        "simplify | (3x^5)^3 | 27x^15",
        "simplify | (2a^2)^2 | 4a^4",
    ),
)
@instead_of(raise_to_power)
def coefficient_times_exponent(place: Power) -> Node | None:
    """Multiplies the number of a product by the exponent instead of raising it."""
    parts, exponent = _with_number(place), rational(place.exponent)
    if parts is None or exponent is None or exponent.denominator != 1:
        return None
    return product_of(parts[0], number(exponent), Power(parts[1], place.exponent))


@pattern(
    source="common practice",
    shows=(
        "simplify | 2^x + 2^x | 4^x",
        "evaluate | 3^2 + 4^2 | 49",
        "evaluate | 2^3 + 2^3 | 64",
    ),
    silent=(
        "simplify | 2^x + 2^x | 2^(x + 1)",
        "evaluate | 3^2 + 4^2 | 25",
        "evaluate | (3 + 4)^2 | 49",
    ),
)
@instead_of(add)
def bases_added_under_one_exponent(place: Sum) -> Node | None:
    """Adds the bases of powers that have the same exponent: 3^2 + 4^2 as 7^2."""
    terms = terms_of(place)
    powers = [one for one in terms if isinstance(one, Power) and rational(one.base) is not None]
    if len(terms) != 2 or len(powers) != 2 or powers[0].exponent != powers[1].exponent:
        return None
    return Power(sum_of(*(one.base for one in powers)), powers[0].exponent)


@pattern(
    source="common practice",
    shows=(
        "simplify | x^3 * x^3 | 2x^3",
        "simplify | a * a | 2a",
    ),
    silent=(
        "simplify | x^3 * x^3 | x^6",
        "simplify | x^3 + x^3 | 2x^3",
    ),
)
@instead_of(multiply)
def like_bases_added_in_product(place: Product) -> Node | None:
    """Adds equal powers that are to be multiplied."""
    factors = factors_of(place)
    if len(factors) != 2 or factors[0] != factors[1] or value_of(factors[0]) is not None:
        return None
    return sum_of(*factors) if monomial(factors[0]) is not None else None


@like_bases_added_in_product.also(
    multiply,
    shows=("expand | x(x + 4) | 2x + 4x", "expand | x(x - 3) | 2x - 3x"),
    silent=("expand | x(x + 4) | x^2 + 4x",),
)
def _letter_times_bracket(place: Product) -> Node | None:
    factors = factors_of(place)
    if len(factors) != 2 or not isinstance(factors[1], Sum) or value_of(factors[0]) is not None:
        return None
    letter, terms = factors[0], factors[1].terms
    if letter not in terms or monomial(letter) is None:
        return None
    return sum_of(
        *(sum_of(letter, letter) if one == letter else product_of(letter, one) for one in terms)
    )


def _half_power(place: Power) -> int:
    """1 or -1 for an exponent of plus or minus one half, else 0."""
    exponent = rational(place.exponent)
    return 0 if exponent is None or abs(exponent) != Fraction(1, 2) else 1 if exponent > 0 else -1


@pattern(
    source="Robinson 2013",
    shows=(
        "evaluate | 14^(1/2) | 7",
        "evaluate | 36^(1/2) | 18",
    ),
    silent=(
        "evaluate | 14^(1/2) | sqrt(14)",
        "evaluate | 36^(1/2) | 6",
    ),
)
@instead_of(raise_to_power)
def half_power_as_half(place: Power) -> Node | None:
    """Takes half of the base for the exponent one half."""
    sign = _half_power(place)
    return product_of(number(Fraction(sign, 2)), place.base) if sign else None


@pattern(
    source="Robinson 2013",
    shows=(
        "evaluate | 12^(1/2) | 60",
        "evaluate | 10^(1/2) | 50",
    ),
    silent=(
        "evaluate | 12^(1/2) | 2sqrt(3)",
        "evaluate | 12^(1/2) | 6",
    ),
)
@instead_of(raise_to_power)
def half_power_as_times_five(place: Power) -> Node | None:
    """Multiplies the base by five for the exponent one half, written 0.5."""
    return product_of(number(5), place.base) if _half_power(place) == 1 else None


@pattern(
    source="Slavit 2006 (power taken as a multiple); Robinson 2013 (half power as half)",
    shows=(
        "evaluate | 27^(1/3) | 9",
        "evaluate | 8^(2/3) | 16/3",
    ),
    silent=(
        "evaluate | 27^(1/3) | 3",
        "evaluate | 27^(1/3) | 81",
    ),
)
@instead_of(raise_to_power)
def fraction_power_divides(place: Power) -> Node | None:
    """Multiplies the base by a fraction that stands as its exponent."""
    exponent = rational(place.exponent)
    if exponent is None or exponent.denominator == 1 or abs(exponent) == Fraction(1, 2):
        return None
    return product_of(number(exponent), place.base)


@pattern(
    source="common practice",
    shows=(
        "evaluate | (3/7)^2 | 3/49",
        "evaluate | (2/5)^3 | 2/125",
    ),
    silent=(
        "evaluate | (3/7)^2 | 9/49",
        "evaluate | (3/7)^2 | 9/7",
    ),
)
@instead_of(raise_to_power)
def fraction_power_keeps_numerator(place: Power) -> Node | None:
    """Raises the denominator of a fraction and leaves the numerator as it is."""
    parts, exponent = fraction_parts(place.base), rational(place.exponent)
    if parts is None or exponent is None or exponent < 2:
        return None
    return Quotient(parts[0], Power(parts[1], place.exponent))


def _grouped_by_number(place: Product) -> list[Node]:
    """The factors of a product, a number joined with the letter behind it."""
    groups: list[Node] = []
    for factor in place.factors:
        joins = groups and value_of(groups[-1]) is not None and value_of(factor) is None
        groups.append(product_of(groups.pop(), factor) if joins else factor)
    return groups


def _two_terms(place: Product) -> tuple[Monomial, Monomial] | None:
    """Two terms with coefficients and the same letters, as in (2x)(3x)."""
    groups = _grouped_by_number(place)
    if len(groups) != 2:
        return None
    one, two = (monomial(group) for group in groups)
    if one is None or two is None or not one.powers or not two.powers:
        return None
    return one, two


@pattern(
    source="common practice",
    shows=(
        "simplify | (2x)(3x) | 6x",
        "simplify | (4a^2)(5a^2) | 20a^2",
    ),
    silent=(
        "simplify | (2x)(3x) | 6x^2",
        "simplify | 2x + 3x | 5x",
    ),
)
@instead_of(multiply)
def letter_multiplied_once(place: Product) -> Node | None:
    """Multiplies the coefficients of two terms and keeps their letter as it is."""
    found = _two_terms(place)
    if found is None or found[0].powers != found[1].powers:
        return None
    return found[0]._replace(coefficient=found[0].coefficient * found[1].coefficient).tree()


@letter_multiplied_once.also(
    multiply,
    shows=("expand | 2x(3x + 4) | 6x + 8x", "expand | 3x(2x - 5) | 6x - 15x"),
    silent=("expand | 2x(3x + 4) | 6x^2 + 8x", "expand | 2(3x + 4) | 6x + 8"),
)
def _letter_before_bracket_kept_once(place: Product) -> Node | None:
    return _term_by_term(place, letter_multiplied_once)


@pattern(
    source="common practice",
    shows=(
        "simplify | (2x)(3x) | 5x^2",
        "simplify | (4a^2)(5a^3) | 9a^5",
        "simplify | x^3 * x^4 | 2x^7",
    ),
    silent=(
        "simplify | (2x)(3x) | 6x^2",
        "simplify | (2x)(3x) | 5x",
    ),
)
@instead_of(multiply)
def coefficients_added_in_product(place: Product) -> Node | None:
    """Adds the coefficients of two terms that are to be multiplied."""
    found = _two_terms(place)
    if found is None:
        return None
    one, two = found
    shared = {base for base, _ in one.powers} & {base for base, _ in two.powers}
    return _coefficients_added(one.tree(), two.tree()) if shared else None


@coefficients_added_in_product.also(
    multiply,
    shows=(
        "expand | 3x(2x + 4) | 5x^2 + 12x",
        "expand | 2x(3x^2 - 4) | 5x^3 - 8x",
        "expand | 2x(3x + 4) | 5x^2 + 6x",
    ),
    silent=("expand | 3x(2x + 4) | 6x^2 + 12x", "expand | 3(2x + 4) | 5x + 12"),
)
def _coefficients_added_before_bracket(place: Product) -> Choices | None:
    outside, terms = needed(multiplier_of(place))
    full = [product_of(outside, term) for term in terms]
    version = coefficients_added_in_product.moves[0].version
    added = [version(Product((outside, term))) for term in terms]
    if not any(added):
        return None
    each = [sum_of(*full[:place], one, *full[place + 1 :])
            for place, one in enumerate(added) if one is not None]  # fmt: skip
    return Choices((*each, sum_of(*(_coefficients_added(outside, term) for term in terms))))


def _coefficients_added(one: Node, two: Node) -> Node:
    first, second = needed(monomial(one)), needed(monomial(two))
    total = first.coefficient + second.coefficient
    return Monomial(total, (*first.powers, *second.powers)).tree()


@coefficients_added_in_product.also(
    multiply,
    shows=("simplify | 2sqrt(3)*4sqrt(5) | 6sqrt(15)", "simplify | 3sqrt(2)*5sqrt(7) | 8sqrt(14)"),
    silent=("simplify | 2sqrt(3)*4sqrt(5) | 8sqrt(15)", "simplify | 2sqrt(3)+4sqrt(5) | 6sqrt(15)"),
)
def _numbers_before_radicals_added(place: Product) -> Node | None:
    factors = factors_of(place)
    numbers = [one for one in map(rational, factors) if one is not None]
    roots = [one for one in factors if isinstance(one, Root)]
    if not (len(numbers) == len(roots) == 2 and len(factors) == 4):
        return None
    return product_of(number(numbers[0] + numbers[1]), *roots)


def _negative_exponent(place: Power) -> Fraction | None:
    """The size of a negative exponent."""
    exponent = rational(place.exponent)
    return -exponent if exponent is not None and exponent < 0 else None


@pattern(
    source="Robinson 2013; Scofield 2003",
    shows=(
        "simplify | 5^(-1) | -5",
        "evaluate | 3^(-2) | -9",
        "evaluate | 25^(-1/2) | -5",
    ),
    silent=(
        "simplify | 5^(-1) | 1/5",
        "evaluate | 3^(-2) | -1/9",
    ),
)
@instead_of(raise_to_power)
def negative_exponent_as_negative(place: Power) -> Node | None:
    """Gives the power a minus sign because its exponent has one."""
    size = _negative_exponent(place)
    return Negation(power(place.base, size)) if size is not None else None


@pattern(
    source="Farah 1993 (label 3 of Otero, Druga and Lan 2024)",
    shows=(
        "evaluate | 5^(-2) | 0.05",
        "evaluate | 7^(-1) | 0.7",
    ),
    silent=(
        "evaluate | 5^(-2) | 1/25",
        "evaluate | 5^2 | 500",
    ),
)
@instead_of(raise_to_power)
def negative_exponent_as_power_of_ten(place: Power) -> Node | None:
    """Multiplies the base by that power of ten: 5 to the power -2 as 5 hundredths."""
    size = _negative_exponent(place)
    if size is None or size.denominator != 1 or size > 9:
        return None
    return product_of(place.base, number(Fraction(1, 10 ** int(size))))


@pattern(
    source="common practice",
    shows=(
        "evaluate | 3^(-2) | -1/9",
        "simplify | x^(-4) | -1/x^4",
    ),
    silent=(
        "evaluate | 3^(-2) | 1/9",
        "evaluate | 3^(-2) | -9",
    ),
)
@instead_of(raise_to_power)
def negative_exponent_as_negative_reciprocal(place: Power) -> Node | None:
    """Takes the reciprocal for a negative exponent and a minus sign as well."""
    size = _negative_exponent(place)
    return Negation(Quotient(ONE, power(place.base, size))) if size is not None else None


@pattern(
    source="common practice",
    shows=(
        "evaluate | 3^(-2) | 9",
        "evaluate | 1/(4^(-3)) | 1/64",
    ),
    silent=(
        "evaluate | 3^(-2) | 1/9",
        "evaluate | 3^2 | 9",
    ),
)
@instead_of(raise_to_power)
def negative_exponent_ignored(place: Power) -> Node | None:
    """Works a negative exponent as if it were positive."""
    size = _negative_exponent(place)
    return power(place.base, size) if size is not None else None


@pattern(
    source="OpenStax Elementary Algebra 2e, 6.7 (caution); Cangelosi et al. 2013 (from memory)",
    shows=(
        "simplify | 3x^(-2) | 1/(3x^2)",
        "simplify | 5a^(-3) | 1/(5a^3)",
    ),
    silent=(
        "simplify | 3x^(-2) | 3/x^2",
        "simplify | (3x)^(-2) | 1/(9x^2)",
    ),
)
@instead_of(multiply)
def coefficient_moved_with_negative_exponent(place: Product) -> Node | None:
    """Moves the number in front to the denominator along with the negative power."""
    factors = factors_of(place)
    moved = [one for one in factors if isinstance(one, Power) and _negative_exponent(one)]
    numbers = [one for one in factors if value_of(one) is not None and one not in moved]
    if len(moved) != 1 or not numbers:
        return None
    size = needed(_negative_exponent(moved[0]))
    rest = [one for one in factors if one not in moved and one not in numbers]
    return over(product_of(*rest), product_of(*numbers, power(moved[0].base, size)))


@pattern(
    source="Cangelosi et al. 2013 (from memory)",
    shows=(
        "simplify | 15^0 | 0",
        "simplify | 3x^0 | 0",
    ),
    silent=(
        "simplify | 15^0 | 1",
        "simplify | 15^0 | 15",
    ),
)
@instead_of(raise_to_power)
def zero_exponent_as_zero(place: Power) -> Node | None:
    """Takes a power with exponent zero for zero."""
    return ZERO if rational(place.exponent) == 0 else None


@pattern(
    source="OpenStax Elementary Algebra 2e, 6.5 (related: what the power is of); common practice",
    shows=(
        "simplify | 5x^0 | 1",
        "simplify | 4x^0y | y",
        "evaluate | 6*2^0 | 1",
    ),
    silent=(
        "simplify | 5x^0 | 5",
        "simplify | (5x)^0 | 1",
        "simplify | 5x^0 | 0",
    ),
)
@instead_of(multiply)
def zero_exponent_takes_coefficient(place: Product) -> Node | None:
    """Lets the exponent zero reach the number before its base, as if 5x^0 were (5x)^0."""
    factors = factors_of(place)
    zeros = [one for one in factors if isinstance(one, Power) and rational(one.exponent) == 0]
    others = [one for one in factors if one not in zeros and value_of(one) is None]
    return product_of(*others) if zeros and len(others) + len(zeros) < len(factors) else None


@zero_exponent_takes_coefficient.also(
    drop_minus,
    shows=("simplify | -3y^0 | 1",),
    silent=("simplify | -3y^0 | -3",),
)
def _minus_reached_too(place: Negation) -> Node | None:
    inside = place.argument
    return (
        zero_exponent_takes_coefficient.moves[0].version(inside)
        if isinstance(inside, Product)
        else None
    )


@pattern(
    source="common practice",
    shows=(
        "simplify | 15^0 | 15",
        "simplify | (4x)^0 | 4x",
    ),
    silent=(
        "simplify | 15^0 | 1",
        "simplify | 15^0 | 0",
    ),
)
@instead_of(raise_to_power)
def zero_exponent_as_base(place: Power) -> Node | None:
    """Leaves the base unchanged where the exponent is zero."""
    return place.base if rational(place.exponent) == 0 else None


@pattern(
    source="Slavit 2006; Robinson 2013",
    shows=(
        "evaluate | 2^5 | 10",
        "evaluate | 4^(-2) | -8",
    ),
    silent=(
        "evaluate | 2^5 | 32",
        "evaluate | 2^5 | 25",
    ),
)
@instead_of(raise_to_power)
def exponent_as_multiplier(place: Power) -> Node | None:
    """Multiplies the base by the exponent."""
    exponent, base = rational(place.exponent), rational(place.base)
    if base is None and place.base != IMAGINARY:
        return None
    if exponent is None or exponent in (0, 1, 2):
        return None
    root = Power(place.base, number(Fraction(1, exponent.denominator)))
    whole_base = exponent.denominator == 1 or exponent.numerator == 1
    return (
        product_of(place.base if whole_base else root, number(exponent.numerator))
        if (exponent.denominator == 1 or exponent.numerator > 1)
        else None
    )


@pattern(
    source="Dawkins 2006; Scofield 2003",
    shows=(
        "simplify | (5xy^2)^3 | 125xy^6",
        "simplify | (ab^3)^2 | ab^6",
    ),
    silent=(
        "simplify | (5xy^2)^3 | 125x^3y^6",
        "simplify | (5xy^2)^3 | 5x^3y^6",
    ),
)
@instead_of(raise_to_power)
def power_of_letter_only(place: Power) -> Choices | None:
    """Raises one letter of a product to the power and leaves another one as it is."""
    exponent, inside = whole(place.exponent), monomial(place.base)
    if exponent is None or inside is None or not 2 <= len(inside.powers) <= 4:
        return None
    return Choices(
        Monomial(
            inside.coefficient**exponent,
            tuple(
                (base, power if index == left else power * exponent)
                for index, (base, power) in enumerate(inside.powers)
            ),
        ).tree()
        for left in range(len(inside.powers))
    )


def _divided_powers(place: Quotient) -> tuple[Monomial, Monomial] | None:
    above, below = monomial(place.numerator), monomial(place.denominator)
    if above is None or below is None or not below.coefficient:
        return None
    shared = {base for base, _ in above.powers} & {base for base, _ in below.powers}
    letters = {base for base in shared if not isinstance(base, Constant)}
    return (above, below) if letters else None


@pattern(
    source="common practice",
    shows=(
        "simplify | x^5 / x^2 | x^7",
        "simplify | (12x^5)/(4x^2) | 3x^7",
    ),
    silent=(
        "simplify | x^5 / x^2 | x^3",
        "simplify | x^5 * x^2 | x^7",
    ),
)
@instead_of(divide)
def exponents_added_in_quotient(place: Quotient) -> Node | None:
    """Adds the exponents when powers of one base are divided."""
    found = _divided_powers(place)
    return _exponents_added(*found).tree() if found else None


def _exponents_added(above: Monomial, below: Monomial) -> Monomial:
    powers = dict(above.powers)
    for base, exponent in below.powers:
        powers[base] = powers.get(base, Fraction(0)) + exponent
    return Monomial(above.coefficient / below.coefficient, tuple(powers.items()))


@pattern(
    source="OpenStax Elementary Algebra 2e, 6.5 (caution)",
    shows=(
        "simplify | x^12 / x^4 | x^3",
        "simplify | (6x^8)/(2x^2) | 3x^4",
    ),
    silent=(
        "simplify | x^12 / x^4 | x^8",
        "simplify | x^4 / x^2 | x^2",
    ),
)
@instead_of(divide)
def exponents_divided_in_quotient(place: Quotient) -> Node | None:
    """Divides the exponents when powers of one base are divided."""
    above, below = needed(_divided_powers(place))
    powers, lower = dict(above.powers), dict(below.powers)
    if any(not exponent for exponent in lower.values()):
        return None
    result = tuple((base, power / lower.get(base, Fraction(1))) for base, power in powers.items())
    left = tuple((base, power) for base, power in lower.items() if base not in powers)
    top = Monomial(above.coefficient / below.coefficient, result).tree()
    return over(top, Monomial(Surd.of(1), left).tree())


@exponents_divided_in_quotient.also(
    divide_rows,
    Place.DIVISION,
    shows=("divide | (12x^6) / (3x^2) | 4x^3", "divide | (20x^8) / (5x^4) | 4x^2"),
    silent=("divide | (12x^6) / (3x^2) | 4x^4", "divide | (6x^5) / (3x^2) | 2x^2"),
)
def _exponents_of_terms_divided(above: Coefficients, below: Coefficients) -> Divided | None:
    upper, lower = len(above) - 1, len(below) - 1
    if any(above[:-1]) or any(below[:-1]) or not lower or upper % lower:
        return None
    return (*[above[0]] * (upper // lower), above[-1] / below[-1]), ()


@pattern(
    source="common practice",
    shows=(
        "simplify | (8x^5)/(2x^2) | 6x^3",
        "simplify | (9a^4)/(3a) | 6a^3",
    ),
    silent=(
        "simplify | (8x^5)/(2x^2) | 4x^3",
        "simplify | x^5/x^2 | x^3",
    ),
)
@instead_of(divide)
def coefficients_subtracted_in_quotient(place: Quotient) -> Node | None:
    """Subtracts the coefficients along with the exponents when powers are divided."""
    found = _divided_powers(place)
    if found is None or found[1].coefficient == 1:
        return None
    above, below = found
    left = above.coefficient - below.coefficient
    bare = Quotient(
        above._replace(coefficient=Surd.of(1)).tree(),
        below._replace(coefficient=Surd.of(1)).tree(),
    )
    return product_of(number(left), bare)


_NONE = Fraction(0)


@pattern(
    source="common practice",
    shows=(
        "simplify | (x^18)/(x^22) | x^4",
        "simplify | (m^7)/(m^15) | m^8",
        "simplify | 6/(6x) | x",
        "simplify | (2x)/(6x) | 3",
    ),
    silent=(
        "simplify | (x^18)/(x^22) | 1/x^4",
        "simplify | (x^22)/(x^18) | x^4",
    ),
)
@instead_of(divide)
def quotient_turned_round(place: Quotient) -> Node | None:
    """Leaves in the numerator what belongs in the denominator."""
    above, below = monomial(place.numerator), monomial(place.denominator)
    if above is None or below is None or not below.coefficient or not below.powers:
        return None
    upper, lower = dict(above.powers), dict(below.powers)
    left = {base: upper.get(base, _NONE) - lower.get(base, _NONE) for base in {**upper, **lower}}
    ratio = above.coefficient / below.coefficient
    over_one = ratio.is_rational and ratio and (1 / ratio).is_integer
    if over_one and all(power <= 0 for power in left.values()):
        ratio = 1 / ratio
    elif not any(base in upper and power < 0 for base, power in left.items()):
        return None
    return Monomial(
        ratio, tuple((base, abs(power)) for base, power in left.items() if power)
    ).tree()
