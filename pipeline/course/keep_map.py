"""Column maps and new errors written into the settings, everything else left as it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import tomlkit

from pipeline.course.exports import ExportMap
from pipeline.storage import written_whole

_FACTS = (
    "sheet", "term", "section", "section_from", "quiz", "setting", "supervised", "calculator",
    "date_order", "encoding",
)  # fmt: skip
_PLAIN = ExportMap(())
_PER_HEADER = ("questions", "tries", "beside")
_SHEET_COLUMNS = ("files", "layout", "left_out", "right", "join", *_FACTS, "columns", *_PER_HEADER)


def keep_maps(folder: Path, maps: tuple[ExportMap, ...]) -> str:
    """Add maps to the end of `course.toml`, or to the sheet `exports` of `course.xlsx`.

    Comments and order of what is there stay. The file is replaced in one step.

    Returns:
        Name of the file written.

    Raises:
        CourseError: it cannot be written.
    """
    cells = [{"files": "", **{name: _as_cell(told) for name, told in _said(one).items()}}
             for one in maps]  # fmt: skip
    return _keep(folder, [map_as_toml(one) for one in maps], "exports", _SHEET_COLUMNS, cells)


def keep_patterns(folder: Path, patterns: Sequence[Mapping[str, str]]) -> str:
    """Add error patterns of the course's own in the same way, as `[[patterns]]`.

    Args:
        folder: the course folder.
        patterns: their settings by name, all texts.
    """
    names = ("id", "sentence", "task", "wrong", "step", "instead", "skill", "source")
    return _keep(
        folder, [as_toml("patterns", one) for one in patterns], "patterns", names, patterns
    )


def _keep(
    folder: Path,
    blocks: Sequence[str],
    sheet: str,
    columns: Sequence[str],
    cells: Sequence[Mapping[str, str]],
) -> str:
    book, toml = folder / "course.xlsx", folder / "course.toml"
    if book.exists():
        _into_workbook(book, sheet, columns, cells)
        return book.name
    text = toml.read_text("utf-8-sig") if toml.exists() else ""
    with written_whole(toml) as fresh:
        fresh.write_text(_added(text, blocks), encoding="utf-8", newline="\n")
    return toml.name


def map_as_toml(one: ExportMap) -> str:
    """A map as it stands in `course.toml`."""
    return as_toml("exports", _said(one))


def as_toml(table: str, settings: Mapping[str, object]) -> str:
    """Return one `[[table]]` block as it stands in `course.toml`."""
    document = tomlkit.document()
    blocks = tomlkit.aot()
    blocks.append(tomlkit.item(settings))
    document[table] = blocks
    return tomlkit.dumps(document)


def _added(text: str, added: Sequence[str]) -> str:
    # The new blocks go to the end as text: comments in front of later tables would move otherwise.
    tomlkit.parse(text)
    blocks = "\n".join(one.rstrip() + "\n" for one in added)
    joined = f"{text.rstrip()}\n\n{blocks}" if text.strip() else blocks
    tomlkit.parse(joined)
    return joined


def _said(one: ExportMap) -> dict[str, Any]:
    """What a map says, by setting, as TOML has it."""
    said = {name: getattr(one, name) for name in _SHEET_COLUMNS}
    said["columns"] = {name: headers[0] if len(headers) == 1 else list(headers)
                       for name, headers in one.columns.items()}  # fmt: skip
    kept = ("layout", "columns")
    return {name: list(told) if isinstance(told, tuple) else told for name, told in said.items()
            if name in kept or told != getattr(_PLAIN, name)}  # fmt: skip


def _into_workbook(
    path: Path, name: str, columns: Sequence[str], rows: Sequence[Mapping[str, str]]
) -> None:
    from openpyxl import load_workbook  # slow to import

    book = load_workbook(path)
    sheet = book[name] if name in book.sheetnames else book.create_sheet(name)
    names = [str(cell.value or "").strip().casefold() for cell in sheet[1]]
    for column in columns:
        if column not in names:
            names = [*(known for known in names if known), column]
            sheet.cell(1, len(names), column)
    for one in rows:
        row = sheet.max_row + 1
        for column, text in one.items():
            sheet.cell(row, names.index(column) + 1, text).number_format = "@"
    with written_whole(path) as fresh:
        book.save(fresh)


def _as_cell(said: object) -> str:
    """A text; lists stand one a line, tables as lines of `name = header`."""
    if isinstance(said, dict):
        pairs = [
            (name, one)
            for name, told in said.items()
            for one in (told if isinstance(told, list) else [told])
        ]
        return "\n".join(f"{name} = {one}" for name, one in pairs)
    return "\n".join(said) if isinstance(said, list) else str(said)
