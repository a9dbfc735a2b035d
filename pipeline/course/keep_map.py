"""Column maps and new errors written into the settings, everything else left as it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

import tomlkit
from tomlkit.items import Table

from pipeline.course.exports import ExportMap
from pipeline.storage import written_whole

_FACTS = (
    "sheet", "term", "section", "section_from", "quiz", "setting", "supervised", "calculator",
    "date_order", "encoding",
)  # fmt: skip
_PLAIN = ExportMap(())
_PER_HEADER = ("questions", "tries", "beside")
_SHEET_COLUMNS = ("files", "layout", "left_out", "join", *_FACTS, "columns", *_PER_HEADER)


def keep_maps(folder: Path, maps: tuple[ExportMap, ...]) -> str:
    """Add maps to the end of `course.toml`, or to the sheet `exports` of `course.xlsx`.

    Comments and order of what is there stay. The file is replaced in one step.

    Returns:
        Name of the file written.

    Raises:
        CourseError: it cannot be written.
    """
    cells = [_as_cells(one) for one in maps]
    return _keep(folder, [map_as_toml(one) for one in maps], "exports", _SHEET_COLUMNS, cells)


def keep_patterns(folder: Path, patterns: Sequence[Mapping[str, str]]) -> str:
    """Add error patterns of the course's own in the same way, as `[[patterns]]`.

    Args:
        folder: the course folder.
        patterns: their settings by name, all texts.
    """
    names = ("id", "sentence", "task", "wrong", "step", "instead", "skill", "source")
    return _keep(
        folder, [_as_toml("patterns", one) for one in patterns], "patterns", names, patterns
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
    return _as_toml("exports", _block(one))


def _as_toml(table: str, settings: Mapping[str, object]) -> str:
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


def _block(one: ExportMap) -> Table:
    block = tomlkit.table()
    if one.files:
        block["files"] = list(one.files)
    block["layout"] = one.layout
    if one.left_out:
        block["left_out"] = list(one.left_out)
    if one.join != _PLAIN.join:
        block["join"] = one.join
    for name in _FACTS:
        if (value := getattr(one, name)) is not None:
            block[name] = value
    columns = tomlkit.table()
    for name, headers in one.columns.items():
        columns[name] = headers[0] if len(headers) == 1 else list(headers)
    block["columns"] = columns
    for name in _PER_HEADER:
        if said := getattr(one, name):
            table = tomlkit.table()
            for header, meant in said.items():
                table[header] = meant
            block[name] = table
    return block


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


def _as_cells(one: ExportMap) -> dict[str, str]:
    cells = {"files": "\n".join(one.files), "layout": one.layout}
    cells |= {"left_out": "\n".join(one.left_out)} if one.left_out else {}
    cells |= {"join": one.join} if one.join != _PLAIN.join else {}
    cells |= {name: str(value) for name in _FACTS if (value := getattr(one, name)) is not None}
    pairs = [(name, header) for name, headers in one.columns.items() for header in headers]
    cells["columns"] = "\n".join(f"{name} = {header}" for name, header in pairs)
    for name in _PER_HEADER:
        if said := getattr(one, name):
            cells[name] = "\n".join(f"{header} = {meant}" for header, meant in said.items())
    return cells
