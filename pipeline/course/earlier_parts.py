"""Questions that go on from an earlier part: `(a)` in a problem stands for the answer to that part.

What is right is told with the right answer of the earlier part in its place; a student's own
earlier value is put there by `pipeline.run.judging`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from pipeline.course.records import Item
from pipeline.exact.values import Expression, Number, Roots, Value, value_words
from pipeline.tagging.questions import question_of


def put_in(problem: str, earlier: str, value: str) -> str | None:
    """Write a value in place of an earlier part; None where the problem does not name that part.

    Args:
        problem: as the list has it: `2(a) + 1`.
        earlier: id of the earlier part; `(5a)` and, for an id that ends in a letter, `(a)` name it.
        value: in typed notation.
    """
    names = [re.escape(earlier)]
    if letter := re.search(r"[A-Za-z]$", earlier):
        names.append(letter[0])
    pattern = re.compile(rf"\(\s*(?:part\s+)?(?:{'|'.join(names)})\s*\)")
    return pattern.sub(f"({value})", problem) if pattern.search(problem) else None


def with_earlier_parts(items: Iterable[Item]) -> tuple[tuple[Item, ...], tuple[str, ...]]:
    """Items with the right answers of earlier parts put in, and what has to be mended.

    An earlier part stands above the later one in the list.

    Returns:
        The items, each that follows one with its problem as written in `template`; sentences
        without their place, each begun by the line.
    """
    done: list[Item] = []
    errors: list[str] = []
    latest: dict[str, Item] = {}
    for item in items:
        found = item
        if item.follows:
            value = _right_value(latest.get(item.follows))
            text = put_in(item.problem, item.follows, value) if value else None
            if text is None:
                errors.append(f"line {item.line}: {_why(item, latest.get(item.follows), value)}")
            else:
                found = replace(item, problem=text, template=item.problem)
        done.append(found)
        latest[item.id] = found
    return tuple(done), tuple(errors)


def _why(item: Item, earlier: Item | None, value: str | None) -> str:
    if earlier is None:
        return f"column `follows` is {item.follows}; expected the id of a question above this one"
    if value is None:
        return (
            f"column `follows` is {item.follows}; expected a question whose right answer is one "
            "number or one expression"
        )
    return (
        f"column `problem` is {item.problem}; expected the earlier part in it by its id or letter "
        f"in brackets, as in `2({item.follows}) + 1`"
    )


def _right_value(earlier: Item | None) -> str | None:
    """The right answer of a part in typed notation, where it is one value."""
    if earlier is None or earlier.place not in ("task", "judge"):
        return None
    right = question_of(earlier.request()).right
    return single_value(right.value) if right is not None else None


def single_value(value: Value) -> str | None:
    """One number or expression in typed notation; None for anything else."""
    if isinstance(value, Roots) and len(value.members) == 1:
        value = value.members[0]
    return value_words(value).replace("−", "-") if isinstance(value, Number | Expression) else None
