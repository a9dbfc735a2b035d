"""How an answer is wanted, told from the words: method, form and number domain."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from typing import Final

from pipeline.records import Numbers

BESIDE: Final = ("interval", "slope-intercept", "positive-exponents")
"""Forms that may be asked for beside another one."""

REMARK: Final = "a remark beside the problem was left out"

_PLACES: Final = {
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6,
    "whole": 0, "integer": 0, "unit": 0, "tenth": 1, "hundredth": 2, "thousandth": 3,
    "ten-thousandth": 4, "cent": 2, "penny": 2,
}  # fmt: skip


_EMPTY: Final = re.compile(r"(?<![A-Za-z])\(\s*[.,;:!]*\s*\)")
"""What is left of a remark in brackets."""


@dataclass(frozen=True, slots=True)
class _Wanted:
    """Words that say how an answer is wanted: their pattern, its name, and what takes its place."""

    pattern: re.Pattern[str]
    name: str = ""
    instead: str = " "


@cache
def _tables() -> dict[str, tuple[_Wanted, ...]]:
    text = files("pipeline.wording").joinpath("manner.toml").read_text(encoding="utf-8")
    tables = tomllib.loads(text)
    lead = tables.pop("lead")

    def wanted(one: dict[str, str]) -> _Wanted:
        pattern = one["pattern"].replace("LEAD", lead).replace(" ", r"\s+")
        return _Wanted(
            re.compile(pattern, re.IGNORECASE), one.get("name", ""), one.get("instead", " ")
        )

    return {table: tuple(map(wanted, entries)) for table, entries in tables.items()}


@dataclass(frozen=True, slots=True)
class Manner:
    """How an answer is wanted.

    Args:
        method: factoring, square-root, complete-square or formula.
        form: as in the list of questions.
        numbers: whether complex numbers are said to count.
        keep: which solutions count, `largest` or such as `L > 0`, L for the unknown.
        asked: `sum` or `product`, where these of the solutions are asked for.
        doubt: what the words ask that no form checks, or that a remark was set aside.
    """

    method: str | None = None
    form: str | None = None
    numbers: Numbers = "real"
    keep: str | None = None
    asked: str | None = None
    doubt: str = ""


def manner_of(text: str) -> tuple[Manner, str]:
    """Return how an answer is wanted, and the sentence without the words that say so."""
    keep, text = _first("keep", text)
    asked, text = _first("asked", text)
    remark, text = _named("remark", text)
    unchecked, text = _named("unchecked", text)
    for one in _tables()["logarithm"]:
        text = one.pattern.sub(_log, text)
    for one in _tables()["aside"]:
        text = one.pattern.sub(one.instead, text)
    manner, text = _rounded(text)
    method, text = _first("method", text)
    forms, text = _named("form", text)
    numbers, text = _first("complex", text)
    for one in _tables()["real"]:
        text = one.pattern.sub(one.instead, text)
    text = _EMPTY.sub(" ", text)
    domain: Numbers = "real" if numbers is None else "complex"
    doubts = [f"asks for a form that is not checked: {', '.join(unchecked)}"] if unchecked else []
    doubts += [REMARK] if remark else []
    return replace(
        manner, method=method, form=_joined(manner.form, forms), numbers=domain,
        keep=keep, asked=asked,
        doubt="; ".join(doubts),
    ), text  # fmt: skip


def _joined(rounded: str | None, forms: list[str]) -> str | None:
    """The first form that is asked for, and the notation, where one is asked for beside it."""
    notations = [one for one in forms if one in BESIDE]
    others = [rounded] if rounded else [one for one in forms if one not in BESIDE]
    return "+".join([*others[:1], *notations[:1]]) or None


def _rounded(text: str) -> tuple[Manner, str]:
    for one in _tables()["rounded"]:
        if found := one.pattern.search(text):
            named = found.groupdict()
            said = (named.get("unit") or named.get("places") or "").casefold()
            text = f"{text[: found.start()]} . {text[found.end() :]}"
            return Manner(form=f"decimal:{_PLACES.get(said, said)}"), text
    return Manner(), text


def _first(table: str, text: str) -> tuple[str | None, str]:
    """Name of the first entry that fits, and the text without the words of all that fit."""
    names, text = _named(table, text)
    return (names[0] if names else None), text


def _named(table: str, text: str) -> tuple[list[str], str]:
    """Names of all entries that fit, and the text without their words."""
    names: list[str] = []
    for one in _tables()[table]:
        text, count = one.pattern.subn(one.instead, text)
        names += [one.name] if count else []
    return names, text


def _log(found: re.Match[str]) -> str:
    """`log base 2 of 8`, and `the logarithm of 8 to base 2`, in typed notation."""
    base, argument = found["a"] or found["b"], found["x"] or found["y"]
    return f"log_{base}({argument})" if base and argument else found[0]
