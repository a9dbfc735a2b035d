"""Classes that answer real questions by errors of the catalogue, at rates that are known.

Every question is walked and every answer examined as in a run, so that the candidates of an answer
are those of the program: single errors, pairs, slips. What is planted is drawn anew for each class.
"""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass
from functools import cache

import numpy as np
import pandas as pd

from pipeline.patterns.catalogue import catalogue
from pipeline.records import Request, Verdict
from pipeline.tagging.evidence import USUAL, Evidence, gather, with_chance
from pipeline.tagging.examine import examine
from pipeline.tagging.predict import predicted

TOPICS = {
    "factoring": ("x^2 - 6x + 8 = 0", "x^2 + 4x = 21", "2x^2 = 18x", "x^2 - 9 = 0"),
    "roots": ("(x - 4)^2 = 25", "2x^2 = 32", "(x + 1)^2 = 7", "x^2 = 45"),
    "formula": ("2x^2 - 7x + 3 = 0", "x^2 - 6x + 1 = 0", "3x^2 + 5x - 2 = 0", "x^2 + 4x = 26"),
}
STRAY, LANDED = 0.06, 0.1
"""Share of answers that no planted error gives, and of these on an answer that some error gives."""
ALIKE = 6.0
"""How alike students are: answers that each student's own rates count for beside the class's."""


@dataclass(frozen=True, slots=True)
class Planted:
    """One class: what attribution is told, and what was planted, by topic and pattern."""

    evidence: Evidence
    rates: dict[str, dict[str, float]]

    def truth(self, group: tuple[int, ...], topic: str) -> float:
        """Planted share of the chances to show a group at which one of it was shown."""
        names = [self.evidence.patterns[at] for at in group]
        rows = self.evidence.opportunities
        asked = rows.loc[rows["topic"] == topic, "question"].to_numpy()
        own = self.evidence.chance[asked][:, list(group)]
        able = own.any(axis=1)
        mine = np.array([self.rates[topic].get(name, 0.0) for name in names])
        return float((own[able] @ mine).mean())


@cache
def _general() -> frozenset[str]:
    return frozenset(one.id for one in catalogue() if one.general)


def _typed(key: str) -> str:
    """How a student would type a value, from its key."""
    words = {"NO_REAL": "no real solution", "NO_SOLUTION": "no solution"}
    plain = re.sub(r"Rational\((-?\d+), (\d+)\)", r"(\1/\2)", key.strip("{}"))
    return words.get(key, plain.replace("**", "^"))


@cache
def _walked() -> tuple[pd.DataFrame, pd.DataFrame, pd.DataFrame]:
    """Predicted values of all questions, the candidates of each, and the catalogue's order."""
    values, candidates = [], []
    problems = [(topic, text) for topic, texts in TOPICS.items() for text in texts]
    number = 0
    for question, (topic, problem) in enumerate(problems):
        seen: dict[str, int] = {}
        for key, _, name, weight, _ in predicted("solve", problem, "real", None, 1):
            if key not in seen:
                found = examine(Request("solve", problem, _typed(key)))
                seen[key] = -1
                if found.verdict is Verdict.WRONG and found.value_key == key:
                    seen[key] = number
                    candidates += [
                        (number, list(c.faults), c.id, c.weight, c.faults[0] in _general())
                        for c in found.patterns
                    ]
                    number += 1
            if seen[key] >= 0:
                values.append((question, topic, key, name, seen[key], weight))
    columns = ["question", "topic", "value_key", "pattern", "examined", "weight"]
    frame = pd.DataFrame(values, columns=columns).drop_duplicates(columns[:4])
    names = ["examined", "faults", "pattern", "weight", "general"]
    order = [one.id for one in catalogue()]
    listed = pd.DataFrame(
        {"pattern": order, "position": range(len(order)),
         "general": [name in _general() for name in order]}
    )  # fmt: skip
    return frame, pd.DataFrame(candidates, columns=names), listed


def draw(students: int, generator: np.random.Generator, chance: float = 0.1) -> Planted:
    """One class of some students that answer each question of each topic once.

    Of each topic three or four errors that two questions usually show are planted at 2 to 20
    percent, the most common first.
    """
    values, candidates, listed = _walked()
    likely = values["weight"] / values.groupby("pattern")["weight"].transform("max")
    values = values.assign(likely=likely)
    rates: dict[str, dict[str, float]] = {}
    rows: list[tuple[object, ...]] = []
    answered = int(values["examined"].max()) + 1
    for topic, part in values.groupby("topic", sort=True):
        usual = ~part["pattern"].isin(_general()) & (part["likely"] >= USUAL)
        shown = part[usual].groupby("pattern")["question"].nunique()
        able = sorted(shown.index[shown >= 2])
        chosen = generator.choice(able, size=generator.integers(3, 5), replace=False)
        planted = dict(zip(chosen, generator.uniform(0.02, 0.2, len(chosen)), strict=True))
        rates[str(topic)] = planted
        mean = np.array([1 - STRAY - sum(planted.values()), *planted.values(), STRAY])
        own = generator.dirichlet(mean * ALIKE, size=students)
        ways = defaultdict(list)
        for question, name, *way in part[
            ["question", "pattern", "value_key", "examined", "likely"]
        ].itertuples(index=False):
            ways[question, name].append(way)
        every = {q: list(p[["value_key", "examined"]].drop_duplicates().itertuples(index=False))
                 for q, p in part.groupby("question")}  # fmt: skip
        for student in range(students):
            for question in every:
                kind = generator.choice(len(mean), p=own[student])
                given: tuple[object, int] | None = None
                if 0 < kind < len(mean) - 1:
                    options = ways.get((question, chosen[kind - 1]), [])
                    likely = np.array([weight for *_, weight in options])
                    # By an unusual method alone it shows as rarely as that is used.
                    if options and generator.random() < likely.max():
                        given = options[generator.choice(len(options), p=likely / likely.sum())][:2]
                elif kind:
                    given = ("other", answered + question)
                    if generator.random() < LANDED:
                        given = every[question][int(generator.integers(len(every[question])))]
                key, examined = given or ("right", -1 - question)
                rows.append((topic, question, student, key, examined, int(given is not None)))
    names = ["topic", "question", "student", "value_key", "examined", "wrong"]
    answers = pd.DataFrame(rows, columns=names).assign(term="t", setting="quiz")
    predictions = values[["question", "value_key", "pattern", "weight"]]
    gathered = gather(answers, candidates, predictions, listed)
    return Planted(with_chance(gathered, chance), rates)
