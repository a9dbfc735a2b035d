"""How often a printed share comes true: `python -m tests.calibration.shares`.

Schools are drawn, each with error rates of its own: a few errors are common and most are rare
(Payne and Squibb 1990: rates of wrong rules are very uneven and differ from school to school).
A wrong answer to a textbook exercise or to a drawn quadratic comes from one error, from two, from
a slip, or from none that is known; the rates of these four differ from school to school, too.
Half of those that come from none that is known come from rules: errors of the catalogue that are
hidden from it in this school, at questions where no error left in it says the same by itself.
Printed is how often an entry was true, by the share printed for it, and the mean share of "no
known error" against its truth.
`python -m tests.calibration.shares fit` prints the weights that fit best, in the order of
`pipeline/tagging/priors.py`; they are fitted on other schools than those that are printed.
"""

from __future__ import annotations

import csv
import re
import sys
from collections import defaultdict
from collections.abc import Hashable, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import NamedTuple

import numpy as np
from scipy.optimize import minimize

from pipeline.errors import CannotBeWorked, UnreadableProblem
from pipeline.exact.evaluate import surd_of, tree_of_surd
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Letter, Node, Numeral, Sum, children, with_children
from pipeline.exact.values import Expression, Number, Point, Roots, Value, numbers_of
from pipeline.patterns.catalogue import catalogue, pattern_of
from pipeline.procedures.endings import comparable_value
from pipeline.procedures.rewriting.terms import negative, product_of, sum_of
from pipeline.procedures.walk import Faults
from pipeline.tagging.match import candidate, chance_weight, shared
from pipeline.tagging.predict import Predictions, predictions
from pipeline.tagging.priors import (
    CROWDED,
    GUESSED,
    GUESSES,
    UNEXPLAINED,
    UNEXPLAINED_LONE_BOUNDARY,
    UNEXPLAINED_SMALL_INTEGERS,
)
from pipeline.tasks.catalogue import TASKS

CASES = Path(__file__).parent.parent / "cases"
BOOKS = ("textbook_solve.csv", "textbook_expressions.csv", "textbook_further.csv")
QUADRATICS = 80
SCHOOLS, ANSWERS = 100, 600
FEW = 200
"""Entries of a bin below which its share is no more than a hint."""
FITTED, CHECKED = range(1, 1 + SCHOOLS), range(1001, 1001 + SCHOOLS)
UNEVEN = 1.2
"""Spread of the logarithm of an error's rate: one in six is over three times as common as most."""
MIXTURE = (12.4, 1.8, 0.8, 5)
"""Mean shares, in twentieths, of one error, two errors, slips, and none known.

Of published wrong answers tried cold seven in ten had a known explanation; slips are few
(one of 122 in Zakaria, Ibrahim and Maat 2010), though no clear line parts them from errors.
"""
UNKNOWN = 0.15
"""Share of the errors that a school's catalogue lacks."""
BY_RULE = 0.5
"""Share of the answers fitting no known error that follow a rule all the same.

A guess: published wrong answers come with a rule, typed ones often with none.
"""
MOST_APART = 0.05
BINS = np.linspace(0.1, 1, 10)
NOTHING: frozenset[str] = frozenset()
"""Stands for "no known error"."""


@dataclass(frozen=True)
class Exercise:
    """A question, what is predicted for it, and the endings of each set of faults by kind.

    Each ending has the weight of the methods that lead to it: students mostly solve an equation as
    its shape calls for.
    """

    task: str
    problem: str
    found: Predictions
    kinds: dict[str, dict[frozenset[str], dict[Hashable, float]]]


class Drawn(NamedTuple):
    """A wrong answer, what is true of it, and the errors that the catalogue lacks.

    No prediction has the ending None.
    """

    exercise: Exercise
    ending: Hashable | None
    true: frozenset[str]
    unknown: frozenset[str]

    def weights(self) -> list[tuple[Faults, float]]:
        """What the school's catalogue explains it by, with prior weights."""
        found = () if self.ending is None else self.exercise.found.weights(self.ending)
        return [(faults, weight) for faults, weight in found
                if self.unknown.isdisjoint([one.id for one in faults])]  # fmt: skip


class Printed(NamedTuple):
    """The entries of an answer with their shares; the last is "no known error"."""

    faults: tuple[frozenset[str], ...]
    shares: tuple[float, ...]


def kind_of(faults: frozenset[str]) -> str:
    if len(faults) > 1:
        return "two"
    return "slip" if any(pattern_of(one).general for one in faults) else "one"


def predicted(task: str, problem: str) -> Exercise | None:
    """A question with its predictions by kind; None where nothing can be predicted."""
    try:
        found = predictions(task, problem)
    except (UnreadableProblem, ZeroDivisionError, ValueError):
        return None
    kinds: dict[str, dict[frozenset[str], dict[Hashable, float]]] = defaultdict(
        lambda: defaultdict(dict)
    )
    for ending, sets in found.by_value.items():
        for faults, (_, procedures) in sets.items():
            kinds[kind_of(faults)][faults][ending] = found.method_weight(procedures)
    return Exercise(task, problem, found, kinds)


def exercise(task: str, problem: str) -> Exercise | None:
    """A question that can show errors of every kind."""
    found = predicted(task, problem)
    return found if found and set(found.kinds) == {"one", "two", "slip"} else None


def exercises() -> list[Exercise]:
    """Read the textbook exercises, and draw as many quadratics of the usual kinds as are said."""
    asked = [
        (row["task"] if row["task"] in TASKS else "solve", row["problem"])
        for book in BOOKS
        for row in csv.DictReader((CASES / book).open(encoding="utf-8", newline=""))
        if not row.get("asked") and not row.get("keep")
    ]
    rng = Random("quadratics")
    for _ in range(QUADRATICS):
        a, m, n, k = (
            rng.choice([1, 1, 2, 3]),
            rng.randint(-9, 9),
            rng.randint(1, 9),
            rng.randint(2, 60),
        )
        factored = f"{a}x^2 + {-a * (m + n)}x + {a * m * n} = 0"
        others = (f"(x + {m or 4})^2 = {k}", f"x^2 + {2 * n}x = {k}", f"{a}x^2 + {k}x - {n} = 0")
        asked.append(("solve", rng.choice((factored, *others)).replace("+ -", "- ")))
    return [one for task, text in asked if (one := exercise(task, text)) is not None]


def draw(school: int, questions: list[Exercise]) -> Iterator[Drawn]:
    """Draw the wrong answers of one school."""
    rng = Random(f"school {school}")
    rates = {
        declared.id: rng.lognormvariate(0, UNEVEN) * (GUESSED if declared.id in GUESSES else 1)
        for declared in catalogue()
    }
    unknown = frozenset(one.id for one in catalogue() if not one.general and rng.random() < UNKNOWN)
    one, two, slip, none = (rng.gammavariate(shape, 1) for shape in MIXTURE)
    for _ in range(ANSWERS):
        asked = rng.choice(questions)
        (kind,) = rng.choices(("one", "two", "slip", "none"), (one, two, slip, none))
        if kind == "none":
            ruled = by_rule(asked, unknown, rng) if rng.random() < BY_RULE else None
            yield Drawn(asked, ruled or by_chance(asked, rng), NOTHING, unknown)
            continue
        sets = {
            faults: ends for faults, ends in asked.kinds[kind].items() if unknown.isdisjoint(faults)
        }
        if not sets:
            continue
        weights = [
            sum(ends.values())  # a slip may come at any step
            if kind == "slip"
            else max(ends.values()) * np.prod([rates[each] for each in sorted(faults)])
            for faults, ends in sets.items()
        ]
        (true,) = rng.choices(list(sets), weights)
        (ending,) = rng.choices(list(sets[true]), list(sets[true].values()))
        yield Drawn(asked, ending, true, unknown)


def by_rule(asked: Exercise, unknown: frozenset[str], rng: Random) -> Hashable | None:
    """Answer by an error that the catalogue lacks and that no other of it stands in for."""
    told = {
        ending
        for faults, ends in asked.kinds["one"].items()
        if unknown.isdisjoint(faults)
        for ending in ends
    }
    found = [
        ending
        for faults, ends in asked.kinds["one"].items()
        if faults <= unknown
        for ending in ends
        if ending not in told
    ]
    return rng.choice(found) if found else None


def by_chance(asked: Exercise, rng: Random) -> Hashable | None:
    """Answer with the right answer's form and other numbers: small ones, or the question's."""
    given = [int(one) for one in re.findall(r"\d+", asked.problem)] or [1]
    ending: Hashable | None
    try:
        match asked.found.right.answer.value if asked.found.right.answer else None:
            case Number() | Roots() | Point() as value:
                typed = [changed_number(one, given, rng) for one in numbers_of(value)]
                ending = tuple(typed) if isinstance(value, Point) else frozenset(typed)
            case Expression(tree) if not isinstance(tree, Letter):
                ending = comparable_value(Expression(changed(tree, given, rng)))
            case _:
                return None
    except (CannotBeWorked, ZeroDivisionError):
        return None
    return None if ending in asked.found.right.endings else ending


def changed_number(one: Number, given: list[int], rng: Random) -> Surd:
    """Another number for a number: of the same form, or one that comes to mind."""
    chosen, other = Surd.of(rng.choice(given)), Surd.of(rng.choice(given))
    if one.surd is not None and (not one.surd.is_rational or rng.random() < 0.3):
        return surd_of(changed(tree_of_surd(one.surd), given, rng)) or chosen
    ratio = chosen / other if other else chosen
    small = Surd.of(rng.randint(-12, 12))
    return rng.choice([small, small, chosen, chosen + other, ratio, -chosen])


def changed(tree: Node, given: list[int], rng: Random) -> Node:
    """Change a sign, leave out a term, or put another number in the place of one."""
    if isinstance(tree, Sum) and len(tree.terms) > 1 and rng.random() < 0.4:
        at = rng.randrange(len(tree.terms))
        rest = [one for place, one in enumerate(tree.terms) if place != at]
        return sum_of(*rest, *([negative(tree.terms[at])] if rng.random() < 0.7 else []))
    parts = list(children(tree))
    if not parts:
        number = Numeral(Fraction(rng.choice([*given, rng.randint(1, 12)])))
        return number if isinstance(tree, Numeral) else product_of(number, tree)
    at = rng.randrange(len(parts))
    parts[at] = changed(parts[at], given, rng)
    return with_children(tree, parts)


def printed(drawn: Drawn) -> Printed:
    """What is printed of an answer."""
    asked, ending = drawn.exercise, drawn.ending
    rest = chance_weight(asked.found, as_value(asked.found, ending), asked.task)
    entries, unknown = shared([candidate(*one) for one in drawn.weights()], rest)
    return Printed(
        (*(frozenset(one.faults) for one in entries), NOTHING),
        (*(one.share for one in entries), unknown),
    )


def as_value(found: Predictions, ending: Hashable | None) -> Value:
    """The value typed; anything without a number stands for an expression."""
    if isinstance(ending, frozenset):
        members = tuple(Number.exactly(one) for one in ending)
        return members[0] if len(members) == 1 else Roots(members)
    if isinstance(ending, tuple):
        return Point(tuple(Number.exactly(one) for one in ending))
    return found.regions.get(ending, Expression(Letter("x")))


def reliability(drawn: Iterable[Drawn]) -> dict[int, tuple[int, float, float]]:
    """Return for each bin of tenths of printed shares: entries, mean printed share, share true."""
    found = defaultdict(list)
    for one in drawn:
        for faults, share in zip(*printed(one), strict=True):
            if share >= BINS[0]:
                found[min(int(share * 10 + 1e-9), 9)].append((share, faults == one.true))
    return {
        at: (len(pairs), *(float(each) for each in np.mean(pairs, axis=0)))
        for at, pairs in sorted(found.items())
    }


def labels(drawn: Drawn) -> tuple[list[str], int]:
    """The weight of each entry by the name that `priors.py` gives it, and which entry is true."""
    asked, ending = drawn.exercise, drawn.ending
    entries = [frozenset(one.id for one in faults) for faults, _ in drawn.weights()]
    names = {"one": "SINGLE", "two": "PAIR", "slip": "GENERAL"}
    found = [
        names[kind_of(one)] + (" * GUESSED" if not asked.found.guesses.isdisjoint(one) else "")
        for one in entries
    ]
    value = as_value(asked.found, ending)
    weight = chance_weight(asked.found, value, asked.task)
    chance = {
        CROWDED: "CROWDED",
        UNEXPLAINED: "UNEXPLAINED",
        UNEXPLAINED_SMALL_INTEGERS: "UNEXPLAINED_SMALL_INTEGERS",
        UNEXPLAINED_LONE_BOUNDARY: "UNEXPLAINED_LONE_BOUNDARY",
    }
    at = entries.index(drawn.true) if drawn.true else len(entries)
    return [*found, chance[weight]], at


def fit(drawn: Iterable[Drawn]) -> dict[str, float]:
    """Return the weights of greatest likelihood, relative to that of a single error."""
    rows = [row for one in drawn if len((row := labels(one))[0]) > 1]
    names = sorted({name for found, _ in rows for name in found} - {"SINGLE"})
    place = {"SINGLE": 0, **{name: at for at, name in enumerate(names, 1)}}
    width = max(len(found) for found, _ in rows)
    of = np.full((len(rows), width), len(place))
    for row, (found, _) in enumerate(rows):
        of[row, : len(found)] = [place[name] for name in found]
    true = of[np.arange(len(rows)), [at for _, at in rows]]

    def surprise(logs: np.ndarray) -> float:
        every = np.concatenate([[0.0], logs, [-np.inf]])
        return float((np.log(np.exp(every[of]).sum(axis=1)) - every[true]).sum())

    best = minimize(surprise, np.full(len(names), -2.0), method="L-BFGS-B")
    return dict(zip(names, np.exp(best.x), strict=True))


def main(arguments: list[str]) -> int:
    """Print the table, or the weights; 1 where a bin is off by more than is allowed."""
    questions = exercises()
    if arguments == ["fit"]:
        for name, weight in fit(
            one for school in FITTED for one in draw(school, questions)
        ).items():
            print(f"{name} = {weight:.4f}")
        return 0
    drawn = [one for school in CHECKED for one in draw(school, questions)]
    print(f"{len(drawn)} wrong answers, {len(questions)} questions, {SCHOOLS} schools")
    print("printed share   entries   mean printed   true    off")
    worst = 0.0
    for at, (count, mean, true) in reliability(drawn).items():
        off, chance = abs(mean - true), 2 * (true * (1 - true) / count) ** 0.5
        worst = max(worst, off - (chance if off > MOST_APART else 0))
        few = " (few)" if count < FEW else ""
        print(f".{at} to {(at + 1) / 10:.1f} {count:14} {mean:14.3f} {true:7.3f} {off:7.3f}{few}")
    unknown = [printed(one).shares[-1] for one in drawn]
    none = [not one.true for one in drawn]
    print(f'"no known error": printed {np.mean(unknown):.3f} on average, true {np.mean(none):.3f}')
    print(f"allowed: {MOST_APART}, beyond two standard errors")
    return int(worst > MOST_APART)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
