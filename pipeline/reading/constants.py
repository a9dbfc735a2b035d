"""Letters that stand for numbers: Euler's e, and the imaginary unit written I, or j.

The e is the number where logarithms stand beside it, or an exponent with a letter.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from pipeline.exact.trees import Constant, Letter, Node, letters, replaced
from pipeline.reading import marks
from pipeline.reading.records import Notes
from pipeline.reading.tokens import Token

_OPENING: Final = frozenset({"(", "[", "{", marks.GROUP})
_CLOSING: Final = frozenset({")", "]", "}", marks.END_GROUP})


def means_euler(tokens: Sequence[Token]) -> bool:
    """Whether the e of a problem is the number: beside log or ln, or as the base of e^(2x)."""
    if any(one.kind == "function" and one.text in ("log", "ln", "exp") for one in tokens):
        return True
    places = [place for place, one in enumerate(tokens) if _is_e(one)]
    return bool(places) and all(_raised_to_letter(tokens[place + 1 :]) for place in places)


def _is_e(token: Token) -> bool:
    return token.kind == "letter" and token.text == "e"


def _raised_to_letter(rest: Sequence[Token]) -> bool:
    if len(rest) < 2 or rest[0].kind != "^":
        return False
    depth = 0
    for token in rest[1:]:
        depth += (token.kind in _OPENING) - (token.kind in _CLOSING)
        if token.kind == "letter" and token.text != "e":
            return True
        if depth <= 0 and token.kind not in ("-", "+"):
            return False
    return False


def with_euler(tokens: list[Token]) -> list[Token]:
    """Put the number e in place of the letter."""
    return [replace(one, kind="constant") if _is_e(one) else one for one in tokens]


_NAMES = ("I", "j")


def with_imaginary_unit(tree: Node, notes: Notes) -> Node:
    """Read I or j as the imaginary unit where a complex number is formed, with a remark.

    That is over the complex numbers, or where no other letter occurs: I always, j in a larger
    term where no question fixes the letters. Never where the question uses the letter.
    """
    names = letters(tree) - notes.context.letters
    for name in _NAMES:
        bare = notes.context.letters or isinstance(tree, Letter)
        alone = names == {name} and (name == "I" or not bare)
        if name in names and (notes.context.complex_numbers or alone):
            return with_unit(tree, name, notes)
    return tree


def with_unit(tree: Node, name: str, notes: Notes) -> Node:
    """Put the imaginary unit in place of a letter, and say so."""
    notes.remark(f"{name} read as the imaginary unit")
    return replaced(tree, ((name, Constant("i")),))
