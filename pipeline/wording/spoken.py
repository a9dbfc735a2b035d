"""Mathematics that a sentence says in words: `the square root of 98`, `when x is -3`."""

from __future__ import annotations

import re
from typing import Final

from pipeline.wording.vocabulary import ALTERING

_OPERAND: Final = r"(?:\d[\d.]*|[A-Za-z])(?:\^\(?\w+\)?)?(?![A-Za-z])"
_TERMS: Final = rf"(?P<of>-?{_OPERAND}(?:\s*[-+*/]\s*{_OPERAND})*|\([^()]*\))"
_SPOKEN: Final = (
    (re.compile(rf"\b(?:the )?(?:principal )?square root of {_TERMS}", re.I), r"sqrt(\g<of>)"),
    (re.compile(rf"\b(?:the )?cube root of {_TERMS}", re.I), r"cbrt(\g<of>)"),
    (re.compile(rf"\b(?:the )?absolute value of {_TERMS}", re.I), r"|\g<of>|"),
)
_IS_VALUE: Final = re.compile(
    r"\b(when|if|where|for|at|given(?: that)?) ([A-Za-z]) is (?=-?\d)", re.I
)
_EQUALS: Final = re.compile(
    r"(?<=[\w)|]) (?:equals|is equal to|is always(?: equal to)?|is the same as) "
    r"(?=[-\d(|]|[A-Za-z]\b)"
    r"|(?<=[)|]) is (?=[-\d(|]|[A-Za-z]\b)",
    re.I,
)
_AGAIN: Final = re.compile(
    r"[:,;]\s+(?:((?:and )?so|thus|hence|namely|i\.\s?e\.|that is|meaning)[,:]?\s+)?(?=\S)", re.I
)
_RELATION: Final = re.compile(r"[=<>≤≥≠]")
_SIGNS: Final = re.compile(r"[=<>≤≥≠^√+*/|()-]")
_FUNCTION: Final = re.compile(r"\b(?:sqrt|cbrt|root|abs|log|ln)\b")
_OPERATIONS: Final = frozenset(
    {
        "plus",
        "minus",
        "times",
        "sum",
        "difference",
        "product",
        "quotient",
        "square",
        "cube",
        "power",
    }
    | {"double", "twice", "half", "triple", "add", "increase", "decrease", "absolute", "distance"}
)
"""Words that tell a formula; other altering ones beside it ask for something else."""
_POINT: Final = re.compile(r"\([^()]*,[^()]*\)")


def in_symbols(text: str) -> tuple[str, bool]:
    """A typed sentence with spoken roots, bars and values in symbols.

    Returns:
        The sentence, and whether it can be meant otherwise: `the square root of x + 12`.
    """
    unclear = False
    for pattern, symbols in _SPOKEN:
        for found in pattern.finditer(text):
            unclear |= re.search(r"[-+*/]", found["of"].strip("-()")) is not None
        text, count = pattern.subn(symbols, text)
        text = _EQUALS.sub(" = ", text) if count else text
    return _IS_VALUE.sub(r"\1 \2 = ", text), unclear


def formula_said_again(sentence: str) -> str:
    """The formula that a sentence ends in, having told it in words, such as `4 more: x + 4`.

    Returns:
        "" where it does not end so, where the words hold a relation of their own that nothing
        takes up again, or where they say that something else than the formula is asked for.
    """
    for found in _AGAIN.finditer(sentence):
        words, formula = sentence[: found.start()], sentence[found.end() :].strip(" .")
        altering = (ALTERING - _OPERATIONS) & set(re.findall(r"[a-z-]+", words.casefold()))
        told = re.search(r"[^\W\d_]{3}", words) and (found[1] or not _RELATION.search(words))
        bare = not re.search(r"[^\W\d_]{2}", _FUNCTION.sub("", formula))
        whole = formula.count("(") == formula.count(")") and not _POINT.fullmatch(formula)
        stands = bare and whole and _SIGNS.search(formula)
        if told and stands and not altering:
            return formula
    return ""
