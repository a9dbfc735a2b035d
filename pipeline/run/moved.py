"""What a change of the rules moved: tags by error, before and after."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from pipeline.errors import InternalError
from pipeline.warehouse import Warehouse, reading

MOST_SHOWN = 8
LEAST = 0.05
"""Tags are sums of shares; less than this is the rounding of an estimate."""


@dataclass(frozen=True, slots=True)
class Tagged:
    """Tags of all terms under one version of the rules.

    Args:
        rule_set: fingerprint of the rules.
        program: fingerprint of those that concern every answer.
        totals: error, or `unexplained` -> sum of the shares of all wrong answers.
    """

    rule_set: str
    program: str
    totals: Mapping[str, float]


def tagged_before(database: Path) -> Tagged | None:
    """Read the tags of a database; None where there is none, or one of another shape."""
    if not database.exists():
        return None
    with reading(database) as warehouse:
        try:
            return tagged_now(warehouse)
        except InternalError:
            return None


def tagged_now(warehouse: Warehouse) -> Tagged | None:
    """Read the tags of an open database; None before its first run."""
    if not warehouse.holds("store.course") or not warehouse.holds("staging.tag_total"):
        return None
    course, tags = warehouse.frame("store.course"), warehouse.frame("staging.tag_total")
    if not len(course):
        return None
    pairs = zip(tags["pattern"], tags["tags"], strict=True)
    totals = {str(name): float(total) for name, total in pairs}
    row = course.iloc[0]
    return Tagged(str(row["rule_set"]), str(row.get("program")), totals)


def moved(before: Tagged | None, after: Tagged | None) -> Iterator[str]:
    """Say what another version of the rules moved, the largest changes first.

    Args:
        before: tags under the rules of the last run; None when there was none.
        after: tags of today.
    """
    if before is None or after is None or before.rule_set == after.rule_set:
        return
    names = {*before.totals, *after.totals}
    pairs = [(name, before.totals.get(name, 0.0), after.totals.get(name, 0.0)) for name in names]
    changed = [pair for pair in pairs if abs(pair[2] - pair[1]) >= LEAST]
    changed.sort(key=lambda pair: (-abs(pair[2] - pair[1]), pair[0]))
    yield (
        f"{_what_changed(before, after)}; {len(changed) or 'no'} errors moved"
        + (", as tags before -> after:" if changed else "")
    )
    for name, old, new in changed[:MOST_SHOWN]:
        yield f"  {name}: {old:,.1f} -> {new:,.1f}"
    if len(changed) > MOST_SHOWN:
        yield f"  and {len(changed) - MOST_SHOWN} more"


def _what_changed(before: Tagged, after: Tagged) -> str:
    versions = f"({before.rule_set[:8]} to {after.rule_set[:8]})"
    if before.program != after.program:
        return f"The rules changed {versions}: the answers of all terms were tagged anew"
    return (
        f"The course's own errors, options or tags by hand changed {versions}: the answers that "
        "they concern were tagged anew"
    )
