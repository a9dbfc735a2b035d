"""Answers that one export gives with a time of day, and another with the day alone."""

from __future__ import annotations

import numpy as np
import pandas as pd

from pipeline.ingest.answer_keys import answer_keys
from pipeline.ingest.distinct import replaced, same
from pipeline.ingest.known import KnownResponses
from pipeline.ingest.settle import Settling

_WHOSE = ["student", "item"]


def known_by_day(
    frame: pd.DataFrame, known: KnownResponses, settling: Settling, zone: str
) -> pd.DataFrame:
    """Rows under the key of the stored answer that they are, but for the time of day.

    The same answer of a student to a question, tries not numbered, on one day is the one that is
    stored where one of the two has no time. Of several with a time, the first is that one.

    Args:
        frame: answers with their `slot` and `response`.
        known: what is stored.
        settling: tells which quiz is the question's own.
        zone: of the course.
    """
    may_be = frame["attempt"].isna() & frame["student"].notna() & frame["answered_on"].notna()
    rows = frame[may_be & ~known.holds(frame["response"].to_numpy())]
    if rows.empty or not known.files:
        return frame
    days, timed = _days(rows, zone)
    asked = rows[~timed][_WHOSE].drop_duplicates()
    stored = known.matching(asked) if known.matching else frame.iloc[:0]
    stored = stored[stored["attempt"].isna() & stored["answered_on"].notna()]
    of_day: dict[int, int] = {}
    if len(stored):
        own = settling.settle(stored)["quiz_own"]
        other = replaced(stored["quiz_given"], same(stored["quiz_given"], own), None)
        of_stored, _ = _days(stored.assign(quiz_other=other), zone)
        of_day = dict(zip(of_stored[::-1], stored["response"][::-1], strict=True))
    theirs = days.map(of_day).astype("Int64").where(~timed)
    alone = (
        timed
        & known.held_before(np.asarray(days, dtype=np.int64))
        & ~days.where(timed).duplicated()
    )
    theirs = theirs.where(~alone, days).dropna().astype("int64")
    keys = frame["response"].copy()
    keys[theirs.index] = theirs
    slots = frame["slot"].where(keys == frame["response"], keys)
    return frame.assign(slot=slots, response=keys)


def _days(frame: pd.DataFrame, zone: str) -> tuple[pd.Series[int], pd.Series[bool]]:
    """Keys of answers as if all were given when their day begins, and which were not."""
    local = frame["answered_on"].astype("datetime64[us]").dt.tz_localize(
        zone, ambiguous=True, nonexistent="shift_forward"
    )  # fmt: skip
    begins = local.dt.tz_convert("UTC").dt.tz_localize(None)
    _, keys = answer_keys(frame.assign(answered_at=begins))
    return pd.Series(keys, frame.index), frame["answered_at"] != begins
