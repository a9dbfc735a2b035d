"""The record, its batch form, its words, and what a request may say."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from pipeline.errors import UsageError
from pipeline.explain import FIELDS, all_patterns, one_pattern, record, stream, words
from pipeline.patterns.catalogue import catalogue

ASKED = {"task": "solve", "problem": "x^2 + 10x = 11", "answer": "-1, -9"}


def test_a_record_has_the_fields_of_the_contract() -> None:
    found = record(ASKED)

    assert list(found) == [
        "verdict",
        "read_as",
        "value",
        "readings",
        "patterns",
        "unexplained",
        "first_wrong_line",
        "reason",
    ]
    assert list(found["patterns"][0]) == ["id", "share", "faults", "says"]
    assert found["value"] == "[-1, -9]"
    assert found["readings"][0] == "[-1, -9]"


def test_shares_have_six_decimals_and_sum_to_one() -> None:
    found = record(ASKED)
    shares = [one["share"] for one in found["patterns"]]

    assert all(share == round(share, 6) for share in shares)
    assert sum(shares) + found["unexplained"] == pytest.approx(1, abs=1e-9)


def test_an_unreadable_answer_has_nulls() -> None:
    found = record({**ASKED, "answer": "<script>"})

    assert found["verdict"] == "unreadable"
    assert (found["read_as"], found["value"], found["readings"]) == (None, None, [])
    assert found["reason"]


def test_a_batch_keeps_its_order_and_a_bad_line_does_not_stop_it() -> None:
    lines = [
        json.dumps(ASKED),
        "not json",
        json.dumps({"task": "juggle", "problem": "x = 1", "answer": "1"}),
        json.dumps([1, 2]),
        json.dumps({**ASKED, "colour": "red"}),
        "",
        json.dumps({**ASKED, "answer": "1, -11"}),
    ]
    found = [json.loads(line) for line in stream(lines)]

    assert [next(iter(one)) for one in found] == [
        "verdict", "error", "error", "error", "error", "error", "verdict",
    ]  # fmt: skip
    assert "line 2" in found[1]["error"]
    assert "juggle" in found[2]["error"]
    assert "colour" in found[4]["error"]
    assert "blank" in found[5]["error"]
    assert found[6]["verdict"] == "right"


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"task": "juggle"}, "square-constant"),
        ({"answer": None}, "answer"),
        ({"problem": None}, "problem"),
        ({"numbers": "octonions"}, "complex"),
        ({"method": "guessing"}, "complete-square"),
        ({"form": "pretty"}, "pretty"),
        ({"answer": 3}, "text"),
    ],
)
def test_a_wrong_request_is_told_the_way_out(change: dict[str, object], told: str) -> None:
    with pytest.raises(UsageError, match=told):
        record({**ASKED, **change})


@pytest.mark.parametrize("task", ["compare", "read"])
def test_two_tasks_need_no_problem(task: str) -> None:
    asked = {"task": task, "answer": "3", "key": "3"}

    assert record(asked)["verdict"] == ("right" if task == "compare" else "no-key")


@pytest.mark.parametrize("task", ["compare", "judge"])
def test_without_a_key_there_is_no_verdict_but_a_reason(task: str) -> None:
    found = record({"task": task, "problem": "x + 1 = 4", "answer": "3"})

    assert (found["verdict"], found["value"]) == ("no-key", "3")
    assert found["reason"] == "no key was given"


def test_words_say_verdict_candidates_and_cautions() -> None:
    text = "\n".join(words(ASKED))

    assert "Read as: −1 or −9" in text
    assert "Verdict: wrong" in text
    assert "half-not-squared" in text
    assert "no known error fits" in text
    assert "not the person" in text


def test_words_for_a_right_answer_name_no_pattern() -> None:
    text = "\n".join(words({**ASKED, "answer": "1, -11"}))

    assert "Verdict: right" in text
    assert not any(one.id in text for one in catalogue())


def test_control_characters_do_not_reach_the_terminal() -> None:
    text = "\n".join(words({**ASKED, "answer": "\x1b[31m3"}))

    assert "\x1b" not in text


def test_the_catalogue_lists_every_pattern() -> None:
    text = "\n".join(all_patterns())

    assert all(f"  {one.id}: " in text for one in catalogue())


def test_one_pattern_shows_its_source_and_examples() -> None:
    text = "\n".join(one_pattern("half-not-squared"))

    assert "Source:" in text
    assert "x^2 + 10x = 11  ->  -1, -9" in text


def test_an_unknown_pattern_names_close_ones() -> None:
    with pytest.raises(UsageError, match="half-not-squared"):
        list(one_pattern("half-not-square"))


def test_the_fields_are_those_of_a_request() -> None:
    assert set(FIELDS) == {
        "task", "problem", "answer", "key", "work", "numbers", "form", "method",
    }  # fmt: skip


def test_one_explanation_loads_no_heavy_library() -> None:
    code = (
        "import sys; from pipeline.explain import record;"
        f"record({ASKED!r});"
        "heavy = {'pandas', 'altair', 'scipy', 'statsmodels', 'sympy', 'numpy', 'duckdb'};"
        "print(sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)

    assert (done.stdout, done.stderr) == ("[]\n", "")


def test_a_repeated_line_is_answered_alike_and_a_bad_one_by_its_own_number() -> None:
    line = '{"task": "solve", "problem": "x^2 = 9", "answer": "3"}'
    first, bad, again, worse = stream([line, "{", line, "{"])

    assert first == again
    assert "line 2" in bad
    assert "line 4" in worse
