from __future__ import annotations

import xml.etree.ElementTree as ET
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.exact.trees import (
    Absolute,
    Call,
    Constant,
    Letter,
    Negation,
    Node,
    Numeral,
    PlusMinus,
    Power,
    Product,
    Quotient,
    Relation,
    Root,
    Sum,
)
from reports.mathml import mathml

X = Letter("x")
CORE = {"math", "mrow", "mi", "mn", "mo", "mfrac", "msqrt", "mroot", "msup", "msub"}
"""Elements of MathML Core (W3C) that the printer uses; browsers draw these without help."""


def number(value: int) -> Numeral:
    return Numeral(Fraction(value))


def plain(tree: Node) -> str:
    """The text of the element, invisible operators dropped: what a reader sees in one line."""
    text = "".join(ET.fromstring(mathml(tree)).itertext())  # noqa: S314 - our own output
    return text.replace("\u2062", "").replace("\u2061", "")


@pytest.mark.parametrize(
    ("tree", "text"),
    [
        (Sum((Power(X, number(2)), Negation(Product((number(6), X))), number(8))), "x2−6x+8"),
        (Product((number(2), Sum((X, number(1))))), "2(x+1)"),
        (Product((number(2), number(3))), "2·3"),
        (Product((X, number(3))), "x·3"),
        (Product((number(3), Negation(X))), "3(−x)"),
        (Negation(Sum((X, number(1)))), "−(x+1)"),
        (Sum((X, Negation(Sum((X, number(1)))))), "x−(x+1)"),
        (Power(Negation(X), number(2)), "(−x)2"),
        (Negation(Power(X, number(2))), "−x2"),
        (Power(Sum((X, number(1))), number(2)), "(x+1)2"),
        (Sum((number(3), PlusMinus(Root(number(21))))), "3±21"),
        (PlusMinus(number(3), -1), "∓3"),
        (Relation((X, number(3)), ("<=",)), "x≤3"),
        (Absolute(Sum((X, Negation(number(2))))), "|x−2|"),
        (Call("f", (X,)), "f(x)"),
        (Constant("oo"), "∞"),
        (Numeral(Fraction(5, 2), places=2), "2.50"),
    ],
    ids=str,
)
def test_a_tree_is_printed_as_it_was_meant(tree: Node, text: str) -> None:
    assert plain(tree) == text


def test_a_fraction_and_roots_have_their_own_elements() -> None:
    text = mathml(Quotient(Root(X), Root(X, number(3))))

    assert text == (
        "<math><mfrac><msqrt><mi>x</mi></msqrt><mroot><mi>x</mi><mn>3</mn></mroot></mfrac></math>"
    )


trees = st.recursive(
    st.one_of(st.integers(0, 99).map(number), st.sampled_from("xy&<").map(Letter)),
    lambda inner: st.one_of(
        st.lists(inner, min_size=2, max_size=3).map(lambda parts: Sum(tuple(parts))),
        st.lists(inner, min_size=2, max_size=3).map(lambda parts: Product(tuple(parts))),
        inner.map(Negation),
        inner.map(Absolute),
        inner.map(PlusMinus),
        st.builds(Quotient, inner, inner),
        st.builds(Power, inner, inner),
        st.builds(Root, inner),
    ),
    max_leaves=8,
)


@given(trees)
def test_every_tree_gives_well_formed_core_elements_with_the_right_number_of_parts(
    tree: Node,
) -> None:
    root = ET.fromstring(mathml(tree))  # noqa: S314 - our own output
    elements = list(root.iter())

    assert {element.tag for element in elements} <= CORE
    assert all(len(e) == 2 for e in elements if e.tag in {"mfrac", "msup", "mroot", "msub"})
