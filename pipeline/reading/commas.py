"""The three jobs of a comma: list, thousands, decimals."""

from __future__ import annotations

import re

from pipeline.reading.records import ReadingContext

_THOUSANDS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}(?:,\d{3})+(?![\d,])(?!\.\d*,)")
_DECIMAL = re.compile(r"(?<![\d.,])(\d+),(\d+)(?![\d,])")
_POINT_GROUPS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}(?:\.\d{3})+(?=,|(?!\.?\d))")
_BRACKETED = re.compile(r"[(\[{][^()\[\]{}]*[)\]}]")
_POINT = re.compile(r"\d\.\d")
_SEPARATING = re.compile(r",(?![\s,]|$)")
_PAIR = re.compile(r"\s*\(?(-?\d+,-?\d+)\)?\s*")
_BLANK_GROUPS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}(?: \d{3})+(?![\d ]*[\d/,.])")

Variant = tuple[str, str]
"""Rewritten text and the convention behind it; empty for the usual reading."""


def comma_variants(text: str, context: ReadingContext, changes: list[str]) -> list[Variant]:
    """Return the text for every legitimate job of its commas, the usual one first."""
    if _BLANK_GROUPS.search(text):
        changes.append("blanks inside a number set aside")
        text = _BLANK_GROUPS.sub(lambda found: found[0].replace(" ", ""), text)
    if "," not in text:
        return [(text, "")]
    if context.decimal_comma:
        return _of_decimal_commas(text, context)
    if any(";" in found and _DECIMAL.search(found) for found in _BRACKETED.findall(text)):
        return [(_with_points(text), ""), (text, "comma-list")]
    if _THOUSANDS.search(text) and not _only_pair(text):
        return _thousands(text)
    if "," not in _BRACKETED.sub("", text) and text.count(",") > 1:
        return [(text, "")]
    if _DECIMAL.search(_BRACKETED.sub(" ", text)) and _may_be_decimal(text):
        return _decimals(text)
    return [(text, "")]


def _of_decimal_commas(text: str, context: ReadingContext) -> list[Variant]:
    """Where commas are decimal, the only one in brackets may still separate a pair: `(3,4)`."""
    pointed = _with_points(text)
    pairs = (";" not in found and _DECIMAL.search(found) for found in _BRACKETED.findall(text))
    if not any(pairs):
        return [(pointed, "")]
    if context.kind in {"point", "region"}:
        return [(text, ""), (pointed, "comma-list")]
    return [(pointed, ""), (text, "comma-list")]


def _may_be_decimal(text: str) -> bool:
    """Whether every comma that separates has a blank behind it, and no decimal has a point.

    In `(2,-3,0)` the first comma separates without a blank, so the second one does too.
    """
    return _POINT.search(text) is None and _SEPARATING.search(_DECIMAL.sub("", text)) is None


def _with_points(text: str) -> str:
    text = _POINT_GROUPS.sub(lambda found: found[0].replace(".", ""), text)
    return _DECIMAL.sub(r"\1.\2", text)


def _only_pair(text: str) -> bool:
    """Whether the comma is the one that separates a pair in brackets."""
    return (
        text.count(",") == 1 and re.search(r"[({\[][^()\[\]]*,[^()\[\]]*[)}\]]", text) is not None
    )


def _thousands(text: str) -> list[Variant]:
    grouped = _THOUSANDS.sub(lambda found: found[0].replace(",", ""), text)
    variants = [(grouped, ""), (text, "comma-thousands")]
    if text.count(",") == 1:
        variants.append((_DECIMAL.sub(r"\1.\2", text), "comma-thousands"))
    return variants


def _decimals(text: str) -> list[Variant]:
    pointed = (_DECIMAL.sub(r"\1.\2", text), "comma-list")
    if ";" not in text or "(" in text:
        return [(text, ""), pointed]
    pieces = text.split(";")
    variants = [(pointed[0], "")]
    if all(_PAIR.fullmatch(piece) for piece in pieces):
        pairs = ";".join(_PAIR.sub(r"(\1)", piece) for piece in pieces)
        variants.append((pairs, "comma-list"))
    return [*variants, (text, "comma-list")]
