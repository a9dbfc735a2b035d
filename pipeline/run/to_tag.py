"""The sheet on which a person tags answers that no explanation fits well, and names proposals."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, NamedTuple

import pandas as pd

from pipeline.course import Course
from pipeline.course.entries import hold_own_pattern
from pipeline.course.hand_tags import SHEET, UNEXPLAINED, HandTag
from pipeline.course.keep_map import keep_patterns
from pipeline.course.records import OwnPattern
from pipeline.course.settings import Entry
from pipeline.errors import CourseError
from pipeline.exact.values import value_words
from pipeline.patterns.catalogue import catalogue
from pipeline.records import Request
from pipeline.storage import written_whole
from pipeline.tagging.questions import question_of

NEW_ERRORS: Final = "new errors"
"""The sheet of the workbook that lists proposals."""
_PROPOSALS_HEADER: Final = (
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
    from openpyxl import load_workbook  # slow to import, here and below

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


LINES: Final = 10
"""Answers on one sheet: what a person does in a few minutes."""
FEWEST_STUDENTS: Final = 2
"""A value that one student alone gave teaches nothing of a class, and may tell who it was."""

_HEADER: Final = (
    "your tag", "guess", "how sure", "what the guess says", "also possible", "task", "problem",
    "right answer", "answer", "answers", "students", "key",
)  # fmt: skip
_WIDTHS: Final = (24, 24, 9, 44, 30, 14, 28, 20, 20, 9, 14, 26)
_HOW: Final = (
    "Each row is one wrong answer to one question; the most frequent stand first.",
    "Column `your tag`: yes, if the guess is right; else the id of an error (sheet `errors`); "
    "two ids with / between them where either fits; none, if no known error fits; empty leaves it.",
    "Save, then: lostroot tag DIR (or lostroot run DIR). Your tags count from then on, before the "
    "program's own, and stay in tagged.csv; delete a line there to take one back.",
    "Sheet `new errors`, where there is one: a wrong rule that nobody has named yet, and that many "
    "answers share. Give it an id (small letters and hyphens) and a sentence, and it becomes an "
    "error of the course's own; write no as its id, and it does not come back.",
    "A tag describes an answer, not the person who gave it: no basis for a score.",
    "This sheet is for whoever answers for these data. It is not to be passed on: some rows rest "
    "on few students. Values that one student alone gave, or that look like a name, an address "
    "or a number of a person, are left out.",
)

_PERSON: Final = re.compile(r"@|\d{7,}|\d{3}[-.\s]\d{3,4}[-.\s]\d{4}|[^\W\d_⁰¹²³⁴⁵⁶⁷⁸⁹]{3,}")
_HARMLESS: Final = re.compile(
    r"\b(?:sqrt|cbrt|root|abs|log|ln|pi|or|and|no|not|real|rational|irrational|solution|all|numbers|"
    r"cannot|be|factored|the|empty|set|infinity)\b"
)


@dataclass(frozen=True, slots=True)
class ToTag:
    """What is worth a person's look.

    Args:
        rows: cells of the sheet, in the order of its header.
        waiting: how many more answers are as doubtful.
        withheld: answers left out because they look like a person's data.
        alone: answers left out because one student alone gave them.
    """

    rows: tuple[tuple[str, ...], ...]
    waiting: int
    withheld: int
    alone: int


def identifying(text: str, problem: str) -> bool:
    """Whether an answer looks as if it named a person: an address, a long number, a word.

    Args:
        text: the answer in plain notation.
        problem: what stands in the question names nobody.
    """
    rest = _HARMLESS.sub(" ", text)
    return any(found not in problem for found in _PERSON.findall(rest))


def rows_to_tag(doubtful: pd.DataFrame, course: Course) -> ToTag:
    """Pick the rows of the next sheet.

    Args:
        doubtful: `main.doubtful_answers`.
        course: its limit, its own patterns.
    """
    tagged = {(tag.task, tag.problem, tag.value_key) for tag in course.hand_tags}
    rows: list[dict[Any, Any]] = doubtful.sort_values(
        ["answers", "task", "problem", "value_key"], ascending=[False, True, True, True]
    ).to_dict("records")
    rows = [row for row in rows if _cell(row) not in tagged]
    several = [row for row in rows if row["students"] == 0 or row["students"] >= FEWEST_STUDENTS]
    open_rows = [row for row in several if row["task"] == "choice" or not _withheld(row)]
    says = dict(_errors(course))
    limit = course.privacy.limit
    shown = tuple(tuple(_cells(row, says, limit)) for row in open_rows[:LINES])
    return ToTag(
        rows=shown,
        waiting=max(len(open_rows) - LINES, 0),
        withheld=len(several) - len(open_rows),
        alone=len(rows) - len(several),
    )


def _cell(row: dict[Any, Any]) -> tuple[str, str, str]:
    return row["task"], _text(row["problem"]), row["value_key"]


def _errors(course: Course) -> list[tuple[str, str]]:
    own = [(one.id, one.sentence) for one in course.patterns]
    return own + [(one.id, one.sentence) for one in catalogue()]


def _withheld(row: dict[Any, Any]) -> bool:
    return identifying(_text(row["read_as"]), _text(row["problem"]))


def _cells(row: dict[Any, Any], says: dict[str, str], limit: int) -> Iterator[str]:
    guess, share = _guess(row)
    candidates = [] if row["candidates"] is None else list(row["candidates"])
    others = [name for name in candidates if name not in guess]
    yield ""
    yield " / ".join(guess)
    yield f"{share:.0%}"
    yield " Or: ".join(says.get(name, "No known error fits.") for name in guess)
    yield ", ".join(others[:3])
    yield row["task"]
    yield _text(row["problem"])
    yield _right_answer(row)
    yield _text(row["read_as"])
    for count in (row["answers"], row["students"]):
        yield str(count) if count >= limit else f"fewer than {limit}"
    yield row["value_key"]


def _guess(row: dict[Any, Any]) -> tuple[list[str], float]:
    """The likeliest error or errors, or that none fits."""
    named = [] if row["guess"] is None else list(row["guess"])
    if not named or row["share_unexplained"] > row["guess_share"]:
        return [UNEXPLAINED], float(row["share_unexplained"])
    return named, float(row["guess_share"])


def _right_answer(row: dict[Any, Any]) -> str:
    if _text(row["key"]):
        return _text(row["key"])
    request = Request(row["task"], _text(row["problem"]), "", numbers=row["numbers"] or "real")
    right = question_of(request).right
    return value_words(right.value) if right else ""


def _text(value: object) -> str:
    return value if isinstance(value, str) else ""


def write_sheet(course: Course, found: ToTag, new_errors: Sequence[tuple[str, ...]]) -> Path:
    """Write the sheet beside the items file, whole or not at all; only its owner may read it.

    Args:
        course: its folder and its own errors.
        found: the answers to tag.
        new_errors: rows of the sheet of proposals.

    Raises:
        CourseError: it cannot be written.
    """
    path = course.folder / SHEET
    with written_whole(path, for_owner=True) as fresh:
        _book(course, found, new_errors).save(fresh)
    return path


def _book(course: Course, found: ToTag, new_errors: Sequence[tuple[str, ...]]) -> Any:
    from openpyxl import Workbook

    from pipeline.tables.workbook import fill_with_text

    book = Workbook()
    sheet = book.active
    sheet.title = "to tag"
    fill_with_text(sheet, [_HEADER, *found.rows], _WIDTHS, wrap=True)
    sheet.freeze_panes = "B2"
    if new_errors:
        sheet = book.create_sheet(NEW_ERRORS)
        fill_with_text(
            sheet,
            [_PROPOSALS_HEADER, *new_errors],
            (24, 40, 50, 12, 12, 10, 14, 44, 50, 26, 14, 40),
            wrap=True,
        )
    last = (UNEXPLAINED, "No known error fits (write: none).")
    errors = [("id", "what was done"), *_errors(course), last]
    fill_with_text(book.create_sheet("errors"), errors, (40, 110), wrap=True)
    how = [("how to",), *((line,) for line in _HOW)]
    fill_with_text(book.create_sheet("how to"), how, (120,), wrap=True)
    return book
