"""Labels before an answer: `x =`, `S =`, `V(2,-3)`, `(x, y) =`; and signs of order typed apart."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Final

from pipeline.exact.evaluate import surd_of
from pipeline.exact.trees import Node, Numeral, Relation, letters
from pipeline.reading import marks
from pipeline.reading.records import ReadingContext, Unread
from pipeline.reading.splitting import RELATIONS, bracketed, levels
from pipeline.reading.tokens import Token

_TYPED: Final = frozenset({"<", ">", "=>"})


def with_order_signs(tokens: Sequence[Token], context: ReadingContext) -> Sequence[Token]:
    """Join `=` with the `<` or `>` beside it; take `=>` for ≥ where only that can be meant.

    That is so where a region is asked for and no other relation stands in the answer: elsewhere
    `=>` is an arrow. Behind a letter alone, as in `x <= -2 or x => 3`, it is ≥ there in any case.
    """
    kinds = {token.kind for token in tokens}
    if kinds.isdisjoint(_TYPED):
        return tokens
    if "," in kinds and (tokens[0].kind, tokens[-1].kind) == ("<", ">"):
        return [replace(tokens[0], kind="("), *tokens[1:-1], replace(tokens[-1], kind=")")]
    joined = _joined(tokens) if "=" in kinds else tokens
    asked = context.kind == "region" or (context.translated and context.kind == "equation")
    if not asked or "=>" not in kinds:
        return joined
    alone = all(token.kind not in RELATIONS for token in joined)
    return [
        replace(token, kind=">=")
        if token.kind == "=>" and (alone or _is_label(joined, place) or _opens(joined, place))
        else token
        for place, token in enumerate(joined)
    ]


def _opens(tokens: Sequence[Token], place: int) -> bool:
    """Whether a number follows the arrow and nothing, or a separator, stands before it."""
    starts = not place or tokens[place - 1].kind in {",", ";", "\n", "or", "and"}
    return (
        starts
        and tokens[place + 1 : place + 2] != []
        and (tokens[place + 1].kind in {"number", "-", "constant"})
    )


def _is_label(tokens: Sequence[Token], place: int) -> bool:
    """Whether a letter alone stands before an arrow."""
    if not place or tokens[place - 1].kind != "letter":
        return False
    return place == 1 or tokens[place - 2].kind in {",", ";", "\n", "or", "and"}


def _joined(tokens: Sequence[Token]) -> list[Token]:
    result: list[Token] = []
    for token in tokens:
        last = result[-1].kind if result else ""
        if len(result) > 1 and {last, token.kind} in ({"=", "<"}, {"=", ">"}):
            sign = "<=" if "<" in (last, token.kind) else ">="
            result[-1] = replace(result[-1], kind=sign, text=sign)
        else:
            result.append(token)
    return result


_TRAILING = frozenset({".", ",", ";", "\n", ":"})
_SEPARATORS = frozenset({",", ";", "or", "and", "\n"})
_LEADING = frozenset({",", ";", "\n", "=>", "->", ":", "."})
_RELATIONS = frozenset({"=", "<", ">", "<=", ">=", "!="})
_SETS = frozenset({"∅", "ℝ", "{"})


def without_label(tokens: list[Token], letters: frozenset[str] | None) -> list[Token]:
    """Drop what labels an answer without being part of its value.

    Args:
        tokens: an answer, or a problem.
        letters: those of the problem, whose indices are no labels; None in the problem itself.
    """
    tokens = _with_braces(tokens)
    if len(tokens) > 1 and tokens[-1].kind == "?" != tokens[-2].kind:
        tokens = tokens[:-1]
    while tokens and tokens[-1].kind in _TRAILING:
        tokens = tokens[:-1]
    if _ends_in_equals_sign(tokens):
        return without_label(tokens[:-1], letters)
    while tokens and tokens[0].kind in _LEADING:
        tokens = tokens[1:]
    if len(tokens) > 1 and tokens[0].kind in {"=", "~"}:
        tokens = tokens[1:]
    tokens = _with_plain_arrows(_indexed_pair(tokens, letters) if letters is not None else tokens)
    if len(tokens) < 3:
        return tokens
    relations = any(token.kind in _RELATIONS - {"="} for token in tokens[2:])
    if tokens[0].kind == "letter" and tokens[1].kind == "|" and relations:
        return without_label(tokens[2:], letters)
    return _without_set_label(_without_pair_label(tokens))


def _ends_in_equals_sign(tokens: Sequence[Token]) -> bool:
    """Whether an equals sign is left behind one value, `3 =`, `x = 3 =`; `x =` lacks its value."""
    kinds = [token.kind for token in tokens]
    if kinds[-1:] != ["="] or not _SEPARATORS.isdisjoint(kinds):
        return False
    return len(kinds) > 2 or kinds == ["number", "="]


def _with_braces(tokens: list[Token]) -> list[Token]:
    """TeX's braces around a list, as in `S = {2; 5}`, are the braces of a set."""
    if all(token.kind != marks.GROUP for token in tokens):
        return tokens
    result = list(tokens)
    opened: list[tuple[int, bool]] = []
    for place, token in enumerate(tokens):
        if token.kind == marks.GROUP:
            script = place > 0 and tokens[place - 1].kind in {"_", "^", "√", marks.END_INDEX}
            opened.append((place, script))
        elif token.kind == marks.END_GROUP and opened:
            start, script = opened.pop()
            inside = tokens[start + 1 : place]
            if not script and any(inner.kind in {",", ";", "or", "and"} for inner in inside):
                result[start], result[place] = (
                    replace(tokens[start], kind="{"),
                    replace(token, kind="}"),
                )
    return result


def _indexed_pair(tokens: list[Token], letters: frozenset[str]) -> list[Token]:
    """Turn `x1 = …`, `x_1 = …`, `x1,2 = …` and `x_{1,2} = …` into `x = …`."""
    result: list[Token] = []
    place = 0
    while place < len(tokens):
        token = tokens[place]
        result.append(token)
        place += 1
        if token.kind == "letter":
            end = _index_end(tokens, place)
            index = "".join(one.text for one in tokens[place:end] if one.kind == "number")
            if end is not None and f"{token.text}_{index}" not in letters:
                place = end
    return result


def _index_end(tokens: list[Token], place: int) -> int | None:
    """Return where an index of a label ends; None when what follows the letter is none."""
    if place >= len(tokens) or tokens[place].kind not in {"_", "number"}:
        return None
    allowed = {"number", ","}
    if tokens[place].kind == "_":
        allowed |= {"_", marks.GROUP, marks.END_GROUP, "{", "}", "(", ")"}
    while place < len(tokens) and tokens[place].kind in allowed:
        if tokens[place].kind == "number" and tokens[place].value not in {1, 2, 3, 4, 12}:
            return None
        if tokens[place].gap and tokens[place].kind != ",":
            return None
        place += 1
    return place if place < len(tokens) and tokens[place].kind in {"=", "~"} else None


def _with_plain_arrows(tokens: list[Token]) -> list[Token]:
    """Read `x -> 3` as `x = 3` and `x => 3` as `x >= 3`.

    After `A => B`, and after `A -> B` where A is an equation or inequality, only B is the answer.
    """
    result: list[Token] = []
    for place, token in enumerate(tokens):
        if token.kind == "=>":
            if _is_label(tokens, place) and not token.gap:
                result.append(Token(">=", ">=", gap=token.gap))
            else:
                result = []
        elif token.kind == "->" and _is_label(tokens, place):
            result.append(Token("=", "=", gap=token.gap))
        elif token.kind == "->" and not _RELATIONS.isdisjoint(one.kind for one in result):
            result = []
        else:
            result.append(token)
    return result


def _without_pair_label(tokens: list[Token]) -> list[Token]:
    """Drop `(x, y) =` and the letter of `V(2, -3)`, `V = (2, -3)`, `P: (2, -3)`."""
    kinds = [token.kind for token in tokens]
    if kinds[0] == "(" and ")" in kinds:
        close = kinds.index(")")
        names = kinds[1:close]
        if set(names) <= {"letter", ","} and "," in names and kinds[close + 1 : close + 2] in (
            ["="], ["∈"], [":"],
        ):  # fmt: skip
            return tokens[close + 2 :]
    if kinds[0] != "letter":
        return tokens
    start = 2 if kinds[1] in {"=", ":"} else 1
    rest = tokens[start:]
    if not _holds_pair(rest):
        return tokens
    return rest if start == 2 or tokens[0].text.isupper() else tokens


def _holds_pair(tokens: Sequence[Token]) -> bool:
    if len(tokens) < 4 or tokens[0].kind not in {"(", "[", "{"}:
        return False
    try:
        depths = levels(tokens)
    except Unread:
        return False
    comma = any(t.kind in {",", ";"} and d == 1 for t, d in zip(tokens, depths, strict=True))
    return comma and (bracketed(tokens) or any(t.kind in {"∪", "∩"} for t in tokens))


def _without_set_label(tokens: list[Token]) -> list[Token]:
    """Drop `S =` or `x =` before a set; `x ∈` stays before an interval."""
    if tokens[0].kind != "letter" or tokens[1].kind not in {"=", "∈", ":"}:
        return tokens
    if tokens[1].kind == "∈" and tokens[2].kind in {"(", "["}:
        return tokens
    if tokens[1].kind in {"∈", ":"} or tokens[2].kind in _SETS:
        return tokens[2:]
    return tokens


_FUNCTIONS: Final = frozenset("fgh")
_EQUAL: Final = frozenset({"=", "~"})
_MOST_TOKENS: Final = 40
"""Tokens of the longest name of an operation."""
_INNER: Final = r"(?:[A-Za-z]|-?\d+(?:/\d+)?)"
_CALL: Final = rf"[fgh]\((?:{_INNER}|[fgh]\({_INNER}\))\)"
_JOINED: Final = r"[fgh](?:[-+*/∘°o]|)[fgh]"
_OPERATION: Final = re.compile(
    rf"(?:[(\[]*[fgh]\([^()]+\)-[fgh]\([^()]+\)[)\]]?/\(?[^()]+\)*|{_CALL}(?:[-+*/]?{_CALL})+|[fgh]\([fgh]\({_INNER}\)\)"
    rf"|\({_JOINED}\)\({_INNER}\)|{_JOINED}(?:\({_INNER}\))?)"
)


def sides_behind_formula(
    relation: Relation, context: ReadingContext
) -> tuple[tuple[Node, ...], tuple[str, ...]] | None:
    """Return the numbers that a relation gives, with the signs between them, or None.

    Where a number is asked for, a formula in letters that the question does not use names it, and
    a true comparison with zero behind it tells its sign: `b^2 - 4ac = 25 - 16 = 9 > 0`.
    """
    if context.kind != "number":
        return None
    sides, signs = relation.sides, relation.signs
    if signs[-1] not in _EQUAL:
        if not _tells_sign(sides[-2], signs[-1], sides[-1]):
            return None
        sides, signs = sides[:-1], signs[:-1]
    if not set(signs) <= _EQUAL:
        return None
    if _is_formula(sides[-1], context) and not letters(sides[0]):
        sides, signs = sides[::-1], signs[::-1]
    named = _is_formula(sides[0], context)
    if named:
        sides, signs = sides[1:], signs[1:]
    changed = named or len(sides) + 1 == len(relation.sides)
    return (sides, signs) if changed and sides and not any(map(letters, sides)) else None


def _is_formula(side: Node, context: ReadingContext) -> bool:
    return not letters(side) <= context.letters


def _tells_sign(side: Node, sign: str, zero: Node) -> bool:
    """Whether a number is compared with zero, and truly."""
    if letters(side) or not isinstance(zero, Numeral) or zero.value:
        return False
    number = surd_of(side)
    if number is None or not number.is_real:
        return False
    order = number.real_sign()
    return bool((order < 0 and "<" in sign) or (order > 0 and ">" in sign))


def without_operation_name(tokens: Sequence[Token], context: ReadingContext) -> Sequence[Token]:
    """Drop what only names a value: `f(g(x)) =`, `(f + g)(x) =`, `f(2x - 1) =`, `log =`."""
    if not context.functions:
        return tokens
    for place, token in enumerate(tokens[:_MOST_TOKENS]):
        if token.kind == "=" and _names_operation(tokens[:place], context):
            return without_operation_name(tokens[place + 1 :], context)
        if token.kind == "=":
            break
    return tokens


def _names_operation(tokens: Sequence[Token], context: ReadingContext) -> bool:
    kinds = [token.kind for token in tokens]
    if kinds == ["function"]:
        return tokens[0].text in ("log", "ln")
    called = len(kinds) > 4 and tokens[0].text in _FUNCTIONS - context.letters
    if called and bracketed(tokens[1:]):
        return True
    called_here = {one.text for one, after in pairwise(tokens) if after.kind == "("}
    if called_here & context.letters & _FUNCTIONS:
        return False
    return _OPERATION.fullmatch("".join(token.text for token in tokens)) is not None
