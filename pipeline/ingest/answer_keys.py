"""Keys of responses: the same answer has the same key in every file and every run, for ever.

A text counts by the first eight bytes of its BLAKE2b digest (RFC 7693). Fields are mixed from left
to right with the finalizer of SplitMix64 (Steele, Lea and Flood 2014), and the top bit is cleared.
Among ten million responses two share a key by chance once in about 180,000 courses.
"""

from __future__ import annotations

import hashlib
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from pipeline.ingest.distinct import coded

_Words = npt.NDArray[np.uint64]
_PERSON = b"lostroot"
_FIRST, _SECOND = np.uint64(0xBF58476D1CE4E5B9), np.uint64(0x94D049BB133111EB)
_GOLDEN = np.uint64(0x9E3779B97F4A7C15)
_POSITIVE = np.uint64((1 << 63) - 1)
_MONTH_TO_SEASON = np.array([0, 0, 0, 0, 0, 0, 1, 1, 2, 2, 2, 2, 2], dtype=np.int64)


def text64(text: str) -> int:
    """A text as 64 bits."""
    data = text.encode("utf-8", "surrogatepass")
    return int.from_bytes(hashlib.blake2b(data, digest_size=8, person=_PERSON).digest(), "big")


def answer_keys(frame: pd.DataFrame) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """Slots and keys of answers.

    A slot is the place that one answer can fill: student, question, attempt (or the time, where
    attempts are not numbered), period, and the quiz if it is not the question's own. The period is
    the term that the export gave, else year and part of the year of the answer, so that a student
    who takes the course again fills new slots. Rows of one slot with one key are duplicates; with
    two keys they are in conflict. Answers that are only counted have a slot per answer text, and
    another count of it is a conflict.

    Args:
        frame: `student, item, term_given, quiz_other, problem_given, answer, section` text or
            missing, `attempt, count` Int64, `answered_at` and `answered_on` datetimes.

    Returns:
        Slots and keys, not negative, in the order of the rows.
    """
    numbered = frame["attempt"].notna().to_numpy()
    crowd = frame["student"].isna().to_numpy()
    section = np.where(crowd, _texts(frame["section"]), np.uint64(0))
    slot = np.zeros(len(frame), dtype=np.uint64)
    for words in (_texts(frame["student"]), _texts(frame["item"]), _period(frame), section):
        slot = _mixed(slot, words)
    slot = _mixed(slot, _texts(frame["quiz_other"]))
    attempts = frame["attempt"].fillna(0).to_numpy(np.uint64)
    slot = _mixed(slot, np.where(numbered, attempts, np.uint64(0)))
    slot = np.where(numbered, slot, _mixed(slot, _times(frame["answered_at"])))
    full = _mixed(_mixed(slot, _texts(frame["problem_given"])), _texts(frame["answer"]))
    slot = np.where(numbered & ~crowd, slot, full)
    counts = frame["count"].fillna(1).to_numpy(np.uint64)
    key = np.where(crowd, _mixed(full, counts), full)
    return _positive(slot), _positive(key)


def _texts(column: pd.Series[Any]) -> _Words:
    """Each distinct text is digested once; a missing one counts as 0."""
    codes, texts = coded(column)
    words = np.array([text64(str(text)) for text in texts] + [0], dtype=np.uint64)
    return words[codes]


def _times(column: pd.Series[Any]) -> _Words:
    missing = column.isna().to_numpy()
    micros = column.to_numpy("datetime64[us]").astype(np.int64)
    return np.where(missing, 0, micros).astype(np.uint64)


def _period(frame: pd.DataFrame) -> _Words:
    days = frame["answered_on"]
    months = days.to_numpy("datetime64[M]").astype(np.int64)
    years, seasons = months // 12 + 1970, _MONTH_TO_SEASON[months % 12 + 1]
    part = np.where(days.isna(), 0, years * 3 + seasons).astype(np.uint64)
    given = frame["term_given"]
    return np.where(given.notna().to_numpy(), _texts(given), part)


def _mixed(state: _Words, words: npt.NDArray[Any]) -> _Words:
    with np.errstate(over="ignore"):
        mixed = (state ^ words.astype(np.uint64)) + _GOLDEN
        mixed = (mixed ^ (mixed >> np.uint64(30))) * _FIRST
        mixed = (mixed ^ (mixed >> np.uint64(27))) * _SECOND
        return mixed ^ (mixed >> np.uint64(31))


def _positive(words: _Words) -> npt.NDArray[np.int64]:
    return (words & _POSITIVE).astype(np.int64)
