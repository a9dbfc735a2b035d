"""The items file: one row per version of a question; all that has to be mended is said at once."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import NamedTuple

from pipeline.course.earlier_parts import with_earlier_parts
from pipeline.course.item_headers import ITEM_COLUMNS, ItemHeader, below_title, item_header
from pipeline.course.records import METHODS, Item, Option
from pipeline.course.settings import complaint, parse_date
from pipeline.errors import CourseError, ListErrors
from pipeline.reading.forms import FORMS
from pipeline.reading.judge import read_key
from pipeline.records import Numbers
from pipeline.tables import DATE_CELL, BrokenRow, TableRow, open_table, plain_text
from pipeline.tagging.choices import option_of
from pipeline.wording import Asked, asked_by, numbering_of
from pipeline.wording.spoken import formula_said_again
from pipeline.wording.vocabulary import LISTED_TASKS, SAYS, meant_task, nearest_task

__all__ = ["ITEM_COLUMNS", "ItemList", "items_file", "read_items"]

_FILES = ("items.xlsx", "items.csv")
_FORM = re.compile(rf"{'|'.join(FORMS)}|decimal:\d{{1,2}}")
_GUARD = re.compile(r"^'(?=[=+\-@'])")  # what spreadsheets put before a text that looks like a sum
_BESIDE_KEY = re.compile(r"\s*(?:[,;]|\((?=.*\)\W*$))\s*(?:[A-Za-z'’]+[\s.,!)-]*)+$")
"""Words alone behind a key, in brackets or behind a comma."""
_NO_TOPIC = "all questions"


class ItemList(NamedTuple):
    """The questions of a course, what was taken for what in their list, and drafts to finish."""

    items: tuple[Item, ...]
    taken: tuple[str, ...] = ()
    unfinished: tuple[str, ...] = ()


def read_items(folder: Path) -> ItemList:
    """Items of `items.xlsx` or `items.csv`, in the order of the file, corrections merged in.

    Raises:
        ListErrors: cells that cannot be used, all of them at once.
        CourseError: no items file, two of them, or no question in it.
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
    reader = _Reader(path.name)
    listed = reader.in_force(reader.rows(open_table(path, path.name).rows()))
    items, errors = with_earlier_parts(listed)
    reader.errors += [f"{path.name}, {error}." for error in errors]
    if reader.errors:
        raise ListErrors(reader.errors)
    if not items:
        raise CourseError(
            f"{path.name}: no question in it; expected one row per question below the header. "
            "The sheet `explanation` shows examples, and `lostroot check DIR --write` drafts the "
            "list from exports, QTI packages, .docx and text files."
        )
    return ItemList(items, tuple(reader.taken), tuple(reader.unfinished()))


def items_file(folder: Path) -> Path:
    """The file that lists a course's questions: `items.csv` where there is one, else the book."""
    book, text = (folder / name for name in _FILES)
    return text if text.exists() else book


@dataclass(slots=True)
class _Reader:
    """Reads one list; collects what has to be mended and what was taken for what."""

    file: str
    errors: list[str] = field(default_factory=list)
    taken: list[str] = field(default_factory=list)
    statuses: Counter[str] = field(default_factory=Counter)

    def unfinished(self) -> Iterator[str]:
        """How many drafted rows wait for a person, where any does."""
        told = {"look": "judged as it stands", "cannot": "no question yet"}
        counts = [
            f"{self.statuses[name]} marked `{name}` ({what})"
            for name, what in told.items()
            if self.statuses[name]
        ]
        if counts:
            yield f"Drafted questions of {self.file} to finish: {', '.join(counts)}"

    def rows(self, rows: Iterator[TableRow]) -> list[Item]:
        """All rows that can be used, in order."""
        usable = below_title(list(self._whole_rows(rows)))
        if not usable:
            return []
        (line, names), *rest = usable
        below = list(self._as_wide(len(names), rest))
        header = item_header(names, [cells for _, cells in below])
        self.errors += [f"{self.file}, line {line}: {one}." for one in header.errors]
        self.taken += [f"{self.file}: {one}." for one in header.taken]
        if header.errors:
            return []
        self._say_missing(header)
        found = [self._item(header, line, cells) for line, cells in below]
        return [item for item in found if item is not None]

    def _whole_rows(self, rows: Iterator[TableRow]) -> Iterator[tuple[int, list[str]]]:
        for line, cells in rows:
            if isinstance(cells, BrokenRow):
                self.errors.append(f"{self.file}, line {line}: {cells.reason}.")
                continue
            yield line, cells

    def _as_wide(
        self, width: int, rows: Iterable[tuple[int, list[str]]]
    ) -> Iterator[tuple[int, list[str]]]:
        is_text = self.file.endswith(".csv")
        for line, cells in rows:
            if len(cells) > width and any(cells[width:]):
                way_out = (
                    "Put fields that hold the delimiter in quotes."
                    if is_text
                    else "Name the column of each cell in the header, or empty the cells beside it."
                )
                self.errors.append(
                    f"{self.file}, line {line}: {len(cells)} fields, the header has {width}; "
                    f"expected the same number. {way_out}"
                )
                continue
            yield line, cells

    def _say_missing(self, header: ItemHeader) -> None:
        said = {
            "item": "no column `item`: questions are called by the number that stands before them, "
            "else by their row",
            "topic": f"no column `topic`: the quiz stands for it, else {_NO_TOPIC!r}",
            "task": "no column `task`: it is told from the words of the problem",
        }
        self.taken += [
            f"{self.file}: {text}." for name, text in said.items() if name not in header.names
        ]

    def _item(self, header: ItemHeader, line: int, cells: list[str]) -> Item | None:
        values = {name: cell for name, cell in zip(header.names, cells, strict=False) if name}
        if not any(cell.strip() for cell in values.values()):
            return None
        row = _Row(self, line, values, frozenset(header.names))
        status = (row.text("status") or "").casefold()
        waits = status == "cannot" and not row.text("task")
        self.statuses[status] += waits or status == "look"
        return row.waiting() if waits else row.item()

    def in_force(self, rows: list[Item]) -> tuple[Item, ...]:
        """Versions that count: a correction takes the place, and the start, of the one before."""
        versions: dict[tuple[str, str], Item] = {}
        latest: dict[str, str] = {}
        for item in rows:
            start = latest.get(item.id, item.start) if item.correction else item.start
            earlier = versions.get((item.id, start))
            if earlier and not item.correction:
                self.errors.append(
                    f"{self.file}, line {item.line}: item {item.id} is there already "
                    f"(line {earlier.line}); expected each item once, or a later version with "
                    "its first date or term under `from`, or `yes` under `correction`."
                )
                continue
            versions[item.id, start] = replace(item, start=start)
            latest[item.id] = start
        return tuple(versions.values())


@dataclass(slots=True)
class _Row:
    """One row of the list; what cannot be used is told to its reader."""

    reader: _Reader
    line: int
    values: Mapping[str, str]
    columns: frozenset[str]

    def complain(self, column: str, expected: str, way_out: str = "") -> None:
        """Note a cell that has to be mended."""
        self.reader.errors.append(
            complaint(
                file=self.reader.file,
                line=self.line,
                what=f"column `{column}`",
                value=plain_text(self.values.get(column, "")),
                expected=expected,
                way_out=way_out,
            )
        )

    def say(self, sentence: str) -> None:
        """Note what was taken for what."""
        self.reader.taken.append(f"{self.reader.file}, line {self.line}: {sentence}.")

    def text(self, column: str) -> str | None:
        """The text of a cell; None where it is empty."""
        cell = self.values.get(column, "")
        if cell.startswith(DATE_CELL) and column != "from":
            self.complain(
                column,
                "a text, but a spreadsheet program turned it into a date",
                "Format the column as text and type it again.",
            )
            return None
        return _GUARD.sub("", plain_text(cell).strip()) or None

    def one_of(self, column: str, legal: tuple[str, ...]) -> str | None:
        """A cell that holds one of a few words."""
        text = self.text(column)
        if text is None or text.casefold() in legal:
            return text and text.casefold()
        self.complain(column, f"one of {', '.join(legal)}")
        return None

    def waiting(self) -> Item:
        """A draft that a person has to finish: its answers are stored under its name till then."""
        return Item(
            id=self._name(""), topic=self._topic(), task="skip", problem="",
            quiz=self.text("quiz"), wording=self.text("wording"), line=self.line,
        )  # fmt: skip

    def item(self) -> Item | None:
        """The question; None where its task is not known."""
        problem, answer = self.text("problem") or "", self.text("answer")
        asked = self._asked(problem)
        if asked is None:
            return None
        number = numbering_of(problem)
        options = _options(self.text("options")) or tuple(map(Option, asked.options))
        item = Item(
            id=self._name(number.id),
            topic=self._topic(),
            task=asked.task,
            problem=asked.problem,
            answer=self._key(answer, asked.task, options),
            form=self._form() or asked.form,
            numbers=self._numbers() or asked.numbers,
            outcome=self.text("outcome"),
            options=options,
            quiz=self.text("quiz"),
            week=self._week(),
            method=self.one_of("method", METHODS) or asked.method,
            start=self._start(),
            correction=self.one_of("correction", ("yes", "no", "true", "false")) in ("yes", "true"),
            asked=self.text("asked") or asked.asked,
            keep=self.text("keep") or asked.keep,
            follows=self.text("follows"),
            same=self.text("same"),
            wording=self.text("wording") or (problem if problem != asked.problem else None),
            line=self.line,
        )
        self._check_place(item)
        return item

    def _key(self, answer: str | None, task: str, options: tuple[Option, ...]) -> str | None:
        """The key without what is said beside it: `3 and -8 (both!)`, `false, it's |x|`."""
        if answer is None or task == "skip":
            return answer
        if task == "choice":
            return option_of(answer, [one.text for one in options]) or answer
        found = _BESIDE_KEY.search(answer)
        alone = answer[: found.start()] if found else ""
        if not alone or not isinstance(read_key(answer), str) or isinstance(read_key(alone), str):
            return answer
        self.say(f"key {answer!r} is taken for `{alone}`")
        return alone

    def _name(self, number: str) -> str:
        name = self.text("item")
        if name is None and "item" in self.columns and not number:
            self.say(f"no name: called {self.line - 1}")
        return name or number or str(self.line - 1)

    def _topic(self) -> str:
        topic = self.text("topic")
        if topic is None and "topic" in self.columns:
            self.complain("topic", "the name of a topic")
        return topic or self.text("quiz") or _NO_TOPIC

    def _asked(self, problem: str) -> Asked | None:
        """Task and problem: as they stand, or told from words that the trade uses for them."""
        word = self.text("task")
        plain = (word or "").casefold()
        task = plain if plain in LISTED_TASKS else None
        if task and not (
            task in _CUT_OUT and (SAYS.search(problem) or formula_said_again(problem))
        ):
            return Asked(task, problem)
        meant = meant_task(word) if word else None
        if meant in ("judge", "choice", "skip", "translate"):
            return self._taken(Asked(meant, problem), problem, plain)
        rest, formula = numbering_of(problem).rest, problem
        told = asked_by(rest, "" if task else word or "")
        if told.doubt and (again := formula_said_again(rest)):
            formula, told = again, asked_by(again, "" if task else word or "")
        if task:
            # The value of a function is evaluated, too.
            of_function = (task, told.task) == ("evaluate", "function")
            fits = (told.task == task or of_function) and not told.doubt
            return self._taken(told if fits else Asked(task, formula), problem, plain)
        # What the list says to do counts where the question's own words do not say it.
        other = meant and told.task != meant and not asked_by(rest, "").verb
        if told.task and not other and (told.verb or not word) and told.task != "translate":
            return self._taken(told, problem, plain)
        if meant:
            formula = told.problem if other and told.problem else formula
            return self._taken(Asked(meant, formula), problem, plain)
        near = nearest_task(word) if word else None
        answer = self.text("answer")
        if not near and answer and not isinstance(read_key(answer), str):
            self.say(f"{told.doubt}: judged by its key alone; a task would let errors be told")
            return Asked("judge", problem)
        way_out = f"Did you mean `{near}`?" if near else told.doubt and f"Here: {told.doubt}"
        self.complain("task", f"one of {', '.join(LISTED_TASKS)}", way_out)
        return None

    def _taken(self, told: Asked, problem: str, word: str) -> Asked:
        said = []
        if told.task != word:
            said.append(
                f"task {word!r} is taken for `{told.task}`" if word else f"taken for `{told.task}`"
            )
        if told.problem != problem:
            said.append(f"problem {problem[:60]!r} is taken for `{told.problem}`")
        complex_numbers = told.numbers if told.numbers == "complex" else None
        wanted = (told.form, told.method, complex_numbers, told.asked, told.keep)
        said += [f"`{one}` by its words" for one in wanted if one]
        if said:
            self.say(", ".join(said))
        return told

    def _check_place(self, item: Item) -> None:
        if item.place == "task" and not item.problem:
            self.complain("problem", f"a problem, since the task is {item.task}")
        if item.place in ("judge", "choice") and item.answer is None:
            self.complain("answer", f"the key, since the task is {item.task}")
        if item.place != "choice":
            return
        if len(item.options) < 2:
            self.complain(
                "options", "two options or more, each on a line of its own or between ` | `"
            )
        elif item.answer is not None and item.answer not in {one.text for one in item.options}:
            self.complain("answer", "the text of one of the options, never its letter")

    def _form(self) -> str | None:
        text = self.text("form")
        parts = [part.strip().casefold() for part in text.split("+")] if text else []
        if not all(_FORM.fullmatch(part) for part in parts):
            self.complain("form", f"{', '.join(FORMS)} or decimal:2, joined by `+`")
        return "+".join(parts) or None

    def _numbers(self) -> Numbers | None:
        said = self.one_of("numbers", ("real", "complex"))
        return None if said is None else "complex" if said == "complex" else "real"

    def _week(self) -> int | None:
        text = self.text("week")
        if text is None:
            return None
        if not re.fullmatch(r"\d{1,2}", text) or int(text) < 1:
            self.complain("week", "a teaching week, a whole number from 1")
            return None
        return int(text)

    def _start(self) -> str:
        cell = self.values.get("from", "")
        day = parse_date(cell)
        return day.isoformat() if day else plain_text(cell).strip()


_CUT_OUT = frozenset(LISTED_TASKS) - {"judge", "choice", "skip", "translate"}
"""Tasks under which a sentence is cut down to its problem."""


def _options(text: str | None) -> tuple[Option, ...]:
    """Options stand on lines of their own or between ` | `; `=> id` names the error behind one."""
    parts = re.split(r"\n| \| ", text or "")
    pairs = [part.partition("=>") for part in parts if part.strip()]
    return tuple(Option(text.strip(), pattern.strip() or None) for text, _, pattern in pairs)
