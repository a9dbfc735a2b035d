"""Errors in splitting a polynomial into factors."""

from __future__ import annotations

from pipeline.exact.coefficients import Coefficients, exact_roots
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Monomial, Polynomial, polynomial_of, tree_of_polynomial
from pipeline.exact.trees import Node
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import ONE, ZERO, Linear
from pipeline.procedures.operations import pair_of_factors, primitive
from pipeline.procedures.parts import Part, join, over
from pipeline.procedures.rewriting.factoring import (
    Cubes,
    Squares,
    Trinomial,
    factors_of_cubes,
    factors_of_squares,
    factors_of_trinomial,
    join_factors,
    take_out_common_factor,
    trinomial_of,
)
from pipeline.procedures.rewriting.operations import copy_expression
from pipeline.procedures.solving_for import Formula, start_with
from pipeline.procedures.walk import Choices, Ending, Place
from pipeline.tasks.divide import divide_rows


@pattern(
    source="Scofield 2003 (code EPE)",
    shows=(
        "factor | x^2 - 5x + 6 | x = 2, x = 3",
        "expand | (x + 3)(x - 5) | x = -3 or x = 5",
        "simplify | 5x - 2x + 12 | x = -4",
    ),
    silent=(
        "factor | x^2 - 5x + 6 | (x - 2)(x - 3)",
        "factor | x^2 - 5x + 6 | x = -2, x = -3",
        "solve | x^2 - 5x + 6 = 0 | 2, 3",
    ),
)
@instead_of(take_out_common_factor, Place.FACTOR)
def expression_set_to_zero(whole: Polynomial) -> Ending | None:
    """Sets an expression equal to zero and solves, where there is no equation."""
    names = sorted(whole.letters)
    if len(names) != 1 or not 1 <= whole.degree() <= 3:
        return None
    roots = exact_roots(tuple(whole.coefficients(names[0])))
    real = frozenset(one for one in roots or () if one.is_real)
    return Ending(real) if real else None


@expression_set_to_zero.also(copy_expression, Place.SIMPLIFY, Place.EXPAND)
def _solved(tree: Node) -> Ending | None:
    polynomial = polynomial_of(tree)
    version = expression_set_to_zero.moves[0].version
    found: Ending | None = None if polynomial is None else version(polynomial)
    return found


LARGEST = 5_000
"""Largest constant that is split by trial."""


MOST_PAIRS = 60
"""Numbers with more divisor pairs than this are no school factoring, and are left alone."""


def divisors(number: int) -> list[int]:
    """Return the positive divisors of a whole number up to `LARGEST`, none beyond."""
    return [one for one in range(1, min(abs(number), LARGEST) + 1) if number % one == 0]


@pattern(
    source="OpenStax Elementary Algebra 2e, 7.2 (caution); Kotsopoulos 2007 (kind of error);"
    " Zakaria, Ibrahim and Maat 2010 (kind of error)",
    shows=(
        "solve | x^2 - 8x + 12 = 0 | 3; 4",
        "solve | x^2 + 8x + 12 = 0 | -3, -4",
    ),
    silent=(
        "solve | x^2 - 8x + 12 = 0 | 2; 6",
        "solve | x^2 - 8x + 12 = 0 | 3; 5",
    ),
)
@instead_of(pair_of_factors, Place.FACTORING)
def factor_pair_misses_sum(a: Surd, b: Surd, c: Surd) -> Choices | None:
    """Picks two numbers with the right product but the wrong sum, and solves those factors."""
    whole = primitive(a, b, c)
    if whole is None or not 0 < abs(whole[2]) <= LARGEST:
        return None
    first, middle, last = whole
    signed = [sign * q for q in divisors(last) for sign in (1, -1)]
    pairs = {
        frozenset(((p, q), (first // p, last // q)))
        for p in divisors(first)
        for q in signed
        if p * (last // q) + q * (first // p) != middle
    }
    if len(pairs) > MOST_PAIRS:
        return None
    return Choices(tuple(Linear(Surd.of(p), Surd.of(q)) for p, q in pair) for pair in pairs)


@factor_pair_misses_sum.also(
    factors_of_trinomial,
    shows=("factor | x^2 + x - 6 | (x - 1)(x + 6)", "factor | x^2 + 8x + 12 | (x + 3)(x + 4)"),
    silent=("factor | x^2 + x - 6 | (x - 2)(x + 3)", "factor | x^2 + x - 6 | (x - 2)(x + 4)"),
)
def _pair_misses_sum(trinomial: Trinomial) -> Choices | None:
    """Picks two numbers with the right product but the wrong sum."""
    version = factor_pair_misses_sum.moves[0].version
    found: Choices | None = version(trinomial.a, trinomial.b, trinomial.c)
    if found is None:
        return None
    return Choices(pair * 2 if len(pair) == 1 else pair for pair in found)


@factor_pair_misses_sum.also(
    factors_of_squares,
    shows=("factor | x^2 - 16 | (x - 8)(x + 2)", "factor | x^2 - 25 | (x - 25)(x + 1)"),
    silent=("factor | x^2 - 16 | (x - 4)(x + 4)", "factor | x^2 - 16 | (x - 8)(x - 2)"),
)
def _difference_misses_sum(squares: Squares) -> Choices | None:
    """Picks two numbers with the right product but the wrong sum."""
    first, second = squares.first, squares.second
    size = second.constant_term
    if squares.sign != 1 or squares.other != -1 or not (second.is_constant and size.is_integer):
        return None
    square = int((size * size).as_fraction())
    smaller = [one for one in divisors(square) if one * one < square <= LARGEST]
    return Choices(
        (first + Polynomial.constant(sign * one), first - Polynomial.constant(sign * square // one))
        for one in smaller
        for sign in (1, -1)
    )


def _has_negative_pair(whole: Polynomial, factors: tuple[Polynomial, ...]) -> bool:
    """Whether the third of four terms is negative, or can be when the middle one is split."""
    constant = whole.coefficients(sorted(whole.letters)[0])[0]
    if len(whole.terms) == 4:
        return whole.ordered()[2][1].real_sign() < 0
    split = len(whole.terms) == 3 and len(factors) == 2
    return split and (constant.real_sign() < 0 or whole.ordered()[1][1].real_sign() < 0)


@pattern(
    source="OpenStax Elementary Algebra 2e, 7.1 (caution)",
    shows=(
        "factor | x^2 + 4x - 3x - 12 | x(x + 4) - 3(x - 4)",
        "factor | x^3 + 4x^2 - 3x - 12 | x^2(x + 4) - 3(x - 4)",
        "factor | 6x^2 - 9x - 4x + 6 | 3x(2x - 3) - 2(2x + 3)",
    ),
    silent=(
        "factor | x^2 + 4x - 3x - 12 | (x - 3)(x + 4)",
        "factor | x^2 + 4x - 3x - 12 | x(x + 4) + 3(x - 4)",
        "factor | x^2 + 7x + 12 | x(x + 3) + 4(x - 3)",
    ),
)
@instead_of(join_factors, Place.FACTOR)
def minus_taken_out_of_one_term_only(
    outside: Polynomial, factors: tuple[Polynomial, ...]
) -> Ending | None:
    """Takes a minus out of the second pair of terms and changes the sign of the first one only."""
    whole = join_factors(outside, factors)
    names = sorted(whole.letters)
    if len(names) != 1 or not _has_negative_pair(whole, factors):
        return None
    (letter,) = names
    numbers = list(whole.coefficients(letter))
    return Ending(tree_of_polynomial(Polynomial.univariate(letter, [-numbers[0], *numbers[1:]])))


_Factors = tuple[Polynomial, ...]


@pattern(
    source="OpenStax Elementary Algebra 2e, 7.1 (related: caution in grouping)",
    shows=(
        "factor | ax - ay - bx + by | (a + b)(x - y)",
        "factor | x^3 + 2x^2 - 9x - 18 | (x^2 + 9)(x + 2)",
    ),
    silent=(
        "factor | ax - ay - bx + by | (a - b)(x - y)",
        "factor | ax - ay - bx + by | (a + b)(x + y)",
    ),
)
@instead_of(take_out_common_factor, Place.FACTOR)
def sign_between_groups_changed(whole: Polynomial) -> Choices | None:
    """Joins the common factors of two groups of terms with the wrong sign."""
    terms = whole.ordered()
    if len(terms) != 4:
        return None
    found = []
    for place in (1, 2, 3):
        pair = Polynomial(dict((terms[0], terms[place])))
        (outside, rest), (other, same) = map(take_out_common_factor, (pair, whole - pair))
        if rest in (same, -same):
            sign = 1 if rest == same else -1
            found.append(Ending(tree_of_polynomial((outside - other * sign) * rest)))
    return Choices(found)


@pattern(
    source="common practice",
    shows=(
        "factor | x^3 - 8 | (x - 2)^3",
        "factor | 27a^3 + 64 | (3a + 4)^3",
    ),
    silent=(
        "factor | x^3 - 8 | (x - 2)(x^2 + 2x + 4)",
        "factor | x^3 - 8 | (x - 2)(x + 2)^2",
    ),
)
@instead_of(factors_of_cubes)
def difference_of_cubes_as_cube(cubes: Cubes) -> _Factors:
    """Factors a sum or difference of cubes as the cube of the binomial."""
    one = cubes.first + cubes.second * cubes.sign
    return one, one, one


@pattern(
    source="common practice",
    shows=(
        "factor | x^3 - 8 | (x - 2)(x^2 + 4x + 4)",
        "factor | y^3 + 27 | (y + 3)(y^2 - 6y + 9)",
    ),
    silent=(
        "factor | x^3 - 8 | (x - 2)(x^2 + 2x + 4)",
        "factor | x^3 - 8 | (x - 2)(x^2 - 2x + 4)",
    ),
)
@instead_of(factors_of_cubes)
def cube_factor_middle_term_doubled(cubes: Cubes) -> _Factors:
    """Doubles the middle term of the trinomial, as in a perfect square."""
    u, v = cubes.first, cubes.second * cubes.sign
    return u + v, u * u - u * v * 2 + v * v


@pattern(
    source="common practice",
    shows=(
        "factor | x^3 - 8 | (x - 2)(x^2 + 4)",
        "factor | y^3 + 27 | (y + 3)(y^2 + 9)",
    ),
    silent=(
        "factor | x^3 - 8 | (x - 2)(x^2 + 2x + 4)",
        "factor | x^3 - 8 | (x - 2)(x^2 - 4)",
    ),
)
@instead_of(factors_of_cubes)
def cube_factor_middle_term_left_out(cubes: Cubes) -> _Factors:
    """Leaves out the middle term of the trinomial in a sum or difference of cubes."""
    u, v = cubes.first, cubes.second * cubes.sign
    return u + v, u * u + v * v


@pattern(
    source="common practice",
    shows=(
        "factor | x^3 - 8 | (x - 2)(x^2 - 2x + 4)",
        "factor | y^3 + 27 | (y - 3)(y^2 + 3y - 9)",
    ),
    silent=(
        "factor | x^3 - 8 | (x - 2)(x^2 + 2x + 4)",
        "factor | x^3 - 8 | (x - 2)(x^2 + 4x + 4)",
    ),
)
@instead_of(factors_of_cubes)
def cube_factor_signs_wrong(cubes: Cubes) -> Choices:
    """Finds the right terms for a sum or difference of cubes and gives some the wrong sign."""
    u, v = cubes.first, cubes.second * cubes.sign
    return Choices(
        (u + v * first, u * u + u * v * second + v * v * third)
        for first, second, third in ((1, 1, 1), (1, -1, -1), (1, 1, -1), (-1, -1, 1), (-1, 1, -1))
    )


_Pairs = tuple[Linear, ...]


def _pairs(trinomial: Trinomial) -> _Pairs:
    return pair_of_factors(trinomial.a, trinomial.b, trinomial.c)


@pattern(
    source="OpenStax Elementary Algebra 2e, 7.2 (caution)",
    shows=(
        "factor | x^2 - 5x + 6 | (x + 3)(x + 2)",
        "factor | x^2 + 11xy + 28y^2 | (x - 4y)(x - 7y)",
        "factor | x^2 - 10x + 25 | (x + 5)^2",
    ),
    silent=(
        "factor | x^2 - 5x + 6 | (x - 3)(x - 2)",
        "factor | x^2 - 5x + 6 | (x - 3)(x + 2)",
    ),
)
@instead_of(factors_of_trinomial)
def factor_signs_swapped(trinomial: Trinomial) -> _Pairs:
    """Finds the right numbers and gives both the opposite sign."""
    return tuple(one._replace(q=-one.q) for one in _pairs(trinomial))


@pattern(
    source="common practice",
    shows=(
        "factor | x^2 - 10x + 25 | (x - 5)(x + 5)",
        "factor | 4x^2 + 12x + 9 | (2x - 3)(2x + 3)",
    ),
    silent=(
        "factor | x^2 - 10x + 25 | (x - 5)^2",
        "factor | x^2 - 25 | (x - 5)(x + 5)",
        "factor | x^2 - 10x + 25 | (x + 5)^2",
    ),
)
@instead_of(factors_of_trinomial)
def perfect_square_as_conjugates(trinomial: Trinomial) -> _Pairs | None:
    """Factors a perfect-square trinomial as if it were a difference of squares."""
    one, *others = dict.fromkeys(_pairs(trinomial))
    return None if others else (one, one._replace(q=-one.q))


@pattern(
    source="common practice",
    shows=(
        "factor | x^2 + 6x | (x + 3)^2",
        "factor | x^2 - 10x | (x - 5)^2",
    ),
    silent=(
        "factor | x^2 + 6x | x(x + 6)",
        "factor | x^2 + 6x + 9 | (x + 3)^2",
    ),
)
@instead_of(take_out_common_factor)
def square_taken_for_its_first_terms(whole: Polynomial) -> tuple[Polynomial, Polynomial] | None:
    """Factors x^2 + 6x as the square that begins with it."""
    letter = next(iter(whole.letters)) if len(whole.letters) == 1 else ""
    numbers = whole.coefficients(letter) if letter else []
    if len(numbers) != 3 or numbers[0] or not numbers[1] or numbers[2] != 1:
        return None
    half = Polynomial.univariate(letter, (numbers[1] / 2, 1))
    return Polynomial.constant(1), half * half


_LARGEST_SUM = 40


@pattern(
    source="from memory",
    shows=(
        "factor | x^2 + 8x + 12 | (x + 4)(x + 4)",
        "factor | x^2 - 9x + 20 | (x - 3)(x - 6)",
    ),
    silent=(
        "factor | x^2 + 8x + 12 | (x + 2)(x + 6)",
        "factor | x^2 + 8x + 12 | (x + 3)(x + 4)",
    ),
)
@instead_of(factors_of_trinomial)
def factor_pair_misses_product(trinomial: Trinomial) -> Choices | None:
    """Picks two numbers with the right sum but the wrong product."""
    if trinomial.a != 1 or not trinomial.b.is_integer:
        return None
    whole = int(trinomial.b.as_fraction())
    if not 2 <= abs(whole) <= _LARGEST_SUM:
        return None
    sign = 1 if whole > 0 else -1
    return Choices(
        (Linear(Surd.of(1), Surd.of(sign * one)), Linear(Surd.of(1), Surd.of(whole - sign * one)))
        for one in range(1, abs(whole) // 2 + 1)
        if trinomial.c != one * (abs(whole) - one)
    )


@factor_pair_misses_product.also(
    pair_of_factors,
    Place.FACTORING,
    shows=("solve | x^2 - 5x + 6 = 0 | 6, -1", "solve | x^2 - 5x - 6 = 0 | 2, 3"),
    silent=("solve | x^2 - 5x + 6 = 0 | 2, 3", "solve | x^2 - 5x + 6 = 0 | -6, -1"),
)
def _product_with_other_sign(a: Surd, b: Surd, c: Surd) -> tuple[Linear, ...]:
    """Picks two numbers with the right sum, and the right product but for its sign."""
    return pair_of_factors(a, b, -c)


@pattern(
    source="common practice",
    shows=(
        "factor | x^2 + 7x + 12 | (x + 7)(x + 12)",
        "factor | x^2 - 5x + 6 | (x - 5)(x + 6)",
    ),
    silent=(
        "factor | x^2 + 7x + 12 | (x + 3)(x + 4)",
        "factor | x^2 + 7x + 12 | (x + 2)(x + 6)",
    ),
)
@instead_of(factors_of_trinomial)
def coefficients_put_into_brackets(trinomial: Trinomial) -> _Pairs | None:
    """Puts the two numbers of a trinomial into the brackets as they stand."""
    if trinomial.a != 1:
        return None
    return Linear(trinomial.a, trinomial.b), Linear(trinomial.a, trinomial.c)


@pattern(
    source="Didis, Bas and Erbas 2011 (kind of error); Kotsopoulos 2007 (kind of error)",
    shows=(
        "factor | 2x^2 + 7x + 3 | (2x + 3)(x + 1)",
        "factor | 8x^2 - 14x + 3 | (2x - 1)(4x - 3)",
    ),
    silent=(
        "factor | 2x^2 + 7x + 3 | (2x + 1)(x + 3)",
        "factor | x^2 + 7x + 12 | (x + 2)(x + 6)",
    ),
)
@instead_of(factors_of_trinomial)
def numbers_in_wrong_brackets(trinomial: Trinomial) -> _Pairs | None:
    """Finds the right numbers and puts each of the last ones into the other bracket."""
    first, second = _pairs(trinomial)
    if first.p == second.p or first.q == second.q:
        return None
    return first._replace(q=second.q), second._replace(q=first.q)


@numbers_in_wrong_brackets.also(
    take_out_common_factor,
    Place.FACTOR,
    shows=("factor | xy + 2y + 3x + 6 | (x + 3)(y + 2)",),
    silent=("factor | xy + 2y + 3x + 6 | (x + 2)(y + 3)", "factor | xy + 2y + 3x | (x + 3)(y + 2)"),
)
def _numbers_beside_other_letter(whole: Polynomial) -> Ending | None:
    names = sorted(whole.letters)
    if len(names) != 2 or len(whole.terms) != 4 or whole.degree() != 2:
        return None
    one, two = (((name, 1),) for name in names)
    if not {one, two} <= whole.terms.keys() or not whole.constant_term:
        return None
    swapped: dict[Monomial, Surd] = {one: whole.terms[two], two: whole.terms[one]}
    return Ending(tree_of_polynomial(Polynomial({**whole.terms, **swapped})))


_PRIME = "PRIME"


@pattern(
    source="from memory",
    shows=(
        "factor | x^2 - 2x - 35 | prime",
        "factor | 6x^2 + 13x + 2 | prime",
    ),
    silent=(
        "factor | x^2 - 2x - 35 | (x - 7)(x + 5)",
        "factor | x^2 + 4x + 18 | prime",
    ),
)
@instead_of(take_out_common_factor)
def factorable_called_prime(whole: Polynomial) -> Ending:
    """Says that an expression cannot be factored although it can."""
    return Ending(_PRIME)


@pattern(
    source="OpenStax Elementary Algebra 2e, 7.3 (caution)",
    shows=(
        "factor | 2x^2 - 20x + 18 | (x - 9)(x - 1)",
        "factor | 6a + 24 | a + 4",
    ),
    silent=(
        "factor | 2x^2 - 20x + 18 | 2(x - 9)(x - 1)",
        "factor | x^2 - 10x + 9 | (x - 9)(x - 1)",
    ),
)
@instead_of(join_factors)
def common_factor_lost(outside: Polynomial, factors: tuple[Polynomial, ...]) -> Polynomial | None:
    """Takes out a common factor and leaves it out of the answer."""
    if outside == Polynomial.constant(1):
        return None
    return join_factors(Polynomial.constant(1), factors)


@pattern(
    source="common practice",
    shows=(
        "factor | 2x^2 + 5x + 3 | (x + 1)(x + 3/2)",
        "factor | 4x^2 - 9 | (x - 3/2)(x + 3/2)",
        "factor | 6x^2 - 7x + 2 | (x - 2/3)(x - 1/2)",
    ),
    silent=(
        "factor | 2x^2 + 5x + 3 | 2(x + 1)(x + 3/2)",
        "factor | 2x^2 + 5x + 3 | (x + 1)(2x + 3)",
        "factor | x^2 + 5x + 6 | (x + 2)(x + 3)",
    ),
)
@instead_of(join_factors)
def leading_number_lost_in_factors(
    outside: Polynomial, factors: tuple[Polynomial, ...]
) -> Polynomial | None:
    """Makes the factors from the solutions and loses the number before the square."""
    whole = join_factors(outside, factors)
    (_, lead), *_ = whole.ordered()
    if len(whole.letters) != 1 or whole.degree() != 2 or lead in (1, -1):
        return None
    return whole * (1 / lead)


@leading_number_lost_in_factors.also(
    factors_of_trinomial,
    shows=("factor | 2x^2 + 7x + 3 | (x + 3)(x + 1)", "factor | 2x^2 + 5x + 3 | (x + 3)(x + 1)"),
    silent=("factor | 2x^2 + 7x + 3 | (2x + 1)(x + 3)", "factor | x^2 + 4x + 3 | (x + 3)(x + 1)"),
)
def _leading_number_lost_in_brackets(trinomial: Trinomial) -> tuple[Linear, ...] | None:
    """Finds the numbers of both brackets and leaves out the number before the letter."""
    found = factors_of_trinomial(trinomial)
    return tuple(one._replace(p=ONE) for one in found) if trinomial.a != 1 else None


@pattern(
    source="common practice",
    shows=(
        "factor | 2x^2 + 7x + 3 | (x + 1)(x + 6)",
        "factor | 2x^2 + 7x + 3 | (2x + 1)(2x + 6)",
        "factor | 3x^2 - 5x - 2 | (x - 6)(x + 1)",
    ),
    silent=(
        "factor | 2x^2 + 7x + 3 | (2x + 1)(x + 3)",
        "factor | x^2 + 7x + 6 | (x + 1)(x + 6)",
    ),
)
@instead_of(join_factors, Place.FACTOR)
def leading_number_not_divided_back(outside: Polynomial, factors: _Factors) -> Choices | None:
    """Takes the two numbers found for a times c for those of the brackets."""
    trinomial = trinomial_of(join_factors(Polynomial.constant(1), factors))
    if trinomial is None or trinomial.a == 1:
        return None
    pairs = factors_of_trinomial(trinomial._replace(a=ONE, c=trinomial.a * trinomial.c))
    return Choices(
        join_factors(outside, tuple(trinomial.u * lead + trinomial.v * one.q for one in pairs))
        for lead in (ONE, trinomial.a)
        if pairs
    )


@pattern(
    source="from memory",
    shows=(
        "factor | 4x^2 + 4x | 4x(x)",
        "factor | 14x + 14 | 14x",
    ),
    silent=(
        "factor | 4x^2 + 4x | 4x(x + 1)",
        "factor | 4x^2 + 8x | 4x(x)",
    ),
)
@instead_of(take_out_common_factor)
def one_not_left_behind(whole: Polynomial) -> tuple[Polynomial, Polynomial] | None:
    """Leaves nothing where a whole term is taken out, instead of 1."""
    outside, rest = take_out_common_factor(whole)
    if abs(rest.constant_term.as_fraction() if rest.constant_term.is_rational else 0) != 1:
        return None
    if outside in (Polynomial.constant(1), Polynomial.constant(-1)):
        return None
    return outside, Polynomial({one: value for one, value in rest.terms.items() if one})


@one_not_left_behind.also(
    start_with,
    Place.FORMULA,
    shows=("solve-for | A = p + prt for p | A/(rt)", "solve-for | xy + x = 5 for x | 5/y"),
    silent=("solve-for | A = p + prt for p | A/(1 + rt)",),
)
def _letter_alone_leaves_nothing(start: Formula) -> Part | None:
    above, below = start.factor
    rest = above - below
    if rest.is_constant or not above.constant_term or rest.constant_term:
        return None
    return over(join(start.other, start.rest, -1), (rest, below))


@one_not_left_behind.also(
    divide_rows,
    Place.DIVISION,
    shows=("divide | (12x^3 - 8x^2 + 4x)/(4x) | 3x^2 - 2x", "divide | (6x^2 + 3x)/(3x) | 2x"),
    silent=("divide | (12x^3 - 8x^2 + 4x)/(4x) | 3x^2 - 2x + 1",),
)
def _term_divided_by_itself_gone(
    above: Coefficients, below: Coefficients
) -> tuple[Coefficients, Coefficients] | None:
    quotient, rest = divide_rows(above, below)
    if rest or any(below[:-1]) or len(quotient) < 2 or quotient[0] not in (ONE, -ONE):
        return None
    return (ZERO, *quotient[1:]), rest


@pattern(
    source="common practice",
    shows=(
        "factor | x^2 - 5x | (x - 5)(x + 5)",
        "factor | y^2 - 3y | (y + 3)(y - 3)",
    ),
    silent=(
        "factor | x^2 - 5x | x(x - 5)",
        "factor | x^2 - 25 | (x - 5)(x + 5)",
    ),
)
@instead_of(take_out_common_factor)
def taken_for_difference_of_squares(whole: Polynomial) -> tuple[Polynomial, Polynomial] | None:
    """Factors a difference as one of squares though the last term is no square of a number."""
    letters = sorted(whole.letters)
    if len(letters) != 1 or len(whole.collected(letters[0])) != 3 or whole.constant_term:
        return None
    _, linear, leading = (one.constant_term for one in whole.collected(letters[0]))
    if leading != 1 or not linear.is_integer or linear.real_sign() >= 0:
        return None
    one = Polynomial.constant(1)
    return one, Polynomial.univariate(letters[0], (-linear * linear, ZERO, ONE))


@pattern(
    source="common practice",
    shows=(
        "factor | 6a + 24 | 6(a + 24)",
        "factor | 5x^2 - 25x + 15 | 5(x^2 - 25x + 15)",
        "factor | 6x^2 - 9x | 3x(2x - 9)",
        "factor | x^2 + 3x | x(x + 3x)",
    ),
    silent=(
        "factor | 6a + 24 | 6(a + 4)",
        "factor | 6x^2 - 9x | 3x(2x - 3)",
        "factor | 6a + 24 | a + 4",
    ),
)
@instead_of(take_out_common_factor)
def factor_taken_from_one_term(whole: Polynomial) -> Choices:
    """Divides the first term by the common factor and leaves the others undivided, or in part."""
    outside, rest = take_out_common_factor(whole)
    ((letters, number),) = outside.terms.items()
    first = Polynomial(dict(rest.ordered()[:1]))
    kept = {Polynomial({letters: ONE}), Polynomial.constant(number), outside}
    return Choices(
        (outside, first + (rest - first) * one)
        for one in sorted(kept, key=repr)
        if one not in (Polynomial.constant(1), Polynomial.constant(-1))
    )


@pattern(
    source="OpenStax Elementary Algebra 2e, 7.1 (caution, in grouping)",
    shows=(
        "factor | -2x - 6 | -2(x - 3)",
        "factor | -5x^2 + 10x | -5x(x + 2)",
    ),
    silent=(
        "factor | -2x - 6 | -2(x + 3)",
        "factor | 2x - 6 | 2(x + 3)",
    ),
)
@instead_of(take_out_common_factor)
def negative_factor_signs_kept(whole: Polynomial) -> tuple[Polynomial, Polynomial] | None:
    """Takes out a negative factor and changes the sign of the first term only."""
    outside, rest = take_out_common_factor(whole)
    if next(iter(outside.terms.values())).real_sign() > 0:
        return None
    first, *others = rest.ordered()
    return outside, Polynomial({first[0]: first[1], **{name: -one for name, one in others}})


def _is_difference(squares: Squares) -> bool:
    return squares.sign != squares.other


@pattern(
    source="from memory",
    shows=(
        "factor | x^2 - 100 | (x - 10)^2",
        "factor | 9x^2 - 25y^2 | (3x - 5y)^2",
    ),
    silent=(
        "factor | x^2 - 100 | (x - 10)(x + 10)",
        "factor | x^2 - 20x + 100 | (x - 10)^2",
    ),
)
@instead_of(factors_of_squares)
def difference_of_squares_as_square(squares: Squares) -> _Factors | None:
    """Factors a difference of squares as the square of the difference."""
    if not _is_difference(squares):
        return None
    one = squares.first - squares.second
    return one * squares.sign, one


@pattern(
    source="Schechter 2006 (kind of error); from memory",
    shows=(
        "factor | x^2 + 81 | (x + 9)^2",
        "factor | x^2 + 16 | (x + 4)(x - 4)",
    ),
    silent=(
        "factor | x^2 + 81 | prime",
        "factor | x^2 - 81 | (x + 9)^2",
    ),
)
@instead_of(factors_of_squares)
def sum_of_squares_factored(squares: Squares) -> Choices | None:
    """Factors a sum of squares, which has no real factors."""
    if _is_difference(squares):
        return None
    plus, minus = squares.first + squares.second, squares.first - squares.second
    return Choices((plus * squares.sign, other) for other in (plus, minus))


def _number_squared(single: Polynomial) -> Polynomial:
    ((monomial, value),) = single.terms.items()
    return Polynomial({monomial: value * value})


@pattern(
    source="Mathematics Educators question 1040",
    shows=(
        "factor | x^2 - 49 | (x - 49)(x + 49)",
        "factor | 4x^2 - 9 | (4x - 9)(4x + 9)",
    ),
    silent=(
        "factor | x^2 - 49 | (x - 7)(x + 7)",
        "factor | x^2 - 1 | (x - 1)(x + 1)",
    ),
)
@instead_of(factors_of_squares)
def square_left_in_difference_of_squares(squares: Squares) -> Choices | None:
    """Takes the letter's root but leaves the numbers squared in both brackets."""
    if not _is_difference(squares):
        return None
    first, second = squares.first, squares.second
    return Choices(
        ((one + two) * squares.sign, one - two)
        for one in {first, _number_squared(first)}
        for two in {second, _number_squared(second)}
        if (one, two) != (first, second)
    )


@square_left_in_difference_of_squares.also(
    factors_of_trinomial,
    shows=(
        "factor | 4x^2 + 12x + 9 | (4x + 9)^2",
        "factor | x^2 - 10x + 25 | (x - 25)^2",
        "factor | 9x^2 + 12x + 4 | (3x + 4)^2",
        "factor | 9x^2 - 12x + 4 | (9x - 2)^2",
    ),
    silent=("factor | 4x^2 + 12x + 9 | (2x + 3)^2", "factor | x^2 + 10x + 9 | (x + 9)^2"),
)
def _squares_left_in_bracket(trinomial: Trinomial) -> Choices | None:
    """Writes a number of a perfect square into the bracket without taking its root."""
    a, b, c, _, v = trinomial
    if b * b != 4 * a * c or v != Polynomial.constant(1):
        return None
    (p, q), *_ = _pairs(trinomial)
    last = c if b.real_sign() > 0 else -c
    brackets = dict.fromkeys((Linear(a, last), Linear(p, last), Linear(a, q)))
    # A third factor, so that none makes up for a.
    return Choices((one, one, Linear(ZERO, ONE)) for one in brackets if one != (p, q))


@pattern(
    source="a teacher's page on one lesson (a root taken as half); common practice",
    shows=(
        "factor | x^2 - 16 | (x - 8)(x + 8)",
        "factor | y^2 - 100 | (y + 50)(y - 50)",
    ),
    silent=(
        "factor | x^2 - 16 | (x - 4)(x + 4)",
        "factor | x^2 - 16 | (x - 16)(x + 16)",
    ),
)
@instead_of(factors_of_squares)
def halved_in_difference_of_squares(squares: Squares) -> _Factors | None:
    """Halves the number in a difference of squares instead of taking its root."""
    if not _is_difference(squares) or not squares.second.is_constant:
        return None
    half = squares.second * squares.second * (Surd.of(1) / 2)
    return (squares.first + half) * squares.sign, squares.first - half


@pattern(
    source="OpenStax Elementary Algebra 2e, 7.4 (caution)",
    shows=(
        "factor | 64 - x^2 | (x - 8)(x + 8)",
        "factor | 9 - 4y^2 | (2y - 3)(2y + 3)",
    ),
    silent=(
        "factor | 64 - x^2 | (8 - x)(8 + x)",
        "factor | x^2 - 64 | (x - 8)(x + 8)",
    ),
)
@instead_of(factors_of_squares)
def difference_of_squares_turned_round(squares: Squares) -> _Factors | None:
    """Turns a difference of squares round before it is factored."""
    if not _is_difference(squares) or squares.sign > 0:
        return None
    return squares.first + squares.second, squares.first - squares.second
