"""General slips, which fit any step: they come last, weigh little, and explain alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any, get_args

from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import Polynomial
from pipeline.exact.trees import Node, Numeral, Product, Sum, children, with_children
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.equations import Equation, Linear
from pipeline.procedures.rewriting.terms import (
    negative,
    number,
    product_of,
    signed,
    split_coefficient,
    terms_of,
    value_of,
)
from pipeline.procedures.walk import Choices, any_result, copied

_SOURCE = "Payne and Squibb 1990 (related: slips and mistakes); common practice"


def _changed(result: Any, change: Callable[[Surd], tuple[Surd, ...]]) -> Choices:
    """Change a number, or one number of a solution set."""
    if isinstance(result, Surd):
        return Choices(change(result))
    members = result if isinstance(result, frozenset) else ()
    return Choices((result - {one}) | {other} for one in members for other in change(one))


@pattern(
    source=_SOURCE,
    general=True,
    shows=(
        "solve | x^2 - 5x + 6 = 0 | 2, -3",
        "solve | 4x = 12 | -3",
    ),
    silent=(
        "solve | 4x = 12 | 3",
        "solve | 4x = 12 | 31",
    ),
)
@instead_of(any_result)
def slip_sign(result: Any) -> Choices:
    """Loses or gains a minus sign in one step."""
    return _changed(result, lambda one: (-one,))


_NODES = get_args(Node)
_MOST_TERMS = 8


def _is_node(found: Any) -> bool:
    return isinstance(found, _NODES)


def _with_term(terms: tuple[Node, ...], place: int, term: Node) -> Node:
    changed = (*terms[:place], term, *terms[place + 1 :])
    return changed[0] if len(changed) == 1 else Sum(changed)


_UNIT = Polynomial.constant(1)


def _is_pairs(result: Any) -> bool:
    return isinstance(result, tuple) and bool(result) and isinstance(result[0], Linear)


def _pairs_changed(
    pairs: tuple[Linear, ...], change: Callable[[Surd], tuple[Surd, ...]]
) -> Choices:
    return Choices(
        (*pairs[:place], one._replace(q=other), *pairs[place + 1 :])
        for place, one in enumerate(pairs)
        for other in change(one.q)
    )


@slip_sign.also(
    any_result,
    shows=(
        "expand | (x + 2)(x - 5) | x^2 - 3x + 10",
        "factor | x^2 - 5x + 6 | (x - 3)(x + 2)",
        "factor | 4x^3 - 12x^2 | 4x^2(x + 3)",
    ),
    silent=("expand | (x + 2)(x - 5) | x^2 - 3x - 10", "expand | (x + 2)(x - 5) | x^2 - 4x - 10"),
)
def _sign_of_term(result: Any) -> Choices | None:
    if _is_pairs(result):
        return _pairs_changed(result, lambda one: (-one,))
    match result:
        case (Polynomial() as outside, Polynomial() as rest) if outside != _UNIT:
            _, *others = rest.ordered()
            return Choices((outside, rest - Polynomial({term: 2 * n})) for term, n in others)
    if not _is_node(result):
        return None
    terms = terms_of(result)
    if len(terms) > _MOST_TERMS:
        return None
    return Choices(_with_term(terms, place, negative(term)) for place, term in enumerate(terms))


def _from_factors(equation: Equation, first: Linear, second: Linear) -> Equation:
    whole = (first.p * second.p, first.p * second.q + first.q * second.p, first.q * second.q)
    left = tuple(equation.scale * number for number in whole)
    return Equation((left[0], left[1], left[2]), equation.right, equation.scale, (first, second))


def _opposite(number: Surd) -> tuple[Surd, ...]:
    return (-number,) if number else ()


def _turned_round(number: Surd) -> tuple[Surd, ...]:
    """The number with its digits in the opposite order, where that makes another one."""
    size = int(abs(number.as_fraction())) if number.is_integer else 0
    return (Surd.of(int(str(size)[::-1])) * (number / size),) if size > 10 and size % 10 else ()


def _miscopies(
    equation: Equation, change: Callable[[Surd], tuple[Surd, ...]]
) -> Iterator[Equation]:
    """Yield every equation that differs in one number."""
    if equation.factors:
        first, second = equation.factors
        for q in change(first.q):
            yield _from_factors(equation, first._replace(q=q), second)
        for q in change(second.q):
            yield _from_factors(equation, first, second._replace(q=q))
        return
    six = (*equation.left, *equation.right)
    changed = (
        (*six[:place], wrong, *six[place + 1 :])
        for place, one in enumerate(six)
        for wrong in change(one)
    )
    yield from (Equation((a, b, c), (d, e, f)) for a, b, c, d, e, f in changed)


def _miscopied_trees(node: Node, changed: Callable[[Node], Iterable[Node]]) -> Iterator[Node]:
    """Yield every tree that differs in one part."""
    yield from changed(node)
    parts = children(node)
    for place, part in enumerate(parts):
        for other in _miscopied_trees(part, changed):
            yield with_children(node, (*parts[:place], other, *parts[place + 1 :]))


def _with_sign_lost(node: Node) -> Iterator[Node]:
    terms = node.terms if isinstance(node, Sum) else ()
    return (_with_term(terms, place, negative(term)) for place, term in enumerate(terms))


def _with_digits_turned(node: Node) -> Iterator[Node]:
    if isinstance(node, Numeral) and node.places is None:
        yield from (Numeral(one.as_fraction()) for one in _turned_round(Surd.of(node.value)))


@slip_sign.also(
    copied,
    shows=("solve | x^2 - 5x + 6 = 0 | 6, -1", "expand | (2x - 3)^2 | 4x^2 + 12x + 9"),
    silent=("solve | x^2 - 5x + 6 = 0 | 2, 3", "expand | (2x - 3)^2 | 4x^2 - 12x + 9"),
)
def _sign_miscopied(question: Any) -> Choices | None:
    if isinstance(question, Equation):
        return Choices(_miscopies(question, _opposite))
    return Choices(_miscopied_trees(question, _with_sign_lost)) if _is_node(question) else None


@pattern(
    source=_SOURCE,
    general=True,
    shows=(
        "solve | 3x = 21 | 4",
        "expand | 3(x - 12) | 3x - 63",
        "simplify | x^4 * x^13 | x^35",
    ),
    silent=(
        "solve | x^2 - 5x + 6 = 0 | 6, -1",
        "solve | x^2 - 5x + 6 = 0 | 17, 40",
        "expand | 3(x - 12) | 3x - 36",
        "expand | 3(x - 12) | 3x - 48",
    ),
)
@instead_of(copied)
def slip_copied(question: Any) -> Choices | None:
    """Copies one number of the question with its digits in another order."""
    if isinstance(question, Equation):
        return Choices(_miscopies(question, _turned_round))
    return Choices(_miscopied_trees(question, _with_digits_turned)) if _is_node(question) else None


def shifted(number: Surd, by: int) -> tuple[Surd, ...]:
    """Return a number shifted up and down; 5 for -5 is a slip of the sign, not one by ten."""
    return tuple(other for other in (number + by, number - by) if other != -number)


@pattern(
    source=_SOURCE,
    general=True,
    shows=(
        "solve | x^2 - 5x + 6 = 0 | 2, 4",
        "solve | 4x = 12 | 4",
    ),
    silent=(
        "solve | 4x = 12 | 3",
        "solve | 4x = 12 | 31",
    ),
)
@instead_of(any_result)
def slip_by_one(result: Any) -> Choices:
    """Misses a whole number by one in one step."""
    return _changed(result, lambda one: shifted(one, 1))


def _term_shifted(term: Node, step: int) -> Node | None:
    value = value_of(term)
    if value is not None:
        return number(value + step)
    sign, body = signed(term)
    split = split_coefficient(body)
    if split is not None:
        coefficient = value_of(split[0])
        # A term that vanishes is no slip in its number.
        if coefficient is None or coefficient * sign == -step:
            return None
        return product_of(number(coefficient * sign + step), split[1])
    if sign == -step or isinstance(body, Product | Sum):
        return None
    return product_of(number(sign + step), body)


def _shifted(result: Any, by: int) -> Choices | None:
    """Change one number of a result by `by`, up or down: a term, a coefficient, a constant."""
    if _is_pairs(result):
        return _pairs_changed(result, lambda one: shifted(one, by))
    if not _is_node(result):
        return None
    terms = terms_of(result)
    if len(terms) > _MOST_TERMS:
        return None
    return Choices(
        _with_term(terms, place, changed)
        for place, term in enumerate(terms)
        for step in (by, -by)
        for changed in [_term_shifted(term, step)]
        if changed is not None
    )


@slip_by_one.also(
    any_result,
    shows=("evaluate | 5 + 3*4 | 18", "expand | (x + 2)(x - 5) | x^2 - 4x - 10"),
    silent=("evaluate | 5 + 3*4 | 17", "evaluate | 5 + 3*4 | 27"),
)
def _number_by_one(result: Any) -> Choices | None:
    return _shifted(result, 1)


@pattern(
    source=_SOURCE,
    general=True,
    shows=(
        "solve | x^2 - 5x + 6 = 0 | 2, 13",
        "solve | 4x = 92 | 13",
    ),
    silent=(
        "solve | 4x = 92 | 23",
        "solve | 4x = 92 | 32",
    ),
)
@instead_of(any_result)
def slip_by_ten(result: Any) -> Choices:
    """Misses a number by ten in one step."""
    return _changed(result, lambda one: shifted(one, 10))


@slip_by_ten.also(
    any_result,
    shows=("evaluate | 5 + 3*4 | 27", "expand | 6(2x + 7) | 12x + 52"),
    silent=("evaluate | 5 + 3*4 | 17", "evaluate | 5 + 3*4 | 18"),
)
def _number_by_ten(result: Any) -> Choices | None:
    return _shifted(result, 10)
