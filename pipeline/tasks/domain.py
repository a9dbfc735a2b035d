"""Domains of functions: where denominators, radicands and arguments of logarithms allow it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final, Literal, NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.coefficients import Coefficients, real_roots
from pipeline.exact.numbers import Surd
from pipeline.exact.regions import WHOLE_LINE, compare
from pipeline.exact.trees import Call, Node, Power, Quotient, Root, children, letters
from pipeline.exact.values import Interval, Region, Roots
from pipeline.procedures.equations import coefficients
from pipeline.procedures.inequalities import (
    all_but,
    region_where,
    report_region,
)
from pipeline.procedures.rewriting.terms import rational, whole
from pipeline.procedures.shapes_of_inequalities import combine
from pipeline.procedures.walk import Place, Plan, Walk
from pipeline.reading.problems import Problem
from pipeline.reading.records import ReadAnswer, Reading
from pipeline.tasks.task import Asked, Task

Kind = Literal["nonzero", "nonnegative", "positive"]


class Condition(NamedTuple):
    """What a polynomial in the letter must be."""

    kind: Kind
    inside: Coefficients


class Conditions(NamedTuple):
    """The conditions of a domain, and the numerator where it has the letter in it, else ()."""

    conditions: tuple[Condition, ...]
    above: Coefficients


def boundary(condition: Condition) -> Region:
    """Return where one condition holds."""
    if condition.kind == "nonzero":
        return all_but(real_roots(condition.inside))
    sign = ">" if condition.kind == "positive" else ">="
    return region_where(condition.inside, (Surd.of(1),), sign)


def choose_conditions(
    conditions: tuple[Condition, ...], above: Coefficients
) -> tuple[Condition, ...]:
    """Look where denominators, radicands and arguments of logarithms stand."""
    return conditions


def find_domain(step: Walk, start: Conditions) -> object:
    """Find where each condition holds, and where all of them do."""
    conditions = start.conditions
    if start.above:
        conditions = step.do(choose_conditions, Place.DOMAIN, conditions, start.above)
    parts = [step.do(boundary, Place.DOMAIN, one) for one in conditions]
    ends: frozenset[Surd] = frozenset().union(*(real_roots(one.inside) for one in conditions))
    return step.do(report_region, Place.DOMAIN, combine((WHOLE_LINE, *parts), either=False), ends)


def _plans(problem: Problem) -> list[Plan]:
    """Read an expression, or `f(x) = expression`.

    Raises:
        CannotBeWorked: a condition is about something else than a polynomial in one letter.
    """
    body = problem.relations[0].sides[-1] if problem.relations else problem.tree
    names = letters(body)
    if len(names) != 1:
        raise CannotBeWorked("a domain is asked for an expression in one letter")
    (letter,) = names
    conditions = tuple(dict.fromkeys(_conditions(body, letter)))
    return [Plan("domain", find_domain, Conditions(conditions, _numerator(body, letter)))]


def _numerator(body: Node, letter: str) -> Coefficients:
    if not isinstance(body, Quotient) or letter not in letters(body.denominator):
        return ()
    found = coefficients(body.numerator, letter) or ()
    return found if len(found) > 1 else ()


def _conditions(node: Node, letter: str) -> Iterator[Condition]:
    match node:
        case Quotient(above, below) if letter in letters(below):
            yield from _conditions(above, letter)
            if isinstance(below, Root) and _is_even(below.index):
                yield Condition("positive", _inside(below.radicand, letter))
                return
            yield Condition("nonzero", _inside(below, letter))
            return
        case Root(radicand, index) if _is_even(index) and letter in letters(radicand):
            yield Condition("nonnegative", _inside(radicand, letter))
            return
        case Call(name, (argument,), _) if name in ("log", "ln"):
            yield Condition("positive", _inside(argument, letter))
            return
        case Power(base, exponent) if letter in letters(base) and not letters(exponent):
            yield from _of_power(base, exponent, letter)
    for part in children(node):
        yield from _conditions(part, letter)


def _of_power(base: Node, exponent: Node, letter: str) -> Iterator[Condition]:
    value = rational(exponent)
    if value is None:
        raise CannotBeWorked("an exponent that is no fraction")
    if value.denominator % 2 == 0:
        yield Condition("positive" if value < 0 else "nonnegative", _inside(base, letter))
    elif value < 0:
        yield Condition("nonzero", _inside(base, letter))


def _is_even(index: Node) -> bool:
    found = whole(index)
    return found is not None and found % 2 == 0


def _inside(node: Node, letter: str) -> Coefficients:
    found = coefficients(node, letter)
    if not found:
        raise CannotBeWorked("a condition about something else than a polynomial")
    return found


def with_interval(read: ReadAnswer, _: Asked) -> ReadAnswer:
    """Take two numbers in square brackets for an interval where a region is asked for."""
    first = read.readings[0].value if read.readings else None
    if not isinstance(first, Roots) or len(first.members) != 2 or read.raw.lstrip()[:1] != "[":
        return read
    low, high = first.members
    ends = low.surd, high.surd
    if None in ends or not all(one.is_real for one in ends if one) or compare(low, high) >= 0:
        return read
    interval = Reading(Region((Interval(low, high, False, False),)))
    return replace(read, readings=(interval, *read.readings))


DOMAIN: Final = Task(
    "domain",
    "the domain",
    "an expression in one letter",
    "sqrt(2x - 6)",
    "x >= 3",
    _plans,
    meant=with_interval,
    beside=("interval",),
    lines_of="solve",
    of_region=True,
)
