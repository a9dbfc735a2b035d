"""Scores that a later export tells otherwise: they replace the earlier ones, and are counted."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from pipeline.run.after_load import latest_loads
from pipeline.warehouse import Warehouse

_TOLD = ["score", "points"]


@dataclass
class Corrections:
    """What became of scores that differ from those stored.

    Args:
        corrected: stored scores that were replaced.
        added: answers that had no score before.
        kept: scores that stand in a file that is not the later one, so that they change nothing.
        moved: answers that another file gives another time; the one stored first stands.
    """

    corrected: int = 0
    added: int = 0
    kept: int = 0
    moved: int = 0

    def add(self, other: Corrections) -> None:
        """Count another batch."""
        self.corrected += other.corrected
        self.added += other.added
        self.kept += other.kept
        self.moved += other.moved

    def sentences(self) -> tuple[str, ...]:
        """Sentences for the account of one file."""
        said = {
            "scores corrected from an earlier export": self.corrected,
            "scores that came in later than their answers": self.added,
            "scores that differ from those of an export that is as late or later, not taken": (
                self.kept
            ),
            "answers given at another time than an export before says, whose time stands": (
                self.moved
            ),
        }
        return tuple(f"{what}: {count:,}" for what, count in said.items() if count)


def correct_scores(
    warehouse: Warehouse, told: pd.DataFrame, file_time: pd.Timestamp
) -> Corrections:
    """Replace stored scores by those of a later export.

    Later is the file that its file system says was written later. The same file downloaded anew is
    later unless it is older than before: a backup that was put back corrects nothing. A score
    where there was none is taken from any file.

    Args:
        warehouse: the database that is being built.
        told: `response, file, line, score, points, answered_at` of answers that stood in it before
            this file.
        file_time: when the file was last written.
    """
    if not len(told):
        return Corrections()
    stored = warehouse.part("store.response", ["response", *_TOLD, "answered_at"])
    told = told.drop_duplicates("response", keep="last")
    both = told.merge(stored, on="response", suffixes=("", "_before"))
    told_times = both["answered_at"].notna() & both["answered_at_before"].notna()
    moved = int((told_times & (both["answered_at"] != both["answered_at_before"])).sum())
    both["points"] = both["points"].fillna(both["points_before"])
    same = (both["score"] == both["score_before"]) & (
        (both["points"] == both["points_before"]) | both["points"].isna()
    )
    both = both[~same]
    if not len(both):
        return Corrections(moved=moved)
    rows = warehouse.select("store.response", "response", both["response"].tolist())
    both = both.merge(_times(warehouse, rows), on="response")
    same_file = both["file"] == both["file_before"]
    later = (both["time"] < file_time) | (same_file & (both["time"] == file_time))
    new = both["score_before"].isna()
    taken = both[later | new].assign(file_time=file_time)
    _put(warehouse, rows, taken)
    return Corrections(
        corrected=int((~taken["score_before"].isna()).sum()),
        added=int(taken["score_before"].isna().sum()),
        kept=int((~(later | new)).sum()),
        moved=moved,
    )


def _times(warehouse: Warehouse, rows: pd.DataFrame) -> pd.DataFrame:
    """When the file that a stored score stands in was written: `response, file_before, time`."""
    latest = latest_loads(warehouse)["file_time"]
    base = rows[["response", "file"]].assign(time=rows["file"].map(latest))
    mended = warehouse.select("store.correction", "response", rows["response"].tolist())
    mended = mended.sort_values("file_time").rename(columns={"file_time": "time"})
    if len(mended):
        base = pd.concat([base, mended[["response", "file", "time"]]])
    base = base.drop_duplicates("response", keep="last")
    # A score that was seen again in a later download of the same file is of that time.
    again = base["file"].map(latest)
    base["time"] = base["time"].where(~(again > base["time"]), again)
    return base.rename(columns={"file": "file_before"})


def _put(warehouse: Warehouse, rows: pd.DataFrame, taken: pd.DataFrame) -> None:
    if not len(taken):
        return
    kept = rows[rows["response"].isin(taken["response"])].set_index("response")
    new = taken.set_index("response")
    for name in _TOLD:
        kept[name] = new[name]
    warehouse.remove("store.response", "response", taken["response"].tolist())
    warehouse.put("store.response", kept.reset_index(), replace=False)
    columns = ["response", "file", "line", "score_before", "points_before", *_TOLD, "file_time"]
    warehouse.put("store.correction", taken[columns], replace=False)
