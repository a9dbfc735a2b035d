"""Errors with expressions that hold a plus-minus sign."""

from __future__ import annotations

from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Node
from pipeline.patterns.square_root_property import plus_minus_dropped
from pipeline.procedures.rewriting.both_signs import value_with, values_of_both


@plus_minus_dropped.also(
    values_of_both,
    shows=(
        "simplify | (6 ± 2sqrt(3))/2 | 3 + sqrt(3)",
        "evaluate | (5 ± 3)/2 | 4",
    ),
    silent=(
        "simplify | (6 ± 2sqrt(3))/2 | 3 ± sqrt(3)",
        "simplify | (6 ± 2sqrt(3))/2 | 3 - sqrt(3)",
    ),
)
def _plus_alone(tree: Node) -> frozenset[Surd]:
    """Works the plus sign alone and leaves out the minus."""
    return frozenset({value_with(tree, 1)})
