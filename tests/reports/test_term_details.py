"""What the page on semesters says of a change, in words that claim no more than the figures."""

from __future__ import annotations

import pandas as pd
import pytest

from reports.pages.term_details import change_parts, small_word, term_details
from reports.pages.terms import OPEN, terms_page
from reports.parts import Prose
from reports.source import Book


def told(book: Book, **changes: object) -> str:
    row = book.frame("term_change").head(1).assign(**changes)
    (part,) = change_parts(row)
    assert isinstance(part, Prose)
    return " ".join(part.paragraphs)


def test_a_small_change_is_told_with_its_margin(book: Book) -> None:
    text = told(book)

    assert "changed by −2 points (likely −4.5 to +0.5 points)" in text
    assert "shown to be smaller than 5 points either way" in text
    assert "less than 3.6 points would often have stayed unseen" in text
    assert "−1.8 points because the same questions went differently" in text
    assert "−3.2 points because students answered another mix" in text


def test_not_settled_is_not_the_same(book: Book) -> None:
    text = told(book, within_margin=False, difference=0.0)

    assert "may come about by chance" in text
    assert "cannot be told" in text
    assert "no change is" not in text
    assert "the same." not in text


def test_a_settled_change_is_said_plainly(book: Book) -> None:
    assert "by chance" not in told(book, p_holm=0.001)


def test_few_answers_are_owned_up_to(book: Book) -> None:
    assert "even a large change" in told(book, smallest_visible=None)


def test_a_like_mix_takes_one_sentence(book: Book) -> None:
    assert "about alike" in told(book, by_mix=0.001)


def test_nothing_in_common_leaves_the_section_out(empty_book: Book) -> None:
    assert term_details("s25", empty_book) == ()
    assert change_parts(pd.DataFrame({"topic": [None], "difference": [None]})) == ()


def test_the_page_lists_questions_settled_first_and_all_semesters(book: Book) -> None:
    page = terms_page(book)
    tables = {
        part.name: part for section in page.sections for part in section.parts
        if part.kind == "table"
    }  # fmt: skip

    questions = tables["change-by-question"]
    assert questions.frame["item"].tolist() == ["q1", "q2", "q3"]
    assert questions.caption.endswith("1 of 3 changes beyond chance")
    assert len(tables["several-semesters"].frame) == 3


@pytest.mark.parametrize("small", [True, False])
def test_the_table_says_small_only_where_shown(book: Book, small: bool) -> None:
    rows = book.frame("term_comparison")
    rows["within_margin"] = small
    book._read["term_comparison"] = rows
    figure = terms_page(book).sections[0].parts[0]
    words = set(figure.table.frame["stands"].dropna())

    assert (small_word(0.05) in words) is small
    assert (OPEN in words) is not small
