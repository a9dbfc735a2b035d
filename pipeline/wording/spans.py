"""Words and mathematics of a sentence told apart: each formula with its kind, the words beside it.

A sentence becomes a line of words in which one capital letter stands for each formula, so that a
rule can say what it wants: `find the value of X when V`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final, NamedTuple

from pipeline.records import Numbers
from pipeline.wording.vocabulary import JOINING_WORDS, SHORT_WORDS

KINDS: Final = {
    "L": "a letter alone",
    "V": "a letter with its value, x = 3",
    "E": "an equation or inequality",
    "F": "a function and its rule, f(x) = 2x",
    "C": "something asked of a function, f(3) or (f + g)(x)",
    "P": "a point",
    "N": "a number, or numbers with operations",
    "X": "an expression with letters",
}
_NAMES: Final = frozenset({"sqrt", "cbrt", "log", "ln", "abs", "exp", "pi"})
_TOKEN: Final = re.compile(
    r"(?P<hyphened>[A-Za-z]+(?:-[A-Za-z]{2,})+)|(?P<blank>_{2,}|[□▢☐])|"
    r"(?P<number>\d{1,3}(?:,\d{3})+(?!\d)|\d+(?:\.\d+)?|\.\d+)|(?P<letters>[A-Za-zÀ-ÖØ-öø-ÿα-ωπ∘]+)|"
    r"(?P<space>\s+)|(?P<sign><=|>=|!=|->|=>|.)",
    re.DOTALL,
)
_OPERATORS: Final = frozenset("+-*/^=<>±()[]{}|%°∪∩∞√∘_!'") | {"<=", ">=", "!="}
_RELATION: Final = re.compile(r"<=|>=|!=|[=<>]")
_BLANK_END: Final = re.compile(r"\s*=\s*(?:\?|\ue010)?\s*$")
_BLANK: Final = "\ue010"
_POINT: Final = re.compile(r"\(\s*[^(),]+\s*,\s*[^(),]+\s*\)")
_VALUE: Final = re.compile(r"[A-Za-z]\s*=\s*(?:sqrt\(|(?<![A-Za-z])i(?![A-Za-z])|[-+*/^()\d.\s])+")
_DEFINED: Final = re.compile(r"([A-Za-z])\s*\(\s*([A-Za-z])\s*\)\s*=(?!=)\s*(.+)", re.DOTALL)
_CALLED: Final = re.compile(
    r"\(?\s*[fghFGHPpqkRCr]\s*(?:(?:[∘o+*/-]|\s)?\s*[fghpq]\s*\))?\s*(?:\^\s*\(?\s*-1\s*\)?)?"
    r"\s*\(.+\)(?:\s*=\s*[-\d./]+)?",
    re.DOTALL,
)
_FUNCTION_LETTERS: Final = frozenset("fghFGHPpqkRCr")


@dataclass(frozen=True, slots=True)
class Formula:
    """One formula of a sentence.

    Args:
        text: as typed, separators at its ends left out.
        kind: a key of `KINDS`.
        blank: whether a gap in it is to be filled in, `x^2 + 6x + __`; not behind `=` at its end.
    """

    text: str
    kind: str
    blank: bool = False


@dataclass(frozen=True, slots=True)
class Sentence:
    """A question as words in lower case with a capital for each formula, and these in order."""

    words: str
    formulas: tuple[Formula, ...] = field(default=())

    def of(self, kinds: str) -> tuple[Formula, ...]:
        """Formulas of some kinds, in order."""
        return tuple(one for one in self.formulas if one.kind in kinds)


def sentence_of(text: str) -> Sentence:
    """Take a sentence in typed notation apart."""
    words: list[str] = []
    formulas: list[Formula] = []
    functions: set[str] = set()
    for is_formula, piece in _pieces(list(_tokens(text))):
        if not is_formula:
            words.append(piece.casefold())
            continue
        for part in _parts(piece):
            made = _formula(part, functions)
            if made is not None:
                formulas.append(made)
                words.append(made.kind)
    return Sentence(" ".join(words), tuple(formulas))


@dataclass(frozen=True, slots=True)
class _Token:
    kind: str
    text: str
    gap: bool


def _tokens(text: str) -> Iterator[_Token]:
    gap = True
    for found in _TOKEN.finditer(text):
        kind = str(found.lastgroup)
        if kind == "space":
            gap = True
            continue
        yield _Token(kind, found[0], gap)
        gap = False


def _pieces(tokens: list[_Token]) -> Iterator[tuple[bool, str]]:
    """Runs of mathematics, and single words; what parts them otherwise is left out."""
    run: list[str] = []
    for place, token in enumerate(tokens):
        if _is_mathematics(tokens, place):
            run.append((" " if token.gap and run else "") + token.text)
            continue
        if run:
            yield True, "".join(run)
            run = []
        if token.kind in {"hyphened", "letters"}:
            yield False, token.text
    if run:
        yield True, "".join(run)


def _is_mathematics(tokens: list[_Token], place: int) -> bool:
    token = tokens[place]
    if token.kind in {"number", "blank"}:
        return True
    if token.kind == "letters":
        return _is_symbol(tokens, place)
    if token.kind == "sign":
        return token.text in _OPERATORS or (token.text in ",;" and _between(tokens, place))
    return False


def _between(tokens: list[_Token], place: int) -> bool:
    """Whether a comma stands inside or between formulas, and not before a word."""
    inside = 0 < place < len(tokens) - 1
    return inside and _is_mathematics(tokens, place + 1) and tokens[place - 1].text not in ",;"


def _is_symbol(tokens: list[_Token], place: int) -> bool:
    """Whether letters are mathematics: a name such as sqrt, one letter, or letters side by side."""
    token = tokens[place]
    text = token.text
    before = tokens[place - 1] if place else None
    after = tokens[place + 1] if place + 1 < len(tokens) else None
    if text in _NAMES and text != "pi":
        return after is not None and (
            after.kind == "number" or after.text in {"(", "_", "[", "|", "^"}
            or (after.kind == "letters" and len(after.text) == 1)
        )  # fmt: skip
    if text in {"∘", "pi"} or "π" in text:
        return True
    if before and not token.gap and before.text == "'":
        return False
    touched = (before is not None and not token.gap and before.kind == "number") or (
        after is not None and not after.gap and after.text in {"^", "("} and len(text) < 3
    )
    if len(text) == 1:
        return touched or not _is_article(text, after)
    if text.casefold() in SHORT_WORDS and not touched:
        # A sign before it wants another term: ax + ay + bx + by.
        return before is not None and before.text in "+-*/" and before.kind == "sign"
    if len(text) == 2:
        return text.casefold() not in SHORT_WORDS
    return len(text) <= 4 and (touched or not re.search(r"[aeiouyAEIOUY]", text))


def _is_article(text: str, after: _Token | None) -> bool:
    """Whether `a` or `I` is a word: one that another word follows which joins no two formulas."""
    if text not in {"a", "A", "I"} or after is None:
        return False
    joins = after.text.casefold() in JOINING_WORDS
    return after.kind in {"letters", "hyphened"} and after.gap and len(after.text) > 1 and not joins


def _parts(run: str) -> Iterator[str]:
    """Cut a run at commas and semicolons outside of brackets; braces may hold a system."""
    if re.fullmatch(r"\s*\{[^{}]*[=<>][^{}]*\}\s*", run):
        run = run.strip(" {}")
    depth, start = 0, 0
    for place, character in enumerate(run):
        depth += (character in "([{") - (character in ")]}")
        thousands = re.match(r",\d{3}(?!\d)", run[place:]) and run[place - 1 : place].isdigit()
        if character in ",;" and depth <= 0 and not thousands:
            yield run[start:place]
            start = place + 1
    yield run[start:]


def _formula(text: str, functions: set[str]) -> Formula | None:
    text = re.sub(r"_{2,}|[□▢☐]", _BLANK, text).strip(" ,;:'")
    text = _BLANK_END.sub("", text.replace(f"({_BLANK})", _BLANK))
    blank = _BLANK in text
    text = re.sub(rf"\s*[-+*=]?\s*{_BLANK}\s*", " ", text).strip() if blank else text
    text = _balanced(re.sub(r"(?<=\d),(?=\d{3}(?!\d))", "", text).strip())
    if not re.search(r"[\w∞∅π]", text):
        return None
    return Formula(text, _kind(text, functions), blank)


def _balanced(text: str) -> str:
    """Leave out a bracket at either end that has no partner, and a dash before words."""
    text = re.sub(r"(?:\s*[(\[{]|\s+[-*])+$", "", text)
    while text.endswith(")") and text.count(")") > text.count("(") and "[" not in text:
        text = text[:-1].rstrip()
    while text.startswith("(") and text.count("(") > text.count(")") and "]" not in text:
        text = text[1:].lstrip()
    return text


def _kind(text: str, functions: set[str]) -> str:
    defined = _DEFINED.fullmatch(text)
    if defined and (defined[1] not in functions or re.search("[A-Za-z]", defined[3])):
        functions.add(defined[1])
        return "F"
    called = text[0] in _FUNCTION_LETTERS or text.startswith("(")
    if called and _CALLED.fullmatch(text) and _names_function(text, functions):
        return "C"
    if _POINT.fullmatch(text):
        return "P"
    if _RELATION.search(text):
        return "V" if _VALUE.fullmatch(text) else "E"
    if re.fullmatch(r"[A-Za-zα-ω](?:_\w)?", text):
        return "L"
    return "X" if _has_letter(text) else "N"


def _names_function(text: str, functions: set[str]) -> bool:
    """Whether a bracket behind f is what is put in, and no factor."""
    named = set(re.findall(r"[A-Za-z]", text.split("(")[1 if text.startswith("(") else 0]))
    return bool(named & (functions | set("fgh")))


def _has_letter(text: str) -> bool:
    bare = re.sub(r"sqrt|cbrt|log|ln|abs|exp|pi|π", " ", text)
    return (
        re.search(r"[A-Za-zα-ω]", re.sub(r"(?<![A-Za-z])[ie](?![A-Za-z])", " ", bare)) is not None
    )


_NAMED_SIGN: Final = re.compile(r"sqrt|cbrt|log|ln|abs|exp|pi")
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
    return set(re.findall(r"[A-Za-zα-ω](?:_\w+)?", _NAMED_SIGN.sub(" ", text)))


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
    return "complex" if IMAGINARY.search(_NAMED_SIGN.sub(" ", text)) else "real"


def one_expression(sentence: Sentence) -> Formula | None:
    """The one expression, number, or right side of a definition; None where there are several."""
    found = sentence.of("XNF") or tuple(one for one in sentence.of("E") if is_defined(one))
    return found[0] if len(found) == 1 else None


def relations_of(sentence: Sentence) -> str:
    """All equations, joined as a system, or by "or" where the sentence says so."""
    texts = [one.text for one in sentence.of("EV")]
    either = re.search(r"[EV] or [EV]", sentence.words)
    return (" or " if either else "; ").join(texts)
