"""Two equations written without anything between them: `x=2x=5`."""

from __future__ import annotations

from pipeline.exact.trees import Letter, Product, Relation, letters
from pipeline.exact.values import Number
from pipeline.reading.brackets import numbers_of

__all__ = ["run_together"]


def run_together(relation: Relation) -> list[Number] | None:
    """Return the roots of `x=2x=5`, or None where the relation is something else."""
    sides = relation.sides
    if len(sides) != 3 or not isinstance(sides[0], Letter) or letters(sides[2]):
        return None
    middle = sides[1]
    if not isinstance(middle, Product) or middle.factors[-1] != sides[0]:
        return None
    rest = middle.factors[:-1]
    head = rest[0] if len(rest) == 1 else Product(rest)
    return None if letters(head) else [*numbers_of(head), *numbers_of(sides[2])]
