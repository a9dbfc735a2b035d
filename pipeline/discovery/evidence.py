"""Which rules the unexplained answers of a class speak for, and how often noise would do as much.

The questions with the most unexplained answers are searched whole; a rule that leads to an answer
there is followed through the others, and speaks by what it hits in these. A hit counts the more the
fewer rules would hit as often given an answer of another question; misses count against a rule,
and so does every shorter one that was tried. The control gives each question the answers of another
one of its kind: what the best rule then comes to is what noise comes to, for all rules tried at
once (Westfall and Young 1993, Resampling-Based Multiple Testing; from memory).
"""

from __future__ import annotations

import inspect
import re
from collections import Counter
from collections.abc import Collection, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import prod
from types import MappingProxyType
from typing import Any, Final, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from pipeline.discovery.search import led_to
from pipeline.errors import UnreadableProblem
from pipeline.procedures.other_steps import KEPT, OtherStep, is_shape, legend_of, write_down
from pipeline.procedures.walk import Step, Walk
from pipeline.reading.problems import Problem
from pipeline.records import Numbers
from pipeline.tagging.other_numbers import with_other_numbers
from pipeline.tasks.catalogue import plans, read_problem

FEWEST_QUESTIONS: Final = 3
FEWEST_STUDENTS: Final = 3
FEWEST_ALIKE: Final = 2
"""A value that one student alone gave teaches nothing of a class."""
EXCHANGES: Final = 499
"""Exchanges of answers among questions."""
LEVEL: Final = 0.05
MANY: Final = 6
"""Questions of a kind from which two of them are searched whole, and not one."""
MOST_RULES: Final = 5_000
"""Rules that are followed through all questions, the shortest first."""
MOST: Final = 12
"""Proposals that are made at once; more are for the next time."""
_Floats: TypeAlias = NDArray[np.float64]
Led: TypeAlias = dict[tuple[Hashable, ...], frozenset[OtherStep]]
"""Problem, numbers and key of an answer -> all small rules that lead there, if searched whole."""


class Given(NamedTuple):
    """An answer to a question that no one known error explains.

    Args:
        answers, students: how often it was given, and by whom.
        words: the answer in words.
        known: pairs of errors and slips that lead there; of a pair how often the class made the
            rarer of the two alone, of a slip how often slips may come at most.
        key: of its value; without one, the answer is told by itself.
    """

    answers: int
    students: frozenset[int]
    words: str = ""
    known: Mapping[str, float] = MappingProxyType({})
    key: str = ""


@dataclass(frozen=True)
class Asked:
    """A question with the answers to it that nothing explains.

    Args:
        task, problem, numbers: the question.
        kind: questions of one kind may exchange their answers.
        given: the answers that no one known error explains.
        explained: the other wrong answers; of a rule that leads to one, the question tells nothing.
    """

    task: str
    problem: str
    numbers: Numbers
    kind: Hashable
    given: Mapping[Hashable, Given]
    explained: frozenset[Hashable] = frozenset()

    @property
    def answers(self) -> int:
        """Answers that several students gave alike."""
        return sum(one.answers for one in self.given.values())


def kinds_of(ways: Sequence[frozenset[str]]) -> list[int]:
    """Number the kinds of questions, each told by the names of the ways in which it is worked.

    Of a kind are those that share three in four of their ways with its first question.
    """
    firsts: list[frozenset[str]] = []
    found = []
    for mine in ways:
        alike = (at for at, one in enumerate(firsts) if 4 * len(one & mine) >= 3 * len(one | mine))
        found.append(next(alike, len(firsts)))
        firsts += [mine] * (found[-1] == len(firsts))
    return found


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

    rule: OtherStep
    readings: tuple[OtherStep, ...]
    hits: tuple[tuple[Asked, tuple[Hashable, ...]], ...]
    answers: int
    students: int
    by_noise: float


class Table:
    """The rules that lead to an answer where it was searched for all, and where else they lead."""

    def __init__(
        self,
        asked: Sequence[Asked],
        given: Sequence[Mapping[Hashable, Given]],
        before: Led | None = None,
    ) -> None:
        self.asked = asked
        self.searched = _searched(asked)
        problems = [read_problem(one.problem, one.task) for one in asked]
        self.led: Led = {}
        for at in self.searched:
            self.led |= _led(asked[at], problems[at], given[at], before or {})
        found = frozenset().union(*self.led.values())
        self.rules = sorted(found, key=lambda rule: (rule.symbols, rule))[:MOST_RULES]
        number = {rule: at for at, rule in enumerate(self.rules)}
        size = len(self.rules)
        self.leading: list[dict[Hashable, NDArray[np.int64]]] = []
        self.visible = np.zeros((len(asked), size), bool)
        for at, (one, problem) in enumerate(zip(asked, problems, strict=True)):
            led = led_to(problem, one.numbers, rules=self.rules) if size else {}
            ends = {end: np.array([number[rule] for rule in mine]) for end, mine in led.items()}
            for end in ends.keys() - one.explained:
                self.visible[at, ends[end]] = True
            self.leading.append(ends)
        symbols = np.array([rule.symbols for rule in self.rules])
        self.cost = np.log(np.searchsorted(symbols, symbols, side="right"))

    def counts(self, at: int, given: Mapping[Hashable, Given]) -> NDArray[np.int64]:
        """How often each rule's answer to a question was given, the most frequent where several."""
        found = np.zeros(len(self.rules), np.int64)
        for ending, rules in self.leading[at].items():
            if ending in given:
                found[rules] = np.maximum(found[rules], given[ending].answers)
        return found


def _led(one: Asked, problem: Problem, wanted: Collection[Hashable], before: Led) -> Led:
    """Which rules lead to each answer; the question is walked for one that is not known before."""
    places = {end: (one.problem, one.numbers, one.given[end].key or end) for end in wanted}
    if before.keys() >= set(places.values()):
        return {place: before[place] for place in places.values()}
    led = led_to(problem, one.numbers, wanted)
    return {place: frozenset(led.get(end, ())) for end, place in places.items()}


def _searched(asked: Sequence[Asked]) -> list[int]:
    """The places of the questions that are searched whole: the fullest of each kind."""
    found: list[int] = []
    for kind in dict.fromkeys(one.kind for one in asked):
        places = [at for at, one in enumerate(asked) if one.kind == kind]
        found += places[: 2 if len(places) >= MANY else 1]
    return found


def _of_their_kind(asked: Sequence[Asked]) -> dict[int, list[int]]:
    """The places of the other questions of a kind, by place, where there are any."""
    kinds = [one.kind for one in asked]
    others = {at: [k for k, one in enumerate(kinds) if one == kind and k != at]
              for at, kind in enumerate(kinds)}  # fmt: skip
    return {at: some for at, some in others.items() if some}


class _Evidence:
    """What the hits of each rule are worth, by the question and by whose answers it is given.

    Those searched whole keep their answers in every exchange: it was these that rules were led by.
    """

    def __init__(self, table: Table, given: Sequence[Mapping[Hashable, Given]]) -> None:
        self.table = table
        self.own = np.array([table.counts(at, mine) for at, mine in enumerate(given)])
        others = _of_their_kind(table.asked)
        self.fixed = {at: at for at in others if at in table.searched}
        self.others = {at: some for at, some in others.items() if at not in table.searched}
        self.worth: dict[tuple[int, int], _Floats] = {}
        for at, some in others.items():
            foreign = [table.counts(at, given[k]) for k in some]
            pooled = np.sort(np.concatenate(foreign))
            for k, mine in zip((at, *some), (self.own[at], *foreign), strict=True):
                as_often = len(pooled) - np.searchsorted(pooled, mine, side="left")
                worth = -np.log((as_often + 1) / (len(pooled) + 1))
                self.worth[at, k] = np.where(mine > 0, worth, 0.0)

    def scores(self, given_to: Mapping[int, int]) -> _Floats:
        """What each rule comes to where each question is given the answers of one."""
        given_to = {**self.fixed, **given_to}
        worth = np.array([self.worth[pair] for pair in given_to.items()])
        count = (worth > 0).sum(axis=0)
        visible = np.maximum(count, self.table.visible[list(given_to)].sum(axis=0))
        often = (count + 0.5) / (visible + 1)
        misses = visible - count
        score: _Floats = worth.sum(axis=0) + count * np.log(often) + misses * np.log1p(-often)
        return np.where(count >= FEWEST_QUESTIONS, score - self.table.cost, -np.inf)

    def best(self) -> tuple[int, float]:
        """Return the rule that comes to most, and its score."""
        hit = self.own[self.table.searched].any(axis=0)
        scores = np.where(hit, self.scores({at: at for at in self.others}), -np.inf)
        return int(scores.argmax()), float(scores.max())

    def by_noise(self, best: int, score: float, level: float, seed: int) -> float:
        """Return the fraction of exchanges in which some rule does as well, 1 if too many."""
        seen = [len(some) for at, some in self.others.items() if self.table.visible[at, best]]
        exchanges = min(EXCHANGES, prod(map(len, self.others.values())))
        if level * (1 + prod(seen)) < 1:
            return 1.0
        generator = np.random.default_rng(seed)
        as_much = 0
        for _ in range(exchanges):
            if 1 + as_much > level * (1 + exchanges):
                return 1.0
            given_to = {at: int(generator.choice(some)) for at, some in self.others.items()}
            as_much += self.scores(given_to).max() >= score
        return float((1 + as_much) / (1 + exchanges))


def proposals(
    asked: Sequence[Asked], level: float = LEVEL, seed: int = 0, led: Led | None = None
) -> list[Proposal]:
    """Return the rules that unexplained answers speak for, the strongest first.

    Args:
        asked: questions of a task with their unexplained answers; their order changes nothing.
        level: what fraction of exchanges may do as well.
        seed: of the exchanges.
        led: what an earlier search found; it is replaced by what this one rests on.
    """
    before, led = dict(led or {}), {} if led is None else led
    led.clear()
    asked = sorted(asked, key=lambda one: (-one.answers, one.problem))
    searched = _searched(asked)
    most = prod(len(some) for at, some in _of_their_kind(asked).items() if at not in searched)
    if len(asked) < FEWEST_QUESTIONS or level * (1 + most) < 1:
        return []  # so few exchanges speak for nothing
    left = [
        {end: mine for end, mine in one.given.items() if len(mine.students) >= FEWEST_ALIKE}
        for one in asked
    ]
    table = Table(asked, left, before)
    led.update(table.led)
    found: list[Proposal] = []
    while table.rules and len(found) < MOST:
        evidence = _Evidence(table, left)
        best, score = evidence.best() if evidence.others else (0, -np.inf)
        chance = evidence.by_noise(best, score, level, seed) if np.isfinite(score) else 1.0
        if chance > level:
            break
        proposal = _taken(table, best, left, chance)
        if proposal.students >= FEWEST_STUDENTS and not _is_known(proposal):
            found.append(proposal)
    return found


def _is_known(proposal: Proposal) -> bool:
    """Whether slips or two errors that come as often lead there at a third of the questions."""
    led = [
        {name for end in ends for name, alone in asked.given[end].known.items()
         if alone >= proposal.answers}
        for asked, ends in proposal.hits
    ]  # fmt: skip
    often = Counter(name for names in led for name in names)
    return 3 * max(often.values(), default=0) >= len(led)


def _taken(
    table: Table, best: int, left: Sequence[dict[Hashable, Given]], chance: float
) -> Proposal:
    """Propose a rule, and take the answers that it leads to out of those that are left."""
    ends = [[end for end in mine if best in lead.get(end, ())]
            for mine, lead in zip(left, table.leading, strict=True)]  # fmt: skip
    same = [set(table.leading[at][end].tolist()) for at, some in enumerate(ends) for end in some]
    given = [left[at].pop(end) for at, some in enumerate(ends) for end in some]
    return Proposal(
        rule=table.rules[best],
        readings=tuple(table.rules[one] for one in sorted(set.intersection(*same) - {best})),
        hits=tuple((table.asked[at], tuple(some)) for at, some in enumerate(ends) if some),
        answers=sum(one.answers for one in given),
        students=len(frozenset().union(*(one.students for one in given))),
        by_noise=chance,
    )


MOST_READINGS: Final = 4
"""Readings that are listed, those first that foretell other answers elsewhere."""
MOST_COMPARED: Final = 40
"""Readings, the shortest first, that are held against further questions."""
FRESH: Final = 8
"""Further questions that are drawn."""


def told(proposal: Proposal) -> dict[str, Any]:
    """Say what several answers have in common.

    Returns:
        `what`: the rule in words; `readings`: other rules that foretell the same answers wherever
        these were given; `decided_by`: the shortest question on which one of them foretells another
        answer, or None.
    """
    asked, _ = proposal.hits[0]
    first = read_problem(asked.problem, asked.task)
    compared = (proposal.rule, *proposal.readings[:MOST_COMPARED])
    foretold: dict[OtherStep, list[frozenset[Hashable]]] = {rule: [] for rule in compared}
    fresh = sorted(_fresh(proposal), key=lambda one: (len(one.text), one.text))
    for problem in fresh:
        led = led_to(problem, asked.numbers, rules=compared)
        for rule, ends in foretold.items():
            ends.append(frozenset(end for end, rules in led.items() if rule in rules))
    mine = foretold[proposal.rule]
    apart: dict[tuple[frozenset[Hashable], ...], OtherStep] = {}
    for rule, ends in foretold.items():
        apart.setdefault(tuple(ends), rule)
    others = [one for one in apart.values() if one != proposal.rule]
    same = [rule for rule in compared[1:] if rule not in others]
    listed = (others + same)[:MOST_READINGS]
    decides = (
        problem.text
        for at, problem in enumerate(fresh)
        if any(foretold[rule][at] != mine[at] for rule in listed)
    )
    what, *readings = (_in_words(rule, first) for rule in (proposal.rule, *listed))
    return {"what": what, "readings": readings, "decided_by": next(decides, None)}


def _fresh(proposal: Proposal) -> Iterator[Problem]:
    """Further questions like those that were asked, the shortest first."""
    asked = sorted(
        (one for one, _ in proposal.hits), key=lambda one: (len(one.problem), one.problem)
    )
    left = FRESH
    for one in asked:
        for text in with_other_numbers(one.task, one.problem, one.numbers):
            if left:
                left -= 1
                try:
                    yield read_problem(text, one.task)
                except UnreadableProblem:
                    continue


_WHOLE: Final[Mapping[tuple[str, ...], str]] = {
    ("first",): "only the least of several",
    ("last",): "only the greatest of several",
    ("one",): "only one of several",
    KEPT: "what was there before",
}


def _in_words(rule: OtherStep, problem: Problem) -> str:
    instead = _WHOLE.get(rule.instead) or ", ".join(rule.instead)
    if not rule.step:
        return f"{instead} is given for an answer (letters as in a course's own errors)"
    if is_shape(rule.step):
        where = f" in the {rule.place}" if rule.place else ""
        return f"where {rule.step} stands{where}, {instead} is written instead"
    if rule.step == write_down.__name__:
        return f"{_named(instead, {'r': 'the right answer'})} is written down for an answer"
    step = _step_of(rule, problem)
    if step is None:
        return f"at the step {rule.step}, {instead} comes out instead"
    said = re.split(r"\n\n|; ", inspect.getdoc(step.operation) or rule.step)[0]
    done = " ".join(said.split()).rstrip(".").removeprefix("Return ")
    named = _named(instead, legend_of(step, rule.instead))
    return f"at the step “{done}”, {named} comes out instead"


def _step_of(rule: OtherStep, problem: Problem) -> Step | None:
    steps = (
        step
        for plan in plans(problem)
        for step in Walk().through(plan.procedure, plan.start).log
        if step.operation.__name__ == rule.step
    )
    return next(steps, None)


def _named(text: str, legend: dict[str, str]) -> str:
    return re.sub(r"\b[a-z]\b", lambda one: f"[{legend.get(one[0], one[0])}]", text)
