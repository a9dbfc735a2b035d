"""Tokens: numbers as typed, letters, signs and brackets of the one notation.

Numbers are decimals, repeating ones among them, and exponent notation.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from pipeline.exact.trees import Numeral
from pipeline.reading import marks
from pipeline.reading.records import MAX_DIGITS, MAX_TOKENS, Unread
from pipeline.reading.words import short_words, unit_words


@dataclass(frozen=True, slots=True)
class Token:
    """One token.

    Args:
        kind: `number`, `letter`, `constant`, `function`, `unit`, or the sign itself.
        text: as typed, or the name that it stands for.
        value: of a number.
        places: decimals of a number; None for an integer.
        gap: whether a blank stands before it.
    """

    kind: str
    text: str
    value: Fraction = Fraction(0)
    places: int | None = None
    gap: bool = False


@lru_cache(maxsize=4096)
def _number_token(text: str, gap: bool) -> Token:
    """Return the token of a number as typed.

    Raises:
        Unread: too many digits, or dots behind a whole number.
    """
    if len(text) > MAX_DIGITS:
        raise Unread("too large: a number of more than 1,000 digits")
    if text.endswith("..."):
        return _dotted(text.rstrip("."), gap)
    for opening, closing in ((marks.REPEATING, marks.END_REPEATING), ("(", ")")):
        if opening in text:
            start, cycle = text.rstrip(closing).split(opening)
            return Token("number", text, _periodic(start, cycle), None, gap)
    mantissa, _, exponent = text.lower().partition("e")
    whole, point, decimals = mantissa.partition(".")
    value = Fraction(int((whole or "0") + decimals), 10 ** len(decimals))
    places: int | None = len(decimals) if point and decimals else None
    if exponent:
        if abs(int(exponent)) > MAX_DIGITS:
            raise Unread("too large: a number of more than 1,000 digits")
        value *= Fraction(10) ** int(exponent)
        places = None if places is None or places < int(exponent) else places - int(exponent)
    return Token("number", text, value, places, gap)


def _periodic(start: str, cycle: str) -> Fraction:
    whole, _, decimals = start.partition(".")
    first = Fraction(int((whole or "0") + decimals), 10 ** len(decimals))
    return first + Fraction(int(cycle), (10 ** len(cycle) - 1) * 10 ** len(decimals))


def repeating_numeral(start: str, cycle: str) -> Numeral:
    """Return `0.1(6)` as the number whose last decimals repeat for ever."""
    return Numeral(_periodic(start, cycle))


def is_one_dotted(token: Token) -> bool:
    """Whether dots follow one decimal, `0.3...`, so that nothing shows whether it repeats."""
    return token.places == 1 and token.text.endswith("...")


def _dotted(text: str, gap: bool) -> Token:
    """Decimals that go on: repeated digits repeat for ever, others were only cut off."""
    whole, _, decimals = text.partition(".")
    for length in range(1, len(decimals) // 2 + 1):
        cycle = decimals[-length:]
        if decimals[-2 * length : -length] == cycle and (
            length > 1 or decimals.endswith(cycle * 2)
        ):
            start = decimals
            while start.endswith(cycle):
                start = start[:-length]
            return Token("number", text, _periodic(f"{whole}.{start}", cycle), None, gap)
    if not decimals:
        raise Unread("three dots after a whole number")
    plain = _number_token(text, gap)
    return Token("number", text + "...", plain.value, plain.places, gap)


GREEK = {
    "α": "alpha", "β": "beta", "γ": "gamma", "δ": "delta", "ε": "epsilon", "ζ": "zeta",
    "η": "eta", "θ": "theta", "κ": "kappa", "λ": "lambda", "μ": "mu", "ν": "nu", "ξ": "xi",
    "ρ": "rho", "σ": "sigma", "τ": "tau", "φ": "phi", "ψ": "psi", "ω": "omega", "Δ": "Delta",
    "Γ": "Gamma", "Θ": "Theta", "Λ": "Lambda", "Σ": "Sigma", "Φ": "Phi", "Ψ": "Psi", "Ω": "Omega",
    "∆": "Delta",
}  # fmt: skip
_GREEK_NAMES = frozenset(GREEK.values()) | {"varepsilon", "vartheta", "varphi", "iota", "upsilon"}
FUNCTIONS = {
    "sqrt": "sqrt", "sqr": "sqrt", "sqroot": "sqrt", "squareroot": "sqrt", "sqrroot": "sqrt",
    "squrt": "sqrt", "sqt": "sqrt", "sqart": "sqrt", "rt": "sqrt", "root": "root", "srt": "sqrt",
    "cbrt": "cbrt", "cuberoot": "cbrt", "abs": "abs", "log": "log", "ln": "ln", "sin": "sin",
    "cos": "cos", "tan": "tan", "exp": "exp", "frac": "frac",
}  # fmt: skip
_CONSTANTS = {"pi": "pi", "inf": "oo", "infty": "oo", "infinity": "oo", "oo": "oo"}
_CONNECTIVES = {"or": "or", "and": "and"}
_SIGNS = (
    ">/=", "</=", "+_", "<=>", "==>", "-->", "...", "<->", "+/-", "-/+", "+\\-", "<=", ">=", "!=",
    "==", "=>", "=<", "->", "<>", "_>", ">_", "_<", "<_", "=/=", "/=", "=/", ":=", "**", "//",
    "+-", "-+", "||",
)  # fmt: skip
_MASTER = re.compile(
    r"(?P<number>(?:\d+\.?\d*|\.\d+)(?:\.\.\.+|" + marks.REPEATING + r"\d+" + marks.END_REPEATING
    + r"|(?<=\.)\(\d+\)|[eE][+-]?\d+(?![A-Za-z.\d]))?)"
    r"|(?P<word>[A-Za-z]+|[α-ωΔΓΘΛΣΦΨΩ∆])"
    r"|(?P<roman>" + marks.ROMAN + "[^" + marks.END_ROMAN + "]*" + marks.END_ROMAN + ")"
    r"|(?P<gap>\s+)|(?P<apart>" + marks.APART + ")"
    r"|(?P<sign>" + "|".join(re.escape(sign) for sign in _SIGNS) + r"|.|\n)",
    re.DOTALL,
)  # fmt: skip
_SAME = {
    "==": "=", ":=": "=", "=<": "<=", "<>": "!=", "_>": ">=", ">_": ">=", "_<": "<=", "<_": "<=",
    "=/=": "!=", "/=": "!=",
    "=/": "!=", "**": "^", "//": "/", "+/-": "±", "-/+": "∓",
    "+\\-": "±", "+_": "±", ">/=": ">=", "</=": "<=", "==>": "=>", "<=>": "=>",
    "<->": "=>", "-->": "->",
}  # fmt: skip
_KNOWN_SIGNS = frozenset("+-*/÷^=<>~()[]{}|,;:.!%°'_√±∓∪∩∅∈∉ℝ∞π⟋∘\\&$€£¥¢#\"?\n") | {
    "<=", ">=", "!=", "=>", "->", "...", "+-", "-+", "||",
    marks.FRACTION, marks.OVER, marks.END_FRACTION, marks.GROUP, marks.END_GROUP, marks.INDEX,
    marks.END_INDEX,
}  # fmt: skip
_NO_OPERAND = frozenset("+-*/÷^=<>(,|±") | {"<=", ">=", "!="}
_MEASURED = frozenset({"number", "constant", marks.END_FRACTION, ")"})
_TYPICAL = re.compile(r"[xyz]+|[abc]+|[pqrst]+|[mn]+|[uvw]+|[hkl]+", re.IGNORECASE)


def tokens_of(text: str, known: frozenset[str] = frozenset()) -> list[Token]:
    """Split text into tokens; letters of the problem may form products of any length.

    Raises:
        Unread: a character or word is unknown, or a limit is passed.
    """
    tokens: list[Token] = []
    gap = False
    for found in _MASTER.finditer(text):
        kind = found.lastgroup
        if kind == "gap" and "\n" not in found[0]:
            gap = True
            continue
        if kind == "apart":
            continue
        if kind == "number":
            tokens.append(_number_token(found[0], gap))
        elif kind == "word":
            tokens.extend(_word(found[0], gap, known, tokens))
        elif kind == "roman":
            tokens.append(_roman(found[0][1:-1].strip(), gap, tokens))
        else:
            tokens.append(_sign("\n" if kind == "gap" else found[0], gap))
        gap = False
        if len(tokens) > MAX_TOKENS:
            raise Unread("too large: more than 600 signs")
    kinds = {token.kind for token in tokens}
    if "||" in kinds:
        tokens = _with_single_bars(tokens)
    if kinds & {"±", "+-"} and ")" in kinds:
        tokens = _with_bare_signs(tokens)
    return [_joined(tokens, place, known) for place in range(len(tokens))]


def _with_bare_signs(tokens: list[Token]) -> list[Token]:
    """Brackets around nothing but a plus-minus sign, `-2 (+/-) √7`, are dropped."""
    result: list[Token] = []
    for token in tokens:
        bare = len(result) > 1 and result[-1].kind in {"±", "+-"} and result[-2].kind == "("
        if bare and token.kind == ")":
            result[-2:] = [replace(result[-1], kind="±")]
        else:
            result.append(token)
    return result


def _with_single_bars(tokens: list[Token]) -> list[Token]:
    """Two bars are `or` behind an operand, unless the first of them closes one: `|x||y|`."""
    result: list[Token] = []
    for token in tokens:
        if token.kind != "||":
            result.append(token)
        elif (
            not result
            or result[-1].kind in _NO_OPERAND
            or (sum(other.kind == "|" for other in result) % 2)
        ):
            result += [Token("|", "|", gap=token.gap), Token("|", "|")]
        else:
            result.append(Token("or", "or", gap=token.gap))
    return result


def _joined(tokens: list[Token], place: int, known: frozenset[str]) -> Token:
    """Read a U between intervals as union and a v between equations as or."""
    token = tokens[place]
    if token.kind in {"\\", ":"} and 0 < place < len(tokens) - 1:
        return _between_values(tokens, place)
    if token.kind != "letter" or token.text not in {"U", "u", "v", "V"} or place == 0:
        return token
    if token.text in known:
        return token
    before, after = tokens[place - 1], tokens[place + 1 : place + 3]
    if len(after) < 2 or before.kind not in {")", "]", "}", "number", "constant"}:
        return token
    starts = after[0].kind in {"(", "[", "{"} if before.kind in {")", "]", "}"} else token.gap
    relation = after[0].kind == "letter" and after[1].kind in {"=", "<", ">", "<=", ">="}
    if (
        token.text in "Uu"
        and (starts or relation)
        and (relation or after[0].kind in {"(", "[", "{"})
    ):
        return Token("∪", token.text, gap=token.gap)
    return Token("or", "or", gap=token.gap) if token.text in "vV" and relation else token


def _between_values(tokens: list[Token], place: int) -> Token:
    """Read a backslash between numbers as a slash and `x: 2` as `x = 2`."""
    token, before, after = tokens[place], tokens[place - 1].kind, tokens[place + 1].kind
    if token.kind == "\\":
        return Token("/", "/") if (before, after) == ("number", "number") else token
    indexed = before == "number" and place > 1 and tokens[place - 2].kind == "letter"
    labels = (before == "letter" or (indexed and not tokens[place - 1].gap)) and after in {
        "number",
        "-",
        "±",
        "√",
        marks.FRACTION,
    }
    ordered = any(other.kind in {"<", ">", "<=", ">=", "!=", "{"} for other in tokens)
    return Token("=", "=") if labels and not ordered else token


def _roman(text: str, gap: bool, before: list[Token]) -> Token:
    """Upright text behind a number is a unit; a lone upright letter elsewhere is a letter."""
    measured = bool(before) and before[-1].kind in {"number", ")", marks.END_FRACTION, "/", "unit"}
    if len(text) == 1 and text.isalpha() and not measured:
        return Token("letter", text, gap=gap)
    return Token("unit", text, gap=gap)


def _sign(text: str, gap: bool) -> Token:
    text = _SAME.get(text, text)
    if text == "∞":
        return Token("constant", "oo", gap=gap)
    if text == "π":
        return Token("constant", "pi", gap=gap)
    if text not in _KNOWN_SIGNS:
        raise Unread(f"unknown character {text!a}" if len(text) == 1 else f"unknown sign {text}")
    return Token(text, text, gap=gap)


def _word(text: str, gap: bool, known: frozenset[str], before: list[Token]) -> list[Token]:
    lower = text.lower()
    if text == "π":
        return [Token("constant", "pi", gap=gap)]
    if text in known or (len(text) == 1 and text not in GREEK):
        return [Token("letter", text, gap=gap)]
    if text in GREEK or lower in _GREEK_NAMES:
        return [Token("letter", GREEK.get(text, text), gap=gap)]
    for table, kind in ((FUNCTIONS, "function"), (_CONSTANTS, "constant")):
        if lower in table:
            return [Token(kind, table[lower], gap=gap)]
    if lower in _CONNECTIVES:
        return [Token(_CONNECTIVES[lower], lower, gap=gap)]
    return _split(text, gap, known, before)


def _split(text: str, gap: bool, known: frozenset[str], before: list[Token]) -> list[Token]:
    lower = text.lower()
    for word, kind in (*FUNCTIONS.items(), *_CONNECTIVES.items()):
        rest = text[len(word) :]
        if lower.startswith(word) and len(word) > 1 and len(rest) <= 2:
            named = Token("function", kind, gap=gap) if word in FUNCTIONS else Token(kind, word)
            return [named, *_word(rest, False, known, before)]
        if lower.endswith(word) and len(word) > 2 and len(lower) - len(word) <= 2:
            head = _word(text[: -len(word)], gap, known, before)
            return [*head, Token("function", kind) if word in FUNCTIONS else Token(kind, word)]
    after_number = bool(before) and before[-1].kind in _MEASURED
    if after_number and text in unit_words():
        return [Token("unit", text, gap=gap)]
    if after_number and _is_counted_noun(lower):
        return [Token("unit", text, gap=gap)]
    if not _product_of_letters(text, known):
        raise Unread(f"unknown word “{text[:40]}”")
    return _letter_by_letter(text, gap)


def _letter_by_letter(text: str, gap: bool) -> list[Token]:
    return [Token("letter", letter, gap=gap and place == 0) for place, letter in enumerate(text)]


_NO_NOUNS = frozenset(
    {"this", "does", "less", "plus", "minus", "times", "pass", "guess", "works", "miss", "gives"}
    | {"makes", "cross", "equals", "solutions", "answers", "roots", "sometimes", "always", "unless"}
)


def _is_counted_noun(word: str) -> bool:
    """Whether a word behind a number reads as the things counted: `3 marbles`."""
    return len(word) > 3 and word.endswith("s") and word.isalpha() and word not in _NO_NOUNS


def _product_of_letters(text: str, known: frozenset[str]) -> bool:
    """Whether a run of letters is a product: short and no word, or letters that go together."""
    if known and all(letter in known or letter in "ie" for letter in text):
        return True
    if _TYPICAL.fullmatch(text):
        return True
    if text.lower() in short_words():
        return False
    return len(text) == 2 or (len(text) == 3 and not any(v in text.lower() for v in "eiou"))
