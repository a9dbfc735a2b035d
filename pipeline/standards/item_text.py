"""The text of a question's body in reading order, mathematics as somebody would type it."""

from __future__ import annotations

import re
from collections.abc import Iterator

from lxml import etree

from pipeline.reading.mathml import from_mathml
from pipeline.reading.records import Unread
from pipeline.standards.xml_reading import Element, attribute, children, local_name, namespace
from pipeline.wording.typed import plain_notation

BLANK = "____"
_MATHML = "http://www.w3.org/1998/Math/MathML"
_BLOCKS = {
    "p", "div", "li", "tr", "h1", "h2", "h3", "h4", "h5", "h6", "pre", "blockquote", "table", "ul",
    "ol", "dl", "dt", "dd", "prompt", "section", "article", "caption", "itemBody",
    "material", "presentation", "flow",
}  # fmt: skip
_SILENT = {
    "feedbackInline", "feedbackBlock", "modalFeedback", "stylesheet", "infoControl", "script",
    "style", "simpleChoice", "simpleAssociableChoice", "simpleMatchSet", "catalogInfo",
    "companionMaterialsInfo", "itemBodyStyle", "templateProcessing", "head", "title",
}  # fmt: skip
_DEPENDENT = {"templateInline", "templateBlock"}
_PICTURES = {"img", "object", "video", "audio", "svg", "picture"}


def body_text(element: Element, templates: frozenset[str], not_taken: list[str]) -> str:
    """Text of an element, a block a line.

    Args:
        element: an item's body, a prompt or an option.
        templates: names of template variables, printed as `{A}`, inside MathML too.
        not_taken: is told what could not be taken.
    """
    writer = _Writer(templates, not_taken)
    return _tidy("".join(writer.inside(element)))


def html_text(source: str, not_taken: list[str]) -> str:
    """Text of a piece of HTML, as QTI 1.2 carries it in escaped form."""
    parser = etree.HTMLParser(no_network=True, huge_tree=False, encoding="utf-8")
    root = etree.fromstring(f"<div>{source}</div>".encode(), parser)
    return "" if root is None else body_text(root, frozenset(), not_taken)


def _tidy(text: str) -> str:
    text = re.sub(r"[^\S\n]+", " ", text)
    lines = (re.sub(r" ([.,;:?])(?=\s|$)", r"\1", line).strip() for line in text.split("\n"))
    return "\n".join(line for line in lines if line)


class _Writer:
    """Writes elements as text."""

    def __init__(self, templates: frozenset[str], not_taken: list[str]) -> None:
        self._templates = templates
        self._not_taken = not_taken

    def inside(self, element: Element) -> Iterator[str]:
        yield _flat(element.text)
        for child in element:
            yield from self._written(child)
            yield _flat(child.tail)

    def _written(self, element: Element) -> Iterator[str]:
        name = local_name(element)
        if not name or name in _SILENT or self._hidden(element, name):
            return
        if namespace(element) == _MATHML or name == "math":
            yield f" {self._mathematics(element)} "
        elif name.endswith("Interaction"):
            yield from self._interaction(element, name)
        elif name == "printedVariable":
            yield f"{{{attribute(element, 'identifier')}}}"
        elif name in _PICTURES:
            yield f" {self._picture(element, name)} "
        elif name in ("sup", "sub"):
            inner = _tidy("".join(self.inside(element)))
            mark = "^" if name == "sup" else "_"
            yield f"{mark}{inner}" if len(inner) == 1 else f"{mark}({inner})"
        elif name == "br":
            yield "\n"
        else:
            around = "\n" if name in _BLOCKS else " " if name in ("td", "th") else ""
            yield around
            yield from self.inside(element)
            yield around

    def _hidden(self, element: Element, name: str) -> bool:
        if name in _DEPENDENT:
            self._note("a text that depends on a candidate's own values was left out")
            return True
        return name == "rubricBlock" and "candidate" not in attribute(element, "view").split()

    def _interaction(self, element: Element, name: str) -> Iterator[str]:
        if name == "endAttemptInteraction":
            return
        for prompt in children(element, "prompt"):
            yield from self._written(prompt)
        if name in ("gapMatchInteraction", "hottextInteraction"):
            yield from self.inside(element)
        else:
            yield f" {BLANK} " if _inline(name) else "\n"

    def _mathematics(self, element: Element) -> str:
        copy = etree.fromstring(etree.tostring(element, with_tail=False))
        for leaf in copy.iter():
            if local_name(leaf) in ("mi", "ci") and (leaf.text or "").strip() in self._templates:
                leaf.text = f"{{{leaf.text.strip()}}}"
        try:
            source = etree.tostring(copy, encoding="unicode")
            return plain_notation(from_mathml(source, [])).replace("−", "-")
        except Unread as error:
            self._note(f"mathematics in it cannot be read ({error})")
            return "[?]"

    def _picture(self, element: Element, name: str) -> str:
        said = attribute(element, "alt")
        self._note(f"it shows a {'picture' if name in ('img', 'picture', 'svg') else name}")
        return f"[{said}]" if said else "[picture]"

    def _note(self, sentence: str) -> None:
        if sentence not in self._not_taken:
            self._not_taken.append(sentence)


def _flat(text: str | None) -> str:
    return re.sub(r"\s+", " ", text or "")


def _inline(name: str) -> bool:
    return name in ("textEntryInteraction", "inlineChoiceInteraction", "extendedTextInteraction")
