"""Attacks the percents of errors for everyone of a finished demo, in two successive editions.

    lostroot demo DIR
    python -m tests.calibration.outsider_on_percents DIR

The first edition is made of the answers given until ten days before the last one, the second of
all. The outsider knows every printed percent of both, every number of chances of both days, and
that errors are only added; and asks of every term and topic, and of every change since the first
edition, how many errors there can have been.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.optimize import linprog

from pipeline.statistics.compute import compute
from pipeline.warehouse import reading

DAYS = 10
Read = Callable[[str], pd.DataFrame]
Numbers = NDArray[np.float64]


def until(read: Read, day: pd.Timestamp, kept: pd.DataFrame) -> Read:
    """The tables as they were on an earlier day, with the percents that are out already."""

    def then(name: str) -> pd.DataFrame:
        if name == "store.shared_percent":
            return kept
        frame = read(name)
        if name in ("staging.opportunity", "staging.judged"):
            return frame[~(pd.to_datetime(frame["answered_on"]) > day)].reset_index(drop=True)
        return frame

    return then


def as_kept(percents: pd.DataFrame, day: pd.Timestamp) -> pd.DataFrame:
    """Rows of `store.shared_percent`, as an edition with these percents would be read back."""
    told = percents[percents["state"].isin(["shown", "low", "high"])]
    columns = ["rate_low", "rate_high", "cap", "students_at_least", "as_of"]
    told = told.reindex(columns=list(dict.fromkeys([*told.columns, *columns])))
    return told.assign(edition=f"{day.date()}-shared", last_answer=day.date())


def chances(read: Read) -> pd.DataFrame:
    """First tries that could show each error: setting, term, topic, pattern, n."""
    shows = read("staging.can_show")[["question", "pattern"]].drop_duplicates()
    asked = read("staging.opportunity").merge(shows, on="question")
    keys = ["setting", "term", "topic", "pattern"]
    return asked.groupby(keys, as_index=False).size().rename(columns={"size": "n"})


class Outsider:
    """All printed percents of one error in one setting, of two editions."""

    def __init__(self, places: list[tuple[str, str]], numbers: list[Numbers]) -> None:
        self.places, self.numbers, self.size = places, numbers, len(places)
        self.sides: list[Numbers] = []
        self.limits: list[float] = []
        for at in range(self.size):
            row = np.zeros(2 * self.size)
            row[at], row[self.size + at] = 1, -1
            self.add(row, numbers[0][at] - numbers[1][at], 0.0)

    def add(self, row: Numbers, low: float, high: float) -> None:
        self.sides += [row, -row]
        self.limits += [high + 1e-6, 1e-6 - low]

    def line(self, edition: int, term: str, topic: str) -> Numbers:
        row = np.zeros(2 * self.size)
        for at, place in enumerate(self.places):
            row[edition * self.size + at] = term in ("", place[0]) and topic in ("", place[1])
        return row

    def learn(self, edition: int, printed: dict) -> None:  # type: ignore[type-arg]
        row = self.line(edition, printed["term"], printed["topic"])
        whole = float(row @ np.concatenate(self.numbers))
        if printed["state"] == "shown":
            low, high = printed["rate"] - 0.005, printed["rate"] + 0.005
        else:
            low, high = (
                (0.0, printed["cap"]) if printed["state"] == "low" else (1 - printed["cap"], 1.0)
            )
        self.add(row, low * whole, high * whole)

    def span(self, direction: Numbers) -> tuple[float, float]:
        ends = []
        for sign in (1, -1):
            found = linprog(
                sign * direction,
                A_ub=np.array(self.sides),
                b_ub=self.limits,
                bounds=[(0, most) for most in np.concatenate(self.numbers)],
            )
            assert found.status == 0, found.message
            ends.append(sign * float(found.fun))
        return ends[0], ends[1]


def attack(
    editions: list[pd.DataFrame], counts: list[pd.DataFrame], limit: int
) -> tuple[int, int, int]:
    """Cells and changes asked, those that can be narrowed down, and lines printed."""
    asked = narrowed = 0
    keys = ["setting", "pattern"]
    printed = [
        e[e["state"].isin(["shown", "low", "high"]) & (e["kind"] != "pair")] for e in editions
    ]
    by_error = [dict(list(e.groupby(keys))) for e in printed]
    for key, late in counts[1].groupby(keys):
        places = list(late[["term", "topic"]].itertuples(index=False, name=None))
        early = counts[0].set_index([*keys, "term", "topic"])["n"]
        old = np.array([float(early.get((*key, *place), 0)) for place in places])
        new = late["n"].to_numpy(dtype=float)
        outsider = Outsider(places, [old, new])
        for number in (0, 1):
            for row in by_error[number].get(key, pd.DataFrame()).to_dict("records"):
                if pd.isna(row.get("as_of")):
                    outsider.learn(number, row)
        for at, place in enumerate(places):
            both = [outsider.line(number, *place) for number in (0, 1)]
            for direction, most in ((both[1], new[at]), (both[1] - both[0], new[at] - old[at])):
                low, high = outsider.span(direction)
                need = min(limit, most)
                asked += most > 0
                small = low < limit and (low + high) / 2 < limit
                narrowed += most > 0 and small and min(high, high - low) < need - 0.02
    return asked, narrowed, sum(len(part) for part in printed)


def main(folder: Path) -> None:
    with reading(folder / "course.duckdb") as warehouse:
        stored = {
            name: warehouse.frame(name)
            for name in warehouse.models
            if name.startswith(("store.", "staging."))
        }
    last = pd.to_datetime(stored["staging.opportunity"]["answered_on"]).max()
    limit = int(stored["store.course"]["minimum_students"].iloc[0])
    first_day = last - pd.Timedelta(days=DAYS)
    nothing = stored["store.shared_percent"].iloc[:0]
    before = until(stored.__getitem__, first_day, nothing)
    first = compute(before)["computed.shared_percent"]
    after = until(stored.__getitem__, last, as_kept(first, first_day))
    tables = compute(after)
    second, audit = tables["computed.shared_percent"], tables["computed.shared_audit"]
    asked, narrowed, lines = attack([first, second], [chances(before), chances(after)], limit)
    passed = bool(audit.loc[audit["subject"] == "error", "passed"].all())
    carried = int(second["as_of"].notna().sum()) if "as_of" in second else 0
    print(
        f"audits {'passed' if passed else 'FAILED'}; {lines:,} percents printed in two editions, "
        f"{carried} carried over; {asked:,} counts and changes attacked, {narrowed} narrowed down "
        f"to under {limit}"
    )
    if narrowed or not passed:
        raise SystemExit("The percents of errors tell too much.")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
