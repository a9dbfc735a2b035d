"""Students by outcome for everyone, class sections pooled."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from math import ceil, floor

import pandas as pd

from pipeline.statistics.disclosure.kept import earlier_editions, last_printed
from pipeline.statistics.disclosure.lines import Line, Need
from pipeline.statistics.disclosure.settle import Decision, settle
from pipeline.statistics.intervals import wilson

__all__ = ["shared_outcomes"]

PARTS = {
    "students": ("meeting", "below"),
    "meeting": ("meeting",),
    "below": ("below",),
    "too_little": ("too_little",),
}
COLUMNS = {"students": "total", "meeting": "part", "below": "rest", "too_little": "aside"}
COST = {"students": 2.0, "meeting": 3.0, "below": 3.0, "too_little": 1.0}


def shared_outcomes(
    shares: pd.DataFrame, earlier: pd.DataFrame, limit: int
) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Settle the outcomes of each term together: the same students stand behind all of them.

    Args:
        shares: `computed.outcome_share`.
        earlier: `store.shared_earlier`.
        limit: fewest distinct students of a group, a numerator and a complement.

    Returns:
        Rows of `computed.shared_count` and of `computed.shared_audit`.
    """
    rows: list[dict[str, object]] = []
    audits: list[dict[str, object]] = []
    pooled = shares[shares["section"] == "all"] if len(shares) else shares
    before = earlier[earlier["setting"] == ""]
    for term, part in pooled.groupby("term", sort=True) if len(pooled) else ():
        counts = _counts(part)
        known = before[before["term"] == term]
        decision = _settled(counts, known, limit)
        names = {"subject": "outcome", "term": term, "setting": ""}
        printed = last_printed(known)
        for outcome in sorted({str(name) for name, _ in counts}):
            figures = _figures(outcome, counts, decision, limit)
            if figures is None:
                figures = printed.get((outcome, 0, 0), {}) if decision.passed else {}
            place = {"topic": outcome, "week_from": 0, "week_to": 0}
            rows.append({**names, **place, **figures})
        lines = len(part) * len(PARTS)
        audits.append({
            **names, "counts": lines, "hidden": lines - len(decision.shown),
            "attacked": decision.attacked, "editions": known["edition"].nunique(),
            "passed": decision.passed, "reason": decision.reason or None,
        })  # fmt: skip
    return pd.DataFrame(rows), pd.DataFrame(audits)


def _counts(part: pd.DataFrame) -> dict[tuple[str, str], float]:
    counts = {}
    for row in part.to_dict("records"):
        outcome, meeting = str(row["outcome"]), float(row["meeting"])
        counts[(outcome, "meeting")] = meeting
        counts[(outcome, "below")] = float(row["students"]) - meeting
        counts[(outcome, "too_little")] = float(row["too_little"])
    return counts


def _settled(counts: dict[tuple[str, str], float], known: pd.DataFrame, limit: int) -> Decision:
    names = sorted({outcome for outcome, _ in counts})
    lines = dict(_lines(names, counts, limit))

    def cells(outcome: str, _first: int, _last: int, part: str) -> tuple[Hashable, ...]:
        return tuple((outcome, kind) for kind in PARTS[part])

    kinds = ("meeting", "below", "too_little")
    everyone = [[(name, kind) for kind in kinds] for name in names]
    equal = [(everyone[0], other) for other in everyone[1:]]
    editions = earlier_editions(known, cells)
    return settle(counts, lines, editions, limit, equal=equal)


def _lines(
    names: list[str], counts: dict[tuple[str, str], float], limit: int
) -> Iterator[tuple[Hashable, Line]]:
    for name in names:
        for part, kinds in PARTS.items():
            value = sum(counts[(name, kind)] for kind in kinds)
            small = value < limit
            follows = {"students": ("meeting", "below"), "meeting": ("below",),
                       "below": ("meeting",), "too_little": ()}[part]  # fmt: skip
            yield (
                (name, part),
                Line(
                    cells=tuple((name, kind) for kind in kinds),
                    cost=COST[part],
                    need=Need(limit, limit) if small else None,
                    follows=tuple((name, other) for other in follows),
                ),
            )


def _figures(
    name: str, counts: dict[tuple[str, str], float], decision: Decision, limit: int
) -> dict[str, object] | None:
    """What is printed of one outcome; None when its share is hidden."""
    shown = [part for part in PARTS if (name, part) in decision.shown]
    if not {"students", "meeting", "below"} <= set(shown):
        return None
    values = {p: sum(counts[(name, kind)] for kind in PARTS[p]) for p in shown}
    low, high = wilson([values["meeting"]], [values["students"]])
    figures: dict[str, object] = {COLUMNS[part]: value for part, value in values.items()}
    return figures | {
        "rate": round(values["meeting"] / values["students"], 2),
        "rate_low": floor(100 * float(low[0])) / 100,
        "rate_high": ceil(100 * float(high[0])) / 100,
        "students_at_least": int(values["students"] // limit * limit),
    }
