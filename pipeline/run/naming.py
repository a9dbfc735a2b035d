"""Proposals for new errors on the sheet: what stands there, and what a person made of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final, NamedTuple

import pandas as pd
from openpyxl import load_workbook

from pipeline.course import Course
from pipeline.course.hand_tags import SHEET, UNEXPLAINED, HandTag
from pipeline.course.keep_map import keep_patterns
from pipeline.course.known_patterns import hold_own_pattern
from pipeline.course.records import OwnPattern
from pipeline.course.settings import Entry
from pipeline.errors import CourseError

NEW_ERRORS: Final = "new errors"
"""The sheet of the workbook that lists proposals."""
HEADER: Final = (
    "your id", "your sentence", "what these answers have in common", "answers", "students",
    "questions", "noise would look so", "for example", "it may also be",
    "a question that tells them apart", "task", "rule",
)  # fmt: skip
_REFUSED: Final = frozenset({"no", "none"})


class Decided(NamedTuple):
    """What a person made of proposals.

    Args:
        named: settings of new `[[patterns]]`.
        refused: rules that are not to come back, as tags by hand.
    """

    named: tuple[Mapping[str, str], ...] = ()
    refused: tuple[HandTag, ...] = ()


def proposal_rows(proposals: pd.DataFrame, limit: int) -> Iterator[tuple[str, ...]]:
    """Return the rows of the sheet.

    Args:
        proposals: `computed.proposal`.
        limit: counts under it are not told.
    """
    for row in proposals.sort_values("position").to_dict("records"):
        few = row["students"] < limit
        counts = (
            (f"fewer than {limit}",) * 2 if few else (str(row["answers"]), str(row["students"]))
        )
        pairs = zip(row["example_problems"], row["example_answers"], strict=True)
        yield (
            "",
            "",
            row["what"],
            *counts,
            str(row["questions"]),
            f"{row['by_noise']:.1%} of the time",
            "; ".join(f"{problem}: {answer}" for problem, answer in pairs),
            "; ".join(row["readings"]),
            row["decided_by"] if isinstance(row["decided_by"], str) else "",
            row["task"],
            row["rule"],
        )


def decided(folder: Path) -> Decided:
    """Read what was filled in on the sheet.

    Raises:
        CourseError: an id or a rule that cannot be used; names the line.
    """
    path = folder / SHEET
    if not path.exists():
        return Decided()
    book = load_workbook(path, read_only=True)
    try:
        if NEW_ERRORS not in book.sheetnames:
            return Decided()
        lines = [[str(cell or "").strip() for cell in row] for row in book[NEW_ERRORS].values]
    finally:
        book.close()
    named, refused = [], []
    for line, cells in enumerate(lines[1:], start=2):
        row: dict[str, str] = dict(zip(lines[0], cells, strict=False))
        told = "-".join(row.get("your id", "").casefold().replace("_", " ").split())
        if told in _REFUSED:
            tag = HandTag(row["task"], "", row["rule"], (UNEXPLAINED,))
            refused.append(tag)
        elif told:
            named.append(_named(told, row, line))
    return Decided(tuple(named), tuple(refused))


def _named(identifier: str, row: Mapping[str, str], line: int) -> dict[str, str]:
    if not row.get("your sentence"):
        raise CourseError(
            f"{SHEET}, sheet {NEW_ERRORS!r}, line {line}: {identifier!r} has no sentence. Write in "
            "`your sentence` what is done wrong, as pages are to say it."
        )
    step, colon, instead = row["rule"].partition(":")
    settings = {"id": identifier, "sentence": row["your sentence"], "task": row["task"]}
    settings |= {"step": step, "instead": instead.strip()} if colon else {"wrong": row["rule"]}
    entry: dict[str, Any] = dict(settings)
    hold_own_pattern(
        Entry("[[patterns]]", entry, f"{SHEET}, sheet {NEW_ERRORS!r}", line, {}),
        OwnPattern(identifier, settings["sentence"], row["task"], (row["rule"],)),
    )
    return settings


def write_named(course: Course, found: Decided) -> Iterator[str]:
    """Write the errors that were named into the settings, and say which; none of them twice.

    Raises:
        CourseError: the settings cannot be written.
    """
    known = {one.id for one in course.patterns}
    new = [one for one in found.named if one["id"] not in known]
    if new:
        name = keep_patterns(course.folder, new)
        yield f"{name}: {', '.join(one['id'] for one in new)} added to the course's own errors"
