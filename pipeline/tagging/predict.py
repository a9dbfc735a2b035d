"""Predictions: the wrong answers that the catalogue expects for a problem, with their faults."""

from __future__ import annotations

import re
from collections.abc import Hashable, Iterable, Iterator
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import chain
from typing import Final

from pipeline.exact.trees import Letter, Node, replaced
from pipeline.exact.values import Region, Value
from pipeline.patterns.catalogue import fault_of, general_moves, moves, pattern_of
from pipeline.procedures.endings import (
    comparable_ending,
    comparable_value,
    ending_keys,
)
from pipeline.procedures.equations import UNKNOWN
from pipeline.procedures.operations import copy_equation
from pipeline.procedures.quadratic import usual_methods
from pipeline.procedures.rewriting.operations import copy_expression
from pipeline.procedures.walk import (
    Faults,
    Plan,
    Step,
    Walk,
    any_result,
    copied,
    faulty_outcomes,
    walk,
)
from pipeline.reading.problems import Problem
from pipeline.records import Numbers
from pipeline.tagging.priors import (
    CROWD,
    GUESSED,
    OTHER_METHOD,
    guesses_of,
    is_small_whole,
    is_specific,
    largest_by_chance,
    weight_of,
)
from pipeline.tasks.catalogue import Solved, plans, read_problem, solved

_COPIES: Final = (copy_equation, copy_expression)
_DIGITS: Final = re.compile(r"~-?\d+(?:\.\d+)?(?:e[-+]?\d+)?")
"""The key of a real number that is kept by its digits."""


@dataclass(slots=True)
class Predictions:
    """What the catalogue expects of one problem.

    Args:
        right: the right answer, as far as it could be computed.
        usual: the procedure that the course taught, where it serves and was told, else those that
            the shape of the problem calls for; empty where all are alike.
        by_value: comparable wrong ending -> set of faults -> faults in the order of the working,
            and the procedures that reach it.
        regions: the wrong endings that are regions, for ends typed as decimals.
        guesses: the patterns that lead to so many answers that each of them says little.
        by_chance: largest whole number that is often typed by chance; 0 where chance is left to
            the size of the numbers alone.
    """

    right: Solved
    usual: frozenset[str]
    by_value: dict[Hashable, dict[frozenset[str], tuple[Faults, set[str]]]] = field(
        default_factory=dict
    )
    regions: dict[Hashable, Region] = field(default_factory=dict)
    guesses: frozenset[str] = frozenset()
    by_chance: int = 0
    _crowd: int | None = None
    _sizes: dict[int, list[tuple[Hashable, list[float]]]] = field(default_factory=dict)

    def real_sets(self) -> dict[int, list[tuple[Hashable, list[float]]]]:
        """Return the endings by how many real numbers they are, with the sizes of these.

        A number that is no surd, such as ln(7), is told by the digits of its key.
        """
        if not self._sizes:
            for ending in self.by_value:
                if isinstance(ending, frozenset) and all(one.is_real for one in ending):
                    sizes = sorted(one.approximate().real for one in ending)
                elif isinstance(ending, str) and _DIGITS.fullmatch(ending):
                    sizes = [float(ending[1:])]
                else:
                    continue
                self._sizes.setdefault(len(sizes), []).append((ending, sizes))
        return self._sizes

    def add(self, ending: Hashable, faults: Faults, procedure: str) -> None:
        """Note that a path with faults ends here; one entry for each set of faults.

        Versions that say different things of one answer leave it to the pattern to say it.
        """
        entries, made = self.by_value.setdefault(ending, {}), frozenset(one.id for one in faults)
        known, procedures = entries.setdefault(made, (faults, set()))
        procedures.add(procedure)
        if {one.says for one in known} != {one.says for one in faults}:
            entries[made] = tuple(fault_of(one.id) for one in known), procedures

    def alone(self) -> Iterator[str]:
        """Yield the pattern of every wrong answer that one fault leads to."""
        for sets in self.by_value.values():
            yield from (faults[0].id for faults, _ in sets.values() if len(faults) == 1)

    def is_crowded(self, value: Value) -> bool:
        """Whether an answer is one small number, and single faults lead to several such numbers."""
        if not is_small_whole(comparable_value(value), self.by_chance):
            return False
        if self._crowd is None:
            reached = (
                entries
                for ending, entries in self.by_value.items()
                if is_small_whole(ending, self.by_chance)
            )
            self._crowd = sum(any(map(is_specific, entries)) for entries in reached)
        return self._crowd >= CROWD

    def method_weight(self, procedures: AbstractSet[str]) -> float:
        """What it weighs that procedures lead somewhere, and no others."""
        return OTHER_METHOD if self.usual and self.usual.isdisjoint(procedures) else 1.0

    def weights(self, ending: Hashable) -> Iterator[tuple[Faults, float]]:
        """Yield the sets of faults that end here, each with its prior weight."""
        for made, (faults, procedures) in self.by_value.get(ending, {}).items():
            weight = weight_of(faults) * self.method_weight(procedures)
            yield faults, weight if self.guesses.isdisjoint(made) else weight * GUESSED


@lru_cache(maxsize=1024)
def predictions(
    task: str, problem: str, numbers: Numbers = "real", method: str | None = None
) -> Predictions:
    """Return all predicted wrong answers of a problem.

    Args:
        task: a task of the catalogue.
        problem: the question as the course wrote it.
        numbers: the number domain of the question.
        method: `factoring`, `square-root`, `complete-square` or `formula`, if one was taught.

    Raises:
        UnreadableProblem: the problem cannot be read.
    """
    return predictions_of(read_problem(problem, task), numbers, method)


def predictions_of(
    problem: Problem,
    numbers: Numbers = "real",
    method: str | None = None,
    depth: int = 2,
    *,
    slips: bool = True,
) -> Predictions:
    """Return all wrong answers of a problem as read, with at most `depth` faults or one slip."""
    ways = plans(problem)
    taught = {plan.name for plan in ways} & {method} or usual_methods(ways)
    chance = largest_by_chance(problem)
    found = Predictions(solved(problem, numbers), frozenset(taught), by_chance=chance)
    right = found.right.endings
    for plan in ways:
        ends = walk(plan.procedure, plan.start, moves, depth)
        for ending, faults in chain(ends, slips_of(plan) if slips else ()):
            if faults:
                value = comparable_ending(_in_its_letter(ending, problem), numbers)
                if value is not None and value not in right:
                    found.add(value, faults, plan.name)
                    if isinstance(ending, Region):
                        found.regions[value] = ending
    found.guesses = guesses_of(problem, found.alone())
    return found


def faults_leading_to(
    endings: Iterable[Hashable], problem: Problem, numbers: Numbers, procedure: str = ""
) -> frozenset[str]:
    """Return the patterns that lead from a problem to one of some endings by one fault.

    Args:
        endings: comparable ones.
        problem: where the working starts.
        numbers: the number domain of the question.
        procedure: the only one that counts; empty for any.
    """
    known = predictions_of(problem, numbers, depth=1).by_value
    ways = (way for ending in endings for way in known.get(ending, {}).values())
    return frozenset(faults[0].id for faults, through in ways if procedure in ("", *through))


def _in_its_letter(ending: Hashable, problem: Problem) -> Hashable:
    """Write an expression that stands for a solution in the unknown of the problem."""
    solves = problem.notation.solves and problem.letter != UNKNOWN
    if not solves or not isinstance(ending, Node):
        return ending
    return replaced(ending, ((UNKNOWN, Letter(problem.letter)),))


def slips_of(plan: Plan) -> Iterator[tuple[Hashable, Faults]]:
    """Yield what one general slip on the right path leads to."""
    run = Walk().through(plan.procedure, plan.start)
    results = tuple(step.result for step in run.log)
    for index, step in enumerate(run.log):
        operation = copied if step.operation in _COPIES else any_result
        found = Step(operation, "", (step.result,), step.result)
        for outcome, names in faulty_outcomes(found, lambda one, _: general_moves(one)).items():
            if step is run.log[-1] and run.ends_in(step.result):
                again = run.ended_in(outcome)
            else:
                again = Walk((*results[:index], outcome), logged=False)
                again.through(plan.procedure, plan.start)
            yield from ((ending, (name,)) for ending in again.endings for name in names)


def predicted(
    task: str,
    problem: str,
    numbers: Numbers = "real",
    method: str | None = None,
    most_faults: int = 2,
) -> tuple[tuple[str, tuple[str, ...], str, float, bool], ...]:
    """Return every prediction of a problem for storing.

    Args:
        task: a task of the catalogue.
        problem: the question as the course wrote it.
        numbers: the number domain of the question.
        method: the procedure that was taught, if one was.
        most_faults: leave out what takes more; keys of pairs are many and take long.

    Returns:
        Rows (value key, faults, id of the pattern that matters more, prior weight, whether it is
        a general slip).
    """
    found = predictions(task, problem, numbers, method)
    rows = []
    for ending in found.by_value:
        ways = [pair for pair in found.weights(ending) if len(pair[0]) <= most_faults]
        for key in ending_keys(ending) if ways else ():
            for faults, weight in ways:
                ids = tuple(one.id for one in faults)
                rows.append((key, ids, ids[0], weight, pattern_of(ids[0]).general))
    return tuple(rows)
