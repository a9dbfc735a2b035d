"""Judging every distinct answer once, and walking every distinct question once.

What one fault makes of a question becomes rows of `store.prediction`. What fits a wrong answer
rests on its question and on the values that it was read as. Where these are known the question need
not be walked again, which is what takes longest in a later run.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any, Final, TypeAlias

import pandas as pd

from pipeline.errors import UnreadableProblem
from pipeline.exact.values import value_key
from pipeline.records import Candidate, Explanation, Request, Verdict
from pipeline.run.by_hand import general_slips
from pipeline.run.rules import Rules, own_rules
from pipeline.tagging.choices import examine_choice, wrong_options
from pipeline.tagging.examine import Explained, examine
from pipeline.tagging.own_patterns import own_predictions
from pipeline.tagging.predict import predicted
from pipeline.tagging.priors import SINGLE
from pipeline.tagging.questions import question_of
from pipeline.warehouse import Warehouse

_Question: TypeAlias = tuple[Any, ...]
"""Task, problem, numbers, method and key; None where there is none."""
_Before: TypeAlias = Mapping[tuple[str, ...], Explained]
"""Sympy source of all readings of a wrong answer -> what explains it."""

_QUESTION: Final = ["task", "problem", "numbers", "method", "key"]
_ROUNDED: Final = re.compile(r"[.%]|[^\x00-\x7f]")
"""Signs that a number may be typed as a decimal, which is matched by its places, not its value."""


def judged_before(
    warehouse: Warehouse, requests: pd.DataFrame, *, decimal_comma: bool
) -> Mapping[_Question, _Before]:
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
    found = _candidates_of(warehouse.matching("store.candidate", rows[["examined"]]))
    plain = rows.astype(object).where(rows.notna(), None)
    before: dict[_Question, dict[tuple[str, ...], Explained]] = {}
    for row in plain.to_dict("records"):
        question = tuple(row[name] for name in _QUESTION)
        explained = (tuple(found.get(row["examined"], ())), row["unexplained"])
        before.setdefault(question, {})[tuple(row["readings"])] = explained
    return before


def _candidates_of(rows: pd.DataFrame) -> dict[int, list[Candidate]]:
    found: dict[int, list[Candidate]] = {}
    for row in rows.to_dict("records"):
        one = Candidate(row["pattern"], tuple(row["faults"]), row["weight"], 0.0, "")
        found.setdefault(row["examined"], []).append(one)
    return found


def expected_answers(row: dict[str, Any], request: Request, rules: Rules) -> list[dict[str, Any]]:
    """Return the answers that single faults lead to on a question, and the faults.

    Args:
        row: the question, as columns of `store.examined`.
        request: the same question.
        rules: of the course.
    """
    return list(_found(row, request, rules))


def _row(key: str, name: str, weight: float = SINGLE, *, wrong: bool) -> dict[str, Any]:
    return {"value_key": key, "faults": [name], "pattern": name, "weight": weight, "wrong": wrong,
            "by_hand": False}  # fmt: skip


def _found(row: dict[str, Any], request: Request, rules: Rules) -> Iterator[dict[str, Any]]:
    if row["task"] == "choice":
        options = rules.options.get((row["problem"] or None, row["key"]), ())
        for key, name in wrong_options(request, options, rules.own):
            yield _row(key, name, wrong=True)
        return
    for one in own_predictions(rules.own, request):
        yield _row(one.key, one.id, wrong=True)
    if row["task"] == "judge" or not row["problem"]:
        return
    try:
        expected = predicted(row["task"], row["problem"], request.numbers, row["method"], 1)
    except UnreadableProblem:
        return
    right = _right_keys(request)
    for key, _, name, weight, _ in expected:
        yield _row(key, name, weight, wrong=key not in right)


def _right_keys(request: Request) -> frozenset[str]:
    """Values that the course takes for right, where its key is another than the computed one."""
    if request.key is None:
        return frozenset()
    question = Request(request.task, request.problem, "", request.key, None, request.numbers)
    right = question_of(question).right
    values = (right.value, *right.also, *right.other_form) if right else ()
    return frozenset(value_key(value) for value in values)


Map: TypeAlias = Callable[[Callable[[Any], Any], Iterable[Any]], Iterator[Any]]
"""How chunks are worked on: `map`, or the `map` of an executor."""

QUESTION = ["task", "problem", "numbers", "method"]
NATURAL = [*QUESTION, "key", "form", "answer", "work"]
QUESTIONS_PER_CHUNK = 8

_Chunk: TypeAlias = list[dict[str, Any]]
_Rows: TypeAlias = tuple[list[dict[str, Any]], list[dict[str, Any]], list[dict[str, Any]]]


@dataclass(frozen=True, slots=True)
class Judged:
    """Rows for `store.examined`, `store.candidate` and `store.prediction`."""

    examined: pd.DataFrame
    candidates: pd.DataFrame
    predictions: pd.DataFrame


def judge_all(
    requests: pd.DataFrame, rules: Rules, run_map: Map, before: Mapping[_Question, _Before]
) -> Judged:
    """Judge distinct answers.

    Args:
        requests: the columns `NATURAL`, one row per distinct answer to a distinct question, and
            `known`, whether the question's predictions are stored.
        rules: how answers are read, and what else they are held against.
        run_map: works on chunks; the order of the results is that of the chunks.
        before: what explains wrong answers of earlier runs, by question.

    Returns:
        Rows to be stored; predictions of single faults only, since a question can show an error
        when that error alone changes the answer.
    """
    examined: list[dict[str, Any]] = []
    candidates: list[dict[str, Any]] = []
    predictions: list[dict[str, Any]] = []
    work = partial(_judge_chunk, rules=rules)
    for rows in run_map(work, _chunks(requests, before)):
        examined += rows[0]
        candidates += rows[1]
        predictions += rows[2]
    return Judged(pd.DataFrame(examined), pd.DataFrame(candidates), pd.DataFrame(predictions))


def _chunks(requests: pd.DataFrame, before: Mapping[_Question, _Before]) -> Iterator[_Chunk]:
    """Answers to a few questions together, so that each question is walked in one place."""
    rows: _Chunk = []
    seen: set[tuple[Any, ...]] = set()
    plain = requests[[*NATURAL, "known"]].astype(object)
    plain = plain.where(plain.notna(), None).sort_values(NATURAL, key=_text)
    for row in plain.to_dict("records"):
        question = tuple(row[name] for name in QUESTION)
        if question not in seen and len(seen) == QUESTIONS_PER_CHUNK:
            yield rows
            rows, seen = [], set()
        seen.add(question)
        row["before"] = before.get((*question, row["key"]), {})
        rows.append({str(name): value for name, value in row.items()})
    if rows:
        yield rows


def _text(column: pd.Series[Any]) -> pd.Series[Any]:
    return column.map(lambda value: "" if value is None else str(value))


def _judge_chunk(chunk: _Chunk, rules: Rules) -> _Rows:
    examined, candidates, predictions = [], [], []
    walked: set[tuple[Any, ...]] = set()
    for row in chunk:
        known, before = row.pop("known"), row.pop("before")
        request = _request(row, rules)
        explanation = _examined(row, request, rules, before)
        number = _number(row)
        held_against = own_rules(rules, row["task"], row["problem"], row["key"])
        told = {**_judgment(explanation), "own_rules": held_against}
        examined.append({"examined": number, **row, **told})
        candidates += [{"examined": number, **one} for one in _candidates(explanation)]
        question = tuple(row[name] for name in (*QUESTION, "key"))
        if not known and question not in walked:
            walked.add(question)
            asked = {name: row[name] for name in QUESTION}
            predictions += [{**asked, **one} for one in expected_answers(row, request, rules)]
    return examined, candidates, predictions


def _request(row: dict[str, Any], rules: Rules) -> Request:
    return Request(
        task=row["task"],
        problem=row["problem"] or "",
        answer=row["answer"],
        key=row["key"],
        work=row["work"],
        numbers=row["numbers"] or "real",
        form=row["form"],
        method=row["method"],
        decimal_comma=rules.reading.decimal_comma,
        min_places=rules.reading.min_places,
        missing_brackets=rules.reading.missing_brackets,
    )


def _examined(row: dict[str, Any], request: Request, rules: Rules, before: _Before) -> Explanation:
    if row["task"] == "choice":
        options = rules.options.get((row["problem"] or None, row["key"]), ())
        return examine_choice(request, options, rules.own)
    return examine(request, rules.own, before)


def _number(row: dict[str, Any]) -> int:
    """A key that is the same in every run: 63 bits over what was asked and answered."""
    text = repr([row[name] for name in NATURAL])
    digest = hashlib.blake2b(text.encode(), digest_size=8, person=b"examined").digest()
    return int.from_bytes(digest, "big") >> 1


def _judgment(explanation: Explanation) -> dict[str, Any]:
    return {
        "verdict": str(explanation.verdict),
        "read_as": explanation.read_as,
        "value": explanation.value,
        "value_key": explanation.value_key,
        "readings": list(explanation.readings),
        "reason": explanation.reason,
        "brackets": explanation.brackets,
        "first_wrong_line": explanation.first_wrong_line,
        "unexplained": explanation.unexplained if explanation.verdict.has_candidates else None,
        "by_hand": False,
    }


def _candidates(explanation: Explanation) -> Iterator[dict[str, Any]]:
    if explanation.verdict.has_candidates:
        for one in explanation.patterns:
            yield {
                "faults": list(one.faults),
                "pattern": one.id,
                "weight": one.weight,
                "general": one.faults[0] in general_slips(),
            }
