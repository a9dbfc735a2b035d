"""An outsider with every printed table, and a class that is published in several editions.

The outsider is written apart from the program: it knows printed lines, not how they were chosen.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.optimize import linprog

LIMIT = 10
PARTS = {"answers": "total", "wrong": "part", "right": "rest"}
Place = tuple[str, int]


def simulated_class(
    generator: np.random.Generator, students: int = 40, topics: int = 4, weeks: int = 5
) -> pd.DataFrame:
    """First tries: topic, week, student, n, y; some weeks have few students or few errors."""
    rows = []
    for topic in range(topics):
        for week in range(topic + 1, topic + 1 + weeks - 2):
            present = generator.random(students) < generator.choice([0.95, 0.6, 0.15])
            wrong = generator.choice([0.05, 0.2, 0.4])
            for student in np.flatnonzero(present):
                n = int(generator.integers(1, 4))
                rows.append((f"t{topic}", week, student, n, int(generator.binomial(n, wrong))))
    return pd.DataFrame(rows, columns=["topic", "week", "student", "n", "y"])


def groups(answers: pd.DataFrame) -> pd.DataFrame:
    """The counts of `staging.shared_group`, one term and setting."""
    found = []
    for keys in (["topic", "week"], ["topic"], ["week"], []):
        by = answers.groupby([*keys, "student"], as_index=False)[["n", "y"]].sum()
        by["r"] = by["n"] - by["y"]
        by["hit"], by["missed"] = by["y"] > 0, by["r"] > 0
        by["yy"], by["yn"], by["nn"] = by["y"] ** 2, by["y"] * by["n"], by["n"] ** 2
        by["one"] = 1
        part = by.groupby(keys) if keys else by.groupby(lambda _: 0)
        made = part.agg(
            answers=("n", "sum"), wrong=("y", "sum"), students=("one", "sum"),
            students_wrong=("hit", "sum"), students_right=("missed", "sum"), most=("n", "max"),
            most_wrong=("y", "max"), most_right=("r", "max"), yy=("yy", "sum"),
            yn=("yn", "sum"), nn=("nn", "sum"),
        )  # fmt: skip
        found.append(made.reset_index().drop(columns=["index"], errors="ignore"))
    table = pd.concat(found, ignore_index=True)
    table = table.assign(term="fall", setting="quiz")
    return table.reindex(columns=["term", "setting", "topic", "week", *table.columns.drop(
        ["term", "setting", "topic", "week"])])  # fmt: skip


def small_students(answers: pd.DataFrame) -> pd.DataFrame:
    return answers.assign(term="fall", setting="quiz")


def as_kept(counts: pd.DataFrame, edition: str) -> pd.DataFrame:
    """Rows of `store.shared_earlier`, as an edition with these counts would be read back."""
    rows = []
    for row in counts.to_dict("records"):
        code = "" if pd.isna(row.get("code")) else str(row["code"])
        small = "wrong" if code.endswith("less") else "right" if code else ""
        for part, column in PARTS.items():
            rows.append({
                "edition": edition, "term": row["term"], "setting": row["setting"],
                "topic": row["topic"], "week_from": row["week_from"], "week_to": row["week_to"],
                "part": part, "value": row.get(column),
                "ceiling": row["ceiling"] if part == small else np.nan,
                "as_of": row.get("as_of"),
            })  # fmt: skip
    return pd.DataFrame(rows)


NOTHING_KEPT = pd.DataFrame(
    columns=["edition", "term", "setting", "topic", "week_from", "week_to", "part", "value",
             "ceiling", "as_of"]
)  # fmt: skip


class Outsider:
    """Knows printed counts of one or more editions of one class, and which questions were asked."""

    def __init__(self, places: list[Place], editions: list[pd.DataFrame]) -> None:
        self.places = places
        self.size = 2 * len(places)
        self.editions = editions
        self.equal: list[tuple[NDArray[np.float64], float]] = []
        self.atmost: list[tuple[NDArray[np.float64], float]] = []
        for number, edition in enumerate(editions):
            self._learn(number, edition)
        for number in range(len(editions) - 1):
            for cell in range(self.size):
                row = np.zeros(self.size * len(editions))
                row[number * self.size + cell] = 1
                row[(number + 1) * self.size + cell] = -1
                self.atmost.append((row, 0.0))

    def _learn(self, number: int, edition: pd.DataFrame) -> None:
        for row in edition.to_dict("records"):
            if pd.notna(row.get("as_of")):
                continue
            for part, column in PARTS.items():
                line = self.line(number, row, part)
                if pd.notna(row.get(column)):
                    self.equal.append((line, float(row[column])))
            if pd.notna(row.get("code")):
                part = "wrong" if str(row["code"]).endswith("less") else "right"
                self.atmost.append((self.line(number, row, part), float(row["ceiling"])))

    def line(self, number: int, row: dict, part: str) -> NDArray[np.float64]:  # type: ignore[type-arg]
        found = np.zeros(self.size * len(self.editions))
        for at, (topic, week) in enumerate(self.places):
            inside = row["week_from"] == 0 or row["week_from"] <= week <= row["week_to"]
            if row["topic"] in ("", topic) and inside:
                for kind, name in enumerate(("wrong", "right")):
                    if part in (name, "answers"):
                        found[number * self.size + 2 * at + kind] = 1
        return found

    def largest(self, direction: NDArray[np.float64]) -> float:
        return -self._least(-direction)

    def smallest(self, direction: NDArray[np.float64]) -> float:
        return self._least(direction)

    def _least(self, direction: NDArray[np.float64]) -> float:
        found = linprog(
            direction,
            A_eq=np.array([row for row, _ in self.equal]) if self.equal else None,
            b_eq=[value for _, value in self.equal] if self.equal else None,
            A_ub=np.array([row for row, _ in self.atmost]) if self.atmost else None,
            b_ub=[value for _, value in self.atmost] if self.atmost else None,
            method="highs",
        )
        if found.status == 3:
            return -np.inf
        assert found.fun is not None, found.message
        return float(found.fun)
