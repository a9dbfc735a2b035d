"""Problems and answers that put words into algebra: letters, and what they stand for."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from pipeline.errors import UnreadableProblem
from pipeline.exact.trees import Constant, Letter, Node, Relation, exchanged, letters, replaced
from pipeline.exact.values import Equation, Expression, Value
from pipeline.reading.records import Reading, ReadingContext, Unread

_WORD: Final = re.compile(r"(?<![\\A-Za-z])(?!(?:sqrt|cbrt|root|abs|log|pi)\b)[^\W\d_]{3,}")
_STANDS: Final = (
    r"\s*(?:=|:|\bis\b|\bbe\b|\bequals?\b|\brepresents?\b|\bmeans?\b|\bstands?\s+for\b)\s*"
)
_THING: Final = r"(?:(?:the|a|an|one|some|any|my|our|his|her|their)\s+)?[A-Za-z][A-Za-z' ]{2,60}"
_BEFORE: Final = re.compile(
    rf"^\s*(?:let|where|if|say)?\s*[A-Za-z]{_STANDS}{_THING}\s*[.,;:\n]\s*(?=\S)", re.IGNORECASE
)
_BEHIND: Final = re.compile(
    rf"\s*[.,;:(\n]?\s*(?:\b(?:let|where|if|when|with|and)\b|(?<=[.,;:(\n])|(?<=[.,;:(\n]\s))\s*"
    rf"[A-Za-z]{_STANDS}{_THING}\s*\)?\s*[.]?\s*$",
    re.IGNORECASE,
)
_UNNAMED: Final = re.compile(r"\b(?:numbers?|unknown|something)\b", re.IGNORECASE)
_WORDED: Final = re.compile(
    r"\b(?:increased|decreased|sum|difference|product|quotient)\b|"
    r"(?<!\bis\s)\b(?:more|less|fewer|greater)\s+than\b",
    re.IGNORECASE,
)
_RATIO: Final = re.compile(
    r"(?<![A-Za-z\d)])([A-Za-z])\s*:\s*([A-Za-z](?=\s*(?:=|$))|\d+(?=\s*(?:[=+]|$)))"
)
_OPEN_END: Final = re.compile(r"\s*=\s*[?_]*\s*$")
_PERCENT_OF: Final = re.compile(r"%\s*of\b\s*", re.IGNORECASE)
_TIMES: Final = re.compile(r"(?<=[\dA-Za-z)])\s*[xX]\s*(?=[\dA-Za-z(])")
_MOST_DEFINITIONS: Final = 4
_SPANS: Final = frozenset({"numerator-span", "denominator-span", "both-spans"})


def algebra_behind(text: str) -> str:
    """Return the algebra of a problem `words: algebra`, or of one that is algebra alone.

    Raises:
        UnreadableProblem: only words are there.
    """
    found = text.rpartition(":")[2].strip()
    if not found or _WORD.search(found):
        raise UnreadableProblem(
            f"the problem “{text[:80]}” has no algebra behind its words; write it like `three less "
            "than a number: x - 3`, or the words as the problem and x - 3 as its answer"
        )
    return found


def without_definitions(text: str, context: ReadingContext, changes: list[str]) -> str:
    """Set aside what an answer says of its letters: `let n be the number; n - 3`.

    Raises:
        Unread: words are left in the place of the unknown or of an operation.
    """
    rest = text
    for _ in range(_MOST_DEFINITIONS):
        rest = _BEHIND.sub("", _BEFORE.sub("", rest))
    if rest.strip() and rest != text:
        changes.append("what the letters stand for set aside")
        text = rest
    if context.kind == "expression":
        text = _OPEN_END.sub("", text)
    worded = context.kind == "expression" and _WORDED.search(text)
    if worded or _UNNAMED.search(text):
        raise Unread("words in the place of algebra")
    return _with_signs(text, context)


def _with_signs(text: str, context: ReadingContext) -> str:
    """Write out signs that mean something else in other answers: `5 x A`, `A : P`, `20% of n`."""
    text = _PERCENT_OF.sub("%*", text)
    if len(context.letters) > 1 and not context.letters & {"x", "X"}:
        text = _TIMES.sub("*", text)
    return _RATIO.sub(r"\1/\2", text)


def in_letters_of_problem(
    readings: tuple[Reading, ...], context: ReadingContext
) -> tuple[Reading, ...]:
    """Return readings in the problem's own letter, where it has one and the answer another.

    An expression may be given a name, as in n = x - 3, where no equation is asked for. Brackets
    that are not there are what such a question is about, so that none are read into x + 8/2.
    """
    return tuple(
        replace(one, value=_renamed(_unnamed(one.value, context), context))
        for one in readings
        if one.convention not in _SPANS
    )


def _unnamed(value: Value, context: ReadingContext) -> Value:
    if context.kind == "expression" and isinstance(value, Equation):
        if value.relation.signs != ("=",):
            return value
        left, right = value.relation.sides
        for name, rest in ((left, right), (right, left)):
            new = isinstance(name, Letter) and name.name not in letters(rest)
            if new and len(letters(rest)) == len(context.letters):
                return Expression(rest)
    return value


def _renamed(value: Value, context: ReadingContext) -> Value:
    if len(context.letters) != 1 or not isinstance(value, Expression | Equation):
        return value
    tree: Node = value.tree if isinstance(value, Expression) else value.relation
    used, (wanted,) = letters(tree), context.letters
    if not used and isinstance(value, Expression):
        return Expression(exchanged(tree, Constant("e"), Letter(wanted)))
    if len(used) != 1 or wanted in used:
        return value
    new = replaced(tree, ((next(iter(used)), Letter(wanted)),))
    return Equation(new) if isinstance(new, Relation) else Expression(new)
