"""Problem texts with a syntax of their own, taken apart into points, expressions and relations."""

from __future__ import annotations

import re
from typing import NamedTuple

from pipeline.errors import CannotBeWorked, UnreadableProblem
from pipeline.exact.evaluate import surd_of
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Node, Relation
from pipeline.reading.normalise import normalised
from pipeline.reading.problems import read_as
from pipeline.reading.records import Unread

_DEFINITION = re.compile(r"\s*([A-Za-z])\s*\(\s*([A-Za-z])\s*\)\s*=\s*(.+?)\s*$")


class Definition(NamedTuple):
    """A function: f(x) = body."""

    name: str
    letter: str
    body: Node


def plain_text(text: str) -> str:
    """Return a problem text in the reader's notation.

    Raises:
        CannotBeWorked: it cannot be read.
    """
    try:
        return normalised(text, []).strip()
    except Unread as error:
        raise CannotBeWorked(f"the problem cannot be read: {error}") from error


def expression(text: str) -> Node:
    """Read an expression.

    Raises:
        CannotBeWorked: it is none.
    """
    tree = _read(text)
    if isinstance(tree, Relation):
        raise CannotBeWorked(f"an expression was expected, not {text!r}")
    return tree


def relation(text: str) -> Relation:
    """Read an equation or inequality.

    Raises:
        CannotBeWorked: it is none.
    """
    tree = _read(text)
    if not isinstance(tree, Relation):
        raise CannotBeWorked(f"an equation was expected, not {text!r}")
    return tree


def _read(text: str) -> Node:
    try:
        return read_as(text).tree
    except UnreadableProblem as error:
        raise CannotBeWorked(str(error)) from error


def number(text: str) -> Surd:
    """Read a number.

    Raises:
        CannotBeWorked: it is none.
    """
    found = surd_of(expression(text))
    if found is None:
        raise CannotBeWorked(f"a number was expected, not {text!r}")
    return found


def points_of(text: str) -> list[tuple[Surd, Surd]]:
    """Return the points (x, y) of a text, in order.

    Raises:
        CannotBeWorked: a coordinate is no number.
    """
    pairs = [pair for group in _groups(text) if len(pair := _at_commas(group)) == 2]
    return [(number(one), number(two)) for one, two in pairs]


def _groups(text: str) -> list[str]:
    """Return what stands in outermost brackets."""
    found, depth, start = [], 0, 0
    for place, character in enumerate(text):
        if character == "(":
            depth += 1
            start = place + 1 if depth == 1 else start
        elif character == ")" and depth:
            depth -= 1
            if not depth:
                found.append(text[start:place])
    return found


def _at_commas(text: str) -> list[str]:
    """Cut at the commas outside of brackets."""
    parts, depth = [""], 0
    for character in text:
        depth += (character == "(") - (character == ")")
        if character == "," and not depth:
            parts.append("")
        else:
            parts[-1] += character
    return parts


def definition(text: str) -> Definition | None:
    """Read `f(x) = body`; None where the text is none."""
    found = _DEFINITION.match(text)
    return Definition(found[1], found[2], expression(found[3])) if found else None
