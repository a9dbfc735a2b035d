"""Tags that a person gave: answers laid to an error by hand, which count before the program's own.

`tagged.csv` keeps them. Rows filled in on the sheet that `lostroot tag` wrote count as well, from
the moment that they are saved.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path

from pipeline.course.settings import refuse
from pipeline.errors import CourseError
from pipeline.storage import written_whole
from pipeline.tables import BrokenRow, open_table, plain_text

SHEET = "to-tag.xlsx"
TAGGED = "tagged.csv"
UNEXPLAINED = "unexplained"
COLUMNS = ("your tag", "guess", "how sure", "task", "problem", "answer", "key")
"""Columns that both files share; the sheet has more to look at."""

_YES = frozenset({"yes", "y", "ok", "x"})
_NONE = frozenset({"none", "no", "unknown", "no known error fits", UNEXPLAINED})
_BETWEEN = re.compile(r"\s+/\s+|[,;\n]")


@dataclass(frozen=True, slots=True)
class HandTag:
    """One wrong answer to one question, laid to an error by a person.

    Args:
        task: of the question.
        problem: the question.
        value_key: canonical key of the answer.
        patterns: the errors that it was laid to, either of which fits; or `unexplained` alone.
        answer: the answer in plain notation.
        guess: what the program had guessed when the sheet was written.
        sure: share of the answer that it had laid to the guess, 0 to 1.
    """

    task: str
    problem: str
    value_key: str
    patterns: tuple[str, ...]
    answer: str = ""
    guess: tuple[str, ...] = ()
    sure: float | None = None

    @property
    def is_refusal(self) -> bool:
        """Whether it turns down a rule that was proposed for a new error, its key."""
        return self.patterns == (UNEXPLAINED,) and not self.problem


def read_hand_tags(
    folder: Path, known: Collection[str]
) -> tuple[tuple[HandTag, ...], tuple[str, ...]]:
    """Read the tags that were given so far; a later one of the same answer takes the place.

    Args:
        folder: the course folder.
        known: ids of all error patterns, the course's own among them.

    Returns:
        The tags, and why some rows were left out: what stands there is no id.

    Raises:
        CourseError: a row whose question or key was lost.
        InputError: a file that cannot be opened.
    """
    found: dict[tuple[str, str, str], HandTag] = {}
    left_out: list[str] = []
    for name in (TAGGED, SHEET):
        if (folder / name).exists():
            for tag in _tags_of(folder / name, known):
                if isinstance(tag, str):
                    left_out.append(tag)
                else:
                    found[tag.task, tag.problem, tag.value_key] = tag
    return tuple(found.values()), tuple(left_out)


def _tags_of(path: Path, known: Collection[str]) -> Iterator[HandTag | str]:
    names: list[str] = []
    for line, cells in open_table(path, path.name).rows():
        if isinstance(cells, BrokenRow):
            raise CourseError(f"{path.name}, line {line}: {cells.reason}.")
        texts = [plain_text(cell).strip() for cell in cells]
        if not names:
            names = [text.casefold() for text in texts]
            missing = [name for name in COLUMNS if name not in names]
            if missing:
                raise CourseError(
                    f"{path.name}, line {line}: no column {missing[0]!r}; expected the columns "
                    f"{', '.join(COLUMNS)}. Delete the file to have it written anew."
                )
            continue
        row = dict(zip(names, texts, strict=False))
        if row.get("your tag"):
            _hold_question(path.name, line, row)
            try:
                yield _tag(path.name, line, row, known)
            except CourseError as error:
                yield str(error)


def _hold_question(file: str, line: int, row: Mapping[str, str]) -> None:
    for name in ("task", "key"):
        if not row.get(name):
            refuse(
                file=file, line=line, what=f"column `{name}`", value=row.get(name),
                expected="what was written there",
                way_out="Undo the change, or delete the row.",
            )  # fmt: skip


def _tag(file: str, line: int, row: Mapping[str, str], known: Collection[str]) -> HandTag:
    guess = _names(row.get("guess", ""))
    told = row["your tag"]
    patterns = guess if told.casefold() in _YES else _names(told)
    for name in patterns:
        if name != UNEXPLAINED and name not in known:
            near = get_close_matches(name, [*known], 2, 0.5)
            hint = f"Did you mean {' or '.join(near)}? " if near else ""
            refuse(
                file=file, line=line, what="column `your tag`", value=told,
                expected="`yes` for the guess, the id of an error, two of them with ` / ` between, "
                "or `none`",
                way_out=f"{hint}`lostroot patterns` lists the ids.",
            )  # fmt: skip
    if not patterns:
        refuse(file=file, line=line, what="column `your tag`", value=told, expected="an id")
    return HandTag(
        task=row["task"],
        problem=row.get("problem", ""),
        value_key=row["key"],
        patterns=(UNEXPLAINED,) if UNEXPLAINED in patterns else patterns,
        answer=row.get("answer", ""),
        guess=guess,
        sure=_share(row.get("how sure", "")),
    )


def _names(text: str) -> tuple[str, ...]:
    parts = (part.strip().casefold() for part in _BETWEEN.split(text))
    named = (UNEXPLAINED if part in _NONE else part for part in parts if part)
    return tuple(dict.fromkeys(named))


def _share(text: str) -> float | None:
    found = re.fullmatch(r"(\d{1,3}(?:\.\d+)?)\s*%", text)
    return min(float(found[1]) / 100, 1.0) if found else None


def write_tagged(folder: Path, tags: Iterable[HandTag]) -> None:
    """Write all tags into the file that keeps them, whole or not at all; only its owner may read.

    Raises:
        CourseError: the file cannot be written.
    """
    path = folder / TAGGED
    with (
        written_whole(path, for_owner=True) as fresh,
        fresh.open("w", encoding="utf-8", newline="") as stream,
    ):
        rows = csv.writer(stream)
        rows.writerow(COLUMNS)
        rows.writerows(_cells(tag) for tag in tags)


def _cells(tag: HandTag) -> tuple[str, ...]:
    sure = "" if tag.sure is None else f"{tag.sure:.0%}"
    told, guess = " / ".join(tag.patterns), " / ".join(tag.guess)
    return (told, guess, sure, tag.task, tag.problem, tag.answer, tag.value_key)
