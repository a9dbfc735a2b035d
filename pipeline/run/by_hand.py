"""Tags that a person gave, laid over what the program found: neither reading nor predicting again.

What a tag takes the place of is set aside in the database, so that it comes back with the tag's
leaving; a change of the tags touches the answers that they name and nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

import pandas as pd

from pipeline.course.hand_tags import UNEXPLAINED
from pipeline.patterns.catalogue import catalogue
from pipeline.run.rules import Cell
from pipeline.tagging.priors import SINGLE
from pipeline.warehouse import Warehouse

_QUESTION = ["task", "problem", "numbers", "method"]
_BY_HAND = pd.DataFrame({"by_hand": [True]})


@cache
def general_slips() -> frozenset[str]:
    """Ids of the slips of the pen and in arithmetic."""
    return frozenset(one.id for one in catalogue() if one.general)


def take_tags_off(warehouse: Warehouse) -> None:
    """Bring back what the program itself had found for the answers that a person tagged."""
    warehouse.remove_matching("store.prediction", _BY_HAND)
    expected = warehouse.frame("store.untagged_prediction").assign(by_hand=False)
    warehouse.put("store.prediction", expected, replace=False)
    warehouse.put("store.untagged_prediction", pd.DataFrame())
    tagged = warehouse.matching("store.examined", _BY_HAND)
    if not len(tagged):
        return
    aside = warehouse.frame("store.untagged_candidate")
    rest = aside[aside["pattern"] == UNEXPLAINED].set_index("examined")["weight"]
    _change(warehouse, tagged.assign(unexplained=tagged["examined"].map(rest), by_hand=False))
    warehouse.remove("store.candidate", "examined", [int(one) for one in tagged["examined"]])
    found = aside[aside["pattern"] != UNEXPLAINED]
    warehouse.put("store.candidate", found, replace=False)
    warehouse.put("store.untagged_candidate", pd.DataFrame())


def put_tags_on(warehouse: Warehouse, tags: Mapping[Cell, tuple[str, ...]]) -> None:
    """Lay tags over stored judgments and predictions, all earlier tags taken off.

    Args:
        warehouse: the database that is being built.
        tags: wrong answer -> errors that it was laid to; empty for none that is known.
    """
    places = pd.DataFrame([{"task": task, "problem": problem or None} for task, problem, _ in tags])
    asked = warehouse.matching("store.examined", places) if tags else pd.DataFrame()
    if not len(asked):
        return
    _tag_answers(warehouse, asked, tags)
    _tag_predictions(warehouse, asked[_QUESTION].drop_duplicates(), tags)


def _tag_answers(
    warehouse: Warehouse, asked: pd.DataFrame, tags: Mapping[Cell, tuple[str, ...]]
) -> None:
    """Candidates of the answers named: a person's tag has nothing left unexplained."""
    wrong = asked[(asked["verdict"] == "wrong") & asked["value_key"].notna()]
    found = [(row, tags.get(_cell(row))) for row in wrong.to_dict("records")]
    named = {int(row["examined"]): names for row, names in found if names is not None}
    mine = asked[asked["examined"].isin(list(named))]
    before = warehouse.matching("store.candidate", mine[["examined"]])
    rest = mine[["examined", "unexplained"]].rename(columns={"unexplained": "weight"})
    nothing = rest["examined"].map(lambda _: [])
    rest = rest.assign(faults=nothing, pattern=UNEXPLAINED, general=False)
    for rows in (before, rest):
        warehouse.put("store.untagged_candidate", rows, replace=False)
    warehouse.remove_matching("store.candidate", mine[["examined"]])
    laid = [_candidate(one, name) for one, names in named.items() for name in names]
    warehouse.put("store.candidate", pd.DataFrame(laid), replace=False)
    left = [float(not named[int(one)]) for one in mine["examined"]]
    _change(warehouse, mine.assign(unexplained=left, by_hand=True))


def _candidate(examined: int, name: str) -> dict[str, Any]:
    general = name in general_slips()
    return {"examined": examined, "faults": [name], "pattern": name, "weight": 1.0,
            "general": general}  # fmt: skip


def _tag_predictions(
    warehouse: Warehouse, questions: pd.DataFrame, tags: Mapping[Cell, tuple[str, ...]]
) -> None:
    """A tag of an answer takes the place of all that was expected to lead to it."""
    rows = [
        {**question, "value_key": key, "names": names}
        for question in questions.to_dict("records")
        for (task, problem, key), names in tags.items()
        if (task, problem) == _place(question)
    ]
    named = pd.DataFrame(rows)
    values = named[[*_QUESTION, "value_key"]]
    before = warehouse.matching("store.prediction", values)
    warehouse.put("store.untagged_prediction", before.drop(columns="by_hand"), replace=False)
    warehouse.remove_matching("store.prediction", values)
    laid = named.explode("names").dropna(subset="names").rename(columns={"names": "pattern"})
    faults = laid["pattern"].map(lambda name: [name])
    laid = laid.assign(faults=faults, weight=SINGLE, wrong=True, by_hand=True)
    warehouse.put("store.prediction", laid, replace=False)


def _place(row: Mapping[Any, Any]) -> tuple[str, str]:
    return row["task"], row["problem"] if isinstance(row["problem"], str) else ""


def _cell(row: Mapping[Any, Any]) -> Cell:
    return (*_place(row), row["value_key"])


def _change(warehouse: Warehouse, rows: pd.DataFrame) -> None:
    """Write some judged answers anew."""
    warehouse.remove_matching("store.examined", rows[["examined"]])
    warehouse.put("store.examined", rows, replace=False)
