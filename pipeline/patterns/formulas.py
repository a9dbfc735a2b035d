"""Errors in solving a formula for one of its letters."""

from __future__ import annotations

from math import lcm

from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial
from pipeline.exact.trees import Letter, Relation
from pipeline.exact.values import Equation
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ONE
from pipeline.procedures.functions import start_inverse
from pipeline.procedures.operations import start_isolating
from pipeline.procedures.parts import Part, join, over, times, tree_of_part
from pipeline.procedures.solving_for import Formula, divide_by, start_with
from pipeline.procedures.walk import Choices, Ending, Place

_ONE = Polynomial.constant(1)


@pattern(
    source="Payne and Squibb 1990 (from memory); common practice",
    shows=(
        "solve-for | P = 2L + 2W for W | P - L",
        "solve-for | 3x + 2y = 12 for y | y = 12 - (3/2)x",
        "solve-for | A = (1/2)h(b + B) for B | 2A - bh/h",
    ),
    silent=(
        "solve-for | P = 2L + 2W for W | (P - 2L)/2",
        "solve-for | A = b h for h | A/b",
    ),
)
@instead_of(start_with, Place.FORMULA)
def last_term_not_divided(start: Formula) -> Choices | None:
    """Divides the term that was carried across and leaves the other one undivided."""
    if not start.rest[0] or start.factor[0] == start.factor[1]:
        return None
    divided = over(start.rest, start.factor)
    cleared = times(start.other, (Polynomial.constant(_cleared_by(start.factor)), _ONE))
    return Choices(join(other, divided, -1) for other in (start.other, cleared))


def _cleared_by(factor: Part) -> Surd:
    """What an equation is multiplied by to clear the number below its factor: 2 for h/2."""
    sizes = [number / factor[1].ordered()[0][1] for _, number in factor[0].ordered()]
    numbers = [size.as_fraction().denominator for size in sizes if size.is_rational]
    return Surd.of(lcm(*numbers))


@pattern(
    source="common practice",
    shows=(
        "solve-for | A = p + prt for p | A - prt",
        "solve-for | S = 2ab + 2bc for b | b = (S - 2bc)/(2a)",
        "solve-for | ax = bx + c for x | x = (bx + c)/a",
    ),
    silent=(
        "solve-for | A = p + prt for p | A/(1 + rt)",
        "solve-for | ax = bx + c for x | c/(a - b)",
        "solve-for | P = 2L + 2W for W | (P - 2L)/2",
    ),
)
@instead_of(start_with, Place.FORMULA)
def letter_left_on_other_side(start: Formula) -> Choices | None:
    """Solves for one of two terms with the letter and leaves the other on the other side."""
    terms = [(Polynomial({one: size}), start.factor[1]) for one, size in start.factor[0].ordered()]
    if start.held is not None or len(terms) < 2:
        return None
    letter = (Polynomial.letter(start.letter), _ONE)
    beside = join(start.other, start.rest, -1)
    trees = [
        tree_of_part(over(join(beside, times(join(start.factor, one, -1), letter), -1), one))
        for one in terms
    ]
    equations = (Equation(Relation((Letter(start.letter), one), ("=",))) for one in trees)
    return Choices(Ending(one) for one in (*trees, *equations))


@last_term_not_divided.also(
    start_inverse,
    Place.FUNCTION,
    shows=(
        "function | f(x) = 3x + 5; f^-1(x) | x - 5/3",
        "function | f(x) = 2x - 7; f^-1(x) | x + 7/2",
    ),
    silent=("function | f(x) = 3x + 5; f^-1(x) | (x - 5)/3",),
)
def _constant_alone_divided(slope: Part, constant: Part, letter: str) -> Part | None:
    if not constant[0] or slope == (_ONE, _ONE):
        return None
    return join((Polynomial.letter(letter), _ONE), over(constant, slope), -1)


@last_term_not_divided.also(
    start_isolating,
    Place.LINEAR,
    shows=("solve | 2x + 7 = 20 | 33/2", "solve | 5x - 3 = 12 | 63/5"),
    silent=("solve | 2x + 7 = 20 | 13/2", "solve | 2x + 7 = 20 | 3"),
)
def _number_carried_across_divided(a: Surd, b: Surd, right: Surd) -> tuple[Surd, ...] | None:
    return (a / a, b / a, right) if b and a != 1 else None


def is_negative_part(factor: Part) -> bool:
    """Whether a part is one negative term."""
    number = factor[0].ordered()[0][1] * factor[1].ordered()[0][1]
    return len(factor[0].terms) == 1 and number.is_real and number.real_sign() < 0


@pattern(
    source="Larino 2018 (kind of error); OpenStax Elementary Algebra 2e, 2.6 (related: solving for"
    " a letter); common practice",
    shows=(
        "solve-for | 2x - 3y = 12 for y | y = (2x + 12)/3",
        "solve-for | 7m - 2n = 14 for n | n = -7 - (7/2)m",
        "solve-for | 4x - y = 7 for y | y = 4x + 7",
    ),
    silent=(
        "solve-for | 2x - 3y = 12 for y | y = (2x - 12)/3",
        "solve-for | 2x + 3y = 12 for y | y = (2x + 12)/3",
    ),
)
@instead_of(divide_by, Place.FORMULA)
def minus_not_divided_through(other: Part, factor: Part) -> Choices | None:
    """Divides by a negative number and changes the sign of one term only."""
    terms = list(other[0].terms.items())
    if not is_negative_part(factor) or not 2 <= len(terms) <= 4:
        return None
    return Choices(
        over((Polynomial({**other[0].terms, monomial: -number}), other[1]), factor)
        for monomial, number in terms
    )


@pattern(
    source="common practice",
    shows=(
        "solve-for | V = l w h for h | V/w",
        "solve-for | I = P r t for t | t = I/P",
        "solve-for | S = 2prh for p | p = S/2",
        "solve-for | A = (1/2)bh for h | h = A/b",
    ),
    silent=(
        "solve-for | V = l w h for h | V/(l w)",
        "solve-for | d = r t for t | d",
    ),
)
@instead_of(divide_by, Place.FORMULA)
def only_one_factor_divided_off(other: Part, factor: Part) -> Choices | None:
    """Divides by one of the factors before the letter and leaves the others out."""
    if len(factor[0].terms) != 1 or not factor[1].is_constant:
        return None
    ((monomial, number),) = factor[0].terms.items()
    number = number / factor[1].constant_term
    factors = [Polynomial.letter(name) ** power for name, power in monomial]
    if number.is_rational and number not in (ONE, -ONE):
        factors.append(Polynomial.constant(number))
    return Choices(over(other, (one, _ONE)) for one in factors) if len(factors) > 1 else None


@pattern(
    source="common practice",
    shows=(
        "solve-for | S = 2prh for p | p = S/(2h)",
        "solve-for | S = 2prh for p | p = S/(rh)",
        "solve-for | V = 3klw for w | w = V/(kl)",
    ),
    silent=(
        "solve-for | S = 2prh for p | p = S/(2rh)",
        "solve-for | V = l w h for h | V/w",
    ),
)
@instead_of(divide_by, Place.FORMULA)
def one_factor_not_divided_off(other: Part, factor: Part) -> Choices | None:
    """Leaves one of three or more factors out when dividing by what stands before the letter."""
    if len(factor[0].terms) != 1 or not factor[1].is_constant:
        return None
    ((monomial, number),) = factor[0].terms.items()
    parts = [Polynomial.letter(name) ** power for name, power in monomial]
    parts += [Polynomial.constant(number)] if number not in (1, -1) else []
    if len(parts) < 3:
        return None
    return Choices(over(other, over(factor, (part, Polynomial.constant(1)))) for part in parts)
