"""Judgments that nothing rests on any more: taken away, so that a later run adds up to a first."""

from __future__ import annotations

import pandas as pd

from pipeline.warehouse import Warehouse

__all__ = ["drop_outdated"]

_QUESTION = ["task", "problem", "numbers", "method"]


def drop_outdated(warehouse: Warehouse) -> None:
    """Drop what was judged for questions and answers that no stored response holds any more.

    A question whose right answer changed goes with all its answers and predictions, since these
    were held against the old one; all others stay as they are.

    Args:
        warehouse: the database that is being built, responses settled.
    """
    warehouse.make("staging.outdated_question")
    warehouse.make("staging.outdated_answer")
    answers = warehouse.frame("staging.outdated_answer")["examined"]
    if len(answers):
        gone = [int(one) for one in answers]
        warehouse.remove("store.candidate", "examined", gone)
        warehouse.remove("store.examined", "examined", gone)
    questions = warehouse.frame("staging.outdated_question")
    if len(questions):
        warehouse.put("store.prediction", _without(warehouse.frame("store.prediction"), questions))


def _without(predictions: pd.DataFrame, questions: pd.DataFrame) -> pd.DataFrame:
    if predictions.empty:
        return predictions
    gone = set(questions[_QUESTION].fillna("").itertuples(index=False, name=None))
    mine = predictions[_QUESTION].fillna("").itertuples(index=False, name=None)
    return predictions[[question not in gone for question in mine]]
