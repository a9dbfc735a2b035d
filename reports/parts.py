"""What a page is made of: frozen parts that the templates print, one macro for each kind."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any, TypeAlias

import altair as alt

from reports.tables import Table


@dataclass(frozen=True)
class Prose:
    """Paragraphs of plain text."""

    paragraphs: tuple[str, ...]
    kind = "prose"


@dataclass(frozen=True)
class Listing:
    """A list of sentences, numbered where its order is that of another list."""

    items: tuple[str, ...]
    numbered: bool = False
    kind = "listing"


@dataclass(frozen=True)
class Note:
    """A text to copy, in typed notation."""

    text: str
    kind = "note"


@dataclass(frozen=True)
class Links:
    """Other pages: (file, title, what it found)."""

    pages: tuple[tuple[str, str, str], ...]
    kind = "links"


@dataclass(frozen=True)
class Worked:
    """One error, shown on numbers of our own: question, wrong answer, right answer.

    Args:
        name: the error, in words.
        says: what students do, one sentence.
        problem: the question, in typed notation; so are `wrong` and `right`.
        wrong_lines: lines of working that end in the wrong answer; empty shows the answer alone.
        right_lines: the same done right.
        note: what else to say of it, one sentence.
    """

    name: str
    says: str
    problem: str
    wrong: str
    right: str
    task: str = ""
    wrong_lines: tuple[str, ...] = ()
    right_lines: tuple[str, ...] = ()
    note: str = ""
    kind = "worked"

    @property
    def broken(self) -> int:
        """Place, from 0, of the first wrong line that the right working does not have."""
        lines = self.wrong_lines or (self.wrong,)
        right = (*self.right_lines, self.right)
        return next((at for at, line in enumerate(lines) if line not in right), len(lines) - 1)


@dataclass(frozen=True)
class Card:
    """A question to ask.

    Args:
        problem: the question, in typed notation.
        origin: where it comes from.
        meanings: an answer in typed notation, and what it would mean; the right one first.
    """

    problem: str
    origin: str
    meanings: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Line:
    """A rate week by week, drawn small.

    Args:
        weeks: teaching weeks in order.
        rates: fractions, one for each.
        says: the same in words.
    """

    weeks: tuple[int, ...]
    rates: tuple[float, ...]
    says: str

    @property
    def dots(self) -> tuple[tuple[float, float], ...]:
        """Points of the line in a box of 160 by 36, weeks as far apart as they are."""
        first, weeks = self.weeks[0], max(self.weeks[-1] - self.weeks[0], 1)
        top = max(*self.rates, 0.01)
        pairs = zip(self.weeks, self.rates, strict=True)
        return tuple(
            (round(4 + 152 * (week - first) / weeks, 1), round(32 - 28 * rate / top, 1))
            for week, rate in pairs
        )


@dataclass(frozen=True)
class ErrorCard:
    """One error to take up: what is done, how many do it, and what to ask.

    Args:
        place: from 1, its place in the order.
        worked: the error on numbers of our own.
        sure: how sure its place is, in words; empty where it has none.
        facts: (what is told, sentence).
        line: how common it was week by week.
        typed: (question, answer) as they were most often typed.
        check: a question that can show it.
    """

    place: int
    worked: Worked
    sure: str
    facts: tuple[tuple[str, str], ...]
    line: Line | None
    typed: tuple[tuple[str, str], ...]
    check: Card | None
    kind = "error"


@dataclass(frozen=True)
class Square:
    """A cell of a grid.

    Args:
        text: its rate.
        shade: 0 to 6, darker means more.
        setting: practice, quiz or exam.
        beside: what stands under it, say its week.
        week: teaching week; None for the whole semester.
        lesson: title of a lesson on it that week; empty where there was none.
        says: the same in a sentence.
        errors: what was made there, sentences; a cell without any does not open.
    """

    text: str
    shade: int
    setting: str
    beside: str
    week: int | None
    lesson: str
    says: str
    errors: tuple[str, ...]


@dataclass(frozen=True)
class Grid:
    """A table of shaded cells.

    Args:
        head: what a row is.
        columns: (setting, heading).
        rows: (name, a cell for each column or None).
    """

    head: str
    columns: tuple[tuple[str, str], ...]
    rows: tuple[tuple[str, tuple[Square | None, ...]], ...]

    @property
    def settings(self) -> tuple[str, ...]:
        """The settings that it shows, in order."""
        return tuple(dict.fromkeys(setting for setting, _ in self.columns))

    @property
    def weeks(self) -> tuple[int, ...]:
        """The weeks that it shows, in order."""
        cells = (cell for _, cells in self.rows for cell in cells if cell)
        return tuple(sorted({cell.week for cell in cells if cell.week is not None}))


@dataclass(frozen=True)
class Figure:
    """A chart with its words and the table that holds the same numbers.

    Args:
        name: id on the page and name of the exported files.
        title: the finding, one sentence; also the chart's own title.
        chart: the chart.
        says: accessible name, one sentence.
        longer: the text alternative: how to read it, and its extremes.
        table: the same numbers.
        grid: what the page shows in place of the chart, which is in the files alone then.
        by_section: class sections with a grid each, to be shown in place of that of all.
        chosen: whether what the page's grids show is chosen above it.
    """

    name: str
    title: str
    chart: alt.LayerChart | alt.HConcatChart
    says: str
    longer: str
    table: Table
    grid: Grid | None = None
    by_section: tuple[tuple[str, Grid], ...] = ()
    chosen: bool = False
    kind = "figure"

    @cached_property
    def empty(self) -> bool:
        """Whether there is nothing to draw."""
        return not any(self.specification.get("datasets", {}).values())

    @cached_property
    def specification(self) -> dict[str, Any]:
        """The chart as Vega-Lite, in the look of the house."""
        with alt.theme.enable("lostroot"):
            return {**self.chart.to_dict(validate=False), "description": self.says}

    def drawn(self) -> dict[str, Any]:
        """Return the chart as the page draws it: its title stands above it as text."""
        # The page names the chart once, not each of its marks.
        config = {**self.specification["config"], "aria": False}
        left_out = {"title", "description"}
        kept = {key: part for key, part in self.specification.items() if key not in left_out}
        return {**kept, "config": config}


@dataclass(frozen=True)
class Behind:
    """How something was worked out; the only place for statistical terms."""

    paragraphs: tuple[str, ...]
    heading: str = "How this was worked out"
    kind = "behind"


Part: TypeAlias = Prose | Listing | Note | Links | Worked | ErrorCard | Figure | Table | Behind


@dataclass(frozen=True)
class Section:
    """A heading and its parts.

    Args:
        heading: its words.
        parts: what stands under it.
        printed: whether paper gets it, too.
    """

    heading: str
    parts: tuple[Part, ...]
    printed: bool = True

    @property
    def name(self) -> str:
        """The heading as an anchor."""
        words = "".join(c if c.isalnum() else " " for c in self.heading.lower()).split()
        return "-".join(words)


@dataclass(frozen=True)
class Page:
    """One page.

    Args:
        file: its name, say `index.html`.
        link: its name in the navigation.
        question: the heading: the question that the page answers.
        finding: what it found, one or two sentences.
        covers: how many of the period's questions it covers, one sentence.
        sections: the rest.
    """

    file: str
    link: str
    question: str
    finding: str
    covers: str
    sections: tuple[Section, ...]

    @cached_property
    def figures(self) -> tuple[Figure, ...]:
        """All figures of the page that have something to draw."""
        found = (p for s in self.sections for p in s.parts if isinstance(p, Figure))
        return tuple(figure for figure in found if not figure.empty)
