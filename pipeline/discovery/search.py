"""Where a problem leads when one step of its working is done by another rule.

The right walk is logged; every result is replaced by what each small formula makes of the numbers
that stand there, and the rest of the walk is run on. Outcomes that are equal share a run.
Langley and Ohlsson (1984, Proceedings of AAAI) searched rules of subtraction for those that lead
to a student's answers; Brown and VanLehn (1980, Cognitive Science 4) made wrong procedures from
right ones. Both from memory.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Hashable, Iterator
from contextlib import suppress
from functools import lru_cache
from itertools import chain
from typing import Any, Final, TypeAlias

from pipeline.discovery.language import constants_of, language, values_of, written_instead
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Node, Power, children
from pipeline.procedures.endings import comparable_ending
from pipeline.procedures.other_steps import (
    KEPT,
    MEMBERS,
    UNDONE,
    OtherStep,
    Standing,
    endings_otherwise,
    operation_of,
    places_of,
    standings_at,
    tree_instead,
    trees_at,
    write_down,
)
from pipeline.procedures.rewriting.operations import OPERATIONS
from pipeline.procedures.rewriting.other_rules import seen_as, typed
from pipeline.procedures.rewriting.terms import canonical, rational
from pipeline.procedures.walk import Place, Plan, Step, Walk, right_ending
from pipeline.reading.problems import Problem
from pipeline.records import Numbers
from pipeline.tagging.own_patterns import numbers_of
from pipeline.tasks.catalogue import plans, solved

LARGEST_EXPONENT: Final = 40
MOST_NUMBERS: Final = 5
"""Numbers of a problem, coefficients first, that formulas are made of."""
_REWRITING: Final = frozenset(OPERATIONS.values())
_Led: TypeAlias = Iterator[tuple[Hashable, Collection[OtherStep]]]
_Followed: TypeAlias = dict[str, list[OtherStep]]
_Outcomes: TypeAlias = dict[Any, list[OtherStep]]


def led_to(
    problem: Problem,
    numbers: Numbers,
    wanted: Collection[Hashable] | None = None,
    rules: Collection[OtherStep] | None = None,
) -> dict[Hashable, set[OtherStep]]:
    """Return the wrong answers that one step done otherwise leads to, with the rules that do it.

    Args:
        problem: the question.
        numbers: real or complex.
        wanted: the answers that matter, where not all do.
        rules: those that are followed; all small ones where none are given.
    """
    right = solved(problem, numbers).endings
    followed: _Followed | None = None if rules is None else {}
    if followed is not None:
        for rule in rules or ():
            followed.setdefault(operation_of(rule), []).append(rule)
    led = chain(*(made for plan in plans(problem)
                  for made in (_run_on(plan, followed), _by_tree(plan, followed))))  # fmt: skip
    values: dict[Hashable, Hashable | None] = {}
    found: dict[Hashable, set[OtherStep]] = {}
    for ending, mine in chain(led, _by_answer(problem, right, followed)):
        if ending not in values:
            values[ending] = _value(ending, numbers)
        value = values[ending]
        if value is not None and value not in right and (wanted is None or value in wanted):
            found.setdefault(value, set()).update(mine)
    return found


def _value(ending: Hashable, numbers: Numbers) -> Hashable | None:
    with suppress(*UNDONE):
        value = comparable_ending(ending, numbers)
        return frozenset(value) if isinstance(value, tuple) and len(value) == 1 else value
    return None


def _run_on(plan: Plan, followed: _Followed | None) -> _Led:
    """Replace each step of the right walk, and run the rest of it on."""
    run = Walk().through(plan.procedure, plan.start)
    results = tuple(step.result for step in run.log)
    often = Counter(step.operation for step in run.log)
    everywhere: dict[OtherStep, None] = {}
    for index, step in enumerate(run.log):
        last = step is run.log[-1] and run.ends_in(step.result)
        for outcome, rules in _outcomes(step, followed).items():
            if last:
                again = run.ended_in(outcome)
            else:
                again = Walk((*results[:index], outcome), logged=False)
                with suppress(*UNDONE):
                    again.through(plan.procedure, plan.start)
            yield from ((ending, rules) for ending in again.endings)
            if often[step.operation] > 1:
                everywhere.update((one, None) for one in rules if followed or one.is_short)
    for rule in everywhere:
        yield from ((ending, (rule,)) for ending in endings_otherwise(plan, rule))


def _by_tree(plan: Plan, followed: _Followed | None) -> _Led:
    """Write a place of the answer otherwise, where no working has looked at it place by place."""
    if followed is not None:
        for rule in followed.get(Place.ANSWER, ()):
            yield from ((ending, (rule,)) for ending in endings_otherwise(plan, rule))
        return
    log = Walk().through(plan.procedure, plan.start).log
    if _REWRITING.isdisjoint(step.operation for step in log):
        for place, put in places_of(right_ending(plan)):
            for tree, (rule,) in _rewritings(place):
                if _is_plain(tree):
                    mine = (rule._replace(place=Place.ANSWER),)
                    yield from ((ending, mine) for ending in put(tree))


def _by_answer(
    problem: Problem,
    right: Collection[Hashable],
    followed: _Followed | None,
) -> _Led:
    """Do something more with the right answer, or calculate with the problem's numbers alone."""
    for ending in right:
        if not isinstance(ending, frozenset | tuple):
            continue
        yield from _outcomes(Step(write_down, "", (ending,), ending), followed).items()
        kept = None if followed is None else {one.instead for one in followed.get("", ())}
        if isinstance(ending, frozenset) and len(ending) == 1 and kept != set():
            known = numbers_of(problem.task, problem.text, None)
            formulas = language("".join(known)[:MOST_NUMBERS])
            values = values_of(formulas, [Surd.of(one) for one in known.values()])
            for formula, value in zip(formulas, values, strict=True):
                if value is not None and (kept is None or (formula.text,) in kept):
                    yield frozenset({value}), (OtherStep("", "", (formula.text,)),)


def _outcomes(step: Step, followed: _Followed | None) -> _Outcomes:
    """Return what can come out of a step by the rules followed, or by all small ones."""
    found: _Outcomes = {}
    made: _Led
    if followed is not None:
        made = _by_rules(step, followed)
    elif step.operation in _REWRITING:
        made = _rewritings(*step.arguments)
    elif isinstance(step.result, Node):
        made = _by_trees(step)
    else:
        ways = standings_at(step)
        made = chain(*(chain(_by_formulas(step, one), _by_shape(step, one)) for one in ways))
        kept = OtherStep(step.operation.__name__, "", KEPT)
        made = chain(made, ((outcome, (kept,)) for outcome in kept.outcomes(step)))
    for outcome, rules in made:
        if outcome is not None and outcome != step.result and _is_plain(outcome):
            found.setdefault(outcome, []).extend(rules)
    return found


def _by_rules(step: Step, followed: _Followed) -> _Led:
    for rule in followed.get(step.operation.__name__, ()):
        with suppress(*UNDONE):
            yield from ((outcome, (rule,)) for outcome in rule.outcomes(step))


def _rewritings(place: Node) -> Iterator[tuple[Node, tuple[OtherStep]]]:
    """Yield what small rewriting rules make of a place of an expression."""
    for seen in (one for one in seen_as(place) if one.as_written):
        shape = typed(seen.shape)
        for tree, text in written_instead(seen.shape):
            with suppress(*UNDONE):
                outcome = canonical(seen.around(tree))
                if outcome != canonical(place):
                    yield outcome, (OtherStep(shape, "", (text,)),)


def _by_trees(step: Step) -> _Led:
    """Put a formula in the expressions that stand there in the place of the one that comes out."""
    names = "".join(letter for letter, _ in trees_at(step))
    for formula in language(names, constants_of(step.operation)):
        with suppress(*UNDONE):
            rule = OtherStep(step.operation.__name__, "", (formula.text,))
            yield tree_instead(step, formula.text), (rule,)


def _is_plain(outcome: Any) -> bool:
    """Whether all exponents are numbers, and small: others come from no school exercise."""
    return not isinstance(outcome, Node) or _has_small_exponents(outcome)


@lru_cache(maxsize=65536)
def _has_small_exponents(tree: Node) -> bool:
    if isinstance(tree, Power):
        exponent = rational(tree.exponent)
        if exponent is None or abs(exponent) > LARGEST_EXPONENT:
            return False
    return all(map(_has_small_exponents, children(tree)))


def _by_formulas(step: Step, standing: Standing) -> _Led:
    """Put a formula in the place of one of the numbers that come out; equal values share a run."""
    constants = constants_of(step.operation)
    formulas = language("".join(standing.letters), constants)
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
    rules = _rules(step.operation.__name__, *standing.letters, constants)
    for outcome, formed in alike.items():
        for at, with_rule in enumerate(rules):
            pairs = zip(outcome, standing.result, strict=True)
            parts = [(*result[:at], one, *result[at + 1 :]) for one, result in pairs]
            yield standing.joined(parts), [with_rule[one] for one in formed]


def _by_shape(step: Step, standing: Standing) -> _Led:
    """Leave a number out, swap two, turn all; keep one of several members."""
    name = step.operation.__name__
    letters = standing.letters[1]
    turned = tuple(f"-{one}" for one in letters)
    left_out = [(*letters[:at], *letters[at + 1 :]) for at in range(len(letters))]
    if len(letters) > 1:
        for instead in (tuple(letters[::-1]), turned, *left_out):
            for outcome in standing.made(instead):
                yield outcome, (OtherStep(name, "", instead),)
    for which in MEMBERS:
        for outcome in standing.kept(*which):
            yield outcome, (OtherStep(name, "", which),)


@lru_cache(maxsize=1024)
def _rules(step: str, given: str, right: str, constants: tuple[int, ...]) -> list[list[OtherStep]]:
    """For each number that comes out, the rules that put each formula in its place."""
    return [
        [
            OtherStep(step, "", (*right[:at], one.text, *right[at + 1 :]))
            for one in language(given + right, constants)
        ]
        for at in range(len(right))
    ]
