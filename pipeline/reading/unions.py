"""Unions and intersections of intervals and inequalities, as answers write them."""

from __future__ import annotations

from dataclasses import replace
from itertools import compress

from pipeline.exact.regions import WHOLE_LINE, intersection, single_points, union, without_points
from pipeline.exact.trees import Letter, Relation, letters
from pipeline.exact.values import Number, Region, Roots, Statement, StatementCode, Value, value_key
from pipeline.reading.brackets import BACKWARDS, Found, Inside, bracket_values, is_tuple, numbers_of
from pipeline.reading.budgets import Unread
from pipeline.reading.inequalities import chain_region
from pipeline.reading.items import Notes, expression_of
from pipeline.reading.relations import UNSOLVED, how_solved
from pipeline.reading.splitting import Item, bracketed


def regions_of_items(
    items: list[Item], relations: list[Relation | None], notes: Notes, inside: Inside
) -> Found:
    """The region as written and, where `and` leaves nothing, the region that `or` would give."""
    first = _region(items, relations, notes, inside)
    unsolved = _unsolved(items, relations, first, notes, inside)
    behind = _behind_its_ends(items, relations, notes, inside)
    if behind is not None:
        return [(first, unsolved), (behind, unsolved or "ends-first")]
    if not isinstance(first, Statement) or all(item.separator != "and" for item in items):
        return [(first, unsolved)]
    either = [replace(item, separator="or" if item.separator else "") for item in items]
    meant = _region(either, relations, notes, inside)
    return [(first, unsolved), (meant, unsolved or "and-for-or")]


def _behind_its_ends(
    items: list[Item], relations: list[Relation | None], notes: Notes, inside: Inside
) -> Region | None:
    """The region of `x = 3, x > 3` whose ends were worked out before it; None for other lists."""
    told = [one is None or one.signs == ("=",) for one in relations]
    start = told.index(False) if False in told else 0
    if not start or items[start].separator in {"or", "and", "&", "∪", "∩"}:
        return None
    rest = [replace(items[start], separator=""), *items[start + 1 :]]
    region = _region(rest, relations[start:], notes, inside)
    if not isinstance(region, Region):
        return None
    parts = zip(items[:start], relations[:start], strict=True)
    points = [
        one
        for item, relation in parts
        for one in _ends(_item_region(item, relation, False, notes, inside))
    ]
    ends = {value_key(one) for one in _ends(region)}
    return region if all(value_key(one) in ends for one in points) else None


def _ends(region: Region) -> list[Number]:
    return [end for part in region.parts for end in (part.low, part.high) if end is not None]


def _unsolved(
    items: list[Item],
    relations: list[Relation | None],
    whole: Value,
    notes: Notes,
    inside: Inside,
) -> str:
    """Name what is told by inequalities that are not solved; behind such working it is told."""
    told = [one is None or how_solved(one) != UNSOLVED for one in relations]
    if all(told) or notes.context.translated:
        return ""
    kept = list(compress(items, told)), list(compress(relations, told))
    parts = _region(*kept, notes, inside) if any(told) else None
    return "" if parts is not None and value_key(parts) == value_key(whole) else UNSOLVED


def _region(
    items: list[Item], relations: list[Relation | None], notes: Notes, inside: Inside
) -> Value:
    total: Region | None = None
    holes = False
    for item, relation in zip(items, relations, strict=True):
        part = _item_region(item, relation, holes, notes, inside)
        holes = relation.signs == ("!=",) if relation is not None else holes
        separator = "and" if holes and item.separator not in {"∪"} else item.separator
        total = part if total is None else combined(total, part, separator, notes)
    if total is None or not total.parts:
        return Statement(StatementCode.NO_SOLUTION)
    return as_roots(total)


def as_roots(region: Region) -> Value:
    """Return a region of single points as a list of numbers, any other region as it is."""
    if region.parts and all(p.low is not None and p.low == p.high for p in region.parts):
        return Roots(tuple(part.low for part in region.parts if part.low is not None))
    return region


def _item_region(
    item: Item, relation: Relation | None, holes: bool, notes: Notes, inside: Inside
) -> Region:
    if relation is not None:
        if len(relation.sides) > 1 and letters(relation):
            region = chain_region(relation)
            if region is not None:
                return region
            if relation.signs == ("=",) and isinstance(relation.sides[0], Letter):
                return single_points(numbers_of(relation.sides[1]))
        raise Unread("an inequality in several letters, in a list")
    if bracketed(item.tokens) and is_tuple(item.tokens):
        region = region_of_values(bracket_values(item.tokens, notes, inside))
        if region is not None:
            return region
        raise Unread("a union of things that are no intervals")
    if item.tokens[-1].kind == "ℝ" or item.tokens[-1].text == "R":
        return WHOLE_LINE
    numbers = numbers_of(expression_of(item.tokens, notes))
    points = single_points(numbers)
    return without_points(WHOLE_LINE, numbers) if holes else points


def region_of_values(option: Found) -> Region | None:
    """Return the region among the values that brackets may have, or None.

    Raises:
        Unread: an interval is backwards, so that a union of several could be many things.
    """
    for value, convention in option:
        if convention == BACKWARDS:
            raise Unread("an interval runs from its left end to its right one")
        if isinstance(value, Region):
            return value
        if isinstance(value, Statement) and value.code is StatementCode.ALL_REAL:
            return WHOLE_LINE
    first = option[0][0]
    return single_points(list(first.members)) if isinstance(first, Roots) else None


def combined(total: Region, part: Region, separator: str, notes: Notes) -> Region:
    """Join two regions as the separator between them says."""
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


def numbers_in(value: Value) -> list[Number]:
    """Return the numbers of a value."""
    if isinstance(value, Number):
        return [value]
    if isinstance(value, Roots):
        return list(value.members)
    raise Unread("only numbers can be taken out of the number line")
