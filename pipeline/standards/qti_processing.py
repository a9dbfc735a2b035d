"""Answers that get credit in the rules of response processing, where the rules can be told.

Source: QTI 2.1 Information Model (2012), sections on response processing and expressions. Rules
that compare a response with a fixed value are taken; of any other rule it is said that it is there.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from pipeline.standards.xml_reading import (
    Element,
    attribute,
    children,
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
class Credit:
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


def processed(
    root: Element, keys: Mapping[str, tuple[str, ...]]
) -> tuple[dict[str, tuple[Credit, ...]], str]:
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
    credit: dict[str, dict[tuple[str, ...], Credit]] = defaultdict(dict)
    for rule, score in found:
        share = score / best[rule.response]
        for values in rule.answers:
            earlier = credit[rule.response].get(values)
            if earlier is None or earlier.share < share:
                one = Credit(values, share, rule.tolerance, rule.case_matters)
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
