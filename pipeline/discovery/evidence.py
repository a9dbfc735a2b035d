"""Which rules the unexplained answers of a class speak for, and how often noise would do as much.

A rule speaks by the questions at which an unexplained answer is one that it leads to. Each such hit
counts the more the fewer rules lead to an answer given as often there; misses count against it, and
so does every rule as short that was tried. The control gives each question the unexplained answers
of another one of its kind: what the best rule then comes to is what noise comes to. A proposal
stands where at most one in twenty such exchanges reaches it, for all rules tried at once (Westfall
and Young 1993, Resampling-Based Multiple Testing; from memory), which holds the false discovery
rate as well.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from pipeline.discovery.search import Reached, Rule, number_of
from pipeline.records import Numbers

__all__ = ["FEWEST_ALIKE", "FEWEST_QUESTIONS", "LEVEL", "Asked", "Given", "Proposal", "proposals"]

FEWEST_QUESTIONS: Final = 3
FEWEST_STUDENTS: Final = 3
FEWEST_ALIKE: Final = 2
"""A value that one student alone gave teaches nothing of a class."""
EXCHANGES: Final = 199
"""Exchanges of answers among questions."""
LEVEL: Final = 0.05
MOST: Final = 12
"""Proposals that are made at once; more are for the next time."""


class Given(NamedTuple):
    """How often an answer was given, and by whom."""

    answers: int
    students: frozenset[int]


@dataclass(frozen=True)
class Asked:
    """A question with the answers to it that nothing explains.

    Args:
        task, problem, numbers: the question.
        kind: questions of one kind may exchange their answers.
        given: the unexplained answers.
        reached: what rules make of it; of the answers at least those given to any of the questions.
    """

    task: str
    problem: str
    numbers: Numbers
    kind: Hashable
    given: Mapping[Hashable, Given]
    reached: Reached


@dataclass(frozen=True)
class Proposal:
    """A wrong rule that several unexplained answers have in common.

    Args:
        rule: the shortest of those that say the same here.
        readings: others that lead to the same answers wherever these were given.
        hits: each question with the answers to it that it explains.
        answers: how many answers.
        students: how many students gave them.
        by_noise: fraction of exchanges in which some rule does as well, 0 to 1.
    """

    rule: Rule
    readings: tuple[Rule, ...]
    hits: tuple[tuple[Asked, tuple[Hashable, ...]], ...]
    answers: int
    students: int
    by_noise: float


class _Table:
    """All rules numbered, and for each question the numbers of those that lead to an answer."""

    def __init__(self, asked: Sequence[Asked]) -> None:
        every = set().union(*(some for one in asked for some in one.reached.leading.values()))
        self.rules = sorted(every, key=lambda rule: (rule.symbols, rule))
        number = {rule: at for at, rule in enumerate(self.rules)}
        self.leading = [
            {
                ending: np.fromiter((number[rule] for rule in rules), np.int64, len(rules))
                for ending, rules in one.reached.leading.items()
            }
            for one in asked
        ]
        mine = np.fromiter(map(number_of, self.rules), np.int64, len(self.rules))
        self.shown = [len(one.reached.visible) for one in asked]
        self.visible = np.sum([np.isin(mine, one.reached.visible) for one in asked], axis=0)
        tried: Counter[int] = Counter()
        for lengths in {one.kind: one.reached.lengths for one in asked}.values():
            for rule in {rule.symbols for rule in self.rules}:
                tried[rule] += lengths[min(rule, len(lengths) - 1)]
        self.cost = np.log([tried[rule.symbols] for rule in self.rules])

    def hits(self, at: int, given: Mapping[Hashable, Given]) -> tuple[np.ndarray, np.ndarray]:
        """Rules that lead to a given answer at a question, and what each hit is worth."""
        found = [
            (given[ending].answers, self.leading[at][ending])
            for ending in given
            if ending in self.leading[at]
        ]
        if not found:
            return np.zeros(0, np.int64), np.zeros(0)
        counts = np.concatenate([np.full(len(rules), count) for count, rules in found])
        rules = np.concatenate([rules for _, rules in found])
        order = np.lexsort((-counts, rules))
        rules, first = np.unique(rules[order], return_index=True)
        counts = counts[order][first]
        at_least = len(counts) - np.searchsorted(np.sort(counts), counts, side="left")
        return rules, -np.log(at_least / self.shown[at])

    def explained(
        self, rule: int, given: Sequence[Mapping[Hashable, Given]]
    ) -> dict[int, list[Hashable]]:
        """Return the answers that a rule leads to, by the question's place."""
        hits = {
            at: [one for one in mine if rule in self.leading[at].get(one, ())]
            for at, mine in enumerate(given)
        }
        return {at: ends for at, ends in hits.items() if ends}

    def scores(self, hits: Sequence[tuple[np.ndarray, np.ndarray]]) -> np.ndarray:
        """What each rule comes to by its hits at all questions."""
        numbers = np.concatenate([one for one, _ in hits])
        size = len(self.rules)
        count = np.bincount(numbers, minlength=size)
        worth = np.bincount(numbers, np.concatenate([one for _, one in hits]), minlength=size)
        often = (count + 0.5) / (self.visible + 1)
        misses = np.maximum(self.visible - count, 0)
        score = worth + count * np.log(often) + misses * np.log1p(-often) - self.cost
        return np.where(count >= FEWEST_QUESTIONS, score, -np.inf)


def proposals(asked: Sequence[Asked], seed: int = 0) -> list[Proposal]:
    """Return the rules that unexplained answers speak for, the strongest first.

    Args:
        asked: questions with their unexplained answers; their order changes nothing.
        seed: of the exchanges.
    """
    asked = sorted(
        (one for one in asked if len(one.reached.visible)), key=lambda one: (one.task, one.problem)
    )
    if len(asked) < FEWEST_QUESTIONS or not any(one.reached.leading for one in asked):
        return []
    table = _Table(asked)
    left = [
        {end: mine for end, mine in one.given.items() if len(mine.students) >= FEWEST_ALIKE}
        for one in asked
    ]
    found: list[Proposal] = []
    while len(found) < MOST:
        scores = table.scores([table.hits(at, given) for at, given in enumerate(left)])
        best = int(scores.argmax())
        if not np.isfinite(scores[best]):
            break
        noise = _by_noise(table, [one.kind for one in asked], left, seed)
        chance = float((1 + (noise >= scores[best]).sum()) / (1 + len(noise)))
        if chance > LEVEL:
            break
        hits = table.explained(best, left)
        proposal = _proposal(table, best, asked, left, hits, chance)
        if proposal.students >= FEWEST_STUDENTS:
            found.append(proposal)
        for at, endings in hits.items():
            for ending in endings:
                del left[at][ending]
    return found


def _by_noise(
    table: _Table, of_kind: Sequence[Hashable], given: Sequence[Mapping[Hashable, Given]], seed: int
) -> np.ndarray:
    """The best score of each exchange of answers among questions of a kind."""
    generator = np.random.default_rng(seed)
    kinds: dict[Hashable, list[int]] = {}
    for at, kind in enumerate(of_kind):
        kinds.setdefault(kind, []).append(at)
    known: dict[tuple[int, int], tuple[np.ndarray, np.ndarray]] = {}
    best = []
    for _ in range(EXCHANGES):
        hits = []
        for places in kinds.values():
            for at, other in zip(places, generator.permutation(places), strict=True):
                pair = at, int(other)
                if pair not in known:
                    known[pair] = table.hits(at, given[pair[1]])
                hits.append(known[pair])
        best.append(table.scores(hits).max())
    return np.array(best)


def _proposal(
    table: _Table,
    best: int,
    asked: Sequence[Asked],
    left: Sequence[Mapping[Hashable, Given]],
    hits: Mapping[int, Sequence[Hashable]],
    chance: float,
) -> Proposal:
    same = [set(table.leading[at][one].tolist()) for at, ends in hits.items() for one in ends]
    given = [left[at][one] for at, ends in hits.items() for one in ends]
    return Proposal(
        rule=table.rules[best],
        readings=tuple(table.rules[one] for one in sorted(set.intersection(*same) - {best})),
        hits=tuple((asked[at], tuple(ends)) for at, ends in hits.items()),
        answers=sum(one.answers for one in given),
        students=len(frozenset().union(*(one.students for one in given))),
        by_noise=chance,
    )
