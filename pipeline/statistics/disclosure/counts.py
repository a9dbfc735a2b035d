"""Right and wrong first tries for everyone: by topic, by week, by both, with all totals."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass
from math import ceil, floor, inf

import numpy as np
import pandas as pd

from pipeline.statistics.disclosure.groups import Group, State, cap, group_of, spans, state
from pipeline.statistics.disclosure.kept import earlier_editions, last_printed
from pipeline.statistics.disclosure.lines import Line, Need
from pipeline.statistics.disclosure.settle import Decision, settle
from pipeline.statistics.intervals import clustered

__all__ = ["shared_counts"]

Key = tuple[str, int, int]
"""Topic, first and last week; empty and 0 stand for all."""

ALL = ""
PARTS = ("answers", "wrong", "right")
COST = {"cell": 1.0, "week": 2.0, "topic": 5.0, "term": 50.0}


@dataclass(frozen=True, slots=True)
class _Class:
    """One term and setting: its cells and the groups that could be printed."""

    cells: Mapping[tuple[str, int, str], float]
    groups: Mapping[Key, Group]
    places: Mapping[Key, tuple[tuple[str, int], ...]]


def shared_counts(
    groups: pd.DataFrame, students: pd.DataFrame, earlier: pd.DataFrame, limit: int
) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Settle every term and setting by itself: no table adds them up.

    Args:
        groups: `staging.shared_group`.
        students: `staging.small_group_student`.
        earlier: `store.shared_earlier`.
        limit: fewest distinct students of a group, a numerator and a complement.

    Returns:
        Rows of `computed.shared_count` and of `computed.shared_audit`.
    """
    rows: list[dict[str, object]] = []
    audits: list[dict[str, object]] = []
    before = earlier[earlier["setting"] != ""]
    for (term, setting), part in groups.groupby(["term", "setting"], sort=True):
        mine = _of(students, term, setting)
        known = _of(before, term, setting)
        one = _class(part, mine, limit)
        decision = _settled(one, known, limit)
        names = {"subject": "wrong", "term": term, "setting": setting}
        printed = last_printed(known)
        rows += [{**names, **row} for row in _rows(one, decision, printed, limit)]
        audits.append({**names, **_audit(one, decision, known)})
    return pd.DataFrame(rows), pd.DataFrame(audits)


def _of(table: pd.DataFrame, term: object, setting: object) -> pd.DataFrame:
    return table[(table["term"] == term) & (table["setting"] == setting)]


def _class(part: pd.DataFrame, students: pd.DataFrame, limit: int) -> _Class:
    weeks: dict[str, dict[int, Group]] = {}
    groups: dict[Key, Group] = {}
    for row in part.to_dict("records"):
        group, topic, week = group_of(row), row["topic"], row["week"]
        if pd.notna(topic) and pd.notna(week):
            weeks.setdefault(str(topic), {})[int(week)] = group
        elif pd.notna(week):
            groups[(ALL, int(week), int(week))] = group
        else:
            groups[(str(topic) if pd.notna(topic) else ALL, 0, 0)] = group
    for topic, single in weeks.items():
        pooled = list(spans(single, students[students["topic"] == topic], limit))
        if len(pooled) > 1:
            groups |= {(topic, first, last): group for first, last, group in pooled}
    cells: dict[tuple[str, int, str], float] = {}
    for topic, single in weeks.items():
        for week, group in single.items():
            cells[(topic, week, "wrong")] = group.wrong
            cells[(topic, week, "right")] = group.right
    places = {key: tuple(_inside(key, weeks)) for key in groups}
    return _Class(cells, groups, places)


def _inside(key: Key, weeks: Mapping[str, Mapping[int, object]]) -> Iterator[tuple[str, int]]:
    topic, first, last = key
    for name, single in weeks.items():
        for week in single:
            if topic in (ALL, name) and (first == 0 or first <= week <= last):
                yield name, week


def _settled(one: _Class, known: pd.DataFrame, limit: int) -> Decision:
    lines = dict(_lines(one, limit))
    weeks: dict[str, dict[int, None]] = {}
    for topic, week, _ in one.cells:
        weeks.setdefault(topic, {})[week] = None

    def cells(topic: str, first: int, last: int, part: str) -> tuple[Hashable, ...]:
        return _parts(tuple(_inside((topic, first, last), weeks)), part)

    fine = frozenset((key, part) for key in one.groups for part in PARTS if key[1])
    return settle(one.cells, lines, earlier_editions(known, cells), limit, fine=fine)


def _parts(places: tuple[tuple[str, int], ...], part: str) -> tuple[Hashable, ...]:
    kinds = ("wrong", "right") if part == "answers" else (part,)
    return tuple((topic, week, kind) for topic, week in places for kind in kinds)


def _lines(one: _Class, limit: int) -> Iterator[tuple[Hashable, Line]]:
    for key, group in one.groups.items():
        found = state(group, limit)
        needs = _needs(group, found, limit)
        tops = _ceilings(group, found, limit)
        most = {"answers": group.most, "wrong": group.most_wrong, "right": group.most_right}
        for part in PARTS:
            others = [p for p in PARTS if p not in (part, "answers")]
            yield (
                (key, part),
                Line(
                    cells=_parts(one.places[key], part),
                    cost=COST[_grain(key)],
                    need=needs.get(part),
                    ceiling=tops.get(part, inf),
                    most=most[part],
                    follows=tuple((key, other) for other in others),
                ),
            )


def _grain(key: Key) -> str:
    topic, first, _ = key
    if topic == ALL:
        return "week" if first else "term"
    return "cell" if first else "topic"


def _needs(group: Group, found: State, limit: int) -> dict[str, Need]:
    """What must stay uncertain, wide enough for `limit` students with their many answers."""
    if found is State.GROUP:
        wide = limit * max(group.most, 1.0)
        return {"answers": Need(limit, wide), "wrong": Need(limit, limit),
                "right": Need(limit, limit)}  # fmt: skip
    if found is State.LOW:
        return {"wrong": Need(limit, limit)}
    if found is State.HIGH:
        return {"right": Need(limit, limit)}
    if found is State.OPEN:
        return {}
    needs = {}
    if group.students_wrong < limit:
        needs["wrong"] = Need(limit, min(group.answers, limit * max(group.most_wrong, 1.0)))
    if group.students_right < limit:
        needs["right"] = Need(limit, min(group.answers, limit * max(group.most_right, 1.0)))
    return needs


def _ceilings(group: Group, found: State, limit: int) -> dict[str, float]:
    most = float(floor(cap(group.answers, limit) * group.answers + 1e-9))
    return {State.LOW: {"wrong": most}, State.HIGH: {"right": most}}.get(found, {})


def _rows(
    one: _Class, decision: Decision, printed: Mapping[Hashable, dict[str, object]], limit: int
) -> Iterator[dict[str, object]]:
    for key, group in one.groups.items():
        topic, first, last = key
        row: dict[str, object] = {"topic": topic, "week_from": first, "week_to": last}
        shown = {part for part in PARTS if (key, part) in decision.shown}
        if shown == set(PARTS):
            yield row | _whole(group, limit)
        elif decision.passed and key in printed:
            yield row | printed[key]
        elif "answers" in shown:
            coded = any((key, part) in decision.coded for part in PARTS)
            yield row | _total(group, limit) | (_code(group, limit) if coded else {})
        else:
            yield row


def _whole(group: Group, limit: int) -> dict[str, object]:
    six = (group.students, group.wrong, group.answers, group.yy, group.yn, group.nn)
    low, high = clustered(*(np.array([value]) for value in six))
    return {
        "total": group.answers,
        "part": group.wrong,
        "rest": group.right,
        "rate": round(group.wrong / group.answers, 2),
        "rate_low": floor(100 * float(low[0])) / 100,
        "rate_high": ceil(100 * float(high[0])) / 100,
        "students_at_least": _at_least(group, limit),
    }


def _total(group: Group, limit: int) -> dict[str, object]:
    return {"total": group.answers, "students_at_least": _at_least(group, limit)}


def _code(group: Group, limit: int) -> dict[str, object]:
    share = cap(group.answers, limit)
    bound = floor(share * group.answers + 1e-9)
    low = state(group, limit) is State.LOW
    return {"code": f"{share:.0%} or less" if low else f"{1 - share:.0%} or more", "ceiling": bound}


def _at_least(group: Group, limit: int) -> int:
    return int(group.students // limit * limit)


def _audit(one: _Class, decision: Decision, known: pd.DataFrame) -> dict[str, object]:
    counts = len(one.groups) * len(PARTS)
    return {
        "counts": counts,
        "hidden": counts - len(decision.shown),
        "attacked": decision.attacked,
        "editions": known["edition"].nunique(),
        "passed": decision.passed,
        "reason": decision.reason or None,
    }
