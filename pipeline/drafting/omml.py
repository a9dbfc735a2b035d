"""Office mathematics (OMML) as typed notation.

Elements as in ECMA-376 part 1, chapter 22.1 (Office Math Markup Language).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from pipeline.reading import marks
from pipeline.reading.budgets import MAX_DEPTH, Unread
from pipeline.reading.characters import plain_characters
from pipeline.wording.typed import plain_notation

MATH: Final = "{http://schemas.openxmlformats.org/officeDocument/2006/math}"
_REFUSED: Final = {
    "nary": "a sum, product or integral sign",
    "m": "a matrix",
    "limLow": "something written below a symbol",
    "limUpp": "something written above a symbol",
    "sPre": "an index written in front",
    "groupChr": "a brace over or under a term",
}
_INSIDE: Final = {
    "oMath", "e", "num", "den", "deg", "sup", "sub", "fName", "box", "borderBox", "phant", "lim",
}  # fmt: skip
_ACCENTS: Final = {"\u0302", "\u0303", "\u20d7", "\u0307"}


def typed_mathematics(element: Any) -> str:
    """An `m:oMath` or `m:oMathPara` element as a person would type it.

    Raises:
        Unread: it holds something that no problem of ours can hold; the message names it.
    """
    return plain_notation(_write(element, 0))


def _name(element: Any) -> str:
    tag = element.tag
    return tag.rpartition("}")[2] if isinstance(tag, str) else ""


def _write(element: Any, depth: int) -> str:
    if depth > MAX_DEPTH:
        raise Unread("too many levels of brackets")
    name = _name(element)
    if name in _REFUSED:
        raise Unread(f"{_REFUSED[name]} in an equation")
    if name == "r":
        return plain_characters("".join(part.text or "" for part in element.iter(f"{MATH}t")), [])
    if name == "oMathPara":
        return "; ".join(_write(part, depth + 1) for part in element.iterchildren(f"{MATH}oMath"))
    if writer := _WRITERS.get(name):
        return writer(element, depth + 1)
    if name in _INSIDE:
        return "".join(_write(part, depth + 1) for part in element)
    return ""


def _part(element: Any, name: str, depth: int) -> str:
    found = element.find(f"{MATH}{name}")
    return "" if found is None else _write(found, depth)


def _property(element: Any, name: str) -> str | None:
    """A value among the properties; "" where the property is there without one."""
    for group in element:
        if _name(group).endswith("Pr"):
            found = group.find(f"{MATH}{name}")
            if found is not None:
                return str(found.get(f"{MATH}val", ""))
    return None


def _fraction(element: Any, depth: int) -> str:
    if _property(element, "type") == "noBar":
        raise Unread("two terms stacked without a bar in an equation")
    return marks.fraction(_part(element, "num", depth), _part(element, "den", depth))


def _radical(element: Any, depth: int) -> str:
    degree = _part(element, "deg", depth).strip()
    return marks.root(_part(element, "e", depth), degree or "2")


def _raised(element: Any, depth: int) -> str:
    base, raised = _part(element, "e", depth), _part(element, "sup", depth)
    lowered = _part(element, "sub", depth).strip()
    compound = len(base.strip()) > 1 and base.strip()[0] not in "(|["
    whole = marks.group(base) if compound and not base.strip().isalnum() else base.strip()
    low = f"_{lowered}" if lowered else ""
    return f"{whole}{low}^{marks.group(raised)}" if raised.strip() else f"{whole}{low}"


def _delimited(element: Any, depth: int) -> str:
    begin, end = _property(element, "begChr"), _property(element, "endChr")
    left, right = "(" if begin is None else begin, ")" if end is None else end
    between = _property(element, "sepChr")
    parts = [_write(part, depth) for part in element.iterchildren(f"{MATH}e")]
    text = ("|" if between is None else between).join(parts)
    if left == "{" and not right:
        return text
    return f"{plain_characters(left, [])}{text}{plain_characters(right, [])}"


def _function(element: Any, depth: int) -> str:
    name, inner = _part(element, "fName", depth).strip(), _part(element, "e", depth).strip()
    bracketed = inner[:1] in ("(", "|", "[")
    return f" {name}{inner}" if bracketed else f" {name}({inner})"


def _lines(element: Any, depth: int) -> str:
    parts = (_write(part, depth) for part in element.iterchildren(f"{MATH}e"))
    return "; ".join(part.replace("&", "").strip() for part in parts if part.strip())


def _accented(element: Any, depth: int) -> str:
    if (_property(element, "chr") or "\u0302") in _ACCENTS:
        return _part(element, "e", depth)
    raise Unread("a sign written over a term in an equation")


def _barred(element: Any, depth: int) -> str:
    raise Unread("a bar over or under a term in an equation")


_WRITERS: Final[dict[str, Callable[[Any, int], str]]] = {
    "f": _fraction,
    "rad": _radical,
    "sSup": _raised,
    "sSub": _raised,
    "sSubSup": _raised,
    "d": _delimited,
    "func": _function,
    "eqArr": _lines,
    "acc": _accented,
    "bar": _barred,
}
