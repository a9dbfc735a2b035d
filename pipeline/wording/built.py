"""What a rule makes of a sentence, and what the rules ask of formulas."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from pipeline.records import Numbers
from pipeline.wording.spans import Formula, Sentence

_NAMES: Final = re.compile(r"sqrt|cbrt|log|ln|abs|exp|pi")
LOGARITHM: Final = re.compile(r"(?<![A-Za-z])(?:log|ln)(?![A-Za-z])")
LETTER_ABOVE: Final = re.compile(r"\^\s*(?:\([^()]*[A-Za-z][^()]*\)|-?[A-Za-z])")
IMAGINARY: Final = re.compile(r"(?<![A-Za-z])i(?![A-Za-z])")
RADICAL: Final = re.compile(r"sqrt|cbrt|√|\^\s*\(\s*-?\d+\s*/")


class Built(NamedTuple):
    """What a rule makes of a sentence; `used` counts the formulas that went into the problem.

    `known` are words that the rule accounts for, beyond those of its task.
    Solutions that count, and what of them is to be given, stand under `keep` and `asked`. Of a
    question with `options` the problem is the claim: an equation, and the value said to solve it.
    """

    task: str
    problem: str
    used: int
    doubt: str = ""
    form: str | None = None
    numbers: Numbers = "real"
    verb: bool = True
    keep: str = ""
    asked: str = ""
    options: tuple[str, ...] = ()
    known: str = ""


def letters_of(text: str) -> set[str]:
    """All letters of a formula, names of functions left out."""
    return set(re.findall(r"[A-Za-zα-ω](?:_\w+)?", _NAMES.sub(" ", text)))


def body_of(one: Formula) -> str:
    """The right side of a definition or of `y = …`; any other text as it stands."""
    if one.kind == "F" or re.match(r"\s*[A-Za-z]\s*=", one.text):
        return one.text.partition("=")[2].strip()
    return one.text


def name_of(one: Formula) -> tuple[str, str]:
    """Name and letter of a function: f and x of `f(x) = 2x`."""
    found = re.match(r"\s*([A-Za-z])\s*\(\s*([A-Za-z])\s*\)", one.text)
    return (found[1], found[2]) if found else ("f", "x")


def value_of(one: Formula) -> str:
    """What stands right of the equals sign."""
    return one.text.partition("=")[2].strip()


def is_defined(one: Formula) -> bool:
    """Whether a formula is of the form `y = …`."""
    return re.match(r"\s*[A-Za-z]\s*=", one.text) is not None


def is_numeric(text: str) -> bool:
    """Whether no letter occurs but i and e."""
    return not letters_of(text) - {"i", "e"}


def domain_of(text: str) -> Numbers:
    """`complex` where the imaginary unit occurs."""
    return "complex" if IMAGINARY.search(_NAMES.sub(" ", text)) else "real"


def one_expression(sentence: Sentence) -> Formula | None:
    """The one expression, number, or right side of a definition; None where there are several."""
    found = sentence.of("XNF") or tuple(one for one in sentence.of("E") if is_defined(one))
    return found[0] if len(found) == 1 else None


def relations_of(sentence: Sentence) -> str:
    """All equations, joined as a system, or by "or" where the sentence says so."""
    texts = [one.text for one in sentence.of("EV")]
    either = re.search(r"[EV] or [EV]", sentence.words)
    return (" or " if either else "; ").join(texts)
