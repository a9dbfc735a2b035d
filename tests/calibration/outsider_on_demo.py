"""Attacks the tables for everyone of a finished demo, in two successive editions.

    lostroot demo DIR
    python -m tests.calibration.outsider_on_demo DIR

The first edition is made of the answers given until ten days before the last one, the second of
all. The outsider knows every printed count of both and which questions were asked.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pandas as pd

from pipeline.statistics.disclosure.counts import shared_counts
from pipeline.warehouse import reading
from tests.statistics.disclosure.outsider import NOTHING_KEPT, Outsider, as_kept, groups

DAYS = 10
COLUMNS = ["total", "part", "rest", "code", "ceiling", "as_of"]


def by_student(judged: pd.DataFrame) -> pd.DataFrame:
    keys = ["topic", "week", "student"]
    made = judged.groupby(keys, as_index=False).agg(n=("wrong", "size"), y=("wrong", "sum"))
    return made.assign(term="fall", setting="quiz")


def printed(answers: pd.DataFrame, earlier: pd.DataFrame, limit: int) -> tuple[pd.DataFrame, bool]:
    counts, audits = shared_counts(groups(answers), answers, earlier, limit)
    counts = counts.reindex(columns=list(dict.fromkeys([*counts.columns, *COLUMNS])))
    return counts, bool(audits["passed"].all())


def attack(
    before: pd.DataFrame, after: pd.DataFrame, editions: list[pd.DataFrame], limit: int
) -> tuple[int, int]:
    """Lines attacked, and lines that were narrowed down to fewer than the limit."""
    places = sorted({(str(t), int(w)) for t, w in zip(after["topic"], after["week"], strict=True)})
    outsider = Outsider(places, editions)
    attacked = narrowed = 0
    for row in editions[1].to_dict("records"):
        for part in ("answers", "wrong", "right"):
            line = outsider.line(1, row, part)
            total, students = _truth(after, row, part)
            change = line - outsider.line(0, row, part)
            grew = total - _truth(before, row, part)[0]
            for direction, small in ((line, 0 < students < limit), (change, 0 < grew < limit)):
                if small:
                    attacked += 1
                    high = outsider.largest(direction)
                    low = outsider.smallest(direction)
                    narrowed += high < limit - 1e-6 or high - low < limit - 1e-6
    return attacked, narrowed


def _truth(answers: pd.DataFrame, row: dict, part: str) -> tuple[int, int]:  # type: ignore[type-arg]
    mine = answers if row["topic"] == "" else answers[answers["topic"] == row["topic"]]
    if row["week_from"]:
        mine = mine[mine["week"].between(row["week_from"], row["week_to"])]
    count = {"answers": mine["n"], "wrong": mine["y"], "right": mine["n"] - mine["y"]}[part]
    return int(count.sum()), int(mine.loc[count > 0, "student"].nunique())


def main(folder: Path) -> None:
    with reading(folder / "course.duckdb") as warehouse:
        judged = warehouse.frame("staging.judged").dropna(subset=["topic", "week"])
        course = warehouse.frame("own_course").iloc[0]
    limit = int(course["minimum_students"])
    judged = judged[judged["term"] == course["current_term"]]
    last = judged["answered_on"].max() - pd.Timedelta(days=DAYS)
    for setting, mine in judged.groupby("setting"):
        # A class of forty, so that something has to be hidden.
        few = np.sort(mine["student"].unique())[:40]
        for name, part in (
            ("all students", mine),
            ("40 students", mine[mine["student"].isin(few)]),
        ):
            before, after = by_student(part[part["answered_on"] <= last]), by_student(part)
            if before.empty:
                continue
            first, safe_first = printed(before, NOTHING_KEPT, limit)
            kept = as_kept(first, "2026-04-23-shared")
            second, safe_second = printed(after, kept, limit)
            attacked, narrowed = attack(before, after, [first, second], limit)
            hidden = int(second["part"].isna().sum())
            result = "passed" if safe_first and safe_second else "FAILED"
            print(
                f"{setting}, {name}: audits {result}, "
                f"{hidden} of {len(second)} lines hidden or coded, "
                f"{second['as_of'].notna().sum()} carried over; {attacked} attacked, "
                f"{narrowed} narrowed down to under {limit}"
            )


if __name__ == "__main__":
    main(Path(sys.argv[1]))
