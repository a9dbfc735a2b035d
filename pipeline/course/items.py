"""The items file: one row per version of a question, checked cell by cell."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import NoReturn

from pipeline.course.item_records import ALGEBRA_TASKS, METHODS, Item, Option
from pipeline.course.settings import parse_date, refuse
from pipeline.errors import CourseError
from pipeline.reading.forms import FORMS
from pipeline.records import Numbers
from pipeline.tables import DATE_CELL, BrokenRow, open_table, plain_text

__all__ = ["ITEM_COLUMNS", "items_file", "read_items"]

ITEM_COLUMNS = (
    "item", "topic", "task", "problem", "answer", "form", "numbers", "outcome", "options",
    "quiz", "week", "method", "from", "correction", "asked", "keep",
)  # fmt: skip
_FILES = ("items.xlsx", "items.csv")
_NEEDED = ("item", "topic", "task", "problem")
_TASKS = (*ALGEBRA_TASKS, "judge", "choice", "skip")
_FORM = re.compile(rf"{'|'.join(FORMS)}|decimal:\d{{1,2}}")
_REMARKS = re.compile(r"(notes?|comments?|remarks?)\b.*")
_GUARD = re.compile(r"^'(?=[=+\-@'])")  # what spreadsheets put before a text that looks like a sum


def read_items(folder: Path) -> tuple[Item, ...]:
    """Items of `items.xlsx` or `items.csv`, in the order of the file, corrections merged in.

    Raises:
        CourseError: no items file, two of them, or a cell that cannot be used.
        InputError: a file that cannot be opened.
    """
    if all((folder / name).exists() for name in _FILES):
        raise CourseError("items.xlsx and items.csv are both there; keep only one of them.")
    path = items_file(folder)
    if not path.exists():
        raise CourseError(
            "items.xlsx: there is no items file in the course folder; it lists the questions. "
            "`lostroot new DIR` writes an empty one to fill in."
        )
    items = _in_force(list(_rows_of(path)), path.name)
    if not items:
        raise CourseError(
            f"{path.name}: no question in it; expected one row per question below the header. "
            "The sheet `explanation` shows examples."
        )
    return items


def items_file(folder: Path) -> Path:
    """The file that lists a course's questions: `items.csv` where there is one, else the book."""
    book, text = (folder / name for name in _FILES)
    return text if text.exists() else book


@dataclass(frozen=True, slots=True)
class _Cells:
    """One row of the items file."""

    file: str
    line: int
    values: Mapping[str, str]

    def refuse(self, column: str, expected: str, way_out: str = "") -> NoReturn:
        refuse(
            file=self.file,
            line=self.line,
            what=f"column `{column}`",
            value=plain_text(self.values.get(column, "")),
            expected=expected,
            way_out=way_out,
        )

    def text(self, column: str) -> str | None:
        cell = self.values.get(column, "")
        if cell.startswith(DATE_CELL) and column != "from":
            self.refuse(
                column,
                "a text, but a spreadsheet program turned it into a date",
                "Format the column as text and type it again.",
            )
        return _GUARD.sub("", plain_text(cell).strip()) or None

    def one_of(self, column: str, legal: tuple[str, ...]) -> str | None:
        text = self.text(column)
        if text is None or text.casefold() in legal:
            return text and text.casefold()
        return self.refuse(column, f"one of {', '.join(legal)}")


def _rows_of(path: Path) -> Iterator[Item]:
    names: list[str] = []
    for line, cells in open_table(path, path.name).rows():
        if isinstance(cells, BrokenRow):
            raise CourseError(f"{path.name}, line {line}: {cells.reason}.")
        if not names:
            names = _header(cells, path.name, line)
            continue
        if len(cells) > len(names) and any(cells[len(names) :]):
            raise CourseError(
                f"{path.name}, line {line}: {len(cells)} fields, the header has {len(names)}; "
                "expected the same number. Put fields that hold the delimiter in quotes."
            )
        values = dict(zip(names, cells, strict=False))
        if any(cell.strip() for name, cell in values.items() if name in ITEM_COLUMNS):
            yield _item(_Cells(path.name, line, values))


def _header(cells: list[str], file: str, line: int) -> list[str]:
    names = [plain_text(cell).strip().casefold() for cell in cells]
    missing = [name for name in _NEEDED if name not in names]
    unknown = [
        name for name in names if name and name not in ITEM_COLUMNS and not _REMARKS.match(name)
    ]
    if missing or unknown:
        complaint = f"no column {', '.join(missing)}" if missing else f"column {unknown[0]!r}"
        raise CourseError(
            f"{file}, line {line}: {complaint}; expected the columns {', '.join(ITEM_COLUMNS)} "
            "(the first four are needed). A column of your own may be called `notes`."
        )
    doubled = {name for name in names if name and names.count(name) > 1}
    if doubled:
        raise CourseError(f"{file}, line {line}: column {doubled.pop()!r} stands there twice.")
    return names


def _item(cells: _Cells) -> Item:
    task = cells.one_of("task", _TASKS) or cells.refuse("task", f"one of {', '.join(_TASKS)}")
    item = Item(
        id=cells.text("item") or cells.refuse("item", "the question's name in the exports"),
        topic=cells.text("topic") or cells.refuse("topic", "the name of a topic"),
        task=task,
        problem=cells.text("problem") or "",
        answer=cells.text("answer"),
        form=_form(cells),
        numbers=_numbers(cells),
        outcome=cells.text("outcome"),
        options=_options(cells.text("options")),
        quiz=cells.text("quiz"),
        week=_week(cells),
        method=cells.one_of("method", METHODS),
        start=_start(cells),
        correction=_yes(cells),
        asked=cells.text("asked"),
        keep=cells.text("keep"),
        line=cells.line,
    )
    _check_place(cells, item)
    return item


def _check_place(cells: _Cells, item: Item) -> None:
    if item.place == "task" and not item.problem:
        cells.refuse("problem", f"a problem, since the task is {item.task}")
    if item.place in ("judge", "choice") and item.answer is None:
        cells.refuse("answer", f"the key, since the task is {item.task}")
    if item.place != "choice":
        return
    if len(item.options) < 2:
        cells.refuse("options", "two options or more, each on a line of its own or between ` | `")
    if item.answer not in {option.text for option in item.options}:
        cells.refuse("answer", "the text of one of the options, never its letter")


def _form(cells: _Cells) -> str | None:
    text = cells.text("form")
    if text is None:
        return None
    parts = [part.strip().casefold() for part in text.split("+")]
    if not all(_FORM.fullmatch(part) for part in parts):
        cells.refuse(
            "form",
            f"{', '.join(FORMS)} or decimal:2, joined by `+`",
        )
    return "+".join(parts)


def _numbers(cells: _Cells) -> Numbers:
    return "complex" if cells.one_of("numbers", ("real", "complex")) == "complex" else "real"


def _week(cells: _Cells) -> int | None:
    text = cells.text("week")
    if text is None:
        return None
    if not re.fullmatch(r"\d{1,2}", text) or int(text) < 1:
        cells.refuse("week", "a teaching week, a whole number from 1")
    return int(text)


def _start(cells: _Cells) -> str:
    cell = cells.values.get("from", "")
    day = parse_date(cell)
    return day.isoformat() if day else plain_text(cell).strip()


def _yes(cells: _Cells) -> bool:
    return cells.one_of("correction", ("yes", "no", "true", "false")) in ("yes", "true")


def _options(text: str | None) -> tuple[Option, ...]:
    """Options stand on lines of their own or between ` | `; `=> id` names the error behind one."""
    parts = re.split(r"\n| \| ", text or "")
    pairs = [part.partition("=>") for part in parts if part.strip()]
    return tuple(Option(text.strip(), pattern.strip() or None) for text, _, pattern in pairs)


def _in_force(rows: list[Item], file: str) -> tuple[Item, ...]:
    """Versions that count: a correction takes the place, and the start, of the version before it.

    Raises:
        CourseError: two versions of one item that begin at the same time.
    """
    versions: dict[tuple[str, str], Item] = {}
    latest: dict[str, str] = {}
    for item in rows:
        start = latest.get(item.id, item.start) if item.correction else item.start
        earlier = versions.get((item.id, start))
        if earlier and not item.correction:
            raise CourseError(
                f"{file}, line {item.line}: item {item.id} is there already "
                f"(line {earlier.line}); expected each item once, or a later version with "
                "its first date or term under `from`, or `yes` under `correction`."
            )
        versions[item.id, start] = replace(item, start=start)
        latest[item.id] = start
    return tuple(versions.values())
