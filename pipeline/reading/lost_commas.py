"""Commas that got lost, `-1/2 -7` and `(2 -3)`, and the hyphen of `1-1/4`, told by blanks."""

from __future__ import annotations

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
from pipeline.reading.items import Notes, expression_of
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
