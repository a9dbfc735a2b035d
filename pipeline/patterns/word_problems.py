"""Errors in the last steps of a word problem."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.coefficients import Coefficients
from pipeline.exact.numbers import Surd
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.operations import Roots
from pipeline.procedures.walk import Choices, Place
from pipeline.procedures.word_problems import Kept, give_asked, keep_counting


@pattern(
    source="OpenStax Elementary Algebra 2e, 10.5 (a printed key)",
    shows=(
        "solve | w(w + 4) = 96; keep w > 0; asked w + 4 | 8",
        "solve | x(x - 5) = 84; keep x > 0; asked x - 5 | 12",
    ),
    silent=(
        "solve | w(w + 4) = 96; keep w > 0; asked w + 4 | 12",
        "solve | w(w + 4) = 96; keep w > 0 | 12",
    ),
)
@instead_of(give_asked, Place.WORD_PROBLEM)
def other_quantity_given(roots: Roots, asked: tuple[Coefficients, ...]) -> Roots | None:
    """Gives the unknown of the equation in place of the quantity that is asked for."""
    return roots if len(asked) == 1 else None


@pattern(
    source="common practice",
    shows=(
        "solve | w(w + 4) = 96; keep w > 0; asked w, w + 4 | 8",
        "solve | n(n + 1) = 240; asked n, n + 1 | 15, -16",
    ),
    silent=(
        "solve | w(w + 4) = 96; keep w > 0; asked w, w + 4 | 8 and 12",
        "solve | n(n + 1) = 240; asked n, n + 1 | 15, 16, -15, -16",
    ),
)
@instead_of(give_asked, Place.WORD_PROBLEM)
def one_quantity_left_out(roots: Roots, asked: tuple[Coefficients, ...]) -> Choices | None:
    """Gives one of the quantities that are asked for and leaves out another."""
    if len(asked) < 2:
        return None
    return Choices(give_asked(roots, (*asked[:i], *asked[i + 1 :])) for i in range(len(asked)))


@pattern(
    source="Didis and Erbas 2015 (related: word problems weaker); from memory",
    shows=(
        "solve | w(w + 3) = 40; keep w > 0 | 5, -8",
        "solve | w(w + 4) = 96; keep w > 0; asked w + 4 | 12, -8",
    ),
    silent=(
        "solve | w(w + 3) = 40; keep w > 0 | 5",
        "solve | w(w + 3) = 40 | 5",
    ),
)
@instead_of(keep_counting, Place.WORD_PROBLEM)
def impossible_solution_kept(roots: Roots, keep: Kept) -> Roots:
    """Keeps a solution that does not count, such as a negative length."""
    return roots


@pattern(
    source="common practice",
    shows=(
        "solve | w(w + 3) = 40; keep w > 0 | -8",
        "solve | w(w + 4) = 96; keep w > 0; asked w + 4 | -8",
        "solve | x^2 - 9x + 14 = 0; keep largest | 2",
    ),
    silent=(
        "solve | w(w + 3) = 40; keep w > 0 | 5",
        "solve | w(w + 3) = 40; keep w > 0 | 8, 5",
        "solve | x^2 - 9x + 14 = 0; keep smallest | 2",
    ),
)
@instead_of(keep_counting, Place.WORD_PROBLEM)
def wrong_solution_rejected(roots: Roots, keep: Kept) -> Roots | None:
    """Rejects the solution that counts and gives the other."""
    rest = roots - keep_counting(roots, keep)
    return rest or None


@pattern(
    source="OpenStax Elementary Algebra 2e, 7.6 (related: printed keys give both); from memory",
    shows=(
        "solve | n(n + 1) = 56; asked n + 1 | 8",
        "solve | -16t^2 + 96t = 80; keep t >= 0 | 1",
    ),
    silent=(
        "solve | n(n + 1) = 56; asked n + 1 | 8, -7",
        "solve | w(w + 3) = 40; keep w > 0 | 5",
    ),
)
@instead_of(keep_counting, Place.WORD_PROBLEM)
def fitting_solution_left_out(roots: Roots, keep: Kept) -> Choices | None:
    """Gives one solution only where several count."""
    kept = keep_counting(roots, keep)
    return Choices(frozenset({one}) for one in kept) if len(kept) > 1 else None


@pattern(
    source="common practice",
    shows=(
        "solve | w(w + 3) = 40; keep w > 0 | 8",
        "solve | w(w + 3) = 40; keep w > 0 | 5, 8",
    ),
    silent=(
        "solve | w(w + 3) = 40; keep w > 0 | 5",
        "solve | w(w + 3) = 40; keep w > 0 | -8",
    ),
)
@instead_of(keep_counting, Place.WORD_PROBLEM)
def size_of_impossible_solution_given(roots: Roots, keep: Kept) -> Choices | None:
    """Drops the minus of a negative solution so that it counts."""
    kept = keep_counting(roots, keep)
    sizes = frozenset(-one for one in roots - kept if one.is_real and one.real_sign() < 0)
    return Choices((sizes, kept | sizes)) if sizes else None


MOST_PLACES = 2
"""Most decimals to which a number is rounded too early."""


def _rounded(number: Surd, places: int) -> Surd:
    scale = 10**places
    return Surd.of(Fraction(round(number.approximate().real * scale), scale))


@pattern(
    source="OpenStax Elementary Algebra 2e, 10.5 (a printed key)",
    shows=(
        "solve | s^2 + (3s)^2 = 400; keep s > 0; asked 3s | 18.9",
        "solve | w(2w + 5) = 60; keep w > 0; asked 2w + 5 | 13.8",
    ),
    silent=(
        "solve | s^2 + (3s)^2 = 400; keep s > 0; asked 3s | 18.97",
        "solve | w(w + 4) = 96; keep w > 0; asked w + 4 | 12",
    ),
)
@instead_of(give_asked, Place.WORD_PROBLEM)
def rounded_too_early(roots: Roots, asked: tuple[Coefficients, ...]) -> Choices | None:
    """Rounds the unknown first and works out the quantity asked for from the rounded number."""
    if all(one.is_rational for one in roots) or not all(one.is_real for one in roots):
        return None
    return Choices(
        give_asked(frozenset(_rounded(one, places) for one in roots), asked)
        for places in range(MOST_PLACES + 1)
    )
