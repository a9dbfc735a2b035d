"""Settings as entries that know where they stand, so that every complaint can name the place.

They are read from TOML and from the sheets of `course.xlsx` alike.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import MISSING, dataclass, fields
from datetime import date, datetime
from difflib import get_close_matches
from pathlib import Path
from types import NoneType, UnionType
from typing import (
    Annotated,
    Any,
    Final,
    Literal,
    NoReturn,
    TypeVar,
    Union,
    get_args,
    get_origin,
    get_type_hints,
)

from pipeline.errors import CourseError
from pipeline.tables import BrokenRow, open_table, plain_text

Settings = Mapping[str, "tuple[Entry, ...]"]
_T = TypeVar("_T")
_YES = {"yes", "true", "1", "y", "x"}
_NO = {"no", "false", "0", "n"}
_SEPARATORS = re.compile(r"[;,\n]")


def complaint(
    *, file: str, line: int, what: str, value: object, expected: str, way_out: str = ""
) -> str:
    """A sentence that names file, line, column, value, what was expected and the way out."""
    place = f"{file}, line {line}" if line else file
    shown = "empty" if value in ("", None) else f"{value!s:.80}"
    return f"{place}: {what} is {shown}; expected {expected}. {way_out}".rstrip()


def refuse(
    *, file: str, line: int, what: str, value: object, expected: str, way_out: str = ""
) -> NoReturn:
    """Raise a CourseError with a complaint.

    Raises:
        CourseError: always.
    """
    raise CourseError(
        complaint(file=file, line=line, what=what, value=value, expected=expected, way_out=way_out)
    )


def parse_date(value: object) -> date | None:
    """An ISO date, from text or from a spreadsheet's date cell; None for anything else."""
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    text = plain_text(str(value)).strip()
    text = re.sub(r"[T ]00:00(:00)?$", "", text)
    try:
        return date.fromisoformat(text) if re.fullmatch(r"\d{4}-\d\d-\d\d", text) else None
    except ValueError:
        return None


def record_of(entry: Entry, kind: Callable[..., _T], *more: str, **own: object) -> _T:
    """The record that a table declares: each field read as its type says, and within its range.

    Args:
        entry: the table.
        kind: a dataclass; what it gives as `Annotated[..., (least, most)]` is bounded so.
        more: names that the table may have besides its fields.
        own: fields that are worked out otherwise.
    """
    entry.only((*names_of(kind), *more))
    types = get_type_hints(kind, include_extras=True)
    left = (one for one in fields(kind) if one.name not in own)  # type: ignore[arg-type]
    return kind(**own, **{one.name: entry.value(one.name, types[one.name], one.default)
                          for one in left})  # fmt: skip


def names_of(record: Callable[..., object]) -> tuple[str, ...]:
    """The settings that make up a record: its fields, but for the line that it stands in."""
    every = fields(record)  # type: ignore[arg-type]
    return tuple(one.name for one in every if one.name != "line")


SINGLE_SETTINGS: Final = {
    "course": ("title", "time_zone", "margin"),
    "privacy": (
        "issuer", "key_file", "fold_case", "test_accounts", "link_terms",
        "limit", "after_load", "move_to", "release", "shared_every",
    ),
    "reading": ("decimal_comma", "min_places", "missing_brackets"),
}  # fmt: skip
"""Table of which there is one -> its settings."""


@dataclass(frozen=True)
class Entry:
    """One table of the settings: a `[[terms]]` block, or a row of the sheet `terms`.

    Args:
        table: its name.
        values: what was written, native values of TOML or text of a sheet.
        file: file name for messages.
        line: line or row where it begins.
        lines: line of single values, where known.
    """

    table: str
    values: Mapping[str, object]
    file: str
    line: int
    lines: Mapping[str, int]

    def refuse(self, name: str, expected: str, way_out: str = "") -> NoReturn:
        """Raise a CourseError about one value."""
        refuse(
            file=self.file,
            line=self.lines.get(name, self.line),
            what=f"`{name}` in {self.table}",
            value=self.values.get(name),
            expected=expected,
            way_out=way_out,
        )

    def only(self, legal: Sequence[str]) -> None:
        """Refuse a name that is not among the legal ones, and say which was meant."""
        for name in self.values:
            if name not in legal:
                near = get_close_matches(name, legal, 1)
                hint = f"Did you mean `{near[0]}`?" if near else self._where(name)
                place = f"{self.file}, line {self.lines.get(name, self.line)}"
                raise CourseError(
                    f"{place}: {self.table} has no setting `{name}`; "
                    f"expected one of {', '.join(legal)}. {hint}"
                )

    def _where(self, name: str) -> str:
        """The way out for a name that this table has not."""
        tables = [table for table, names in SINGLE_SETTINGS.items() if name in names]
        if tables and tables[0] == "course":
            return "It stands above the first [heading]."
        if tables:
            return f"It stands below the heading [{tables[0]}]."
        if self.table in SINGLE_SETTINGS and ", sheet " in self.file:
            return "A row of this sheet is a name and, beside it, the value; it has no header."
        return "Take it out or move it."

    def has(self, name: str) -> bool:
        """Whether a value was written."""
        return self.values.get(name) not in (None, "")

    def text(self, name: str, default: _T) -> str | _T:
        """A text, outer blanks trimmed; numbers are taken as text."""
        value = self.values.get(name)
        if value is None or value == "":
            return default
        if isinstance(value, list | dict | bool):
            self.refuse(name, "a text")
        return plain_text(str(value)).strip() or default

    def needed(self, name: str) -> str:
        """A text that must be there."""
        text = self.text(name, None)
        return text if text is not None else self.refuse(name, "a text", f"Write `{name}`.")

    def texts(self, name: str) -> tuple[str, ...]:
        """A list of texts; in a sheet, separated by commas, semicolons or new lines."""
        value = self.values.get(name)
        if value is None:
            return ()
        parts = value if isinstance(value, list) else _SEPARATORS.split(plain_text(str(value)))
        return tuple(text for part in parts if (text := str(part).strip()))

    def one_of(self, name: str, legal: Sequence[str], default: _T) -> str | _T:
        """A text out of a fixed list, upper and lower case alike."""
        text = self.text(name, None)
        if text is None:
            return default
        for word in legal:
            if word.casefold() == text.casefold():
                return word
        return self.refuse(name, f"one of {', '.join(legal)}")

    def flag(self, name: str, default: _T) -> bool | _T:
        """True or false; yes and no in a sheet."""
        value = self.values.get(name)
        if value is None or value == "":
            return default
        word = plain_text(str(value)).strip().casefold()
        if word not in _YES | _NO:
            self.refuse(name, "true or false")
        return word in _YES

    def whole(self, name: str, default: _T, least: int = 1, most: int = 10**6) -> int | _T:
        """A whole number in a range."""
        text = self.text(name, None)
        if text is None:
            return default
        if not re.fullmatch(r"\d{1,9}", text) or not least <= int(text) <= most:
            self.refuse(name, f"a whole number from {least} to {most}")
        return int(text)

    def number(self, name: str, default: float, least: float = 0, most: float = 1) -> float:
        """A number in a range, written with a decimal point; `70 %` is 0.7."""
        text = self.text(name, None)
        if text is None:
            return default
        written = re.fullmatch(r"(\d{1,6}(?:\.\d+)?|\.\d+)\s*(%?)", text)
        value = float(written[1]) / (100 if written[2] else 1) if written else -1.0
        if not least <= value <= most:
            kind = "a fraction" if most == 1 else "a number"
            self.refuse(name, f"{kind} from {least:g} to {most:g}, or a percentage")
        return value

    def value(self, name: str, kind: Any, default: Any) -> object:
        """A value read as the type of a field says; one without a default must be written."""
        bounds = get_args(kind)[1] if get_origin(kind) is Annotated else ()
        kind = get_args(kind)[0] if bounds else kind
        if get_origin(kind) in (Union, UnionType):
            kind = next(one for one in get_args(kind) if one is not NoneType)
        if get_origin(kind) is Literal:
            return self.one_of(name, get_args(kind), default)
        if default is MISSING and kind is date:
            return self.day(name) or self.refuse(name, "a date such as 2026-01-31")
        if default is MISSING:
            return self.needed(name)
        read: Mapping[object, Callable[[], object]] = {
            str: lambda: self.text(name, default),
            bool: lambda: self.flag(name, default),
            int: lambda: self.whole(name, default, *bounds),
            float: lambda: self.number(name, default, *bounds),
            date: lambda: self.day(name),
        }
        return read[kind]() if kind in read else self.texts(name)

    def day(self, name: str) -> date | None:
        """An ISO date; None when nothing was written."""
        if not self.has(name):
            return None
        found = parse_date(self.values[name])
        return found if found else self.refuse(name, "a date such as 2026-01-31")


SINGLE_TABLES = tuple(SINGLE_SETTINGS)
COURSE_TABLES = (
    "terms", "topics", "outcomes", "lessons", "quizzes", "exports", "patterns", *SINGLE_TABLES
)  # fmt: skip
_HEADING = re.compile(r"^\s*\[\[?\s*([\w.-]+)\s*\]\]?\s*(?:#.*)?$")
_ASSIGNMENT = re.compile(r"""^\s*["']?([\w-]+)["']?\s*=""")


def read_settings(folder: Path) -> Settings:
    """All entries of a course folder by table; empty when it has no settings file.

    Values that stand above the first heading of `course.toml` are the table `course`.

    Raises:
        CourseError: two settings files, one that cannot be read, or an unknown table.
        InputError: `course.xlsx` cannot be opened.
    """
    toml, book = folder / "course.toml", folder / "course.xlsx"
    if toml.exists() and book.exists():
        raise CourseError("course.toml and course.xlsx are both there; keep only one of them.")
    if book.exists():
        return _from_workbook(book)
    return _from_toml(toml) if toml.exists() else {}


def _from_toml(path: Path) -> Settings:
    try:
        text = path.read_text(encoding="utf-8-sig")
        content = tomllib.loads(text)
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        raise CourseError(f"{path.name}, line {line}: not UTF-8. Save it as UTF-8 text.") from error
    except tomllib.TOMLDecodeError as error:
        raise CourseError(
            f"{path.name}: {error}. Text stands in quotes, a list in square brackets; "
            "the comments in a fresh course.toml show every form."
        ) from error
    except OSError as error:
        raise CourseError(f"{path.name}: cannot be opened ({error.strerror}).") from error
    places = _places(text)
    settings: dict[str, tuple[Entry, ...]] = {}
    top = {name: value for name, value in content.items() if not _is_table(value)}
    if top:
        settings["course"] = (Entry("course", top, path.name, 1, places.get("", [(1, {})])[0][1]),)
    for name, value in content.items():
        if _is_table(value):
            _known(name, path.name, places.get(name, [(0, {})])[0][0])
            settings[name] = tuple(_toml_entries(name, value, path.name, places.get(name, [])))
    return settings


def _is_table(value: object) -> bool:
    return isinstance(value, dict) or (
        isinstance(value, list) and bool(value) and all(isinstance(part, dict) for part in value)
    )


def _known(name: str, file: str, line: int) -> None:
    if name not in COURSE_TABLES:
        raise CourseError(
            f"{file}, line {line}: there is no table `{name}`; "
            f"expected one of {', '.join(COURSE_TABLES)}."
        )


def _toml_entries(
    name: str, value: object, file: str, places: list[tuple[int, dict[str, int]]]
) -> Iterator[Entry]:
    blocks = value if isinstance(value, list) else [value]
    if (name in SINGLE_TABLES) != isinstance(value, dict):
        brackets = f"[{name}]" if name in SINGLE_TABLES else f"[[{name}]]"
        line = places[0][0] if places else 0
        raise CourseError(f"{file}, line {line}: write {brackets} with these brackets.")
    for number, block in enumerate(blocks):
        line, lines = places[number] if number < len(places) else (0, {})
        yield Entry(name, block, file, line, lines)


def _places(text: str) -> dict[str, list[tuple[int, dict[str, int]]]]:
    """Table -> for each of its blocks the line of its heading and of its values.

    A sub-table such as `[exports.columns]` counts as a value of its block.
    """
    lines: dict[str, int] = {}
    found: dict[str, list[tuple[int, dict[str, int]]]] = {"": [(1, lines)]}
    for number, line in enumerate(text.splitlines(), 1):
        if heading := _HEADING.match(line):
            table, _, below = heading[1].partition(".")
            if below and table in found:
                found[table][-1][1][below] = number
                lines = {}
            else:
                lines = {}
                found.setdefault(table, []).append((number, lines))
        elif assignment := _ASSIGNMENT.match(line):
            lines.setdefault(assignment[1], number)
    return found


def _from_workbook(path: Path) -> Settings:
    table = open_table(path, path.name)
    settings: dict[str, tuple[Entry, ...]] = {}
    for sheet in table.sheets:
        name = sheet.strip().casefold()
        if name in SINGLE_TABLES:
            settings[name] = (_pairs(name, list(table.rows(sheet)), path.name),)
        elif name in COURSE_TABLES:
            settings[name] = tuple(_records(name, list(table.rows(sheet)), path.name))
        elif not name.startswith(("note", "help", "explan")):
            raise CourseError(
                f"{path.name}: there is no table for the sheet {sheet!r}; "
                f"expected one of {', '.join(COURSE_TABLES)}, or a name that begins with `notes`."
            )
    return settings


def _pairs(name: str, rows: list[tuple[int, list[str] | BrokenRow]], file: str) -> Entry:
    """A sheet of two columns, name and value."""
    values: dict[str, object] = {}
    lines: dict[str, int] = {}
    for line, cells in rows:
        if isinstance(cells, list) and cells[0].strip():
            values[cells[0].strip()] = cells[1] if len(cells) > 1 else ""
            lines[cells[0].strip()] = line
    return Entry(name, values, f"{file}, sheet {name}", 1, lines)


def _records(
    name: str, rows: list[tuple[int, list[str] | BrokenRow]], file: str
) -> Iterator[Entry]:
    """A sheet with a row of names on top."""
    names: list[str] = []
    for line, cells in rows:
        if not isinstance(cells, list):
            continue
        if not names:
            names = [cell.strip().casefold().replace(" ", "_") for cell in cells]
            continue
        values = {key: cell for key, cell in zip(names, cells, strict=False) if key and cell}
        if values:
            yield Entry(name, values, f"{file}, sheet {name}", line, {})
