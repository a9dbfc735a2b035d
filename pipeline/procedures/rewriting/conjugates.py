"""The conjugate of a complex number, where a question asks for it."""

from __future__ import annotations

import re
from typing import Final

from pipeline.exact.trees import Negation, Node, exchanged
from pipeline.procedures.places import Place
from pipeline.procedures.rewriting.canonical import canonical
from pipeline.procedures.rewriting.terms import IMAGINARY
from pipeline.procedures.walk import Walk

_ASKS: Final = re.compile(r"\bconjugate\b", re.IGNORECASE)


def asks_conjugate(text: str) -> bool:
    """Whether a question asks for the conjugate of the number in it."""
    return _ASKS.search(text) is not None


def conjugate(node: Node) -> Node:
    """Change the sign of the imaginary part."""
    return canonical(exchanged(node, IMAGINARY, Negation(IMAGINARY)))


def find_conjugate(step: Walk, node: Node) -> Node:
    """Write the conjugate down."""
    return step.do(conjugate, Place.CONJUGATE, node)
