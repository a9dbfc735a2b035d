"""Errors with values of functions."""

from __future__ import annotations

from collections.abc import Iterable

from pipeline.exact.polynomials import Polynomial
from pipeline.patterns.registry import instead_of, pattern
from pipeline.patterns.squaring_binomials import square_spread_over_sum
from pipeline.patterns.substitution import substituted_without_brackets
from pipeline.procedures.functions import FUNCTION, apply
from pipeline.procedures.solving_for import Part, join, times
from pipeline.procedures.walk import Choices

_SKILL = "functions"
_ONE = Polynomial.constant(1)


def _whole(part: Part) -> Polynomial | None:
    return part[0] if part[1] == _ONE else None


@pattern(
    "function-read-as-factor",
    skill=_SKILL,
    source="common practice",
    shows=(
        "function | f(x) = 2x + 3; f(4) | 8x + 12",
        "function | f(x) = x^2 - 1; f(3) | 3x^2 - 3",
    ),
    silent=(
        "function | f(x) = 2x + 3; f(4) | 11",
        "function | f(x) = 2x + 3; f(4) | 8x + 3",
    ),
)
@instead_of(apply, FUNCTION)
def function_read_as_factor(body: Part, letter: str, argument: Part) -> Part:
    """Multiplies the function by what stands in its brackets."""
    return times(body, argument)


@pattern(
    "argument-added-to-function",
    skill=_SKILL,
    source="common practice",
    shows=(
        "function | f(x) = x^2 + 3x; f(x + 2) | x^2 + 3x + 2",
        "function | f(x) = 2x - 5; f(x + h) | 2x - 5 + h",
    ),
    silent=(
        "function | f(x) = 2x - 5; f(x + h) | 2x + 2h - 5",
        "function | f(x) = 2x - 5; f(4) | 3",
    ),
)
@instead_of(apply, FUNCTION)
def argument_added_to_function(body: Part, letter: str, argument: Part) -> Part | None:
    """Adds to the function what is added to its argument: f(x + 2) as f(x) + 2."""
    rest = argument[0] - Polynomial.letter(letter)
    if argument[1] != _ONE or letter in rest.letters or not rest:
        return None
    return join(body, (rest, _ONE))


@pattern(
    "function-spread-over-sum",
    skill=_SKILL,
    source="T. L. Scofield 2003, Top Algebra Errors Made by Calculus Students",
    shows=(
        "function | f(x) = x^2 + 3x; f(x + 2) | x^2 + 3x + 10",
        "function | f(x) = 2x - 5; f(a + h) | 2a + 2h - 10",
    ),
    silent=(
        "function | f(x) = 2x - 5; f(a + h) | 2a + 2h - 5",
        "function | f(x) = 2x; f(a + h) | 2a",
    ),
)
@instead_of(apply, FUNCTION)
def function_spread_over_sum(body: Part, letter: str, argument: Part) -> Part | None:
    """Takes the function of each term and adds: f(a + h) as f(a) + f(h)."""
    terms = list(argument[0].terms.items())
    if argument[1] != _ONE or len(terms) < 2:
        return None
    total: Part = (Polynomial({}), _ONE)
    for monomial, number in terms:
        total = join(total, apply(body, letter, (Polynomial({monomial: number}), _ONE)))
    return total


@pattern(
    "argument-put-in-one-place",
    skill=_SKILL,
    source="T. L. Scofield 2003, list of codes; OpenStax College Algebra 2e, 3.1",
    shows=(
        "function | f(x) = x^2 + 3x; f(x + h) | (x + h)^2 + 3x",
        "function | f(x) = 2x^2 - x; f(a + 1) | 2(a + 1)^2 - a",
    ),
    silent=(
        "function | f(x) = x^2 + 3x; f(x + h) | (x + h)^2 + 3(x + h)",
        "function | f(x) = x^2 + 3x; f(x + h) | x^2 + 3x + h",
        "function | f(x) = x^2 + 3x; f(2) | 10",
    ),
)
@instead_of(apply, FUNCTION)
def argument_put_in_one_place(body: Part, letter: str, argument: Part) -> Choices | None:
    """Puts the argument in for the letter in one place and leaves the letter in the others."""
    whole = _whole(body)
    kept = _single_letter(argument)
    if whole is None or kept is None or argument[1] != _ONE:
        return None
    parts = whole.collected(letter)
    places = [power for power, part in enumerate(parts) if power and part]
    if len(places) < 2:
        return None
    return Choices(
        (
            _sum(
                part * (argument[0] if power == one else kept) ** power
                for power, part in enumerate(parts)
            ),
            _ONE,
        )
        for one in places
    )


def _single_letter(argument: Part) -> Polynomial | None:
    """The first letter of an argument such as x + h or a + 1; None where it has no other term."""
    letters = [
        monomial for monomial in argument[0].terms if len(monomial) == 1 and monomial[0][1] == 1
    ]
    if not letters or len(argument[0].terms) < 2:
        return None
    return Polynomial({letters[0]: argument[0].terms[letters[0]] ** 0})


def _sum(parts: Iterable[Polynomial]) -> Polynomial:
    return sum(parts, Polynomial({}))


@square_spread_over_sum.also(
    apply,
    FUNCTION,
    "composition",
    shows=(
        "function | f(x) = x^2 + 3x; f(x + 2) | x^2 + 3x + 10",
        "function | f(x) = x^2; f(a + h) | a^2 + h^2",
    ),
    silent=("function | f(x) = x^2; f(a + h) | a^2 + 2ah + h^2",),
)
def _square_of_argument_spread(body: Part, letter: str, argument: Part) -> Part | None:
    """Squares each term of the argument and leaves out the middle term."""
    whole = _whole(body)
    if whole is None or whole.degree(letter) != 2 or len(argument[0].terms) < 2:
        return None
    if argument[1] != _ONE:
        return None
    c, b, a = whole.collected(letter)
    squared = Polynomial({})
    for monomial, number in argument[0].terms.items():
        squared = squared + Polynomial({monomial: number}) ** 2
    return a * squared + b * argument[0] + c, _ONE


@substituted_without_brackets.also(
    apply,
    FUNCTION,
    shows=(
        "function | f(x) = x^2 - x; f(-3) | -6",
        "function | f(x) = 2x^2 + 5; f(-1) | 3",
    ),
    silent=("function | f(x) = 2x^2 + 5; f(1) | 3",),
)
def _minus_left_out_of_square(body: Part, letter: str, argument: Part) -> Part | None:
    """Puts a negative number in without brackets, so that its square keeps the minus."""
    whole, value = _whole(body), argument[0].constant_term
    if whole is None or not argument[0].is_constant or not value.is_real:
        return None
    if value.real_sign() >= 0 or argument[1] != _ONE:
        return None
    total = Polynomial({})
    for power, part in enumerate(whole.collected(letter)):
        raised = value**power
        total = total + part * (-raised if power and power % 2 == 0 else raised)
    return total, _ONE
