"""One error's cells, the percents that sum them, and what of them must not be told."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeAlias

import numpy as np

from pipeline.statistics.disclosure.percents import Aim, Band, Figures
from pipeline.statistics.patterns import members
from pipeline.tagging.attribute import Cell
from pipeline.tagging.evidence import Evidence

__all__ = [
    "PAIR",
    "TERM",
    "TOPIC",
    "Key",
    "Row",
    "System",
    "band_of",
    "cells_of",
    "figures_of",
]

TERM, TOPIC, PAIR = "term", "topic", "pair"
COST = {TERM: 3.0, PAIR: 1.5, TOPIC: 1.0}
HALF = 0.005
"""Half of a whole percent: how far a printed share may lie from the exact one."""

Key: TypeAlias = tuple[str, str, str]
"""Kind of line, then term and topic; for a change the later and the earlier term."""

Row: TypeAlias = dict[str, Any]


@dataclass(frozen=True, slots=True)
class System:
    """The cells of one error in one setting: a term and topic each.

    Args:
        setting: practice, quiz or exam.
        pattern: id of the error, or ids joined.
        group: its patterns by number.
        places: term and topic of each cell.
        chances: answers that could show it.
        errors: of these, laid to it.
        students: distinct students with a chance.
        most: errors that outsiders hold possible, from chances and printed wrong answers.
    """

    setting: str
    pattern: str
    group: tuple[int, ...]
    places: list[tuple[str, str]] = field(default_factory=list)
    chances: list[float] = field(default_factory=list)
    errors: list[float] = field(default_factory=list)
    students: list[float] = field(default_factory=list)
    most: list[float] = field(default_factory=list)

    def inside(self, term: str, topic: str) -> list[int]:
        """Cells of a term, or of a topic; empty stands for all."""
        return [
            at
            for at, place in enumerate(self.places)
            if term in ("", place[0]) and topic in ("", place[1])
        ]


def cells_of(
    pooled: Sequence[Cell], evidence: Evidence, wrong: Mapping[tuple[str, str, str], float]
) -> dict[tuple[str, str], System]:
    """Gather the cells whose rate the questions determine, by setting and error.

    Args:
        pooled: classes by term, setting and topic.
        evidence: names the patterns.
        wrong: printed wrong answers by setting, term and topic.
    """
    found: dict[tuple[str, str], System] = {}
    for cell in pooled:
        term, setting, topic = (str(part) for part in cell.key)
        bound = wrong.get((setting, term, topic), np.inf)
        for at in np.flatnonzero(cell.known & (cell.opportunities > 0)):
            name = " / ".join(members(evidence, cell.groups[at]))
            blank = System(setting, name, cell.groups[at])
            system = found.setdefault((setting, name), blank)
            chances = float(cell.opportunities[at])
            errors = float(cell.rates[at]) * chances
            system.places.append((term, topic))
            system.chances.append(chances)
            system.errors.append(errors)
            system.students.append(float(cell.students[at]))
            system.most.append(max(min(chances, bound), errors))
    return found


def figures_of(
    system: System,
    own: Mapping[Key, Row],
    showing: Mapping[tuple[str, ...], float],
    limit: int,
) -> Figures:
    """Lines and aims of one error, this edition alone.

    Args:
        system: its cells.
        own: its lines with their states.
        showing: expected students by setting, term, topic and error.
        limit: fewest distinct students.
    """
    lines = {
        key: band for key, row in own.items() if (band := band_of(system, key, row)) is not None
    }
    sums: dict[tuple[int, ...], tuple[str, str]] = {}
    for at, place in enumerate(system.places):
        sums[(at,)] = place
    for kind, term, topic in own:
        if kind != PAIR and (cells := system.inside(term, topic)):
            sums.setdefault(tuple(cells), (term, topic))
    aims = []
    for inside, (term, topic) in sums.items():
        name = (system.setting, term, topic, system.pattern)
        aims += list(_aims(system, inside, showing.get(name, 0.0), limit))
    return Figures(np.array(system.most), lines, aims)


def _aims(system: System, cells: tuple[int, ...], showing: float, limit: int) -> Iterator[Aim]:
    chances, errors, most = (
        sum(values[at] for at in cells) for values in (system.chances, system.errors, system.most)
    )
    students = max(system.students[at] for at in cells)
    factors = dict.fromkeys(cells, 1.0)
    if students < limit or showing < limit:
        yield Aim(factors, min(limit, most), most)
    if students < limit or (1 - errors / chances) * students < limit:
        yield Aim(factors, min(limit, most), chances, complement=True)


def band_of(system: System, key: Key, row: Row) -> Band | None:
    """What a line says of the cells; None where it says nothing.

    Args:
        system: the cells, with the chances of the edition that prints the line.
        key: the line.
        row: its state and figures.
    """
    kind, term, topic = key
    state = row["state"]
    if state not in ("shown", "low", "high"):
        return None
    if kind == PAIR:
        return _difference(system, term, topic, row["rate"])
    cells = system.inside(term, topic)
    chances = sum(system.chances[at] for at in cells)
    if state == "shown":
        low, high = row["rate"] - HALF, row["rate"] + HALF
    else:
        low, high = (0.0, row["cap"]) if state == "low" else (1 - row["cap"], 1.0)
    return Band(dict.fromkeys(cells, 1.0), low * chances, high * chances, COST[kind])


def _difference(system: System, later: str, earlier: str, printed: float) -> Band | None:
    """The change as an outsider would read it who takes all questions for common ones."""
    pairs = [
        (first, second)
        for first in system.inside(earlier, "")
        for second in system.inside(later, "")
        if system.places[first][1] == system.places[second][1]
        and min(system.chances[first], system.chances[second]) > 0
    ]
    if not pairs:
        return None
    weights = np.array([system.chances[b] + system.chances[a] for b, a in pairs])
    weights = weights / weights.sum()
    factors: dict[int, float] = {}
    for weight, (first, second) in zip(weights, pairs, strict=True):
        factors[second] = weight / system.chances[second]
        factors[first] = -weight / system.chances[first]
    true = sum(factor * system.errors[at] for at, factor in factors.items())
    return Band(factors, min(printed - HALF, true), max(printed + HALF, true), COST[PAIR])
