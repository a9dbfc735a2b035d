"""Reading never raises, never hangs, and stays within its budgets, whatever was typed."""

from __future__ import annotations

import ast
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import pipeline
from pipeline.exact.values import Roots
from pipeline.reading import counts
from pipeline.reading.answer import read_answer
from pipeline.reading.characters import harmless
from pipeline.reading.records import (
    MAX_DEPTH,
    MAX_DIGITS,
    MAX_EXPONENT,
    MAX_LENGTH,
    MAX_PLUS_MINUS,
    MAX_READINGS,
    MAX_TOKENS,
    MAX_VALUES,
    MAX_WORDS,
    ReadAnswer,
)

SYMBOLS = "0123456789xyzij +-*/^=<>()[]{}|,;.±√∞∪²½−≤≥\\frac{}$&lt;%!?'\"_:πℝ∅≠\n\ue000\ue003"
WORDS = st.sampled_from(
    ["sqrt", "or", "and", "\\frac", "\\sqrt", "x", "=", "no", "real", "solution", "±", "(", ")",
     "<math>", "<mn>", "</mn>", "</math>", "&le;", "<sup>", "%20", "1,234", "3,5", "1/2", "not",
     "is", "all", "except", "between", "Interval(", "Rational(", "Union(", "Eq(", "[", "]",
     "\\over"]
)  # fmt: skip


def is_read_or_has_a_reason(read: ReadAnswer, text: str) -> None:
    assert read.raw == text
    assert bool(read.readings) != bool(read.reason)


@settings(max_examples=400)
@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    is_read_or_has_a_reason(read_answer(text), text)


@settings(max_examples=600)
@given(st.text(alphabet=SYMBOLS, max_size=40))
def test_any_signs_of_algebra_are_read_or_refused(text: str) -> None:
    is_read_or_has_a_reason(read_answer(text), text)


@settings(max_examples=400)
@given(st.lists(WORDS, max_size=12).map(" ".join))
def test_any_words_of_answers_are_read_or_refused(text: str) -> None:
    is_read_or_has_a_reason(read_answer(text), text)


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("x" * (MAX_LENGTH + 1), id="length"),
        pytest.param("(" * (MAX_DEPTH + 1) + "3" + ")" * (MAX_DEPTH + 1), id="depth of brackets"),
        pytest.param("-" * 201 + "3", id="depth of signs"),
        pytest.param("√" * 150 + "3", id="depth of roots"),
        pytest.param("2^" * 120 + "2", id="depth of exponents"),
        pytest.param("7" * (MAX_DIGITS + 1), id="digits typed"),
        pytest.param("9^9^9", id="digits computed"),
        pytest.param("1e99999", id="exponent notation"),
        pytest.param(f"x^{MAX_EXPONENT + 1}", id="exponent"),
        pytest.param(", ".join(map(str, range(2, MAX_VALUES + 3))), id="values"),
        pytest.param("1" + "±1" * (MAX_PLUS_MINUS + 1), id="plus-minus signs"),
        pytest.param("1+" * (MAX_TOKENS // 2) + "11", id="tokens"),
        pytest.param("maybe " * (MAX_WORDS + 1) + "3", id="words"),
    ],
)
def test_what_is_over_a_budget_is_refused_as_too_large(text: str) -> None:
    read = read_answer(text)
    assert read.readings == ()
    assert read.reason is not None
    assert read.reason.startswith("too large")


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("x^100", id="exponent"),
        pytest.param("2^1000", id="digits"),
        pytest.param("(" * 40 + "3" + ")" * 40, id="depth"),
        pytest.param(", ".join(map(str, range(2, MAX_VALUES + 2))), id="values"),
        pytest.param("1±2±3±4", id="plus-minus signs"),
    ],
)
def test_what_is_within_the_budgets_is_read(text: str) -> None:
    assert read_answer(text).readings


@pytest.mark.parametrize(
    "piece",
    ["\n", "\n3", " \t", "zero ", "no ", "÷", "°", "\\", "1 xx ", "5 and ", "½", "(±)", "x = "],
)
def test_repetition_does_not_hang(piece: str) -> None:
    text = (piece * MAX_LENGTH)[:MAX_LENGTH]
    is_read_or_has_a_reason(read_answer(text), text)


def test_no_more_readings_are_kept_than_the_budget_allows() -> None:
    read = read_answer("-3^2+1/2x-2√5x/7x+8%+3!")
    assert 1 < len(read.readings) <= MAX_READINGS


def test_several_signs_vary_together_and_apart() -> None:
    together, apart = (reading.value for reading in read_answer("±1±10").readings)
    assert isinstance(together, Roots)
    assert isinstance(apart, Roots)
    assert (len(together.members), len(apart.members)) == (2, 4)


def test_a_million_characters_are_refused_unseen() -> None:
    text = "(x+1)" * 200_000
    start = time.process_time()
    read = read_answer(text)
    assert time.process_time() - start < 0.05
    assert read.reason == "too large: more than 2,000 characters"


FORBIDDEN_CALLS = {"eval", "exec", "sympify", "parse_expr", "compile", "__import__", "S"}


def test_no_source_file_evaluates_text() -> None:
    """No call of eval, exec, sympify or parse_expr anywhere in the program."""
    root = Path(pipeline.__file__).parent
    found = [
        f"{path.name}:{node.lineno}"
        for path in sorted(root.rglob("*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and _called(node) in FORBIDDEN_CALLS
    ]
    assert found == []


def _called(node: ast.Call) -> str:
    """The bare name of what is called; `re.compile` and other methods named compile are fine."""
    if isinstance(node.func, ast.Name):
        return node.func.id
    if isinstance(node.func, ast.Attribute) and node.func.attr in {"sympify", "parse_expr", "eval"}:
        return node.func.attr
    return ""


def test_control_codes_are_harmless_on_a_terminal() -> None:
    shown = harmless("x\x1b[31m = 3\x07\u202e\ud800\n")
    assert shown == "x\\x1b[31m = 3\\x07\\u202e\\ud800\\x0a"
    assert harmless("√2 − ½") == "√2 − ½"
    assert harmless("7" * 300, limit=5) == "77777…"


@pytest.mark.parametrize(
    "text", ["\\\u202e3", "\u202eabcdefg", "x\x9b31m", "\x1b]0;x\x07", "<\u202em>"]
)
def test_a_reason_prints_as_it_stands(text: str) -> None:
    read = read_answer(text)
    assert read.readings == ()
    assert read.reason
    assert read.reason.isprintable()


def test_a_number_said_behind_an_answer_is_looked_for_in_its_last_words_alone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """However wide the blanks and long the answer, as many texts are tried as for a short one."""
    tried: list[str] = []
    monkeypatch.setattr(counts, "count_of", tried.append)
    for text in ("7" + " " * 5000 + "a solution", "7, " * 2000 + "no real solution", "no " * 2000):
        counts.beside_count(text)

    assert len(tried) <= 3 * 20
