"""Errors by class section: sections add up to the class, small ones and what would tell them go."""

from __future__ import annotations

from collections.abc import Mapping

import pandas as pd
import pytest

from pipeline.statistics.compute import CELL
from pipeline.statistics.observed import section_rates, section_week_rates, wrong_by_section
from pipeline.statistics.patterns import pattern_totals, weekly_rates
from pipeline.tagging.attribute import estimate, groups_of
from pipeline.tagging.evidence import Evidence
from tests.statistics.test_recent import evidence_of

LIMIT = 10


def rates(sections: Mapping[str | None, tuple[int, int]]) -> pd.DataFrame:
    """One question that shows one error: section -> students, and how many of them show it."""
    evidence, answers = laid(sections)
    cells = list(estimate(evidence, CELL))
    totals = pattern_totals(evidence, cells).assign(shown=True)
    found = section_rates(evidence, answers, groups_of(cells), totals, LIMIT)
    return found.set_index("section") if len(found) else found


def laid(sections: Mapping[str | None, tuple[int, int]]) -> tuple[Evidence, pd.DataFrame]:
    """Students who show the error have the first numbers, so sections are dealt in two rounds."""
    everyone = sum(students for students, _ in sections.values())
    showing = sum(came for _, came in sections.values())
    evidence = evidence_of({"q": (everyone, showing)})
    home = [name for name, (_, came) in sections.items() for _ in range(came)]
    home += [name for name, (students, came) in sections.items() for _ in range(students - came)]
    chances = evidence.opportunities.sort_values("student")
    return evidence, chances.assign(home_section=pd.Series(home, index=chances.index, dtype=object))


def test_sections_add_up_to_the_class_and_say_where_it_is_most() -> None:
    found = rates({"day": (60, 6), "evening": (60, 36)})

    assert found["students"].to_dict() == {"day": 60, "evening": 60}
    assert found["rate"].to_dict() == pytest.approx({"day": 0.1, "evening": 0.6}, abs=0.02)
    assert found["beside"].to_dict() == {"day": "least", "evening": "most"}
    assert found["standing"].to_dict() == {"day": "common", "evening": "common"}


def test_sections_whose_ranges_meet_are_not_set_apart() -> None:
    assert rates({"a": (60, 12), "b": (60, 18), "c": (60, 15)})["beside"].isna().all()


def test_between_two_others_a_section_is_neither_most_nor_least() -> None:
    found = rates({"a": (90, 5), "b": (90, 45), "c": (90, 85)})

    assert found["beside"].fillna("").tolist() == ["least", "", "most"]


def test_a_rate_that_may_be_worth_a_lesson_or_not_is_left_open() -> None:
    found = rates({"a": (200, 60), "b": (60, 1), "c": (400, 0)})

    assert found["standing"].fillna("").tolist() == ["common", "", "rare"]


@pytest.mark.parametrize(
    ("sections", "shown"),
    [
        ({"a": (40, 8), "b": (40, 8), "c": (4, 2)}, {"b"}),  # 84 - 40 - 40 told the four
        ({"a": (40, 8), "b": (4, 2)}, set()),
        ({"a": (40, 8), "b": (40, 8), "c": (4, 1), "d": (7, 1)}, {"a", "b"}),
        ({"a": (40, 8), "b": (40, 8), None: (4, 1)}, {"b"}),
    ],
)
def test_small_sections_are_hidden_with_what_would_tell_of_them(
    sections: Mapping[str | None, tuple[int, int]], shown: set[str]
) -> None:
    found = rates(sections)

    assert set(found.index[found["shown"]]) == shown
    assert found.loc[~found["shown"], ["standing", "beside"]].isna().all(axis=None)


def test_where_the_whole_is_hidden_no_section_tells_it() -> None:
    evidence, answers = laid({"a": (40, 8), "b": (40, 8)})
    cells = list(estimate(evidence, CELL))
    totals = pattern_totals(evidence, cells).assign(shown=False)

    assert not section_rates(evidence, answers, groups_of(cells), totals, LIMIT)["shown"].any()


@pytest.mark.parametrize(
    "sections", [{"a": (40, 8)}, {"a": (40, 8), None: (40, 8)}, {None: (40, 8)}]
)
def test_one_section_is_none(sections: Mapping[str | None, tuple[int, int]]) -> None:
    assert len(rates(sections)) == 0


def wrong(sections: Mapping[str, tuple[int, int]], *, whole: bool = True) -> pd.DataFrame:
    """Section -> students with one answer each, and how many of them are wrong, in one week."""
    sums = pd.DataFrame(
        [(name, m, y, m, y, y, m) for name, (m, y) in sections.items()],
        columns=["section", "m", "y", "n", "yy", "yn", "nn"],
    ).assign(term="t", setting="quiz", topic="a", week=3)
    everyone = sum(students for students, _ in sections.values())
    tries = pd.DataFrame(
        {"grain": ["first", "last"], "grouped_by": "topic and week", "term": "t", "setting": "quiz",
         "topic": "a", "week": 3, "students": everyone, "shown": whole}
    )  # fmt: skip
    return wrong_by_section(sums, tries, LIMIT).set_index("section")


def test_wrong_answers_of_a_section_are_counted_by_hand() -> None:
    found = wrong({"a": (40, 10), "b": (60, 30)})

    assert found["rate"].to_dict() == {"a": 0.25, "b": 0.5}
    assert found["wrong"].to_dict() == {"a": 10, "b": 30}
    assert found["shown"].all()
    assert (found["rate_low"] < found["rate"]).all()


def test_small_sections_of_a_week_are_hidden_with_what_would_tell_of_them() -> None:
    found = wrong({"": (3, 1), "a": (40, 10), "b": (60, 30)})

    assert found["shown"].to_dict() == {"": False, "a": False, "b": True}
    assert not wrong({"a": (40, 10), "b": (60, 30)}, whole=False)["shown"].any()


def test_without_sections_there_are_no_sums() -> None:
    assert len(wrong({})) == 0


def test_errors_of_a_section_in_a_week_are_counted_by_hand() -> None:
    evidence, answers = laid({"day": (60, 6), "evening": (60, 36), "late": (4, 1)})
    cells = list(estimate(evidence, CELL))
    totals = pattern_totals(evidence, cells).assign(shown=True)
    whole = section_rates(evidence, answers, groups_of(cells), totals, LIMIT)
    weeks = list(estimate(evidence, (*CELL, "week")))
    weekly = weekly_rates(evidence, weeks, cells, CELL).assign(shown=True)

    found = section_week_rates(evidence, answers, groups_of(cells), (weekly, whole, totals), LIMIT)

    by_section = found.set_index("section")
    assert by_section["students"].to_dict() == {"day": 60, "evening": 60, "late": 4}
    assert by_section["rate"].loc[["day", "evening"]].tolist() == pytest.approx(
        [0.1, 0.6], abs=0.02
    )
    assert by_section["shown"].to_dict() == {"day": False, "evening": True, "late": False}
    assert set(found["week"]) == set(weekly["week"])


def test_one_section_has_no_weeks_of_its_own() -> None:
    evidence, answers = laid({"day": (60, 6), None: (60, 36)})
    nothing = pd.DataFrame()

    assert not len(section_week_rates(evidence, answers, {}, (nothing, nothing, nothing), LIMIT))
