"""Questions about expressions: factor, expand, simplify, divide, operations in words."""

from __future__ import annotations

import re

from pipeline.wording.built import (
    IMAGINARY,
    RADICAL,
    Built,
    body_of,
    domain_of,
    is_numeric,
    one_expression,
)
from pipeline.wording.spans import Sentence


def _two(sentence: Sentence, between: str) -> tuple[str, str] | None:
    found = sentence.of("XN")
    if len(found) == 2 and re.search(rf"[XN] (?:{between}) (?:the )?(?:\w+ )?[XN]", sentence.words):
        return found[0].text, found[1].text
    return None


def _grouped(text: str) -> str:
    whole = re.fullmatch(r"\([^()]*\)|\d+(?:\.\d+)?|[A-Za-z](?:\^\d+)?", text)
    return text if whole else f"({text})"


def divide(sentence: Sentence) -> Built | None:
    """A division: of polynomials, else simplified or worked out."""
    pair = _two(sentence, "by|into|is divided by|divided by")
    if pair and re.search(r"[XN] into (?:the )?(?:\w+ )?[XN]", sentence.words):
        pair = pair[1], pair[0]
    one = one_expression(sentence)
    text = f"{_grouped(pair[0])} / {_grouped(pair[1])}" if pair else one.text if one else ""
    if not text:
        return None
    used = 2 if pair else 1
    if "remainder" in sentence.words and "quotient" not in sentence.words:
        return _remainder(pair, used)
    long = re.search(r"long|synthetic|remainder", sentence.words) is not None
    if not long and (RADICAL.search(text) or IMAGINARY.search(text) or is_numeric(text)):
        return _numeric_or_simplified(text, used)
    rational = not long and (text.count("/") > 1)
    if "/" not in text:
        return None
    return Built("simplify" if rational else "divide", text, used)


def _remainder(pair: tuple[str, str] | None, used: int) -> Built:
    """The remainder alone: by x - a it is the value at a, else no task gives it."""
    linear = re.fullmatch(r"\(?([a-z])\s*([+-])\s*(\d+)\)?", pair[1].strip()) if pair else None
    if pair is None or linear is None:
        return Built("skip", "", used, "the remainder alone is asked for: counted, not judged")
    letter, sign, number = linear.groups()
    return Built("evaluate", f"{pair[0]} at {letter} = {'-' * (sign == '+')}{number}", used,
                 known="remainder when divided")  # fmt: skip


def _numeric_or_simplified(text: str, used: int) -> Built:
    simple = RADICAL.search(text) or IMAGINARY.search(text) or not is_numeric(text)
    return Built("simplify" if simple else "evaluate", text, used, numbers=domain_of(text))


def factor(sentence: Sentence) -> Built | None:
    """One expression to be factored."""
    one = one_expression(sentence)
    if one is None or one.kind == "N":
        return None
    return Built("factor", body_of(one), 1)


def multiply(sentence: Sentence) -> Built | None:
    """A product: of sums written out, else simplified or worked out."""
    pair = _two(sentence, "by|and|times|with|multiplied by")
    one = one_expression(sentence)
    text = f"{_grouped(pair[0])}{_grouped(pair[1])}" if pair else body_of(one) if one else ""
    if sentence.words.startswith("square X") and not re.fullmatch(r"\(.*\)\s*\^\s*2", text):
        return Built("expand", f"({text})^2", 1)
    if pair and is_numeric(text):
        text = f"{_grouped(pair[0])} * {_grouped(pair[1])}"
    if not text:
        return None
    used = 2 if pair else 1
    if is_numeric(text) or RADICAL.search(text) or domain_of(text) == "complex":
        return _numeric_or_simplified(text, used)
    if _has_letter_below(text) or not _has_sum(text):
        return Built("simplify", text, used)
    return Built("expand", text, used)


def _has_letter_below(text: str) -> bool:
    return re.search(r"/\s*(?:\([^()]*[A-Za-z]|\d*[A-Za-z])", text) is not None


def _has_sum(text: str) -> bool:
    """Whether some bracket holds a sum, so that multiplying has terms to write out."""
    return re.search(r"\([^()]*[\w)^]\s*[+-][^()]*\)", text) is not None


def expand(sentence: Sentence) -> Built | None:
    """One expression to be written without brackets."""
    one = one_expression(sentence)
    if one is None:
        return None
    text = body_of(one)
    return Built("expand", text, 1, numbers=domain_of(text))


def subtract(sentence: Sentence) -> Built | None:
    """A difference, also said as `subtract X from X`."""
    pair = _two(sentence, "from")
    if pair:
        return _sum_of(pair[1], pair[0], "-")
    pair = _two(sentence, "and|minus")
    return _sum_of(*pair, "-") if pair else operated(sentence)


def add(sentence: Sentence) -> Built | None:
    """A sum, also said as `add X and X`."""
    pair = _two(sentence, "and|to|plus|with")
    return _sum_of(*pair, "+") if pair else operated(sentence)


def operated(sentence: Sentence) -> Built | None:
    """One expression that is to be worked out: numbers evaluated, anything else simplified."""
    one = one_expression(sentence)
    return _numeric_or_simplified(body_of(one), 1) if one else None


def _sum_of(first: str, second: str, sign: str) -> Built:
    text = f"{_grouped(first)} {sign} {_grouped(second)}"
    task = "evaluate" if is_numeric(text) and not RADICAL.search(text) else "simplify"
    return Built(task, text, 2, numbers=domain_of(text))


def simplify(sentence: Sentence) -> Built | None:
    """One expression to be simplified."""
    one = one_expression(sentence)
    if one is None:
        return None
    text = body_of(one)
    numbers = domain_of(text)
    if re.search(r"sqrt\(\s*-\s*\d", text):
        numbers = "complex"
    return Built("simplify", text, 1, numbers=numbers)


def conjugate(sentence: Sentence) -> Built | None:
    """The conjugate of a complex number."""
    one = one_expression(sentence)
    return Built("simplify", f"conjugate of {one.text}", 1, numbers="complex") if one else None


def notation(sentence: Sentence) -> Built | None:
    """Roots written as powers, or powers as roots: both are one value, so only a key can tell."""
    one = one_expression(sentence)
    if one is None or ("radical" in sentence.words and re.search("sqrt|cbrt", one.text)):
        return None
    return Built("", "", 1, "another notation of the same is asked for: give a key and `judge`")
