"""Explanations of earlier runs, for answers that are typed otherwise and read alike.

What fits a wrong answer rests on its question and on the values that it was read as. Where these
are known the question need not be walked again, which is what takes longest in a later run.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Final, TypeAlias

import pandas as pd

from pipeline.records import Candidate, Verdict
from pipeline.tagging.examine import Explained
from pipeline.warehouse import Warehouse

Question: TypeAlias = tuple[Any, ...]
"""Task, problem, numbers, method and key; None where there is none."""
Before: TypeAlias = Mapping[tuple[str, ...], Explained]
"""Sympy source of all readings of a wrong answer -> what explains it."""

_QUESTION: Final = ["task", "problem", "numbers", "method", "key"]
_ROUNDED: Final = re.compile(r"[.%]|[^\x00-\x7f]")
"""Signs that a number may be typed as a decimal, which is matched by its places, not its value."""


def judged_before(
    warehouse: Warehouse, requests: pd.DataFrame, *, decimal_comma: bool
) -> Mapping[Question, Before]:
    """Collect what is stored on the questions of some answers.

    Args:
        warehouse: the database that is being built, tags by hand taken off.
        requests: `judging.unexamined`; only questions that are `known` are looked up.
        decimal_comma: whether a comma may stand in a decimal.
    """
    typed = requests["known"].astype(bool) & (requests["task"] != "choice")
    rows = warehouse.matching("store.examined", requests.loc[typed, _QUESTION].drop_duplicates())
    rounded = rows["answer"].str.contains(_ROUNDED)
    if decimal_comma:
        rounded |= rows["answer"].str.contains(",")
    wrong = rows["verdict"].isin([one for one in Verdict if one.has_candidates])
    rows = rows[wrong & rows["work"].isna() & ~rounded]
    if not len(rows):
        return {}
    found = _candidates(warehouse.matching("store.candidate", rows[["examined"]]))
    plain = rows.astype(object).where(rows.notna(), None)
    before: dict[Question, dict[tuple[str, ...], Explained]] = {}
    for row in plain.to_dict("records"):
        question = tuple(row[name] for name in _QUESTION)
        explained = (tuple(found.get(row["examined"], ())), row["unexplained"])
        before.setdefault(question, {})[tuple(row["readings"])] = explained
    return before


def _candidates(rows: pd.DataFrame) -> dict[int, list[Candidate]]:
    found: dict[int, list[Candidate]] = {}
    for row in rows.to_dict("records"):
        one = Candidate(row["pattern"], tuple(row["faults"]), row["weight"], 0.0, "")
        found.setdefault(row["examined"], []).append(one)
    return found
