"""One number in another notation: fraction, mixed number, decimal, percent, scientific."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final, NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import MixedNumber, Negation, Node, Numeral, Quotient
from pipeline.exact.values import Number
from pipeline.procedures.questions import expression, number, plain_text
from pipeline.procedures.walk import Place, Plan, Walk
from pipeline.reading.forms import NOTATIONS, parts_of_form
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import Notation, Problem, lone_letters
from pipeline.reading.records import ReadAnswer
from pipeline.records import Numbers
from pipeline.tasks.task import Asked, Task

_FORMS: Final = {
    "percent": "percent",
    "%": "percent",
    "decimal": "decimal",
    "standard": "decimal",
    "ordinary": "decimal",
    "fraction": "fraction",
    "scientific": "scientific",
    "mixed": "mixed",
    "improper": "improper",
}
_PROBLEM = re.compile(
    r"^(?:convert|write|change)?\s*(.+?)\s*(?:\bto\b|\bas\b|\bin\b|→|->)\s*(?:an?\s+)?"
    r"(percent|%|decimal|standard|ordinary|fraction|scientific|mixed|improper)\w*"
    r"(?:\s+(?:form|notation|number|fraction))?"
    r"\s*\.?$",
    re.IGNORECASE,
)


class Conversion(NamedTuple):
    """A number to be written in another notation.

    Args:
        value: the number.
        source: `percent`, `decimal`, `fraction` or `scientific`.
        target: the same, `mixed` or `improper`.
        above, below: the parts of a fraction as written, else the number and 1.
        exponent: the power of ten written, or needed, in scientific notation.
        places: decimals written.
        mixed: whole number, numerator and denominator of a mixed number, else ().
    """

    value: Surd
    source: str
    target: str
    above: Surd
    below: Surd
    exponent: int
    places: int
    mixed: tuple[int, ...] = ()


def rescale(start: Conversion) -> Surd:
    """Return the number that is to be written: 35 for 0.35 in percent."""
    return start.value * 100 if start.target == "percent" else start.value


def convert(step: Walk, start: Conversion) -> Surd:
    """Move the point, or divide, as the notation wants it."""
    return step.do(rescale, Place.CONVERSION, start)


def _plans(problem: Problem) -> list[Plan]:
    """Read `0.35 to percent`, `3/8 as a decimal`, `45% to fraction`, `0.0032 in scientific`.

    Raises:
        CannotBeWorked: the problem is not of that kind.
    """
    found = _PROBLEM.match(plain_text(problem.text))
    if not found:
        raise CannotBeWorked("a conversion is written like `0.35 to percent`")
    text, target = found[1], _FORMS[found[2].casefold()]
    text = f"({text})" if text.endswith("...") else text
    value = number(text)
    above, below = _parts(expression(text))
    source = _source(text)
    exponent, mixed = _exponent(text, value), _mixed(expression(text))
    start = Conversion(value, source, target, above, below, exponent, _places(text), mixed)
    return [Plan("conversion", convert, start)]


def asked_notation(text: str) -> str | None:
    """Return the notation that a conversion asks for; None where the text is no conversion."""
    try:
        found = _PROBLEM.match(plain_text(text))
    except CannotBeWorked:
        return None
    return _FORMS[found[2].casefold()] if found else None


def _right(problem: Problem, _: Numbers) -> RightAnswer:
    """What is right: of a percent the number before the sign.

    The number itself, typed without a percent sign, says the same in another form.
    """
    (plan,) = _plans(problem)
    right = Number.exactly(rescale(plan.start))
    if plan.start.target != "percent":
        return RightAnswer(right)
    return RightAnswer(right, without_percent=(Number.exactly(plan.start.value),))


def _form(text: str, named: str | None) -> str:
    """The notation that a conversion names in its own words; a form of the course joins it."""
    asked, parts = asked_notation(text), parts_of_form(named)
    if asked in (None, "percent") or (named and "any" in parts):
        return "+".join(part for part in parts if part != "percent") or "any"
    if named and any(part in NOTATIONS for part in parts):
        return named
    return "+".join((str(asked), *parts))


def _without_percent(read: ReadAnswer, asked: Asked) -> ReadAnswer:
    """A percent sign is no unit to be set aside where another notation is asked for.

    0.45% is not 0.45.
    """
    if asked_notation(asked.text) in (None, "percent"):
        return read
    kept = tuple(one for one in read.readings if one.convention != "percent")
    return replace(read, readings=kept)


def _source(text: str) -> str:
    if "%" in text or "percent" in text:
        return "percent"
    if "^" in text:
        return "scientific"
    return "fraction" if "/" in text or "\ue000" in text else "decimal"


def _parts(node: Node) -> tuple[Surd, Surd]:
    match node:
        case Negation(part):
            above, below = _parts(part)
            return -above, below
        case Quotient(Numeral(one), Numeral(two)):
            return Surd.of(one), Surd.of(two)
    return Surd.of(1), Surd.of(1)


def _mixed(node: Node) -> tuple[int, ...]:
    match node:
        case MixedNumber((Numeral(whole), Quotient(Numeral(above), Numeral(below)))):
            return int(whole), int(above), int(below)
    return ()


def _exponent(text: str, value: Surd) -> int:
    written = re.search(r"\^\s*[({\ue003]?\s*(-?\d+)", text)
    if written:
        return int(written[1])
    size, exponent = abs(value.as_fraction()), 0
    while size >= 10 and exponent < 60:
        size, exponent = size / 10, exponent + 1
    while 0 < size < 1 and exponent > -60:
        size, exponent = size * 10, exponent - 1
    return exponent


def _places(text: str) -> int:
    found = re.search(r"\.(\d+)", text)
    return len(found[1]) if found else 0


CONVERT: Final = Task(
    "convert",
    "the number in another notation",
    "a number, then `to percent`, `to decimal`, `to fraction`, `to mixed`, `to improper` or "
    "`to scientific`",
    "0.35 to percent",
    "35%",
    _plans,
    _right,
    notation=Notation(letters=lone_letters),
    form_for=_form,
    meant=_without_percent,
    simplest="reduced",
)
