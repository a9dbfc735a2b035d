"""Errors in the order of operations."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import (
    Letter,
    Negation,
    Node,
    Numeral,
    Power,
    Product,
    Quotient,
    Substitution,
    Sum,
    children,
    letters,
    replaced,
    with_children,
)
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ONE, ZERO, Equation
from pipeline.procedures.operations import copy_equation, height_at
from pipeline.procedures.rewriting.operations import add, drop_minus, multiply
from pipeline.procedures.rewriting.terms import ONE as ONE_NODE
from pipeline.procedures.rewriting.terms import (
    factors_of,
    magnitude,
    negative,
    product_of,
    signed,
    sum_of,
    value_of,
    whole,
)
from pipeline.procedures.rewriting.working import substitute
from pipeline.procedures.walk import Choices, Place


@pattern(
    source="common practice",
    shows=(
        "evaluate | 24/4*2 | 3",
        "evaluate | 36/6*3 | 2",
        "simplify | 6x/2*3 | x",
    ),
    silent=(
        "evaluate | 24/4*2 | 12",
        "evaluate | 24*2/4 | 3",
    ),
)
@instead_of(multiply)
def multiplied_before_dividing(place: Product) -> Node | None:
    """Multiplies before it divides, although the division stands first."""
    first, *others = place.factors
    if not isinstance(first, Quotient) or any(whole(one) is None for one in others):
        return None
    if whole(first.denominator) is None:
        return None
    return Quotient(first.numerator, product_of(first.denominator, *others))


def _bare(tree: Node, values: Substitution, subtracted: bool) -> Node:
    """Put numbers in with the minus outside of powers and, if so wished, of subtractions."""
    match tree:
        case Power(Letter(name), exponent) if isinstance(dict(values).get(name), Negation):
            return Negation(Power(signed(dict(values)[name])[1], exponent))
        case Negation(Letter(name)) if subtracted and isinstance(dict(values).get(name), Negation):
            return dict(values)[name]
        case Letter():
            return replaced(tree, values)
    parts = children(tree)
    return with_children(tree, (_bare(part, values, subtracted) for part in parts))


@pattern(
    source="OpenStax College Algebra 2e, 2.5; Schechter 2006",
    shows=(
        "evaluate | x^2 - x at x=-3 | -12",
        "evaluate | 2x^2 + 5 at x=-4 | -27",
        "function | f(x) = x^2 - x; f(-3) | -6",
        "function | f(x) = 2x^2 + 5; f(-1) | 3",
    ),
    silent=(
        "evaluate | x^2 - x at x=-3 | 12",
        "evaluate | x^2 - x at x=3 | 6",
        "function | f(x) = 2x^2 + 5; f(1) | 3",
    ),
)
@instead_of(substitute)
def substituted_without_brackets(tree: Node, values: Substitution) -> Choices | None:
    """Loses the brackets round a negative number that is put in for a letter."""
    if not any(isinstance(value, Negation) for _, value in values):
        return None
    return Choices(_bare(tree, values, subtracted) for subtracted in (False, True))


def _joined(tree: Node, values: Substitution) -> Node:
    if isinstance(tree, Product) and len(tree.factors) == 2:
        digits, last = magnitude(tree.factors[0]), tree.factors[1]
        base, exponent = (last.base, last.exponent) if isinstance(last, Power) else (last, ONE_NODE)
        if digits is not None and isinstance(base, Letter):
            value = magnitude(dict(values).get(base.name, base))
            if value is not None:
                numeral = Numeral(Fraction(f"{digits}{value}"))
                return numeral if exponent == ONE_NODE else Power(numeral, exponent)
    if isinstance(tree, Letter):
        return replaced(tree, values)
    return with_children(tree, (_joined(part, values) for part in children(tree)))


@pattern(
    source="Ashlock 2006; a teacher's list of errors, 2015",
    shows=(
        "evaluate | 4x + 1 at x=2 | 43",
        "evaluate | 2x^2 at x=5 | 625",
    ),
    silent=(
        "evaluate | 4x + 1 at x=2 | 9",
        "evaluate | x + 1 at x=2 | 43",
    ),
)
@instead_of(substitute)
def coefficient_and_value_joined(tree: Node, values: Substitution) -> Node | None:
    """Writes the number behind the coefficient as its next digit: 4x becomes 42 for x = 2."""
    joined = _joined(tree, values)
    return joined if joined != replaced(tree, values) else None


def _is_digit(number: Surd) -> bool:
    return number.is_integer and 1 <= int(number.as_fraction()) <= 9


@coefficient_and_value_joined.also(
    copy_equation,
    Place.LINEAR,
    shows=("solve | 3x + x = 48 | 9", "solve | 2x + 4x = 80 | 10"),
    silent=("solve | 3x + x = 48 | 12", "solve | 3x = 48 | 16"),
)
def _unknown_joined_as_digit(equation: Equation) -> Equation | None:
    """Reads a number before the unknown as tens: 3x as 30 and x."""
    terms = [*equation.brackets[0], *equation.brackets[1]]
    if any(term.written or term.q or not _is_digit(term.p) for term in equation.brackets[0]):
        return None
    if len(terms) < 3 or any(term.written or term.p for term in equation.brackets[1]):
        return None
    tens = sum((10 * term.p for term in equation.brackets[0] if term.p != ONE), ZERO)
    units = Surd.of(len(equation.brackets[0]))
    return Equation((ZERO, units, tens), equation.right)


def _added(tree: Node, values: Substitution) -> Node:
    if isinstance(tree, Product) and len(tree.factors) == 2 and isinstance(tree.factors[1], Letter):
        value = dict(values).get(tree.factors[1].name)
        first = tree.factors[0]
        if value is not None and (magnitude(first) is not None or isinstance(first, Letter)):
            return Sum((replaced(first, values), value))
    if isinstance(tree, Letter):
        return replaced(tree, values)
    return with_children(tree, (_added(part, values) for part in children(tree)))


@pattern(
    source="Otero, Druga and Lan 2024 (label 53)",
    shows=(
        "evaluate | 4x + 1 at x=2 | 7",
        "evaluate | 3x - 5 at x=-2 | -4",
        "evaluate | ab at a=10, b=13 | 23",
    ),
    silent=(
        "evaluate | 4x + 1 at x=2 | 9",
        "evaluate | x + 1 at x=2 | 7",
    ),
)
@instead_of(substitute)
def coefficient_added_to_value(tree: Node, values: Substitution) -> Node | None:
    """Adds the number put in to what stands before the letter instead of multiplying."""
    added = _added(tree, values)
    return added if added != replaced(tree, values) else None


def _joined_first(place: Sum, numbers_only: bool) -> list[Node]:
    found: list[Node] = []
    for index in range(1, min(len(place.terms), 6)):
        before, term, after = place.terms[:index], place.terms[index], place.terms[index + 1 :]
        sign, body = signed(term)
        if numbers_only != all(value_of(part) is not None for part in (*before, body)):
            continue
        if isinstance(body, Product) and not isinstance(body.factors[0], Negation):
            start = body.factors[0] if sign == 1 else Negation(body.factors[0])
            rest = body.factors[1:]
            if value_of(start) is None or any(value_of(part) is None for part in before):
                continue
            found.append(sum_of(Product((sum_of(*before, start), *rest)), *after))
        elif isinstance(body, Power) and numbers_only and whole(body.base) is not None:
            start = body.base if sign == 1 else Negation(body.base)
            found.append(sum_of(Power(sum_of(*before, start), body.exponent), *after))
        elif isinstance(body, Quotient) and numbers_only and not isinstance(body.numerator, Sum):
            start = body.numerator if sign == 1 else Negation(body.numerator)
            found.append(sum_of(Quotient(sum_of(*before, start), body.denominator), *after))
    return found


@pattern(
    source="Linchevski and Livneh 1999",
    shows=(
        "evaluate | 5 + 3*4 | 32",
        "evaluate | 20 - 12/4 | 2",
        "evaluate | 2 + 3^2 | 25",
    ),
    silent=(
        "evaluate | 5 + 3*4 | 17",
        "evaluate | 3*4 + 5 | 27",
    ),
)
@instead_of(add)
def worked_left_to_right(place: Sum) -> Choices | None:
    """Adds or subtracts first, because it stands further left than a product or a power."""
    return Choices(_joined_first(place, numbers_only=True))


def _second_factors(node: Node) -> tuple[Node, ...]:
    first = node.terms[0] if isinstance(node, Sum) else node
    return first.factors[1:] if isinstance(first, Product) else ()


@pattern(
    source="Theba, Pournara and Takker 2024; Linchevski and Livneh 1999",
    shows=(
        "simplify | 8 - 3(x + 2) | 5x + 10",
        "simplify | 2 + 5(x - 1) | 7x - 7",
        "solve | 8 - 3(x + 2) = 20 | 2",
        "solve | 2 + 5(x - 1) = 14 | 3",
    ),
    silent=(
        "simplify | 8 - 3(x + 2) | 2 - 3x",
        "simplify | 8 - 3(x + 2) | 10 - 3x",
        "solve | 8 - 3(x + 2) = 20 | -6",
        "solve | 8 - 3x = 20 | 4",
    ),
)
@instead_of(add)
def subtracted_before_multiplying(place: Sum) -> Choices | None:
    """Joins the number in front with the multiplier of a bracket before multiplying it out."""
    return Choices(
        joined
        for joined in _joined_first(place, numbers_only=False)
        if any(isinstance(factor, Sum | Power) for factor in _second_factors(joined))
    )


@pattern(
    source="a teacher's list of errors, 2015",
    shows=(
        "evaluate | 2x^2 at x=5 | 100",
        "evaluate | 3*2^3 | 216",
        "simplify | 2 * 3^n | 6^n",
        "simplify | 2^n * 2 | 4^n",
    ),
    silent=(
        "evaluate | 2x^2 at x=5 | 50",
        "evaluate | 2x^2 at x=5 | 20",
        "simplify | 2^n * 2 | 2^(n + 1)",
    ),
)
@instead_of(multiply)
def coefficient_raised_too(place: Product) -> Node | None:
    """Multiplies by the number in front before the power is taken."""
    factors = factors_of(place)
    last = factors[-1]
    if len(factors) != 2 or not isinstance(last, Power) or value_of(factors[0]) is None:
        return None
    if isinstance(last.base, Sum) or isinstance(factors[0], Power):
        return None
    exponent = whole(last.exponent)
    raised = letters(last.exponent) or (exponent is not None and exponent > 1)
    if not raised or value_of(last.base) is None:
        return None
    return Power(Product((factors[0], last.base)), last.exponent)


@pattern(
    source="OpenStax Elementary Algebra 2e, 6.7 (caution); Cangelosi et al. 2013 (kind of error)",
    shows=(
        "evaluate | -6^2 | 36",
        "evaluate | 5 - 3^2 | 14",
    ),
    silent=(
        "evaluate | -6^2 | -36",
        "evaluate | (-6)^2 | 36",
    ),
)
@instead_of(drop_minus)
def minus_taken_into_power(place: Negation) -> Node | None:
    """Raises a number together with the minus sign before it."""
    body = place.argument
    if isinstance(body, Power):
        return Power(negative(body.base), body.exponent)
    factors = factors_of(body)
    if isinstance(body, Product) and isinstance(factors[0], Power):
        first = factors[0]
        return Product((Power(negative(first.base), first.exponent), *factors[1:]))
    return None


@minus_taken_into_power.also(
    height_at,
    Place.VERTEX,
    Place.COORDINATE,
    shows=("vertex | y = -x^2 + 6x | (3, 27)", "vertex | y = -2x^2 + 4x + 1 | (1, 7)"),
    silent=("vertex | y = -x^2 + 6x | (3, 9)", "vertex | y = x^2 + 6x | (-3, 27)"),
)
def _minus_lost_in_height(a: Surd, b: Surd, c: Surd, x: Surd) -> Surd | None:
    return height_at(-a, b, c, x) if a.real_sign() < 0 else None
