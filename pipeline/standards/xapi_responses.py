"""Responses and right-answer patterns of xAPI interactions: delimiters and prefixes told apart.

Source: xAPI 1.0.3 part 2, 2.4.4.1 (interaction activities); IEEE 9274.1.1 keeps the forms. What is
left after this is what a student typed, or identifiers of options.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["Parsed", "agrees", "parsed"]

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


def agrees(kind: str, patterns: Sequence[str], response: str, *, any_order: bool = False) -> bool:
    """Whether a response fits one of the patterns, all of its items, by their own rules.

    It says nothing of right and wrong: the list of patterns may be incomplete.

    Args:
        kind: the interaction type.
        patterns: `correctResponsesPattern`; an empty one fits nothing.
        response: as given.
        any_order: take no pattern's order for a rule.
    """
    given = parsed(kind, response)
    return any(_fits(kind, parsed(kind, one), given, any_order) for one in patterns)


def _fits(kind: str, pattern: Parsed, given: Parsed, any_order: bool) -> bool:
    ordered = pattern.order_matters and not any_order and kind not in ("choice", "matching")
    ours, theirs = _cased(pattern, pattern), _cased(given, pattern)
    if kind == "numeric":
        return bool(ours and theirs) and _in_range(ours[0][0], theirs[0][0])
    if kind != "performance":
        return ours == theirs if ordered else Counter(ours) == Counter(theirs)
    if not ordered:
        ours, theirs = tuple(sorted(ours)), tuple(sorted(theirs))
    return len(ours) == len(theirs) and all(map(_step, ours, theirs))


def _cased(one: Parsed, pattern: Parsed) -> tuple[tuple[str, ...], ...]:
    if pattern.case_matters:
        return one.values
    return tuple(tuple(part.casefold() for part in parts) for parts in one.values)


def _step(pattern: tuple[str, ...], given: tuple[str, ...]) -> bool:
    if pattern[0] != given[0]:
        return False
    asked, done = pattern[1:] or ("",), given[1:] or ("",)
    return not asked[0] or asked == done or ("[:]" in asked[0] and _in_range(asked[0], done[0]))


def _in_range(pattern: str, given: str) -> bool:
    """A number in a closed range either end of which may be open; or equal to a number."""
    number = _number(given)
    if number is None:
        return False
    if "[:]" not in pattern:
        return _number(pattern) == number
    least, most = (_number(end) for end in pattern.split("[:]", 1))
    return (least is None or least <= number) and (most is None or number <= most)


def _number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None
