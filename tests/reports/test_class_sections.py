"""The class sections on the cards of the next lesson: is it the evening class, too?"""

from __future__ import annotations

import pandas as pd
import pytest

from reports.pages.class_sections import section_map, section_words
from reports.pages.maps import error_map, pattern_map
from reports.source import Book
from tests.reports.conftest import Views

VIEW = "own_error_by_section"
FIRST, SECOND = "half-not-squared / square-means-double", "minus-b-not-negated"
COMMON, RARE = {"standing": "common", "rate": 0.2}, {"standing": "rare", "rate": 0.01}
OPEN, HIDDEN = {"standing": None, "rate": 0.03}, {"standing": None, "rate": None}


def said(views: Views, **sections: dict[str, object]) -> str:
    row = views.frames[VIEW].head(1).assign(beside=None)
    rows = [row.assign(section=name, **facts) for name, facts in sections.items()]
    changed = pd.concat(rows, ignore_index=True).astype({"standing": object, "beside": object})
    return section_words(FIRST, Book(Views({**views.frames, VIEW: changed})))


def test_the_card_answers_for_every_section(book: Book) -> None:
    assert section_words(FIRST, book) == (
        "Most in section evening; common in day (12%) and evening (31%); too few answers to say "
        "for weekend (4%); no figures for online."
    )
    assert section_words(SECOND, book) == (
        "Common in each: day (15%) and evening (13%); in none clearly more than in another."
    )


@pytest.mark.parametrize(
    ("sections", "words"),
    [
        ({"a": COMMON, "b": RARE}, "Common in a (20%); hardly made in b (1%)."),
        ({"a": OPEN, "b": OPEN}, "Too few answers to say for a (3%) and b (3%)."),
        ({"a": HIDDEN, "b": HIDDEN}, "No figures for a and b."),
        (
            {"a": {**COMMON, "beside": "least"}, "b": COMMON, "c": COMMON},
            "Least in section a; common in each: a (20%), b (20%) and c (20%).",
        ),
    ],
)
def test_what_is_said_is_no_more_than_the_answers_tell(
    views: Views, sections: dict[str, dict[str, object]], words: str
) -> None:
    assert said(views, **sections) == words


def test_many_sections_are_counted(views: Views) -> None:
    many = {f"s{n}": COMMON for n in range(12)} | {"t": {**COMMON, "beside": "most"}, "u": OPEN}

    assert said(views, **many) == (
        "Most in section t; common in 13 of 14 sections; too few answers to say for 1 of 14 "
        "sections."
    )


def test_an_error_without_sections_has_no_line_and_no_table(book: Book) -> None:
    assert section_words("only-root-divided", book) == ""
    assert section_map(["only-root-divided"], book) is None


def test_hidden_sections_stand_without_figures(book: Book) -> None:
    figure = section_map([FIRST], book)

    assert figure is not None
    rows = [[cell.text for cell in row.cells[1:]] for row in figure.table.rows]
    assert [row[0] for row in rows] == ["day", "evening", "online", "weekend"]
    assert set(rows[2][1:]) == {"–"}
    assert figure.table.left_out.startswith("The figures of 1 row are hidden")
    assert figure.grid is not None
    assert [name for _, name in figure.grid.columns] == ["day", "evening", "weekend"]
    assert not any("online" in str(rows) for rows in figure.specification["datasets"].values())


def test_the_map_says_which_error_is_another_in_one_section(book: Book) -> None:
    figure = section_map([FIRST, SECOND], book)

    assert figure is not None
    assert figure.title == (
        "“half not squared, or square means double” is most common in section evening: 31% of 700 "
        "chances to show it (likely 25% to 37%)"
    )
    assert figure.grid is not None
    cells = [[cell.text if cell else "" for cell in row] for _, row in figure.grid.rows]
    assert cells == [["12%", "31%", "4%"], ["15%", "13%", ""]]


def test_no_choice_above_the_maps_would_show_a_small_group(views: Views) -> None:
    """A class section, setting or week of which all is hidden is none to choose."""
    whole, parts = views.frames["own_wrong_by_topic_week"], views.frames["own_wrong_by_section"]
    quiz, late = whole.tail(1).assign(setting="quiz", rate=None), whole["week"] == 10
    few = pd.concat([whole.assign(rate=whole["rate"].mask(late)), quiz.astype(whole.dtypes)])
    hidden = {
        "own_wrong_by_topic_week": few,
        "own_wrong_by_section": parts.assign(
            rate=parts["rate"].mask(parts["section"] == "evening")
        ),
    }
    offered, rest = (error_map(Book(Views(views.frames | more))) for more in ({}, hidden))

    assert offered.grid is not None
    assert rest.grid is not None
    assert [name for name, _ in offered.by_section] == ["day", "evening"]
    assert [name for name, _ in rest.by_section] == ["day"]
    assert rest.grid.settings == ("practice",)
    assert set(offered.grid.weeks) - set(rest.grid.weeks) == {10}
    assert rest.by_section[0][1].weeks == (1, 2)


def test_the_errors_by_week_are_there_for_each_section_that_may_be_shown(views: Views) -> None:
    parts = views.frames["own_error_by_section_week"]
    late = parts[parts["section"] == "day"].assign(section="late")
    more = Views({**views.frames, "own_error_by_section_week": pd.concat([parts, late])})
    few, several = (pattern_map([FIRST, SECOND], Book(source)) for source in (views, more))

    assert [name for name, _ in few.by_section] == ["day"]
    assert [name for name, _ in several.by_section] == ["day", "late"]
    told = [cell.says for _, cells in several.by_section[1][1].rows for cell in cells if cell]
    assert told
    assert all(says.startswith("section late, ") for says in told)
