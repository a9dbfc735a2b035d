"""Expression tasks: printed answers are right, published wrong answers name their error."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.exact.trees import Node
from pipeline.exact.values import Expression, number_of, value_key, value_source
from pipeline.patterns.catalogue import moves
from pipeline.procedures.walk import walk
from pipeline.reading.answer import read_answer
from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine
from pipeline.tagging.predict import predictions
from pipeline.tasks.catalogue import plans, read_problem

TEXTBOOK = Path(__file__).parent.parent / "cases" / "textbook_expressions.csv"
"""OpenStax Elementary, Intermediate and College Algebra 2e, Rice University, CC BY 4.0."""
MISPRINTED = {"-2/9+(- 4/9)- 7/9": "-13/9"}
"""Problem -> the right answer, where the printed one is wrong."""


def rows() -> list[dict[str, str]]:
    with TEXTBOOK.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", rows(), ids=lambda row: f"{row['section'][:4]} {row['problem']}")
def test_printed_answer_is_right(row: dict[str, str]) -> None:
    answer = MISPRINTED.get(row["problem"], row["answer"])
    found = examine(Request(row["task"], row["problem"], answer, numbers=row["numbers"]))

    assert found.verdict is Verdict.RIGHT, found
    assert found.patterns == ()


PUBLISHED = [
    # Ashlock 2006, Error Patterns in Computation: signs and fractions
    ("evaluate", "-9+4", "13", "unlike-signs-added-as-sizes"),
    ("evaluate", "-9+4", "5", "sign-of-smaller-kept"),
    ("evaluate", "-7+(-5)", "12", "two-minuses-make-plus-in-sum"),
    ("evaluate", "-7+(-5)", "-2", "negatives-subtracted-in-sum"),
    ("evaluate", "3/4+2/5", "5/9", "fractions-added-across"),
    ("evaluate", "3/4+2/5", "5/20", "numerator-not-rescaled"),
    ("evaluate", "5*(2/7)", "10/35", "whole-number-multiplies-both-parts"),
    ("evaluate", "(2/3)/(4/5)", "6/5", "wrong-fraction-inverted"),
    ("simplify", "6/8", "3/8", "one-part-reduced"),
    # Linchevski and Livneh 1999; Linchevski and Herscovics 1996: order of operations
    ("evaluate", "5+3*4", "32", "worked-left-to-right"),
    ("evaluate", "20-6+3", "11", "minus-detached-from-term"),
    # Theba, Pournara and Takker 2024
    ("simplify", "8-3(x+2)", "5x+10", "subtracted-before-multiplying"),
    ("simplify", "x-(x+4)", "-x^2-4x", "bracket-read-as-factor"),
    # Scofield 2003, errors of calculus students
    ("simplify", "x^3*x^4", "x^12", "exponents-multiplied-in-product"),
    ("simplify", "(x^3)^4", "x^7", "exponents-added-in-power"),
    ("expand", "3(x+1)^2", "9x^2+18x+9", "distributed-before-power"),
    ("expand", "(x+2)^3", "x^3+8", "power-spread-over-sum"),
    ("simplify", "1/(x+5)", "1/x+1/5", "denominator-split"),
    # Robinson 2013, answers on powers
    ("evaluate", "4^(-2)", "-16", "negative-exponent-as-negative"),
    ("evaluate", "14^(1/2)", "7", "half-power-as-half"),
    ("evaluate", "10^(1/2)", "50", "half-power-as-times-five"),
    # OpenStax Elementary Algebra 2e, cautions in 1.9, 6.5, 7.2 to 7.4, 8.1, 9.2, 9.4
    ("expand", "-(x-5)", "-x-5", "minus-not-carried-through"),
    ("simplify", "x^8/x^2", "x^4", "exponents-divided-in-quotient"),
    ("factor", "x^2-7x+12", "(x+3)(x+4)", "factor-signs-swapped"),
    ("factor", "3x^2-12x-15", "(x-5)(x+1)", "common-factor-lost"),
    ("factor", "64-x^2", "(x-8)(x+8)", "difference-of-squares-turned-round"),
    ("simplify", "(x+6)/6", "x", "cancelled-across-sum"),
    ("simplify", "sqrt(5)+sqrt(3)", "sqrt(8)", "roots-added-under-one-root"),
    ("expand", "(x+5)^2", "x^2+25", "square-spread-over-sum"),
    # OpenStax Intermediate Algebra 2e, cautions in 7.1, 7.2, 8.8
    ("simplify", "(x-2)/(2-x)", "1", "opposites-cancelled-to-one"),
    ("simplify", "3x/(x-1)-(x-4)/(x-1)", "(2x-4)/(x-1)", "numerator-minus-first-term-only"),
    ("simplify", "sqrt(-25)*sqrt(-4)", "10", "roots-of-negatives-multiplied-first"),
]


@pytest.mark.parametrize(("task", "problem", "answer", "expected"), PUBLISHED)
def test_published_error_is_named(task: str, problem: str, answer: str, expected: str) -> None:
    found = examine(Request(task, problem, answer, numbers="complex"))

    assert expected in [one.id for one in found.patterns if len(one.faults) == 1], found


SILENT = [
    ("expand", "(x+3)(x+4)", "x^2+31x+12"),
    ("expand", "(2x-5)^2", "4x^2-20x+911"),
    ("simplify", "sqrt(50)", "17sqrt(3)"),
    ("simplify", "3/4+2/5", "91/100"),
    ("simplify", "x^4*x^7", "x^93"),
    ("evaluate", "5+3*4", "1000"),
    ("factor", "x^2-5x+6", "(x-71)(x+13)"),
    ("evaluate", "2x^2 at x=5", "777"),
]


@pytest.mark.parametrize(("task", "problem", "answer"), SILENT)
def test_an_answer_out_of_nowhere_stays_unexplained(task: str, problem: str, answer: str) -> None:
    found = examine(Request(task, problem, answer))

    assert found.verdict is Verdict.WRONG
    assert found.patterns == ()
    assert found.unexplained == 1


whole = st.integers(1, 9)
problems = st.one_of(
    st.builds("({}x + {})({}x - {})".format, whole, whole, whole, whole),
    st.builds("{}({}y - {})^2".format, whole, whole, whole),
    st.builds("{} - {}(x + {})".format, whole, whole, whole),
    st.builds("sqrt({}) + sqrt({})".format, st.integers(2, 99), st.integers(2, 99)),
    st.builds("{}/{} - {}/{}".format, whole, whole, whole, whole),
    st.builds("({}a^{}b)^{}".format, whole, whole, st.integers(2, 4)),
    st.builds("(x^2 - {})/(x - {})".format, whole, whole),
    st.builds("({} + {}i)({} - {}i)".format, whole, whole, whole, whole),
)


@settings(max_examples=60)
@given(problems)
def test_no_prediction_equals_the_right_answer(problem: str) -> None:
    found = predictions("simplify", problem, "complex")

    assert found.right.endings.isdisjoint(found.by_value)


@settings(max_examples=40)
@given(problems)
def test_the_reader_gives_a_prediction_the_same_key(problem: str) -> None:
    """A predicted wrong answer that is typed is read as the very value that was predicted."""
    read = read_problem(problem, "simplify")
    (plan,) = plans(read)
    for ending, _ in walk(plan.procedure, plan.start, moves, depth=1):
        if not isinstance(ending, Node):
            continue
        value = number_of(ending) if not read.letters else Expression(ending)
        typed = read_answer(value_source(value), read.context)

        assert value_key(typed.readings[0].value) == value_key(value)
