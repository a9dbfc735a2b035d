"""Judging every distinct answer once, and walking every distinct question once."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any, TypeAlias

import pandas as pd

from pipeline.course import Course, Item, ReadingSettings
from pipeline.errors import UnreadableProblem
from pipeline.exact.values import value_key
from pipeline.patterns.catalogue import pattern_of
from pipeline.records import Explanation, Request, Verdict
from pipeline.tagging.examine import examine
from pipeline.tagging.predict import predicted
from pipeline.tagging.questions import question_of

__all__ = ["Judged", "judge_all", "rule_set", "source_texts"]

Map: TypeAlias = Callable[[Callable[[Any], Any], Iterable[Any]], Iterator[Any]]
"""How chunks are worked on: `map`, or the `map` of an executor."""

QUESTION = ["task", "problem", "numbers", "method"]
NATURAL = [*QUESTION, "key", "form", "answer", "work"]
QUESTIONS_PER_CHUNK = 24
JUDGES = ("exact", "reading", "procedures", "patterns", "tagging")
"""Packages whose text decides what an answer is taken for."""

_Chunk: TypeAlias = list[dict[str, Any]]
_Rows: TypeAlias = tuple[list[dict[str, Any]], list[dict[str, Any]], list[dict[str, Any]]]


@dataclass(frozen=True, slots=True)
class Judged:
    """Rows for `store.examined`, `store.candidate` and `store.prediction`."""

    examined: pd.DataFrame
    candidates: pd.DataFrame
    predictions: pd.DataFrame


def rule_set(course: Course) -> str:
    """Sixteen hex digits over everything that decides what an answer is taken for.

    Args:
        course: its own patterns, its options and its reading settings are part of the rules.
    """
    digest = hashlib.sha256()
    for text in source_texts(*JUDGES):
        digest.update(text.encode() + b"\0")
    options = [(item.id, item.options) for item in course.items if item.options]
    digest.update(repr((course.patterns, course.reading, options)).encode())
    return digest.hexdigest()[:16]


def source_texts(*packages: str) -> Iterator[str]:
    """Texts of the files of some packages of the pipeline, in the order of their names."""
    for package in packages:
        for name, text in sorted(_sources(files("pipeline") / package)):
            yield f"{name}\n{text}"


def _sources(folder: Traversable, prefix: str = "") -> Iterator[tuple[str, str]]:
    for entry in folder.iterdir():
        name = f"{prefix}/{entry.name}"
        if entry.is_dir() and entry.name != "__pycache__":
            yield from _sources(entry, name)
        elif entry.is_file() and not entry.name.endswith(".pyc"):
            yield name, entry.read_text(encoding="utf-8")


def judge_all(requests: pd.DataFrame, course: Course, run_map: Map) -> Judged:
    """Judge distinct answers.

    Args:
        requests: the columns `NATURAL`, one row per distinct answer to a distinct question.
        course: how answers are read, and what its options stand for.
        run_map: works on chunks; the order of the results is that of the chunks.

    Returns:
        Rows to be stored; predictions of single faults only, since a question can show an error
        when that error alone changes the answer.
    """
    examined: list[dict[str, Any]] = []
    candidates: list[dict[str, Any]] = []
    predictions: list[dict[str, Any]] = []
    options = _options(course.items)
    work = partial(_judge_chunk, reading=course.reading, options=options)
    for rows in run_map(work, _chunks(requests)):
        examined += rows[0]
        candidates += rows[1]
        predictions += rows[2]
    return Judged(pd.DataFrame(examined), pd.DataFrame(candidates), pd.DataFrame(predictions))


def _chunks(requests: pd.DataFrame) -> Iterator[_Chunk]:
    """Answers to a few questions together, so that each question is walked in one place."""
    rows: _Chunk = []
    seen: set[tuple[Any, ...]] = set()
    plain = requests[NATURAL].astype(object)
    plain = plain.where(plain.notna(), None).sort_values(NATURAL, key=_text)
    for row in plain.to_dict("records"):
        question = tuple(row[name] for name in QUESTION)
        if question not in seen and len(seen) == QUESTIONS_PER_CHUNK:
            yield rows
            rows, seen = [], set()
        seen.add(question)
        rows.append({str(name): value for name, value in row.items()})
    if rows:
        yield rows


def _text(column: pd.Series[Any]) -> pd.Series[Any]:
    return column.map(lambda value: "" if value is None else str(value))


def _judge_chunk(
    chunk: _Chunk, reading: ReadingSettings, options: dict[tuple[Any, Any], dict[str, str]]
) -> _Rows:
    examined, candidates, predictions = [], [], []
    walked: set[tuple[Any, ...]] = set()
    for row in chunk:
        explanation = examine(_request(row, reading))
        number = _number(row)
        own = options.get((row["problem"], row["key"]), {}) if row["task"] == "choice" else {}
        found = list(_candidates(explanation, own.get(row["answer"])))
        examined.append({"examined": number, **row, **_judgment(explanation, bool(found))})
        candidates += [{"examined": number, **candidate} for candidate in found]
        question = tuple(row[name] for name in QUESTION)
        if question not in walked:
            walked.add(question)
            predictions += [
                {**dict(zip(QUESTION, question, strict=True)), **prediction}
                for prediction in _predictions(row, own, reading)
            ]
    return examined, candidates, predictions


def _request(row: dict[str, Any], reading: ReadingSettings) -> Request:
    judged = row["task"] == "choice"
    return Request(
        task="judge" if judged else row["task"],
        problem=row["problem"] or "",
        answer=row["answer"],
        key=row["key"],
        work=row["work"],
        numbers=row["numbers"] or "real",
        form=row["form"],
        method=row["method"],
        decimal_comma=reading.decimal_comma,
        min_places=reading.min_places,
    )


def _number(row: dict[str, Any]) -> int:
    """A key that is the same in every run: 63 bits over what was asked and answered."""
    text = repr([row[name] for name in NATURAL])
    digest = hashlib.blake2b(text.encode(), digest_size=8, person=b"examined").digest()
    return int.from_bytes(digest, "big") >> 1


def _judgment(explanation: Explanation, explained: bool) -> dict[str, Any]:
    wrong = explanation.verdict is Verdict.WRONG
    rest = explanation.unexplained if explanation.patterns or not explained else 0.1
    return {
        "verdict": str(explanation.verdict),
        "read_as": explanation.read_as,
        "value": explanation.value,
        "value_key": explanation.value_key,
        "readings": list(explanation.readings),
        "reason": explanation.reason,
        "first_wrong_line": explanation.first_wrong_line,
        "unexplained": rest if wrong else None,
    }


def _candidates(explanation: Explanation, own: str | None) -> Iterator[dict[str, Any]]:
    if explanation.verdict is not Verdict.WRONG:
        return
    if own is not None:
        yield {"faults": [own], "pattern": own, "weight": 1.0, "general": False}
        return
    for one in explanation.patterns:
        yield {
            "faults": list(one.faults),
            "pattern": one.id,
            "weight": one.weight,
            "general": pattern_of(one.faults[0]).general,
        }


def _predictions(
    row: dict[str, Any], own: dict[str, str], reading: ReadingSettings
) -> Iterator[dict[str, Any]]:
    """What one fault makes of the question; the options with an error of a choice."""
    if row["task"] == "choice":
        for text, name in own.items():
            read = examine(_request({**row, "answer": text, "work": None}, reading))
            if read.verdict is Verdict.WRONG:
                key = read.value_key or text
                yield {"value_key": key, "faults": [name], "pattern": name, "wrong": True}
        return
    if row["task"] == "judge" or not row["problem"]:
        return
    try:
        found = predicted(row["task"], row["problem"], row["numbers"] or "real", row["method"])
    except UnreadableProblem:
        return
    right = _right_keys(row)
    for key, faults, name, _, _ in found:
        if len(faults) == 1:
            yield {
                "value_key": key,
                "faults": list(faults),
                "pattern": name,
                "wrong": key not in right,
            }


def _right_keys(row: dict[str, Any]) -> frozenset[str]:
    """Values that the course takes for right, where its key is another than the computed one."""
    if row["key"] is None:
        return frozenset()
    request = Request(row["task"], row["problem"], "", row["key"], None, row["numbers"] or "real")
    right = question_of(request).right
    values = (right.value, *right.also, *right.other_form) if right else ()
    return frozenset(value_key(value) for value in values)


def _options(items: Sequence[Item]) -> dict[tuple[Any, Any], dict[str, str]]:
    """Choice questions, by problem and key -> text of an option -> the error it was written for."""
    return {
        (item.problem, item.answer): {o.text: o.pattern for o in item.options if o.pattern}
        for item in items
        if item.place == "choice"
    }
