"""Random trees, numbers and values."""

from __future__ import annotations

import sys
from fractions import Fraction
from pathlib import Path

from hypothesis import strategies as st

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import (
    Absolute,
    Constant,
    Letter,
    Negation,
    Node,
    Numeral,
    Power,
    Product,
    Quotient,
    Root,
    Sum,
)

sys.path.insert(0, str(Path(__file__).parent))

rationals = st.fractions(min_value=-99, max_value=99, max_denominator=24)


@st.composite
def surds(draw: st.DrawFn) -> Surd:
    value = Surd.of(draw(rationals))
    for radicand in draw(st.lists(st.sampled_from([2, 3, 5, 6, -1, -3, 22]), max_size=2)):
        root = Surd.root_of(radicand)
        assert root is not None
        value = value + root * draw(rationals)
    return value


def numerals() -> st.SearchStrategy[Node]:
    return st.integers(0, 40).map(lambda value: Numeral(Fraction(value)))


def _grown(inner: st.SearchStrategy[Node]) -> st.SearchStrategy[Node]:
    pairs = st.lists(inner, min_size=2, max_size=3).map(tuple)
    nonzero = st.integers(1, 12).map(lambda value: Numeral(Fraction(value)))
    return st.one_of(
        pairs.map(Sum),
        pairs.map(Product),
        inner.map(Negation),
        st.builds(Quotient, inner, nonzero),
        st.builds(Power, inner, st.integers(2, 3).map(lambda value: Numeral(Fraction(value)))),
    )


def expressions() -> st.SearchStrategy[Node]:
    leaves = st.one_of(numerals(), st.sampled_from([Letter("x"), Letter("y"), Constant("i")]))
    return st.recursive(leaves, _grown, max_leaves=8)


def numbers() -> st.SearchStrategy[Node]:
    roots = st.integers(2, 60).map(lambda value: Root(Numeral(Fraction(value))))
    cubes = st.integers(2, 30).map(lambda v: Root(Numeral(Fraction(v)), Numeral(Fraction(3))))
    leaves = st.one_of(numerals(), roots, cubes)
    grown = st.recursive(leaves, _grown, max_leaves=5)
    return st.one_of(grown, numerals().map(lambda node: Absolute(Negation(node))))
