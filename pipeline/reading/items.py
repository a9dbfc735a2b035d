"""One item of an answer: an expression, a pair in brackets, or a relation."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.exact.trees import Call, Letter, Negation, Node, Numeral, Relation, letters, replaced
from pipeline.reading import marks
from pipeline.reading.cursor import CURRENCY
from pipeline.reading.grammar import Parser
from pipeline.reading.records import Notes, Unread
from pipeline.reading.signs import check_tree
from pipeline.reading.splitting import RELATIONS, split_at
from pipeline.reading.tokens import Token

_GROUPS = frozenset({marks.GROUP, marks.END_GROUP})
_UNIT_LETTERS = frozenset("mshgLVWNJ")
_NAMES_OF_FUNCTIONS = frozenset("fgh")


def expression_of(tokens: Sequence[Token], notes: Notes) -> Node:
    """Read tokens as one expression, a unit at its end set aside.

    Raises:
        Unread: the tokens are no expression.
    """
    _refuse_unknown_functions(tokens, notes)
    node = Parser(without_unit(tokens, notes), notes).whole()
    check_tree(node)
    return _with_known_letters(node, notes)


def _refuse_unknown_functions(tokens: Sequence[Token], notes: Notes) -> None:
    """Refuse `f(x)` and `f(g(x))`: nobody can tell their values.

    Raises:
        Unread: a function of the question stands in an expression.
    """
    for place, token in enumerate(tokens[:-3]):
        if token.text in _NAMES_OF_FUNCTIONS and token.text not in notes.context.letters:
            opening, name, closing = tokens[place + 1 : place + 4]
            called = opening.kind == "(" and not opening.gap and name.kind == "letter"
            nested = name.text in _NAMES_OF_FUNCTIONS and closing.kind == "("
            if called and (closing.kind == ")" or nested):
                raise Unread("a function whose rule the answer does not give")


def without_unit(tokens: Sequence[Token], notes: Notes) -> list[Token]:
    """Drop a unit such as `ft`, `lb/in^2` or a currency sign behind a number."""
    kept = list(tokens)
    if len(kept) > 1 and kept[-1].kind in CURRENCY:
        kept = kept[:-1]
    if _ends_in_unit_letter(kept, notes):
        notes.remark(f"unit set aside: {kept[-1].text}")
        return kept[:-1]
    start = next((place for place, token in enumerate(kept) if token.kind == "unit"), None)
    if start is None:
        return kept
    if start == 0 or not _is_unit(kept[start:]):
        raise Unread(f"unknown word “{kept[start].text}”")
    unit = "".join(token.text for token in kept[start:] if token.kind not in _GROUPS)
    notes.remark(f"unit set aside: {unit}")
    return kept[:start]


def _ends_in_unit_letter(tokens: Sequence[Token], notes: Notes) -> bool:
    """Whether `12 m` ends in a unit: a letter set off by a blank that the question does not use.

    Where values of the question's letters are asked for, `2s` needs no blank.
    """
    if len(tokens) < 2 or tokens[-2].kind != "number":
        return False
    if tokens[-1].kind != "letter" or tokens[-1].text not in _UNIT_LETTERS:
        return False
    known = notes.context.letters
    if not tokens[-1].gap and not (known and notes.context.kind in {"number", "roots"}):
        return False
    if known or any(token.kind == "letter" for token in tokens[:-1]):
        return tokens[-1].text not in known and bool(known)
    return not notes.other_way("unit-letter")


def _is_unit(tokens: Sequence[Token]) -> bool:
    """Whether tokens are units, joined by slashes, with exponents: `lb / in ^ 2`."""
    before = ""
    for token in tokens:
        powered = before in {"^", marks.GROUP, "-"} and token.kind == "number"
        plain = token.kind in {"unit", "/", "^", "*", "letter", ".", marks.GROUP, marks.END_GROUP}
        if not (powered or plain or (token.kind == "-" and before == marks.GROUP)):
            return False
        before = token.kind
    return True


def _with_known_letters(node: Node, notes: Notes) -> Node:
    """Fold case where the problem fixes the letter."""
    known = notes.context.letters
    names = [name for name in letters(node) if name not in known and name.swapcase() in known]
    return replaced(node, tuple((one, Letter(one.swapcase())) for one in names)) if names else node


def relation_of(tokens: Sequence[Token], notes: Notes) -> Relation | None:
    """Read tokens as a chain of relations; None when no relation sign stands outside brackets.

    Raises:
        Unread: a side is missing or is no expression.
    """
    sides = split_at_relations(tokens)
    if len(sides[0]) == 1:
        return None
    signs, parts = sides
    if not all(parts):
        raise Unread("one side of an equation or inequality is missing")
    named = _function_label(parts[0])
    nodes = [named or expression_of(parts[0], notes)]
    nodes += [expression_of(part, notes) for part in parts[1:]]
    return Relation(tuple(nodes), tuple(signs[1:]))


def split_at_relations(tokens: Sequence[Token]) -> tuple[list[str], list[list[Token]]]:
    """Return the relation signs (the first is empty) and the tokens between them."""
    signs, depth = [""], 0
    parts: list[list[Token]] = [[]]
    for token in tokens:
        if token.kind in RELATIONS and depth == 0:
            signs.append(token.kind)
            parts.append([])
            continue
        depth += token.kind in {"(", "[", "{", "\ue003", "\ue000"}
        depth -= token.kind in {")", "]", "}", "\ue004", "\ue002"}
        parts[-1].append(token)
    return signs, parts


def _function_label(tokens: Sequence[Token]) -> Node | None:
    """Return `f(x)` or `f^{-1}(x)` on the left of an equals sign as a named function."""
    kinds = [token.kind for token in tokens]
    plain = [kind for kind in kinds if kind != "-"]
    if plain == ["letter", "(", "number", ")"] and tokens[0].text in set("fghFGHPp"):
        number = Numeral(tokens[-2].value)
        return Call(tokens[0].text, (Negation(number) if "-" in kinds else number,))
    if kinds == ["letter", "(", "letter", ")"] and tokens[0].text in set("fghFGHpPqyCRAVd"):
        return Call(tokens[0].text, (Letter(tokens[2].text),))
    text = "".join(token.text for token in tokens)
    if kinds[:2] == ["letter", "^"] and kinds[-3:] == ["(", "letter", ")"] and "-1" in text:
        return Call(f"{tokens[0].text}_inv", (Letter(tokens[-2].text),))
    return None


def split_inner(tokens: Sequence[Token]) -> list[Sequence[Token]]:
    """Cut the inside of brackets at commas and semicolons."""
    return [item.tokens for item in split_at(tokens, frozenset({",", ";"}))]
