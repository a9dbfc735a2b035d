"""MathML, presentation and content, rewritten to the one grammar; tags are never stripped.

Elements as in MathML 3 (W3C Recommendation, 2nd edition 2014), chapters 3 and 4; any prefix.
A document type declaration is refused, so that no entity can be defined; named character entities
are replaced from the HTML list first.
"""

from __future__ import annotations

import html
import re
from xml.etree import ElementTree

from pipeline.reading import marks
from pipeline.reading.records import MAX_DEPTH, Unread

MATHML = "MathML rewritten as plain notation"
"""The change that a text went through."""

_LOOKS = re.compile(
    r"<\s*(?:\w+:)?(?:math|mrow|mfrac|msqrt|mroot|mn|mi|mo|msup|msub|mfenced|mstyle|apply|cn|ci|"
    r"semantics|mtable|mtext|set|list)\b[^<>]*>"
)
_MATH = re.compile(r"<\s*(?:\w+:)?math\b.*?<\s*/\s*(?:\w+:)?math\s*>", re.DOTALL)
_ENTITY = re.compile(r"&([A-Za-z][A-Za-z0-9]*);")
_SAFE = {"amp", "lt", "gt", "quot", "apos"}
_ROWS = {"math", "mrow", "mstyle", "mpadded", "mtd", "menclose", "merror", "maction", "mtr"}
_SKIPPED = {
    "annotation",
    "annotation-xml",
    "mphantom",
    "mspace",
    "mprescripts",
    "none",
    "malignmark",
}
_INVISIBLE = {"\u2061": "", "\u2062": "*", "\u2063": ",", "\u2064": "", "": ""}


def looks_like_mathml(text: str) -> bool:
    """Whether a text holds a MathML element."""
    return "<" in text and _LOOKS.search(text) is not None


def from_mathml(text: str, changes: list[str]) -> str:
    """Rewrite text with MathML in it to the one grammar.

    Raises:
        Unread: the XML is broken, declares a type or an entity, or holds an unknown element.
    """
    if "<!" in text or "<?" in text.replace('<?xml version="1.0"', "").replace("<?xml", "<?"[:1]):
        raise Unread("a document type or entity declaration cannot be part of an answer")
    changes.append(MATHML)
    text = re.sub(r"<\?xml[^<>]*\?>", "", text)
    if not _MATH.search(text):
        return _element_text(f"<math>{text}</math>")
    return _MATH.sub(lambda found: f" {_element_text(found[0])} ", text)


def _element_text(source: str) -> str:
    prefixes = set(re.findall(r"<\s*/?\s*(\w+):", source)) | set(
        re.findall(r"\s(\w+):\w+\s*=", source)
    )
    declared = "".join(
        f' xmlns:{prefix}="urn:{prefix}"'
        for prefix in sorted(prefixes - {"xml", "xmlns"})
        if f"xmlns:{prefix}=" not in source
    )
    source = re.sub(r"^(\s*<\s*(?:\w+:)?\w+)", lambda found: found[1] + declared, source, count=1)
    source = _ENTITY.sub(_character, source)
    try:
        element = ElementTree.fromstring(source)  # noqa: S314 - no declaration got here
    except ElementTree.ParseError as error:
        raise Unread("the MathML is broken") from error
    return _Writer().write(element, 0)


def _character(found: re.Match[str]) -> str:
    if found[1] in _SAFE:
        return found[0]
    character = html.unescape(found[0])
    if character.startswith("&"):
        raise Unread(f"unknown entity {found[0]}")
    return character


def _name(element: ElementTree.Element) -> str:
    return element.tag.rsplit("}", 1)[-1].rsplit(":", 1)[-1]


class _Writer:
    """Writes one element as notation."""

    def write(self, element: ElementTree.Element, depth: int) -> str:
        if depth > MAX_DEPTH:
            raise Unread("too many levels of brackets")
        name = _name(element)
        if name in _SKIPPED:
            return ""
        if name in _ROWS:
            return self.row(list(element), depth)
        if name in {"mn", "mi", "mo", "mtext", "ms"}:
            return self.leaf(name, "".join(element.itertext()))
        if name == "semantics":
            return self.write(element[0], depth + 1) if len(element) else ""
        writer = getattr(self, f"_{name}", None)
        if writer is not None:
            text: str = writer(list(element), depth + 1)
            return text
        if name == "mfenced":
            return self.fenced(element, depth + 1)
        if name in {"cn", "ci", "apply", "set", "list", "interval", "csymbol", *_CONTENT_LEAVES}:
            return content(element, depth + 1)
        raise Unread(f"unknown MathML element {name}")

    def row(self, parts: list[ElementTree.Element], depth: int) -> str:
        return "".join(self.write(part, depth + 1) for part in parts)

    def leaf(self, name: str, text: str) -> str:
        text = text.strip() if name != "mtext" else f" {text.strip()} "
        text = _INVISIBLE.get(text, text)
        apart = text in {"+", "-", "−"} or (name == "mi" and len(text) > 1 and text.isalpha())
        return f" {text} " if apart else text

    def two(self, parts: list[ElementTree.Element], depth: int) -> tuple[str, str]:
        if len(parts) != 2:
            raise Unread("a MathML element lacks one of its two parts")
        return self.write(parts[0], depth), self.write(parts[1], depth)

    def _mfrac(self, parts: list[ElementTree.Element], depth: int) -> str:
        return marks.fraction(*self.two(parts, depth))

    def _msqrt(self, parts: list[ElementTree.Element], depth: int) -> str:
        return marks.root(self.row(parts, depth))

    def _mroot(self, parts: list[ElementTree.Element], depth: int) -> str:
        return marks.root(*self.two(parts, depth))

    def _msup(self, parts: list[ElementTree.Element], depth: int) -> str:
        base, exponent = self.two(parts, depth)
        if exponent.strip() in {"'", "′", "°", "∘"}:
            return base
        compound = (
            len(parts[0]) > 1 and _name(parts[0]) == "mrow" and not base.startswith(("(", "|"))
        )
        return (marks.group(base) if compound else base) + "^" + marks.group(exponent)

    def _msub(self, parts: list[ElementTree.Element], depth: int) -> str:
        base, index = self.two(parts, depth)
        return f"{base.strip()}_{index}"

    def _msubsup(self, parts: list[ElementTree.Element], depth: int) -> str:
        if len(parts) != 3:
            raise Unread("a MathML element lacks one of its parts")
        base = self._msub(parts[:2], depth)
        return f"{base}^{marks.group(self.write(parts[2], depth))}"

    def _mover(self, parts: list[ElementTree.Element], depth: int) -> str:
        base, bar = self.two(parts, depth)
        if base.strip().isdigit() and bar.strip() in {"¯", "‾", "_", "-", "\u0305", "―", "ˉ"}:
            return marks.repeating(base.strip())
        raise Unread("something written above a symbol")

    def _mtable(self, parts: list[ElementTree.Element], depth: int) -> str:
        return "\n".join(self.write(part, depth) for part in parts)

    def fenced(self, element: ElementTree.Element, depth: int) -> str:
        marks_between = element.get("separators", ",").replace(" ", "")
        pieces = [self.write(part, depth) for part in element]
        text = pieces[0] if pieces else ""
        for place, piece in enumerate(pieces[1:]):
            text += (
                marks_between[min(place, len(marks_between) - 1)] if marks_between else ""
            ) + piece
        return element.get("open", "(") + text + element.get("close", ")")


_CONTENT_LEAVES = {
    "pi": "π", "infinity": "∞", "imaginaryi": "i", "exponentiale": "e", "emptyset": "∅",
    "reals": "ℝ", "true": "true", "false": "false",
}  # fmt: skip
_BETWEEN = {
    "plus": "+", "times": "*", "eq": "=", "neq": "!=", "lt": "<", "gt": ">", "leq": "<=",
    "geq": ">=", "or": " or ", "and": " and ", "approx": "~", "union": "∪", "intersect": "∩",
    "in": "∈",
}  # fmt: skip


def content(element: ElementTree.Element, depth: int) -> str:
    """Write a content element as notation; each operand is a group of its own."""
    name = _name(element)
    if depth > MAX_DEPTH:
        raise Unread("too many levels of brackets")
    if name in _CONTENT_LEAVES:
        return _CONTENT_LEAVES[name]
    if name == "cn":
        return _number(element)
    if name in {"ci", "csymbol"}:
        return "".join(element.itertext()).strip()
    if name in {"set", "list"}:
        return "{" + ",".join(content(part, depth + 1) for part in element) + "}"
    if name == "interval":
        return _interval(element, depth)
    if name == "apply" and len(element):
        return _applied(list(element), depth)
    raise Unread(f"unknown MathML element {name}")


def _number(element: ElementTree.Element) -> str:
    kind = element.get("type", "real")
    pieces = [element.text or "", *(part.tail or "" for part in element)]
    pieces = [piece.strip() for piece in pieces]
    if kind == "rational" and len(pieces) == 2:
        return marks.group(marks.fraction(pieces[0], pieces[1]))
    if kind == "e-notation" and len(pieces) == 2:
        return f"{pieces[0]}e{pieces[1]}"
    if len(pieces) != 1 or kind not in {"real", "integer", "double", "constant"}:
        raise Unread(f"a MathML number of unknown type {kind}")
    return pieces[0]


def _interval(element: ElementTree.Element, depth: int) -> str:
    closure = element.get("closure", "closed")
    inner = ",".join(content(part, depth + 1) for part in element)
    left = "(" if closure in {"open", "open-closed"} else "["
    right = ")" if closure in {"open", "closed-open"} else "]"
    return left + inner + right


def _applied(parts: list[ElementTree.Element], depth: int) -> str:
    operator, operands = _name(parts[0]), parts[1:]
    if operator == "root":
        index = "2"
        if operands and _name(operands[0]) == "degree" and len(operands[0]):
            index, operands = content(operands[0][0], depth + 1), operands[1:]
        return marks.root(content(operands[0], depth + 1), index) if operands else ""
    texts = [content(part, depth + 1) for part in operands]
    if operator in _BETWEEN and len(texts) > 1:
        loose = _BETWEEN[operator].strip() not in {"+", "*"}
        return _BETWEEN[operator].join(text if loose else marks.group(text) for text in texts)
    if operator == "minus" and len(texts) == 1:
        return f"-{marks.group(texts[0])}"
    if operator == "abs" and len(texts) == 1:
        return f"|{texts[0]}|"
    if len(texts) == 2 and operator in {"minus", "divide", "power"}:
        first, second = marks.group(texts[0]), marks.group(texts[1])
        if operator == "divide":
            return marks.group(marks.fraction(texts[0], texts[1]))
        return f"{first}{'-' if operator == 'minus' else '^'}{second}"
    raise Unread(f"unknown MathML operator {operator}")
