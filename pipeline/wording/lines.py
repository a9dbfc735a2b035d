"""Questions about lines: slopes, and equations from what is said of a line."""

from __future__ import annotations

import re
from typing import Final

from pipeline.wording.built import Built, body_of, is_defined, letters_of, value_of
from pipeline.wording.spans import Formula, Sentence

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
