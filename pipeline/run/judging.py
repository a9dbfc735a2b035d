"""Judging what is stored, and counting it: the same after a load and after an erasure.

A wrong answer to a later part that follows from the student's own answer to an earlier one stays
wrong against the key; it is said to follow, and no error is laid to it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import partial
from typing import Any, TypeAlias

import pandas as pd

from pipeline.course import Course, Item
from pipeline.course.earlier_parts import put_in
from pipeline.course.keyfile import read_key
from pipeline.errors import InternalError
from pipeline.records import Verdict
from pipeline.run.by_hand import put_tags_on, take_tags_off
from pipeline.run.classify import Map, judge_all, judged_before
from pipeline.run.course_frames import catalogue_frame
from pipeline.run.figures import work_out_figures
from pipeline.run.rules import Rules, own_rules, refused_of, rules_of, tags_of
from pipeline.run.workers import workers
from pipeline.tagging.examine import examine
from pipeline.warehouse import Warehouse

_QUESTION = ["task", "problem", "numbers", "method"]
_HELD_AGAINST = ["key", "own_rules"]


def _drop_outdated(warehouse: Warehouse, rules: Rules) -> None:
    """Drop what was judged for questions and answers that no stored response holds any more.

    A question whose right answer changed, or the course's own errors or options that concern it,
    goes with all its answers and predictions, since these were held against the old ones; all
    others stay as they are.

    Args:
        warehouse: the database that is being built, responses settled.
        rules: of the course as they are now.
    """
    changed = warehouse.asked("judging.outdated_question")
    questions = pd.concat([changed, _ruled_otherwise(warehouse, rules)])
    warehouse.remove_matching("store.prediction", questions)
    mine = warehouse.matching("store.examined", questions)[["examined"]]
    answers = pd.concat([warehouse.asked("judging.outdated_answer"), mine])
    warehouse.remove_matching("store.candidate", answers)
    warehouse.remove_matching("store.examined", answers)


def _ruled_otherwise(warehouse: Warehouse, rules: Rules) -> pd.DataFrame:
    """Questions that were held against other own errors or options than those of today."""
    judged = warehouse.part("store.examined", [*_QUESTION, *_HELD_AGAINST]).drop_duplicates()
    ruled = bool(rules.own or rules.options)
    if not ruled and judged["own_rules"].eq("").all():
        return judged.head(0)[_QUESTION]
    plain = judged.astype(object).where(judged.notna(), None)
    now = [own_rules(rules, *row) for row in zip(*(plain[n] for n in ("task", "problem", "key")))]  # noqa: B905
    return judged.loc[judged["own_rules"] != now, _QUESTION].drop_duplicates()


_JUDGMENTS = (
    "store.examined",
    "store.candidate",
    "store.prediction",
    "store.untagged_candidate",
    "store.untagged_prediction",
)
Progress: TypeAlias = Callable[[str, float | None], None]


def judge_answers(course: Course, warehouse: Warehouse, say: Progress, *, again: bool) -> None:
    """Judge what is new, or everything when the rules have changed; then lay tags by hand over it.

    Args:
        course: with its terms settled.
        warehouse: the database that is being built, its answers stored.
        say: told how far it is.
        again: whether nothing that was judged before holds.
    """
    if again:
        for name in _JUDGMENTS:
            warehouse.put(name, pd.DataFrame())
    warehouse.put("store.pattern", catalogue_frame(course))
    rules = rules_of(course)
    take_tags_off(warehouse)
    _drop_outdated(warehouse, rules)
    _judge_new(warehouse, rules, say)
    put_tags_on(warehouse, tags_of(course))


def _judge_new(warehouse: Warehouse, rules: Rules, say: Progress) -> None:
    requests = warehouse.asked("judging.unexamined")
    if not len(requests):
        return
    say(f"judging {len(requests):,} distinct answers", 0.0)
    before = judged_before(warehouse, requests, decimal_comma=rules.reading.decimal_comma)
    with workers(len(requests)) as run_map:
        judged = judge_all(requests, rules, _told(run_map, len(requests), say), before)
    warehouse.put("store.examined", judged.examined, replace=False)
    warehouse.put("store.candidate", judged.candidates, replace=False)
    keys = ["task", "problem", "numbers", "method", "value_key", "pattern"]
    new = judged.predictions
    warehouse.put("store.prediction", new.drop_duplicates(keys) if len(new) else new, replace=False)


def _told(run_map: Map, total: int, say: Progress) -> Map:
    """The same map, telling how far it is."""

    def mapped(work: Callable[[object], tuple[list[object], ...]], chunks: object) -> Iterator:  # type: ignore[type-arg]
        done = 0
        for rows in run_map(work, chunks):  # type: ignore[arg-type]
            done += len(rows[0])
            say(f"judging {total:,} distinct answers", done / total)
            yield rows

    return mapped


def count_all(course: Course, warehouse: Warehouse, say: Progress) -> None:
    """Build every table, and stop before publishing when a promise is broken."""
    from pipeline.run.discover import find_proposals  # heavy, as the next
    from pipeline.statistics.compute import compute  # heavy, and each worker imports this module

    say("counting", None)
    with warehouse.at_once():
        warehouse.build(computed=False)
    say("working out how common each error is", None)
    secret = read_key(course.privacy.key_file)
    work_out_figures(warehouse, partial(compute, secret=secret))
    find_proposals(warehouse, refused_of(course), say)
    say("building the tables of the pages", None)
    with warehouse.at_once():
        warehouse.make("staging.tag_total")
        warehouse.build(computed=True)
    broken = warehouse.check()
    if broken:
        raise InternalError("The new database was not published: " + " ".join(broken))


_RIGHT = (Verdict.RIGHT, Verdict.RIGHT_OTHER_FORM)
_DISTINCT = ["item", "item_from", "earlier_value", "answer"]


def mark_following(course: Course, warehouse: Warehouse) -> None:
    """Find the answers that follow from an earlier part; each distinct pair is judged once.

    Args:
        course: its items say which part follows which.
        warehouse: the database that is being built, answers judged.
    """
    items = {(item.id, item.start): item for item in course.items if item.follows}
    if not items:
        warehouse.put("store.following", pd.DataFrame())
        return
    rows = warehouse.asked("judging.later_part")
    if not len(rows):
        warehouse.put("store.following", pd.DataFrame())
        return
    distinct = rows[_DISTINCT].drop_duplicates()
    follows = [
        _follows(items.get((row["item"], row["item_from"] or "")), row, course)
        for row in distinct.to_dict("records")
    ]
    right = rows.merge(distinct[follows], on=_DISTINCT)
    found = right[["response", "follows"]].rename(columns={"follows": "follows_from"})
    warehouse.put("store.following", found)


def _follows(item: Item | None, row: Mapping[Any, Any], course: Course) -> bool:
    """Whether an answer is right once the student's own earlier value stands in the problem."""
    if item is None or item.template is None or item.follows is None:
        return False
    value = str(row["earlier_value"]).replace("−", "-")
    problem = put_in(item.template, item.follows, value)
    if problem is None:
        return False
    request = replace(
        item.request(str(row["answer"])), problem=problem, key=None,
        decimal_comma=course.reading.decimal_comma, min_places=course.reading.min_places,
    )  # fmt: skip
    return examine(request, ()).verdict in _RIGHT
