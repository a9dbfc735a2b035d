"""Column maps written into the settings, everything else in them left as it is."""

from __future__ import annotations

import os
from pathlib import Path

import tomlkit
from openpyxl import load_workbook
from tomlkit.items import Table

from pipeline.course.exports import ExportMap
from pipeline.errors import CourseError

__all__ = ["keep_maps", "map_as_toml"]

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
    book, toml = folder / "course.xlsx", folder / "course.toml"
    target = book if book.exists() else toml
    try:
        if book.exists():
            _into_workbook(book, maps)
        else:
            text = toml.read_text("utf-8-sig") if toml.exists() else ""
            _replace(toml, _added(text, maps))
    except OSError as error:
        raise CourseError(
            f"{target.name}: cannot be written ({error.strerror}). Close it elsewhere, or check "
            "its rights, and run the command again."
        ) from error
    return target.name


def map_as_toml(one: ExportMap) -> str:
    """A map as it stands in `course.toml`."""
    document = tomlkit.document()
    blocks = tomlkit.aot()
    blocks.append(_block(one))
    document["exports"] = blocks
    return tomlkit.dumps(document)


def _added(text: str, maps: tuple[ExportMap, ...]) -> str:
    # The new blocks go to the end as text: comments in front of later tables would move otherwise.
    tomlkit.parse(text)
    blocks = "\n".join(map_as_toml(one).rstrip() + "\n" for one in maps)
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


def _replace(path: Path, text: str) -> None:
    beside = path.with_name(f".{path.name}.new")
    beside.write_text(text, encoding="utf-8", newline="\n")
    os.replace(beside, path)


def _into_workbook(path: Path, maps: tuple[ExportMap, ...]) -> None:
    book = load_workbook(path)
    sheet = book["exports"] if "exports" in book.sheetnames else book.create_sheet("exports")
    names = [str(cell.value or "").strip().casefold() for cell in sheet[1]]
    for name in _SHEET_COLUMNS:
        if name not in names:
            names = [*(known for known in names if known), name]
            sheet.cell(1, len(names), name)
    for one in maps:
        row = sheet.max_row + 1
        for name, text in _as_cells(one).items():
            sheet.cell(row, names.index(name) + 1, text).number_format = "@"
    beside = path.with_name(f".{path.name}.new")
    book.save(beside)
    os.replace(beside, path)


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
