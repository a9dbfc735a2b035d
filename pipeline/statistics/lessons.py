"""What changed after a lesson, beside what changed in topics that it did not treat.

A plain before and after is never reported: a topic is often chosen for a lesson because it went
badly the week before, and then does better without any lesson (regression to the mean). Beside it
stands how both had moved in the weeks before. Source: difference in differences, as the interaction
in least squares clustered by student, or by class where the lesson went to some classes only.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import timedelta
from typing import Any, TypeAlias

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import special

from pipeline.statistics.intervals import clustered_from_variance
from pipeline.statistics.notes import FEWEST_FOR_INTERVAL, blank_when_few
from pipeline.statistics.patterns import Combined, Part, clustered_variance, combine, members
from pipeline.tagging.attribute import Groups, estimate, groups_of
from pipeline.tagging.evidence import Evidence
from pipeline.tagging.mixture import Vector

_Units = NDArray[np.int64]
"""Number of the unit of each student of the course, from 0; -1 for students without one."""

FEWEST_CLASSES = 2


def student_units(everyone: int) -> _Units:
    """Each student alone.

    Args:
        everyone: students of the course.
    """
    return np.arange(everyone, dtype=np.int64)


def _class_units(answers: pd.DataFrame, sections: Sequence[str], everyone: int) -> _Units:
    """Students by the class section that had the lesson.

    A lesson that went to some classes only is one event in each of them: what the students of one
    class share, say the instructor or the hour, does not average out over them. Four classes are
    four units, however many students they have.

    Args:
        answers: student (number), section.
        sections: ids of the classes that had the lesson.
        everyone: students of the course.
    """
    units = np.full(everyone, -1, dtype=np.int64)
    place = pd.Index(sorted(set(sections))).get_indexer(pd.Index(answers["section"]))
    units[answers["student"].to_numpy()] = place
    return units


def limits_of(
    difference: float, influence: Vector, present: NDArray[np.bool_], units: _Units
) -> tuple[float, float]:
    """Interval of a difference, 95 %.

    Args:
        difference: of rates, or of two such differences.
        influence: what each student adds to it.
        present: which students have any answer.
        units: see `Units`.

    Returns:
        Ends within -2 and 2; nan where units are too few: under five students or two classes.
    """
    inside = present & (units >= 0)
    length = int(units.max(initial=0)) + 1
    sums = np.bincount(units[inside], influence[inside], length).astype(np.float64)
    seen = np.bincount(units[inside], minlength=len(sums)) > 0
    m = int(seen.sum())
    alone = m == int(inside.sum())
    if m < (FEWEST_FOR_INTERVAL if alone else FEWEST_CLASSES):
        return float("nan"), float("nan")
    reach = float(special.stdtrit(m - 1, 0.975)) * clustered_variance(sums[seen], seen[seen]) ** 0.5
    return max(difference - reach, -2.0), min(difference + reach, 2.0)


_SIDES = ["earlier", "before", "after"]
"""Six to three weeks before a lesson, the three weeks before it, and those from its day on."""

_Moved: TypeAlias = tuple[float, Vector, NDArray[np.bool_]]
_Sides: TypeAlias = dict[Any, dict[str, Part]]
"""By topic, then `before` or `after`."""


def _both_sides(sides: _Sides, at: int = 1) -> tuple[Combined, Combined] | None:
    """Two neighboring sides, over the topics asked on both, at the same weights."""
    first, second = _SIDES[at], _SIDES[at + 1]
    pairs = [pair for pair in sides.values() if first in pair and second in pair]
    if not pairs:
        return None
    weights = [
        float(sum(cell.opportunities[place] for cell, place in (p[first], p[second])))
        for p in pairs
    ]
    before = combine([pair[first] for pair in pairs], weights)
    return before, combine([pair[second] for pair in pairs], weights)


def _control_change(
    others: dict[tuple[int, ...], _Sides], topics: set[str], named: bool, at: int
) -> _Moved | None:
    """Mean change of the other errors in other topics, and each student's part in it.

    Where no other topic was asked on both sides, a lesson that names its errors is compared with
    the other errors of the same topics.
    """
    found = _mean_change(others, topics, at)
    return _mean_change(others, set(), at) if found is None and named else found


def _mean_change(others: dict[tuple[int, ...], _Sides], topics: set[str], at: int) -> _Moved | None:
    changes = []
    for sides in others.values():
        pair = _both_sides(
            {topic: side for topic, side in sides.items() if topic not in topics}, at
        )
        if pair:
            weight = pair[0].opportunities + pair[1].opportunities
            changes.append((weight, *_moved(*pair)))
    if not changes:
        return None
    weights = np.array([weight for weight, *_ in changes], dtype=float)
    weights /= weights.sum()
    change = float(weights @ np.array([change for _, change, *_ in changes]))
    influence = weights @ np.stack([parts for *_, parts, _ in changes])
    present = np.any([seen for *_, seen in changes], axis=0)
    return change, influence, present


def _moved(before: Combined, after: Combined) -> _Moved:
    """Change of a rate, each student's part in it, and which students have any."""
    change = after.rate - before.rate
    return change, after.influence - before.influence, after.present | before.present


WINDOW = timedelta(days=21)
"""How far before and after a lesson answers are looked at."""

_OF_DAY = ["term", "section", "setting", "topic", "answered_on"]
_OF_ANSWER = ["section", "setting", "topic", "question", "row", "student"]
SEEN = 1e-6
"""A rate up to this is none at all: an estimate at its bound."""

APART = (
    "these errors and the others had moved apart before the lesson already, so what came after is "
    "not to be laid to it"
)
ONE_CLASS = "one class had the lesson, and one class tells nothing of how classes differ"
CAUTION = (
    "other things changed too: it holds only if the errors would have moved alike without the "
    "lesson, and a topic that went badly the week before tends to recover by itself"
)
NO_BEFORE = "no answers of the three weeks before the lesson can show it"
NO_AFTER = "no answers of the three weeks after the lesson can show it"
NO_CONTROL = "no other topic was asked before and after, so there is nothing to compare with"


def lesson_changes(
    evidence: Evidence, lessons: pd.DataFrame, general: frozenset[str]
) -> pd.DataFrame:
    """Difference in differences of each error that each lesson addresses.

    Args:
        evidence: its opportunities hold term, setting, topic, section and answered_on.
        lessons: lesson, term, day, topics, patterns, sections.
        general: ids of slips, which are no control.

    Returns:
        The columns of `main.lesson_effect`.
    """
    rows: list[dict[str, Any]] = []
    names = groups_of(list(estimate(evidence, ["setting", "topic"]))) if len(lessons) else {}
    days = evidence.opportunities[_OF_DAY].drop_duplicates(ignore_index=True)
    day = evidence.opportunities.groupby(_OF_DAY, dropna=False, sort=False).ngroup().to_numpy()
    for lesson in lessons.itertuples(index=False):
        near_days = _near(days, lesson)
        if not _has_both_sides(near_days, lesson):
            continue
        side = np.full(len(days), -1)
        side[near_days.index] = pd.Index(_SIDES).get_indexer(pd.Index(near_days["side"]))
        near = evidence.opportunities[_OF_ANSWER][side[day] >= 0]
        near["side"] = pd.Categorical.from_codes(side[day][side[day] >= 0], pd.Index(_SIDES))
        found = _by_setting(evidence, near, names)
        for setting, part in near.groupby("setting", sort=True):
            keys = {"lesson": lesson.lesson, "term": lesson.term, "setting": setting}
            changes = _changes(evidence, part, found[setting], lesson, general)
            rows.extend({**keys, **row} for row in changes)
    return pd.DataFrame(rows)


def _near(answers: pd.DataFrame, lesson: Any) -> pd.DataFrame:
    day = pd.Timestamp(lesson.day)
    when = pd.to_datetime(answers["answered_on"])
    near = (when >= day - 2 * WINDOW) & (when < day + WINDOW) & (answers["term"] == lesson.term)
    sections = _listed(lesson.sections)
    if sections:
        near &= answers["section"].isin(sections)
    side = np.select([when[near] < day - WINDOW, when[near] < day], _SIDES[:2], _SIDES[2])
    chosen: pd.DataFrame = answers[near].assign(side=side)
    # A topic asked on one side of the lesson alone can be no control.
    close = chosen.assign(side=chosen["side"].where(chosen["side"] != _SIDES[0]))
    sides = close.groupby(["setting", "topic"])["side"].transform("nunique")
    treated = chosen["topic"].isin(_listed(lesson.topics)) | bool(_listed(lesson.patterns))
    return chosen[(sides == 2) | treated]


def _has_both_sides(near: pd.DataFrame, lesson: Any) -> bool:
    """Whether a lesson without errors of its own has a topic asked before and after."""
    if _listed(lesson.patterns):
        return True
    own = near[near["topic"].isin(_listed(lesson.topics)) & (near["side"] != _SIDES[0])]
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
    others = {
        group: sides
        for group, sides in groups.items()
        if not set(members(evidence, group)) & (patterns | general)
    }
    control, earlier = (_control_change(others, topics, bool(patterns), at) for at in (1, 0))
    units = _units(evidence, part, lesson)
    close = part[part["side"] != _SIDES[0]]
    for group, sides in groups.items():
        names = members(evidence, group)
        if set(names) & general or (patterns and not set(names) & patterns):
            continue
        own = sides if patterns else {t: s for t, s in sides.items() if t in topics}
        if own and (patterns or _both_sides(own)):
            students = close.loc[close["topic"].isin(own), "student"].nunique()
            yield {
                "pattern": " / ".join(names),
                "students": int(students),
                **_change(own, control, earlier, units),
            }


def _units(evidence: Evidence, part: pd.DataFrame, lesson: Any) -> _Units:
    sections = _listed(lesson.sections)
    if sections:
        return _class_units(part, sections, evidence.everyone)
    return student_units(evidence.everyone)


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


def _change(
    own: _Sides, control: _Moved | None, earlier: _Moved | None, units: _Units
) -> dict[str, Any]:
    pair = _both_sides(own)
    if pair is None:
        lacks_before = not any(_SIDES[1] in side for side in own.values())
        return {"difference_note": NO_BEFORE if lacks_before else NO_AFTER}
    before, after = pair
    result = {**_side("before", before), **_side("after", after)}
    if control is None:
        return {**result, "difference_note": NO_CONTROL}
    difference, low, high = _beyond(before, after, control, units)
    trend = _trend(own, earlier, units)
    return {
        **result,
        **trend,
        "control_change": control[0],
        "difference": difference,
        "difference_low": low,
        "difference_high": high,
        "difference_note": _note(trend, units),
    }


def _note(trend: dict[str, float], units: _Units) -> str:
    if units.max(initial=-1) == 0:
        return f"{ONE_CLASS}; {CAUTION}"
    apart = trend and (trend["trend_low"] > 0 or trend["trend_high"] < 0)
    return f"{APART}; {CAUTION}" if apart else CAUTION


def _beyond(
    first: Combined, second: Combined, control: _Moved, units: _Units
) -> tuple[float, float, float]:
    """Change beyond that of the controls, with its interval."""
    change, influence, present = _moved(first, second)
    usual, usual_influence, usual_present = control
    beyond = change - usual
    low, high = limits_of(beyond, influence - usual_influence, present | usual_present, units)
    # An error never seen has no spread of its own; its upper limit says what may be unseen.
    down, up = (_unseen(side) for side in (first, second))
    return beyond, beyond - np.hypot(beyond - low, down), beyond + np.hypot(high - beyond, up)


def _unseen(side: Combined) -> float:
    if side.rate > SEEN:
        return 0.0
    return float(
        clustered_from_variance(side.rate, 0.0, side.opportunities, side.students)[1] - side.rate
    )


def _trend(own: _Sides, earlier: _Moved | None, units: _Units) -> dict[str, float]:
    """How both moved before the lesson: apart then already, or alike; empty where never asked."""
    pair = _both_sides(own, 0)
    if pair is None or earlier is None:
        return {}
    _, low, high = _beyond(*pair, earlier, units)
    return {
        "trend_before": pair[1].rate - pair[0].rate,
        "control_trend_before": earlier[0],
        "trend_low": low,
        "trend_high": high,
    }


def _side(name: str, side: Combined) -> dict[str, float]:
    low, high = side.limits()
    return {
        name: side.rate,
        f"{name}_low": float(blank_when_few(low, side.students)),
        f"{name}_high": float(blank_when_few(high, side.students)),
    }
