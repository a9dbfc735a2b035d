"""Questions that tell an error from the right answer and from other errors, found by search.

The candidates are the course's own questions and the same with other numbers; what each can tell
is read off the wrong answers that the catalogue predicts for it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice
from typing import Final, NamedTuple

from pipeline.exact.values import value_words
from pipeline.procedures.endings import ending_keys
from pipeline.reading.answer import read_answer
from pipeline.reading.problems import Problem
from pipeline.records import Numbers, OwnPattern, Request
from pipeline.tagging.other_numbers import with_other_numbers
from pipeline.tagging.own_patterns import own_predictions
from pipeline.tagging.predict import predictions_of
from pipeline.tagging.questions import question_of

MOST: Final = 3
"""Questions for one error."""
WALKED: Final = 6
"""Questions whose wrong answers are worked out for one error, some ten milliseconds each."""
VARIED: Final = 3
"""Questions of the course that are varied for one error."""
NAMED: Final = 2
"""Errors that an answer may have beside one another and still be told."""
LINES: Final = 3
"""Answers that are told of the error asked about, and of others."""


class CourseQuestion(NamedTuple):
    """A question of the course's list.

    Args:
        item: its id.
        task: a task of the catalogue.
        problem: the question, with what is kept and asked.
        key: its right answer where the course gives it.
        numbers: real or complex.
        asked: whether the class has met it.
    """

    item: str
    task: str
    problem: str
    key: str | None = None
    numbers: Numbers = "real"
    asked: bool = False


class Wanted(NamedTuple):
    """What is to be told apart.

    Args:
        error: ids of the error, several where nothing told them apart so far.
        others: ids of other errors that are likely in this class, the commonest first, and of all
            that answers laid to the error could be as well.
    """

    error: tuple[str, ...]
    others: tuple[str, ...]


class Meaning(NamedTuple):
    """What one answer would mean: the errors that lead to it, none where it is right."""

    answer: str
    errors: tuple[str, ...] = ()


class CheckQuestion(NamedTuple):
    """A question to ask.

    Args:
        item: the question of the course that it is, or is like.
        problem: the question in typed notation.
        task: its task.
        standing: `new` for a question of the list that nobody was asked yet, `varied` for one
            with other numbers, `asked` for one that the class has met.
        meanings: what answers would mean: the right one first, then those of the error, then
            those of others.
    """

    item: str
    problem: str
    task: str
    standing: str
    meanings: tuple[Meaning, ...]


@dataclass(frozen=True, slots=True)
class _Predicted:
    """A question with its right answer and what each wrong one means, by canonical key."""

    problem: Problem
    right: str
    errors: dict[str, frozenset[str]]


def check_questions(
    wanted: Wanted,
    questions: Sequence[CourseQuestion],
    met: frozenset[str] = frozenset(),
    own: tuple[OwnPattern, ...] = (),
) -> tuple[CheckQuestion, ...]:
    """Find the questions that tell an error best.

    A question serves where some answer means the error, each one of a joint name, and neither the
    right way nor another error that is likely here. Among those the best repeats no number
    throughout, then has an answer to which no other error of the catalogue leads, then parts the
    errors of a joint name, then leaves fewest answers open, then tells most others apart. One with
    harder numbers is taken only where no other serves, and one that was asked last.

    Args:
        wanted: what is to be told apart.
        questions: those of the course in whose topics the error comes up, in their order.
        met: problems that the class has met, whatever the question.
        own: the course's own error patterns.
    """
    new = [one for one in questions if not one.asked and one.problem not in met]
    fresh = [(one, one.problem, "new") for one in new[:WALKED]]
    fresh += islice(_varied(questions, met), WALKED)
    harder = islice(_varied(questions, met, harder=True), WALKED)
    old = [(one, one.problem, "asked") for one in questions if one not in new]
    for candidates in (fresh, harder, old[:WALKED]):
        found = [_judged(wanted, *candidate, own) for candidate in candidates]
        served = sorted((one for one in found if one is not None), key=lambda one: one[0])
        if served:
            distinct = {one.problem: one for _, one in reversed(served)}
            best = list(dict.fromkeys(one.problem for _, one in served))[:MOST]
            return tuple(distinct[problem] for problem in best)
    return ()


def _varied(
    questions: Sequence[CourseQuestion], met: frozenset[str], *, harder: bool = False
) -> Iterator[tuple[CourseQuestion, str, str]]:
    """Questions with other numbers, in turn of those of the course."""
    known = met | {one.problem for one in questions}
    varied = 0
    for one in questions:
        texts = with_other_numbers(one.task, one.problem, one.numbers, harder=harder)
        new = list(islice((text for text in texts if text not in known), WALKED // VARIED))
        yield from ((one, text, "varied") for text in new)
        varied += bool(new)
        if varied == VARIED:
            return


def _judged(
    wanted: Wanted, source: CourseQuestion, text: str, standing: str, own: tuple[OwnPattern, ...]
) -> tuple[tuple[int, ...], CheckQuestion] | None:
    """A question with how little it tells, smaller being better; None where it is no use."""
    key = None if standing == "varied" else source.key
    predicted = _predicted(source.task, text, key, source.numbers, own)
    if predicted is None:
        return None
    error, others = set(wanted.error), set(wanted.others)
    mine = {at: names for at, names in predicted.errors.items() if names & error}
    clear = {at: names for at, names in mine.items() if not names & others}
    if not error <= frozenset().union(*clear.values()):
        return None
    likely = [names & (error | others) for names in predicted.errors.values()]
    alone = {next(iter(names)) for names in likely if len(names) == 1}
    doubts = min(len(names - error) for names in clear.values())
    open_ = len(mine) - len(clear)
    size = len(predicted.right), sum(map(int, re.findall(r"\d+", text)))
    told = (_all_alike(text), doubts, -len(alone & error), open_, -len(alone))
    rank = (*told, standing != "new", *size)
    meanings = (Meaning(predicted.right), *_meanings(predicted, clear, wanted))
    return rank, CheckQuestion(source.item, text, source.task, standing, meanings)


def _all_alike(text: str) -> bool:
    """Whether a question repeats one number, as y = 3(x - 3)^2 + 3 does: no answer tells which."""
    found = re.findall(r"(?<![\^\d])\d+", text)
    return len(found) > 1 and len(set(found)) == 1


def _meanings(
    predicted: _Predicted, clear: dict[str, frozenset[str]], wanted: Wanted
) -> Iterator[Meaning]:
    """What wrong answers mean: those of the error, then one for each other error.

    Whatever error leads to an answer is named; an answer that could be many tells nothing.
    """
    error = set(wanted.error)
    first = sorted(clear, key=lambda at: len(clear[at] - error))
    yield from islice(_told(predicted, {at: clear[at] for at in first}, error), LINES)
    place = {name: at for at, name in enumerate(wanted.others)}
    rest = {
        at: names
        for at, names in predicted.errors.items()
        if names & place.keys() and len(names) <= NAMED
    }
    order = sorted(rest, key=lambda at: (min(place.get(n, 99) for n in rest[at]), len(rest[at])))
    yield from islice(_told(predicted, {at: rest[at] for at in order}, set(place)), LINES)


def _told(
    predicted: _Predicted, answers: Mapping[str, Set[str]], wanted: Set[str]
) -> Iterator[Meaning]:
    """An answer for each wanted error that none before means; but those that nobody would type."""
    told: set[str] = set()
    for key, names in answers.items():
        new = names & wanted - told
        readings = read_answer(key, predicted.problem.context).readings if new else ()
        if readings:
            told |= names
            yield Meaning(value_words(readings[0].value), tuple(sorted(names)))


@lru_cache(maxsize=256)
def _predicted(
    task: str, text: str, key: str | None, numbers: Numbers, own: tuple[OwnPattern, ...]
) -> _Predicted | None:
    """The wrong answers that one error leads to; slips, which lead to many, are no error."""
    request = Request(task, text, "", key, numbers=numbers)
    question = question_of(request)
    if question.problem is None or question.right is None or question.computed is not None:
        return None
    errors: dict[str, set[str]] = {}
    found = predictions_of(question.problem, numbers, depth=1, slips=False)
    for ending, sets in found.by_value.items():
        errors.setdefault(next(iter(ending_keys(ending))), set()).update(*sets)
    for one in own_predictions(own, request):
        errors.setdefault(one.key, set()).add(one.id)
    known = {at: frozenset(names) for at, names in errors.items()}
    return _Predicted(question.problem, value_words(question.right.value), known)
