"""Word files as lines of text: numbering as printed, equations typed out, pictures named.

Equations are Office mathematics, elements as in ECMA-376 part 1, chapter 22.1 (Office Math Markup
Language).
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final
from zipfile import BadZipFile, ZipFile

from docx import Document
from docx.opc.exceptions import PackageNotFoundError
from docx.table import Table
from docx.text.paragraph import Paragraph
from lxml.etree import XMLSyntaxError

from pipeline.drafting.lines import Line
from pipeline.errors import InputError
from pipeline.reading import marks
from pipeline.reading.characters import plain_characters
from pipeline.reading.records import MAX_DEPTH, Unread
from pipeline.wording.typed import plain_notation

_MATH: Final = "{http://schemas.openxmlformats.org/officeDocument/2006/math}"
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
        return plain_characters("".join(part.text or "" for part in element.iter(f"{_MATH}t")), [])
    if name == "oMathPara":
        return "; ".join(_write(part, depth + 1) for part in element.iterchildren(f"{_MATH}oMath"))
    if writer := _WRITERS.get(name):
        return writer(element, depth + 1)
    if name in _INSIDE:
        return "".join(_write(part, depth + 1) for part in element)
    return ""


def _part(element: Any, name: str, depth: int) -> str:
    found = element.find(f"{_MATH}{name}")
    return "" if found is None else _write(found, depth)


def _property(element: Any, name: str) -> str | None:
    """A value among the properties; "" where the property is there without one."""
    for group in element:
        if _name(group).endswith("Pr"):
            found = group.find(f"{_MATH}{name}")
            if found is not None:
                return str(found.get(f"{_MATH}val", ""))
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
    parts = [_write(part, depth) for part in element.iterchildren(f"{_MATH}e")]
    text = ("|" if between is None else between).join(parts)
    if left == "{" and not right:
        return text
    return f"{plain_characters(left, [])}{text}{plain_characters(right, [])}"


def _function(element: Any, depth: int) -> str:
    name, inner = _part(element, "fName", depth).strip(), _part(element, "e", depth).strip()
    bracketed = inner[:1] in ("(", "|", "[")
    return f" {name}{inner}" if bracketed else f" {name}({inner})"


def _equation_lines(element: Any, depth: int) -> str:
    parts = (_write(part, depth) for part in element.iterchildren(f"{_MATH}e"))
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
    "eqArr": _equation_lines,
    "acc": _accented,
    "bar": _barred,
}


_W: Final = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
_PICTURE: Final = "it holds a picture; an equation or a figure in it has to be typed"
_OBJECT: Final = "it holds an equation object of an older editor (OLE); type the equation"
_FIELD: Final = "it holds an equation field (EQ); type the equation"
_ENTITY: Final = "it holds an entity that the file declares, which is never followed"
_NOT_TAKEN: Final = {"object": _OBJECT, "drawing": _PICTURE, "pict": _PICTURE}
_AS_TEXT: Final = {"tab": " ", "br": "\n", "cr": "\n", "noBreakHyphen": "-"}
_MOST_BYTES: Final = 200 << 20
_ROMAN: Final = ((10, "x"), (9, "ix"), (5, "v"), (4, "iv"), (1, "i"))


def word_lines(path: Path, name: str) -> list[Line]:
    """Lines of a .docx in reading order, cells of tables one after another.

    Raises:
        InputError: no Word file, damaged, or beyond 200 MB unpacked.
    """
    try:
        with ZipFile(path) as archive:
            size = sum(one.file_size for one in archive.infolist())
        if max(size, path.stat().st_size) > _MOST_BYTES:
            raise InputError(
                f"{name}: larger than 200 MB unpacked; expected a file of questions. Split it, or "
                "take its pictures out."
            )
        document = Document(str(path))
        numbers = _Numbers(document)
        return list(_lines(document, numbers))
    except (PackageNotFoundError, BadZipFile, KeyError, ValueError, XMLSyntaxError) as error:
        raise InputError(
            f"{name}: cannot be opened as a Word file ({type(error).__name__}). "
            "Save it as .docx again."
        ) from error


def _lines(document: Any, numbers: _Numbers) -> Iterator[Line]:
    for block in document.iter_inner_content():
        if isinstance(block, Paragraph):
            yield from _paragraph(block, numbers)
        elif isinstance(block, Table):
            yield from _table(block, numbers)


def _table(table: Table, numbers: _Numbers) -> Iterator[Line]:
    """Rows of a table; a first cell that is a number alone numbers the cell beside it."""
    for row in table.rows:
        front = ""
        seen: set[int] = set()
        for cell in row.cells:
            if id(cell._tc) in seen:
                continue
            seen.add(id(cell._tc))
            for line in (one for block in cell.paragraphs for one in _paragraph(block, numbers)):
                if re.fullmatch(r"\W*\w{0,9}\s*\d{1,3}[a-h]?\W*", line.text) and not line.cannot:
                    front = line.text.rstrip(" .)") + ". "
                    continue
                yield Line(front + line.text, line.heading, line.cannot)
                front = ""


def _paragraph(paragraph: Paragraph, numbers: _Numbers) -> Iterator[Line]:
    found: list[str] = []
    cannot = _inside(paragraph._p, found)
    text = re.sub(r"[ \t]+", " ", "".join(found)).strip()
    heading = bool(re.match(r"heading|title|subtitle", _style(paragraph), re.IGNORECASE))
    front = numbers.front(paragraph) if text or cannot else ""
    for place, part in enumerate(text.split("\n") if text else [""]):
        if part.strip() or cannot:
            yield Line(f"{front} {part}".strip() if not place else part.strip(), heading, cannot)


def _style(paragraph: Paragraph) -> str:
    return (paragraph.style.name or "") if paragraph.style is not None else ""


def _inside(element: Any, found: list[str]) -> str:
    """Add the text below an element; return why it cannot be taken whole, "" where it can."""
    cannot = ""
    for part in element:
        cannot = _one(part, found) or cannot
    return cannot


def _one(part: Any, found: list[str]) -> str:
    name = part.tag if isinstance(part.tag, str) else ""
    local = name.rpartition("}")[2]
    if name in (f"{_MATH}oMath", f"{_MATH}oMathPara"):
        return _equation(part, found)
    if local in _NOT_TAKEN:
        return _NOT_TAKEN[local]
    if local in ("instrText", "fldSimple") and re.match(r"\s*EQ\b", _field(part)):
        return _FIELD
    if local in _AS_TEXT:
        found.append(_AS_TEXT[local])
    elif local == "t":
        found.append(part.text or "")
        return _ENTITY if len(part) else ""
    elif local == "r":
        return _run(part, found)
    elif local == "AlternateContent":
        return _inside(part[0], found) if len(part) else ""
    elif local not in ("del", "pPr", "rPr", "moveFrom", "instrText"):
        return _inside(part, found)
    return ""


def _field(part: Any) -> str:
    return str(part.text or part.get(f"{_W}instr") or "")


def _equation(part: Any, found: list[str]) -> str:
    try:
        found.append(f" {typed_mathematics(part)} ")
    except Unread as error:
        return f"{error} cannot be taken"
    return ""


def _run(run: Any, found: list[str]) -> str:
    """A run of text; raised text is an exponent, lowered text an index."""
    inner: list[str] = []
    cannot = _inside(run, inner)
    text = "".join(inner)
    raised = run.find(f"{_W}rPr/{_W}vertAlign")
    position = raised.get(f"{_W}val") if raised is not None else ""
    if position == "superscript" and text.strip() and not re.fullmatch(r"st|nd|rd|th", text):
        text = f"^{text.strip()}" if re.fullmatch(r"\w", text.strip()) else f"^({text.strip()})"
    elif position == "subscript" and text.strip():
        text = f"_{text.strip()}"
    found.append(text)
    return cannot


class _Numbers:
    """What list numbering prints in front of paragraphs."""

    def __init__(self, document: Any) -> None:
        self._levels: dict[tuple[str, str], tuple[str, str, int]] = {}
        self._counts: dict[tuple[str, int], int] = defaultdict(int)
        try:
            root = document.part.numbering_part.element
        except (KeyError, NotImplementedError, AttributeError):
            return
        abstract = {one.get(f"{_W}abstractNumId"): one for one in root.iter(f"{_W}abstractNum")}
        for one in root.iterchildren(f"{_W}num"):
            target = one.find(f"{_W}abstractNumId")
            found = abstract.get(target.get(f"{_W}val")) if target is not None else None
            for level in found.iter(f"{_W}lvl") if found is not None else ():
                self._levels[one.get(f"{_W}numId"), level.get(f"{_W}ilvl")] = (
                    _value(level, "numFmt", "decimal"),
                    _value(level, "lvlText", "%1."),
                    int(_value(level, "start", "1") or 1),
                )

    def front(self, paragraph: Paragraph) -> str:
        """The number that stands before a paragraph; "" for a bullet or none."""
        place = _numbering(paragraph)
        if place is None or place not in self._levels:
            return ""
        form, shown, start = self._levels[place]
        if form in ("bullet", "none"):
            return ""
        name, level = place[0], int(place[1])
        self._counts[name, level] = self._counts.get((name, level), start - 1) + 1
        for deeper in [key for key in self._counts if key[0] == name and key[1] > level]:
            del self._counts[deeper]
        for depth in range(level + 1):
            form = self._levels.get((name, str(depth)), ("decimal", "", 1))[0]
            number = self._counts.get((name, depth), 1)
            shown = shown.replace(f"%{depth + 1}", _counted(number, form))
        return shown


def _value(element: Any, name: str, default: str) -> str:
    found = element.find(f"{_W}{name}")
    return default if found is None else str(found.get(f"{_W}val", default))


def _numbering(paragraph: Paragraph) -> tuple[str, str] | None:
    """List and level of a paragraph, its own or of its style."""
    style: Any = paragraph.style
    for properties in (paragraph._p.pPr, *_properties(style)):
        found = properties.find(f"{_W}numPr") if properties is not None else None
        if found is not None:
            name, level = _value(found, "numId", "0"), _value(found, "ilvl", "0")
            return None if name == "0" else (name, level)
    return None


def _properties(style: Any) -> Iterator[Any]:
    while style is not None:
        yield style.element.find(f"{_W}pPr")
        style = style.base_style


def _counted(number: int, form: str) -> str:
    if form in ("lowerLetter", "upperLetter"):
        letter = chr(ord("a") + (number - 1) % 26)
        return letter.upper() if form == "upperLetter" else letter
    if form in ("lowerRoman", "upperRoman"):
        text = ""
        for value, sign in _ROMAN:
            count, number = divmod(number, value)
            text += sign * count
        return text.upper() if form == "upperRoman" else text
    return str(number)
