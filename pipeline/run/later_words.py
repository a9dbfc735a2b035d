"""What a file says of answers that other files brought: taken back, or graded."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from pipeline.run.scores import Corrections, correct_scores
from pipeline.run.taken_out import OF_ANSWERS, count_as_rejected
from pipeline.standards.answer_records import LaterWord
from pipeline.warehouse import Warehouse

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
