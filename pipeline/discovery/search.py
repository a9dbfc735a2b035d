"""Where a problem leads when one step of its working is done by another rule.

The right walk is logged; every result is replaced by what each small formula makes of the numbers
that stand there, and the rest of the walk is run on. Outcomes that are equal share a run.
Langley and Ohlsson (1984, Proceedings of AAAI) searched rules of subtraction for those that lead
to a student's answers; Brown and VanLehn (1980, Cognitive Science 4) made wrong procedures from
right ones. Both from memory.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Hashable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from functools import lru_cache
from hashlib import blake2b
from itertools import accumulate, chain
from typing import Any, Final, NamedTuple, TypeAlias

import numpy as np

from pipeline.discovery.language import language, values_of
from pipeline.discovery.tree_rules import typed, written_instead
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Node, Power, children
from pipeline.procedures.endings import comparable_ending
from pipeline.procedures.other_steps import (
    MEMBERS,
    UNDONE,
    OtherStep,
    Standing,
    endings_otherwise,
    members_kept,
    standing_at,
    write_down,
)
from pipeline.procedures.rewriting.canonical import canonical
from pipeline.procedures.rewriting.operations import OPERATIONS
from pipeline.procedures.rewriting.other_rules import seen_as
from pipeline.procedures.rewriting.terms import rational
from pipeline.procedures.walk import Plan, Step, Walk
from pipeline.reading.problems import Problem
from pipeline.records import Numbers
from pipeline.tagging.own_numbers import numbers_of
from pipeline.tasks.catalogue import plans, solved

__all__ = ["Reached", "Rule", "endings_by_rules", "endings_of", "number_of", "reached"]


class Rule(NamedTuple):
    """At this step, wherever it is done, this instead.

    Args:
        step: name of the operation, or shape of a place of an expression; empty where an answer
            is calculated from the problem's numbers.
        instead: what stands in place of the numbers that rightly come out.
        symbols: how long that is.
    """

    step: str
    instead: tuple[str, ...]
    symbols: int

    @property
    def otherwise(self) -> OtherStep:
        """The same as a course's own pattern says it."""
        return OtherStep(self.step, "", self.instead)


SHORT: Final = 3
"""Symbols of a rule that is tried in all places at once where its operation is done in several."""
LARGEST_EXPONENT: Final = 40
MOST_NUMBERS: Final = 5
"""Numbers of a problem, coefficients first, that formulas are made of."""
_REWRITING: Final = frozenset(OPERATIONS.values())
_Parts: TypeAlias = list[tuple[Surd, ...]]
_Outcomes: TypeAlias = dict[Any, list[Rule]]


def endings_by_rules(problem: Problem, numbers: Numbers) -> dict[Hashable, set[Rule]]:
    """Return the wrong answers that one step done otherwise leads to, with the rules that do it."""
    right = solved(problem, numbers).endings
    found: dict[Hashable, set[Rule]] = {}
    for ending, rules in chain(*map(_reached, plans(problem)), _by_answer(problem, right)):
        with suppress(*UNDONE):
            value = comparable_ending(ending, numbers)
            if value is not None and value not in right:
                found.setdefault(value, set()).update(rules)
    return found


class Reached(NamedTuple):
    """What the rules of one step make of a question.

    Args:
        leading: the wrong answers that matter -> the rules that lead to them.
        visible: a number for each rule that shows at the question, in order.
        lengths: how many of these take at most so many symbols, from 0.
    """

    leading: Mapping[Hashable, frozenset[Rule]]
    visible: np.ndarray
    lengths: tuple[int, ...]


def number_of(rule: Rule) -> int:
    """Return a number that stands for a rule in every process."""
    return int.from_bytes(blake2b(repr(rule).encode(), digest_size=7).digest())


def reached(found: Mapping[Hashable, set[Rule]], wanted: Collection[Hashable]) -> Reached:
    """Keep of what rules lead to the answers wanted."""
    rules: set[Rule] = set().union(*found.values())
    symbols = Counter(rule.symbols for rule in rules)
    lengths = accumulate(symbols[length] for length in range(max(symbols, default=0) + 1))
    return Reached(
        {ending: frozenset(found[ending]) for ending in wanted if ending in found},
        np.sort(np.fromiter(map(number_of, rules), np.int64, len(rules))),
        tuple(lengths),
    )


def endings_of(rule: Rule, problem: Problem, numbers: Numbers) -> frozenset[Hashable]:
    """Return the wrong answers that one rule leads to."""
    right = solved(problem, numbers).endings
    ends: Iterable[Hashable]
    if not rule.step:
        ends = (end for end, rules in _by_answer(problem, right) if rule in rules)
    else:
        ends = chain.from_iterable(
            endings_otherwise(plan, rule.otherwise) for plan in plans(problem)
        )
    found = set()
    for ending in ends:
        with suppress(*UNDONE):
            found.add(comparable_ending(ending, numbers))
    return frozenset(found) - right - {None}


def _reached(plan: Plan) -> Iterator[tuple[Hashable, list[Rule]]]:
    run = Walk().through(plan.procedure, plan.start)
    results = tuple(step.result for step in run.log)
    often = Counter(step.operation for step in run.log)
    for index, step in enumerate(run.log):
        last = step is run.log[-1] and run.ends_in(step.result)
        for outcome, rules in _outcomes(step).items():
            if last:
                again = run.ended_in(outcome)
            else:
                again = Walk((*results[:index], outcome), logged=False)
                with suppress(*UNDONE):
                    again.through(plan.procedure, plan.start)
            yield from ((ending, rules) for ending in again.endings)
            if often[step.operation] > 1:
                yield from _everywhere(plan, rules)


def _everywhere(plan: Plan, rules: Sequence[Rule]) -> Iterator[tuple[Hashable, list[Rule]]]:
    """Follow short rules wherever their operation is done."""
    for rule in rules:
        if rule.symbols <= SHORT:
            for ending in endings_otherwise(plan, rule.otherwise):
                yield ending, [rule]


def _by_answer(
    problem: Problem, right: Collection[Hashable]
) -> Iterator[tuple[Hashable, list[Rule]]]:
    """Do something more with the right answer, or calculate with the problem's numbers alone."""
    for ending in right:
        if not isinstance(ending, frozenset | tuple):
            continue
        yield from _outcomes(Step(write_down, "", (ending,), ending)).items()
        if isinstance(ending, frozenset) and len(ending) == 1:
            known = numbers_of(problem.task, problem.text, None)
            letters = "".join(known)[:MOST_NUMBERS]
            formulas = language(letters)
            values = values_of(formulas, [Surd.of(one) for one in known.values()])
            for formula, value in zip(formulas, values, strict=False):
                if value is not None:
                    rule = Rule("", (formula.text,), formula.symbols)
                    yield frozenset({value}), [rule]


def _outcomes(step: Step) -> _Outcomes:
    """Return what can come out of a step by all small rules."""
    found: _Outcomes = {}
    if step.operation in _REWRITING:
        return _rewritings(step)
    standing = standing_at(step)
    if standing is None:
        return found
    for rules, parts in chain(_by_formulas(step, standing), _by_shape(step, standing)):
        outcome = standing.joined(parts)
        if outcome is not None and outcome != step.result:
            found.setdefault(outcome, []).extend(rules)
    return found


def _rewritings(step: Step) -> _Outcomes:
    """Return what small rewriting rules make of a place of an expression."""
    (place,) = step.arguments
    right = canonical(place)
    found: _Outcomes = {}
    for seen in seen_as(place):
        shape = typed(seen.shape)
        for one in written_instead(seen.shape):
            with suppress(*UNDONE):
                outcome = canonical(seen.around(place, one.tree))
                if outcome != right and _is_plain(outcome):
                    rule = Rule(shape, (one.text,), one.symbols)
                    found.setdefault(outcome, []).append(rule)
    return found


@lru_cache(maxsize=65536)
def _is_plain(tree: Node) -> bool:
    """Whether all exponents are numbers, and small: others come from no school exercise."""
    if isinstance(tree, Power):
        exponent = rational(tree.exponent)
        if exponent is None or abs(exponent) > LARGEST_EXPONENT:
            return False
    return all(map(_is_plain, children(tree)))


def _by_formulas(step: Step, standing: Standing) -> Iterator[tuple[list[Rule], _Parts]]:
    """Put a formula in the place of one of the numbers that come out; equal values share a run."""
    formulas = language("".join(standing.letters))
    values = zip(
        *(
            values_of(formulas, (*given, *result))
            for given, result in zip(standing.given, standing.result, strict=True)
        ),
        strict=True,
    )
    alike: dict[tuple[Surd, ...], list[int]] = {}
    for which, made in enumerate(values):
        known = tuple(one for one in made if one is not None)
        if len(known) == len(made):
            alike.setdefault(known, []).append(which)
    rules = _rules(step.operation.__name__, *standing.letters)
    for outcome, formed in alike.items():
        for at, with_rule in enumerate(rules):
            pairs = zip(outcome, standing.result, strict=True)
            parts = [(*result[:at], one, *result[at + 1 :]) for one, result in pairs]
            yield [with_rule[one] for one in formed], parts


def _by_shape(step: Step, standing: Standing) -> Iterator[tuple[list[Rule], _Parts]]:
    """Leave a number out, swap two, turn all; keep one of several members."""
    name = step.operation.__name__
    if len(standing.result) > 1:
        for (which,) in MEMBERS:
            yield [Rule(name, (which,), 1)], members_kept(standing, which)
    letters = standing.letters[1]
    if len(letters) > 1:
        left_out = [letters[:at] + letters[at + 1 :] for at in range(len(letters))]
        for kept in (letters[::-1], *left_out):
            order = [letters.index(one) for one in kept]
            parts = [tuple(one[at] for at in order) for one in standing.result]
            yield [Rule(name, tuple(kept), len(kept))], parts
        turned = [tuple(-one for one in result) for result in standing.result]
        yield [Rule(name, tuple(f"-{one}" for one in letters), 2 * len(letters))], turned


@lru_cache(maxsize=1024)
def _rules(step: str, given: str, right: str) -> list[list[Rule]]:
    """For each number that comes out, the rules that put each formula in its place."""
    return [
        [
            Rule(step, (*right[:at], one.text, *right[at + 1 :]), one.symbols)
            for one in language(given + right)
        ]
        for at in range(len(right))
    ]
