"""Lists of numbers, labelled or bare, single values, and values said twice."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import (
    Call,
    Letter,
    MixedNumber,
    Node,
    Numeral,
    Product,
    Quotient,
    Relation,
    holds,
    in_order,
    letters,
)
from pipeline.exact.values import (
    Equation,
    Expression,
    Number,
    Point,
    Points,
    Roots,
    Value,
    members_of,
    number_key,
)
from pipeline.reading.brackets import Found, is_tuple, numbers_of
from pipeline.reading.constants import with_imaginary_unit, with_unit
from pipeline.reading.items import expression_of, without_unit
from pipeline.reading.records import MAX_VALUES, Notes, Unread
from pipeline.reading.relations import (
    UNSOLVED,
    labelled,
    last_of_chain,
    relation_value,
    rounds,
    zero_product_roots,
)
from pipeline.reading.signs import count_signs, independent_signs
from pipeline.reading.splitting import Item, bracketed, levels
from pipeline.reading.tokens import Token

_ECHO_SIGNS = frozenset({"~", "="})
_JOINING = frozenset({"or", ",", "="})

Values = Callable[[Sequence[Token]], Value]


def _said_once(numbers: Sequence[Number]) -> list[Number]:
    """Drop each decimal of two places or more that only rounds an exact member of the list."""
    if not any((number.places or 0) > 1 for number in numbers):
        return list(numbers)
    exact = [number for number in numbers if number.places is None]
    return [number for number in numbers if not _rounds_any(number, exact)]


def _rounds_any(number: Number, exact: Sequence[Number]) -> bool:
    others = (one for one in exact if one.surd != number.surd)
    return (number.places or 0) > 1 and any(rounds(number, other) for other in others)


def without_echo(tokens: Sequence[Token], values: Values) -> Sequence[Token] | None:
    """Return an answer without what repeats it, or None when nothing does.

    `2 ± √10 ≈ 5.16, -1.16`, `6/2, 4/2 = 3, 2` and `3/2 (1.5)` say their values twice.

    Args:
        tokens: the answer.
        values: reads tokens as a value, as the answer itself is read.
    """
    try:
        return _without_roundings(tokens, values) or _without_brackets(tokens, values)
    except Unread:
        return None


def _without_roundings(tokens: Sequence[Token], values: Values) -> Sequence[Token] | None:
    """What follows the only ≈, or =, is a list of as many values as stand before it."""
    places = [place for place, token in enumerate(tokens) if token.kind in _ECHO_SIGNS]
    place = places[-1] if places else 0
    if not 1 < place < len(tokens) - 1 or levels(tokens)[place]:
        return None
    before, after = tokens[:place], tokens[place + 1 :]
    if tokens[place].kind == "=" and not any(one.kind in {",", "or", "and"} for one in after):
        return None
    exact, again = members_of(values(before)), members_of(values(after))
    if tokens[place].kind == "~":
        once = all(token.kind != "~" for token in before)
    else:
        once = set(map(number_key, exact)) == set(map(number_key, again))
    return before if once and 1 < len(exact) == len(again) else None


def _without_brackets(tokens: Sequence[Token], values: Values) -> Sequence[Token] | None:
    """Brackets at the end that hold nothing but the decimals of what stands before them."""
    if tokens[-1].kind != ")" or not any(token.places for token in tokens):
        return None
    start = _last_opening(tokens)
    if not start or not tokens[start].gap:
        return None
    before, inside = tokens[:start], tokens[start + 1 : -1]
    while before and before[-1].kind in _JOINING:
        before = before[:-1]
    while inside and inside[0].kind in _ECHO_SIGNS:
        inside = inside[1:]
    if not before or not any(token.places for token in inside):
        return None
    first, second = members_of(values(before)), members_of(values(inside))
    echoed = all(_says_again(number, first) for number in second)
    return before if second and echoed else None


def _last_opening(tokens: Sequence[Token]) -> int | None:
    """Where the brackets open that close with the last token."""
    pairs = reversed(list(enumerate(zip(tokens, levels(tokens), strict=True))))
    return next((p for p, (token, level) in pairs if level == 1 and token.kind == "("), None)


def _says_again(number: Number, others: Sequence[Number]) -> bool:
    same = any(number.surd is not None and number.surd == other.surd for other in others)
    return same or _rounds_any(number, others)


_SMALLER_UNITS = frozenset({"minute", "minutes", "min", "mins", "second", "seconds", "sec", "secs",
                            "cent", "cents", "inch", "inches", "in", "ounces", "oz"})  # fmt: skip


def labelled_values(items: list[Item], relations: list[Relation | None], notes: Notes) -> Found:
    """Lists in which at least one item is an equation.

    A true calculation, as the last in `x = 6/2 = 3, 4/2 = 2`, gives a value or checks the others.
    """
    found: list[tuple[str, list[Number]]] = []
    for item, relation in zip(items, relations, strict=True):
        if relation is None:
            values = _item_numbers(item, notes)
            if any(letters(number.tree) for number in values):
                raise Unread("a letter stands in a list of numbers")
            found.append((found[-1][0] if found else "", values))
            continue
        pair = labelled(relation, notes) or _unlabelled(relation, notes)
        if pair is None:
            return _half_finished(items, relations, notes)
        found.append((pair[0] or (found[-1][0] if found else ""), pair[1]))
    given = [one for one, relation in zip(found, relations, strict=True)
             if relation is None or letters(relation) or "~" in relation.signs]  # fmt: skip
    if not 0 < len(given) < len(found):
        return _under_names(found, items, relations, notes)
    checked = _under_names(given, items, relations, notes)
    several = len({name for name, _ in given}) > 1
    return checked if several else [*_under_names(found, items, relations, notes), *checked]


def _under_names(
    found: list[tuple[str, list[Number]]],
    items: list[Item],
    relations: list[Relation | None],
    notes: Notes,
) -> Found:
    found = [(_without_index(name, notes), values) for name, values in found]
    names = list(dict.fromkeys(name for name, _ in found if name))
    if relations[0] is None and (len(names) != 1 or items[1].separator not in {"or", "and"}):
        raise Unread("a value stands before the first label")
    if len(names) < 2:
        return [(_checked([number for _, values in found for number in values], notes), "")]
    readings: Found = [(_point(found, names, notes), "unequal-signs")]
    if notes.context.kind == "roots":
        readings.append((_checked([n for _, members in found for n in members], notes), "label"))
    return readings


def _without_index(name: str, notes: Notes) -> str:
    """The letter of a label `x_1`, whose index the problem does not use."""
    return name if name in notes.context.letters else name.split("_", maxsplit=1)[0]


def _unlabelled(relation: Relation, notes: Notes) -> tuple[str, list[Number]] | None:
    """`2 + √10 ≈ 5.16`, `4/2 = 2`, or of a point `f(3) = -5`, inside a list."""
    called = isinstance(relation.sides[0], Call) and notes.context.kind == "point"
    if called and not letters(relation):
        return "y", last_of_chain(relation.sides[1:], relation.signs[1:], notes)
    if letters(relation) or holds(relation, Call) or set(relation.signs) - {"=", "~"}:
        return None
    keys = {tuple(map(number_key, numbers_of(side))) for side in relation.sides}
    if "~" not in relation.signs and len(keys) > 1:
        return None
    return "", last_of_chain(relation.sides, relation.signs, notes)


def _half_finished(items: list[Item], relations: list[Relation | None], notes: Notes) -> Found:
    """`x - 2 = 0 or x + 3 = 0` stands for the product of the two."""
    last = _after_working(items, relations, notes) or _solved_for(items, relations)
    if last is not None:
        return last
    called = [one for one in relations if one is not None and isinstance(one.sides[0], Call)]
    if len(called) == len(relations):
        return relation_value(called[-1], notes)  # `g(2) = 3, f(3) = 5`
    factors: list[Node] = []
    left_over = "zero-product"
    for relation in relations:
        if relation is not None and count_signs(relation):
            raise Unread("a list of equations")
        if relation is None or relation.signs != ("=",) or len(letters(relation)) != 1:
            raise Unread("a list of equations")
        if isinstance(relation.sides[0], Letter) and letters(relation.sides[1]):
            raise Unread("a value that contains the unknown itself")
        zero = relation.sides[1] == Numeral(Fraction(0))
        left_over = left_over if zero else UNSOLVED
        factors.append(relation.sides[0] if zero else relation.difference)
    product = Relation((Product(tuple(factors)), Numeral(Fraction(0))), ("=",))
    notes.remark("equations left unsolved")
    values: Found = [(Equation(product), "")]
    roots = zero_product_roots(product)
    return [*values, (Roots(tuple(roots)), left_over)] if roots else values


def _solved_for(items: list[Item], relations: list[Relation | None]) -> Found | None:
    """`b = √(c^2 - a^2) or b = -√(c^2 - a^2)`: an unknown in terms of other letters."""
    sides = [relation.sides for relation in relations if relation is not None]
    either = all(item.separator == "or" for item in items[1:])
    if not either or any(one[0] != sides[0][0] or len(one) > 2 for one in sides):
        return None
    name, values = sides[0][0], [one[1] for one in sides]
    if not isinstance(name, Letter) or len(sides) < len(relations):
        return None
    if any(name.name in letters(one) or not letters(one) for one in values):
        return None
    return [(Roots(tuple(number for one in values for number in numbers_of(one))), "")]


def _after_working(
    items: list[Item], relations: list[Relation | None], notes: Notes
) -> Found | None:
    """`x^2 = 4, x = ±2`: working, and then the roots."""
    pairs = [None if relation is None else labelled(relation, notes) for relation in relations]
    start = next((place for place, pair in enumerate(pairs) if pair is not None), 0)
    names = {pair[0] for pair in pairs if pair is not None}
    ends = all(pair or relation is None for pair, relation in zip(pairs, relations, strict=True)
               if relation not in relations[:start])  # fmt: skip
    if not start or len(names) != 1 or not ends:
        return None
    if any(r is None or not letters(r) <= names for r in relations[:start]):
        return None
    if any(_adds_a_root(relation, relations[start:], notes) for relation in relations[:start]):
        return None
    notes.remark("working before the answer was set aside")
    return labelled_values(items[start:], relations[start:], notes)


def _adds_a_root(earlier: Relation | None, values: list[Relation | None], notes: Notes) -> bool:
    """Whether an equation of the first degree has a root that is not among the values behind it."""
    if earlier is None or earlier.signs != ("=",) or count_signs(earlier):
        return len(earlier.sides) > 2 if earlier is not None else True
    difference = polynomial_of(earlier.difference)
    if difference is None or difference.degree() != 1:
        return False
    constant, slope = difference.coefficients(next(iter(letters(earlier))))
    root = number_key(Number.exactly(-constant / slope))
    given = [pair[1] for one in values if one is not None and (pair := labelled(one, notes))]
    return root not in {number_key(one) for numbers in given for one in numbers}


def _point(found: list[tuple[str, list[Number]]], names: list[str], notes: Notes) -> Value:
    if {"h", "k"} < set(names):  # of a vertex form, whose other letters are no part of the point
        found = [one for one in found if one[0] in "hk"]
        names = [name for name in names if name in "hk"]
    by_name: dict[str, list[Number]] = {name: [] for name in names}
    for name, values in found:
        by_name[name] += values
    alphabetical = _neighbors(names) or notes.context.letters
    ordered = in_order(names) if alphabetical else names
    counts = {len(values) for values in by_name.values()}
    if counts != {1}:
        if len(counts) == 1:
            columns = [by_name[name] for name in ordered]
            return Points(tuple(Point(row) for row in zip(*columns, strict=True)))
        raise Unread("letters with different numbers of values")
    return Point(tuple(by_name[name][0] for name in ordered))


def _neighbors(names: list[str]) -> bool:
    codes = sorted(ord(name[0].lower()) for name in names)
    if set(names) == {"h", "k"}:
        return True
    return all(second - first == 1 for first, second in pairwise(codes)) or (
        {"x", "z"} >= set(names)
    )


def _item_numbers(item: Item, notes: Notes) -> list[Number]:
    if bracketed(item.tokens) and item.tokens[0].kind == "(" and is_tuple(item.tokens):
        raise Unread("a pair inside a list of numbers")
    return numbers_of(with_imaginary_unit(expression_of(item.tokens, notes), notes))


def bare_list(items: list[Item], notes: Notes) -> Found:
    """Read items without labels as a list of numbers or expressions."""
    if any(bracketed(item.tokens) and is_tuple(item.tokens) for item in items):
        raise Unread("a list that mixes pairs and numbers")
    _refuse_mixed_units(items)
    items = [replace(item, tokens=tuple(without_unit(item.tokens, notes))) for item in items]
    numbers = [number for item in items for number in _item_numbers(item, notes)]
    lettered = [number for number in numbers if letters(number.tree)]
    if lettered and len(lettered) < len(numbers):
        notes.remark("a list of numbers and expressions")
        if notes.context.kind == "number" and len(numbers) - len(lettered) == 1:
            return [(next(one for one in numbers if one not in lettered), "")]
    if notes.context.kind == "point" and not lettered:
        return [(Point(tuple(numbers)), "")]
    found: Found = [(_checked(numbers, notes), "")]
    mixed = _mixed(items, numbers)
    return [*found, (mixed, "mixed-in-words")] if mixed is not None else found


def _refuse_mixed_units(items: list[Item]) -> None:
    """Refuse one quantity in two units, `3 hours and 20 minutes`, which is no list.

    Raises:
        Unread: a smaller unit follows a larger one.
    """
    units = [item.tokens[-1].text for item in items if item.tokens[-1].kind == "unit"]
    smaller = [unit.lower() in _SMALLER_UNITS for unit in units]
    if len(units) == len(items) and any(smaller) and not all(smaller):
        raise Unread("one quantity in two units")


def _mixed(items: list[Item], numbers: list[Number]) -> Number | None:
    """`2 and 1/2` may be a mixed number in words."""
    if len(items) != 2 or items[1].separator != "and" or len(numbers) != 2:
        return None
    whole, part = numbers
    if not isinstance(whole.tree, Numeral) or not isinstance(part.tree, Quotient):
        return None
    if whole.surd is None or part.surd is None or not whole.surd.is_integer or part.surd >= 1:
        return None
    return Number(whole.surd + part.surd, MixedNumber((whole.tree, part.tree)))


def _checked(numbers: list[Number], notes: Notes) -> Roots:
    if len(numbers) > MAX_VALUES:
        raise Unread("too large: more than 20 values")
    once = _said_once(numbers)
    if len(once) < len(numbers):
        notes.remark("a rounding of the same values was set aside")
    return Roots(tuple(once))


def _imaginary(tree: Node, name: str, notes: Notes) -> Found:
    meant = with_unit(tree, name, notes)
    return expression_values(meant, notes) if letters(meant) else number_values(meant, notes)


def _as_letter(tree: Node) -> Found:
    return [] if count_signs(tree) else [(Expression(tree), "imaginary-unit")]


def expression_values(tree: Node, notes: Notes) -> Found:
    """Read a tree with letters."""
    if letters(tree) == {"j"} and not notes.context.letters:
        return [*_imaginary(tree, "j", notes), *_as_letter(tree)]
    if "I" in letters(tree) - notes.context.letters:
        return [*_imaginary(tree, "I", notes), *_as_letter(tree)]
    if count_signs(tree):
        return [(Roots(tuple(numbers_of(tree))), "")]
    return [(Expression(tree), "")]


def number_values(tree: Node, notes: Notes) -> Found:
    """Read a tree without letters: one number, or two for a plus-minus sign."""
    numbers = numbers_of(tree)
    if len(numbers) == 1:
        found: Found = [(numbers[0], "")]
        if "ratio" in notes.met:
            pair = [numbers_of(part)[0] for part in (tree.numerator, tree.denominator)]  # type: ignore[union-attr]
            found.append((Point(tuple(pair)), "ratio"))
        return found
    found = [(Roots(tuple(numbers)), "")]
    if 1 < count_signs(tree) <= 4:
        every = [number for choice in independent_signs(tree) for number in numbers_of(choice)]
        found.append((Roots(tuple(every)), "independent-signs"))
    return found
