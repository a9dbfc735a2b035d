"""Judgments that nothing rests on any more: taken away, so that a later run adds up to a first."""

from __future__ import annotations

import pandas as pd

from pipeline.run.rules import Rules, own_rules
from pipeline.warehouse import Warehouse

_QUESTION = ["task", "problem", "numbers", "method"]
_HELD_AGAINST = ["key", "own_rules"]


def drop_outdated(warehouse: Warehouse, rules: Rules) -> None:
    """Drop what was judged for questions and answers that no stored response holds any more.

    A question whose right answer changed, or the course's own errors or options that concern it,
    goes with all its answers and predictions, since these were held against the old ones; all
    others stay as they are.

    Args:
        warehouse: the database that is being built, responses settled.
        rules: of the course as they are now.
    """
    changed = warehouse.asked("judging.outdated_question")
    questions = pd.concat([changed, _ruled_otherwise(warehouse, rules)])
    warehouse.remove_matching("store.prediction", questions)
    mine = warehouse.matching("store.examined", questions)[["examined"]]
    answers = pd.concat([warehouse.asked("judging.outdated_answer"), mine])
    warehouse.remove_matching("store.candidate", answers)
    warehouse.remove_matching("store.examined", answers)


def _ruled_otherwise(warehouse: Warehouse, rules: Rules) -> pd.DataFrame:
    """Questions that were held against other own errors or options than those of today."""
    judged = warehouse.part("store.examined", [*_QUESTION, *_HELD_AGAINST]).drop_duplicates()
    ruled = bool(rules.own or rules.options)
    if not ruled and judged["own_rules"].eq("").all():
        return judged.head(0)[_QUESTION]
    plain = judged.astype(object).where(judged.notna(), None)
    now = [own_rules(rules, *row) for row in zip(*(plain[n] for n in ("task", "problem", "key")))]  # noqa: B905
    return judged.loc[judged["own_rules"] != now, _QUESTION].drop_duplicates()
