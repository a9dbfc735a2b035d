"""Relations as answers: labels of roots, chains of equals, inequalities, equations, factors."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from pipeline.errors import BudgetExceeded
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.regions import WHOLE_LINE, holds, union, without_points
from pipeline.exact.trees import (
    Absolute,
    Call,
    Letter,
    Node,
    Numeral,
    PlusMinus,
    Power,
    Product,
    Quotient,
    Relation,
    letters,
    unsigned,
)
from pipeline.exact.values import (
    Equation,
    Expression,
    Number,
    Point,
    Roots,
    Statement,
    StatementCode,
    Value,
    tree_key,
    value_key,
)
from pipeline.reading.brackets import numbers_of
from pipeline.reading.commas import run_together
from pipeline.reading.constants import with_imaginary_unit
from pipeline.reading.inequalities import chain_region, pair_region
from pipeline.reading.labels import sides_behind_formula
from pipeline.reading.records import Notes, Unread
from pipeline.reading.signs import both_signs, count_signs


def zero_product_roots(relation: Relation) -> list[Number]:
    """Return the roots of a factored equation `(x-2)(x+3) = 0`, all factors linear; else none.

    The zero may stand on either side.
    """
    left, right = relation.sides[0], relation.sides[-1]
    if isinstance(left, Numeral):
        left, right = right, left
    if not isinstance(right, Numeral) or right.value:
        return []
    return _factor_roots(left)


def _factor_roots(left: Node) -> list[Number]:
    names = letters(left)
    factors = left.factors if isinstance(left, Product) else (left,)
    if len(names) != 1 or (len(factors) == 1 and not isinstance(left, Power)):
        return []
    letter, found = next(iter(names)), []
    for factor in factors:
        base = factor.base if isinstance(factor, Power) else factor
        value = None if isinstance(base, PlusMinus | Quotient) else polynomial_of(base)
        if value is None or value.degree() > 1:
            return []
        if value.degree() == 1:
            constant, slope = value.coefficients(letter)
            found.append(Number.exactly(-constant / slope))
    return list(dict.fromkeys(found))


OTHER_SIDE = "other-side"
"""The first of two equal expressions: as good a value, in its own form."""
UNSOLVED = "unsolved"
"""The region of an inequality that is not solved for its letter."""
BARS_KEPT = "bars-kept"
"""The region of an inequality that is solved for the absolute value of its letter."""
IMPOSSIBLE_CHAIN = "impossible-chain"
"""The numbers outside, as `3 < x < -2` may mean them: never right, since no number is both."""
_ZERO = Numeral(Fraction(0))
Labelled = tuple[str, list[Number]]


def labelled(relation: Relation, notes: Notes) -> Labelled | None:
    """Return the letter and values of `x = …`, `… = x`, `x = … = …` or `x ≈ …`, or None."""
    sides, signs = relation.sides, relation.signs
    if any(sign not in {"=", "~"} for sign in signs):
        return None
    if isinstance(sides[-1], Letter) and not isinstance(sides[0], Letter):
        sides, signs = tuple(reversed(sides)), tuple(reversed(signs))
    name, known = sides[0], notes.context.letters
    if not isinstance(name, Letter):
        return None
    while len(sides) > 2 and letters(sides[1]) and letters(sides[1]).isdisjoint(known or "x"):
        sides, signs = (name, *sides[2:]), signs[1:]  # `x = -b/(2a) = 6/2` begins with a formula
    values = [with_imaginary_unit(side, notes) for side in sides[1:]]
    if any(letters(side) for side in values):
        return None
    return name.name, last_of_chain(values, signs[1:], notes)


def last_of_chain(sides: Sequence[Node], signs: Sequence[str], notes: Notes) -> list[Number]:
    """Return the last exact value of a chain; what follows ≈ is a rounding of it.

    Raises:
        Unread: two plain numbers in the chain contradict each other.
    """
    if "~" in signs:
        cut = signs.index("~")
        if numbers_of(sides[cut])[0].places and numbers_of(sides[-1])[0].places is None:
            sides = (*sides[:cut], sides[-1])
        sides, signs = sides[: cut + 1], signs[:cut]
        notes.remark("the rounding after ≈ was set aside")
    numbers = numbers_of(sides[-1])
    keys = {value_key(number) for number in numbers}
    for side in sides[:-1]:
        earlier = numbers_of(side)
        if {value_key(number) for number in earlier} == keys or _round(earlier, numbers):
            continue
        if _plain(side) and _plain(sides[-1]) and "percent" not in notes.flipped:
            raise Unread("the equals signs contradict each other")
        notes.remark("a chain of equals signs whose sides differ; the last was used")
    if len(sides) > 1 and all(number.places for number in numbers):
        exact = numbers_of(sides[-2])
        return exact if _round(exact, numbers) else numbers
    return numbers


def _plain(node: Node) -> bool:
    return isinstance(unsigned(node), Numeral)


def _round(exact: list[Number], rounded: list[Number]) -> bool:
    """Whether decimals are roundings of the exact values before them."""
    pairs = zip(rounded, exact, strict=False)
    return len(exact) == len(rounded) and all(rounds(*pair) for pair in pairs)


def rounds(number: Number, exact: Number) -> bool:
    """Whether a typed decimal is what a number is rounded to, or cut to."""
    if number.surd is None or exact.surd is None or number.places is None:
        return False
    gap, unit = number.surd - exact.surd, Fraction(1, 10**number.places)
    return gap.is_real and -unit < gap < unit


def how_solved(relation: Relation) -> str:
    """Name what is left of an inequality: nothing where a letter stands beside each number."""
    sides = [frozenset(pair) for pair in pairwise(relation.sides)]
    if any(all(map(letters, pair)) for pair in sides):
        return UNSOLVED
    lettered = {one for pair in sides for one in pair if letters(one)}
    if all(isinstance(one, Letter) for one in lettered):
        return ""
    bars = all(isinstance(one, Absolute) and isinstance(one.argument, Letter) for one in lettered)
    return BARS_KEPT if bars else UNSOLVED


def relation_value(relation: Relation, notes: Notes) -> list[tuple[Value, str]]:
    """Return the values of a relation that stands alone."""
    found = labelled(relation, notes)
    if found is not None:
        return [(Roots(tuple(found[1])), "")]
    behind = sides_behind_formula(relation, notes.context)
    if behind is not None:
        return [(_listed(last_of_chain(*behind, notes)), "")]
    if not letters(relation) and not isinstance(relation.sides[0], Call):
        return [(_numeric(relation, notes), "")]
    if all(sign in {"=", "~"} for sign in relation.signs):
        return _equation(relation, notes)
    if any(count_signs(side) for side in relation.sides):
        return [(_with_both_signs(relation), "")]
    if len(relation.signs) > 2:
        raise Unread("a chain of more than two comparisons")
    region = chain_region(relation)
    if region is None and len(relation.signs) > 1 and len(letters(relation)) == 1:
        raise Unread("a chain of comparisons that goes two ways")
    if region is None:
        return [(Equation(relation), "")]
    if region.parts or len(relation.signs) < 2:
        return [(region, "" if notes.context.translated else how_solved(relation))]
    return [(Statement(StatementCode.NO_SOLUTION), ""), *_as_union(relation)]


def _with_both_signs(relation: Relation) -> Value:
    """`x ≠ ±2` takes two points out of the line; `x > ±3` is x > 3 or x > -3."""
    left, right = relation.sides[0], relation.sides[-1]
    if len(relation.signs) > 1 or not isinstance(left, Letter):
        raise Unread("a plus-minus sign in an inequality")
    if relation.signs == ("!=",):
        return without_points(WHOLE_LINE, numbers_of(right))
    rays = [chain_region(Relation((left, one), relation.signs)) for one in both_signs(right)]
    return union(*(one for one in rays if one is not None))


def _as_union(relation: Relation) -> list[tuple[Value, str]]:
    """An impossible chain `3 < x < -2` is often written for `or`."""
    parts = [one for pair in relation.pairs() if (one := pair_region(*pair)) is not None]
    return [(union(*parts), IMPOSSIBLE_CHAIN)] if parts else []


def _numeric(relation: Relation, notes: Notes) -> Value:
    """A relation without letters: a chain that ends in a value, or a true or false statement."""
    sides, signs = relation.sides, relation.signs
    unit = "percent" in notes.flipped  # the sign stands behind a hundred times the number before it
    bare = len(sides) == 2 and all(_plain(side) for side in sides) and not unit
    if bare and signs == ("=",):
        equal = value_key(numbers_of(sides[0])[0]) == value_key(numbers_of(sides[1])[0])
        notes.remark(f"a {'true' if equal else 'false'} equation left as the answer")
        return Statement(StatementCode.ALL_REAL if equal else StatementCode.NO_SOLUTION)
    if (
        bare
        and signs == ("!=",)
        and value_key(numbers_of(sides[0])[0]) != (value_key(numbers_of(sides[1])[0]))
    ):
        notes.remark("a contradiction left as the answer")
        return Statement(StatementCode.NO_SOLUTION)
    if all(sign in {"=", "~"} for sign in signs):
        numbers = last_of_chain(sides, signs, notes)
        notes.remark("the last side of a chain of equals signs was used")
        return _listed(numbers)
    if len(sides) == 2 and "!=" not in signs:
        return _comparison(relation, notes)
    raise Unread("a comparison of numbers is no answer")


def _listed(numbers: list[Number]) -> Value:
    return numbers[0] if len(numbers) == 1 else Roots(tuple(numbers))


def _comparison(relation: Relation, notes: Notes) -> Value:
    first, second = (numbers_of(side)[0].surd for side in relation.sides)
    if first is None or second is None or not (first.is_real and second.is_real):
        raise Unread("a comparison of numbers is no answer")
    true = holds((first - second).real_sign(), relation.signs[0])
    notes.remark(f"a {'true' if true else 'false'} inequality left as the answer")
    return Statement(StatementCode.ALL_REAL if true else StatementCode.NO_SOLUTION)


def _equation(relation: Relation, notes: Notes) -> list[tuple[Value, str]]:
    sides = relation.sides
    split = run_together(relation)
    if split is not None:
        return [(Roots(tuple(split)), ""), (Equation(Relation(sides[1:], ("=",))), "label")]
    if len(sides) == 2 and sides[0] == sides[1] and letters(sides[0]):
        notes.remark("a true equation left as the answer")
        return [(Statement(StatementCode.ALL_REAL), ""), (Expression(sides[1]), "statement")]
    if len(sides) == 2 and _same_value(sides[0], sides[1]):
        notes.remark("two equal expressions")
        return [(Expression(sides[1]), ""), (Expression(sides[0]), OTHER_SIDE)]
    if len(sides) > 2:
        return [_long_chain(relation, notes)]
    if any(count_signs(side) for side in sides):
        if count_signs(sides[1]) and isinstance(sides[0], Letter):
            return [(Roots(tuple(numbers_of(sides[1]))), "")]
        return [(Roots(tuple(_unfinished(relation))), UNSOLVED)]
    if isinstance(sides[0], Call) and not letters(sides[0]) and not letters(sides[1]):
        value = numbers_of(sides[1])[0]
        at = [one for part in sides[0].arguments for one in numbers_of(part)]
        return [(Point((*at, value)) if notes.context.kind == "point" else value, "")]
    return _as_equation(relation, notes)


def _as_equation(relation: Relation, notes: Notes) -> list[tuple[Value, str]]:
    """The equation itself, and what it may say of a solution, an expression or a function."""
    sides = relation.sides
    values: list[tuple[Value, str]] = [(Equation(relation), "")]
    roots = zero_product_roots(relation)
    if roots:
        values.append((Roots(tuple(roots)), "zero-product"))
    if notes.context.kind == "expression" and _ZERO in sides and not notes.context.translated:
        values.append((Expression(sides[sides[0] == _ZERO]), "set-to-zero"))
    if isinstance(sides[0], Call):
        values.append((Expression(sides[1]) if letters(sides[1]) else numbers_of(sides[1])[0], "f"))
    return values


def _unfinished(relation: Relation) -> list[Number]:
    """`x - 3 = ±√22` stands for its two roots."""
    names, found = letters(relation), []
    for choice in both_signs(relation.difference):
        value = polynomial_of(choice)
        if value is None or len(names) != 1 or value.degree() != 1:
            raise Unread("a plus-minus sign in an equation")
        constant, slope = value.coefficients(next(iter(names)))
        found.append(Number.exactly(-constant / slope))
    return found


def _long_chain(relation: Relation, notes: Notes) -> tuple[Value, str]:
    """`y = (x+1)^2 = x^2+2x+1`: the label with the last side, where the sides agree."""
    sides = relation.sides
    if all(isinstance(one, Letter) for one in sides[:-1]) and not letters(sides[-1]):
        return Point(tuple(numbers_of(sides[-1]) * (len(sides) - 1))), ""  # `x = y = z = 2`
    body = sides[1:] if isinstance(sides[0], Letter | Call) else sides
    known = notes.context.letters
    if known and letters(body[-1]) <= known:  # `y = mx + b = -2x + 4` begins with the form
        body = (*(one for one in body[:-1] if letters(one) <= known), body[-1])
    if notes.context.kind == "number" and letters(body[0]) and not any(map(letters, body[1:])):
        return _listed(last_of_chain(body[1:], relation.signs[-len(body) + 2 :], notes)), ""
    if isinstance(sides[0], Call) and not any(map(letters, body)):
        return _listed(last_of_chain(body, relation.signs[1:], notes)), ""
    if not all(_same_value(side, body[-1]) for side in body[:-1]):
        raise Unread("a chain of equations")
    notes.remark("the last side of a chain of equals signs was used")
    if body is sides:
        return Expression(body[-1]), ""
    return Equation(Relation((sides[0], body[-1]), ("=",))), ""


def _same_value(first: Node, second: Node) -> bool:
    try:
        return bool(letters(first) and letters(second)) and tree_key(first) == tree_key(second)
    except (ZeroDivisionError, BudgetExceeded):
        return False
