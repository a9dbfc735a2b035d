"""Errors with the digits of whole numbers."""

from __future__ import annotations

from pipeline.exact.trees import Node, Sum
from pipeline.patterns.decimals import digit_differences
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.operations import add
from pipeline.procedures.rewriting.terms import number


@pattern(
    source="Ashlock 2006 (label 21 of Otero, Druga and Lan 2024); Brown and Burton 1978",
    shows=(
        "evaluate | 362 - 185 | 223",
        "evaluate | 200 - 30 | 230",
    ),
    silent=(
        "evaluate | 362 - 185 | 177",
        "evaluate | 385 - 162 | 177",
    ),
)
@instead_of(add)
def smaller_digit_from_larger(place: Sum) -> Node | None:
    """Takes the smaller digit from the larger in each column, whichever stands on top."""
    found = digit_differences(place)
    if found is None or any(one.places for one in found) or found[0].value < 10:
        return None
    top, below = (str(int(one.value)) for one in found)
    if len(below) > len(top):
        return None
    columns = zip(top, below.zfill(len(top)), strict=True)
    return number(int("".join(str(abs(int(one) - int(two))) for one, two in columns)))
