"""Questions about numbers: values, conversions, percents."""

from __future__ import annotations

import re
from typing import Final

from pipeline.wording.built import (
    IMAGINARY,
    LOGARITHM,
    RADICAL,
    Built,
    body_of,
    domain_of,
    is_defined,
    letters_of,
    name_of,
    value_of,
)
from pipeline.wording.spans import Sentence

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
