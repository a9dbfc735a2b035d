"""Notations of numbers: fraction, mixed number, decimal, percent, scientific."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from pipeline.exact.trees import MixedNumber, Negation, Node, Numeral, Power, Product, Quotient

NOTATIONS: Final = ("fraction", "decimal", "percent", "scientific", "mixed", "improper")
_TEN: Final = Fraction(10)
_PERCENT: Final = re.compile(r"%|٪|％|\bper\s?cent\b|\bpct\b", re.IGNORECASE)
_E_NOTATION: Final = re.compile(r"(\d+(?:\.\d*)?|\.\d+)\s*[eE]\s*[+-]?\d")


def has_percent_sign(typed: str) -> bool:
    """Whether a percent sign, or the word, stands in a typed text."""
    return _PERCENT.search(typed) is not None


def is_in_notation(tree: Node, notation: str, typed: str = "") -> bool:
    """Whether a number is written in a notation.

    Args:
        tree: the number as read; an outer minus sign belongs to every notation.
        notation: one of `NOTATIONS`.
        typed: the text as typed: a percent sign and the e of 3.2e5 leave nothing in the tree.
    """
    if notation == "percent" or has_percent_sign(typed):
        return notation == "percent" and has_percent_sign(typed)
    by_e = _E_NOTATION.search(typed)
    if by_e:
        return notation == "scientific" and 1 <= float(by_e[1]) < 10
    bare = tree.argument if isinstance(tree, Negation) else tree
    if notation == "decimal":
        return isinstance(bare, Numeral)
    if notation == "mixed":
        return isinstance(bare, MixedNumber) or _is_whole(bare)
    if notation == "improper":
        return _is_fraction(bare) and not isinstance(bare, MixedNumber)
    return _is_scientific(bare) if notation == "scientific" else _is_fraction(bare)


def _is_fraction(bare: Node) -> bool:
    """Whether whole numbers stand above and below the bar; a whole number is one as well."""
    if isinstance(bare, MixedNumber):
        return True
    if isinstance(bare, Quotient):
        return _is_whole(bare.numerator) and _is_whole(bare.denominator)
    return _is_whole(bare)


def _is_whole(node: Node) -> bool:
    bare = node.argument if isinstance(node, Negation) else node
    return isinstance(bare, Numeral) and bare.places is None and bare.value.denominator == 1


def _is_scientific(bare: Node) -> bool:
    """Whether a number from 1 to under 10 stands before a power of ten; a bare power has the 1."""
    factors = bare.factors if isinstance(bare, Product) else (bare,)
    if len(factors) > 2 or not _is_power_of_ten(factors[-1]):
        return False
    lead = factors[0]
    inner = lead.argument if isinstance(lead, Negation) else lead
    return len(factors) == 1 or (isinstance(inner, Numeral) and 1 <= inner.value < 10)


def _is_power_of_ten(node: Node) -> bool:
    return isinstance(node, Power) and node.base == Numeral(_TEN) and _is_whole(node.exponent)
