"""What a page is made of: frozen parts that the templates print, one macro for each kind."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any, TypeAlias

import altair as alt

from reports.tables import Table

__all__ = [
    "Answer",
    "Behind",
    "Card",
    "Cards",
    "Figure",
    "Links",
    "Listing",
    "Page",
    "Part",
    "Prose",
    "Section",
    "Worked",
]


@dataclass(frozen=True)
class Prose:
    """Paragraphs of plain text."""

    paragraphs: tuple[str, ...]
    kind = "prose"


@dataclass(frozen=True)
class Listing:
    """A list of sentences."""

    items: tuple[str, ...]
    kind = "listing"


@dataclass(frozen=True)
class Answer:
    """The page's answer in a word or two, and what the word means."""

    word: str
    meaning: str
    kind = "answer"


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
        facts: what is known of it here: how common, what depends on it.
        sure: how sure its place is, one word beside its name; empty where it has none.
        wrong_lines: lines of working that end in the wrong answer; empty shows the answer alone.
        right_lines: the same done right.
    """

    name: str
    says: str
    problem: str
    wrong: str
    right: str
    task: str = ""
    facts: tuple[str, ...] = ()
    wrong_lines: tuple[str, ...] = ()
    right_lines: tuple[str, ...] = ()
    sure: str = ""
    kind = "worked"


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
class Cards:
    """Questions to ask."""

    cards: tuple[Card, ...]
    kind = "cards"


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
    """

    name: str
    title: str
    chart: alt.LayerChart | alt.FacetChart
    says: str
    longer: str
    table: Table
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


Part: TypeAlias = Prose | Listing | Answer | Links | Worked | Cards | Figure | Table | Behind


@dataclass(frozen=True)
class Section:
    """A heading and its parts."""

    heading: str
    parts: tuple[Part, ...]

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
