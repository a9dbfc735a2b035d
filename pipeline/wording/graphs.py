"""Questions about functions, lines and parabolas: their values, slopes, vertices and equations."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final

from pipeline.wording.spans import (
    Built,
    Formula,
    Sentence,
    body_of,
    is_defined,
    letters_of,
    name_of,
    value_of,
)

_SLOPE_GIVEN: Final = re.compile(r"slope (?:of |is |equal to |equals |being )?(?:L )?(N|V)\b")
_INTERCEPT: Final = re.compile(
    r"y-intercept (?:of |is |at |equal to |equals |the point )?(?:L )?(N|V|P)\b"
)
_BESIDE: Final = r" to (?:the )?(?:line )?(?:with )?(?:equation )?(?:whose equation is )?(E)\b"


def line_asked(sentence: Sentence) -> Built | None:
    """The equation of a line from what is said of it."""
    parts, used = _facts_of_line(sentence)
    if len(parts) < 2:
        return None
    form = re.search(r"point-slope|(?:standard|general) form", sentence.words)
    doubt = f"asks for a form that is not checked: {form[0]}" if form else ""
    return Built("line", ", ".join(parts), used, doubt)


def _facts_of_line(sentence: Sentence) -> tuple[list[str], int]:
    """What is said of a line, in the order in which the task wants it, and how many formulas."""
    words, used = sentence.words, 0
    named: dict[str, str] = {}
    for key, pattern in (("slope", _SLOPE_GIVEN), ("y-intercept", _INTERCEPT)):
        if found := pattern.search(words):
            one = _at(sentence, found.start(1))
            named[key] = _intercept(one) if key == "y-intercept" else _plain_value(one)
            used += 1 + ("L" in found[0])
    for key in ("parallel", "perpendicular"):
        if found := re.search(key + _BESIDE, words):
            named[key] = _at(sentence, found.start(1)).text
            used += 1
    if "slope" not in named and "V" in words and (m := _of_letter(sentence, "m")):
        named["slope"], used = m, used + 1
    if found := re.search(r"x-intercept (?:of |is |at |equal to )?(N)\b", words):
        named["x-intercept"], used = _at(sentence, found.start(1)).text, used + 1
    crossing = named.get("y-intercept")
    points = [one.text for one in sentence.of("P") if _intercept_text(one) != crossing]
    used += len(points)
    points += [f"({named['x-intercept']}, 0)"] if "x-intercept" in named else []
    parts = [f"through {points[0]}"] if points else []
    parts += points[1:]
    for key in ("vertical", "horizontal"):
        if re.search(rf"\b{key}\b", words):
            parts.append(key)
    parts += [f"{key} to {named[key]}" for key in ("parallel", "perpendicular") if key in named]
    if re.search(r"undefined slope|slope (?:is )?undefined", words):
        parts.append("slope undefined")
    parts += [f"{key} {named[key]}" for key in ("slope", "y-intercept") if key in named]
    return parts, used


def _of_letter(sentence: Sentence, letter: str) -> str | None:
    values = [value_of(one) for one in sentence.of("V") if one.text.lstrip().startswith(letter)]
    return values[0] if len(values) == 1 else None


def _at(sentence: Sentence, place: int) -> Formula:
    """The formula whose capital stands at a place of the words."""
    before = sentence.words[:place]
    return sentence.formulas[sum(len(w) == 1 and w.isupper() for w in before.split())]


def _plain_value(one: Formula) -> str:
    return value_of(one) if one.kind == "V" else one.text


def _intercept(one: Formula) -> str:
    return _intercept_text(one) if one.kind == "P" else _plain_value(one)


def _intercept_text(one: Formula) -> str:
    return one.text.strip("() ").partition(",")[2].strip()


def slope(sentence: Sentence) -> Built | None:
    """The slope of a line given by two points or an equation."""
    points, lines = sentence.of("P"), sentence.of("EF")
    if len(points) == 2 and not lines:
        named = len(sentence.of("L"))
        return Built("slope", ", ".join(one.text for one in points), 2 + named)
    if len(lines) == 1 and not points and lines[0].kind == "E":
        return Built("slope", lines[0].text, 1)
    if len(lines) == 1 and not points:
        return Built("slope", f"y = {body_of(lines[0])}", 1)
    return None


def intercept(sentence: Sentence) -> Built | None:
    """Where a graph crosses an axis; the x-intercepts of a function are its zeros."""
    found = sentence.of("EF")
    if len(found) != 1 or "P" in sentence.words:
        return None
    text, body = found[0].text, body_of(found[0])
    letters, below = letters_of(text), letters_of(body)
    axes = set(re.findall(r"\b([xy])-(?:intercept|axis)", sentence.words))
    both = len(axes) > 1 or re.search(r"y-intercepts|both\b.*\bintercepts", sentence.words)
    if both and letters == {"x", "y"}:
        # Points on an axis: those with a coordinate zero.
        return Built("solve", f"{text}; xy = 0", len(sentence.formulas))
    is_rule = found[0].kind == "F" or (is_defined(found[0]) and text.lstrip()[0] not in below)
    if is_rule and len(below) == 1:
        if axes != {"y"}:
            return None
        (letter,) = below
        if letter == "x" and re.search("point|pair|coordinates", sentence.words):
            return Built("solve", f"y = {body}; x = 0", 1 + len(sentence.of("C")))
        rule = text if found[0].kind == "F" else f"f({letter}) = {body}"
        return Built("function", f"{rule}; {rule.strip()[0]}(0)", 1 + len(sentence.of("C")))
    if letters != {"x", "y"}:
        return None
    axis, other = ("y", "x") if axes == {"y"} else ("x", "y")
    return Built("solve", f"{text}; {other} = 0", 1, asked=axis)


def slope_intercept(sentence: Sentence) -> Built | None:
    """An equation to be written as y = mx + b."""
    found = sentence.of("E")
    if len(found) != 1 or not {"y", "x"} <= letters_of(found[0].text):
        return None
    patterns = len(sentence.of("E")) - 1
    return Built("solve-for", f"{found[0].text} for y", 1 + patterns)


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


_TWO_BLANKS = re.compile(
    r"\s*([a-z])\s*\^\s*2\s*[+-]\s*(?P<b>\d+(?:/\d+)?)\s*\1\s*=\s*\(\s*\1\s*\)\s*\^\s*2\s*"
)

_FIRST_BLANK = re.compile(
    r"\s*(?P<sum>([a-z])\s*\^\s*2\s*[+-][^=()]*\2)\s*=\s*\([^=()]+\)\s*\^\s*2\s*"
)


def discriminant(sentence: Sentence) -> Built | None:
    """The discriminant of an equation."""
    found = [one for one in sentence.of("EXF") if not _is_discriminant(one)]
    named = "discriminant" in sentence.words or len(found) < len(sentence.of("EXF"))
    if len(found) != 1 or not named:
        return None
    text = found[0].text
    return Built("discriminant", text, len(sentence.formulas))


def _is_discriminant(one: Formula) -> bool:
    return re.sub(r"\s|[()]", "", one.text).replace("*", "") in {"b^2-4ac", "D=b^2-4ac"}


def _one_parabola(sentence: Sentence) -> Formula | None:
    found = [one for one in sentence.of("EFX") if not _is_pattern_of_form(one)]
    return found[0] if len(found) == 1 else None


def _is_pattern_of_form(one: Formula) -> bool:
    bare = re.sub(r"\s|[*]", "", one.text)
    return re.search(r"=?a?\(x[-+]h\)\^2[+-]k$", bare) is not None


def vertex(lead: str) -> Callable[[Sentence], Built | None]:
    """The vertex of a parabola; a lead such as `axis of symmetry of ` asks for a part."""

    def build(sentence: Sentence) -> Built | None:
        found = _one_parabola(sentence)
        return Built("vertex", lead + found.text, 1) if found else None

    return build


def extreme(sentence: Sentence) -> Built | None:
    """The least or greatest value of a quadratic function."""
    found = _one_parabola(sentence)
    most = re.search(r"max|greatest|largest|highest", sentence.words)
    lead = "maximum value of " if most else "minimum value of "
    return Built("vertex", lead + found.text, 1) if found else None


def coordinate(sentence: Sentence) -> Built | None:
    """One coordinate of a vertex."""
    found = _one_parabola(sentence)
    if found is None:
        return None
    height = "maximum value of " if body_of(found).startswith("-") else "minimum value of "
    lead = "axis of symmetry of " if "x-coordinate" in sentence.words else height
    return Built("vertex", lead + found.text, 1, "one coordinate of the vertex is asked for")


def vertex_form(sentence: Sentence) -> Built | None:
    """A quadratic to be written as a(x - h)^2 + k."""
    found = _one_parabola(sentence)
    if found is None:
        return None
    patterns = sum(_is_pattern_of_form(one) for one in sentence.formulas)
    return Built("rewrite", found.text, 1 + patterns)


def two_blanks(sentence: Sentence) -> Built | None:
    """Both gaps of x^2 + bx + __ = (x + __)^2, in their order."""
    asked = [one.text for one in sentence.of("E") if one.blank]
    found = _TWO_BLANKS.fullmatch(asked[0]) if len(asked) == 1 else None
    turned = _TWO_BLANKS.fullmatch("=".join(reversed(asked[0].split("=")))) if asked else None
    if len(asked) != 1 or not (found or turned):
        return None
    half = f"{(found or turned)['b']}/2"  # type: ignore[index]
    doubt = "the two blanks are called a and b, and are taken in their order"
    first, second = (f"({half})^2", half) if found else (half, f"({half})^2")
    return Built("solve", f"a = {first}; b = {second}", len(sentence.formulas), doubt, known="two")


def first_blank(sentence: Sentence) -> Built | None:
    """The gap of x^2 + bx + __ = (x + b/2)^2."""
    asked = [one.text for one in sentence.of("E") if one.blank]
    found = _FIRST_BLANK.fullmatch(asked[0]) if len(asked) == 1 else None
    return Built("square-constant", found["sum"], len(sentence.formulas)) if found else None


def square_constant(sentence: Sentence) -> Built | None:
    """The number that makes x^2 + bx a perfect square."""
    found = [one for one in sentence.of("XE") if "^2" in one.text.replace(" ", "")]
    named = re.search("complet|perfect", sentence.words)
    if len(found) != 1 or not (found[0].blank or (named and found[0].kind == "X")):
        return None
    text = found[0].text.partition("=")[0].strip()
    without = re.sub(r"\s*[+-]\s*[a-z]\s*$", "", text)
    if len(letters_of(text)) > 1 and len(letters_of(without)) == 1:
        text = without
    return Built("square-constant", text, 1 + len(sentence.of("L")))
