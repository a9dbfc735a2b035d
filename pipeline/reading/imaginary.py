"""The imaginary unit written I, or j as in engineering."""

from __future__ import annotations

from pipeline.exact.trees import Constant, Letter, Node, letters, replaced
from pipeline.reading.items import Notes

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
