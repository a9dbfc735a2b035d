"""Percents of errors for everyone: by term, by topic over all terms, and changes between terms."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import Any

import numpy as np
import pandas as pd

from pipeline.statistics.disclosure.error_editions import Past, with_editions
from pipeline.statistics.disclosure.error_lines import (
    PAIR,
    TERM,
    TOPIC,
    Key,
    Row,
    System,
    cells_of,
    figures_of,
)
from pipeline.statistics.disclosure.groups import cap
from pipeline.statistics.disclosure.percents import choose, failing
from pipeline.tagging.attribute import Cell
from pipeline.tagging.evidence import Evidence

__all__ = ["Facts", "shared_errors"]

NOT_SAFE = "no choice of hidden figures was safe"


@dataclass(frozen=True, slots=True)
class Facts:
    """What the percents rest on.

    Args:
        evidence: what the answers say.
        pooled: classes by term, setting and topic.
        showing: what `students_showing` returns.
        totals: `computed.pattern_total`.
        topics: `computed.topic_pattern`.
        comparison: `computed.comparison`.
        wrong: wrong first tries that are printed, by setting, term and topic.
        limit: fewest distinct students.
        earlier: `store.shared_percent`.
    """

    evidence: Evidence
    pooled: Sequence[Cell]
    showing: Mapping[tuple[str, ...], float]
    totals: pd.DataFrame
    topics: pd.DataFrame
    comparison: pd.DataFrame
    wrong: Mapping[tuple[str, str, str], float]
    limit: int
    earlier: pd.DataFrame


def shared_errors(facts: Facts) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Settle every error of every setting by itself: no table adds errors up.

    Args:
        facts: what the percents rest on.

    Returns:
        Rows of `computed.shared_percent` and of `computed.shared_audit`.
    """
    lines = _lines(facts)
    systems = cells_of(facts.pooled, facts.evidence, facts.wrong)
    past = Past(facts.earlier, facts.evidence)
    generator = np.random.default_rng(len(systems))
    rows: list[Row] = []
    audits: dict[str, Row] = {}
    for place, own in sorted(lines.items()):
        audit = audits.setdefault(place[0], _no_audit(place[0]))
        system = systems.get(place)
        if system is None:
            rows += [_bare(row) for row in own.values()]
        else:
            rows += _settled(facts, system, own, past, generator, audit)
    for setting, audit in audits.items():
        if not audit["passed"]:
            rows = [_bare(row) if row["setting"] == setting else row for row in rows]
    return pd.DataFrame(rows), pd.DataFrame(list(audits.values()))


def _no_audit(setting: str) -> Row:
    return {
        "subject": "error", "term": "", "setting": setting, "counts": 0, "hidden": 0,
        "attacked": 0, "editions": 0, "passed": True, "reason": None,
    }  # fmt: skip


def _settled(
    facts: Facts,
    system: System,
    own: dict[Key, Row],
    past: Past,
    generator: np.random.Generator,
    audit: Row,
) -> list[Row]:
    alone = figures_of(system, own, facts.showing, facts.limit)
    figures, kept = with_editions(alone, system, own, past, facts.limit)
    printed = choose(figures, generator)
    # The choice is attacked once more from the beginning, with nothing taken over from it.
    passed = not failing(figures, printed)
    could = [key for key, row in own.items() if row["state"] != "unknown"]
    audit["counts"] += len(could)
    audit["hidden"] += len(could) - len(printed)
    audit["attacked"] += len(figures.aims)
    audit["editions"] = max(audit["editions"], kept.editions)
    if not passed:
        audit |= {"passed": False, "reason": NOT_SAFE}
    rows = []
    for key, row in own.items():
        old = kept.figures.get(key)
        if key in printed:
            rows.append(row)
        else:
            rows.append(_bare(row) | (_carried(old) if old is not None and passed else {}))
    return rows


def _carried(old: Row) -> Row:
    return {name: value for name, value in old.items() if name != "was"} | {"state": old["was"]}


def _bare(row: Row) -> Row:
    """The line without figures."""
    names = ("kind", "setting", "term", "term_before", "topic", "pattern")
    state = row["state"] if row["state"] == "unknown" else "hidden"
    return {name: row[name] for name in names} | {"state": state}


def _lines(facts: Facts) -> dict[tuple[str, str], dict[Key, Row]]:
    """By setting and error: every line that could be printed, with its own state."""
    found: dict[tuple[str, str], dict[Key, Row]] = defaultdict(dict)
    for kind, table in ((TERM, facts.totals), (TOPIC, facts.topics)):
        for total in table.to_dict("records"):
            term, topic = str(total.get("term", "")), str(total.get("topic", ""))
            names = {"kind": kind, "setting": total["setting"], "term": term,
                     "term_before": "", "topic": topic, "pattern": total["pattern"]}  # fmt: skip
            place = (str(total["setting"]), term, topic, str(total["pattern"]))
            found[(place[0], place[3])][(kind, term, topic)] = names | _figures(
                total, facts.showing.get(place, 0.0), facts.limit
            )
    for pair in _pairs(facts.comparison):
        own = found[(str(pair["setting"]), str(pair["subject"]))]
        sides = [own.get((TERM, str(pair[name]), "")) for name in ("term_before", "term_after")]
        shown = all(side is not None and side["state"] == "shown" for side in sides)
        key = (PAIR, str(pair["term_after"]), str(pair["term_before"]))
        own[key] = _change(pair, shown=shown and _enough(pair, facts.limit))
    return found


def _pairs(comparison: pd.DataFrame) -> list[dict[Any, Any]]:
    if not len(comparison):
        return []
    return comparison[comparison["kind"] == "pattern"].to_dict("records")


def _enough(pair: dict[Any, Any], limit: int) -> bool:
    return bool(min(pair["students_before"], pair["students_after"]) >= limit)


def _figures(total: dict[Any, Any], showing: float, limit: int) -> Row:
    """State and printed figures of one total."""
    rate, students = total["rate"], float(total["students"])
    if pd.isna(rate):
        return {"state": "unknown"}
    share = cap(float(total["opportunities"]), limit)
    if students < limit:
        state = "hidden"
    elif share and rate <= share:
        state = "low"
    elif share and rate >= 1 - share:
        state = "high"
    elif showing < limit or (1 - rate) * students < limit:
        state = "hidden"
    else:
        state = "shown"
    row: Row = {"state": state, "students_at_least": int(students // limit * limit)}
    if state in ("low", "high"):
        return row | {"cap": share}
    if state == "shown":
        return row | _printed(rate, total["rate_low"], total["rate_high"])
    return {"state": state}


def _printed(rate: float, low: float, high: float) -> Row:
    return {
        "rate": floor(100 * rate + 0.5) / 100,
        "rate_low": None if pd.isna(low) else floor(100 * low) / 100,
        "rate_high": None if pd.isna(high) else ceil(100 * high) / 100,
    }


def _change(pair: dict[Any, Any], *, shown: bool) -> Row:
    row: Row = {
        "kind": PAIR, "setting": pair["setting"], "term": str(pair["term_after"]),
        "term_before": str(pair["term_before"]), "topic": "", "pattern": pair["subject"],
    }  # fmt: skip
    if not shown:
        return row | {"state": "hidden"}
    figures = _printed(pair["difference"], pair["difference_low"], pair["difference_high"])
    return row | {"state": "shown"} | figures
