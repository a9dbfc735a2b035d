"""Values of functions inside an expression, such as `(f(x + h) - f(x))/h`."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.trees import Node, replaced
from pipeline.procedures.questions import Definition, expression

_DEEPEST: Final = 4


class Called(NamedTuple):
    """An expression with a letter in the place of each value of a function.

    Args:
        frame: the expression, capital letters standing for the values.
        calls: such a letter -> name of the function, and what is put in.
    """

    frame: Node
    calls: dict[str, tuple[str, Called]]


def read_calls(text: str, known: dict[str, Definition], depth: int = 0) -> Called:
    """Read an expression in which functions stand.

    Raises:
        CannotBeWorked: it cannot be read, or functions stand too deep in one another.
    """
    if depth > _DEEPEST:
        raise CannotBeWorked("functions stand too deep in one another")
    free = iter([name for name in "ABCDEFGHJKLMNPQRSTUVW" if name not in text])
    starts = re.compile(rf"(?<![A-Za-z])([{''.join(known)}])\s*\(")
    frame, calls, place = "", {}, 0
    while (found := starts.search(text, place)) is not None:
        end = _closing(text, found.end())
        name = next(free, None)
        if name is None:
            raise CannotBeWorked("too many functions")
        calls[name] = (found[1], read_calls(text[found.end() : end], known, depth + 1))
        frame += text[place : found.start()] + f" {name} "
        place = end + 1
    return Called(expression(frame + text[place:]), calls)


def _closing(text: str, start: int) -> int:
    depth = 1
    for place in range(start, len(text)):
        depth += (text[place] == "(") - (text[place] == ")")
        if not depth:
            return place
    raise CannotBeWorked("a bracket is not closed")


def with_bodies(asked: Called, known: dict[str, Definition]) -> Node:
    """Return the expression with the rules of the functions written out."""
    values = []
    for name, (function, inner) in asked.calls.items():
        given = known[function]
        body = replaced(given.body, ((given.letter, with_bodies(inner, known)),))
        values.append((name, body))
    return replaced(asked.frame, tuple(values)) if values else asked.frame
