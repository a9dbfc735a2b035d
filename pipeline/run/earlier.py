"""Editions for everyone that are out already: the next one must be safe together with them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pandas as pd

from pipeline.errors import CourseError

__all__ = ["shared_earlier", "shared_percents"]

KEPT = "reports/kept"
TABLES = {"wrong.csv": ("answers", "wrong", "right"),
          "outcome-results.csv": ("students", "meeting", "below", "too_little")}  # fmt: skip
PERCENTS = {"term": "pattern-prevalence.csv", "topic": "pattern-by-topic.csv",
            "pair": "term-comparison.csv"}  # fmt: skip
PERCENT_COLUMNS = ["edition", "last_answer", "kind", "setting", "term", "term_before", "topic",
                   "pattern", "state", "rate", "rate_low", "rate_high", "cap",
                   "students_at_least", "as_of"]  # fmt: skip
COLUMNS = ["edition", "term", "setting", "topic", "week_from", "week_to", "part", "value",
           "ceiling", "as_of"]  # fmt: skip
_UNGUARDED = re.compile(r"^'(?=[=+\-@\t\r\n\x00])")
"""What the export puts in front of a name that a spreadsheet program would take for a formula."""


def shared_earlier(folder: Path) -> pd.DataFrame:
    """Read the counts that kept editions for everyone print.

    Args:
        folder: the course folder.

    Returns:
        Rows of `store.shared_earlier`.

    Raises:
        CourseError: a kept edition cannot be read, so nothing could be proved safe beside it.
    """
    rows = [row for path in _editions(folder / KEPT) for row in _rows(path)]
    return pd.DataFrame(rows, columns=COLUMNS)


def shared_percents(folder: Path) -> pd.DataFrame:
    """Read the percents of errors that kept editions for everyone print.

    Args:
        folder: the course folder.

    Returns:
        Rows of `store.shared_percent`.

    Raises:
        CourseError: a kept edition cannot be read, so nothing could be proved safe beside it.
    """
    rows = [row for path in _editions(folder / KEPT) for row in _percents(path)]
    return pd.DataFrame(rows, columns=PERCENT_COLUMNS)


def _percents(edition: Path) -> Iterator[dict[str, object]]:
    days = [record.get("last_answer", "") for record in _records(edition, "course.csv")]
    day = pd.to_datetime(days[0]).date() if days and days[0] else None
    for kind, name in PERCENTS.items():
        for record in _records(edition, name):
            row = _percent(kind, record)
            if row is not None:
                yield {"edition": edition.name, "last_answer": day, **row}


def _percent(kind: str, record: dict[str, str]) -> dict[str, object] | None:
    """One line of a table; None where it printed nothing, or another kind of change."""
    rate, code = record.get("rate", record.get("difference", "")), record.get("code", "")
    if record.get("kind", "pattern") != "pattern" or not (rate or code):
        return None
    number = float(code.split("%")[0]) / 100 if code else None
    low = code.endswith("less")
    ends = ("rate_low", "rate_high") if kind != "pair" else ("difference_low", "difference_high")
    return {
        "kind": kind,
        "setting": record["setting"],
        "term": record.get("term", record.get("term_after", "")),
        "term_before": record.get("term_before", ""),
        "topic": record.get("topic", ""),
        "pattern": record.get("pattern", record.get("subject", "")),
        "state": "shown" if rate else "low" if low else "high",
        "rate": _number(rate),
        "rate_low": _number(record.get(ends[0], "")),
        "rate_high": _number(record.get(ends[1], "")),
        "cap": number if number is None or low else 1 - number,
        "students_at_least": _number(record.get("students_at_least", "")),
        "as_of": record.get("as_of") or None,
    }


def _number(text: str) -> float | None:
    return float(text) if text else None


def _editions(kept: Path) -> Iterator[Path]:
    for path in sorted(kept.glob("*-shared*")) if kept.is_dir() else ():
        if (path / "tables").is_dir():
            yield path


def _rows(edition: Path) -> Iterator[dict[str, object]]:
    for name, parts in TABLES.items():
        for record in _records(edition, name):
            try:
                yield from _counts(record, parts, edition.name)
            except (KeyError, ValueError) as error:
                raise _unreadable(edition, name, error) from error


def _records(edition: Path, name: str) -> Iterator[dict[str, str]]:
    try:
        table = pd.read_csv(edition / "tables" / name, dtype=str, keep_default_na=False)
    except (OSError, ValueError) as error:
        raise _unreadable(edition, name, error) from error
    for record in table.to_dict("records"):
        yield {str(key): _UNGUARDED.sub("", str(value)) for key, value in record.items()}


def _unreadable(edition: Path, name: str, error: Exception) -> CourseError:
    return CourseError(
        f"{KEPT}/{edition.name}/tables/{name} cannot be read ({error}). Others may have "
        "this edition, so a new one has to be proved safe beside it. Put the file back, "
        "or move the folder away if it was never passed on."
    )


def _counts(
    record: dict[str, str], parts: tuple[str, ...], edition: str
) -> Iterator[dict[str, object]]:
    coded = record.get("code", "")
    small = "" if not coded else "wrong" if coded.endswith("less") else "right"
    for part in parts:
        yield {
            "edition": edition,
            "term": record["term"],
            "setting": record.get("setting", ""),
            "topic": record["topic"] if "topic" in record else record["outcome"],
            "week_from": int(record.get("week_from", 0)),
            "week_to": int(record.get("week_to", 0)),
            "part": part,
            "value": float(record[part]) if record[part] else None,
            "ceiling": float(record["ceiling"]) if part == small else None,
            "as_of": record["as_of"] or None,
        }
