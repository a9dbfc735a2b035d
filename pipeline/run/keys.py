"""The right answer of a question that asks for something else than the unknown itself, or in words.

A word problem carries the equation behind its story as `problem`; `keep` says which solutions
count, and `asked` what is to be given of them. The key of the question follows from both.
Words that are to be put into algebra have it behind them, from the key where it is not there yet.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

import pandas as pd

from pipeline.course import Course, Item
from pipeline.errors import LostrootError
from pipeline.exact.numbers import Surd
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.regions import intersection, single_points
from pipeline.exact.values import Number, Region, Roots, Value, value_source
from pipeline.reading.inequalities import chain_region
from pipeline.reading.problems import read_as
from pipeline.records import Numbers, Request, whole_problem, words_with_algebra
from pipeline.tagging.questions import question_of
from pipeline.tasks.catalogue import TASKS, read_problem


def with_derived_keys(course: Course, responses: pd.DataFrame) -> pd.DataFrame:
    """Say behind the problem what its story keeps and asks, and fill the key where none is given.

    Args:
        course: its items say what is asked and kept.
        responses: item, item_from, problem, key.

    Returns:
        The same rows, the problem with what is kept and asked; a key that cannot be worked out
        stays empty, so that the answer is judged by the equation alone.
    """
    special = [item for item in course.items if item.asked or item.keep or _in_words(item)]
    if not special or not len(responses):
        return responses
    texts = ("item", "item_from", "problem", "key")
    responses = responses.astype(dict.fromkeys(texts, object))  # loaded texts are categoricals
    for item in special:
        rows = (responses["item"] == item.id) & (responses["item_from"].fillna("") == item.start)
        for problem in responses.loc[rows, "problem"].dropna().unique():
            mine = rows & (responses["problem"] == problem)
            if not item.answer:
                responses.loc[mine, "key"] = derived_key(item, str(problem))
            responses.loc[mine, "problem"] = _whole(item, str(problem))
    return responses


def _in_words(item: Item) -> bool:
    """Whether an item's words stand without the algebra behind them, which its key gives."""
    return item.task in TASKS and TASKS[item.task].of_words and item.answer is not None


def _whole(item: Item, problem: str) -> str:
    if _in_words(item):
        return words_with_algebra(problem, item.answer)
    return whole_problem(problem, item.asked, item.keep)


def derived_key(item: Item, problem: str) -> str | None:
    """Work out the key of one question as sympy source; None when that cannot be done.

    Args:
        item: its `asked` and `keep` are followed.
        problem: the equation with this student's numbers.
    """
    return _derived(item.task, problem, item.numbers, item.asked, item.keep)


@lru_cache(maxsize=4096)
def _derived(
    task: str, problem: str, numbers: Numbers, asked: str | None, keep: str | None
) -> str | None:
    try:
        right = question_of(Request(task, problem, "", numbers=numbers)).right
        kept = _kept(_members(right.value if right else None), keep)
        given = [_asked(member, asked) for member in kept]
    except (LostrootError, ValueError, ArithmeticError):
        return None
    if not given or None in given:
        return None
    values = [Number.exactly(one) for one in given if one is not None]
    return value_source(values[0] if len(values) == 1 else Roots(tuple(values)))


def _members(value: Value | None) -> Iterable[Number]:
    if isinstance(value, Roots):
        return value.members
    return (value,) if isinstance(value, Number) else ()


def _kept(members: Iterable[Number], keep: str | None) -> list[Number]:
    if not keep:
        return list(members)
    region = chain_region(read_problem(keep).relations[0])
    if not isinstance(region, Region):
        return []
    return [one for one in members if intersection(single_points([one]), region).parts]


def _asked(member: Number, asked: str | None) -> Surd | None:
    if not asked or member.surd is None:
        return member.surd
    read = read_as(asked)
    polynomial = polynomial_of(read.tree)
    letter = next(iter(read.letters), None)
    if polynomial is None or letter is None:
        return None
    return polynomial.substitute(letter, member.surd).constant_term
