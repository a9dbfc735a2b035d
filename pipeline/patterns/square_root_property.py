"""Errors with the square root property."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.coefficients import Coefficients, added, multiplied, real_roots, scaled
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial
from pipeline.exact.trees import Letter, Node, Numeral, Quotient, Relation, Root, Sum
from pipeline.exact.values import Equation
from pipeline.patterns.radicals import halves, inside_root
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.absolute_value import first_case, second_case
from pipeline.procedures.equations import ONE, ZERO, Linear
from pipeline.procedures.inequalities import all_but
from pipeline.procedures.operations import (
    Lone,
    Roots,
    add_shift,
    branches,
    carry_constant,
    divide_off,
    isolate_square,
    root,
    shift_back,
)
from pipeline.procedures.parts import Part, over, tree_of_part
from pipeline.procedures.polynomial_equations import substitute_back
from pipeline.procedures.radical_equations import raise_both, square_sides
from pipeline.procedures.rewriting.operations import take_root
from pipeline.procedures.rewriting.terms import (
    fraction_parts,
    monomial,
    negative,
    number,
    power,
    product_of,
    rational,
    signed,
    sum_of,
    terms_of,
    whole,
)
from pipeline.procedures.rewriting.working import value_with, values_of_both
from pipeline.procedures.solving_for import give_both_signs, root_of_power
from pipeline.procedures.walk import Choices, Place, needed
from pipeline.tasks.domain import Condition, boundary

_ONE_POLYNOMIAL = Polynomial.constant(1)


@pattern(
    source="OpenStax College Algebra 2e, 2.5; Mathematics Educators question 14757 (a count of one"
    " class); Vaiyavutjamai and Clements 2006 (from memory)",
    shows=(
        "solve | (x - 8)^2 = 16 | x=12",
        "solve | x^2 = 11 | sqrt(11)",
        "solve | x^2 - 6x + 7 = 0 | 3 + sqrt(2)",
    ),
    silent=(
        "solve | (x - 8)^2 = 16 | x=12, x=4",
        "solve | x^2 = 11 | -sqrt(11)",
    ),
)
@instead_of(branches, Place.SQUARE_ROOT, Place.COMPLETING_THE_SQUARE, Place.QUADRATIC_FORMULA)
def plus_minus_dropped(value: Surd | Lone) -> tuple[Surd, ...] | None:
    """Takes the positive square root alone and leaves out the negative one."""
    return None if isinstance(value, Lone) else (value,)


@plus_minus_dropped.also(
    values_of_both,
    shows=(
        "simplify | (6 ± 2sqrt(3))/2 | 3 + sqrt(3)",
        "evaluate | (5 ± 3)/2 | 4",
    ),
    silent=(
        "simplify | (6 ± 2sqrt(3))/2 | 3 ± sqrt(3)",
        "simplify | (6 ± 2sqrt(3))/2 | 3 - sqrt(3)",
    ),
)
def _plus_alone(tree: Node) -> frozenset[Surd]:
    """Works the plus sign alone and leaves out the minus."""
    return frozenset({value_with(tree, 1)})


@plus_minus_dropped.also(substitute_back, Place.QUADRATIC_FORM)
def _positive_roots_alone(values: Roots, power: int, inner: Coefficients) -> Roots | None:
    if power != 2 or inner:
        return None
    found = (Surd.root_of(value) for value in values)
    return frozenset(one for one in found if one is not None)


@plus_minus_dropped.also(raise_both, Place.POWER_EQUATION, Place.BARE_POWER)
def _positive_root_alone(right: Surd, above: int, below: int) -> tuple[Surd, ...] | None:
    found = raise_both(right, above, below)
    return found[:1] if len(found) == 2 else None


@plus_minus_dropped.also(
    give_both_signs,
    Place.FORMULA,
    shows=(
        "solve-for | y = (x + 2)^2 for x | sqrt(y) - 2",
        "solve-for | y = a(x - h)^2 + k for x | x = h + sqrt((y - k)/a)",
        "solve-for | x^2 + y^2 = 25 for y | sqrt(25 - x^2)",
    ),
    silent=(
        "solve-for | x^2 + y^2 = 25 for y | -sqrt(25 - x^2)",
        "solve-for | A = pi r^2 for r | sqrt(A/pi)",
        "solve-for | y = x^2, x > 0 for x | sqrt(y)",
    ),
)
def _positive_root_of_formula(tree: Node, root: Root, letter: str) -> Choices:
    """Takes the positive square root alone and leaves out the negative one."""
    return Choices((tree, Equation(Relation((Letter(letter), tree), ("=",)))))


@pattern(
    source="public study pages",
    shows=(
        "solve | (x - 6)^2 = 38 | 44, -32",
        "solve | (x - 3)^2 = 16 | 19",
    ),
    silent=(
        "solve | (x - 3)^2 = 16 | 7, -1",
        "solve | (x - 3)^2 = 16 | 16",
    ),
)
@instead_of(root, Place.SQUARE_ROOT, Place.COMPLETING_THE_SQUARE)
def square_undone_without_root(radicand: Surd) -> Choices | None:
    """Removes the square on the left but takes no root on the right."""
    if radicand * radicand == radicand:
        return None
    return Choices((radicand, Lone(radicand)))


@square_undone_without_root.also(
    divide_off,
    Place.SQUARE_ROOT,
    shows=("solve | 4x^2 = 9 | 9/2, -9/2", "solve | 25x^2 = 4 | 4/5, -4/5"),
    silent=("solve | 4x^2 = 9 | 3/2, -3/2", "solve | 3x^2 = 4 | 2/3, -2/3"),
)
def _left_side_rooted_alone(scale: Surd, right: Surd) -> tuple[Surd, Surd] | None:
    root = Surd.root_of(scale)
    return (right * right, root) if scale != ONE and root is not None and root.is_integer else None


@square_undone_without_root.also(
    boundary,
    Place.DOMAIN,
    shows=("domain | 1/(x^2 - 4) | x != 4", "domain | sqrt(x^2 - 9) | x >= 9"),
    silent=("domain | 1/(x^2 - 4) | x != 2 and x != -2", "domain | 1/(x - 4) | x != 4"),
)
def _square_left_in_condition(condition: Condition) -> Choices | None:
    inside = condition.inside
    if len(inside) != 3 or inside[1] or not inside[0]:
        return None
    value = -inside[0] / inside[2]
    if condition.kind != "nonzero":
        return Choices((boundary(condition._replace(inside=(-value, ONE))),))
    return Choices(all_but(frozenset(ends)) for ends in ({value}, {value, -value}))


@square_undone_without_root.also(
    root_of_power,
    Place.FORMULA,
    shows=(
        "solve-for | E = mc^2 for c | E/m",
        "solve-for | a^2 + b^2 = c^2 for a | a = c^2 - b^2",
        "solve-for | V = (4/3)pr^3 for r | r = 3V/(4p)",
    ),
    silent=("solve-for | E = mc^2 for c | sqrt(E/m)",),
)
def _right_side_not_rooted(other: Part, exponent: Node) -> Node:
    return tree_of_part(other)


@pattern(
    source="a teacher's page on one lesson; from memory",
    shows=(
        "solve | (x + 9)^2 = 42 | 12, -30",
        "solve | x^2 = 36 | 18, -18",
    ),
    silent=(
        "solve | x^2 = 36 | 6, -6",
        "solve | x^2 = 36 | 12, -12",
    ),
)
@instead_of(root, Place.SQUARE_ROOT, Place.COMPLETING_THE_SQUARE)
def halved_instead_of_rooted(radicand: Surd) -> Choices | None:
    """Halves the right side instead of taking its square root."""
    if Surd.root_of(radicand) == radicand / 2:
        return None
    return Choices((radicand / 2, Lone(radicand / 2)))


@halved_instead_of_rooted.also(
    root_of_power,
    Place.FORMULA,
    shows=(
        "solve-for | V = pr^2h for r | r = V/(2ph)",
        "solve-for | A = s^2 for s | s = A/2",
    ),
    silent=("solve-for | A = s^2 for s | s = sqrt(A)",),
)
def _half_of_right_side(other: Part, exponent: Node) -> Node | None:
    if exponent != Numeral(Fraction(2)):
        return None
    return tree_of_part(over(other, (Polynomial.constant(2), _ONE_POLYNOMIAL)))


@halved_instead_of_rooted.also(
    take_root,
    shows=("simplify | sqrt(50) | 25", "evaluate | sqrt(36) | 18"),
    silent=("simplify | sqrt(50) | 5sqrt(2)", "evaluate | sqrt(36) | 6"),
)
def _halved(place: Root) -> Node | None:
    """Halves a number instead of taking its square root."""
    value = rational(place.radicand)
    return number(value / 2) if value is not None and whole(place.index) == 2 else None


@halved_instead_of_rooted.also(
    take_root,
    shows=("simplify | sqrt(16x^6) | 8x^3", "simplify | sqrt(64y^2) | 32y"),
    silent=("simplify | sqrt(16x^6) | 4x^3", "simplify | sqrt(4y^2) | 2y"),
)
def _coefficient_halved(place: Root) -> Node | None:
    """Halves a number instead of taking its square root."""
    one = needed(inside_root(place))
    outside, under = halves(one)
    return product_of(number(one.coefficient * Surd.of(Fraction(1, 2))), outside, Root(under))


@pattern(
    source="Otero, Druga and Lan 2024 (labels 31 and 33, in linear equations); from memory",
    shows=(
        "solve | (x - 3)^2 = 8 | -3 + 2sqrt(2); -3 - 2sqrt(2)",
        "solve | (x - 3)^2 = 16 | 1, -7",
    ),
    silent=(
        "solve | (x - 3)^2 = 16 | 7, -1",
        "solve | x^2 = 16 | 8, 0",
    ),
)
@instead_of(shift_back, Place.SQUARE_ROOT, Place.COMPLETING_THE_SQUARE)
def shift_moved_same_sign(shift: Surd) -> Surd:
    """Carries the number beside the unknown across the equals sign without changing its sign."""
    return shift


@shift_moved_same_sign.also(
    first_case,
    Place.ABSOLUTE_VALUE,
    shows=("solve | |x + 9| = 8 | 17, 1", "solve | |2x - 3| = 7 | 2, -5"),
    silent=("solve | |x + 9| = 8 | -1, -17", "solve | |x| = 8 | 8, -8"),
)
def _shift_of_first_case(inside: Linear, right: Linear) -> Surd | None:
    """Carries the number beside the unknown across the equals sign without changing its sign."""
    return (right.q + inside.q) / inside.p if inside.q and not right.p else None


@shift_moved_same_sign.also(second_case, Place.ABSOLUTE_VALUE)
def _shift_of_second_case(inside: Linear, right: Linear) -> Surd | None:
    return (inside.q - right.q) / inside.p if inside.q and not right.p else None


@pattern(
    source="from memory",
    shows=(
        "solve | (x - 3)^2 = 16 | x = ±3 ± 4",
        "solve | (x - 3)^2 = 16 | 7, -1, 1, -7",
        "solve | (x + 2)^2 = 5 | 2 + sqrt(5), 2 - sqrt(5), -2 + sqrt(5), -2 - sqrt(5)",
    ),
    silent=(
        "solve | (x - 3)^2 = 16 | 7, -1",
        "solve | (x - 3)^2 = 16 | 7, 1",
    ),
)
@instead_of(add_shift, Place.SQUARE_ROOT, Place.COMPLETING_THE_SQUARE)
def shift_given_both_signs(carried: Surd, signed: tuple[Surd, ...]) -> Choices | None:
    """Gives the number carried across both signs, as well as the root."""
    if len(signed) != 2:
        return None
    every = tuple(one + two for one in (carried, -carried) for two in signed)
    # ±3 ± 4 is read with both signs upper or both lower, where one means all four.
    linked = tuple(one * (carried + signed[0]) for one in (1, -1))
    return Choices((every, linked))


@pattern(
    source="OpenStax Elementary Algebra 2e, 9.2 (exercise); Scofield 2003; Matz 1980 (from memory)",
    shows=(
        "solve | x^2 + 25 = 81 | 4",
        "solve | x^2 + 16 = 25 | x=1",
    ),
    silent=(
        "solve | x^2 + 16 = 25 | 3, -3",
        "solve | x^2 = 25 | 5, -5",
    ),
)
@instead_of(isolate_square, Place.SQUARE_ROOT)
def rooted_term_by_term(scale: Surd, rest: Surd, right: Surd) -> tuple[Surd, Surd] | None:
    """Takes the square root of each term of a sum, as if x^2 + 16 = 25 were x + 4 = 5."""
    if not rest:
        return None
    below = -rest if rest.is_real and rest.real_sign() < 0 else rest
    first, second, third = Surd.root_of(scale), Surd.root_of(below), Surd.root_of(right)
    if first is None or second is None or third is None:
        return None
    if not (first.is_real and third.is_real and second.is_real):
        return None
    return first, third + (second if below != rest else -second)


@rooted_term_by_term.also(
    root_of_power,
    Place.FORMULA,
    shows=(
        "solve-for | a^2 + b^2 = c^2 for a | a = c - b",
        "solve-for | a^2 + 9b^2 = 4c^2 for a | a = 2c - 3b",
        "solve-for | c^2 = a^2 + b^2 for a | c - b",
    ),
    silent=("solve-for | a^2 + b^2 = c^2 for a | a = sqrt(c^2 - b^2)",),
)
def _each_term_of_right_side_rooted(other: Part, exponent: Node) -> Node | None:
    """Takes the square root of each term of a sum, as if a^2 = c^2 - b^2 were a = c - b."""
    squared = exponent == Numeral(Fraction(2))
    if not squared or len(other[0].terms) < 2 or other[1] != _ONE_POLYNOMIAL:
        return None
    roots = {}
    for powers, factor in other[0].terms.items():
        root = Surd.root_of(abs(factor.as_fraction())) if factor.is_rational else None
        if root is None or not root.is_rational or any(power % 2 for _, power in powers):
            return None
        sign = 1 if factor.real_sign() > 0 else -1
        roots[tuple((name, power // 2) for name, power in powers)] = root * sign
    return tree_of_part((Polynomial(roots), other[1]))


@rooted_term_by_term.also(
    square_sides,
    Place.RADICAL_EQUATION,
    shows=(
        "solve | sqrt(x + 9) = 5 | 4",
        "solve | sqrt(x - 4) + 1 = 4 | 25",
        "solve | sqrt(4x + 9) = 7 | 4",
        "solve | sqrt(x^2 + 9) = 5 | 2",
        "solve | sqrt(x^2 + 16) = 5 | ±1",
    ),
    silent=(
        "solve | sqrt(x + 9) = 5 | 16",
        "solve | sqrt(x + 7) = 5 | 5 - sqrt(7)",
        "solve | sqrt(4x) = 6 | 9",
    ),
)
def _each_term_under_radical_rooted(
    k: Surd, inside: Coefficients, other: Coefficients
) -> Choices | None:
    """Takes the square root of each term of a sum, as if sqrt(x + 9) were sqrt(x) + 3."""
    if len(inside) not in (2, 3) or any(inside[1:-1]):
        return None
    constant, leading = inside[0], inside[-1]
    below = abs(constant.as_fraction()) if constant.is_rational else None
    if not below or leading.real_sign() < 0:
        return None
    first, second = Surd.root_of(leading), Surd.root_of(Surd.of(below))
    if first is None or second is None or not (first.is_rational and second.is_rational):
        return None
    shift = (second if constant.real_sign() > 0 else -second,)
    left = added(scaled(other, 1 / k), scaled(shift, -ONE))  # what is left of the root alone
    if len(inside) == 2:
        return Choices([((ZERO, leading), multiplied(left, left))])
    return Choices([((ZERO, first), left), ((ZERO, ZERO, leading), multiplied(left, left))])


def _plain_root(body: Node, index: Node) -> Node:
    """The root of a term, whole where each of its powers is even."""
    one = monomial(body)
    size = whole(number(one.coefficient)) if one is not None else None
    if one is None or size is None or size < 0 or whole(index) != 2:
        return Root(body, index)
    if any(exponent.denominator != 1 or exponent % 2 for _, exponent in one.powers):
        return Root(body, index)
    return product_of(Root(number(size)), *(power(base, e / 2) for base, e in one.powers))


@rooted_term_by_term.also(
    take_root,
    shows=("simplify | sqrt(9 + 25) | 8", "simplify | sqrt(x^2 + 9) | x + 3"),
    silent=("simplify | sqrt(9 + 25) | sqrt(34)", "simplify | sqrt(9 * 25) | 15"),
)
def _term_by_term(place: Root) -> Node | None:
    """Takes the root of each term of a sum."""
    if not isinstance(place.radicand, Sum):
        return None
    roots = []
    for term in terms_of(place.radicand):
        sign, body = signed(term)
        root = _plain_root(body, place.index)
        roots.append(root if sign == 1 else negative(root))
    return sum_of(*roots)


@pattern(
    source="from memory",
    shows=(
        "solve | 5x^2 = 7 | 0.529, -0.529",
        "solve | 3x^2 = 12 | 2sqrt(3)/3, -2sqrt(3)/3",
    ),
    silent=(
        "solve | 5x^2 = 7 | 1.183, -1.183",
        "solve | x^2 = 7 | sqrt(7), -sqrt(7)",
    ),
)
@instead_of(divide_off, Place.SQUARE_ROOT)
def rooted_before_dividing(scale: Surd, right: Surd) -> tuple[Surd, Surd]:
    """Takes the root of the right side before dividing by the number before the square."""
    return right, scale


@pattern(
    source="Tall, Lima and Healy 2014 (from memory); Nordlander and Nordlander 2012 (from memory)",
    shows=(
        "solve | (x + 5)^2 = -39 | x=-5 + sqrt(39) or x=-sqrt(39) - 5",
        "solve | 3x^2 - x + 7 = 0 | 1.685, -1.352",
    ),
    silent=(
        "solve | (x + 5)^2 = -39 | no real solution",
        "solve | (x + 5)^2 = 39 | sqrt(39) - 5, -sqrt(39) - 5",
    ),
)
@instead_of(root, Place.SQUARE_ROOT, Place.COMPLETING_THE_SQUARE, Place.QUADRATIC_FORMULA)
def negative_radicand_made_positive(radicand: Surd) -> Surd | None:
    """Drops the minus under the root and gives real roots where there are none."""
    if not radicand.is_rational or not radicand or radicand.real_sign() > 0:
        return None
    return Surd.root_of(-radicand)


@negative_radicand_made_positive.also(
    boundary,
    Place.DOMAIN,
    shows=("domain | x/(x^2 + 4) | x != 2 and x != -2", "domain | 1/(x^2 + 9) | x != 3"),
    silent=("domain | 1/(x^2 + 9) | all real numbers", "domain | 1/(x^2 - 9) | x != 3 and x != -3"),
)
def _sum_of_squares_given_zeros(condition: Condition) -> Choices | None:
    """Gives a sum of squares real zeros, as if it were a difference."""
    inside = condition.inside
    if condition.kind != "nonzero" or len(inside) != 3 or inside[1] or real_roots(inside):
        return None
    root = Surd.root_of(inside[0] / inside[2])
    ends = () if root is None else (root, -root)
    return Choices(all_but(frozenset(one)) for one in (ends, ends[:1], ends[1:]) if one)


@negative_radicand_made_positive.also(
    take_root,
    shows=("simplify | sqrt(-16) | 4", "simplify | sqrt(-12) | 2sqrt(3)"),
    silent=("simplify | sqrt(-16) | 4i", "simplify | sqrt(16) | 4"),
)
def _minus_under_root_dropped(place: Root) -> Node | None:
    """Drops the minus under a square root."""
    value = rational(place.radicand)
    return Root(number(-value)) if value is not None and value < 0 else None


@pattern(
    source="common practice",
    shows=(
        "solve | (x + 2)^2 = 25/9 | -13/9, -23/9",
        "solve | x^2 = 4/25 | 2/25, -2/25",
    ),
    silent=(
        "solve | (x + 2)^2 = 25/9 | -1/3, -11/3",
        "solve | (x + 2)^2 = 25 | 3, -7",
    ),
)
@instead_of(root, Place.SQUARE_ROOT, Place.COMPLETING_THE_SQUARE, Place.QUADRATIC_FORMULA)
def root_of_fraction_top_only(radicand: Surd) -> Surd | None:
    """Takes the root of the numerator and leaves the denominator as it is."""
    if not radicand.is_rational or radicand.denominator == 1:
        return None
    above = Surd.root_of(radicand * radicand.denominator)
    return None if above is None else above / radicand.denominator


@root_of_fraction_top_only.also(
    take_root,
    shows=("simplify | sqrt(25/9) | 5/9", "simplify | sqrt(3/4) | sqrt(3)/4"),
    silent=("simplify | sqrt(25/9) | 5/3", "simplify | sqrt(25/9) | 25/3"),
)
def _top_only(place: Root) -> Node | None:
    """Takes the root of the numerator and leaves the denominator as it is."""
    parts = fraction_parts(place.radicand)
    return Quotient(Root(parts[0], place.index), parts[1]) if parts is not None else None


@root_of_fraction_top_only.also(
    root_of_power,
    Place.FORMULA,
    shows=(
        "solve-for | A = P(1 + r)^2 for r | r = sqrt(A)/P - 1",
        "solve-for | E = mc^2 for c | sqrt(E)/m",
    ),
    silent=("solve-for | E = mc^2 for c | sqrt(E/m)",),
)
def _top_of_other_side_only(other: Part, exponent: Node) -> Node | None:
    above = root_of_power((other[0], _ONE_POLYNOMIAL), exponent)
    below = tree_of_part((other[1], _ONE_POLYNOMIAL))
    return Quotient(above, below) if other[1].letters else None


@pattern(
    source="common practice",
    shows=(
        "solve | (x - 3)^2 = 16 | 4, -4",
        "solve | (x + 5)^2 = 7 | sqrt(7), -sqrt(7)",
    ),
    silent=(
        "solve | (x - 3)^2 = 16 | 7, -1",
        "solve | x^2 = 16 | 4, -4",
    ),
)
@instead_of(shift_back, Place.SQUARE_ROOT, Place.COMPLETING_THE_SQUARE)
def shift_left_out(shift: Surd) -> Surd:
    """Takes the root and forgets the number beside the unknown in the bracket."""
    return ZERO


@shift_left_out.also(
    carry_constant,
    Place.ABSOLUTE_VALUE,
    shows=("solve | |2x - 1| + 4 = 9 | -4, 5", "solve | |x - 1| + 3 = 8 | 9, -7"),
    silent=("solve | |2x - 1| + 4 = 9 | -2, 3", "solve | |x - 1| = 8 | 9, -7"),
)
def _constant_beside_bars_left_out(here: Surd, there: Surd) -> Surd:
    """Forgets the number beside the absolute value."""
    return here
