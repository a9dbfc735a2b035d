"""Letters before words: what a problem's letters can spell is their product.

`no + nr`, `3kg`, `at + bt`, `by`: before any list of words, units or functions is asked, the
letters of such a run are set apart by a mark, so that no later rule sees a word in them.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

from pipeline.reading import marks
from pipeline.reading.records import ReadingContext
from pipeline.reading.tokens import FUNCTIONS
from pipeline.reading.words import short_words, unit_words, word_lists

_RUN: Final = re.compile(r"(?<![A-Za-z\\])[A-Za-z]{2,}(?![A-Za-z])")
_LONE: Final = re.compile(r"(?<![A-Za-z\\])[A-Za-z](?![A-Za-z])")
_EXPONENT: Final = re.compile(r"(?<=[\d.])[eE](?=[+-]?\d)")
_SIGNED_EXPONENT: Final = re.compile(r"(?<=\d)e(?=[+-]\d)")
_OPERAND_BEFORE: Final = re.compile(r"[\w)\]}|%]\s+$")
_OPERAND_BEHIND: Final = re.compile(r"\s+[\w([{|√\\]")
_ARGUMENT: Final = re.compile(r"\s*[\w([{|√^\ue003\ue005]")
_WORD_BEFORE: Final = re.compile(r"([A-Za-z]{2,})[\s,.']+$")
_WORD_BEHIND: Final = re.compile(r"[\s,.']+([A-Za-z]{2,})")
_RELATION: Final = re.compile(r"[=<>≤≥≠]")
_CONNECTIVES: Final = frozenset({"or", "and"})
_ROOTS: Final = frozenset({"sqrt", "cbrt", "root"})
_ONE_VALUE: Final = frozenset({"expression", "number"})
_INFINITIES: Final = frozenset({"oo", "inf", "infty"})
_INDEX: Final = re.compile(r"(?<![A-Za-z\\_.^])((?<!\d)[eE]|[A-DF-Za-df-z])(\d)(?![\d.])")
_NUMBERS: Final = ("pi", "Pi")
_CIRCLE: Final = re.compile(r"^[Pp]i(?=$|[rRdD])")
"""The number in a formula of a circle; in `pin`, p and i are letters."""
_OF_CIRCLES: Final = frozenset("rRdD")
_NO_FUNCTIONS: Final = frozenset({"rt", "srt", "sqr", "sqt"})
"""Slips for sqrt, which who sets a problem does not make."""
_LONGEST: Final = 4
"""Letters of the longest product that no other letter of its problem has to confirm."""


def spelled_apart(text: str, context: ReadingContext) -> str:
    """Set the letters apart of every run in an answer that the problem's letters can spell.

    They do so in either case. But for an expression and a number, "or" and "and" between blanks may
    join answers, and only a region has an end at infinity.
    """
    kind, letters = context.kind, context.letters | ({"i"} if context.has_i else set())
    if not context.letters or kind == "count":
        return text
    text = with_index(text, context.letters)
    known = letters | {one.swapcase() for one in letters if len(one) == 1}
    if known & {"e", "E"}:
        text = _EXPONENT.sub(lambda found: marks.APART + found[0], text)

    def replaced(found: re.Match[str]) -> str:
        before, run, behind = text[: found.start()], found[0], text[found.end() :]
        lower, number = run.lower(), ""
        if not set(run) <= known:
            number = next((one for one in _NUMBERS if one in run), "")
            if not number or not set(run.replace(number, "")) <= known:
                return run
        named = lower in _ROOTS or (context.functions and lower in FUNCTIONS)
        if named and _ARGUMENT.match(behind):
            return run
        joins = before[-1:].isspace() and behind[:1].isspace()
        if kind not in _ONE_VALUE and lower in _CONNECTIVES and joins:
            return run
        if kind == "region" and lower in _INFINITIES:
            return run
        return run if _among_words(before, behind, known) else _apart(run, number)

    return _RUN.sub(replaced, text)


def with_index(text: str, letters: frozenset[str] | None = None) -> str:
    """Read `x1` and `v0` as x and v with an index: nobody writes a product with 1 or 0 so.

    Args:
        text: a problem, or an answer. In a problem a letter that stands with 0 or 1 somewhere has
            indices everywhere: `x2` beside `x1` is no power that lost its height.
        letters: those of the problem, for an answer: only its own have an index.
    """
    indexed = {one[1] for one in _INDEX.finditer(text) if one[2] in "01"}

    def replaced(found: re.Match[str]) -> str:
        name = f"{found[1]}_{found[2]}"
        own = found[1] in indexed if letters is None else {name, name.swapcase()} & letters
        return name if own else found[0]

    return _INDEX.sub(replaced, text)


def _among_words(before: str, behind: str, known: frozenset[str]) -> bool:
    """Whether a word that the letters cannot spell stands beside: `no solution`."""
    around = (_WORD_BEFORE.search(before[-40:]), _WORD_BEHIND.match(behind))
    words = [found[1] for found in around if found]
    return any(not set(one) <= known and one.lower() not in FUNCTIONS for one in words)


def _apart(run: str, number: str = "") -> str:
    """Set the letters of a run apart, those of a number's name left together."""
    before, name, behind = run.partition(number) if number else (run, "", "")
    return marks.APART.join(filter(None, (*before, name, *behind)))


def letters_of_problem_apart(text: str, functions: bool, one_unknown: bool, asked: str = "") -> str:
    """Set the letters of products in a problem apart: `at + bt`, `2mg`, `Ax + By = C`.

    A problem is a formula but for the few words that its reader knows. Up to four letters that
    stand in a formula's place, with operators, digits or brackets around them, are a product (two
    where one unknown is to be found); what an operand stands beside across a blank may be a word;
    longer runs are products where the letters around confirm every letter. `pi` is the number
    in `2pi r` and `2pir`, and a product where both its letters stand elsewhere, as in
    `pi + pk + wi + wk`, one of them in another product of a problem without radius or diameter, as
    in `pi + pu`, or one of them is asked for; no problem speaks of infinity, so that `oo` and `inf`
    are products as others.

    Args:
        text: the problem without its command.
        functions: whether logarithms and other named functions may stand in it.
        one_unknown: whether it is to be solved and names no letter, so that `area = 24` is no
            product of three unknowns.
        asked: the letter that it is to be solved for; empty where none is named.
    """
    longest = 2 if one_unknown else _LONGEST
    text = _SIGNED_EXPONENT.sub(lambda found: marks.APART + found[0], text)
    lone = frozenset(_LONE.findall(text))
    known = {*lone, asked}
    places = {found.span(): found[0] for found in _RUN.finditer(text)}
    kept = {span for span, run in places.items() if _is_word(text, span, run, lone, functions)}
    formulas = {run: _CIRCLE.sub("", run) for span, run in places.items() if span not in kept}
    for rest in formulas.values():
        known |= set(rest) if len(rest) <= longest else set()
    products = set() if known & _OF_CIRCLES else {one for one in formulas if len(one) > 1}

    def replaced(found: re.Match[str]) -> str:
        run, number = found[0], _CIRCLE.match(found[0])
        if found.span() in kept or not (len(formulas[run]) <= longest or set(run) <= known):
            return run
        if number is None or set(number[0]) <= known or {asked} & set(number[0]):
            return _apart(run)
        beside = any(set(one) & set(number[0]) for one in products - {run})
        return _apart(run) if beside else _apart(run, number[0])

    return _RUN.sub(replaced, text)


def _is_word(
    text: str, span: tuple[int, int], run: str, lone: frozenset[str], functions: bool
) -> bool:
    """Whether a run of letters in a problem is a word, or may be one."""
    before, behind, lower = text[: span[0]], text[span[1] :], run.lower()
    spelled = set(run) <= lone
    if lower in FUNCTIONS and lower not in _NO_FUNCTIONS and _ARGUMENT.match(behind):
        return functions or not spelled or behind[:1] in {"(", "["}
    if run in _NUMBERS or behind[:1] == "^":
        return False
    if lower in _CONNECTIVES:
        return bool(_RELATION.search(before) and _RELATION.search(behind))
    left, right = _OPERAND_BEFORE.search(before), _OPERAND_BEHIND.match(behind)
    if run in unit_words():
        return left is not None and not spelled and len(re.findall(rf"\b{run}\b", text)) == 1
    if lower in short_words():  # `2 at + 3 at`: no word ends a term that begins with a number
        return right is not None or (left is not None and not before[:-1].rstrip()[-1:].isdigit())
    if lower in _words():
        return left is not None or right is not None
    return len(run) > 2 and (left is not None or right is not None) and not spelled


@lru_cache(maxsize=1)
def _words() -> frozenset[str]:
    """Words that a problem may hold, and short ones that are no product beside an operand."""
    signs = {word for phrase in word_lists()["signs"] for word in phrase.split()}
    return short_words() | {word for word in signs if word.isalpha()}
