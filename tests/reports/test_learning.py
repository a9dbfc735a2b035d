"""What the pages say of learning from question to question, and what they must not say."""

from __future__ import annotations

import altair as alt
import pandas as pd
import pytest

from pipeline.statistics.additive_factors import SAME_ORDER
from reports.curves import learning_curves
from reports.pages.learning import learning_parts
from reports.pages.next_lesson import next_lesson_page
from reports.pages.patterns import in_order
from reports.parts import Figure, Prose
from reports.source import Book

TITLE = "One topic goes better"
ROW = {
    "label": "Vertex",
    "chance": 1,
    "reached": 276,
    "rate": 0.3,
    "rate_low": 0.24,
    "rate_high": 0.37,
    "usual": 0.31,
    "modeled": 0.22,
    "secret": 7_654_321,
}


@pytest.mark.parametrize("rows", [0, 1, 12])
def test_the_curves_survive_any_number_of_rows_and_a_round_trip(rows: int) -> None:
    frame = pd.DataFrame([ROW | {"chance": k + 1} for k in range(rows)], columns=list(ROW))
    chart = learning_curves(frame, TITLE)

    assert alt.FacetChart.from_json(chart.to_json()).to_dict() == chart.to_dict()


def test_the_curves_say_how_many_got_so_far_and_leave_hidden_rows_out() -> None:
    hidden = {**ROW, "label": "hidden row", "rate": None, "rate_low": None, "rate_high": None}
    text = learning_curves(pd.DataFrame([ROW, hidden]), TITLE).to_json()

    assert "1\\n276" in text
    assert "hidden row" not in text
    assert "7654321" not in text


def parts(book: Book) -> tuple[object, ...]:
    top = in_order(book.current("pattern_prevalence")).head(3)
    return learning_parts(top, book)


def test_the_topic_of_the_first_error_is_followed(book: Book) -> None:
    words, figure, *_ = parts(book)

    assert isinstance(words, Prose)
    assert words.paragraphs == (
        "Later questions on a topic went better in 1 of 2 topics; in 1 it is not settled.",
    )
    assert isinstance(figure, Figure)
    # The ends of the line would stand beside other dots; the table below gives them.
    assert figure.title == "Completing the square: later questions go better"
    assert "whose times tell in which order they answered" in figure.longer


def test_a_trend_that_is_not_settled_is_not_called_a_help(book: Book) -> None:
    slopes = book.frame("learning_slope").assign(p_adjusted=0.06)
    book._read["learning_slope"] = slopes
    words, figure, *_ = parts(book)

    assert isinstance(words, Prose)
    assert words.paragraphs[0].startswith("In none of 2 topics is it settled")
    assert isinstance(figure, Figure)
    assert "not settled whether more questions help" in figure.title


def test_one_order_for_all_tells_nothing_and_says_so(book: Book) -> None:
    """The dots stay; no trend, no direction."""
    blank = dict.fromkeys(["slope", "slope_low", "slope_high", "first_wrong", "last_wrong"], None)
    slopes = book.frame("learning_slope").assign(note=SAME_ORDER, p_adjusted=None, **blank)
    book._read["learning_slope"] = slopes
    book._read["learning_curve"] = book.frame("learning_curve").assign(modeled=None)
    words, figure, *_ = parts(book)

    assert isinstance(words, Prose)
    assert words.paragraphs[0].startswith("2 topics: cannot tell")
    assert isinstance(figure, Figure)
    assert "for the same" in figure.title


def test_answers_without_an_order_get_a_sentence_and_no_chart(book: Book) -> None:
    for view in ("learning_slope", "learning_curve"):
        book._read[view] = book.frame(view).iloc[:0]
    (words,) = parts(book)

    assert isinstance(words, Prose)
    assert words.paragraphs[0].startswith("Cannot tell")


def test_the_page_opens_with_the_first_error_and_its_rate(book: Book) -> None:
    page = next_lesson_page(book)

    assert page.finding == (
        "Next, take up “half not squared, or square means double”: 21% of 1,480 chances to "
        "show it (likely 18% to 25%) in the whole semester, lately 22% of 760 chances (likely 18% "
        "to 27%), and it may still cost 112 answers. It clearly belongs among the first three to "
        "treat."
    )
    assert page.sections[0].parts[0].name.startswith("1. Half not squared")  # type: ignore[union-attr]


@pytest.mark.parametrize("verdict", ["nothing stands out", "cannot tell yet"])
def test_no_error_is_put_first_where_none_is(book: Book, verdict: str) -> None:
    summary = book.frame("next_lesson_summary").assign(verdict=verdict, sentence="Nothing does.")
    book._read["next_lesson_summary"] = summary

    assert next_lesson_page(book).finding == "Nothing does."
