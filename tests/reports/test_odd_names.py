"""Whatever a course calls its topics, its pages say that, and do nothing else."""

from __future__ import annotations

import pandas as pd
import pytest
from lxml import html

from reports.pages import build_pages
from reports.render import render
from reports.source import Book
from tests.reports.conftest import Views
from tests.reports.odd_names import ODD, oddly_named

STEERING = {*map(chr, range(9)), *map(chr, range(0x202A, 0x202F))}


def test_names_are_text_and_steer_nothing(views: Views) -> None:
    book = Book(oddly_named(views))
    pages = build_pages(book)
    found = [render(page, pages, book) for page in pages]
    text = " ".join(html.document_fromstring(page).body.text_content() for page in found)

    assert ODD[0] in text
    assert all("<b>bold" not in page for page in found)
    assert not STEERING & set(text)
    assert f"\u2068{ODD[2]}" in text


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("Vertex", "Vertex"),
        ("a\tb\nc", "a\tb\nc"),
        ("x ≤ 3 − 2 · √2", "x ≤ 3 − 2 · √2"),
        ("二次方程式", "二次方程式"),
        ("Ж\x1b[31m red", "Ж [31m red"),
        ("\u202eabc", " abc"),
        ("פרבולה 3", "\u2068פרבולה 3\u2069"),
    ],
)
def test_a_name_is_shown_as_it_is_but_for_signs_that_steer(name: str, shown: str) -> None:
    book = Book(Views({"own_topic": pd.DataFrame({"topic": [name], "week": [3]})}))

    assert book.frame("topic").to_dict("list") == {"topic": [shown], "week": [3]}
