"""What answers that came can tell apart, on classes small enough to reckon by hand."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import count
from typing import Any

import numpy as np
import pandas as pd
import pytest

from pipeline.statistics.patterns import pattern_totals
from pipeline.tagging.attribute import estimate, steadied
from pipeline.tagging.evidence import Evidence, gather
from pipeline.tagging.shares import attribute

Questions = Mapping[str, Mapping[str, str]]
"""Question -> error -> the wrong answers it leads to there, one letter each."""

Given = Mapping[str, Mapping[str, int]]
"""Term and question, as `fall q1` -> answer -> students; `right` and `other` among the answers."""

KEYS = ["term", "setting", "topic"]
ALIKE = {"q1": {"A": "u", "B": "u"}, "q2": {"A": "v", "B": "v"}}
PARTED = {**ALIKE, "q3": {"A": "a", "B": "b"}}
HALF = {"right": 78, "u": 22}


def evidence_of(questions: Questions, given: Given) -> Evidence:
    number = {name: at for at, name in enumerate(questions)}
    errors = sorted({error for led in questions.values() for error in led})
    keys: dict[tuple[str, str], int] = {}
    rows, fresh = [], count()
    for place, answers in given.items():
        term, question = place.split()
        student = 0
        for answer, students in answers.items():
            for _ in range(students):
                key = keys.setdefault((question, answer), next(fresh))
                rows.append((term, number[question], f"{term}{student}", answer, key))
                student += 1
    names = ["term", "question", "student", "value_key", "examined"]
    answers_ = pd.DataFrame(rows, columns=names).assign(setting="quiz", topic="t")
    answers_["wrong"] = (answers_["value_key"] != "right").astype(int)
    led = [
        (question, error, answer)
        for question, by_error in questions.items()
        for error, answers in by_error.items()
        for answer in answers
    ]
    candidates = pd.DataFrame(
        [(keys[q, a], [e], e, 1.0, False) for q, e, a in led if (q, a) in keys],
        columns=["examined", "faults", "pattern", "weight", "general"],
    )
    predicted = pd.DataFrame(
        [(number[q], a, e) for q, e, a in led], columns=["question", "value_key", "pattern"]
    )
    catalogue = pd.DataFrame({"pattern": errors, "position": range(len(errors)), "general": False})
    return gather(answers_, candidates, predicted.assign(weight=1.0), catalogue)


def totals(questions: Questions, given: Given, term: str = "fall") -> dict[Any, Any]:
    """Error -> its figures in one term."""
    evidence = evidence_of(questions, given)
    found = pattern_totals(evidence, list(estimate(evidence, KEYS)))
    return found[found["term"] == term].set_index("pattern").to_dict("index")


def shares(questions: Questions, given: Given, question: str, answer: str) -> dict[Any, Any]:
    """Term -> error -> what it has of one answer."""
    evidence = evidence_of(questions, given)
    cells = steadied(evidence, list(estimate(evidence, KEYS)))
    rows = evidence.opportunities
    wrong = rows.loc[rows["wrong"] == 1, [*KEYS, "examined", "question", "value_key"]]
    number = list(questions).index(question)
    mine = wrong[(wrong["question"] == number) & (wrong["value_key"] == answer)].drop_duplicates()
    led = [error for error, answers in questions[question].items() if answer in answers]
    examined = int(mine["examined"].iloc[0])
    candidates = pd.DataFrame(
        [(examined, [error], error, 1.0, False) for error in led],
        columns=["examined", "faults", "pattern", "weight", "general"],
    )
    mine = mine.assign(unexplained=0.1, if_meant=False)
    table = attribute(evidence, cells, mine, candidates, KEYS)
    wide = table.pivot_table(index="term", columns="pattern", values="share", fill_value=0.0)
    return wide.to_dict("index")


def test_errors_that_no_answer_parts_are_named_jointly_and_share_alike() -> None:
    """A question could part them, but nobody answered it by either."""
    given = {"fall q1": HALF, "fall q2": {"right": 78, "v": 22}, "fall q3": {"right": 2}}
    found = totals(PARTED, given)
    parts = shares(PARTED, given, "q1", "u")["fall"]

    assert list(found) == ["A / B"]
    assert found["A / B"]["rate"] == pytest.approx(0.22, abs=0.01)
    assert parts["A"] == pytest.approx(parts["B"])


def test_a_single_answer_is_no_knowledge() -> None:
    """One student and one answer: an interval from nothing to all, and no warning on the way."""
    found = totals(PARTED, {"fall q3": {"a": 1}})["A"]

    assert found["opportunities"] == 1
    assert np.isnan(found["rate_low"])
    assert found["rate_note"]


@pytest.mark.parametrize("students", [40, 120, 250])
def test_an_absent_error_is_told_from_a_present_one(students: int) -> None:
    """Truth .215 and .000: the question that parts them was answered by all, B by nobody."""
    shown = round(0.215 * students)
    right = {"right": students - shown}
    given = {"fall q1": {**right, "u": shown}, "fall q2": {**right, "v": shown},
             "fall q3": {**right, "a": shown}}  # fmt: skip
    found = totals(PARTED, given)

    assert found["A"]["rate"] == pytest.approx(0.215, abs=0.015)
    assert found["A"]["rate_low"] > 0.05
    assert found["B"]["rate"] < 0.01
    assert found["B"]["rate_low"] == 0


def test_where_the_parting_question_showed_nobody_no_error_is_sure_to_be_there() -> None:
    """Of the 30 who answered it none showed A or B, whose answers elsewhere are the same."""
    given = {"fall q1": HALF, "fall q2": {"right": 78, "v": 22}, "fall q3": {"right": 30}}
    found = totals(PARTED, given)

    assert "A / B" in found or all(one["rate_low"] == 0 for one in found.values())


def test_a_sum_of_errors_is_named_jointly_and_keeps_its_rate() -> None:
    """A on both questions is B on the one and C on the other: no two of them are alike."""
    questions = {"q1": {"A": "u", "B": "u"}, "q2": {"A": "v", "C": "v"}}
    given = {"fall q1": {"right": 70, "u": 30}, "fall q2": {"right": 70, "v": 30}}
    found = totals(questions, given)

    assert list(found) == ["A / B / C"]
    assert found["A / B / C"]["rate"] == pytest.approx(0.3, abs=0.01)
    assert found["A / B / C"]["rate_low"] > 0.15


def test_answers_that_an_error_could_have_led_to_do_not_speak_against_it() -> None:
    """B leads to u or x; that nobody gave x says how B was done, not that it was not."""
    questions = {"q1": {"A": "u", "B": "ux"}, "q2": {"A": "v", "B": "vy"}}
    given = {"fall q1": {"right": 30, "u": 30}, "fall q2": {"right": 30, "v": 30}}

    assert list(totals(questions, given)) == ["A / B"]


WIDER = {"q1": {"A": "u", "B": "uvw"}, "q2": {"A": "a", "B": "abc"}}
"""As with signs of factors swapped, one of the pairs with the right product and the wrong sum."""


def test_an_error_is_not_lost_in_a_wider_one() -> None:
    """How B's answers divide over those it leads to is not known, so that u may be A's or B's."""
    given = {"fall q1": {"right": 223, "u": 8, "v": 10, "w": 9}, "fall q2": {"right": 231, "a": 19}}
    found = totals(WIDER, given)

    assert list(found) == ["A / B"]
    assert found["A / B"]["rate"] == pytest.approx(46 / 500, abs=0.005)
    for question, answer in (("q1", "u"), ("q2", "a")):
        parts = shares(WIDER, given, question, answer)["fall"]
        assert 0.2 < parts["A"] < 0.8


def test_a_wider_error_keeps_what_only_it_leads_to() -> None:
    """Of 60 answers 50 are B's alone: A, which may have led to the others, is no more than them."""
    given = {"fall q1": {"right": 220, "u": 10, "v": 25, "w": 25}, "fall q2": {"right": 250}}
    found = totals(WIDER, given)

    assert shares(WIDER, given, "q1", "v")["fall"]["B"] > 0.95
    assert found["B"]["rate"] * found["B"]["opportunities"] == pytest.approx(55, abs=6)
    assert "A" not in found or found["A"]["rate_low"] == 0


def test_what_an_error_adds_to_a_more_general_one_is_its_own() -> None:
    """B is made by 15 of 250 at each question; at q5 and q6 A leads to its answer, too."""
    alone = {f"q{at}": {"B": "v"} for at in range(1, 5)}
    both = {f"q{at}": {"A": "u", "B": "u"} for at in (5, 6)}
    given = {f"fall {name}": {"right": 235, "v": 15} for name in alone}
    given |= {f"fall {name}": {"right": 215, "u": 35} for name in both}
    found = totals({**alone, **both}, given)

    assert found["A"]["rate"] == pytest.approx(0.08, abs=0.015)
    assert found["A"]["rate_low"] > 0.02
    assert found["B"]["rate"] == pytest.approx(0.06, abs=0.015)


def test_a_wider_error_takes_nothing_where_the_other_shows_itself() -> None:
    """A alone leads to x at q3, where a fifth of the class gave it."""
    questions = {**WIDER, "q3": {"A": "x"}}
    given = {"fall q1": {"right": 80, "u": 20}, "fall q3": {"right": 80, "x": 20}}

    assert shares(questions, given, "q1", "u")["fall"]["A"] > 0.8


def test_few_answers_on_one_side_move_shares_a_little() -> None:
    """One student on the parting question is no knowledge: A gets most of u, B keeps a part."""
    given = {"fall q1": HALF, "fall q3": {"right": 4, "a": 1}}
    parts = shares(PARTED, given, "q1", "u")["fall"]

    assert 0.5 < parts["A"] < 0.85
    assert parts["B"] > 0.15


def test_semesters_do_not_contradict_each_other() -> None:
    """Two students for A in fall, two for B in spring: neither semester decides for itself."""
    asked = {"q1": HALF, "q2": {"right": 78, "v": 22}}
    given = {f"{term} {name}": answers for term in ("fall", "spring")
             for name, answers in asked.items()}  # fmt: skip
    given |= {"fall q3": {"right": 8, "a": 2}, "spring q3": {"right": 8, "b": 2}}
    parts = shares(PARTED, given, "q1", "u")

    assert min(of_term[error] for of_term in parts.values() for error in "AB") > 0.2
    assert abs(parts["fall"]["A"] - parts["spring"]["A"]) < 0.5


def test_a_semester_without_the_parting_question_follows_the_one_with_it() -> None:
    """The same questions otherwise: what fall tells of A and B holds in spring."""
    shown = {"right": 78, "u": 22}
    given = {"fall q1": shown, "spring q1": shown, "fall q3": {"right": 78, "a": 22}}
    parts = shares(PARTED, given, "q1", "u")

    assert min(of_term["A"] for of_term in parts.values()) > 0.8


@pytest.mark.parametrize("term", ["fall", "spring"])
def test_three_errors_alike_share_alike_in_each_semester(term: str) -> None:
    questions = {"q1": {"A": "u", "B": "u", "C": "u"}}
    given = {"fall q1": {"right": 45, "u": 15}, "spring q1": {"right": 50, "u": 10}}
    parts = shares(questions, given, "q1", "u")[term]

    assert [parts[error] for error in "ABC"] == pytest.approx([1 / 3] * 3, abs=0.01)
