"""A question of the course: where it stands, and the numbers that it can be given with."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from synthetic_data.problems import Problem
from synthetic_data.values import NO_REAL

CONTENT_SEED = 20250825  # the questions stay the same whatever the students do
CLOSE_ENOUGH = 2  # rules that may share an answer before a set of numbers is passed over


@dataclass(frozen=True)
class Question:
    """One row of the items file, with every set of numbers that it is asked with.

    Args:
        id: the item's id.
        topic: id of its topic.
        problems: the question with its numbers; more than one when the numbers are randomized.
        week: teaching week, from 1, in which it is assigned.
        quiz: name of the set of questions that it belongs to.
        setting: `practice`, `quiz` or `exam`.
        task: the task of the items file; None takes that of the problem.
        answer: the key, where the items file gives one.
        method: the procedure that the class was taught for it.
        form: the form asked for.
        numbers: `real` or `complex`.
        options: texts of a choice question, the right one among them.
        asked: what of a word problem's unknown is to be given.
        keep: which solutions of a word problem count.
        listed: whether the items file has it at all.
        later: the question as the second term asks it; None when nothing changed.
        tries: how often a student may answer; None takes what is usual in the setting.
    """

    id: str
    topic: str
    problems: tuple[Problem, ...]
    week: int
    quiz: str = ""
    setting: str = "practice"
    task: str | None = None
    answer: str = ""
    method: str = ""
    form: str = ""
    numbers: str = ""
    options: tuple[str, ...] = ()
    asked: str = ""
    keep: str = ""
    listed: bool = True
    later: Question | None = None
    tries: int | None = None

    @property
    def is_randomized(self) -> bool:
        """Whether students get different numbers."""
        return len(self.problems) > 1

    @property
    def attempts(self) -> int:
        """How often a student may answer."""
        return self.tries or {"practice": 3, "quiz": 2}.get(self.setting, 1)

    @property
    def kind(self) -> str:
        """The task as the items file has it."""
        return self.task or self.problems[0].task


@dataclass(frozen=True)
class Place:
    """Where a topic's questions stand in the term.

    Args:
        topic: id of the topic.
        prefix: start of the ids of its questions.
        week: week in which the topic begins.
        quiz_week: week of its quiz.
        review_week: week in which it comes back in practice.
    """

    topic: str
    prefix: str
    week: int
    quiz_week: int
    review_week: int

    def question(self, code: str, problems: Iterable[Problem], **facts: Any) -> Question:
        """The question with this code: P practice, Q quiz, R review, E exam, and a number."""
        week, setting, quiz = {
            "P": (self.week, "practice", f"Practice {self.week}"),
            "Q": (self.quiz_week, "quiz", f"Quiz {self.quiz_week}"),
            "R": (self.review_week, "practice", f"Practice {self.review_week}"),
            "E": (15, "exam", "Final exam"),
        }[code[0]]
        name = f"{self.prefix}-{code}"
        base = Question(name, self.topic, tuple(problems), week, quiz, setting)
        return replace(base, **facts)


def _collisions(problem: Problem) -> int:
    """How many rules lead to an answer that another rule leads to as well, or to none."""
    answers = [str(one) for values in problem.wrong.values() for one in values]
    silent = sum(values[0] == NO_REAL for values in problem.wrong.values())
    return len(answers) - len(set(answers)) + max(silent - 1, 0)


def first_problems(
    family: Callable[..., Problem], grid: Iterable[tuple[Any, ...]]
) -> list[Problem]:
    """All problems of a family whose numbers tell its wrong rules apart, in shuffled order."""
    made = [family(*numbers) for numbers in grid]
    most = max(len(problem.wrong) for problem in made)
    clean = [
        problem
        for problem in made
        if len(problem.wrong) >= most - 1 and _collisions(problem) <= CLOSE_ENOUGH
    ]
    order = np.random.default_rng(CONTENT_SEED).permutation(len(clean))
    return [clean[index] for index in order]


def choose_problems(
    family: Callable[..., Problem], grid: Iterable[tuple[Any, ...]], count: int
) -> tuple[Problem, ...]:
    """The first `count` of them; fewer when the family has no more."""
    return tuple(first_problems(family, grid)[:count])
