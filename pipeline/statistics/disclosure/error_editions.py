"""Percents of errors that earlier editions told, attacked together with those of a new one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pipeline.statistics.disclosure.error_lines import PAIR, Key, Row, System, band_of
from pipeline.statistics.disclosure.percents import Aim, Band, Figures, spans_of
from pipeline.tagging.evidence import Evidence

__all__ = ["EDITIONS", "Kept", "Past", "with_editions"]

EDITIONS = 2
"""Latest editions with other figures that are attacked together with a new one."""

Counts = Mapping[tuple[str, str], NDArray[np.float64]]
"""First tries by question, of each term and topic."""


@dataclass(frozen=True, slots=True)
class Kept:
    """What earlier editions say of one error.

    Args:
        editions: attacked together with the new one.
        figures: by line, what the latest one printed, to be carried over.
    """

    editions: int = 0
    figures: Mapping[Key, Row] = field(default_factory=dict)


class Past:
    """The editions that are out already.

    Args:
        earlier: `store.shared_percent`.
        evidence: today's answers; those given after an edition's last day are left out of its
            chances, those without a day are taken for given before.
    """

    def __init__(self, earlier: pd.DataFrame, evidence: Evidence) -> None:
        self.rows: dict[tuple[str, str], list[Row]] = {}
        for row in earlier.to_dict("records"):
            place = (str(row["setting"]), str(row["pattern"]))
            self.rows.setdefault(place, []).append({str(k): v for k, v in row.items()})
        self.evidence = evidence
        self._counts: dict[tuple[str, object], Counts] = {}

    def told(self, system: System) -> list[Row]:
        """Every line on one error that was ever printed."""
        return self.rows.get((system.setting, system.pattern), [])

    def then(self, system: System, last_day: Any) -> System:
        """The cells of an error with the chances of an earlier day."""
        counts = self._counted(system.setting, last_day)
        able = np.asarray(self.evidence.shows[:, list(system.group)].any(axis=1))
        nothing = np.zeros(len(able))
        chances = [float(counts.get(place, nothing) @ able) for place in system.places]
        most = [min(pair) for pair in zip(chances, system.most, strict=True)]
        errors = [min(pair) for pair in zip(chances, system.errors, strict=True)]
        return replace(system, chances=chances, most=most, errors=errors)

    def _counted(self, setting: str, last_day: Any) -> Counts:
        key = (setting, last_day)
        if key not in self._counts:
            answers = self.evidence.opportunities
            mine = answers["setting"] == setting
            if not pd.isna(last_day):
                days = pd.to_datetime(answers["answered_on"])
                mine &= ~(days > pd.Timestamp(str(last_day)))
            size = self.evidence.shows.shape[0]
            self._counts[key] = {
                (str(term), str(topic)): np.bincount(part["question"], minlength=size).astype(float)
                for (term, topic), part in answers[mine].groupby(["term", "topic"])
            }
        return self._counts[key]


def with_editions(
    figures: Figures, system: System, own: Mapping[Key, Row], past: Past, limit: int
) -> tuple[Figures, Kept]:
    """Add what earlier editions printed, and the changes since that few students may have made.

    Args:
        figures: this edition alone.
        system: its cells.
        own: its lines.
        past: the editions that are out already.
        limit: fewest distinct students.
    """
    told = past.told(system)
    if not told:
        return figures, Kept()
    latest = max(row["edition"] for row in told)
    carried = {_key(row): _again(row) for row in told if row["edition"] == latest}
    blocks = _blocks(told, latest)
    if not blocks:
        return figures, Kept(0, carried)
    then = [past.then(system, rows[0]["last_answer"]) for rows in blocks]
    wide = _joined(figures, system, then, blocks)
    if wide is None:
        # Other rules judge the answers now: the old figures are of other counts.
        return figures, Kept(0, carried)
    printed = {_key(row): at for at, rows in enumerate(blocks) for row in rows}
    changes = _changes(wide, system, then, own, printed, limit)
    before = _as_before(wide, figures.aims, system, then[-1], len(then), limit)
    return replace(wide, aims=[*figures.aims, *changes, *before]), Kept(len(blocks), carried)


def _blocks(told: Sequence[Row], latest: str) -> list[list[Row]]:
    """Lines by edition, oldest first: the latest that differ, and those that still stand."""
    sources = {row["as_of"] for row in told if row["edition"] == latest and _said(row["as_of"])}
    found: list[list[Row]] = []
    for edition in sorted({row["edition"] for row in told}):
        rows = [row for row in told if row["edition"] == edition and not _said(row["as_of"])]
        if rows and not (found and _figures(rows) == _figures(found[-1])):
            found.append(rows)
    recent = found[-EDITIONS:]
    return [rows for rows in found if rows in recent or rows[0]["edition"] in sources]


def _said(value: object) -> bool:
    return isinstance(value, str) and bool(value)


def _figures(rows: Sequence[Row]) -> set[tuple[object, ...]]:
    return {(*_key(row), row["state"], str(row["rate"]), str(row["cap"])) for row in rows}


def _key(row: Row) -> Key:
    second = row["term_before"] if row["kind"] == PAIR else row["topic"]
    return (str(row["kind"]), str(row["term"]), str(second))


def _again(row: Row) -> Row:
    names = ("rate", "rate_low", "rate_high", "cap", "students_at_least")
    source = row["as_of"] if _said(row["as_of"]) else row["edition"]
    return {name: row[name] for name in names} | {"as_of": source, "was": row["state"]}


def _shifted(band: Band, shift: int) -> Band:
    return replace(band, factors={at + shift: f for at, f in band.factors.items()})


def _joined(
    figures: Figures, system: System, then: Sequence[System], blocks: Sequence[Sequence[Row]]
) -> Figures | None:
    """Today's cells first, then those of each earlier edition, oldest first."""
    size = len(system.places)
    given = []
    for number, (cells, rows) in enumerate(zip(then, blocks, strict=True), start=1):
        for row in rows:
            band = band_of(cells, _key(row), row)
            if band is not None and band.factors:
                given.append(_shifted(band, number * size))
    most = np.concatenate([figures.most, *[np.array(cells.most) for cells in then]])
    grown = list(_growth(system, then))
    for some in ([*given, *grown], given):
        wide = replace(figures, most=most, given=some)
        if spans_of(wide, frozenset(), [{0: 1.0}]) is not None:
            return wide
    return None


def _growth(system: System, then: Sequence[System]) -> list[Band]:
    """Errors are only added, and no more of them than chances."""
    size, count = len(system.places), len(then)
    order = [*range(1, count + 1), 0]
    every = {0: system} | dict(enumerate(then, start=1))
    return [
        Band(
            {later * size + at: 1.0, before * size + at: -1.0},
            0.0,
            max(every[later].chances[at] - every[before].chances[at], 0.0),
        )
        for before, later in pairwise(order)
        for at in range(size)
    ]


def _changes(
    wide: Figures,
    system: System,
    then: Sequence[System],
    own: Mapping[Key, Row],
    printed: Mapping[Key, int],
    limit: int,
) -> list[Aim]:
    """Growth of lines printed then and now, unless surely as many errors as the limit came."""
    size = len(system.places)
    found = []
    for key in own:
        if key[0] == PAIR or key not in printed or key not in wide.lines:
            continue
        cells = system.inside(key[1], key[2])
        block, last = printed[key] + 1, then[printed[key]]
        more = sum(system.chances[at] - last.chances[at] for at in cells)
        if more < 0.5:
            continue
        factors = dict.fromkeys(cells, 1.0) | {block * size + at: -1.0 for at in cells}
        span = spans_of(wide, frozenset([key]), [factors])
        if span is None or span[0][0] < limit:
            found.append(Aim(factors, min(limit, more), more))
    return found


def _as_before(
    wide: Figures, aims: Sequence[Aim], system: System, last: System, block: int, limit: int
) -> list[Aim]:
    """What the latest edition left open stays as open as it left it, up to the limit."""
    shift = block * len(system.places)
    moved = [{at + shift: f for at, f in aim.factors.items()} for aim in aims]
    spans = spans_of(wide, frozenset(), moved) or []
    found = []
    for aim, factors, (low, high) in zip(aims, moved, spans, strict=False):
        most = sum(last.chances[at - shift] for at in factors)
        reach = most - low if aim.complement else high
        need = min(limit, reach, high - low) - 2e-3
        if need > 0:
            found.append(Aim(factors, need, most, aim.complement))
    return found
