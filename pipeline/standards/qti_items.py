"""Questions out of QTI 2.0, 2.1, 2.2 and 3.0 items: text, options, key, credit, templates.

Source: 1EdTech QTI 2.1 Assessment Test, Section, and Item Information Model (2012); QTI 3.0 ASI
Information Model (2022). What a key cannot be taken from is left without one, never guessed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import BinaryIO

from pipeline.errors import InputError
from pipeline.standards.item_text import body_text
from pipeline.standards.qti_classic_items import classic_items
from pipeline.standards.qti_processing import Credit, processed
from pipeline.standards.qti_records import (
    ITEM_SPACES,
    Accepted,
    Choice,
    Interaction,
    Kind,
    QtiItem,
    version_of,
)
from pipeline.standards.xml_reading import (
    Element,
    attribute,
    children,
    document,
    flag,
    local_name,
    number,
    text_of,
)

_KINDS: dict[str, Kind] = {
    "textEntryInteraction": "text entry",
    "extendedTextInteraction": "text entry",
}
_CHOICES = ("choiceInteraction", "inlineChoiceInteraction", "hottextInteraction")
_NO_ANSWER = ("endAttemptInteraction", "mediaInteraction")
_TEMPLATED = "its right answer is worked out from values that each candidate gets"


def read_qti_items(stream: BinaryIO, name: str) -> tuple[QtiItem, ...]:
    """All questions of one QTI item file of any version.

    Args:
        stream: of the file's bytes.
        name: how messages call it.

    Raises:
        InputError: broken XML, or a file of another kind; names file, line and column.
    """
    return items_of(document(stream, name), name)


def items_of(root: Element, name: str) -> tuple[QtiItem, ...]:
    """All questions below the root element of an item file.

    Raises:
        InputError: a file of another kind, or of a version that is not known.
    """
    kind = local_name(root)
    if kind in ("questestinterop", "item"):
        return classic_items(root, name)
    if kind != "assessmentItem":
        raise InputError(
            f"{name}:{root.sourceline or 1}:1: the root element is <{kind}>; expected a QTI item "
            "(assessmentItem, qti-assessment-item, questestinterop). Export the items as QTI."
        )
    return (_item(root, version_of(root, ITEM_SPACES, name), name),)


def _item(root: Element, version: str, name: str) -> QtiItem:
    templates = tuple(attribute(one, "identifier") for one in children(root, "templateDeclaration"))
    not_taken: list[str] = []
    body = next(children(root, "itemBody"), None)
    written = "" if body is None else body_text(body, frozenset(templates), not_taken)
    declared = {attribute(one, "identifier"): one for one in children(root, "responseDeclaration")}
    found = [] if body is None else [
        _interaction(one, declared, frozenset(templates), not_taken)
        for one in body.iter()
        if local_name(one).endswith("Interaction") and local_name(one) not in _NO_ANSWER
    ]  # fmt: skip
    return QtiItem(
        identifier=attribute(root, "identifier"),
        title=attribute(root, "title"),
        version=version,
        body=written,
        interactions=tuple(_with_processing(root, found, bool(templates))),
        templates=templates,
        not_taken=tuple(not_taken),
        file=name,
        line=root.sourceline or 1,
    )


def _interaction(
    element: Element,
    declared: Mapping[str, Element],
    templates: frozenset[str],
    not_taken: list[str],
) -> Interaction:
    name, response = local_name(element), attribute(element, "responseIdentifier")
    declaration = declared.get(response)
    one = Interaction(response, "other", name, options=_options(element, templates, not_taken))
    if declaration is not None:
        cardinality = attribute(declaration, "cardinality", "single")
        base_type = attribute(declaration, "baseType")
        one = replace(one, cardinality=cardinality, base_type=base_type)
    one = replace(one, kind=_kind(element, name, one.cardinality))
    return one if declaration is None else _with_key(one, declaration)


def _kind(element: Element, name: str, cardinality: str) -> Kind:
    if name in _CHOICES:
        most = attribute(element, "maxChoices", "1")
        return "choice" if cardinality == "single" or most == "1" else "several"
    return _KINDS.get(name, "other")


def _options(
    element: Element, templates: frozenset[str], not_taken: list[str]
) -> tuple[Choice, ...]:
    return tuple(
        Choice(attribute(one, "identifier"), body_text(one, templates, not_taken))
        for one in element.iter()
        if one is not element and isinstance(one.tag, str) and attribute(one, "identifier")
        and local_name(one) not in ("printedVariable", "feedbackInline", "feedbackBlock")
    )  # fmt: skip


def _with_key(one: Interaction, declaration: Element) -> Interaction:
    """The key and the credit that a response declaration names."""
    correct = next(children(declaration, "correctResponse"), None)
    key = () if correct is None else tuple(
        text_of(value).strip() for value in children(correct, "value")
    )  # fmt: skip
    accepted = _mapped(declaration) if one.cardinality == "single" else ()
    full = tuple(entry.text for entry in accepted if entry.share == 1)
    if not key and full:
        key = full[:1]
    rest = tuple(entry for entry in accepted if entry.text not in key)
    if one.cardinality == "single" and key:
        stated = {entry.text: entry for entry in accepted}
        accepted = (*(stated.get(value, Accepted(value)) for value in key), *rest)
    return replace(one, key=tuple(filter(None, key)), accepted=accepted)


def _mapped(declaration: Element) -> tuple[Accepted, ...]:
    """Answers with credit in a mapping, the full ones first."""
    mapping = next(children(declaration, "mapping"), None)
    entries = [] if mapping is None else list(children(mapping, "mapEntry"))
    values = [(one, number(attribute(one, "mappedValue")) or 0.0) for one in entries]
    best = max((value for _, value in values), default=0.0)
    upper = number(attribute(mapping, "upperBound")) if mapping is not None else None
    best = min(best, upper) if upper and upper > 0 else best
    found = [
        Accepted(attribute(one, "mapKey"), min(1.0, value / best), flag(one, "caseSensitive"))
        for one, value in values
        if value > 0 and best > 0
    ]
    return tuple(sorted(found, key=lambda one: -one.share))


def _with_processing(root: Element, found: list[Interaction], templated: bool) -> list[Interaction]:
    """Keys, alternatives and tolerance that stand only in response processing."""
    credit, strange = processed(root, {one.response: one.key for one in found})
    changed = _set_by_templates(root)
    done = []
    for one in found:
        own = credit.get(one.response, ())
        if one.response in changed or (templated and not one.key and not own):
            done.append(replace(one, key=(), accepted=(), why_no_key=_TEMPLATED))
        else:
            done.append(_credited(one, own, strange))
    return done


def _credited(one: Interaction, credit: tuple[Credit, ...], strange: str) -> Interaction:
    tolerance = next((each.tolerance for each in credit if each.tolerance), "")
    full = tuple(each.values for each in credit if each.share == 1)
    one = replace(one, tolerance=tolerance, key=one.key or (full[0] if full else ()))
    if one.cardinality == "single":
        known = {each.text for each in one.accepted}
        more = [
            Accepted(each.values[0], each.share, each.case_matters)
            for each in credit
            if each.values[0] not in known
        ]
        accepted = tuple(sorted((*one.accepted, *more), key=lambda each: -each.share))
        one = replace(one, accepted=accepted)
    if one.key or one.kind == "other":
        return one
    return replace(one, why_no_key=strange or "the file names no right answer")


def _set_by_templates(root: Element) -> set[str]:
    processing = next(children(root, "templateProcessing"), None)
    if processing is None:
        return set()
    return {
        attribute(one, "identifier")
        for one in processing.iter()
        if local_name(one) == "setCorrectResponse"
    }
