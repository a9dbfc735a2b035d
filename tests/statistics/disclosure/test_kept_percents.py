"""Percents of errors that a kept edition printed, read back from its tables."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pandas as pd
import pytest

from pipeline.errors import CourseError
from pipeline.run.earlier import shared_percents

PREVALENCE = """term,setting,pattern,rate,rate_low,rate_high,code,students_at_least,as_of,note
spring,quiz,half-not-squared,0.12,0.07,0.2,,40,,
spring,quiz,one-root,,,,5% or less,40,,
spring,quiz,called-no-solution,,,,90% or more,40,,
spring,quiz,sign-lost,,,,,,,hidden: fewer than 10 students could be worked out
spring,exam,half-not-squared,0.2,0.1,0.3,,30,2026-02-01-shared,
"""
BY_TOPIC = """topic,setting,pattern,rate,rate_low,rate_high,code,students_at_least,as_of
roots,quiz,half-not-squared,0.14,0.1,0.2,,50,
"""
COMPARISON = """setting,term_before,term_after,kind,subject,common_questions,difference
quiz,fall,spring,topic,roots,12,-0.04
quiz,fall,spring,pattern,half-not-squared,12,-0.03
"""


@pytest.fixture
def course(tmp_path: Path) -> Path:
    tables = tmp_path / "reports" / "kept" / "2026-03-01-shared" / "tables"
    tables.mkdir(parents=True)
    (tables / "course.csv").write_text("title,last_answer\nA course,2026-02-27\n")
    (tables / "pattern-prevalence.csv").write_text(PREVALENCE)
    (tables / "pattern-by-topic.csv").write_text(BY_TOPIC)
    (tables / "term-comparison.csv").write_text(COMPARISON)
    return tmp_path


def test_what_was_printed_is_read_back(course: Path) -> None:
    told = shared_percents(course)

    assert told["kind"].tolist() == ["term"] * 4 + ["topic", "pair"]
    assert told["state"].tolist() == ["shown", "low", "high", "shown", "shown", "shown"]
    assert told["rate"].dropna().tolist() == [0.12, 0.2, 0.14, -0.03]
    assert told["cap"].dropna().tolist() == pytest.approx([0.05, 0.10])
    assert set(told["edition"]) == {"2026-03-01-shared"}
    assert set(told["last_answer"]) == {date(2026, 2, 27)}
    assert told.loc[told["as_of"].notna(), "setting"].tolist() == ["exam"]
    pair = told.iloc[-1]
    assert (pair["term"], pair["term_before"], pair["topic"]) == ("spring", "fall", "")


def test_what_was_hidden_tells_nothing(course: Path) -> None:
    assert "sign-lost" not in set(shared_percents(course)["pattern"])


def test_an_edition_that_cannot_be_read_stops_the_run(course: Path) -> None:
    path = course / "reports" / "kept" / "2026-03-01-shared" / "tables" / "pattern-by-topic.csv"
    path.unlink()

    with pytest.raises(
        CourseError, match=r"pattern-by-topic.csv cannot be read .*Put the file back"
    ):
        shared_percents(course)


def test_no_kept_edition_no_rows(tmp_path: Path) -> None:
    told = shared_percents(tmp_path)

    assert isinstance(told, pd.DataFrame)
    assert told.empty
