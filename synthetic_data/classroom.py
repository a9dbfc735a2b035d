"""What the students do: who answers which question when, why, and what they type."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from synthetic_data.answer_texts import RIGHT, all_texts
from synthetic_data.calendar import TERMS, Term
from synthetic_data.questions import Question
from synthetic_data.roster import SECTIONS, Roster
from synthetic_data.tendencies import CAUSES, base_rates, rule_chances, rule_mask

_TRIES_AGAIN = 0.7  # chance of another try after a wrong one, where one is allowed
_LATE = 0.03  # share of question sets that are handed in a week late
_WRONG_SCORE = {True: 0.012, False: 0.004}  # of right and of other answers
_REFUSED = {"EXP-Q3": "24 - 9x"}  # right, but the key of that quiz knows one order of terms alone
_SHOWS_WORK = 0.15  # share of answers with lines, where the question has a box for them
_MINUTES = 4  # between one question of a set and the next


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer with its truth.

    Args:
        term: 0 or 1.
        student: id as the export has it.
        section: name of the class section.
        question: the question, as this term asks it.
        problem: text of the question with this student's numbers.
        attempt: 1, 2 or 3.
        moment: local time.
        text: what was typed.
        cause: `right`, a pattern id (two joined by ` + `), or another cause of `tendencies`.
        habit: the way of typing it.
        work: lines shown, joined by ` | `; mostly none.
        score: 0 or 1, as the export has it.
        score_is_wrong: whether the export marks it against the truth.
    """

    term: int
    student: str
    section: str
    question: Question
    problem: str
    attempt: int
    moment: datetime
    text: str
    cause: str
    habit: str
    work: str
    score: int
    score_is_wrong: bool


def class_answers(
    random: np.random.Generator, roster: Roster, questions: tuple[Question, ...], *, plain: bool
) -> Iterator[Answer]:
    """All answers of one term.

    Args:
        random: the generator to draw from.
        roster: the students.
        questions: sorted by week.
        plain: only what a table with a row for each student can hold: one try, the same numbers
            for all, one time for a whole set of questions.
    """
    term = TERMS[roster.term]
    asked = [_as_asked(question, roster.term, plain) for question in questions]
    for _, group in groupby(sorted(asked, key=_set_name), key=_set_name):
        members = tuple(group)
        takers = _takers(random, roster, members[0].week)
        starts = _starts(random, term, members[0], len(takers))
        for place, question in enumerate(members):
            offset = timedelta(minutes=0 if plain else _MINUTES * place)
            moments = [start + offset for start in starts]
            yield from _question_answers(random, roster, question, takers, moments)


def _set_name(question: Question) -> tuple[int, str, str]:
    return question.week, question.setting, question.quiz


def _as_asked(question: Question, term: int, plain: bool) -> Question:
    asked = question.later if term and question.later else question
    return replace(asked, problems=asked.problems[:1], tries=1) if plain else asked


def _takers(random: np.random.Generator, roster: Roster, week: int) -> NDArray[np.int64]:
    present = (random.random(len(roster)) < roster.diligence) & (roster.last_week >= week)
    return np.flatnonzero(present)


def _starts(
    random: np.random.Generator, term: Term, question: Question, count: int
) -> list[datetime]:
    """Monday to Sunday for practice, one evening or two for a quiz, one day for the exam."""
    monday = term.monday(question.week)
    if question.setting == "exam":
        days = np.full(count, 2)
    elif question.setting == "quiz":
        days = random.integers(3, 5, count)
    else:
        days = random.integers(0, 7, count)
    late = (random.random(count) < _LATE) & (question.week < term.weeks)
    late &= question.setting == "practice"
    minutes = random.integers(0, 9 * 60, count)
    return [
        _moment(monday, int(day) + 7 * int(slow), int(minute))
        for day, slow, minute in zip(days, late, minutes, strict=True)
    ]


def _moment(monday: date, days: int, minutes: int) -> datetime:
    return datetime.combine(monday, time(9)) + timedelta(days=days, minutes=minutes)


def _question_answers(
    random: np.random.Generator,
    roster: Roster,
    question: Question,
    takers: NDArray[np.int64],
    moments: list[datetime],
) -> Iterator[Answer]:
    """Every try of one question; another try may come with other numbers."""
    masks = np.array([rule_mask(problem) for problem in question.problems])
    rates = base_rates(roster.term, question.week)
    open_places = np.arange(len(takers))
    for attempt in range(1, question.attempts + 1):
        students = roster.students.chosen(takers[open_places])
        numbers = random.integers(0, len(question.problems), len(open_places))
        chances = rule_chances(students, rates, masks[numbers], attempt)
        causes = _draw_causes(random, chances)
        for place, number, cause in zip(open_places, numbers, causes, strict=True):
            yield _answer(
                random,
                roster,
                question,
                attempt,
                int(takers[place]),
                int(number),
                int(cause),
                moments[place],
            )
        wrong = causes < len(CAUSES)
        again = wrong & (random.random(len(open_places)) < _TRIES_AGAIN)
        open_places = open_places[again]
        moments = [moment + timedelta(minutes=7) for moment in moments]


def _draw_causes(random: np.random.Generator, chances: NDArray[np.float64]) -> NDArray[np.int64]:
    """For each row the column drawn; the number of columns stands for a right answer."""
    points = random.random(len(chances))
    drawn: NDArray[np.int64] = (chances.cumsum(axis=1) <= points[:, None]).sum(axis=1)
    return drawn


def _answer(
    random: np.random.Generator,
    roster: Roster,
    question: Question,
    attempt: int,
    student: int,
    number: int,
    cause: int,
    moment: datetime,
) -> Answer:
    problem = question.problems[number]
    name = CAUSES[cause] if cause < len(CAUSES) else RIGHT
    text_point, score_point, work_point = random.random(3)
    habit, text = all_texts(problem)[name].draw(text_point)
    is_right = name in {RIGHT, "right-other-form"}
    refused = is_right and text == _REFUSED.get(question.id)
    wrongly = refused or (name != "too-coarse" and score_point < _WRONG_SCORE[is_right])
    return Answer(
        roster.term,
        roster.ids[student],
        SECTIONS[roster.sections[student]],
        question,
        problem.text,
        attempt,
        moment,
        text,
        name,
        habit,
        problem.work.get(name, "") if work_point < _SHOWS_WORK else "",
        int(is_right != wrongly),
        bool(wrongly),
    )
