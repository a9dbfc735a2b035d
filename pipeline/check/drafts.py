"""The draft of the list of questions, as `check` makes, writes and tells of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from pipeline.course import Course, Item
from pipeline.drafting import (
    QUESTIONS,
    SURE,
    DraftRow,
    WrittenList,
    computed_answer,
    drafted,
    is_right,
    read_list,
    sources_in,
    write_list,
)
from pipeline.ingest.questions import Questions
from pipeline.tagging.questions import question_of

_FAIR_SHARE, _ENOUGH, _MOST_TEXTS = 0.1, 10, 200
_Answers = Mapping[str, Counter[str]]
"""Question -> how often each text was answered."""


@dataclass(slots=True)
class Drafts:
    """What can be drafted for a course folder, and what was.

    Args:
        folder: the course folder.
        listed: the list before.
        rows: drafted rows that the list lacks.
        not_read: sources that cannot be read, a sentence each.
        file: name of the list once the rows were written.
        before: bytes of the list before that; None where there was none.
        beside: sentence on the computed answers that the list now shows; none where it did before.
    """

    folder: Path
    listed: WrittenList
    rows: list[DraftRow] = field(default_factory=list)
    not_read: list[str] = field(default_factory=list)
    file: str | None = None
    before: bytes | None = None
    beside: tuple[str, ...] = ()

    def write(self) -> None:
        """Append the rows to the list.

        Raises:
            CourseError: it cannot be written.
        """
        self.before = self.listed.path.read_bytes() if self.listed.path.exists() else None
        self.file = write_list(self.listed, self.rows, {})

    def take_back(self) -> None:
        """Leave the list as it was before `write`."""
        if self.before is None:
            self.listed.path.unlink(missing_ok=True)
        else:
            self.listed.path.write_bytes(self.before)

    def stand_in(self, files: Collection[str]) -> bool:
        """Whether rows were drafted from any of these exports."""
        return any(row.source.partition(", line ")[0] in files for row in self.rows)

    def write_beside(self, course: Course, answers: _Answers) -> None:
        """Write the computed answers of all rows, and doubt drafts that answers speak against.

        Args:
            course: as read after the rows were written.
            answers: of the exports.
        """
        items = {item.id: item for item in course.items}
        self.rows = [_held_against(row, items, answers) for row in self.rows]
        demoted = {row.cells["item"]: row for row in self.rows if row.status != SURE}
        listed = read_list(self.folder)
        changed: dict[int, dict[str, str]] = {}
        computed = {item.line: computed_of(item) or "" for item in course.items}
        for row in listed.rows:
            cells = {"computed": computed.get(row.line, row.cells.get("computed", ""))}
            if found := demoted.get(row.cells.get("item", "")):
                cells |= {"status": found.status, "why": found.why}
            differing = {name: one for name, one in cells.items() if row.cells.get(name, "") != one}
            if differing:
                changed[row.line] = differing
        shown = any(row.cells.get("computed") for row in listed.rows)
        self.file = write_list(listed, (), changed) or self.file
        if any(cells.get("computed") for cells in changed.values()) and not shown:
            self.beside = (f"{self.file} has a column `computed` now: the right answers as worked "
                           "out, to look at; nothing reads them",)  # fmt: skip

    def lines(self) -> list[str]:
        """What was drafted, or can be, in a sentence, and what was written beside."""
        if not self.rows:
            return [*self.beside]
        counts = Counter(row.status for row in self.rows)
        told = ", ".join(f"{counts[name]} {name}" for name in ("sure", "look", "cannot"))
        where = ", ".join(dict.fromkeys(row.source.partition(", line ")[0] for row in self.rows))
        number = f"{len(self.rows)} question{'s' if len(self.rows) > 1 else ''}"
        if self.file is None:
            return [
                f"{number} found in {where} that the list lacks: `--write` drafts them ({told})"
            ]
        return [f"{number} drafted into {self.file} from {where}: {told}", *self.beside]

    def to_mend(self) -> list[str]:
        """Rows of the list that are no questions yet, and sources that cannot be read."""
        return [
            *self.not_read,
            *(self.listed if not self.file else read_list(self.folder)).waiting(),
        ]

    def to_look_at(self) -> list[str]:
        """Rows of the list that are marked `look`."""
        return (self.listed if not self.file else read_list(self.folder)).to_look_at()


def drafts_of(folder: Path, unusable: Collection[str] = ()) -> Drafts:
    """Look through a course folder for questions that its list lacks.

    Args:
        folder: of the course.
        unusable: exports whose answers cannot be read, so that nothing is drafted from them.

    Raises:
        InputError: the list itself cannot be opened.
    """
    listed = read_list(folder)
    found = sources_in(folder)
    named = Questions(_item(row.cells) for row in listed.rows)
    new = [one for one in found.questions if not (one.shown_as and named.find(one.shown_as))
           and one.source.partition(", line ")[0] not in unusable]  # fmt: skip
    rows = list(drafted(new, listed.ids, listed.marks))
    return Drafts(folder, listed, rows, found.not_read)


def _item(cells: Mapping[str, str]) -> Item:
    """A row of the list as far as exports can name it, however it is judged."""
    item, task, problem, wording = (
        cells.get(name, "") for name in ("item", "task", "problem", "wording")
    )
    return Item(item, "", task, problem, wording=wording)


def how_to_begin() -> str:
    """Where questions can be drafted from, for a course that has none."""
    return (
        f"put the questions into the folder `{QUESTIONS}` (.docx, .txt, .md or a QTI package), or "
        "exports that show them into `exports`, and give `lostroot check DIR --write`"
    )


def computed_of(item: Item) -> str | None:
    """The right answer of a question as computed; None where there is none to compute."""
    if item.place != "task":
        return None
    return computed_answer(item.request())


def _held_against(row: DraftRow, items: Mapping[str, Item], answers: _Answers) -> DraftRow:
    """A sure row is doubted where hardly any answer equals the key that was computed."""
    name = row.cells["item"]
    item, given = items.get(name), answers.get(name)
    if row.status == "cannot" or item is None or item.place != "task" or not given:
        return row
    request = item.request()
    question = question_of(request)
    if question.right is None:
        return row
    total = right = 0
    for text, count in given.most_common(_MOST_TEXTS):
        total += count
        right += count * is_right(text, request, question, question.right)
    if total < _ENOUGH or right >= _FAIR_SHARE * total:
        return row
    return row.doubted(f"only {right} of {total} answers equal the computed {computed_of(item)}")
