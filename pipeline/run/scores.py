"""What stored answers become by what is told later: other scores, grades, or that they go.

Rows of answers that go count as rejected, so that all add up; a text that names a person becomes a
note.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import pandas as pd

from pipeline.ingest.distinct import where_text
from pipeline.ingest.withheld import TYPED, WITHHELD
from pipeline.run.after_load import latest_loads
from pipeline.standards.answer_records import LaterWord
from pipeline.warehouse import Warehouse

OF_ANSWERS = ("duplicate", "correction", "vanished")
"""Tables that tell of single answers."""


def count_as_rejected(
    warehouse: Warehouse,
    files: pd.DataFrame,
    gone: tuple[pd.DataFrame, pd.DataFrame],
    column: str,
    reason: str,
) -> None:
    """Account for answers that were stored, or known, and are so no longer.

    Args:
        warehouse: the database that is being built.
        files: rows of `store.source_file` that count them.
        gone: their rows of `store.response` and of `store.duplicate`.
        column: that the reason is about.
        reason: why they are taken out.
    """
    places = ["file", "line", "response"]
    rows = pd.concat([one[places] for one in gone]).drop_duplicates()[["file", "line"]].copy()
    rows["column"], rows["reason"], rows["needs_look"] = column, reason, False
    warehouse.put("store.rejected", rows, replace=False)
    files = files.sort_values("loaded_at").reset_index(drop=True)
    for name, one in zip(("stored", "duplicates"), gone, strict=True):
        for file, count in one["file"].value_counts().items():
            left = int(count)
            for row in reversed(files.index[files["file"] == file]):
                moved = min(left, int(files.loc[row, name]))
                files.loc[row, name] -= moved
                files.loc[row, "rejected"] += moved
                left -= moved
    warehouse.put("store.source_file", files)


def withhold(warehouse: Warehouse, names: Callable[[str], bool]) -> bool:
    """Take what names a person out of what was typed before the course knew the person.

    Args:
        warehouse: the database that is being built.
        names: whether a text does.

    Returns:
        Whether there was any.
    """
    columns = [*TYPED, "problem_given", "quiz_given", "source_place"]
    if not any(map(names, (one for name in columns for one in _distinct(warehouse, name)))):
        return False
    answers = warehouse.frame("store.response")
    for name in columns:
        found = where_text(answers[name].fillna(""), names)
        if name == "item":
            found &= answers["place"] == "unlisted"
        answers[name] = answers[name].mask(found, WITHHELD)
    warehouse.put("store.response", answers)
    return True


def _distinct(warehouse: Warehouse, column: str) -> Iterator[str]:
    return map(str, warehouse.distinct("store.response", column))


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


_WITHDRAWN = "taken back by a later statement of the source"


@dataclass(frozen=True, slots=True)
class FileWord:
    """What one file says, by `source_id`, and when it was written."""

    file: str
    file_time: pd.Timestamp
    said: LaterWord


def follow(warehouse: Warehouse, words: list[FileWord]) -> Corrections:
    """Lay grades to stored answers, and take out those that were taken back.

    All files are loaded first, so that it does not matter which of two was read before the other.

    Args:
        warehouse: the database that is being built.
        words: of the files loaded now.

    Returns:
        What became of scores.
    """
    scores = Corrections()
    withdrawn = frozenset(warehouse.frame("store.withdrawn")["source_id"])
    for word in words:
        told = _graded(warehouse, word)
        found = correct_scores(warehouse, told, word.file_time)
        scores.add(found)
        withdrawn |= word.said.withdrawn
        said = [*found.sentences(), *_take_out(warehouse, withdrawn)]
        notes = pd.DataFrame({"file": word.file, "sentence": said}, dtype="object")
        warehouse.put("store.note", notes, replace=False)
    told = pd.DataFrame({"source_id": sorted(withdrawn)}, dtype="object")
    warehouse.put("store.withdrawn", told)
    return scores


def _graded(warehouse: Warehouse, word: FileWord) -> pd.DataFrame:
    grades = pd.DataFrame(
        [(name, *told) for name, told in word.said.grades.items() if told[0] is not None],
        columns=["source_id", "score", "points"],
    )
    rows = warehouse.select("store.response", "source_id", grades["source_id"].tolist())
    told = rows[["response", "source_id"]].merge(grades, on="source_id")
    told = told.astype({"score": "float64", "points": "float64"})
    told["answered_at"] = pd.Series(pd.NaT, told.index)  # a grade says nothing of when
    return told.assign(file=word.file, line=None).drop(columns="source_id")


def _take_out(warehouse: Warehouse, withdrawn: frozenset[str]) -> list[str]:
    rows = warehouse.select("store.response", "source_id", sorted(withdrawn))
    if rows.empty:
        return []
    keys = rows["response"].tolist()
    again = warehouse.select("store.duplicate", "response", keys)
    warehouse.remove("store.response", "response", keys)
    for table in OF_ANSWERS:
        warehouse.remove(f"store.{table}", "response", keys)
    files = warehouse.frame("store.source_file")
    count_as_rejected(warehouse, files, (rows, again), "answer", _WITHDRAWN)
    return [f"answers of other exports {_WITHDRAWN}, no longer stored: {len(rows):,}"]
