"""Questions out of QTI 1.2 files (`questestinterop`), which hold one item or many.

Source: 1EdTech QTI ASI Information Model 1.2 (2002), sections on presentation and on response
processing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pipeline.errors import InputError
from pipeline.standards.item_text import BLANK, body_text, html_text
from pipeline.standards.qti_records import Accepted, Choice, Interaction, Kind, QtiItem
from pipeline.standards.xml_reading import (
    Element,
    attribute,
    local_name,
    namespace,
    number,
    text_of,
)

_SPACES = ("", "http://www.imsglobal.org/xsd/ims_qtiasiv1p2")
_RESPONSES = {"response_lid": "identifier", "response_str": "string", "response_num": "float"}
_BRANCHES = ("varequal", "or", "and", "varsubset", "vargte", "varlte", "vargt", "varlt", "other")


def classic_items(root: Element, name: str) -> tuple[QtiItem, ...]:
    """All items below a root element, in order.

    Raises:
        InputError: the root is in a namespace that is not that of QTI 1.2.
    """
    if namespace(root) not in _SPACES:
        raise InputError(
            f"{name}:{root.sourceline or 1}:1: <{local_name(root)}> is in the namespace "
            f"{namespace(root)}; expected none, or {_SPACES[1]} (QTI 1.2)."
        )
    found = [root] if local_name(root) == "item" else _within(root, "item")
    return tuple(_item(one, name) for one in found)


def _within(element: Element, *names: str) -> Iterator[Element]:
    return (one for one in element.iter() if local_name(one) in names)


def _item(item: Element, name: str) -> QtiItem:
    not_taken: list[str] = []
    interactions = [_interaction(one, not_taken) for one in _within(item, *_RESPONSES)]
    answers = list(_credited(item))
    return QtiItem(
        identifier=attribute(item, "ident"),
        title=attribute(item, "title"),
        version="1.2",
        body=_body(item, not_taken),
        interactions=tuple(_with_key(one, answers) for one in interactions),
        not_taken=tuple(dict.fromkeys(not_taken)),
        file=name,
        line=item.sourceline or 1,
    )


def _body(item: Element, not_taken: list[str]) -> str:
    """Material outside of options, with a blank for each box."""
    parts: list[str] = []
    for presentation in _within(item, "presentation"):
        for one in presentation.iter():
            name = local_name(one)
            if name in ("mattext", "matemtext", "matimage") and not _in_option(one):
                parts.append(_material(one, not_taken))
            elif name == "render_fib":
                parts.append(BLANK)
    return "\n".join(part for part in parts if part)


def _in_option(element: Element) -> bool:
    return any(local_name(one) == "response_label" for one in element.iterancestors())


def _material(element: Element, not_taken: list[str]) -> str:
    if local_name(element) == "matimage":
        not_taken.append("it shows a picture")
        return "[picture]"
    if attribute(element, "texttype").casefold() == "text/html" or len(element):
        if len(element):
            return body_text(element, frozenset(), not_taken)
        return html_text(text_of(element), not_taken)
    return " ".join(text_of(element).split())


def _interaction(element: Element, not_taken: list[str]) -> Interaction:
    cardinality = attribute(element, "rcardinality", "Single").casefold()
    options = tuple(
        Choice(
            attribute(label, "ident"),
            "\n".join(
                _material(one, not_taken)
                for one in _within(label, "mattext", "matemtext", "matimage")
            ),
        )
        for label in _within(element, "response_label")
        if not any(local_name(one) == "render_fib" for one in label.iterancestors())
    )
    picked: Kind = "choice" if cardinality == "single" else "several"
    kind: Kind = picked if options else "text entry"
    name = local_name(element)
    return Interaction(
        attribute(element, "ident"), kind, name, cardinality, _RESPONSES[name], options
    )


@dataclass(frozen=True, slots=True)
class _Answer:
    """What one condition asks of one response.

    Args:
        values: that must all be given.
        alone: whether the condition says nothing else of the response.
        score: that the condition sets.
        case_matters: as it says.
    """

    response: str
    values: tuple[str, ...]
    score: float
    case_matters: bool | None


def _credited(item: Element) -> Iterator[_Answer]:
    """Conditions that give credit for fixed values."""
    for condition in _within(item, "respcondition"):
        score = _score(condition)
        tests = next(_within(condition, "conditionvar"), None)
        if score <= 0 or tests is None:
            continue
        for together in _alternatives(tests):
            by_response: dict[str, list[Element]] = {}
            for one in together:
                by_response.setdefault(attribute(one, "respident"), []).append(one)
            for response, equal in by_response.items():
                values = tuple(text_of(one).strip() for one in equal)
                written = attribute(equal[0], "case")
                case = None if not written else written.casefold() == "yes"
                yield _Answer(response, values, score, case)


def _alternatives(tests: Element) -> Iterator[list[Element]]:
    """Sets of equalities any of which fulfils the tests; none where a test is of another kind."""
    inner = [one for one in tests if local_name(one) in _BRANCHES]
    if all(local_name(one) == "varequal" for one in inner) and inner:
        # Several equalities side by side are an `and`; in an `or` each stands for itself.
        yield from ([[one] for one in inner] if local_name(tests) == "or" else [inner])
        return
    for one in inner:
        if local_name(one) == "varequal" and local_name(tests) == "or":
            yield [one]
        elif local_name(one) in ("or", "and") and (local_name(tests) == "or" or len(inner) == 1):
            yield from _alternatives(one)
    if local_name(tests) != "or" and len(inner) > 1:
        yield from _each_required(inner)


def _each_required(inner: list[Element]) -> Iterator[list[Element]]:
    """An `and` of equalities and of alternatives for other responses."""
    if all(local_name(one) in ("varequal", "or", "and") for one in inner):
        for one in inner:
            if local_name(one) == "varequal":
                yield [one]
            else:
                yield from _alternatives(one)


def _score(condition: Element) -> float:
    """Points that a condition sets or adds."""
    best = 0.0
    for one in _within(condition, "setvar"):
        if attribute(one, "action", "Set").casefold() in ("set", "add"):
            best = max(best, number(text_of(one)) or 0.0)
    return best


def _with_key(one: Interaction, answers: list[_Answer]) -> Interaction:
    own = [answer for answer in answers if answer.response == one.response]
    best = max((answer.score for answer in own), default=0.0)
    full = [answer.values for answer in own if answer.score == best]
    accepted = {
        answer.values[0]: Accepted(answer.values[0], answer.score / best, answer.case_matters)
        for answer in sorted(own, key=lambda answer: answer.score)
        if len(answer.values) == 1
    }
    ordered = tuple(sorted(accepted.values(), key=lambda each: -each.share))
    several = one.kind == "several"
    key = _together(full) if several else (full[0] if full and len(full[0]) == 1 else ())
    return Interaction(
        one.response, one.kind, one.name, one.cardinality, one.base_type, one.options, key,
        () if several else ordered,
        why_no_key="" if key else "no rule of the file compares the answer with a fixed value",
    )  # fmt: skip


def _together(full: list[tuple[str, ...]]) -> tuple[str, ...]:
    """The options that count together; where rules add points option by option, all of them."""
    if not full:
        return ()
    longest = max(full, key=len)
    return longest if len(longest) > 1 else tuple(dict.fromkeys(v for vs in full for v in vs))
