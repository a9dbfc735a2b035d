"""Questions about functions that are given: values, inverses, rates of change, domains."""

from __future__ import annotations

import re

from pipeline.wording.built import Built, body_of, is_defined, letters_of, name_of, value_of
from pipeline.wording.spans import Sentence


def _given(sentence: Sentence) -> str:
    return "; ".join(one.text for one in sentence.of("F"))


def call(sentence: Sentence) -> Built | None:
    """A value, combination or preimage of functions that are given."""
    functions, calls = sentence.of("F"), sentence.of("C")
    if not functions or not calls:
        return None
    asked = [one for one in calls if one.text not in {f"{name_of(f)[0]}(x)" for f in functions}]
    bare = len(calls) - len(asked)
    letters = len(sentence.of("L")) + bare
    if len(asked) != 1:
        return None
    text = f"{_given(sentence)}; {asked[0].text.replace('^(-1)', '^-1')}"
    return Built("function", text, len(functions) + 1 + letters)


def inverse(sentence: Sentence) -> Built | None:
    """The inverse of a function."""
    functions = sentence.of("F") or tuple(one for one in sentence.of("E") if is_defined(one))
    if len(functions) != 1:
        return None
    name, letter = name_of(functions[0])
    rule = functions[0].text if functions[0].kind == "F" else f"f(x) = {body_of(functions[0])}"
    used = 1 + len(sentence.of("C"))
    return Built("function", f"{rule}; {name}^-1({letter})", used)


def difference_quotient(sentence: Sentence) -> Built | None:
    """The difference quotient of a function, with h."""
    functions = sentence.of("F")
    if len(functions) != 1:
        return None
    f, x = name_of(functions[0])
    text = f"{functions[0].text}; ({f}({x} + h) - {f}({x}))/h"
    return Built("function", text, len(sentence.formulas))


def average_rate(sentence: Sentence) -> Built | None:
    """The average rate of change of a function over an interval."""
    functions = sentence.of("F")
    ends = [value_of(one) for one in sentence.of("V")] or [one.text for one in sentence.of("N")]
    if len(ends) == 1 and (inside := re.fullmatch(r"\[\s*(.+?)\s*,\s*(.+?)\s*\]", ends[0])):
        ends = [inside[1], inside[2]]
    if len(functions) != 1 or len(ends) != 2:
        return None
    f, (low, high) = name_of(functions[0])[0], ends
    text = f"{functions[0].text}; ({f}({high}) - {f}({low}))/({high} - {_operand(low)})"
    return Built("function", text, len(sentence.formulas))


def _operand(text: str) -> str:
    return f"({text})" if text.startswith("-") else text


def domain_asked(sentence: Sentence) -> Built | None:
    """The domain of a function or expression."""
    named = re.search(r"\bdomain of (?:the )?(?:function )?(?=[LC]\b)", sentence.words)
    found = sentence.of("FEX")
    if named and len(found) > 1:
        letter = next((one.text[0] for one in sentence.of("LC")), "")
        found = tuple(one for one in found if one.kind == "F" and name_of(one)[0] == letter)
    if len(found) != 1:
        return None
    if named:
        return Built("domain", body_of(found[0]), len(sentence.formulas))
    return Built("domain", body_of(found[0]), 1 + len(sentence.of("C")))


def undefined(sentence: Sentence) -> Built | None:
    """Where a fraction has no value: where its denominator is zero."""
    found = sentence.of("XF") or tuple(one for one in sentence.of("E") if is_defined(one))
    if len(found) != 1:
        return None
    whole = re.fullmatch(r"(?:\([^()]*\)|[\w^]+)\s*/\s*(\([^()]*\)|[\w^]+)", body_of(found[0]))
    if whole is None:
        return None
    words = "undefined excluded restricted restriction defined not"
    return Built("solve", f"{whole[1].strip('()')} = 0", len(sentence.of("XFLE")), known=words)


def falls(sentence: Sentence) -> Built | None:
    """When something whose height is given reaches the ground: after its start."""
    found = [one for one in sentence.of("EF") if one.kind == "F" or is_defined(one)]
    letters = {letter for one in found for letter in letters_of(body_of(one))}
    if len(found) != 1 or letters != {"t"}:
        return None
    return Built(
        "solve", f"{body_of(found[0])} = 0", len(sentence.formulas), keep="t > 0",
        doubt="read from a story: the height is set equal to zero", known=sentence.words,
    )  # fmt: skip
