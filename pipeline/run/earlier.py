"""Editions for everyone that are out already: the next one must be safe together with them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pandas as pd

from pipeline.errors import CourseError

__all__ = ["shared_earlier"]

KEPT = "reports/kept"
TABLES = {"wrong.csv": ("answers", "wrong", "right"),
          "outcome-results.csv": ("students", "meeting", "below", "too_little")}  # fmt: skip
COLUMNS = ["edition", "term", "setting", "topic", "week_from", "week_to", "part", "value",
           "ceiling", "as_of"]  # fmt: skip


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


def _editions(kept: Path) -> Iterator[Path]:
    for path in sorted(kept.glob("*-shared*")) if kept.is_dir() else ():
        if (path / "tables").is_dir():
            yield path


def _rows(edition: Path) -> Iterator[dict[str, object]]:
    for name, parts in TABLES.items():
        path = edition / "tables" / name
        try:
            table = pd.read_csv(path, dtype=str, keep_default_na=False)
            for record in table.to_dict("records"):
                yield from _counts({str(k): str(v) for k, v in record.items()}, parts, edition.name)
        except (OSError, KeyError, ValueError) as error:
            message = (
                f"{KEPT}/{edition.name}/tables/{name} cannot be read ({error}). Others may have "
                "this edition, so a new one has to be proved safe beside it. Put the file back, "
                "or move the folder away if it was never passed on."
            )
            raise CourseError(message) from error


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
