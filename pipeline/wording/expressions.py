"""Questions about expressions and numbers: factor, expand, simplify, divide, convert, in words."""

from __future__ import annotations

import re
from typing import Final

from pipeline.wording.spans import (
    IMAGINARY,
    LOGARITHM,
    RADICAL,
    Built,
    Sentence,
    body_of,
    domain_of,
    is_defined,
    is_numeric,
    letters_of,
    name_of,
    one_expression,
    value_of,
)


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


_WORKED_OUT: Final = re.compile(r"evaluat|value|comput|calculat|round|estimat|approximat")
_SINGLE_NUMBER: Final = re.compile(
    r"-?\s*(?:\d+\s+\d+/\d+(?:\s*%)?|\d+/\d+|\(\d+/\d+\)|[\d.]+\s*%|[\d.]+(?:\s*\*\s*10\s*\^\s*\(?-?\d+\)?)?)"
)

_NOTATIONS: Final = (
    ("percent", "percent"), ("scientific", "scientific"), ("mixed", "mixed number"),
    ("improper", "improper fraction"), ("standard", "decimal"), ("ordinary", "decimal"),
    ("decimal", "decimal"), ("fraction", "fraction"),
)  # fmt: skip


def convert(sentence: Sentence) -> Built | None:
    """One number to be written in another notation."""
    found = sentence.of("N")
    if len(found) != 1 or not _SINGLE_NUMBER.fullmatch(found[0].text):
        return None
    wanted = re.findall(
        r"\b(?:to|as|in|into|using) (?:an? |its )?(?:equivalent |simplified |reduced |simplest )?"
        r"(percent|scientific|mixed|improper|standard|ordinary|decimal|fraction)", sentence.words,
    )  # fmt: skip
    if len(wanted) != 1 or re.search("how many", sentence.words):
        return None
    form = "reduced" if re.search("reduced|simplified|simplest|lowest", sentence.words) else None
    return Built("convert", f"{found[0].text} to {dict(_NOTATIONS)[wanted[0]]}", 1, form=form)


def percent_of(sentence: Sentence) -> Built | None:
    """A percent of a number."""
    found = sentence.of("N")
    if len(found) != 2:
        return None
    if re.fullmatch(r"\d+/\d+", found[0].text):
        return Built("evaluate", f"{found[0].text} * {found[1].text}", 2)
    if "%" not in found[0].text:
        return None
    return Built("evaluate", f"{found[0].text} of {found[1].text}", 2)


def percent_asked(sentence: Sentence) -> Built | None:
    """What percent one number is of another, or the number that a percent is given of."""
    found = [one.text for one in sentence.of("N")]
    percents = [text for text in found if "%" in text]
    if len(found) != 2 or len(percents) > 1:
        return None
    if percents:
        (part,) = (text for text in found if "%" not in text)
        return Built("evaluate", f"{part} / {percents[0]}", 2)
    part, whole = found if "N is what" in sentence.words else reversed(found)
    return Built("convert", f"{part}/{whole} to percent", 2)


def evaluate_at(sentence: Sentence) -> Built | None:
    """The value of an expression or function where letters have values."""
    values = sentence.of("V")
    bodies = sentence.of("XF") or tuple(one for one in sentence.of("E") if is_defined(one))
    if len(bodies) != 1 or not values:
        return None
    if bodies[0].kind == "F" and len(values) == 1:
        name = name_of(bodies[0])[0]
        return Built("function", f"{bodies[0].text}; {name}({value_of(values[0])})", 2)
    text = body_of(bodies[0])
    if not {one.text.strip()[0] for one in values} <= letters_of(text):
        return None
    at = ", ".join(one.text for one in values)
    return Built("evaluate", f"{text} at {at}", 1 + len(values), numbers=domain_of(text))


def numeric(sentence: Sentence) -> Built | None:
    """Numbers and operations to be worked out."""
    found = sentence.of("N")
    if len(found) != 1:
        return None
    text = found[0].text
    if re.fullmatch(r"-?\s*[\d.]+", text) and "round" not in sentence.words:
        return None  # a lone number is nothing to be worked out
    if LOGARITHM.search(text):
        return Built("logarithm", text, 1)
    task = (
        "simplify"
        if RADICAL.search(text) and not _WORKED_OUT.search(sentence.words)
        else "evaluate"
    )
    task = "simplify" if IMAGINARY.search(text) else task
    return Built(task, text, 1, numbers=domain_of(text))
