"""Print, then read: the value is the same in every notation."""

from __future__ import annotations

import importlib.util
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.errors import BudgetExceeded
from pipeline.exact.evaluate import surd_of
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Node, letters
from pipeline.exact.values import (
    Expression,
    Number,
    Point,
    Roots,
    Value,
    number_of,
    value_key,
    value_source,
    value_words,
)
from pipeline.reading.answer import read_answer
from pipeline.reading.records import ReadingContext


def _beside(name: str) -> ModuleType:
    path = Path(__file__).with_name(f"{name}.py")
    spec = importlib.util.spec_from_file_location(f"reading_{name}", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


PRINTERS, DRAWN = _beside("printers"), _beside("conftest")


def value_of(tree: Node) -> Value:
    return Expression(tree) if letters(tree) else number_of(tree)


def first_key(text: str) -> str:
    read = read_answer(text)
    assert read.readings, f"{text!r} is unread: {read.reason}"
    return value_key(read.readings[0].value)


@pytest.mark.parametrize("notation", ["plain", "unicode_text", "latex", "mathml"])
@settings(max_examples=150)
@given(tree=st.one_of(DRAWN.expressions(), DRAWN.numbers()))
def test_reads_back_what_was_printed(notation: str, tree: Node) -> None:
    printer: Callable[[Node], str] = getattr(PRINTERS, notation)
    try:
        expected = value_key(value_of(tree))
    except BudgetExceeded:
        return
    text = printer(tree)
    if len(text) <= 2000:
        assert first_key(text) == expected


@settings(max_examples=150)
@given(tree=st.one_of(DRAWN.expressions(), DRAWN.numbers()))
def test_source_and_words_are_read_back(tree: Node) -> None:
    try:
        value = value_of(tree)
        expected = value_key(value)
    except BudgetExceeded:
        return
    assert first_key(value_source(value)) == expected
    assert first_key(value_words(value)) == expected


@given(st.lists(DRAWN.surds(), min_size=2, max_size=4))
def test_lists_and_points_are_read_back(members: list[Surd]) -> None:
    roots = Roots(tuple(Number.exactly(member) for member in members))
    read = read_answer(value_source(roots), ReadingContext(kind="roots"))
    assert value_key(read.readings[0].value) == value_key(roots)
    assert first_key("; ".join(value_words(member) for member in roots.members)) == value_key(roots)
    point = Point(roots.members[:2])
    assert first_key(value_source(point)) == value_key(point)


@given(DRAWN.surds(), DRAWN.surds())
def test_numbers_are_equal_exactly_when_their_keys_are(first: Surd, second: Surd) -> None:
    keys = value_key(Number.exactly(first)), value_key(Number.exactly(second))
    assert (keys[0] == keys[1]) == (first == second)


@given(DRAWN.surds(), DRAWN.surds())
def test_a_number_reached_in_two_ways_has_one_key(first: Surd, second: Surd) -> None:
    one = value_key(Number.exactly((first + second) * (first - second)))
    other = value_key(Number.exactly(first * first - second * second))
    assert one == other


@given(DRAWN.numbers())
def test_an_exact_value_agrees_with_its_tree(tree: Node) -> None:
    try:
        value = surd_of(tree)
    except BudgetExceeded:
        return
    if value is not None:
        assert value_key(Number(value, tree)) == value_key(Number.exactly(value))


@pytest.mark.parametrize(("text", "key"), [("-x/1*0", "0"), ("3x + x/2*0", "3*x")])
def test_a_second_reading_that_divides_by_zero_leaves_the_first(text: str, key: str) -> None:
    assert [value_key(one.value) for one in read_answer(text).readings] == [key]
