"""A course's own error patterns: formulas in the problem's numbers, and the answers they predict.

A formula is split into tokens by the reader, every letter is replaced by its number, and the text
that results is read like any typed answer. Nothing in it is ever run.
`half in completing the square: 2*a` says what comes out of one step instead; the rest of the
working is run on.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache, lru_cache
from itertools import chain
from typing import Final

from pipeline.errors import CannotBeWorked, UnreadableProblem
from pipeline.exact.trees import Relation
from pipeline.exact.values import Number, Roots, Statement, StatementCode, Value, value_key
from pipeline.patterns.catalogue import catalogue
from pipeline.procedures.endings import comparable_value, value_of
from pipeline.procedures.equations import coefficients
from pipeline.procedures.other_steps import (
    OtherStep,
    endings_otherwise,
    fault_of_rule,
    is_shape,
    other_step,
    write_down,
)
from pipeline.procedures.walk import Fault, Place
from pipeline.reading.answer import read_answer
from pipeline.reading.normalise import normalised
from pipeline.reading.problems import Problem
from pipeline.reading.records import ReadingContext, Unread
from pipeline.reading.tokens import tokens_of
from pipeline.records import Explanation, OwnPattern, Request
from pipeline.tagging.match import candidate, endings_of, shared, unexplained_weight
from pipeline.tagging.predict import Predictions
from pipeline.tagging.priors import SINGLE
from pipeline.tagging.questions import question_of
from pipeline.tasks.catalogue import Solved, plans, read_problem

_COEFFICIENTS: Final = "abcd"
"""Coefficients, highest power first, with everything on one side; a linear one has a and b."""
_WRITTEN: Final = "pqrstuvw"
"""The first eight numbers as they stand in the problem, each with a minus sign right before it."""
_KEY: Final = "k"
"""The right answer, where it is one rational number."""
_UNKNOWN: Final = "x"
"""The unknown of the problem, whatever its letter there."""

_NUMBER: Final = re.compile(r"(-\s*)?(\d+(?:\.\d+)?|\.\d+)")
_MINUS: Final = str.maketrans(dict.fromkeys("−–—‐‑﹣－", "-"))
_SUPERSCRIPTS: Final = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")
_LONGEST: Final = 12
"""Digits of a number that is still calculated with."""


def _unknown_of(task: str, text: str) -> str:
    """Return the letter of the unknown; x where the problem names none."""
    problem = _read(task, text)
    return (problem.letter if problem is not None else "") or _UNKNOWN


def numbers_of(task: str, text: str, right: Value | None) -> dict[str, Fraction]:
    """Return the numbers of a problem by letter.

    Args:
        task: of the problem.
        text: the problem as the course wrote it; prose is allowed.
        right: the right answer, where it is known.
    """
    found = dict(zip(_WRITTEN, _written(text), strict=False))
    found.update(_coefficients(_read(task, text)))
    match right:
        case Number(surd, _, _) | Roots((Number(surd, _, _),)) if surd is not None:
            if surd.is_rational:
                found[_KEY] = surd.as_fraction()
    return found


def _written(text: str) -> Iterator[Fraction]:
    for minus, digits in _NUMBER.findall(text.translate(_MINUS).translate(_SUPERSCRIPTS)):
        if len(digits) > _LONGEST:
            return
        yield -Fraction(digits) if minus else Fraction(digits)


@lru_cache(maxsize=1024)
def _read(task: str, text: str) -> Problem | None:
    try:
        return read_problem(text, task)
    except UnreadableProblem:
        return None


def _coefficients(problem: Problem | None) -> dict[str, Fraction]:
    if problem is None or len(problem.relations) > 1:
        return {}
    tree = problem.tree
    if isinstance(tree, Relation):
        if len(tree.sides) != 2:
            return {}
        tree = tree.difference
    ordered = (coefficients(tree, problem.letter) or ())[::-1]
    if not 2 <= len(ordered) <= len(_COEFFICIENTS) or not all(one.is_rational for one in ordered):
        return {}
    return {name: one.as_fraction() for name, one in zip(_COEFFICIENTS, ordered, strict=False)}


LETTERS: Final = frozenset(_COEFFICIENTS + _WRITTEN + _KEY + _UNKNOWN)
_SAMPLES: Final = (2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41)
_OTHER_SIGNS: Final = (1, -9, 4, -3, 2, -5, 6, -7, 8, -1, 10, -11, 12)


@dataclass(frozen=True, slots=True)
class OwnPrediction:
    """A wrong answer that a pattern of the course expects.

    Args:
        id: the pattern.
        value: the answer.
        key: its canonical key.
    """

    id: str
    value: Value
    key: str


class _NotThere(Exception):
    """A formula uses a number that the problem does not have."""


def fault_of_formula(formula: str) -> str | None:
    """Say why a formula cannot be used; None when it can.

    It is tried on two sets of sample numbers: a formula may divide by zero or leave the real
    numbers on one of them, but not be unreadable on both.
    """
    rule = other_step(formula)
    if rule is not None:
        known = is_shape(rule.step) or rule.step in _operations()
        if not known or (rule.place and rule.place not in set(Place)):
            return f"no step of a working is called `{formula.partition(':')[0].strip()}`"
        return fault_of_rule(rule)
    reasons: list[str] = []
    for samples in (_SAMPLES, _OTHER_SIGNS):
        names = (*_COEFFICIENTS, *_WRITTEN, _KEY)
        numbers = {name: Fraction(one) for name, one in zip(names, samples, strict=True)}
        try:
            if _evaluated(formula, numbers, _UNKNOWN) is not None:
                return None
            reasons.append("it is no answer that can be read")
        except (Unread, CannotBeWorked) as error:
            reasons.append(str(error))
        except _NotThere as missing:
            return f"the letter {missing} stands for no number of a problem"
    return reasons[0]


@cache
def _operations() -> frozenset[str]:
    moves = (move for one in catalogue() for move in one.moves)
    return frozenset(move.operation.__name__ for move in moves) | {write_down.__name__}


def own_predictions(rules: Sequence[OwnPattern], request: Request) -> tuple[OwnPrediction, ...]:
    """Return the wrong answers that the course's own patterns expect on a question.

    A pattern counts where all its formulas can be evaluated; those that give a right answer are
    left out.

    Args:
        rules: the course's patterns.
        request: the question; its answer is not looked at.
    """
    mine = tuple(rule for rule in rules if rule.task == request.task)
    if not mine:
        return ()
    key = request.key if request.key and request.key.strip() else None
    return _predicted(mine, request.task, request.question, key, request.numbers == "complex")


@lru_cache(maxsize=4096)
def _predicted(
    rules: tuple[OwnPattern, ...], task: str, problem: str, key: str | None, over_complex: bool
) -> tuple[OwnPrediction, ...]:
    numbers = "complex" if over_complex else "real"
    judged = "judge" if task == "choice" else task
    right = question_of(Request(judged, problem, "", key, numbers=numbers)).right  # type: ignore[arg-type]
    known = numbers_of(task, problem, right.value if right else None)
    unknown = _unknown_of(task, problem)
    correct: set[object] = set()
    for value in (right.value, *right.also, *right.other_form) if right else ():
        correct |= {value_key(value), comparable_value(value)}
    correct.discard(None)
    found: dict[tuple[str, str], OwnPrediction] = {}
    for rule in rules:
        for value in _values(rule, task, problem, known, unknown):
            name = value_key(value)
            if name not in correct and comparable_value(value) not in correct:
                found.setdefault((rule.id, name), OwnPrediction(rule.id, value, name))
    return tuple(found.values())


def _values(
    rule: OwnPattern, task: str, problem: str, known: dict[str, Fraction], unknown: str
) -> list[Value]:
    found: list[Value] = []
    try:
        for formula in rule.wrong:
            otherwise = other_step(formula)
            if otherwise is not None:
                found += _by_step(otherwise, task, problem)
                continue
            value = _evaluated(formula, known, unknown)
            if value is None:
                return []
            found.append(value)
    except (_NotThere, Unread, CannotBeWorked):
        return []
    return found


def _by_step(rule: OtherStep, task: str, problem: str) -> Iterator[Value]:
    """The answers that one step of the working leads to when it is done otherwise."""
    try:
        ways = plans(read_problem(problem, task))
    except UnreadableProblem:
        return
    for ending in dict.fromkeys(chain(*(endings_otherwise(plan, rule) for plan in ways))):
        with suppress(CannotBeWorked, ArithmeticError, ValueError):
            yield value_of(ending)


def _evaluated(formula: str, known: dict[str, Fraction], unknown: str) -> Value | None:
    """Return the value of a formula, or None where the numbers leave none.

    Raises:
        Unread: the formula lies outside the reader's notation.
        _NotThere: it uses a number that is not known.
    """
    context = ReadingContext(letters=frozenset({unknown}))
    stated = read_answer(formula, context).readings
    if stated and isinstance(stated[0].value, Statement):
        nothing = stated[0].value.code in (StatementCode.EMPTY, StatementCode.DONT_KNOW)
        return None if nothing else stated[0].value
    read = read_answer("".join(_filled(formula, known, unknown)), context)
    return read.readings[0].value if read.readings else None


def _filled(formula: str, known: dict[str, Fraction], unknown: str) -> Iterator[str]:
    """Yield the formula's tokens as text, numbers in place of letters."""
    for token in tokens_of(normalised(formula, []), LETTERS):
        gap = " " if token.gap else ""
        if token.kind != "letter" or token.text in ("y", "i"):
            yield gap + token.text
        elif token.text == _UNKNOWN:
            yield gap + unknown
        elif token.text in known:
            yield f"{gap}({known[token.text]})"
        else:
            raise _NotThere(token.text)


def with_own_patterns(
    rules: Sequence[OwnPattern], request: Request, values: Sequence[Value], found: Explanation
) -> Explanation:
    """Add the course's own patterns that fit an answer, and share it anew.

    Args:
        rules: the course's patterns.
        request: the question and the answer.
        values: all readings of the answer, first the one used.
        found: what the catalogue says, a wrong answer.
    """
    expected = own_predictions(rules, request)
    names = _fitting(expected, values, request.min_places) if expected else []
    if not names:
        return found
    says = {rule.id: rule.sentence for rule in rules}
    added = [candidate((Fault(name, says[name]),), SINGLE) for name in names]
    entries = (*found.patterns, *added)
    patterns, rest = shared(entries, unexplained_weight(values[0], request.task))
    return replace(found, patterns=patterns, unexplained=rest)


def _fitting(
    expected: Iterable[OwnPrediction], values: Sequence[Value], min_places: int
) -> list[str]:
    known = Predictions(Solved(None), frozenset())
    for one in expected:
        known.add(comparable_value(one.value) or one.key, (Fault(one.id, ""),), "")
    names: dict[str, None] = {}
    for value in values:
        for ending in endings_of(known, value, min_places):
            names.update({name: None for made in known.by_value[ending] for name in made})
    keys = {value_key(value) for value in values}
    names.update({one.id: None for one in expected if one.key in keys})
    return list(names)
