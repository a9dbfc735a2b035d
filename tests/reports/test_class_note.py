"""What may be shown to students is short, holds no figure of the class, and speaks of no one."""

from __future__ import annotations

import json
import re
from importlib.resources import files

import pandas as pd
import pytest

from pipeline.patterns.catalogue import catalogue
from reports.pages import build_pages
from reports.pages.class_note import INTRODUCTION, MOST_WORDS, announcement
from reports.pages.patterns import worked_example
from reports.parts import Note, Worked
from reports.render import render
from reports.source import Book
from tests.reports.conftest import Views

EXAMPLES = json.loads(
    files("pipeline.patterns").joinpath("worked_examples.json").read_text("utf-8")
)
SAYS = pd.DataFrame(
    [{"pattern": one.id, "says": one.sentence, **EXAMPLES[one.id]} for one in catalogue()]
)


def test_every_error_has_a_text_of_at_most_120_words() -> None:
    texts = {
        row["pattern"]: announcement(worked_example(row, SAYS), "x^2 - 12x + 35 = 2x - 10")
        for _, row in SAYS.iterrows()
    }

    assert len(texts) > 400
    assert {name for name, text in texts.items() if len(text.split()) > MOST_WORDS} == set()


def test_the_text_holds_the_example_the_fault_and_what_is_right() -> None:
    text = announcement(
        Worked("Half", "Adds b. Not half.", "x^2 - 4x", "4", "(x - 2)^2", wrong_lines=("add -4",)),
        "x^2 - 6x",
    )

    assert text.splitlines() == [
        "A step that is easy to get wrong. Someone adds b.",
        "Take x^2 − 4x. It is tempting to write add −4, which is wrong.",
        "The right way: (x − 2)^2.",
        "Try it: x^2 − 6x. Bring your working to the next class.",
    ]


@pytest.fixture
def note(views: Views) -> str:
    """The text on the page, beside no figure of the class."""
    page = next(one for one in build_pages(Book(views)) if one.file == "next-lesson.html")
    parts = [part for one in page.sections for part in one.parts]
    return next(part.text for part in parts if isinstance(part, Note))


def test_no_figure_of_the_class_stands_in_it(views: Views, note: str) -> None:
    row = views.frames["own_pattern_prevalence"].iloc[0]
    example = views.frames["own_pattern"].set_index("pattern").loc[row["pattern"].split(" / ")[0]]

    allowed = " ".join(str(one) for one in example) + str(views.frames["own_check_question"].values)
    assert set(re.findall(r"\d+", note)) <= set(re.findall(r"\d+", allowed))


def test_it_is_marked_and_not_printed_on_the_sheet(views: Views) -> None:
    pages = build_pages(Book(views))
    page = next(one for one in pages if one.file == "next-lesson.html")
    section = next(one for one in page.sections if any(isinstance(p, Note) for p in one.parts))

    assert not section.printed
    assert INTRODUCTION in render(page, pages, Book(views))
