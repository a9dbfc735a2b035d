"""Answers that say how many solutions there are: two, 2 real, no real but 2 complex."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final, NamedTuple

from pipeline.exact.trees import Letter, Relation
from pipeline.exact.values import (
    Count,
    Equation,
    Kind,
    Number,
    Points,
    Roots,
    Statement,
    StatementCode,
    Value,
)
from pipeline.reading.records import Reading, ReadingContext

_MOST_WORDS: Final = 20
_TOKENS: Final = re.compile(r"[a-z]+|\d+|[^\s]")
_BETWEEN: Final = frozenset({",", ";", ":", "(", ")", "&", "+", "/", ".", "and", "but", "so"})
_NUMBERS: Final = {
    "no": 0, "none": 0, "zero": 0, "neither": 0, "one": 1, "single": 1, "a": 1, "an": 1, "two": 2,
    "both": 2, "three": 3, "four": 4, "five": 5, "six": 6,
}  # fmt: skip
_KINDS: Final[dict[str, Kind]] = {
    "real": "real", "reals": "real", "rational": "rational", "irrational": "irrational",
    "complex": "nonreal", "imaginary": "nonreal", "nonreal": "nonreal", "unreal": "nonreal",
}  # fmt: skip
_NARROWER: Final = ("", "real", "rational", "irrational", "nonreal")
_INFINITE: Final = frozenset({"infinite", "infinitely", "infinity", "unlimited", "endless", "∞"})
_ONCE: Final = frozenset(
    {"double", "repeated", "repeating", "equal", "same", "identical", "coincident", "coinciding"}
)
_SIGNS: Final = frozenset({"positive", "negative"})
_NOUNS: Final = frozenset({
    "solution", "solutions", "soln", "solns", "sol", "sols", "root", "roots", "answer", "answers",
    "zeros", "zeroes", "ones", "value", "values", "number", "numbers", "intercept", "intercepts",
    "point", "points",
})  # fmt: skip
_FILLER: Final = _NOUNS | frozenset({
    "x", "y", "there", "is", "are", "it", "has", "have", "had", "will", "be", "the", "equation",
    "of", "with", "which", "that", "they", "distinct", "different", "unequal", "unique", "separate",
    "exact", "exactly", "only", "just", "total", "in", "all", "possible", "this", "system", "type",
    "types", "conjugate", "conjugates", "many", "s", "does",
})  # fmt: skip
_CUT: Final = re.compile(r"[,;()]|\b(?:so|because|since|therefore|thus|hence|and)\b|\.(?!\d)")
_NAMED: Final = re.compile(r"\b[a-z]\s*=")
_GROUND: Final = re.compile(r"[=<>≤≥]|\bdiscr?(?:iminant)?\b")
_VALUE_ENDS: Final = re.compile(r"(?:[\d)\]}%π\ue002\ue004]|(?<![A-Za-z])[A-Za-z])$")
_SIGNS_BEHIND: Final = re.compile(r"[,;:(]")
_APART: Final = " \t\n,;:.(-—→>"
_REASONS: Final = re.compile(r"\b(?:so|because|since|therefore|thus|hence)\b")
_VAGUE: Final = frozenset({"a", "an", "both"})


class _Clause(NamedTuple):
    """One piece of what was said: a number, a kind, a sign, whether it is said to be repeated."""

    number: int | None
    kind: Kind
    signs: frozenset[str] = frozenset()


def count_of(text: str) -> Value | None:
    """Return how many solutions a whole text says there are, or None when it says something else.

    "Complex" is taken for not real, as textbooks use it of solutions. Two equal roots are one.
    """
    plain = re.sub(r"(?<=[a-z])-(?=[a-z])", " ", text.lower())
    plain = re.sub(r"\b(?:not|non)\s*(?=real\b)", "non", plain)
    tokens = _TOKENS.findall(_without_grounds(plain))
    if not tokens or len(tokens) > _MOST_WORDS or _is_list(tokens) or _says_all(tokens):
        return None
    if _INFINITE & set(tokens) and set(tokens) <= _INFINITE | _FILLER | {"real", "an", "amount"}:
        return Statement(StatementCode.ALL_REAL)
    pieces = _pieces(tokens)
    found = [_clause(piece) for piece in pieces]
    if not found or any(one is None for one in found):
        return None
    return _value(_joined([one for one in found if one is not None]))


def _without_grounds(text: str) -> str:
    """Set aside what a number of solutions rests on: `D = 9 so 2 solutions`, `one, x = 3`."""
    parts = _CUT.split(_NAMED.sub(r", \g<0>", text))
    kept = [part for part in parts if part.strip() and not _GROUND.search(part)]
    words = set(_TOKENS.findall(" ".join(kept)))
    told = words & {*_NOUNS, *_KINDS, *_ONCE, *_NUMBERS} or _REASONS.search(text)
    return ", ".join(kept) if told and len(kept) < len(parts) else text


def _is_list(tokens: list[str]) -> bool:
    """Whether several numbers stand there with nothing that they count: `1, 4`."""
    counted = {*_KINDS, *_ONCE, *_SIGNS, *_NOUNS} & set(tokens)
    return sum(token.isdigit() for token in tokens) > 1 and not counted


def _says_all(tokens: list[str]) -> bool:
    """Whether every number is said to be a solution, which is a statement."""
    numbers = any(token.isdigit() or token in _NUMBERS.keys() - _VAGUE for token in tokens)
    return bool({"all", "every", "any"} & set(tokens)) and not numbers


def _pieces(tokens: list[str]) -> list[list[str]]:
    pieces: list[list[str]] = [[]]
    for token in tokens:
        counted = token not in _VAGUE and _number(token) is not None
        again = counted and any(_number(one) is not None for one in pieces[-1])
        if token in _BETWEEN or (again and not token.isdigit()):
            pieces.append([])
        if token not in _BETWEEN:
            pieces[-1].append(token)
    return [piece for piece in pieces if set(piece) - _FILLER]


def _clause(words: list[str]) -> _Clause | None:
    """Read one piece; None where a word is unknown or two numbers stand there."""
    numbers = [_number(word) for word in words if word not in _VAGUE and _number(word) is not None]
    numbers = numbers or [_number(word) for word in words if word in _VAGUE]
    known = _FILLER | _ONCE | _SIGNS | _KINDS.keys() | _NUMBERS.keys()
    if len(numbers) > 1 or not all(word in known or word.isdigit() for word in words):
        return None
    kind: Kind = ""
    for word in words:
        kind = _narrower(kind, _KINDS.get(word, ""))
    number = numbers[0] if numbers else None
    once = set(words) & _ONCE
    if once and (number in (None, 2) and not (number == 2 and "double" in once)):
        number = 1
    if number is None and not kind:
        return None
    return _Clause(number, kind, frozenset(words) & _SIGNS)


def _number(word: str) -> int | None:
    if word.isdigit():
        return int(word) if len(word) < 3 else None
    return _NUMBERS.get(word)


def _narrower(first: Kind, second: Kind) -> Kind:
    return max(first, second, key=_NARROWER.index)


def _joined(clauses: list[_Clause]) -> list[_Clause]:
    """Join what is said of the same solutions: `2 solutions, both real`, `1 (double root)`."""
    found: list[_Clause] = []
    for one in clauses:
        last = found[-1] if found else None
        if last is not None and _says_more(last, one):
            number = one.number if last.number is None else last.number
            found[-1] = last._replace(number=number, kind=_narrower(last.kind, one.kind))
        elif last is not None and last.signs and one.signs - last.signs and last.kind == one.kind:
            total = (last.number or 0) + (one.number or 0)
            found[-1] = _Clause(total, one.kind, last.signs | one.signs)
        else:
            found.append(one)
    return found


def _says_more(first: _Clause, second: _Clause) -> bool:
    """Whether a clause speaks of the solutions that the one before it counted."""
    if first.number is None:
        return "nonreal" not in (first.kind, second.kind) and not (second.number and second.kind)
    if {first.kind, second.kind} >= {"nonreal"} and first.kind and second.kind:
        return first.kind == second.kind and second.number in (None, first.number)
    if second.signs or first.kind in ("rational", "irrational"):
        return second.number is None and second.kind in ("", "real", first.kind)
    return second.number in (None, first.number) and (second.number is None or not first.kind)


def _value(clauses: list[_Clause]) -> Value | None:
    parts = [(one.number, one.kind) for one in clauses]
    some = [part for part in parts if part[0] != 0] or parts[:1]
    if len(some) != len(set(some)) or (len(some) > 1 and any(kind == "" for _, kind in some)):
        return None
    if len(some) > 1:
        return Count(tuple(sorted(some, key=lambda part: _NARROWER.index(part[1]))))
    number, kind = some[0]
    if number == 0 and kind == "real":
        return Statement(StatementCode.NO_REAL)
    if not kind and number is not None:
        return Number.exactly(number)
    return Count(((number, kind),))


def beside_count(text: str) -> tuple[str, Value] | None:
    """Part an answer from how many solutions it is said to be: -12 of `-12, no real roots`.

    The number is said behind the answer, or before it and a sign: `no real roots: 1 ± 2i`.

    Returns:
        The answer and what is said, None where nothing is said beside an answer.
    """
    tokens = list(_TOKENS.finditer(text.lower()))[-_MOST_WORDS:]
    for place in (one.start() for one in reversed(tokens) if one[0].isalnum()):
        value, said = text[:place].rstrip(_APART), text[place:]
        if _VALUE_ENDS.search(value[-2:]) and (count := how_many(said)) is not None:
            return value, count
    said, *behind = _SIGNS_BEHIND.split(text, maxsplit=1)
    count = how_many(said) if behind else None
    return None if count is None else (behind[0].strip(" )."), count)


def how_many(said: str) -> Value | None:
    """Return how many solutions a text tells, where it says a number and what it counts."""
    words = set(_TOKENS.findall(said.lower()))
    told = any(word.isdigit() or word in _NUMBERS for word in words - _VAGUE)
    return count_of(said) if told and not words.isdisjoint(_NOUNS | _KINDS.keys()) else None


def agrees(count: Value, value: Value) -> bool:
    """Whether as many solutions are given as there are said to be, no real one if none is real."""
    given = set(value.members) if isinstance(value, Roots | Points) else {value}
    if isinstance(count, Statement):
        numbers = [one.surd for one in given if isinstance(one, Number)]
        return all(one is not None and not one.is_real for one in numbers) and bool(numbers)
    parts = count.parts if isinstance(count, Count) else ()
    total = sum(number or 0 for number, _ in parts)
    return count == Number.exactly(len(given)) or total == len(given)


def with_solution(
    readings: tuple[Reading, ...], text: str, context: ReadingContext
) -> tuple[Reading, ...]:
    """Keep `x = 2` and `2, 2`, which are solutions, apart from the number 2 of solutions."""
    named = re.match(r"\s*([A-Za-z])\s*=", text)
    kept = [one for one in readings if not (_is_repeated(one.value) and len(context.letters) > 1)]
    name = named[1] if named else min(context.letters, default="")
    if named and name not in context.letters:
        return readings
    return tuple(
        replace(one, value=_equation(one.value, name)) if named or _is_repeated(one.value) else one
        for one in kept or readings
    )


def _is_repeated(value: Value) -> bool:
    return isinstance(value, Roots) and len(value.members) > 1 and len(set(value.members)) == 1


def _equation(value: Value, name: str) -> Value:
    if not isinstance(value, Roots) or len(set(value.members)) != 1 or not name:
        return value
    # The letter stands behind: a named number would equal the number that it is the name of.
    return Equation(Relation((value.members[0].tree, Letter(name)), ("=",)))
