"""What changed after a lesson, beside what changed in topics that it did not treat.

A plain before and after is never reported: a topic is often chosen for a lesson because it went
badly the week before, and then does better without any lesson. Source: difference in differences,
as the interaction in least squares clustered by student.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import timedelta
from typing import Any, TypeAlias

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import stats

from pipeline.statistics.intervals import clustered_from_variance
from pipeline.statistics.notes import FEWEST_FOR_INTERVAL, blank_when_few
from pipeline.statistics.patterns import Combined, Part, clustered_variance, combine, members
from pipeline.tagging.attribute import Groups, estimate, groups_of
from pipeline.tagging.evidence import Evidence
from pipeline.tagging.mixture import Vector

__all__ = ["CAUTION", "WINDOW", "lesson_changes"]

WINDOW = timedelta(days=21)
"""How far before and after a lesson answers are looked at."""

CAUTION = (
    "other things changed too: it holds only if the errors would have moved alike without the "
    "lesson, and a topic that went badly the week before tends to recover by itself"
)
NO_BEFORE = "no answers of the three weeks before the lesson can show it"
NO_AFTER = "no answers of the three weeks after the lesson can show it"
NO_CONTROL = "no other topic was asked before and after, so there is nothing to compare with"

_Control: TypeAlias = tuple[float, Vector, NDArray[np.bool_]]
_Sides: TypeAlias = dict[Any, dict[str, Part]]
"""By topic, then `before` or `after`."""


def lesson_changes(
    evidence: Evidence, lessons: pd.DataFrame, general: frozenset[str]
) -> pd.DataFrame:
    """Difference in differences of each error that each lesson addresses.

    Args:
        evidence: its opportunities hold term, setting, topic, section and answered_on.
        lessons: lesson, term, day, topics, patterns, sections.
        general: ids of slips, which are no control.

    Returns:
        The columns of `computed.lesson_change`.
    """
    rows: list[dict[str, Any]] = []
    names = groups_of(list(estimate(evidence, ["setting", "topic"]))) if len(lessons) else {}
    for lesson in lessons.itertuples(index=False):
        near = _near(evidence.opportunities, lesson)
        if not _has_both_sides(near, lesson):
            continue
        found = _by_setting(evidence, near, names)
        for setting, part in near.groupby("setting", sort=True):
            keys = {"lesson": lesson.lesson, "term": lesson.term, "setting": setting}
            changes = _changes(evidence, part, found[setting], lesson, general)
            rows.extend({**keys, **row} for row in changes)
    return pd.DataFrame(rows)


def _near(answers: pd.DataFrame, lesson: Any) -> pd.DataFrame:
    day = pd.Timestamp(lesson.day)
    when = pd.to_datetime(answers["answered_on"])
    near = (when >= day - WINDOW) & (when < day + WINDOW) & (answers["term"] == lesson.term)
    sections = _listed(lesson.sections)
    if sections:
        near &= answers["section"].isin(sections)
    side = np.where(when[near] < day, "before", "after")
    chosen: pd.DataFrame = answers[near].assign(side=side)
    # A topic asked on one side alone can be no control.
    sides = chosen.groupby(["setting", "topic"])["side"].transform("nunique")
    treated = chosen["topic"].isin(_listed(lesson.topics)) | bool(_listed(lesson.patterns))
    return chosen[(sides == 2) | treated]


def _has_both_sides(near: pd.DataFrame, lesson: Any) -> bool:
    """Whether a lesson without errors of its own has a topic asked before and after."""
    if _listed(lesson.patterns):
        return True
    own = near[near["topic"].isin(_listed(lesson.topics))]
    return bool((own.groupby(["setting", "topic"])["side"].nunique() == 2).any())


def _listed(value: Any) -> list[str]:
    return [] if value is None or isinstance(value, float) else list(value)


def _changes(
    evidence: Evidence,
    part: pd.DataFrame,
    groups: dict[tuple[int, ...], _Sides],
    lesson: Any,
    general: frozenset[str],
) -> Iterator[dict[str, Any]]:
    topics, patterns = set(_listed(lesson.topics)), set(_listed(lesson.patterns))
    control = _control(evidence, groups, topics, patterns, general)
    if control is None and patterns:
        control = _control(evidence, groups, set(), patterns, general)
    for group, sides in groups.items():
        names = members(evidence, group)
        if set(names) & general or (patterns and not set(names) & patterns):
            continue
        own = sides if patterns else {t: s for t, s in sides.items() if t in topics}
        if own and (patterns or _both(own)):
            students = part.loc[part["topic"].isin(own), "student"].nunique()
            yield {
                "pattern": " / ".join(names),
                "members": names,
                "students": int(students),
                **_change(own, control),
            }


def _by_setting(
    evidence: Evidence, near: pd.DataFrame, names: dict[tuple[Any, ...], Groups]
) -> dict[Any, dict[tuple[int, ...], _Sides]]:
    """Determined estimates by setting and group, then by topic, then by side."""
    found: dict[Any, dict[tuple[int, ...], _Sides]] = defaultdict(
        lambda: defaultdict(lambda: defaultdict(dict))
    )
    for cell in estimate(evidence, ["setting", "topic", "side"], near, names):
        setting, topic, side = cell.key
        for at, group in enumerate(cell.groups):
            if cell.known[at] and cell.opportunities[at]:
                found[setting][group][topic][side] = (cell, at)
    return found


def _both(sides: _Sides) -> tuple[Combined, Combined] | None:
    """Before and after, over the topics asked on both sides, at the same weights."""
    pairs = [pair for pair in sides.values() if len(pair) == 2]
    if not pairs:
        return None
    weights = [float(sum(cell.opportunities[at] for cell, at in p.values())) for p in pairs]
    before = combine([pair["before"] for pair in pairs], weights)
    return before, combine([pair["after"] for pair in pairs], weights)


def _control(
    evidence: Evidence,
    groups: dict[tuple[int, ...], _Sides],
    topics: set[str],
    patterns: set[str],
    general: frozenset[str],
) -> _Control | None:
    """Mean change of the other errors in other topics, and each student's part in it.

    Where no other topic was asked before and after, a lesson that names its errors is compared
    with the other errors of the same topics.
    """
    changes = []
    for group, sides in groups.items():
        if set(members(evidence, group)) & (patterns | general):
            continue
        pair = _both({topic: side for topic, side in sides.items() if topic not in topics})
        if pair:
            weight = pair[0].opportunities + pair[1].opportunities
            changes.append((weight, *_moved(*pair)))
    if not changes:
        return None
    weights = np.array([weight for weight, *_ in changes], dtype=float)
    weights /= weights.sum()
    change = float(weights @ np.array([moved for _, moved, *_ in changes]))
    influence = weights @ np.stack([parts for *_, parts, _ in changes])
    present = np.any([seen for *_, seen in changes], axis=0)
    return change, influence, present


def _moved(before: Combined, after: Combined) -> _Control:
    """Change of a rate, each student's part in it, and which students have any."""
    change = after.rate - before.rate
    return change, after.influence - before.influence, after.present | before.present


def _change(own: _Sides, control: _Control | None) -> dict[str, Any]:
    pair = _both(own)
    if pair is None:
        lacks_before = not any("before" in side for side in own.values())
        return {"difference_note": NO_BEFORE if lacks_before else NO_AFTER}
    before, after = pair
    result = {**_side("before", before), **_side("after", after)}
    if control is None:
        return {**result, "difference_note": NO_CONTROL}
    moved, influence, present = _moved(before, after)
    change, control_influence, control_present = control
    difference = moved - change
    low, high = _limits(difference, influence - control_influence, present | control_present)
    return {
        **result,
        "control_change": change,
        "difference": difference,
        "difference_low": low,
        "difference_high": high,
        "difference_note": CAUTION,
    }


def _side(name: str, side: Combined) -> dict[str, float]:
    low, high = clustered_from_variance(side.rate, side.variance, side.opportunities, side.students)
    return {
        name: side.rate,
        f"{name}_low": float(blank_when_few(low, side.students)),
        f"{name}_high": float(blank_when_few(high, side.students)),
    }


def _limits(
    difference: float, influence: Vector, present: NDArray[np.bool_]
) -> tuple[float, float]:
    m = int(present.sum())
    if m < FEWEST_FOR_INTERVAL:
        return float("nan"), float("nan")
    reach = float(stats.t.ppf(0.975, m - 1)) * clustered_variance(influence, present) ** 0.5
    return max(difference - reach, -2.0), min(difference + reach, 2.0)
