"""What a set of faults weighs before the class is known, and what chance weighs beside it.

`SINGLE`, `PAIR`, `GENERAL`, `UNEXPLAINED` and `UNEXPLAINED_SMALL_INTEGERS` are fitted so that a
printed share comes true as often as it says: `python -m tests.calibration.shares` measures it.
The others are set by hand, so that little is concluded where many answers come up by chance.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from functools import cache
from typing import Final

from pipeline.exact.numbers import Surd
from pipeline.patterns.catalogue import catalogue, pattern_of
from pipeline.procedures.walk import Faults
from pipeline.reading.problems import Problem
from pipeline.tasks.catalogue import TASKS

SINGLE: Final = 1.0
PAIR: Final = 1 / 22
GENERAL: Final = 1 / 34
GUESSED: Final = 1 / 800
"""Weight of a guess, which comes out as so many answers that chance meets each as often."""
UNEXPLAINED: Final = 1 / 70
UNEXPLAINED_SMALL_INTEGERS: Final = 1 / 28
"""Whole numbers of at most two digits come up by chance, so that less can be concluded."""
UNEXPLAINED_LONE_BOUNDARY: Final = 1.0
"""A domain with one boundary, a small whole number: a dozen of some eighty such are predicted."""
CROWDED: Final = 1.0
"""A small whole number of a problem that several such numbers are predicted for."""
GUESSES: Final = frozenset({"fraction-reduced-by-guess"})
_GUESSES_IN_STORIES: Final = GUESSES | {
    "factor-pair-misses-sum",
    "root-of-discriminant-given-as-solution",
}
"""One number is kept of each wrong pair of factors: any divisor nearly."""
_GUESSES_WHERE_MANY: Final = frozenset({"one-part-reduced"})
_MANY: Final = 4
"""Lone wrong answers of one of these patterns above which it counts as a guess."""
OTHER_METHOD: Final = 1 / 10
"""Weight of a path through another procedure than the one that the course taught."""
_SMALL: Final = 9
_SMALL_IN_STORIES: Final = 20
"""About a score of small whole numbers come to mind first; in stories none with a minus."""
CROWD: Final = 2
"""Small whole numbers led to by single faults from which on chance meets one in ten times."""


def weight_of(faults: Faults) -> float:
    """Return the prior weight of a set of faults, before the class and the method are known."""
    if len(faults) > 1:
        return PAIR
    return GENERAL if pattern_of(faults[0].id).general else SINGLE


def catalogue_order(faults: Iterable[str]) -> tuple[int, ...]:
    """Return a key that sorts sets of faults as the catalogue stands, a course's own last."""
    places = _places()
    return tuple(places.get(one, len(places)) for one in faults)


@cache
def _places() -> dict[str, int]:
    return {declared.id: index for index, declared in enumerate(catalogue())}


def guesses_of(problem: Problem, alone: Iterable[str]) -> frozenset[str]:
    """Return the patterns that lead to so many answers of a problem that each says little.

    Args:
        problem: the problem.
        alone: the pattern of every wrong answer that one fault leads to.
    """
    known = GUESSES if problem.keep is None else _GUESSES_IN_STORIES
    found = list(alone)
    return known | {one for one in _GUESSES_WHERE_MANY if found.count(one) > _MANY}


def largest_by_chance(problem: Problem) -> int:
    """Return the largest whole number that is often typed by chance; 0 where size alone counts."""
    if problem.keep is not None:
        return _SMALL_IN_STORIES
    task = TASKS.get(problem.task)
    return 0 if task and task.chance_by_size else _SMALL


def is_small_whole(ending: Hashable, largest: int) -> bool:
    """Whether an ending is one whole number of at most this size."""
    if isinstance(ending, frozenset) and len(ending) == 1:
        (ending,) = ending
    return isinstance(ending, Surd) and ending.is_integer and abs(ending.as_fraction()) <= largest


def is_specific(faults: frozenset[str]) -> bool:
    """Whether a set of faults is one alone, and no general slip."""
    return len(faults) == 1 and not any(pattern_of(one).general for one in faults)
