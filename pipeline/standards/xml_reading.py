"""XML of others, read without trust: no document type, no entity, nothing fetched, all bounded.

Names are those of QTI 2: a `qti-` name of QTI 3 with hyphens is the same name in camel case.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, BinaryIO, NoReturn, TypeAlias

from lxml import etree

from pipeline.errors import InputError

Element: TypeAlias = Any
"""An lxml element, which ships no types."""

MAX_XML_BYTES = 1 << 28
"""Bytes of one XML file."""
MAX_DEPTH = 100
"""Elements inside each other."""
MAX_TEXT = 1 << 20
"""Characters of one attribute or of the text before the next tag."""
_LARGEST = 1e6  # a larger number of points is none
_HYPHEN = re.compile(r"-([a-z0-9])")
_CAMEL = re.compile(r"(?<=[a-z0-9])([A-Z])")
_SETTINGS: dict[str, Any] = {
    "resolve_entities": False, "no_network": True, "load_dtd": False, "huge_tree": False,
}  # fmt: skip


def local_name(element: Element) -> str:
    """Name of an element without prefix, in the words of QTI 2; "" for a comment."""
    if not isinstance(element.tag, str):
        return ""
    name: str = etree.QName(element).localname
    return _HYPHEN.sub(lambda m: m[1].upper(), name[4:]) if name.startswith("qti-") else name


def namespace(element: Element) -> str:
    """Namespace of an element; "" for none."""
    return etree.QName(element).namespace or "" if isinstance(element.tag, str) else ""


def attribute(element: Element, name: str, default: str = "") -> str:
    """An attribute by its name in QTI 2, also where it is written with hyphens."""
    found = element.get(name)
    if found is None:
        found = element.get(_CAMEL.sub(lambda m: "-" + m[1].lower(), name))
    return default if found is None else str(found).strip()


def children(element: Element, *names: str) -> Iterator[Element]:
    """Children of these names, in the namespace of their parent, in order."""
    space = namespace(element)
    return (one for one in element if local_name(one) in names and namespace(one) == space)


def text_of(element: Element | None) -> str:
    """All text inside an element, comments apart; "" where there is no element."""
    if element is None:
        return ""
    return "".join(element.xpath(".//text()"))


def flag(element: Element, name: str) -> bool | None:
    """An attribute that is true or false; None where it is not written."""
    written = attribute(element, name)
    return None if not written else written in ("true", "1")


def number(text: str) -> float | None:
    """A number of points; None for anything else."""
    try:
        found = float(text)
    except ValueError:
        return None
    return found if abs(found) < _LARGEST else None


def document(stream: BinaryIO, name: str) -> Element:
    """The root element of a small file, read whole.

    Raises:
        InputError: broken, or over a budget; names file, line and column.
    """
    root: Element = None
    for _, element in _events(stream, name):
        root = element
    return root


def elements(stream: BinaryIO, name: str, wanted: frozenset[str]) -> Iterator[Element]:
    """The root when it begins, then each child of it of these names when it is complete.

    A child is emptied when the next one is asked for, so that memory does not grow with the file.

    Raises:
        InputError: broken, or over a budget; names file, line and column.
    """
    root = None
    for event, element in _events(stream, name):
        if root is None:
            root = element
            yield root
        elif event == "end" and element.getparent() is root:
            if local_name(element) in wanted:
                yield element
            element.clear()
            while element.getprevious() is not None:
                del root[0]


class _Bounded:
    """A file that is read no further than `MAX_XML_BYTES`."""

    def __init__(self, stream: BinaryIO, name: str) -> None:
        self._stream, self._name = stream, name

    def read(self, size: int) -> bytes:
        chunk = self._stream.read(size)
        if self._stream.tell() > MAX_XML_BYTES:
            _over(self._name, 0, f"more than {MAX_XML_BYTES >> 20} MB in one file")
        return chunk


def _events(stream: BinaryIO, name: str) -> Iterator[tuple[str, Element]]:
    depth = 0
    try:
        for event, element in etree.iterparse(
            _Bounded(stream, name), events=("start", "end"), **_SETTINGS
        ):
            if depth == 0 and element.getroottree().docinfo.internalDTD is not None:
                raise InputError(
                    f"{name}:{element.sourceline}:1: declares a document type (DOCTYPE), through "
                    "which entities and other files could come in; expected a file without it. "
                    "Take the declaration out."
                )
            depth += 1 if event == "start" else -1
            _hold(element, event, depth, name)
            yield event, element
    except etree.XMLSyntaxError as error:
        _broken(_told(error, stream), name)


def _told(error: etree.XMLSyntaxError, stream: BinaryIO) -> etree.XMLSyntaxError:
    """The error with its place, which the stepwise reader loses for an entity that is unknown."""
    if (error.position and error.position[0]) or not stream.tell():
        return error
    stream.seek(0)
    try:
        etree.parse(stream, etree.XMLParser(**_SETTINGS))
    except etree.XMLSyntaxError as again:
        return again
    return error


def _broken(error: etree.XMLSyntaxError, name: str) -> NoReturn:
    line, column = error.position or (1, 1)
    said = str(error.msg or "no XML").partition(", line ")[0].partition(", use ")[0].strip()
    if said.startswith("Excessive depth"):
        _over(name, line, f"more than {MAX_DEPTH} elements inside each other")
    raise InputError(
        f"{name}:{line or 1}:{max(1, column)}: not well-formed XML ({said}). "
        "Export it again, or mend this place."
    ) from error


def _hold(element: Element, event: str, depth: int, name: str) -> None:
    if depth > MAX_DEPTH:
        _over(name, element.sourceline, f"more than {MAX_DEPTH} elements inside each other")
    if event == "start" and any(len(value) > MAX_TEXT for value in element.attrib.values()):
        _over(name, element.sourceline, f"an attribute of more than {MAX_TEXT:,} characters")
    if event == "end" and max(len(element.text or ""), len(element.tail or "")) > MAX_TEXT:
        _over(name, element.sourceline, f"a text of more than {MAX_TEXT:,} characters")


def _over(name: str, line: int, what: str) -> NoReturn:
    raise InputError(
        f"{name}:{line or 1}:1: {what}, beyond what is read. Export it again in smaller parts."
    )
