"""Identities typed into answers are found; mathematics that looks a little like one stays."""

from __future__ import annotations

from collections.abc import Callable

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.ingest.withheld import WITHHELD, identifying, names_its_student
from pipeline.reading import read_answer


@pytest.mark.parametrize(
    ("text", "student"),
    [
        ("jane.doe@college.example", ""),
        ("ask o'neil+x@mail.college.example", "other"),
        ("x = 5 (90417731)", "90417731"),
        ("JDOE7: x = 5", "jdoe7"),
        ("by jane doe, x = 5", "jane doe"),
    ],
)
def test_an_address_or_the_own_id_is_found(text: str, student: str) -> None:
    assert names_its_student(text, student)
    assert identifying(pd.Series([text]), pd.Series([student])).all()


@pytest.mark.parametrize(
    ("text", "student"),
    [
        ("x = 24", "24"),  # a short number may well be an answer
        ("x = 904177315", "90417731"),  # part of a longer number
        ("jdoe77", "jdoe7"),
        ("3 + sqrt(21)", "90417731"),
        ("x = 2 @ y = 3", "90417731"),
        ("90417738", "90417731"),
        ("no real solution", ""),
        ("", "90417731"),
    ],
)
def test_other_texts_stay(text: str, student: str) -> None:
    assert not names_its_student(text, student)
    assert not identifying(pd.Series([text]), pd.Series([student])).any()


def test_a_missing_text_names_nobody() -> None:
    texts = pd.Series([None, "x = 1"], dtype=object)

    assert not identifying(texts, pd.Series(["90417731", ""])).any()


def test_what_stands_in_its_place_is_no_answer_and_no_identity() -> None:
    assert read_answer(WITHHELD).readings == ()
    assert not names_its_student(WITHHELD, "jane doe")


def test_a_load_withholds_it_and_says_so(load_of: Callable) -> None:
    text = "student,item,answer,work\njdoe7,root-1,jdoe7 2,ok\nbob77,root-1,2,see b@c.example\n"
    loaded = load_of({"a.csv": text})

    assert list(loaded.responses["answer"]) == [WITHHELD, "2"]
    assert list(loaded.responses["work"]) == ["ok", WITHHELD]
    assert "`answer` withheld" in loaded.notes
    assert "jdoe7" not in loaded.notes


@given(
    st.lists(st.sampled_from(["JDOE7: x = 5", "jdoe77", "by jane doe", "x (jdoe7)", "90417731"])),
    st.lists(st.sampled_from(["jdoe7", "jane doe", "90417731", "24", "(jdoe7)"]), min_size=1),
)
def test_texts_of_many_rows_are_withheld_like_those_of_one(texts: list[str], students: list[str]):
    pairs = [(text, student) for text in texts for student in students]
    typed, ids = (pd.Series([pair[place] for pair in pairs], dtype=object) for place in (0, 1))

    assert identifying(typed, ids).tolist() == [names_its_student(*pair) for pair in pairs]
