"""Column maps: how the columns of some export files are to be taken."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal, TypeAlias, get_args
from zoneinfo import ZoneInfo

from pipeline.course.settings import Entry, record_of
from pipeline.tables import plain_text
from pipeline.tables.delimited import SAID_ENCODINGS

Setting: TypeAlias = Literal["practice", "quiz", "exam"]
SETTINGS = get_args(Setting)
EXPORT_FIELDS = (
    "student", "item", "answer", "answered_at", "attempt", "section", "term", "quiz", "setting",
    "supervised", "calculator", "score", "points", "work", "problem", "count", "seconds",
    "source_place", "source_id",
)  # fmt: skip
BESIDE = re.compile(rf"({'|'.join(EXPORT_FIELDS)}) of (?:try ([1-9]\d?)|(.+?)(?: try ([1-9]\d?))?)")
"""What a column says of an answer: field, item (none in a long file), and which try of it."""


@dataclass(frozen=True, slots=True)
class ExportMap:
    """How the columns of a form of export are to be taken.

    Args:
        files: glob patterns inside `exports/`; none: every file that has these columns.
        layout: `long`, a row per answer, or `wide`, a row per student.
        columns: field of ours -> headers; several headers of `answer` are boxes to be joined.
        questions: header -> item id, and in a long file, what it calls a question -> item id;
            several headers of one item are boxes, unless `tries` tells them apart.
        tries: header -> which try at its question it holds, from 1.
        beside: header -> what it says of an answer, such as `score of root-1 try 2`; in a long
            file, `score of try 2`.
        left_out: headers of columns that hold answers and are left out on purpose.
        right: what scores in words say of a right answer, all other words being of wrong ones.
        sheet: worksheet of a workbook; None takes the first one that is not hidden.
        join: what stands between joined boxes.
        section_from: a file's name with `{section}` in place of its class section.
        term, section, quiz, setting, supervised, calculator, date: facts of the whole file.
        date_order: order of day and month in numeric dates; None works it out from the column.
        time_zone: zone of times without offset; None takes the course's.
        encoding: of a text that is neither UTF-8 nor UTF-16; None refuses such a file.
        blank: what an empty cell of a wide file means.
        totals: further words that mark a row of totals.
        line: where the map stands in the settings, from 1; 0 for one that was worked out.
    """

    files: tuple[str, ...] = ()
    layout: Literal["long", "wide"] = "long"
    columns: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    questions: Mapping[str, str] = field(default_factory=dict)
    tries: Mapping[str, int] = field(default_factory=dict)
    beside: Mapping[str, str] = field(default_factory=dict)
    left_out: tuple[str, ...] = ()
    right: tuple[str, ...] = ()
    sheet: str | None = None
    join: str = "; "
    term: str | None = None
    section: str | None = None
    section_from: str | None = None
    quiz: str | None = None
    setting: Setting | None = None
    supervised: bool | None = None
    calculator: bool | None = None
    date: date | None = None
    date_order: Literal["MDY", "DMY", "YMD"] | None = None
    time_zone: str | None = None
    encoding: str | None = None
    blank: Literal["not asked", "unanswered"] = "not asked"
    totals: tuple[str, ...] = ()
    line: int = 0


def is_zone(name: str) -> bool:
    """Whether the time zone database knows the name."""
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return False
    return True


def export_map(entry: Entry) -> ExportMap:
    """`[[exports]]`: files, layout, columns, and facts of the whole file."""
    columns = _mapping(entry, "columns")
    for name in columns:
        if name not in EXPORT_FIELDS:
            entry.refuse("columns", f"names out of {', '.join(EXPORT_FIELDS)}, not {name}")
    zone = entry.text("time_zone", None)
    if zone is not None and not is_zone(zone):
        entry.refuse("time_zone", "a name such as America/Chicago")
    join = entry.values.get("join")
    return record_of(
        entry,
        ExportMap,
        columns=columns,
        questions={header: ids[0] for header, ids in _mapping(entry, "questions").items()},
        tries=_tries(entry),
        beside=_beside(entry),
        join=join if isinstance(join, str) and join else "; ",
        section_from=_section_from(entry),
        encoding=entry.one_of("encoding", SAID_ENCODINGS, None),
        line=entry.line,
    )


def _section_from(entry: Entry) -> str | None:
    pattern = entry.text("section_from", None)
    if pattern is not None and pattern.count("{section}") != 1:
        entry.refuse("section_from", "a file's name such as `week* section {section}.csv`")
    return pattern


def _tries(entry: Entry) -> dict[str, int]:
    found = {header: texts[0] for header, texts in _mapping(entry, "tries").items()}
    if not all(re.fullmatch(r"[1-9]\d?", text) for text in found.values()):
        entry.refuse("tries", "a number of the try for each header, from 1 to 99")
    return {header: int(text) for header, text in found.items()}


def _beside(entry: Entry) -> dict[str, str]:
    found = {header: texts[0] for header, texts in _mapping(entry, "beside").items()}
    if not all(BESIDE.fullmatch(text) for text in found.values()):
        entry.refuse("beside", "such as { 'Points 1' = 'score of root-1' }")
    return found


def _mapping(entry: Entry, name: str) -> dict[str, tuple[str, ...]]:
    """A table of names; in a sheet, lines of `name = header`."""
    written = entry.values.get(name)
    if written is None:
        return {}
    if isinstance(written, str):
        found: dict[str, tuple[str, ...]] = {}
        for line in plain_text(written).split("\n"):
            left, _, right = (part.strip() for part in line.rpartition(" = "))
            if left and right:
                found[left] = (*found.get(left, ()), right)
        return found
    if not isinstance(written, dict):
        entry.refuse(name, "a table such as { student = 'Student ID' }")
    return {
        str(key): tuple(map(str, value)) if isinstance(value, list) else (str(value),)
        for key, value in written.items()
    }
