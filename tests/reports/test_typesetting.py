from __future__ import annotations

import re

import pytest

from reports.typesetting import typeset


def plain(text: str) -> str:
    return re.sub(r"<[^>]+>|[\u2061\u2062]|&#82\d\d;", "", typeset(text))


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("x^2 - 6x + 8 = 0", "x2−6x+8=0"),
        ("x^2 + 10x", "x2+10x"),
        ("x = 3 or x = 1/2", "x=3 or x=12"),
        ("25", "25"),
        ("(2, -3)", "(2, −3)"),
        ("2x + y = 3; x - y = 1", "2x+y=3; x−y=1"),
        ("Vertex of y = (x - 8)^2 + 2", "Vertex of y=(x−8)2+2"),
        ("y¹²", "y12"),
        ("(3/7)/(4/3)", "37÷43"),
        ("(x/7)/(4/3)", "x743"),
    ],
)
def test_algebra_is_printed_as_mathml(text: str, shown: str) -> None:
    assert "<math>" in typeset(text)
    assert plain(text) == shown


@pytest.mark.parametrize("text", ["<b>((</b>", "[[ not algebra ((", "a & b ][", "Draw the graph"])
def test_what_cannot_be_read_stays_text_and_is_escaped(text: str) -> None:
    printed = typeset(text)

    assert "<math>" not in printed
    assert "<b>" not in printed
