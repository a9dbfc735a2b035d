"""An empty course folder: commented settings, an items workbook of text cells, a fresh key."""

from __future__ import annotations

import io
import shlex
import sys
from functools import cache
from importlib.resources import files
from pathlib import Path

from openpyxl import Workbook
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from pipeline.course.items import ITEM_COLUMNS
from pipeline.course.keyfile import write_key
from pipeline.errors import CourseError
from pipeline.tasks.catalogue import TASKS

_TEXT = "@"  # the number format that leaves 3/4 and -6^2 alone
_READY_ROWS = 300
_MADE = ("items.xlsx", "course.toml", "exports", "pseudonym.key", "Run.cmd", "run.sh")
_TAKEN = (*_MADE, "items.csv", "course.xlsx", "course.duckdb")
_WIDTHS = {"item": 14, "topic": 18, "problem": 34, "answer": 24, "options": 30}
_EXPLAINED = {
    "item": ("needed", "quad-03", "the question's name in the answer exports"),
    "topic": ("needed", "quadratics", "a topic of the course"),
    "task": (
        "needed",
        "solve",
        f"{', '.join(TASKS)}; "
        "judge: the key alone decides; choice: one of the options; skip: graph, essay, upload",
    ),
    "problem": (
        "needed",
        "x^2 - 6x + 8 = 0",
        "the question in typed notation; for translate: the words, a colon, the algebra behind "
        "them, as in `three less than a number: x - 3`",
    ),
    "answer": (
        "",
        "2, 4",
        "the key; left empty, it is computed. judge and choice need it, and translate where the "
        "problem holds words alone",
    ),
    "form": (
        "",
        "simplified",
        "any, exact, worked-out, simplified, factored, expanded, reduced, decimal:2, fraction, "
        "decimal, percent, scientific, vertex, interval, slope-intercept, positive-exponents; "
        "a + joins two",
    ),
    "numbers": ("", "real", "real (when left empty) or complex"),
    "outcome": ("", "solve-equations", "an outcome of the course"),
    "options": (
        "",
        "2, 4 | -2, -4 => root-takes-factor-sign",
        "for choice: one a line, or between ` | `; `=> id` names the error that an option shows",
    ),
    "quiz": ("", "Quiz 3", "the quiz that it belongs to"),
    "week": ("", "5", "the teaching week that it is assigned to"),
    "method": ("", "formula", "what was taught: factoring, square-root, complete-square, formula"),
    "from": ("", "2026-08-24", "first date or term of a later version of the same question"),
    "correction": ("", "yes", "yes: this row mends a mistake and re-judges old answers"),
    "asked": (
        "",
        "x + 4",
        "what is to be given, where that is not the unknown itself; sum or product: of the "
        "solutions",
    ),
    "same": ("", "quad-02", "the question that this one asks again with other numbers"),
    "keep": ("", "x > 0", "which solutions count: an inequality, largest or smallest"),
    "follows": ("", "5a", "the earlier part whose answer stands in the problem, as in 2(a) + 1"),
    "wording": ("", "Solve x^2 - 6x + 8 = 0.", "the question as its source words it"),
    "computed": ("", "2 or 4", "written by `check --write`: the right answer as computed"),
    "status": ("", "sure", "written by `check --write`: sure, look or cannot"),
    "why": ("", "", "written by `check --write`: why a person should look"),
}


def new_course(folder: Path) -> tuple[Path, ...]:
    """Make a course folder.

    Args:
        folder: may exist, as long as it holds none of the files to be made.

    Returns:
        What was made, in the order to look at it.

    Raises:
        CourseError: the folder holds a course already, or cannot be written.
    """
    hold_free(folder)
    try:
        (folder / "exports").mkdir(parents=True)
        (folder / "questions").mkdir(exist_ok=True)
        (folder / "items.xlsx").write_bytes(_items_workbook())
        for name in ("course.toml", "Run.cmd", "run.sh"):
            _write_template(folder / name)
        (folder / "run.sh").chmod(0o755)
        write_key(folder / "pseudonym.key")
    except OSError as error:
        raise CourseError(f"{folder.name}: cannot be written ({error.strerror}).") from error
    return tuple(folder / name for name in _MADE)


def hold_free(folder: Path) -> None:
    """Stop at a folder that holds a course.

    Raises:
        CourseError: names what is there.
    """
    taken = [name for name in _TAKEN if (folder / name).exists()]
    if taken:
        raise CourseError(
            f"{folder.name}: holds {taken[0]} already; expected an empty or new folder. "
            "Nothing was changed; choose another name."
        )


def _write_template(path: Path) -> None:
    text = files("pipeline.course").joinpath(f"templates/{path.name}").read_text("utf-8")
    command = path.suffix == ".cmd"
    python = sys.executable.replace("%", "%%") if command else shlex.quote(sys.executable)
    text = text.replace("@PYTHON@", python)
    path.write_text(text, encoding="utf-8", newline="\r\n" if command else "\n")


@cache
def _items_workbook() -> bytes:
    """The list of questions to fill in: the same for every course."""
    book = Workbook()
    items = book.active
    items.title = "items"
    _fill(items, [list(ITEM_COLUMNS)])
    for row in items.iter_rows(2, _READY_ROWS, 1, len(ITEM_COLUMNS)):
        for cell in row:
            cell.number_format = _TEXT
    items.freeze_panes = "A2"
    explanation = book.create_sheet("explanation")
    rows = [[name, *_EXPLAINED[name]] for name in ITEM_COLUMNS]
    _fill(explanation, [["column", "needed?", "for example", "what it holds"], *rows])
    for letter, width in zip("ABCD", (14, 10, 22, 90), strict=True):
        explanation.column_dimensions[letter].width = width
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def _fill(sheet: Worksheet, rows: list[list[str]]) -> None:
    for row in rows:
        sheet.append(row)
    for row_of_cells in sheet.iter_rows():
        for cell in row_of_cells:
            cell.number_format = _TEXT
            cell.data_type = "s"  # a text that begins with = is no formula here
    for cell in sheet[1]:
        cell.font = Font(bold=True)
        sheet.column_dimensions[get_column_letter(cell.column)].width = _WIDTHS.get(cell.value, 12)
