"""Items put together: roots, points, regions, expressions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import compress

from pipeline.exact.regions import (
    WHOLE_LINE,
    compare,
    complement,
    intersection,
    single_points,
    union,
    without_points,
)
from pipeline.exact.trees import (
    Constant,
    Letter,
    Negation,
    Node,
    Relation,
    in_order,
    letters,
    replaced,
)
from pipeline.exact.values import (
    Interval,
    Number,
    Point,
    Points,
    Region,
    Roots,
    Statement,
    StatementCode,
    Value,
    number_key,
    value_key,
)
from pipeline.exact.values import numbers_of as ends_of
from pipeline.reading import marks
from pipeline.reading.brackets import (
    BACKWARDS,
    Found,
    interval_of,
    is_tuple,
    numbers_of,
    parts_of,
    with_exclusion_apart,
)
from pipeline.reading.commas import (
    blank_list,
    lost_list_comma,
    pairs_of_brackets,
    typed_without,
)
from pipeline.reading.constants import with_imaginary_unit
from pipeline.reading.inequalities import chain_region
from pipeline.reading.items import expression_of, relation_of
from pipeline.reading.labels import with_order_signs, without_label, without_operation_name
from pipeline.reading.lists import (
    bare_list,
    expression_values,
    labelled_values,
    number_values,
    without_echo,
)
from pipeline.reading.records import Notes, Unread
from pipeline.reading.relations import UNSOLVED, how_solved, relation_value
from pipeline.reading.signs import infinity_of
from pipeline.reading.splitting import RELATIONS, Item, bracketed, items_of, unwrapped
from pipeline.reading.tokens import Token


def _regions_of_items(items: list[Item], relations: list[Relation | None], notes: Notes) -> Found:
    """The region as written and, where `and` leaves nothing, the region that `or` would give."""
    first = _region(items, relations, notes)
    unsolved = _unsolved(items, relations, first, notes)
    behind = _behind_itsends_of(items, relations, notes)
    if behind is not None:
        return [(first, unsolved), (behind, unsolved or "ends-first")]
    if not isinstance(first, Statement) or all(item.separator != "and" for item in items):
        return [(first, unsolved)]
    either = [replace(item, separator="or" if item.separator else "") for item in items]
    meant = _region(either, relations, notes)
    return [(first, unsolved), (meant, unsolved or "and-for-or")]


def _behind_itsends_of(
    items: list[Item], relations: list[Relation | None], notes: Notes
) -> Region | None:
    """The region of `x = 3, x > 3` whose ends were worked out before it; None for other lists."""
    told = [one is None or one.signs == ("=",) for one in relations]
    start = told.index(False) if False in told else 0
    if not start or items[start].separator in {"or", "and", "&", "∪", "∩"}:
        return None
    rest = [replace(items[start], separator=""), *items[start + 1 :]]
    region = _region(rest, relations[start:], notes)
    if not isinstance(region, Region):
        return None
    parts = zip(items[:start], relations[:start], strict=True)
    points = [
        one
        for item, relation in parts
        for one in ends_of(_item_region(item, relation, False, notes))
    ]
    ends = {value_key(one) for one in ends_of(region)}
    return region if all(value_key(one) in ends for one in points) else None


def _unsolved(
    items: list[Item],
    relations: list[Relation | None],
    whole: Value,
    notes: Notes,
) -> str:
    """Name what is told by inequalities that are not solved; behind such working it is told."""
    told = [one is None or how_solved(one) != UNSOLVED for one in relations]
    if all(told) or notes.context.translated:
        return ""
    kept = list(compress(items, told)), list(compress(relations, told))
    parts = _region(*kept, notes) if any(told) else None
    return "" if parts is not None and value_key(parts) == value_key(whole) else UNSOLVED


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
    return _as_roots(total)


def _as_roots(region: Region) -> Value:
    """Return a region of single points as a list of numbers, any other region as it is."""
    if region.parts and all(p.low is not None and p.low == p.high for p in region.parts):
        return Roots(tuple(part.low for part in region.parts if part.low is not None))
    return region


def _item_region(item: Item, relation: Relation | None, holes: bool, notes: Notes) -> Region:
    if relation is not None:
        if len(relation.sides) > 1 and letters(relation):
            region = chain_region(relation)
            if region is not None:
                return region
            if relation.signs == ("=",) and isinstance(relation.sides[0], Letter):
                return single_points(numbers_of(relation.sides[1]))
        raise Unread("an inequality in several letters, in a list")
    if bracketed(item.tokens) and is_tuple(item.tokens):
        region = _region_of_values(_bracket_values(item.tokens, notes))
        if region is not None:
            return region
        raise Unread("a union of things that are no intervals")
    if item.tokens[-1].kind == "ℝ" or item.tokens[-1].text == "R":
        return WHOLE_LINE
    numbers = numbers_of(expression_of(item.tokens, notes))
    points = single_points(numbers)
    return without_points(WHOLE_LINE, numbers) if holes else points


def _region_of_values(option: Found) -> Region | None:
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


def _combined(total: Region, part: Region, separator: str, notes: Notes) -> Region:
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


def _numbers_in(value: Value) -> list[Number]:
    """Return the numbers of a value."""
    if isinstance(value, Number):
        return [value]
    if isinstance(value, Roots):
        return list(value.members)
    raise Unread("only numbers can be taken out of the number line")


_COMPARING = frozenset({"<", ">", "<=", ">=", "!="})
MOST_DIGITS = 15
"""Digits of a number that a blank may have fallen into."""


def values_of_tokens(tokens: Sequence[Token], notes: Notes) -> Found:
    """Return the legitimate values of an answer's tokens, the usual one first.

    Raises:
        Unread: the tokens are no answer.
    """
    tokens = without_operation_name(with_order_signs(tokens, notes.context), notes.context)
    tokens = unwrapped(without_label(with_exclusion_apart(tokens), notes.context.letters))
    if not tokens:
        raise Unread("nothing is left to read")
    tokens = _behind_working(_with_subject(tokens, notes), notes)
    special = _special(tokens, notes)
    if special is not None:
        return special
    once = without_echo(tokens, lambda part: values_of_tokens(part, notes)[0][0])
    if once is not None:
        notes.remark("a rounding of the same values was set aside")
        return values_of_tokens(once, notes)
    items = _behind_name(items_of(tokens), notes)
    if not items:
        raise Unread("nothing but separators")
    if len(items) == 1:
        return _single(items[0].tokens, notes)
    return _several(items, notes)


def _behind_name(items: list[Item], notes: Notes) -> list[Item]:
    """`x; 4` names the unknown and then its values, as where a table or a form kept both apart.

    Nothing is solved by its own letter, so that the letter of the question is no value here.
    """
    known, rest = notes.context.letters, items[1:]
    if notes.context.kind != "roots" or not rest or len(known) != 1:
        return items
    unknown = {name.casefold() for name in known}
    names = [{token.text.casefold() for token in item.tokens} == unknown for item in items]
    if names[0] and not any(token.kind == "letter" for one in rest for token in one.tokens):
        notes.remark("the letter before the values names the unknown")
        return [replace(rest[0], separator=""), *rest[1:]]
    if any(names):
        raise Unread("the unknown itself stands among its values")
    return items


def _with_subject(tokens: Sequence[Token], notes: Notes) -> Sequence[Token]:
    """`> 3` tells of the only letter of the question."""
    names = sorted(notes.context.letters) or ["x"]
    asked = notes.context.kind == "region" and len(names) == 1
    if not asked or tokens[0].kind not in _COMPARING or len(tokens) < 2:
        return tokens
    return [Token("letter", names[0]), *tokens]


def _behind_working(tokens: Sequence[Token], notes: Notes) -> Sequence[Token]:
    """`6/2 -> 3` ends in 3; an arrow between two bare numbers may be a range."""
    if notes.context.kind not in {"number", "roots", "expression", "point"}:
        return tokens
    place = max((p for p, token in enumerate(tokens) if token.kind == "->"), default=0)
    before = {token.kind for token in tokens[1:place]}
    if place + 1 == len(tokens) or before.isdisjoint({"+", "-", "*", "/", "^", "(", "letter"}):
        return tokens
    notes.remark("working before the answer was set aside")
    return tokens[place + 1 :]


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
    if kinds[0] == "∈" or kinds[:2] == ["letter", "∈"]:
        notes.context = replace(notes.context, kind="region")
        return values_of_tokens(tokens[1 + (kinds[0] != "∈") :], notes)
    both = _relation_and_interval(tokens, notes)
    if both is not None:
        return both
    if kinds[0] == "ℝ" and len(kinds) > 2 and kinds[1] in {"\\", "-", "!="}:
        excluded = values_of_tokens(tokens[2:], notes)[0][0]
        if isinstance(excluded, Region):
            # `all reals where x > 2` comes this way, too: only an interval is left out.
            outside = tokens[2].kind in {"[", "("}
            return [(complement(excluded) if outside else excluded, "")]
        holes = _numbers_in(excluded)
        return [(without_points(WHOLE_LINE, holes), "")]
    return None


def _single(tokens: Sequence[Token], notes: Notes) -> Found:
    if bracketed(tokens) and is_tuple(tokens):
        return _bracket_values(tokens, notes)
    apart = blank_list(tokens) if notes.context.kind in {"roots", "point"} else None
    if apart is not None:
        return _apart(apart, notes)
    relation = relation_of(tokens, notes)
    if relation is not None:
        listed = lost_list_comma(tokens[2:]) if tokens[1].kind == "=" else None
        return [*relation_value(relation, notes), *_listed(listed, notes)]
    range_ = _range_in_words(tokens, notes)
    if range_ is not None:
        return range_
    tree = expression_of(tokens, notes)
    if notes.context.complex_numbers:
        tree = with_imaginary_unit(tree, notes)
    if letters(tree):
        return expression_values(tree, notes)
    side_by_side = notes.context.kind == "roots" and pairs_of_brackets(tokens)
    listed = lost_list_comma(tokens) or side_by_side or None
    if listed is not None:
        return [*number_values(tree, notes), *_listed(listed, notes)]
    possible = notes.context.kind in {"roots", "region"}
    if isinstance(tree, Constant) and tree.name == "oo" and possible:
        return [(Statement(StatementCode.ALL_REAL), "")]
    return [*number_values(tree, notes), *typed_without(tokens, notes)]


def _apart(parts: Sequence[Sequence[Token]], notes: Notes) -> Found:
    """Numbers with nothing but blanks between them, or the digits of one: `2 5` may be 25."""
    members = tuple(one for part in parts for one in numbers_of(expression_of(part, notes)))
    if notes.context.kind == "point":
        return [(Point(members), "")]
    digits = "".join(token.text for part in parts for token in part)
    if not digits.isdigit() or len(digits) > MOST_DIGITS:
        return [(Roots(members), "")]
    return [(Roots(members), ""), (Number.exactly(int(digits)), "lost-comma")]


def _listed(parts: Sequence[Sequence[Token]] | None, notes: Notes) -> Found:
    """Numbers that may have lost the comma between them."""
    if parts is None:
        return []
    members = [number for part in parts for number in numbers_of(expression_of(part, notes))]
    return [(Roots(tuple(members)), "lost-comma")]


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
    if tokens[place].kind == "->" and notes.context.kind in {"roots", "number"}:
        raise Unread("an arrow between two numbers")
    ends = [expression_of(tokens[:place], notes), expression_of(tokens[place + 1 :], notes)]
    closed, opened = interval_of("[", ends, "]"), interval_of("(", ends, ")")
    return [(Region((closed,)), ""), (Region((opened,)), "bracket-pair")]


def _several(items: list[Item], notes: Notes) -> Found:
    if all(bracketed(item.tokens) and is_tuple(item.tokens) for item in items):
        return _several_brackets(items, notes)
    items = _with_subjects(items)
    plain = _with_condition(items, notes) or _beside_point(items, notes)
    if plain is not None:
        return plain
    relations = [_relation(item, notes) for item in items]
    if any(r is not None and set(r.signs) & {"<", ">", "<=", ">=", "!="} for r in relations) or any(
        item.separator in {"∪", "∩"} for item in items
    ):
        mixed = _mixed_in_words(items, notes)
        return mixed or _regions_of_items(items, relations, notes)
    if any(relation is not None for relation in relations):
        mixed = [(value, "mixed-in-words") for value, _ in _mixed_in_words(items, notes)]
        return [*labelled_values(items, relations, notes), *mixed]
    return bare_list(items, notes)


def _mixed_in_words(items: list[Item], notes: Notes) -> Found:
    """`x > 2 and 3/4` with the number behind the sign as a mixed one; nothing for another list."""
    first, *others = items
    fraction = [token.kind for token in others[0].tokens] if len(others) == 1 else []
    typed = ["number", "/", "number"]
    drawn = [marks.FRACTION, "number", marks.OVER, "number", marks.END_FRACTION]
    if fraction not in (typed, drawn) or others[0].separator != "and":
        return []
    above, below = (token for token in others[0].tokens if token.kind == "number")
    kinds = [token.kind for token in first.tokens]
    if len(kinds) != 3 or kinds[::2] != ["letter", "number"] or kinds[1] not in RELATIONS:
        return []
    if first.tokens[2].value.denominator != 1 or above.value >= below.value:
        return []
    return _single([*first.tokens, Token("+", "+"), *others[0].tokens], notes)


def _with_condition(items: list[Item], notes: Notes) -> Found | None:
    """`x + 2, x ≠ 2` and `h = 2A/b, b ≠ 0`: a value and what it excludes.

    What a formula excludes are values of other letters than the one that it is solved for.
    """
    excluded = [any(token.kind == "!=" for token in item.tokens) for item in items]
    first = items[0].tokens
    if excluded[0] or not all(excluded[1:]):
        return None
    if any(token.kind in RELATIONS for token in first):
        if [token.kind for token in first[-2:]] == ["=", "letter"]:
            first = (first[-1], first[-2], *first[:-2])
        named = [token.kind for token in first[:2]] == ["letter", "="]
        others = all(first[0].text != token.text for item in items[1:] for token in item.tokens)
        if not named or not others or all(token.kind != "letter" for token in first[2:]):
            return None
    kinds = {token.kind for token in first}
    other = kinds.isdisjoint({"letter", "number"}) or first[0].text == "R"
    if other or (bracketed(first) and is_tuple(first)):
        return None
    notes.remark("the excluded values were noted")
    return _single(first, notes)


def _beside_point(items: list[Item], notes: Notes) -> Found | None:
    """`x = 3, V(3, 5)`, and `y = (x - 3)^2 + 5, (3, 5)`: equations, and a point where they hold.

    Raises:
        Unread: one of them does not hold there.
    """
    asked = notes.context.kind
    bare = [replace(one, tokens=tuple(without_label(list(one.tokens), None))) for one in items]
    points = [one for one in bare if bracketed(one.tokens) and is_tuple(one.tokens)]
    if asked not in {"point", "expression", "equation"} or len(points) != 1:
        return None
    found = _bracket_values(points[0].tokens, notes)
    rest = [one.tokens for one in bare if one is not points[0]]
    point, relations = found[0][0], [_as_equation(one, notes) for one in rest]
    names = in_order(notes.context.letters.union(*map(letters, relations)))
    names = names if len(names) == 2 else ["x", "y"]
    if not isinstance(point, Point) or any(letters(one) - set(names) for one in relations):
        return None
    at = tuple(zip(names, [one.tree for one in point.coordinates], strict=False))
    for one in relations:
        sides = [numbers_of(replaced(side, at)) for side in one.sides]
        if set(one.signs) != {"="} or len({number_key(number) for number, *_ in sides}) > 1:
            raise Unread("a point at which an equation beside it does not hold")
    notes.remark("the point and the equations beside it say the same")
    return found if asked == "point" else _single(rest[-1], notes)


def _as_equation(tokens: Sequence[Token], notes: Notes) -> Relation:
    """An equation, or the right side of one for y."""
    relation = relation_of(tokens, notes)
    return relation or Relation((Letter("y"), expression_of(tokens, notes)), ("=",))


def _with_subjects(items: list[Item]) -> list[Item]:
    """`x < -2 or > 3`: a relation without left side takes the letter of the one before."""
    result: list[Item] = []
    subject: Token | None = None
    for item in items:
        tokens = item.tokens
        if tokens[0].kind in _COMPARING and subject is not None:
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
    options = [_bracket_values(item.tokens, notes) for item in items]
    joined = any(item.separator in {"∪", "∩"} for item in items)
    if not joined and all(isinstance(option[0][0], Point) for option in options):
        points = [option[0][0] for option in options]
        found: Found = [(Points(tuple(p for p in points if isinstance(p, Point))), "")]
        regions = [_region_of_values(option) for option in options]
        if all(region is not None for region in regions):
            found.append((union(*(r for r in regions if r is not None)), "bracket-pair"))
        return found if notes.context.kind != "region" else found[::-1]
    if not joined and all(isinstance(option[0][0], Roots) for option in options):
        members = [_numbers_in(option[0][0]) for option in options]
        crossings = [one[0] for one in members if len(one) == 2 and one[1] == Number.exactly(0)]
        along = [(Roots(tuple(crossings)), "label")] if len(crossings) == len(members) else []
        return [(Roots(tuple(n for one in members for n in one)), ""), *along]
    return _regions_of_items(items, [None] * len(items), notes)


def _bracket_values(tokens: Sequence[Token], notes: Notes) -> Found:
    """Return the legitimate values of a bracketed tuple, the likeliest first.

    Args:
        tokens: the brackets and what is between them.
        notes: what the question tells, and remarks.

    Raises:
        Unread: the brackets hold something else.
    """
    opening, closing = tokens[0].kind, tokens[-1].kind
    if opening == "{":
        return [(_set_of(tokens[1:-1], notes), "")]
    if any(token.kind in RELATIONS for token in tokens):
        return values_of_tokens(tokens[1:-1], notes)
    parts = parts_of(tokens)
    if parts and all(bracketed(part) and is_tuple(part) for part in parts):
        return values_of_tokens(tokens[1:-1], notes)
    trees = [with_imaginary_unit(expression_of(part, notes), notes) for part in parts]
    if opening == "[" and len(trees) == 1 and closing == "]":
        return [(Roots(tuple(numbers_of(trees[0]))), "")]
    if len(trees) == 2 and (infinity_of(trees[0]) == 1 or infinity_of(trees[1]) == -1):
        return _backwards(opening, trees, closing)
    if any(map(infinity_of, trees)) or {opening, closing} not in ({"(", ")"}, {"[", "]"}):
        return [(Region((interval_of(opening, trees, closing),)), "")]
    columns = [numbers_of(tree) for tree in trees]
    numbers = [number for column in columns for number in column]
    roots = Roots(tuple(numbers))
    if len(numbers) != len(trees):
        return _with_both_signs(opening, columns, roots, notes)
    return _ranked(opening, numbers, roots, notes)


def _with_both_signs(
    opening: str, columns: list[list[Number]], roots: Roots, notes: Notes
) -> Found:
    """`(±2, 0)` is two points, with all signs varied together, or else a list."""
    if opening != "(" or len(columns) < 2:
        return [(roots, "")]
    rows = [[column[sign % len(column)] for column in columns] for sign in (0, 1)]
    points = Points(tuple(Point(tuple(row)) for row in rows))
    values: Found = [(points, ""), (roots, "bracket-pair")]
    return values[::-1] if notes.context.kind == "roots" else values


def _ranked(opening: str, numbers: list[Number], roots: Roots, notes: Notes) -> Found:
    point = Point(tuple(numbers))
    found: dict[str, Value] = {"point": point, "roots": roots}
    if len(numbers) == 2 and _rising(numbers):
        is_open = opening == "("
        found["region"] = Region((Interval(numbers[0], numbers[1], is_open, is_open),))
    order = ["point", "region", "roots"] if opening == "(" else ["region", "roots"]
    if notes.context.kind in found:
        order = [notes.context.kind, *(name for name in order if name != notes.context.kind)]
    values = [found[name] for name in order if name in found]
    return [(value, "bracket-pair" if place else "") for place, value in enumerate(values)]


def _rising(numbers: list[Number]) -> bool:
    try:
        return compare(numbers[0], numbers[1]) < 0
    except ValueError:
        return False


def _backwards(opening: str, trees: list[Node], closing: str) -> Found:
    """Read `(∞, -3)`: from -3 to infinity, or to -3 from the other infinity."""
    around = {"(": ")", ")": "(", "[": "]", "]": "["}
    first, second = (
        Negation(tree) if infinity_of(tree) == 1 else Constant("oo") if infinity_of(tree) else tree
        for tree in trees
    )
    turned = interval_of(around[closing], trees[::-1], around[opening])
    signed = interval_of(opening, [first, second], closing)
    return [(Region((turned,)), BACKWARDS), (Region((signed,)), BACKWARDS)]


def _set_of(inner: Sequence[Token], notes: Notes) -> Value:
    """Read `{2, 5}`, `{}`, `{x | x > 3}`."""
    if not inner:
        return Statement(StatementCode.NO_SOLUTION)
    if any(token.kind == ":" for token in inner) and inner[0].kind == "number":
        raise Unread("a ratio inside the braces of a set")
    condition = _condition(inner)
    if condition is not None:
        return values_of_tokens(condition, notes)[0][0]
    value = values_of_tokens(inner, notes)[0][0]
    return Roots((value,)) if isinstance(value, Number) else value


def _condition(inner: Sequence[Token]) -> Sequence[Token] | None:
    """Return what follows `x |`, `x :` or `x ∈ ℝ |` inside braces."""
    if inner[0].kind != "letter":
        return None
    for place, token in enumerate(inner[1:6], start=1):
        if token.kind in {"|", ":"} or (token.text == "|" and place == 1):
            return inner[place + 1 :] or None
        if token.kind not in {"∈", "ℝ"} and token.text not in {"R", "real"}:
            return None
    return None
