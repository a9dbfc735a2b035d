"""The jobs of a comma, list, thousands, decimals, and commas that got lost: `-1/2 -7`, `(2 -3)`.

What was lost, and the hyphen of `1-1/4`, is told by blanks.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from pipeline.exact.trees import (
    Letter,
    MixedNumber,
    Node,
    Numeral,
    Product,
    Quotient,
    Relation,
    letters,
)
from pipeline.exact.values import Number, Point, Value
from pipeline.reading.brackets import numbers_of
from pipeline.reading.items import expression_of
from pipeline.reading.records import Notes, ReadingContext
from pipeline.reading.splitting import bracketed, levels
from pipeline.reading.tokens import Token


def lost_list_comma(tokens: Sequence[Token]) -> list[Sequence[Token]] | None:
    """`-1/2 -7`: two numbers, a blank before the second minus sign and none behind it."""
    kinds = [token.kind for token in tokens]
    place = len(tokens) - 2
    if place < 1 or kinds[place:] != ["-", "number"] or set(kinds[:place]) - {"-", "number", "/"}:
        return None
    if not tokens[place].gap or tokens[place + 1].gap or any(t.gap for t in tokens[1:place]):
        return None
    return [tokens[:place], tokens[place:]]


def blank_list(tokens: Sequence[Token]) -> list[Sequence[Token]] | None:
    """`2 5`, `x = -1/2 3`: numbers side by side, a blank before each and none inside.

    `1 1/2` is a mixed number, and `10 000` may be a large one.
    """
    labelled = len(tokens) > 2 and (tokens[0].kind, tokens[1].kind) == ("letter", "=")
    body = tokens[2:] if labelled else tokens
    starts = [0]
    for place, token in enumerate(body[1:], start=1):
        if token.kind not in {"number", "/", "-"}:
            return None
        if token.kind == "number" and body[place - 1].kind == "number":
            grouped = len(token.text) == 3 and len(body[place - 1].text) <= 3
            over = body[place + 1 : place + 2]
            if not token.gap or grouped or (over and over[0].kind == "/"):
                return None
            starts.append(place)
        elif token.gap:
            return None
    if len(starts) < 2 or body[0].kind not in {"number", "-"}:
        return None
    return [body[a:b] for a, b in zip(starts, [*starts[1:], len(body)], strict=True)]


def _lost_comma(tokens: Sequence[Token]) -> tuple[Sequence[Token], Sequence[Token]] | None:
    """`(2 -3)`: a blank before the minus sign and none behind it hint at a lost comma."""
    if not bracketed(tokens) or tokens[0].kind != "(":
        return None
    inner = tokens[1:-1]
    for place in range(1, len(inner) - 1):
        lone = inner[place].kind == "-" and inner[place].gap and not inner[place + 1].gap
        if lone and inner[place - 1].kind == "number" == inner[place + 1].kind and len(inner) < 6:
            return inner[:place], inner[place:]
    return None


def pairs_of_brackets(tokens: Sequence[Token]) -> list[Sequence[Token]] | None:
    """`(-2+√7) (-2-√7)`: two sums in brackets with a blank between, perhaps a list of roots."""
    depths = levels(tokens)
    closes = [p for p, depth in enumerate(depths) if depth == 1 and tokens[p].kind == ")"]
    if len(closes) != 2 or closes[1] != len(tokens) - 1:
        return None
    first, second = tokens[: closes[0] + 1], tokens[closes[0] + 1 :]
    apart = bracketed(first) and bracketed(second) and second[0].gap
    sums = all(any(t.kind in {"+", "-"} for t in part[2:]) for part in (first, second))
    return [first, second] if apart and sums else None


def _hyphenated(tokens: Sequence[Token]) -> Node | None:
    """`1-1/4` without blanks, with a proper fraction, may be a mixed number."""
    if [token.kind for token in tokens] != ["number", "-", "number", "/", "number"]:
        return None
    whole, _, above, _, below = tokens
    plain = all(token.places is None for token in (whole, above, below))
    if not plain or any(token.gap for token in tokens[1:]) or not 0 < above.value < below.value:
        return None
    fraction = Quotient(Numeral(above.value), Numeral(below.value))
    return MixedNumber((Numeral(whole.value), fraction))


def typed_without(tokens: Sequence[Token], notes: Notes) -> list[tuple[Value, str]]:
    """Return what else a number may be: a pair without its comma, a mixed number with a hyphen."""
    mixed, pair = _hyphenated(tokens), _lost_comma(tokens)
    if mixed is not None:
        return [(numbers_of(mixed)[0], "mixed-hyphen")]
    if pair is None:
        return []
    point = Point(tuple(numbers_of(expression_of(part, notes))[0] for part in pair))
    return [(point, "lost-comma")]


def run_together(relation: Relation) -> list[Number] | None:
    """Return the roots of `x=2x=5`, or None where the relation is something else."""
    sides = relation.sides
    if len(sides) != 3 or not isinstance(sides[0], Letter) or letters(sides[2]):
        return None
    middle = sides[1]
    if not isinstance(middle, Product) or middle.factors[-1] != sides[0]:
        return None
    rest = middle.factors[:-1]
    head = rest[0] if len(rest) == 1 else Product(rest)
    return None if letters(head) else [*numbers_of(head), *numbers_of(sides[2])]


_THOUSANDS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}(?:,\d{3})+(?![\d,])(?!\.\d*,)")
_DECIMAL = re.compile(r"(?<![\d.,])(\d+),(\d+)(?![\d,])")
_POINT_GROUPS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}(?:\.\d{3})+(?=,|(?!\.?\d))")
_BRACKETED = re.compile(r"[(\[{][^()\[\]{}]*[)\]}]")
_POINT = re.compile(r"\d\.\d")
_SEPARATING = re.compile(r",(?![\s,]|$)")
_PAIR = re.compile(r"\s*\(?(-?\d+,-?\d+)\)?\s*")
_BLANK_GROUPS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}(?: \d{3})+(?![\d ]*[\d/,.])")

Variant = tuple[str, str]
"""Rewritten text and the convention behind it; empty for the usual reading."""


def comma_variants(text: str, context: ReadingContext, changes: list[str]) -> list[Variant]:
    """Return the text for every legitimate job of its commas, the usual one first."""
    if _BLANK_GROUPS.search(text):
        changes.append("blanks inside a number set aside")
        text = _BLANK_GROUPS.sub(lambda found: found[0].replace(" ", ""), text)
    if "," not in text:
        return [(text, "")]
    if context.decimal_comma:
        return _of_decimal_commas(text, context)
    if any(";" in found and _DECIMAL.search(found) for found in _BRACKETED.findall(text)):
        return [(_with_points(text), ""), (text, "comma-list")]
    if _THOUSANDS.search(text) and not _only_pair(text):
        return _thousands(text)
    if "," not in _BRACKETED.sub("", text) and text.count(",") > 1:
        return [(text, "")]
    if _DECIMAL.search(_BRACKETED.sub(" ", text)) and _may_be_decimal(text):
        return _decimals(text)
    return [(text, "")]


def _of_decimal_commas(text: str, context: ReadingContext) -> list[Variant]:
    """Where commas are decimal, the only one in brackets may still separate a pair: `(3,4)`."""
    pointed = _with_points(text)
    pairs = (";" not in found and _DECIMAL.search(found) for found in _BRACKETED.findall(text))
    if not any(pairs):
        return [(pointed, "")]
    if context.kind in {"point", "region"}:
        return [(text, ""), (pointed, "comma-list")]
    return [(pointed, ""), (text, "comma-list")]


def _may_be_decimal(text: str) -> bool:
    """Whether every comma that separates has a blank behind it, and no decimal has a point.

    In `(2,-3,0)` the first comma separates without a blank, so the second one does too.
    """
    return _POINT.search(text) is None and _SEPARATING.search(_DECIMAL.sub("", text)) is None


def _with_points(text: str) -> str:
    text = _POINT_GROUPS.sub(lambda found: found[0].replace(".", ""), text)
    return _DECIMAL.sub(r"\1.\2", text)


def _only_pair(text: str) -> bool:
    """Whether the comma is the one that separates a pair in brackets."""
    return (
        text.count(",") == 1 and re.search(r"[({\[][^()\[\]]*,[^()\[\]]*[)}\]]", text) is not None
    )


def _thousands(text: str) -> list[Variant]:
    grouped = _THOUSANDS.sub(lambda found: found[0].replace(",", ""), text)
    variants = [(grouped, ""), (text, "comma-thousands")]
    if text.count(",") == 1:
        variants.append((_DECIMAL.sub(r"\1.\2", text), "comma-thousands"))
    return variants


def _decimals(text: str) -> list[Variant]:
    pointed = (_DECIMAL.sub(r"\1.\2", text), "comma-list")
    if ";" not in text or "(" in text:
        return [(text, ""), pointed]
    pieces = text.split(";")
    variants = [(pointed[0], "")]
    if all(_PAIR.fullmatch(piece) for piece in pieces):
        pairs = ";".join(_PAIR.sub(r"(\1)", piece) for piece in pieces)
        variants.append((pairs, "comma-list"))
    return [*variants, (text, "comma-list")]
