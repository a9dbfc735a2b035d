"""Lines of shown working: what equation, statement or side calculation each of them is."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from pipeline.errors import BudgetExceeded
from pipeline.exact.evaluate import surd_of
from pipeline.exact.trees import Node, PlusMinus, Relation, holds, letters
from pipeline.exact.values import Statement
from pipeline.reading.answer import read_answer
from pipeline.reading.items import expression_of, relation_of
from pipeline.reading.letter_products import spelled_apart
from pipeline.reading.normalise import normalised
from pipeline.reading.records import MAX_VALUES, Notes, ReadingContext, Unread
from pipeline.reading.signs import both_signs
from pipeline.reading.splitting import split_at
from pipeline.reading.tokens import Token, tokens_of

MOST_LINES: Final = 60
"""Lines of working that are read; nobody shows more for one question."""
_SEPARATORS: Final = frozenset({";", "\n", "or", "and", "&", ","})
_LEADING: Final = re.compile(
    r"^(?:\s*(?:⇒|⟹|→|⇔|∴|=>|->|so|then|therefore|thus|hence|\d{1,2}[.)](?=\s))\s*:?\s*)+",
    re.IGNORECASE,
)
_ORDER: Final = re.compile(r"[<>≤≥≠!]|\\[lgn]eq?")
_IMPLIES: Final = re.compile(r"⇒|⟹|⇔|=>|\\Rightarrow|\\implies")


@dataclass(frozen=True, slots=True)
class Line:
    """One statement of the working.

    Args:
        number: the student's line, from 1, blank lines counted.
        text: as typed.
        relations: equations joined by "or" (or a comma), plus-minus signs kept.
        expression: the expression that a line without a relation states.
        statement: a statement such as "no real solution".
    """

    number: int
    text: str
    relations: tuple[Relation, ...] = ()
    expression: Node | None = None
    statement: Statement | None = None

    def alternatives(self) -> Iterator[Relation]:
        """Yield its equations with each plus-minus sign taken both ways."""
        for relation in self.relations:
            for one in both_signs(relation):
                if isinstance(one, Relation):
                    yield one

    @property
    def has_both_signs(self) -> bool:
        """Whether a plus-minus sign is written."""
        return any(holds(relation, PlusMinus) for relation in self.relations)


def lines_of(
    work: str, context: ReadingContext, of_expression: bool = False
) -> tuple[tuple[Line, ...], tuple[int, ...]]:
    """Split shown working into statements, and name the lines that cannot be read.

    Lines end at newlines, or at ` | ` when every piece between these reads alone, or is words.
    Several statements of one line, joined by an arrow, share its number.

    Args:
        work: what the student typed.
        context: what the question tells.
        of_expression: whether the problem is an expression, which `= 3x + 6 - 4x = -x + 6` goes on
            from twice.
    """
    texts = texts_of(work, context)
    found: list[Line] = []
    unread: list[int] = []
    for number, text in enumerate(texts[:MOST_LINES], start=1):
        for part in _statements(text, of_expression):
            line = read_line(number, part, context, found[-1] if found else None)
            if line is not None:
                found.append(line)
            elif number not in unread:
                unread.append(number)
    return tuple(found), tuple(unread)


def texts_of(work: str, context: ReadingContext) -> list[str]:
    """Return the lines of shown working as typed."""
    texts = work.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if len(texts) == 1:
        pieces = work.split(" | ")
        if all(_stands_alone(piece, context) for piece in pieces):
            return pieces
    return texts


def _stands_alone(piece: str, context: ReadingContext) -> bool:
    """Whether a piece is blank, a line that reads, or words such as `subtract 7`."""
    told = re.search(r"[A-Za-z]{4}", piece) and not re.search(r"[=<>≤≥]", piece)
    return not piece.strip() or bool(told) or read_line(1, piece, context, None) is not None


def _statements(text: str, of_expression: bool) -> list[str]:
    """Cut a line at arrows, and at equals signs where it goes on from an expression."""
    parts = [part for part in _IMPLIES.split(text) if part.strip()]
    return [piece for part in parts for piece in (_chain(part) if of_expression else [part])]


def _chain(part: str) -> list[str]:
    if not part.lstrip(" $").startswith("=") or _ORDER.search(part):
        return [part]
    pieces = [piece for piece in part.split("=") if piece.strip(" $")]
    return pieces if len(pieces) <= MAX_VALUES else [part]


def read_line(number: int, text: str, context: ReadingContext, before: Line | None) -> Line | None:
    """Read one statement; None when it cannot be read.

    A line that starts with an equals sign goes on from the left side of the line before, the
    first one from the problem.
    """
    try:
        plain = _LEADING.sub("", normalised(text, [])).strip()
        if plain.startswith("="):
            return _continued(number, text, plain[1:], context, before)
        tokens = tokens_of(spelled_apart(plain, context), context.letters)
        return _line(number, text, tokens, context) or _stated(number, text, context)
    except Unread:
        return _stated(number, text, context)
    except (BudgetExceeded, ArithmeticError, ValueError, RecursionError):
        return None


def _stated(number: int, text: str, context: ReadingContext) -> Line | None:
    read = read_answer(text, context)
    value = read.readings[0].value if read.readings else None
    return Line(number, text, statement=value) if isinstance(value, Statement) else None


def _continued(
    number: int, text: str, rest: str, context: ReadingContext, before: Line | None
) -> Line | None:
    line = read_line(number, rest, context, None)
    if line is None or line.statement is not None:
        return None
    if before is None or not before.relations:
        return replace(line, text=text)
    left = before.relations[0].sides[0]
    if line.expression is not None:
        return Line(number, text, (Relation((left, line.expression), ("=",)),))
    chain = line.relations[0]
    return Line(number, text, (Relation((left, *chain.sides), ("=", *chain.signs)),))


def _line(number: int, text: str, tokens: list[Token], context: ReadingContext) -> Line | None:
    notes = Notes(context)
    relations: list[Relation] = []
    for item in split_at(tokens, _SEPARATORS):
        relation = relation_of(item.tokens, notes)
        if relation is None:
            tree = _with_value(expression_of(item.tokens, notes))
            if not relations:
                return Line(number, text, expression=tree) if len(tokens) else None
            relation = Relation((relations[-1].sides[0], tree), ("=",))
        for side in relation.sides:
            _with_value(side)
        relations.append(relation)
    return Line(number, text, tuple(relations)) if relations else None


def _with_value(tree: Node) -> Node:
    """Return a tree that has a value.

    Raises:
        ZeroDivisionError: something is divided by zero.
        BudgetExceeded: the value has too many digits.
    """
    if not letters(tree):
        surd_of(tree)
    return tree


def is_true_calculation(relation: Relation, unknown: str) -> bool | None:
    """Whether a chain of equal numbers is true; None when it holds an unknown.

    A letter that merely names the result, as in `D = 25 - 24 = 1`, is passed over.
    """
    first = relation.sides[0]
    named = letters(first) and unknown not in letters(first) and len(relation.sides) > 2
    sides = relation.sides[1:] if named else relation.sides
    if any(letters(side) for side in sides) or set(relation.signs) != {"="}:
        return None
    try:
        values = {surd_of(side) for side in sides}
    except ZeroDivisionError:
        return None
    return None if None in values else len(values) == 1
