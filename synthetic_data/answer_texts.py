"""Every text that an answer to one problem can be, by its cause, ready to be drawn from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from synthetic_data.problems import Problem
from synthetic_data.stray_answers import (
    DONT_KNOW,
    UNREADABLE,
    coarse_spellings,
    guesses,
    slips,
)
from synthetic_data.typing_habits import Spelling, spellings
from synthetic_data.values import Value

RIGHT = "right"


@dataclass(frozen=True)
class Texts:
    """The spellings of all values that one cause can lead to.

    Args:
        habits: name of the typing habit of each text.
        texts: what is typed.
        cumulated: running sum of their chances, ends at 1.
    """

    habits: tuple[str, ...]
    texts: tuple[str, ...]
    cumulated: NDArray[np.float64]

    def draw(self, chance: float) -> tuple[str, str]:
        """The (habit, text) at this point of the unit interval."""
        place = int(np.searchsorted(self.cumulated, chance, side="right"))
        place = min(place, len(self.texts) - 1)
        return self.habits[place], self.texts[place]


def _texts(choices: list[tuple[Spelling, ...]]) -> Texts:
    """Equally likely values, each with its weighted spellings."""
    flat = [
        (habit, text, weight / sum(one[2] for one in group))
        for group in choices
        for habit, text, weight in group
    ]
    weights = np.cumsum([weight for _, _, weight in flat])
    return Texts(
        tuple(habit for habit, _, _ in flat),
        tuple(text for _, text, _ in flat),
        weights / weights[-1],
    )


def _fixed(habit: str, texts: tuple[str, ...]) -> list[tuple[Spelling, ...]]:
    return [((habit, text, 1.0),) for text in texts]


def all_texts(problem: Problem) -> dict[str, Texts]:
    """For every cause that this problem can show, and for `right`, what may be typed."""
    return _all_texts(_Key(problem))


@dataclass(frozen=True)
class _Key:
    """A problem that is told from others by who it is, not by its content."""

    problem: Problem

    def __hash__(self) -> int:
        return id(self.problem)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Key) and self.problem is other.problem


@cache
def _all_texts(key: _Key) -> dict[str, Texts]:
    problem = key.problem

    def spell(values: tuple[Value, ...]) -> list[tuple[Spelling, ...]]:
        return [spellings(value, problem.letter) for value in values]

    choices = {RIGHT: spell((problem.right,))}
    choices |= {rule: spell(values) for rule, values in problem.wrong.items()}
    choices |= {rule: spell((value,)) for rule, value in problem.unnamed.items()}
    choices["slip"] = spell(slips(problem))
    choices["outside"] = spell(guesses(problem))
    choices["blank"] = _fixed("blank", ("",))
    choices["dont-know"] = _fixed("words", DONT_KNOW)
    choices["unreadable"] = _fixed("broken", UNREADABLE)
    if coarse := coarse_spellings(problem):
        choices["too-coarse"] = _fixed("one place", coarse)
    if problem.other_forms:
        choices["right-other-form"] = _fixed("other form", problem.other_forms)
    return {cause: _texts(found) for cause, found in choices.items()}
