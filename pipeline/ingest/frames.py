"""The frames handed to the database, with the columns and kinds that it expects."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

import numpy as np
import pandas as pd

from pipeline.ingest.distinct import text_column, used

_TIME = "datetime64[us]"
# Column -> kind, in order. The five at the end say what the export itself said.
RESPONSE_KINDS: dict[str, str] = {
    "response": "int64", "term": "str", "week": "Int64", "answered_week": "Int64",
    "section": "str", "topic": "str", "item": "str", "item_from": "str", "place": "str",
    "task": "str", "problem": "str", "key": "str", "form": "str", "numbers": "str",
    "method": "str", "student": "str", "attempt": "Int64", "answered_at": _TIME, "answer": "str",
    "work": "str", "score": "float64", "points": "float64", "quiz": "str", "setting": "str",
    "supervised": "boolean", "calculator": "boolean", "count": "Int64", "file": "str",
    "line": "Int64", "source_place": "str", "source_id": "str",
    "seconds": "float64",
    "slot": "int64", "term_given": "str", "problem_given": "str", "quiz_given": "str",
    "answered_on": _TIME,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Batch:
    """Some rows of one file, each in exactly one of the three frames.

    Args:
        stored: to be stored, columns of `RESPONSE_KINDS`; missing text is null. Text columns are
            categoricals, which the database takes as they are.
        rejected: `file, line, column, reason, value, needs_look`.
        duplicates: `file, line, response` of rows that are stored already.
        scores: `response, file, line, score, points` of those that an earlier file brought, where
            this one tells a score.
    """

    stored: pd.DataFrame
    rejected: pd.DataFrame
    duplicates: pd.DataFrame
    scores: pd.DataFrame

    @property
    def responses(self) -> pd.DataFrame:
        """The rows to be stored, with plain text columns."""
        return self.stored.astype(RESPONSE_KINDS)


def stored_frame(stored: pd.DataFrame, file: str) -> pd.DataFrame:
    """Settled answers in the columns of the database; texts that no row has are gone."""
    others = {name: kind for name, kind in RESPONSE_KINDS.items() if kind != "str"}
    frame = stored.astype(others).reset_index(drop=True)
    frame["file"] = text_column(np.zeros(len(stored), dtype=np.int8), [file])
    texts = {name: used(frame[name]) for name, kind in RESPONSE_KINDS.items() if kind == "str"}
    return frame.assign(**texts)[list(RESPONSE_KINDS)]


def duplicate_frame(again: pd.DataFrame, file: str) -> pd.DataFrame:
    """Rows that are stored already."""
    frame = again.assign(file=file)[["file", "line", "response"]]
    return frame.astype({"file": "str", "line": "Int64", "response": "int64"}).reset_index(
        drop=True
    )


def score_frame(again: pd.DataFrame, file: str) -> pd.DataFrame:
    """What rows that are stored already say of their scores, and when they were answered."""
    told = again[again["score"].notna()].assign(file=file)
    names = ["response", "file", "line", "score", "points", "answered_at"]
    return told[names].reset_index(drop=True)


def source_frame(
    file: str, sha256: str, counts: Mapping[str, int], times: Mapping[str, datetime], read_by: str
) -> pd.DataFrame:
    """One row of accounting; `times` are `loaded_at` and `file_time`."""
    row = {
        "file": file,
        "sha256": sha256,
        "rows_read": counts["read"],
        "stored": counts["stored"],
        "duplicates": counts["duplicates"],
        "rejected": counts["rejected"],
        **{name: time.replace(tzinfo=None) for name, time in times.items()},
        "read_by": read_by,
    }
    kinds = {"file": "str", "sha256": "str", "read_by": "str", **dict.fromkeys(times, _TIME)}
    return pd.DataFrame([row]).astype(kinds)
