"""Items put together: roots, points, regions, expressions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pipeline.exact.regions import WHOLE_LINE, intersection, union
from pipeline.exact.trees import Constant, Letter, Node, Numeral, Quotient, Relation, letters
from pipeline.exact.values import (
    Equation,
    Expression,
    Number,
    Point,
    Points,
    Region,
    Roots,
    Statement,
    StatementCode,
    Value,
    value_key,
)
from pipeline.reading import marks
from pipeline.reading.brackets import bracket_values, is_tuple, numbers_of, without_points
from pipeline.reading.budgets import MAX_VALUES, Unread
from pipeline.reading.inequalities import chain_region, single_points
from pipeline.reading.items import Notes, expression_of, relation_of, without_unit
from pipeline.reading.labels import without_label
from pipeline.reading.pieces import RELATIONS, Item, bracketed, items_of
from pipeline.reading.relations import labelled, relation_value, zero_product_roots
from pipeline.reading.signs import count_signs, independent_signs
from pipeline.reading.tokens import Token

__all__ = ["values_of_tokens"]

Found = list[tuple[Value, str]]
"""Values with the convention behind each; the first is the usual reading."""


def values_of_tokens(tokens: Sequence[Token], notes: Notes) -> Found:
    """Return the legitimate values of an answer's tokens, the usual one first.

    Raises:
        Unread: the tokens are no answer.
    """
    tokens = without_label(list(tokens))
    while bracketed(tokens) and tokens[0].kind == marks.GROUP:
        tokens = without_label(list(tokens[1:-1]))
    if not tokens:
        raise Unread("nothing is left to read")
    special = _special(tokens, notes)
    if special is not None:
        return special
    items = items_of(tokens)
    if not items:
        raise Unread("nothing but separators")
    if len(items) == 1:
        return _single(items[0].tokens, notes)
    return _several(items, notes)


def _special(tokens: Sequence[Token], notes: Notes) -> Found | None:
    """Signs that stand for a whole answer, and the line without some points."""
    kinds = [token.kind for token in tokens]
    if kinds == ["∅"]:
        return [(Statement(StatementCode.NO_SOLUTION), "")]
    if kinds == ["ℝ"] or (
        kinds == ["letter"] and tokens[0].text == "R" and not notes.context.letters
    ):
        return [(Statement(StatementCode.ALL_REAL), "")]
    if kinds[0] == "letter" and tokens[0].text == "R" and kinds[1:3] in (["\\", "{"], ["-", "{"]):
        kinds[0] = "ℝ"
    both = _relation_and_interval(tokens, notes)
    if both is not None:
        return both
    if kinds[0] == "ℝ" and len(kinds) > 2 and kinds[1] in {"\\", "-", "!="}:
        holes = _numbers(values_of_tokens(tokens[2:], notes)[0][0])
        return [(without_points(WHOLE_LINE, holes), "")]
    return None


def _numbers(value: Value) -> list[Number]:
    if isinstance(value, Number):
        return [value]
    if isinstance(value, Roots):
        return list(value.members)
    raise Unread("only numbers can be taken out of the number line")


def _single(tokens: Sequence[Token], notes: Notes) -> Found:
    if bracketed(tokens) and is_tuple(tokens):
        return bracket_values(tokens, notes)
    relation = relation_of(tokens, notes)
    if relation is not None:
        return relation_value(relation, notes)
    range_ = _range_in_words(tokens, notes)
    if range_ is not None:
        return range_
    tree = expression_of(tokens, notes)
    if letters(tree):
        return _expression(tree, notes)
    pair = _lost_comma(tokens)
    if pair is not None:
        point = Point(tuple(numbers_of(expression_of(part, notes))[0] for part in pair))
        return [*_plain_numbers(tree, notes), (point, "lost-comma")]
    if isinstance(tree, Constant) and tree.name == "oo":
        return [(Statement(StatementCode.ALL_REAL), "")]
    return _plain_numbers(tree, notes)


def _lost_comma(tokens: Sequence[Token]) -> tuple[Sequence[Token], Sequence[Token]] | None:
    """`(2 -3)`: a blank before the minus sign and none behind it hint at a lost comma."""
    if not bracketed(tokens) or tokens[0].kind != "(":
        return None
    inner = tokens[1:-1]
    for place in range(1, len(inner) - 1):
        lone = inner[place].kind == "-" and inner[place].gap and not inner[place + 1].gap
        if lone and inner[place - 1].kind == "number" == inner[place + 1].kind and len(inner) < 6:
            return inner[:place], inner[place:]
    return None


def _expression(tree: Node, notes: Notes) -> Found:
    if letters(tree) == {"j"} and not notes.context.letters:
        return [*_imaginary(tree, "j", notes), (Expression(tree), "imaginary-unit")]
    if letters(tree) == {"I"} and "I" not in notes.context.letters:
        return _imaginary(tree, "I", notes)
    if count_signs(tree):
        return [(Roots(tuple(numbers_of(tree))), "")]
    return [(Expression(tree), "")]


def _imaginary(tree: Node, name: str, notes: Notes) -> Found:
    notes.remark(f"{name} read as the imaginary unit")
    return _plain_numbers(_with_unit(tree, name), notes)


def _with_unit(tree: Node, name: str) -> Node:
    from pipeline.reading.signs import mapped  # noqa: PLC0415 - rarely needed

    if isinstance(tree, Letter) and tree.name == name:
        return Constant("i")
    return mapped(tree, lambda part: _with_unit(part, name))


def _plain_numbers(tree: Node, notes: Notes) -> Found:
    numbers = numbers_of(tree)
    if len(numbers) == 1:
        found: Found = [(numbers[0], "")]
        if "ratio" in notes.met:
            pair = [numbers_of(part)[0] for part in (tree.numerator, tree.denominator)]  # type: ignore[union-attr] # noqa: E501
            found.append((Point(tuple(pair)), "ratio"))
        return found
    found = [(Roots(tuple(numbers)), "")]
    if 1 < count_signs(tree) <= 4:
        every = [number for choice in independent_signs(tree) for number in numbers_of(choice)]
        found.append((Roots(tuple(every)), "independent-signs"))
    return found


def _relation_and_interval(tokens: Sequence[Token], notes: Notes) -> Found | None:
    """`x > 3: (3, ∞)` says the same thing twice."""
    for place, token in enumerate(tokens):
        if (
            token.kind == ":"
            and 1 < place < len(tokens) - 3
            and tokens[place + 1].kind in {"(", "["}
        ):
            first = values_of_tokens(tokens[:place], notes)[0][0]
            second = values_of_tokens(tokens[place + 1 :], notes)[0][0]
            if value_key(first) == value_key(second):
                return [(second, "")]
            if isinstance(first, Region) and isinstance(second, Region):
                notes.remark("the inequality and the interval differ; the interval was used")
                return [(second, ""), (first, "two-forms")]
    return None


def _range_in_words(tokens: Sequence[Token], notes: Notes) -> Found | None:
    """`-2 to 3` and `between -2 and 3` reach this point as `-2 … 3`."""
    place = next((p for p, token in enumerate(tokens) if token.kind in {"->", "..."}), None)
    if place is None or not 0 < place < len(tokens) - 1:
        return None
    from pipeline.reading.brackets import interval_of  # noqa: PLC0415 - rarely needed

    ends = [expression_of(tokens[:place], notes), expression_of(tokens[place + 1 :], notes)]
    closed, opened = interval_of("[", ends, "]"), interval_of("(", ends, ")")
    return [(Region((closed,)), ""), (Region((opened,)), "bracket-pair")]


def _several(items: list[Item], notes: Notes) -> Found:
    if all(bracketed(item.tokens) and is_tuple(item.tokens) for item in items):
        return _several_brackets(items, notes)
    items = _with_subjects(items)
    plain = _with_condition(items, notes)
    if plain is not None:
        return plain
    relations = [_relation(item, notes) for item in items]
    if any(r is not None and set(r.signs) & {"<", ">", "<=", ">=", "!="} for r in relations) or any(
        item.separator in {"∪", "∩"} for item in items
    ):
        return _regions(items, relations, notes)
    if any(relation is not None for relation in relations):
        return _labels(items, relations, notes)
    return _list(items, notes)


def _with_condition(items: list[Item], notes: Notes) -> Found | None:
    """`x + 2, x ≠ 2`: an expression and the values that it excludes."""
    excluded = [any(token.kind == "!=" for token in item.tokens) for item in items]
    first = items[0].tokens
    if excluded[0] or not all(excluded[1:]) or any(token.kind in RELATIONS for token in first):
        return None
    if not any(token.kind == "letter" for token in first) or bracketed(first) and is_tuple(first):
        return None
    notes.remark("the excluded values were noted")
    return _single(first, notes)


def _with_subjects(items: list[Item]) -> list[Item]:
    """`x < -2 or > 3`: a relation without left side takes the letter of the one before."""
    result: list[Item] = []
    subject: Token | None = None
    for item in items:
        tokens = item.tokens
        if tokens[0].kind in {"<", ">", "<=", ">=", "!="} and subject is not None:
            tokens = (subject, *tokens)
        elif len(tokens) > 1 and tokens[0].kind == "letter" and tokens[1].kind in RELATIONS:
            subject = tokens[0]
        result.append(replace(item, tokens=tokens))
    return result


def _relation(item: Item, notes: Notes) -> Relation | None:
    if bracketed(item.tokens) and is_tuple(item.tokens):
        return None
    return relation_of(item.tokens, notes)


def _several_brackets(items: list[Item], notes: Notes) -> Found:
    options = [bracket_values(item.tokens, notes) for item in items]
    joined = any(item.separator in {"∪", "∩"} for item in items)
    if not joined and all(isinstance(option[0][0], Point) for option in options):
        points = [option[0][0] for option in options]
        found: Found = [(Points(tuple(p for p in points if isinstance(p, Point))), "")]
        regions = [_as_region(option) for option in options]
        if all(region is not None for region in regions):
            found.append((union(*(r for r in regions if r is not None)), "bracket-pair"))
        return found if notes.context.kind != "region" else found[::-1]
    if not joined and all(isinstance(option[0][0], Roots) for option in options):
        return [(Roots(tuple(n for o in options for n in _numbers(o[0][0]))), "")]
    total: Region | None = None
    for item, option in zip(items, options, strict=True):
        part = _as_region(option)
        if part is None:
            raise Unread("a union of things that are no intervals")
        total = part if total is None else _combined(total, part, item.separator, notes)
    return [(total or Region(()), "")]


def _as_region(option: Found) -> Region | None:
    for value, _ in option:
        if isinstance(value, Region):
            return value
        if isinstance(value, Statement) and value.code is StatementCode.ALL_REAL:
            return WHOLE_LINE
    first = option[0][0]
    return single_points(list(first.members)) if isinstance(first, Roots) else None


def _combined(total: Region, part: Region, separator: str, notes: Notes) -> Region:
    if separator in {"or", "∪", ";", "\n"}:
        if value_key(total) == value_key(part):
            return part
        return union(total, part)
    shared = intersection(total, part)
    if separator in {"and", "&", "∩"}:
        return shared
    if value_key(total) == value_key(part):
        return part
    notes.remark("two conditions side by side: together where possible, else either")
    return shared if shared.parts else union(total, part)


def _region(items: list[Item], relations: list[Relation | None], notes: Notes) -> Value:
    total: Region | None = None
    holes = False
    for item, relation in zip(items, relations, strict=True):
        part = _item_region(item, relation, holes, notes)
        holes = relation.signs == ("!=",) if relation is not None else holes
        separator = "and" if holes and item.separator not in {"∪"} else item.separator
        total = part if total is None else _combined(total, part, separator, notes)
    if total is None or not total.parts:
        return Statement(StatementCode.NO_SOLUTION)
    if all(part.low is not None and part.low == part.high for part in total.parts):
        return Roots(tuple(part.low for part in total.parts if part.low is not None))
    return total


def _regions(items: list[Item], relations: list[Relation | None], notes: Notes) -> Found:
    """The region as written and, where `and` leaves nothing, the region that `or` would give."""
    first = _region(items, relations, notes)
    if not isinstance(first, Statement) or all(item.separator != "and" for item in items):
        return [(first, "")]
    either = [replace(item, separator="or" if item.separator else "") for item in items]
    return [(first, ""), (_region(either, relations, notes), "impossible-chain")]


def _item_region(item: Item, relation: Relation | None, holes: bool, notes: Notes) -> Region:
    if relation is not None:
        if len(relation.sides) > 1 and letters(relation):
            region = chain_region(relation)
            if region is not None:
                return region
        raise Unread("an inequality in several letters, in a list")
    if bracketed(item.tokens) and is_tuple(item.tokens):
        region = _as_region(bracket_values(item.tokens, notes))
        if region is not None:
            return region
        raise Unread("a union of things that are no intervals")
    if item.tokens[-1].kind == "ℝ" or item.tokens[-1].text == "R":
        return WHOLE_LINE
    numbers = numbers_of(expression_of(item.tokens, notes))
    points = single_points(numbers)
    return without_points(WHOLE_LINE, numbers) if holes else points


def _labels(items: list[Item], relations: list[Relation | None], notes: Notes) -> Found:
    """Lists in which at least one item is an equation."""
    found: list[tuple[str, list[Number]]] = []
    for item, relation in zip(items, relations, strict=True):
        if relation is None:
            if not found:
                raise Unread("a value stands before the first label")
            values = _item_numbers(item, notes)
            found.append((found[-1][0], values))
            continue
        pair = labelled(relation, notes)
        if pair is None:
            return _half_finished(relations, notes)
        found.append(pair)
    names = list(dict.fromkeys(name.split("_")[0] for name, _ in found))
    if len(names) == 1:
        return [(_checked([number for _, values in found for number in values]), "")]
    return [(_point(found, names, notes), "unequal-signs")]


def _half_finished(relations: list[Relation | None], notes: Notes) -> Found:
    """`x - 2 = 0 or x + 3 = 0` stands for the product of the two."""
    from pipeline.exact.trees import Negation, Numeral, Product, Sum  # noqa: PLC0415 - rarely needed

    last = _after_working(relations, notes)
    if last is not None:
        return last
    factors: list[Node] = []
    for relation in relations:
        if relation is not None and count_signs(relation):
            raise Unread("a list of equations")
        if relation is None or relation.signs != ("=",) or len(letters(relation)) != 1:
            raise Unread("a list of equations")
        left, right = relation.sides
        zero = isinstance(right, Numeral) and not right.value
        factors.append(left if zero else Sum((left, Negation(right))))
    from fractions import Fraction  # noqa: PLC0415 - rarely needed

    product = Relation((Product(tuple(factors)), Numeral(Fraction(0))), ("=",))
    notes.remark("equations left unsolved")
    values: Found = [(Equation(product), "")]
    roots = zero_product_roots(product)
    return [*values, (Roots(tuple(roots)), "zero-product")] if roots else values


def _after_working(relations: list[Relation | None], notes: Notes) -> Found | None:
    """`x^2 = 4, x = ±2`: working, and then the roots."""
    pairs = [None if relation is None else labelled(relation, notes) for relation in relations]
    start = next((place for place, pair in enumerate(pairs) if pair is not None), 0)
    final = [pair for pair in pairs[start:] if pair is not None]
    names = {name for name, _ in final}
    if not start or len(names) != 1 or len(final) != len(pairs) - start:
        return None
    if any(r is None or letters(r) != names for r in relations[:start]):
        return None
    notes.remark("working before the answer was set aside")
    return [(_checked([number for _, values in final for number in values]), "")]


def _point(found: list[tuple[str, list[Number]]], names: list[str], notes: Notes) -> Value:
    by_name: dict[str, list[Number]] = {name: [] for name in names}
    for name, values in found:
        by_name[name.split("_")[0]] += values
    ordered = sorted(names) if _neighbors(names) or notes.context.letters else names
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
    return all(second - first == 1 for first, second in zip(codes, codes[1:], strict=False)) or (
        {"x", "z"} >= set(names)
    )


def _item_numbers(item: Item, notes: Notes) -> list[Number]:
    if bracketed(item.tokens) and item.tokens[0].kind == "(" and is_tuple(item.tokens):
        raise Unread("a pair inside a list of numbers")
    tree = expression_of(item.tokens, notes)
    if letters(tree) == {"I"} and "I" not in notes.context.letters:
        notes.remark("I read as the imaginary unit")
        tree = _with_unit(tree, "I")
    return numbers_of(tree)


def _list(items: list[Item], notes: Notes) -> Found:
    if any(bracketed(item.tokens) and is_tuple(item.tokens) for item in items):
        raise Unread("a list that mixes pairs and numbers")
    items = [replace(item, tokens=tuple(without_unit(item.tokens, notes))) for item in items]
    numbers = [number for item in items for number in _item_numbers(item, notes)]
    lettered = [number for number in numbers if letters(number.tree)]
    if lettered and len(lettered) < len(numbers):
        notes.remark("a list of numbers and expressions")
    found: Found = [(_checked(numbers), "")]
    mixed = _mixed(items, numbers)
    return [*found, (mixed, "mixed-number")] if mixed is not None else found


def _mixed(items: list[Item], numbers: list[Number]) -> Number | None:
    """`2 and 1/2` may be a mixed number in words."""
    if len(items) != 2 or items[1].separator != "and" or len(numbers) != 2:
        return None
    whole, part = numbers
    if not isinstance(whole.tree, Numeral) or not isinstance(part.tree, Quotient):
        return None
    if whole.surd is None or part.surd is None or not whole.surd.is_integer or part.surd >= 1:
        return None
    return Number.exactly(whole.surd + part.surd)


def _checked(numbers: list[Number]) -> Roots:
    if len(numbers) > MAX_VALUES:
        raise Unread("too large: more than 20 values")
    return Roots(tuple(numbers))
