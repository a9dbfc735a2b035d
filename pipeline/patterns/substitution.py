"""Errors in putting numbers in the place of letters."""

from __future__ import annotations

from fractions import Fraction

from pipeline.exact.trees import Letter, Negation, Node, Numeral, Power, Product, Sum, children
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.evaluating import Substitution, replaced, substitute
from pipeline.procedures.rewriting.terms import ONE, magnitude, signed, with_children
from pipeline.procedures.walk import Choices

_SKILL = "order of operations"


@pattern(
    "substituted-without-brackets",
    skill=_SKILL,
    source="OpenStax College Algebra 2e, 2.5; Schechter 2006",
    shows=(
        "evaluate | x^2 - x at x=-3 | -12",
        "evaluate | 2x^2 + 5 at x=-4 | -27",
    ),
    silent=(
        "evaluate | x^2 - x at x=-3 | 12",
        "evaluate | x^2 - x at x=3 | 6",
    ),
)
@instead_of(substitute)
def substituted_without_brackets(tree: Node, values: Substitution) -> Choices | None:
    """Loses the brackets round a negative number that is put in for a letter."""
    if not any(isinstance(value, Negation) for _, value in values):
        return None
    return Choices(_bare(tree, values, subtracted) for subtracted in (False, True))


def _bare(tree: Node, values: Substitution, subtracted: bool) -> Node:
    """Put numbers in with the minus outside of powers and, if so wished, of subtractions."""
    match tree:
        case Power(Letter(name), exponent) if isinstance(dict(values).get(name), Negation):
            return Negation(Power(signed(dict(values)[name])[1], exponent))
        case Negation(Letter(name)) if subtracted and isinstance(dict(values).get(name), Negation):
            return dict(values)[name]
        case Letter():
            return replaced(tree, values)
    parts = children(tree)
    return with_children(tree, (_bare(part, values, subtracted) for part in parts))


@pattern(
    "coefficient-and-value-joined",
    skill=_SKILL,
    source="Ashlock 2006; a teacher's list of errors, 2015",
    shows=(
        "evaluate | 4x + 1 at x=2 | 43",
        "evaluate | 2x^2 at x=5 | 625",
    ),
    silent=(
        "evaluate | 4x + 1 at x=2 | 9",
        "evaluate | x + 1 at x=2 | 43",
    ),
)
@instead_of(substitute)
def coefficient_and_value_joined(tree: Node, values: Substitution) -> Node | None:
    """Writes the number behind the coefficient as its next digit: 4x becomes 42 for x = 2."""
    joined = _joined(tree, values)
    return joined if joined != replaced(tree, values) else None


def _joined(tree: Node, values: Substitution) -> Node:
    if isinstance(tree, Product) and len(tree.factors) == 2:
        digits, last = magnitude(tree.factors[0]), tree.factors[1]
        base, exponent = (last.base, last.exponent) if isinstance(last, Power) else (last, ONE)
        if digits is not None and isinstance(base, Letter):
            value = magnitude(dict(values).get(base.name, base))
            if value is not None:
                numeral = Numeral(Fraction(f"{digits}{value}"))
                return numeral if exponent == ONE else Power(numeral, exponent)
    if isinstance(tree, Letter):
        return replaced(tree, values)
    return with_children(tree, (_joined(part, values) for part in children(tree)))


@pattern(
    "coefficient-added-to-value",
    skill=_SKILL,
    source="common practice",
    shows=(
        "evaluate | 4x + 1 at x=2 | 7",
        "evaluate | 3x - 5 at x=-2 | -4",
        "evaluate | ab at a=10, b=13 | 23",
    ),
    silent=(
        "evaluate | 4x + 1 at x=2 | 9",
        "evaluate | x + 1 at x=2 | 7",
    ),
)
@instead_of(substitute)
def coefficient_added_to_value(tree: Node, values: Substitution) -> Node | None:
    """Adds the number put in to what stands before the letter instead of multiplying."""
    added = _added(tree, values)
    return added if added != replaced(tree, values) else None


def _added(tree: Node, values: Substitution) -> Node:
    if isinstance(tree, Product) and len(tree.factors) == 2 and isinstance(tree.factors[1], Letter):
        value = dict(values).get(tree.factors[1].name)
        first = tree.factors[0]
        if value is not None and (magnitude(first) is not None or isinstance(first, Letter)):
            return Sum((replaced(first, values), value))
    if isinstance(tree, Letter):
        return replaced(tree, values)
    return with_children(tree, (_added(part, values) for part in children(tree)))
