"""Texts that begin like a formula are guarded in every CSV. Source: OWASP ASVS 5.0, 1.2.10."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from pipeline.run import release
from pipeline.tables.rows import guarded
from reports import export

FORMULAS = ["=1+1", "+1", "-1", "@A1", "\tx", "\rx"]


@pytest.mark.parametrize("text", FORMULAS)
def test_a_name_that_begins_like_a_formula_is_guarded(text: str) -> None:
    frame = pd.DataFrame({"section": [text], "answer": [text]})

    assert guarded(frame, ["answer"]).iloc[0].tolist() == [f"'{text}", text]


def test_numbers_and_other_texts_stay() -> None:
    frame = pd.DataFrame({"rate": [-0.5], "section": ["A=1"], "note": [None], "shown": [True]})

    pd.testing.assert_frame_equal(guarded(frame), frame)


def test_tables_of_an_edition_are_guarded_but_for_answers() -> None:
    frame = pd.DataFrame({"section": ["=1+1"], "answer": ["=2"], "difference": [-0.5]})

    assert export._csv(frame) == b"section,answer,difference\r\n'=1+1,=2,-0.5\r\n"


def test_the_extract_for_research_is_guarded(tmp_path: Path) -> None:
    row = dict.fromkeys(release._ANSWER + release._TAG, "=1+1")
    frame = pd.DataFrame([row])
    folder = release._swap(tmp_path / "release", frame[release._ANSWER], frame[release._TAG], "")

    for name in ("answers.csv", "tags.csv"):
        cells = (folder / name).read_text().splitlines()[1].split(",")
        assert set(cells) == {"'=1+1"}
