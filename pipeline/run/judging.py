"""Judging what is stored, and counting it: the same after a load and after an erasure."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import TypeAlias

import pandas as pd

from pipeline.course import Course
from pipeline.course.keyfile import read_key
from pipeline.errors import InternalError
from pipeline.run.by_hand import put_tags_on, take_tags_off
from pipeline.run.classify import Map, judge_all, judged_before
from pipeline.run.course_frames import catalogue_frame
from pipeline.run.figures import work_out_figures
from pipeline.run.rules import Rules, own_rules, refused_of, rules_of, tags_of
from pipeline.run.workers import workers
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
