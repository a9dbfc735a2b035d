"""Levels of nesting, counted and bounded, and how messages show a token."""

from __future__ import annotations

from collections.abc import Callable
from typing import Concatenate, ParamSpec, Protocol, TypeVar

from pipeline.exact.trees import Node
from pipeline.reading import marks
from pipeline.reading.budgets import MAX_DEPTH, Unread

__all__ = ["misplaced", "nested", "shown"]


class _Leveled(Protocol):
    depth: int


_Rest = ParamSpec("_Rest")
_Operand = TypeVar("_Operand", bound=_Leveled)


def nested(
    read: Callable[Concatenate[_Operand, _Rest], Node],
) -> Callable[Concatenate[_Operand, _Rest], Node]:
    """Count one level for a method that can contain itself, and refuse too many levels."""

    def counted(self: _Operand, /, *arguments: _Rest.args, **options: _Rest.kwargs) -> Node:
        self.depth += 1
        if self.depth > MAX_DEPTH:
            raise Unread("too large: more than 100 levels")
        node = read(self, *arguments, **options)
        self.depth -= 1
        return node

    counted.__doc__ = read.__doc__
    return counted


def misplaced(text: str) -> str:
    """Return the reason why nothing can be read from a token on; `the end` is that of the text."""
    if text == "the end":
        return "something is missing at the end"
    return f"“{shown(text)}” stands where it has no meaning"


def shown(text: str) -> str:
    """Return a token as a message shows it."""
    if text and marks.FIRST <= text <= marks.LAST:
        return "the end of a group"
    return "a new line" if text == "\n" else text
