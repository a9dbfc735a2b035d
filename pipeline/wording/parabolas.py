"""Questions about quadratics: discriminant, vertex, vertex form, the constant of a square."""

from __future__ import annotations

import re
from collections.abc import Callable

from pipeline.wording.built import Built, body_of, letters_of
from pipeline.wording.spans import Formula, Sentence

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
