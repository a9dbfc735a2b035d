"""Settings from `course.toml`, or from the sheets of `course.xlsx`, as the same entries."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

from pipeline.course.settings import SINGLE_SETTINGS, Entry, Settings
from pipeline.errors import CourseError
from pipeline.tables import BrokenRow, open_table

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
