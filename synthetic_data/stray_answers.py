"""Answers that follow no wrong rule: slips, guesses, half-typed texts, numbers rounded too far."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from synthetic_data.problems import Problem
from synthetic_data.surds import Surd
from synthetic_data.values import (
    Factors,
    Number,
    Point,
    Polynomial,
    Power,
    Roots,
    Typed,
    Value,
    polynomial,
    roots,
    same,
    single,
)

DONT_KNOW = ("idk", "I don't know", "?", "don't know", "IDK")
UNREADABLE = ("see my paper", "x = ((3", "3 +* 5", "sqrt(", "picture below")
_ODD_PRIMES = (37, 41, 43, 47, 53, 59, 61, 67, 71, 73, 79, 83)


def _unplanted(problem: Problem, values: Iterator[Value]) -> tuple[Value, ...]:
    """Values that are neither right nor what some wrong rule of this problem leads to."""
    taken = [problem.right, *(one for found in problem.wrong.values() for one in found)]
    return tuple(value for value in values if not any(same(value, one) for one in taken))


def guesses(problem: Problem) -> tuple[Value, ...]:
    """Answers outside the catalogue, of the kind that the question asks for."""
    if problem.options:
        return _unplanted(problem, (Typed((text,)) for text in problem.options))
    start = sum(map(ord, problem.text)) % 5
    made = (_guess(problem.right, p, q) for p, q in pairwise(_ODD_PRIMES[start : start + 7]))
    return _unplanted(problem, made)


def _guess(right: Value, p: int, q: int) -> Value:
    match right:
        case Roots(members):
            return roots(p, -q) if len(members) > 1 else roots(Fraction(p, q))
        case Number():
            return single(Fraction(p, q) if p % 4 == 1 else p)
        case Polynomial(terms):
            return polynomial({terms[0][0]: p, 1: -q, 0: p * q})
        case Factors(constant):
            return Factors(constant, ((1, p), (1, -q)))
        case Power(coefficient):
            return Power(coefficient * p, Fraction(q))
        case Point():
            return Point(Fraction(p), Fraction(-q))
        case Typed():
            return Typed((str(p),))


def slips(problem: Problem) -> tuple[Value, ...]:
    """The right answer with one sign lost, or one number off by one; guesses where none is left."""
    return _unplanted(problem, _slipped(problem.right)) or guesses(problem)


def _slipped(right: Value) -> Iterator[Value]:
    match right:
        case Roots((first, *rest)):
            yield Roots((Surd(-first.whole, -first.part, first.radicand), *rest))
            yield Roots((replace(first, whole=first.whole + 1), *rest))
            yield Roots((replace(first, whole=first.whole - 1), *rest))
        case Number(value):
            yield Number(Surd(-value.whole, -value.part, value.radicand))
            yield Number(replace(value, whole=value.whole + 1))
        case Polynomial(terms):
            power, factor = terms[-1]
            yield Polynomial((*terms[:-1], (power, factor + 1)))
            yield Polynomial((*terms[:-1], (power, -factor)))
        case Factors(constant, ((p, q), *rest)):
            yield Factors(constant, ((p, q + 1), *rest))
        case Power(coefficient, exponent):
            yield Power(coefficient, exponent + 1)
        case Point(x, y):
            yield Point(x, -y)
            yield Point(x, y + 1)
        case _:
            return


def coarse_spellings(problem: Problem) -> tuple[str, ...]:
    """The right answer with one decimal; none where that would be exact or is not asked for."""
    match problem.right:
        case Number(value):
            members: tuple[Surd, ...] = (value,)
        case Roots(found):
            members = found
        case _:
            return ()
    if any(one.is_rational or not one.is_real for one in members):
        return ()
    return (", ".join(f"{one.decimal():.1f}" for one in members),)
