"""What is tried in place of a step's result: small formulas and small trees, the shortest first.

Each formula is made of two earlier ones, so that the values of all are worked out in one pass.
Two that are equal whatever the numbers are one: they are compared at random numbers modulo a
prime (Schwartz 1980, Journal of the ACM 27; from memory).

What a rule of one place of an expression, learnt from two answers by anti-unification, would say
(Plotkin 1970, Machine Intelligence 5; from memory) is met from the other side: the shape of a
place has a letter for each of its parts, and every small tree in these letters is written instead.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from functools import cache, lru_cache
from inspect import signature
from itertools import chain, permutations, product
from operator import add, mul, sub, truediv
from typing import Any, Final, NamedTuple

from pipeline.errors import BudgetExceeded
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import (
    Letter,
    Negation,
    Node,
    Power,
    Product,
    Quotient,
    Root,
    Sum,
    children,
    letters,
    nodes,
    with_children,
)
from pipeline.procedures.rewriting.operations import OPERATIONS
from pipeline.procedures.rewriting.other_rules import typed
from pipeline.procedures.rewriting.terms import IMAGINARY, difference, number, sum_of

CONSTANTS: Final = (1, 2)
_COEFFICIENT: Final = re.compile(r"(?<![\w^.])(\d+)([a-z]+)")
_PRIME: Final = (1 << 61) - 1
_POINTS: Final = 2
_ROOT, _IMAGINARY = 65537, _PRIME // 5
"""An exponent that tells all numbers apart, since it has no factor of the prime less one; i."""
MOST_FOR_TWO: Final = 5
"""Numbers that stand at a step up to which two operations are tried on them."""
MOST_FOR_ROOTS: Final = 3
"""Parts of a place up to which roots of each are tried."""
MOST_EXPONENT: Final = 12
"""Exponent up to which a number is raised to another one."""


class Formula(NamedTuple):
    """A number that stands there, a constant, or an operation on two earlier formulas.

    Args:
        sign: `+ - * /`, `root`, `negative`, `n` for a number, `c` for a constant.
        first, second: places of the formulas that it is made of; of a number or constant itself.
        symbols: how many signs, numbers and constants it takes to write it.
        text: the formula in the letters of the numbers.
    """

    sign: str
    first: int
    second: int
    symbols: int
    text: str


class _Growing:
    """Formulas found so far, with their values at random numbers."""

    def __init__(self, letters: str, constants: Sequence[int] = CONSTANTS) -> None:
        draw = random.Random(letters)  # noqa: S311 - the same formulas on every machine
        self.found: list[Formula] = []
        self.points: list[tuple[int, ...]] = []
        self.seen: set[tuple[int, ...]] = {(0,) * _POINTS}
        for at, letter in enumerate(letters):
            values = tuple(draw.randrange(_PRIME) for _ in range(_POINTS))
            self.add(Formula("n", at, at, 1, letter), values)
        for one in constants:
            self.add(Formula("c", one, one, 1, str(one)), (one,) * _POINTS)
        for at, letter in enumerate(letters):
            values = tuple(_PRIME - one for one in self.points[at])
            self.add(Formula("negative", at, at, 2, f"-{letter}"), values)

    def add(self, formula: Formula, values: tuple[int, ...]) -> None:
        if values not in self.seen:
            self.seen.add(values)
            self.found.append(formula)
            self.points.append(values)

    def join(self, first: int, second: int, signs: str) -> None:
        for sign in signs:
            values = tuple(map(_MODULAR[sign], self.points[first], self.points[second]))
            if values not in self.seen:
                self.add(_joined(sign, first, second, self.found), values)

    def roots(self, places: Sequence[int]) -> None:
        for at in places:
            values = tuple(map(_MODULAR["^"], self.points[at], (_ROOT,) * _POINTS))
            inside = self.found[at]
            self.add(Formula("root", at, at, inside.symbols + 1, f"sqrt({inside.text})"), values)


@cache
def constants_of(operation: Callable[..., Any]) -> tuple[int, ...]:
    """Return the constants that a step may be done with: its own sentence's, such as 4 of 4ac."""
    told = _COEFFICIENT.findall((operation.__doc__ or "").partition("\n")[0])
    own = [
        int(number) for number, letters in told if {*letters} <= {*signature(operation).parameters}
    ]
    return tuple(dict.fromkeys((*CONSTANTS, *own)))


@lru_cache(maxsize=128)
def language(letters: str, constants: Sequence[int] = CONSTANTS) -> tuple[Formula, ...]:
    """Return all small formulas in some numbers and the constants, no two of them equal.

    Args:
        letters: one for each number that stands there; they come first, then the constants.
        constants: those of the step, see `constants_of`.
    """
    grown = _Growing(letters, constants)
    leaves = len(grown.found)
    for _ in range(2 if len(letters) <= MOST_FOR_TWO else 1):
        known = len(grown.found)
        for first, second in product(range(known), repeat=2):
            if min(first, second) < leaves:
                grown.join(first, second, "+-*/")
    for first, second in permutations(range(len(letters)), 2):
        grown.join(first, second, "^")
    grown.roots(range(len(letters)))
    return tuple(grown.found)


@lru_cache(maxsize=128)
def _tree_language(letters: str, signs: str) -> tuple[Formula, ...]:
    """Return small formulas in the parts of an expression, each part in them once at most.

    Args:
        letters: one for each part.
        signs: the operations; `^` and the root `r` are taken for ones that have no laws. With `i`
            the imaginary unit is a number to be written.
    """
    parts = range(len(letters))
    grown, joining = _Growing(letters), signs.strip("ri")
    holds = _leaves(grown, parts, signs)
    leaves = len(grown.found)
    for first, second in list(product(holds, repeat=2)):
        if holds[first] | holds[second]:
            grown.join(first, second, joining)
    for at in range(leaves, len(grown.found)):
        holds[at] = holds[grown.found[at].first] | holds[grown.found[at].second]
    pairs = [at for at in holds if at >= leaves and len(holds[at]) == 2]
    wider: list[tuple[int, ...]] = (
        list(product(pairs, parts)) if len(letters) <= MOST_FOR_TWO else []
    )
    wider += list(product(pairs, repeat=2)) if len(letters) == BALANCED else []
    for first, second in wider:
        if not holds[first] & holds[second]:
            grown.join(first, second, joining)
            grown.join(second, first, joining)
    if "r" in signs:
        grown.roots(range(leaves, len(grown.found)))
    return tuple(grown.found)


def _leaves(grown: _Growing, parts: Sequence[int], signs: str) -> dict[int, set[int]]:
    """Add roots of parts and i to what formulas are made of; return the parts that each holds."""
    holds: dict[int, set[int]] = {
        at: {at} & {*parts} for at, one in enumerate(grown.found) if one.sign != "negative"
    }
    if "i" in signs:
        holds[len(grown.found)] = set()
        grown.add(Formula("i", 0, 0, 1, "i"), (_IMAGINARY,) * _POINTS)
    if "r" in signs and len(parts) <= MOST_FOR_ROOTS:
        holds |= {len(grown.found) + at: {at} for at in parts}
        grown.roots(parts)
    return holds


def _joined(sign: str, first: int, second: int, found: Sequence[Formula]) -> Formula:
    left, right = found[first], found[second]
    level = _LEVEL.get(sign, 0)
    before = _in_brackets(left, level)
    after = _in_brackets(right, level + (sign in "-/"), inside=True)
    text = f"{before} {sign} {after}" if level == 1 else f"{before}{sign}{after}"
    return Formula(sign, first, second, left.symbols + right.symbols + 1, text)


def _in_brackets(formula: Formula, level: int, *, inside: bool = False) -> str:
    low = (_LEVEL.get(formula.sign, 5) - (formula.sign == "^")) < level or (
        inside and formula.sign == "negative"
    )
    return f"({formula.text})" if low else formula.text


_LEVEL: Final = {"+": 1, "-": 1, "*": 2, "/": 2, "negative": 1, "^": 4}


_MODULAR: Final = {
    "+": lambda a, b: (a + b) % _PRIME,
    "-": lambda a, b: (a - b) % _PRIME,
    "*": lambda a, b: a * b % _PRIME,
    "/": lambda a, b: a * pow(b, -1, _PRIME) % _PRIME if b else 0,
    "^": lambda a, b: pow(a + 1, b, _PRIME),
}


BALANCED: Final = 4
"""Parts of a place that are tried two and two."""


def _tree_of(formulas: Sequence[Formula], at: int, letters: str) -> Node:
    """Return a formula as a tree in the letters."""
    sign, first, second, _, _ = formulas[at]
    match sign:
        case "n":
            return Letter(letters[first])
        case "c":
            return number(first)
        case "negative":
            return Negation(Letter(letters[first]))
        case "i":
            return IMAGINARY
        case "root":
            return Root(_tree_of(formulas, first, letters))
    return _NODES[sign](_tree_of(formulas, first, letters), _tree_of(formulas, second, letters))


_NODES: Final[Mapping[str, Callable[[Node, Node], Node]]] = {
    "+": sum_of,
    "-": difference,
    "*": lambda first, second: Product((first, second)),
    "/": Quotient,
    "^": Power,
}


def values_of(formulas: Sequence[Formula], numbers: Sequence[Surd]) -> list[Surd | None]:
    """Work out all formulas for the numbers that stand there; None where there is no value."""
    found: list[Surd | None] = []
    for sign, first, second, _, _ in formulas:
        found.append(
            numbers[first]
            if sign == "n"
            else Surd.of(first)
            if sign == "c"
            else _worked(sign, found[first], found[second])
        )
    return found


def _worked(sign: str, first: Surd | None, second: Surd | None) -> Surd | None:
    if first is None or second is None or (sign == "/" and not second):
        return None
    with suppress(BudgetExceeded):
        return _EXACT[sign](first, second)
    return None


def _power(base: Surd, exponent: Surd) -> Surd | None:
    if not exponent.is_integer or not base:
        return None
    power = int(exponent.as_fraction())
    return base**power if abs(power) <= MOST_EXPONENT else None


_EXACT: Final[Mapping[str, Callable[[Surd, Surd], Surd | None]]] = {
    "+": add,
    "-": sub,
    "*": mul,
    "/": truediv,
    "^": _power,
    "negative": lambda first, _: -first,
    "root": lambda first, _: Surd.root_of(first),
}


@lru_cache(maxsize=512)
def written_instead(shape: Node) -> tuple[tuple[Node, str], ...]:
    """Return what may be written in place of a shape, as trees in its letters and as typed."""
    names = "".join(sorted(letters(shape)))
    inside = {type(one) for one in nodes(shape)}
    signs = "+-*" + "/" * (Quotient in inside) + "^" * (Power in inside) + "r" * (Root in inside)
    signs += "i" * ({Root, Negation} <= inside)
    formulas = _tree_language(names, signs)
    small = (_tree_of(formulas, at, names) for at in range(len(formulas)))
    worked = (one for whole in _worked_out(shape) for one in _faulty(whole))
    found = dict.fromkeys(chain(small, _faulty(shape), worked))
    found.pop(shape, None)
    return tuple((tree, typed(tree)) for tree in found)


def _worked_out(shape: Node) -> Iterator[Node]:
    """Write a square of a sum, or a product of two, as the sum that it is."""
    match shape:
        case Power(Sum((first, second)), exponent):
            twice = Product((number(2), first, second))
            yield Sum((Power(first, exponent), twice, Power(second, exponent)))
        case Product((Sum(left), Sum(right))):
            yield Sum(tuple(Product(pair) for pair in product(left, right)))


def _faulty(shape: Node) -> Iterator[Node]:
    """Do one thing wrong in a shape or in one of its parts."""
    parts = children(shape)
    if isinstance(shape, Sum | Product) and len(parts) > 2:
        for at in range(len(parts)):
            yield with_children(shape, (*parts[:at], *parts[at + 1 :]))
    for at, part in enumerate(parts):
        turned = part.argument if isinstance(part, Negation) else Negation(part)
        for other in (turned, *_faulty(part)):
            yield with_children(shape, (*parts[:at], other, *parts[at + 1 :]))
        if type(part) in OPERATIONS:
            yield from _spread(shape, at)


def _spread(shape: Node, at: int) -> Iterator[Node]:
    """Do the outer operation to the parts of an inner one: to all, one alone, all but one.

    A power is taken for a product as well, in one of the parts or in all.
    """
    parts = children(shape)
    inner, inside = parts[at], children(parts[at])
    done = [with_children(shape, (*parts[:at], one, *parts[at + 1 :])) for one in inside]
    yield with_children(inner, done)
    if isinstance(shape, Power) and at == 0:
        times = tuple(Product((one, shape.exponent)) for one in inside)
        yield with_children(inner, times)
        for place in range(len(times)):
            yield with_children(inner, (*done[:place], times[place], *done[place + 1 :]))
    for place, one in enumerate(inside):
        yield with_children(inner, (*done[:place], one, *done[place + 1 :]))
        yield with_children(inner, (*inside[:place], done[place], *inside[place + 1 :]))
