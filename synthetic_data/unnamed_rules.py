"""Wrong rules that no catalogue has, planted to be found by whoever looks for them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

import numpy as np

from synthetic_data.answer_texts import RIGHT, all_texts
from synthetic_data.classroom import Answer

UNNAMED = {
    "halved-twice": "Halves the half of the coefficient where it is to be squared.",
    "c-added-to-four-a": "Adds c to 4a where 4ac is to be multiplied.",
    "height-without-square": "Leaves the squared term out of the height of the vertex.",
}
HOLDERS, USED = 0.2, 0.8  # share of students who hold a rule; of right answers that it spoils


def with_unnamed_rules(random: np.random.Generator, answers: Iterable[Answer]) -> Iterator[Answer]:
    """Let some students follow unnamed rules where they would have been right.

    Args:
        random: a generator of its own, so that all other answers stay what they are.
        answers: of the whole course.
    """
    held: dict[tuple[str, str], bool] = {}
    for answer in answers:
        problem = next(one for one in answer.question.problems if one.text == answer.problem)
        for rule in problem.unnamed if answer.cause == RIGHT else ():
            holder = (answer.student, rule)
            if holder not in held:
                held[holder] = random.random() < HOLDERS
            used, point = random.random(2)
            if held[holder] and used < USED:
                habit, text = all_texts(problem)[rule].draw(point)
                answer = replace(  # noqa: PLW2901 - the same answer, done otherwise
                    answer,
                    text=text,
                    cause=rule,
                    habit=habit,
                    work="",
                    score=0,
                    score_is_wrong=False,
                )
        yield answer
