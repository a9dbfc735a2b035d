"""Responses and right-answer patterns of xAPI interactions: delimiters and prefixes told apart.

Source: xAPI 1.0.3 part 2, 2.4.4.1 (interaction activities); IEEE 9274.1.1 keeps the forms. What is
left after this is what a student typed, or identifiers of options.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

_PREFIX = re.compile(r"\{(case_matters|order_matters|lang)=([^{}]*)\}")
_LISTS = ("choice", "sequencing", "fill-in", "long-fill-in", "matching", "performance")
_PAIRS = ("matching", "performance")
_TYPED = ("fill-in", "long-fill-in", "performance")


@dataclass(frozen=True, slots=True)
class Parsed:
    """A response or one pattern, apart from its delimiters and prefixes.

    Args:
        values: its items; a pair, or a step with its response, is one item with two parts.
        order_matters: whether a pattern asks for its order; true where nothing is said.
        case_matters: whether a pattern tells upper from lower case; false where nothing is said.
    """

    values: tuple[tuple[str, ...], ...]
    order_matters: bool = True
    case_matters: bool = False


def parsed(kind: str, text: str) -> Parsed:
    """Take a response or a pattern apart.

    Args:
        kind: the interaction type; "" where it is not said, which is read as `other`.
        text: as written, such as `{order_matters=false}3[,]2`.
    """
    bare, said = _without_prefixes(text) if kind in (*_TYPED, "") else (text, {})
    items = bare.split("[,]") if kind in _LISTS else [bare]
    values = []
    for item in items:
        inner = _without_prefixes(item)[0] if kind in _TYPED else item
        parts = inner.split("[.]", 1) if kind in _PAIRS else [inner]
        values.append(tuple(part.strip() for part in parts))
    if values == [("",)]:
        values = []
    return Parsed(
        tuple(values),
        order_matters=said.get("order_matters") != "false",
        case_matters=said.get("case_matters") == "true",
    )


def _without_prefixes(text: str) -> tuple[str, dict[str, str]]:
    said: dict[str, str] = {}
    bare = text.lstrip()
    while found := _PREFIX.match(bare):
        said[found[1]] = found[2].strip().casefold()
        bare = bare[found.end() :].lstrip()
    return bare if said else text, said


def only_order_differs(kind: str, patterns: Sequence[str], response: str) -> bool:
    """Whether a typed response fits no pattern, and would if none of them minded the order.

    It says nothing of right and wrong: the list of patterns may be incomplete.

    Args:
        kind: the interaction type; of others than fill-in, nobody types a list.
        patterns: `correctResponsesPattern`.
        response: as given.
    """
    if kind not in ("fill-in", "long-fill-in"):
        return False
    given = parsed(kind, response)
    pairs = [_cased(parsed(kind, one), given) for one in patterns]
    unordered = (Counter(ours) == Counter(theirs) for _, ours, theirs in pairs)
    fits = (
        ours == theirs if minds_order else Counter(ours) == Counter(theirs)
        for minds_order, ours, theirs in pairs
    )  # fmt: skip
    return any(unordered) and not any(fits)


_Items = tuple[tuple[str, ...], ...]


def _cased(pattern: Parsed, given: Parsed) -> tuple[bool, _Items, _Items]:
    """Whether a pattern minds the order, its items and those given, alike in case if it may be."""
    if pattern.case_matters:
        return pattern.order_matters, pattern.values, given.values
    ours, theirs = (
        tuple(tuple(part.casefold() for part in parts) for parts in one.values)
        for one in (pattern, given)
    )
    return pattern.order_matters, ours, theirs
