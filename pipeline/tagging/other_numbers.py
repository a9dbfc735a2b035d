"""The same question with other small numbers, whose right answer looks alike."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from typing import Final

from pipeline.errors import UnreadableProblem
from pipeline.exact.numbers import Surd
from pipeline.procedures.endings import ending_keys
from pipeline.records import Numbers
from pipeline.tasks.catalogue import TASKS, read_problem, solved

TRIES: Final = 60
"""Texts that are drawn for one question; each takes about a millisecond to read and to solve."""
SMALL: Final = 12
LARGEST: Final = 200
WHOLE, FRACTION, ROOT, NOT_REAL = range(4)
"""Kinds of numbers in a right answer, the easiest first."""

_NUMBER: Final = re.compile(r"\^\s*(?:\{[^}]*\}|\([^)]*\)|-?\w+)|\[\d+\]|\d+\.\d+|\d+")
_WORD: Final = re.compile(r"(?<![A-Za-z])[A-Za-z]{2,}")
_MATHEMATICAL: Final = frozenset({"sqrt", "cbrt", "frac", "cdot", "times", "left", "right", "or"})
"""Words beside which every number is a part of the formula, and none of a story."""


def with_other_numbers(
    task: str, problem: str, numbers: Numbers = "real", *, harder: bool = False
) -> Iterator[str]:
    """Yield questions that differ from one in their numbers alone, always the same ones.

    Equal numbers stay equal, and exponents, 0 and 1 stay as they are, so that a difference of
    squares stays one. The right answer is built like that of the question, of no harder numbers:
    whole ones stay whole.

    Args:
        task: a task of the catalogue.
        problem: the question in typed notation; nothing is yielded for one that is told in words.
        numbers: real or complex.
        harder: yield instead those whose right answer has roots or fractions more.
    """
    words = {word.lower() for word in _WORD.findall(problem)}
    known = TASKS.get(task)
    if known is None or not known.of_any_numbers or not words <= _MATHEMATICAL:
        return
    shape = _shape(task, problem, numbers)
    found = [text for text in map(str, _NUMBER.findall(problem)) if text.isdecimal()]
    distinct = [text for text in dict.fromkeys(found) if int(text) > 1]
    if shape is None or not distinct:
        return
    draw = random.Random(f"{task} {problem}")  # noqa: S311 - the same draws on every machine
    seen = {problem}
    for _ in range(TRIES):
        chosen = {text: str(draw.randint(2, _most(int(text)))) for text in distinct}
        varied = _NUMBER.sub(lambda one: chosen.get(one.group(), one.group()), problem)  # noqa: B023
        if varied in seen or len(set(chosen.values())) < len(chosen):
            continue
        seen.add(varied)
        other = _shape(task, varied, numbers)
        if other is None or other[0] != shape[0]:
            continue
        is_harder = shape[1] < other[1] < NOT_REAL
        if is_harder if harder else other[1] <= shape[1] < NOT_REAL or other == shape:
            yield varied


def _most(number: int) -> int:
    return SMALL if number <= SMALL else min(2 * number, LARGEST)


def _shape(task: str, problem: str, numbers: Numbers) -> tuple[tuple[str, ...], int] | None:
    """How the right answer is built, and the hardest kind of number in it; None without one.

    Of numbers and points their count is kept, of other answers all but the numbers.
    """
    try:
        endings = solved(read_problem(problem, task), numbers).endings
    except UnreadableProblem:
        return None
    built, hardest = [], 0
    for ending in endings:
        if isinstance(ending, frozenset | tuple):
            built.append(f"{type(ending).__name__} of {len(ending)}")
            hardest = max(hardest, *map(_hardness, ending))
        else:
            built += [re.sub(r"\d+", "n", key) for key in ending_keys(ending)]
    return (tuple(sorted(built)), hardest) if built else None


def _hardness(number: Surd) -> int:
    if not number.is_real:
        return NOT_REAL
    if not number.is_rational:
        return ROOT
    return WHOLE if number.as_fraction().denominator == 1 else FRACTION
