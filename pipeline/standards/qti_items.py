"""Questions out of QTI 2.0, 2.1, 2.2 and 3.0 items: text, options, key, templates, credit.

Source: 1EdTech QTI 2.1 Assessment Test, Section, and Item Information Model (2012), its sections on
response processing and expressions among others; QTI 3.0 ASI Information Model (2022). What a key
cannot be taken from is left without one, never guessed. Of response processing the rules are taken
that compare a response with a fixed value; of any other it is said that it is there.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import BinaryIO

from pipeline.errors import InputError
from pipeline.standards.item_text import body_text
from pipeline.standards.qti_classic_items import classic_items
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

_COMPARISONS = ("match", "equal", "equalRounded", "stringMatch", "member")
_BRANCHES = ("responseIf", "responseElseIf")
_SCORE = "SCORE"
_STRANGE = "its response processing has rules that compare with no fixed value"


@dataclass(frozen=True, slots=True)
class _Credit:
    """One answer to a response that a rule gives credit for.

    Args:
        values: as the rule writes them; several where they count only together.
        share: of the best score that any rule sets, 0 to 1.
        tolerance: how far off still counts, in words; "" for none.
        case_matters: as the rule says; None where it does not.
    """

    values: tuple[str, ...]
    share: float
    tolerance: str = ""
    case_matters: bool | None = None


@dataclass(frozen=True, slots=True)
class _Rule:
    response: str
    answers: tuple[tuple[str, ...], ...]
    tolerance: str
    case_matters: bool | None


def _processed(
    root: Element, keys: Mapping[str, tuple[str, ...]]
) -> tuple[dict[str, tuple[_Credit, ...]], str]:
    """Values with credit for each response.

    Args:
        root: an item.
        keys: response -> its declared right values.

    Returns:
        Response -> values, and why the rules could not all be told ("" where they could).
    """
    found: list[tuple[_Rule, float]] = []
    strange = ""
    for branch in _branches(root):
        condition, score = _parts(branch)
        if score <= 0 or condition is None:
            continue
        rules = list(_rules(condition, keys))
        if not rules:
            strange = _STRANGE
        found += [(rule, score) for rule in rules]
    best: dict[str, float] = defaultdict(float)
    for rule, score in found:
        best[rule.response] = max(best[rule.response], score)
    credit: dict[str, dict[tuple[str, ...], _Credit]] = defaultdict(dict)
    for rule, score in found:
        share = score / best[rule.response]
        for values in rule.answers:
            earlier = credit[rule.response].get(values)
            if earlier is None or earlier.share < share:
                one = _Credit(values, share, rule.tolerance, rule.case_matters)
                credit[rule.response][values] = one
    return {name: tuple(values.values()) for name, values in credit.items()}, strange


def _branches(root: Element) -> Iterator[Element]:
    for processing in children(root, "responseProcessing"):
        for element in processing.iter():
            if local_name(element) in _BRANCHES:
                yield element


def _parts(branch: Element) -> tuple[Element | None, float]:
    """The condition of a branch, and the score that the branch itself sets."""
    inner = [one for one in branch if local_name(one)]
    score = 0.0
    for one in inner[1:]:
        if local_name(one) == "setOutcomeValue" and attribute(one, "identifier") == _SCORE:
            score = max(score, _score(one))
    return (inner[0] if inner else None), score


def _score(setting: Element) -> float:
    """Points that a rule sets: a fixed number, one added to what was there, or the maximum."""
    for one in setting.iter():
        if local_name(one) == "baseValue":
            return number(text_of(one)) or 0.0
    named = {
        attribute(one, "identifier") for one in setting.iter() if local_name(one) == "variable"
    }
    return 1.0 if named - {_SCORE} else 0.0


def _rules(condition: Element, keys: Mapping[str, tuple[str, ...]]) -> Iterator[_Rule]:
    """Comparisons that a condition consists of; none where it is of another kind.

    Of an `and`, each response may be compared once; a second comparison is a range or a pattern.
    """
    name = local_name(condition)
    inner = [one for one in condition if local_name(one)]
    if name == "or":
        for one in inner:
            yield from _rules(one, keys)
    elif name == "and":
        rules = [list(_rules(one, keys)) for one in inner]
        alone = [each[0].response for each in rules if len(each) == 1]
        if len(alone) == len(rules) and len(set(alone)) == len(alone):
            yield from (each[0] for each in rules)
    elif name in _COMPARISONS:
        yield from _comparison(condition, inner, keys)


def _comparison(
    condition: Element, sides: list[Element], keys: Mapping[str, tuple[str, ...]]
) -> Iterator[_Rule]:
    responses = [attribute(one, "identifier") for one in sides if local_name(one) == "variable"]
    responses = [name for name in responses if name in keys]
    if len(sides) != 2 or len(responses) != 1:
        return
    other = next((one for one in sides if local_name(one) != "variable"), None)
    values = _values(other, keys)
    if values and attribute(condition, "substring") != "true":
        apart = local_name(condition) == "member"
        answers = tuple((value,) for value in values) if apart else (values,)
        yield _Rule(responses[0], answers, _tolerance(condition), flag(condition, "caseSensitive"))


def _values(other: Element | None, keys: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    if other is None:
        return ()
    name = local_name(other)
    if name == "baseValue":
        return (text_of(other).strip(),)
    if name == "correct":
        return keys.get(attribute(other, "identifier"), ())
    if name in ("multiple", "ordered"):
        fixed = [text_of(one).strip() for one in other if local_name(one) == "baseValue"]
        return tuple(fixed)
    return ()


def _tolerance(condition: Element) -> str:
    mode = attribute(condition, "toleranceMode")
    if local_name(condition) == "equalRounded":
        return f"{attribute(condition, 'roundingMode')} {attribute(condition, 'figures')}".strip()
    return "" if mode in ("", "exact") else f"{mode} {attribute(condition, 'tolerance')}".strip()


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
    credit, strange = _processed(root, {one.response: one.key for one in found})
    changed = _set_by_templates(root)
    done = []
    for one in found:
        own = credit.get(one.response, ())
        if one.response in changed or (templated and not one.key and not own):
            done.append(replace(one, key=(), accepted=(), why_no_key=_TEMPLATED))
        else:
            done.append(_credited(one, own, strange))
    return done


def _credited(one: Interaction, credit: tuple[_Credit, ...], strange: str) -> Interaction:
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
