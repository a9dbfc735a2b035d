from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from reports.pages import build_pages
from reports.pages.outcome_parts import (
    BELOW,
    CHANGED,
    CLOSE,
    NO_TARGET,
    REACHED,
    against_target,
    judged,
)
from reports.pages.terms import FEWER, MORE, OPEN, settled_word
from reports.parts import Card, ErrorCard, Page, Worked
from reports.render import render
from reports.source import Book
from tests.reports.conftest import Views
from tests.reports.forbidden_words import forbidden_words

FILES = ["index.html", "next-lesson.html", "outcomes.html", "terms.html", "quality.html"]


def html(book: Book) -> dict[str, str]:
    return rendered(book, build_pages(book))


def rendered(book: Book, pages: tuple[Page, ...]) -> dict[str, str]:
    return {page.file: render(page, pages, book) for page in pages}


@pytest.fixture(scope="module")
def built(views: Views) -> tuple[Page, ...]:
    return build_pages(Book(views))


@pytest.fixture(scope="module")
def printed(views: Views, built: tuple[Page, ...]) -> dict[str, str]:
    return rendered(Book(views), built)


def markup(page: str) -> str:
    """The page without scripts and style."""
    return re.sub(r"<(script|style).*?</\1>", " ", page, flags=re.DOTALL)


def body(page: str) -> str:
    """The text that a reader sees: no scripts, no style, no tags."""
    without = markup(page)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", without))


def test_the_five_pages_are_there(printed: dict[str, str]) -> None:
    assert list(printed) == FILES


@pytest.mark.parametrize("which", ["book", "empty_book"])
def test_no_page_uses_a_forbidden_word(which: str, request: pytest.FixtureRequest) -> None:
    for file, page in html(request.getfixturevalue(which)).items():
        assert forbidden_words(body(page)) == [], file


def test_statistical_terms_stand_only_behind_how_this_was_worked_out(
    printed: dict[str, str],
) -> None:
    terms = re.compile(
        r"p-value|95%|Wilson|sandwich|confidence|significant|Benjamini|maximization|variance", re.I
    )
    for file, page in printed.items():
        front = re.sub(r'<details class="behind">.*?</details>', " ", page, flags=re.DOTALL)
        assert terms.findall(body(front)) == [], file


def test_every_page_opens_with_what_it_found_and_what_it_covers(built: tuple[Page, ...]) -> None:
    for page in built:
        assert 1 <= page.finding.count(". ") + 1 <= 2, page.finding
        assert "Covers 64 of the 79 questions" in page.covers


def test_every_page_says_that_it_is_not_to_be_passed_on(printed: dict[str, str]) -> None:
    for file, page in printed.items():
        assert body(page).count("Not to be passed on") >= 2, file
        assert "@bottom-left" in page


def test_every_page_gives_the_cautions(printed: dict[str, str]) -> None:
    for page in printed.values():
        text = body(page)
        assert "describes an answer, not a person" in text
        assert "no" in text
        assert "copying" in text
        assert "local law" in text


def test_a_course_without_answers_gets_pages_that_say_so(empty_book: Book) -> None:
    pages = html(empty_book)

    assert list(pages) == FILES
    assert "not yet enough answers" in body(pages["index.html"])
    assert "Cannot tell" in body(pages["next-lesson.html"])


def test_every_chart_has_words_and_a_table(built: tuple[Page, ...]) -> None:
    figures = [figure for page in built for figure in page.figures]

    assert len({figure.name for figure in figures}) == len(figures) >= 6
    for figure in figures:
        assert figure.says.endswith(figure.title)
        assert len(figure.longer) > 80
        assert figure.table.made_by.endswith(".sql")


def test_hidden_figures_are_nowhere_in_a_page(
    book: Book, built: tuple[Page, ...], printed: dict[str, str]
) -> None:
    frame = book.frame("pattern_prevalence")
    hidden = frame[frame["note"].notna()]

    assert hidden["rate"].isna().all()
    for figure in (figure for page in built for figure in page.figures):
        assert "root upside down" not in str(figure.drawn())
    assert "hidden: fewer than 10 students" in body(printed["next-lesson.html"])


def test_a_table_has_a_caption_and_headers_with_scope(printed: dict[str, str]) -> None:
    for page in printed.values():
        for table in re.findall(r"<table.*?</table>", markup(page), flags=re.DOTALL):
            root = ET.fromstring(re.sub(r"&\w+;", "", table))  # noqa: S314 - our own page
            assert root.find("caption") is not None
            assert {th.get("scope") for th in root.iter("th")} <= {"col", "row"}


def test_scripts_are_allowed_by_hash_alone(printed: dict[str, str]) -> None:
    page = printed["index.html"]
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', page)

    assert policy
    assert "default-src &#39;none&#39;" in policy[1] or "default-src 'none'" in policy[1]
    assert "unsafe" not in policy[1]


def test_nothing_is_asked_of_the_network(printed: dict[str, str]) -> None:
    for page in printed.values():
        assert (
            re.findall(
                r'(?:src|href)="(?!#|[\w/-]+\.(?:html|docx|xlsx|svg|png)")[^"]*"', markup(page)
            )
            == []
        )


def test_text_from_a_course_cannot_bring_markup(book: Book) -> None:
    book.frame("course")
    book._read["course"].loc[0, "title"] = "</title><script>alert(1)</script>"
    book.frame("wrong_by_topic_week")
    book._read["wrong_by_topic_week"]["topic_title"] = "</script><script>alert(1)</script>"

    assert all("<script>alert(1)" not in page for page in html(book).values())


@pytest.mark.parametrize(
    ("low", "high", "target", "word"),
    [
        (0.71, 0.8, 0.7, REACHED),
        (0.7, 0.8, 0.7, REACHED),
        (0.6, 0.69, 0.7, BELOW),
        (0.6, 0.7, 0.7, CLOSE),
        (0.6, 0.695, 0.7, BELOW),
        (0.644, 0.749, 0.75, BELOW),
        (0.6, 0.57 + 0.12, 0.7, BELOW),
        (0.699, 0.8, 0.7, CLOSE),
        (0.57, 0.6, 0.57, REACHED),
        (0.6, 0.8, 0.7, CLOSE),
        (0.6, 0.8, None, NO_TARGET),
        (None, None, 0.7, "cannot tell"),
    ],
)
def test_a_close_call_is_not_called(
    low: float | None, high: float | None, target: float | None, word: str
) -> None:
    assert against_target(low, high, target) == word


@pytest.mark.parametrize(
    ("difference", "p", "word"),
    [(-0.1, 0.01, FEWER), (0.1, 0.01, MORE), (-0.1, 0.2, OPEN), (0.0, float("nan"), OPEN)],
)
def test_what_is_not_settled_is_never_called_the_same(
    difference: float, p: float, word: str
) -> None:
    assert settled_word(difference, p) == word
    assert settled_word(float("nan"), p) is None


def cards(pages: tuple[Page, ...]) -> list[ErrorCard]:
    parts = (part for page in pages for section in page.sections for part in section.parts)
    return [part for part in parts if isinstance(part, ErrorCard)]


def test_each_of_the_first_errors_has_its_best_question(built: tuple[Page, ...]) -> None:
    asked = [card.check.problem if card.check else "" for card in cards(built)]

    assert asked == ["x^2 + 6x", "x^2 + 8x + 15 = 0"]


def test_beside_a_question_stands_what_each_answer_would_mean(built: tuple[Page, ...]) -> None:
    assert cards(built)[0].check == Card(
        problem="x^2 + 6x",
        origin="like your question q1, with other numbers (find the number that completes the "
        "square)",
        meanings=(
            ("9", "right"), ("3", "“half not squared”"), ("6", "“square means double”")
        ),
    )  # fmt: skip
    assert cards(built)[1].check.meanings[1] == ("3 or 5", "this error")  # type: ignore[union-attr]


def test_an_error_without_a_question_of_its_own_is_named(book: Book) -> None:
    book._read["check_question"] = book.frame("check_question").query("place > 9")

    assert body(html(book)["next-lesson.html"]).count("We found no question") == 2


def test_the_line_that_goes_wrong_is_marked_by_a_sign_and_in_words(
    built: tuple[Page, ...], printed: dict[str, str]
) -> None:
    shown = [card for card in cards(built) if card.worked.problem]
    marked = re.findall(r'<li class="broken">.*?</li>', printed["next-lesson.html"], re.DOTALL)

    assert len(marked) == len(shown) >= 1
    assert all("wrong" in body(line) for line in marked)


@pytest.mark.parametrize(
    ("wrong", "right", "place"),
    [
        (("(x + 5)^2 = 16", "x = -1"), ("(x + 5)^2 = 36", "x = 1"), 0),
        (("x^2 = 9", "x = 3"), ("x^2 = 9", "x = 3 or x = -3"), 1),
        ((), (), 0),
    ],
)
def test_the_broken_line_is_the_first_that_right_working_lacks(
    wrong: tuple[str, ...], right: tuple[str, ...], place: int
) -> None:
    worked = Worked("", "", "x^2 = 9", "3", "3, -3", wrong_lines=wrong, right_lines=right)

    assert worked.broken == place


def test_answers_that_were_typed_stand_with_their_question_and_without_a_number(
    built: tuple[Page, ...],
) -> None:
    assert cards(built)[0].typed == (("x^2 + 6x", "3"), ("x^2 + 10x", "5"))
    assert cards(built)[1].typed == ()


def test_a_rule_that_nobody_has_named_stands_with_one_example_on_a_line(
    printed: dict[str, str],
) -> None:
    """Other rules that foretell the same are counted; the table files tell them."""
    [row] = re.findall('<table id="table-proposal">.*?</table>', printed["quality.html"], re.DOTALL)
    words = body(row)

    assert "3*[a]*[c] comes out instead" in words
    assert "[right result] - [a]*[c]" not in words
    assert len(re.findall("<td", row)) == 8
    assert "Rules that fewer than 10 students share are not listed." in body(
        printed["quality.html"]
    )


def test_the_overview_says_where_class_sections_are_told(
    book: Book, printed: dict[str, str]
) -> None:
    assert "What students do, in which class sections, how sure" in body(printed["index.html"])
    book._read["error_by_section"] = book.frame("error_by_section").head(0)
    assert "What students do, how sure" in body(html(book)["index.html"])


def test_class_sections_are_not_told_apart(book: Book) -> None:
    rows = book.frame("outcome_results")
    rows.loc[0, "section"] = "Section of one instructor"
    book._read["outcome_results"] = rows

    assert "Section of one instructor" not in html(book)["outcomes.html"]


def test_a_close_call_of_changed_counts_is_laid_to_them(book: Book) -> None:
    """What exact counts may call is never said, in bare words, to be too close to tell."""
    rows = book.frame("outcome_results").assign(share_low=0.6, share_high=0.8, target=0.7)

    assert set(judged(rows)["stands"]) == {CLOSE}
    assert set(judged(rows, CHANGED)["stands"]) == {CHANGED}


def test_a_rate_of_all_weeks_is_laid_to_no_week(book: Book, built: tuple[Page, ...]) -> None:
    rows = book.frame("error_by_topic_week")
    book._read["error_by_topic_week"] = rows.assign(note="weeks pooled: one week cannot tell")
    figures = [figure.name for page in build_pages(book) for figure in page.figures]

    assert "errors-by-week" in [f.name for page in built for f in page.figures]
    assert "errors-by-week" not in figures
