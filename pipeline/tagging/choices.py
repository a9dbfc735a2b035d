"""Answers to choice questions: matched with the options by text, each option seen as an answer.

What choosing an option shows is what typing it would show: the algebra task behind the question is
found by what the key answers. An option may name the error that it was written to catch instead.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Final

from pipeline.exact.values import value_key, value_source
from pipeline.reading.answer import read_answer
from pipeline.reading.judge import judge
from pipeline.records import (
    Candidate,
    Explanation,
    Numbers,
    OwnPattern,
    Request,
    Verdict,
)
from pipeline.tagging.examine import examine
from pipeline.tagging.match import shared, unexplained_weight
from pipeline.tagging.own_patterns import with_own_patterns
from pipeline.tagging.priors import UNEXPLAINED
from pipeline.tagging.questions import context_of, form_of, question_of
from pipeline.tasks.catalogue import TASKS

OptionText = tuple[str, str | None]
"""Text of an option, and the id of the error that it was written to catch."""
_NO_OPTION: Final = "none of the question's options has this text"
_BLANKS: Final = re.compile(r"\s+")
_OPPOSITES: Final = ({"true", "false"}, {"yes", "no"})
_SAME: Final = dict.fromkeys("ty", ("true", "yes")) | dict.fromkeys("fn", ("false", "no"))
_TRUTH: Final = re.compile(r"(true|false|yes|no|[tfyn])(?=[.,;:!]|$)", re.IGNORECASE)


def option_key(text: str) -> str:
    """Return the key under which an option is counted."""
    return f"option: {_plain(text)}"


def _plain(text: str) -> str:
    return _BLANKS.sub(" ", unicodedata.normalize("NFKC", text)).strip()


@lru_cache(maxsize=4096)
def tasks_behind(problem: str, key: str, numbers: Numbers) -> tuple[str, ...]:
    """Return the algebra tasks that a key answers in the form asked; several may be alike.

    Words are never taken for a translation: any question in words would be one. A number may
    count solutions only where it answers nothing else.
    """
    found: list[str] = []
    for name, task in TASKS.items() if problem.strip() else ():
        if task.of_words or (task.notation.kind == "count" and found):
            continue
        request = Request(name, problem, key, numbers=numbers)
        question = question_of(request)
        if question.right is not None:
            read = read_answer(key, context_of(request, question))
            verdict = judge(read, question.right, form_of(request), numbers).verdict
            if verdict is Verdict.RIGHT:
                found.append(name)
    return tuple(found)


def examine_choice(
    request: Request, options: Sequence[OptionText], own: Sequence[OwnPattern] = ()
) -> Explanation:
    """Say how a chosen option stands and what choosing it shows.

    Args:
        request: task `choice`, the text of the chosen option as answer, that of the right option
            as key.
        options: all options of the question.
        own: error patterns of the course.
    """
    key = request.key or ""
    text = option_of(request.answer, [option for option, _ in options])
    if text is None:
        return _outside(request)
    error = dict(options)[text]
    readings = tuple(value_source(one.value) for one in read_answer(text).readings)
    value = readings[0] if readings else None
    told = Explanation(Verdict.RIGHT, text, value, option_key(text), readings)
    if _plain(text) == _plain(key):
        return told
    found = replace(told, verdict=Verdict.WRONG, unexplained=1.0)
    if error is not None:
        rest = UNEXPLAINED / (1 + UNEXPLAINED)
        named = Candidate(error, (error,), 1.0, 1 - rest, "")
        return replace(found, patterns=(named,), unexplained=rest)
    return _as_typed(replace(request, answer=text), found, own)


def option_of(answer: str, options: Sequence[str]) -> str | None:
    """The option that an answer names; None where it names none, or several.

    It has its text, else its text in other case, else its value; true and false, yes and no are
    told by their first letters, by each other, and with a reason behind them.
    """
    plain = _plain(answer)
    for option in options:
        if _plain(option) == plain:
            return option
    alike = [one for one in options if _plain(one).casefold() == plain.casefold()]
    if not alike and {one.casefold() for one in options} in _OPPOSITES:
        meant = _TRUTH.match(plain)
        alike = [
            one for one in options if meant and one.casefold() in _SAME[meant[1][0].casefold()]
        ]
    if not alike and (keys := _keys(answer)):
        alike = [option for option in options if keys & _keys(option)]
    return alike[0] if len(alike) == 1 else None


@lru_cache(maxsize=4096)
def _keys(text: str) -> frozenset[str]:
    return frozenset(value_key(one.value) for one in read_answer(text).readings[:1])


def _outside(request: Request) -> Explanation:
    """An answer that is no option: blank, or unreadable with the reason."""
    plain = examine(replace(request, task="judge"))
    if plain.verdict is Verdict.BLANK:
        return plain
    return Explanation(Verdict.UNREADABLE, reason=_NO_OPTION)


def _as_typed(request: Request, found: Explanation, own: Sequence[OwnPattern]) -> Explanation:
    """Lay an option to the errors that would have led to it, had it been typed."""
    fitting: dict[frozenset[str], Candidate] = {}
    for task in tasks_behind(request.problem, request.key or "", request.numbers):
        typed = examine(replace(request, task=task))
        for one in typed.patterns:
            fitting.setdefault(frozenset(one.faults), one)
    values = [one.value for one in read_answer(request.answer).readings]
    if not values:
        return found
    if fitting:
        patterns, rest = shared(fitting.values(), unexplained_weight(values[0]))
        found = replace(found, patterns=patterns, unexplained=rest)
    return with_own_patterns(own, request, values, found)


def wrong_options(
    request: Request, options: Sequence[OptionText], own: Sequence[OwnPattern] = ()
) -> Iterator[tuple[str, str]]:
    """Yield key of a wrong option and id of a single error that choosing it shows."""
    for text, _ in options:
        found = examine_choice(replace(request, answer=text, work=None), options, own)
        if found.verdict is Verdict.WRONG:
            for one in found.patterns:
                if len(one.faults) == 1:
                    yield option_key(text), one.id
