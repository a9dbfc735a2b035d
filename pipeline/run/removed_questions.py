"""Questions that are listed no more, but that stored answers were judged by: kept in force."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from pipeline.course import Course, Item, Option, Topic
from pipeline.run.versions import same_wording
from pipeline.warehouse import reading

_SHOWN = 10


def record_of(item: Item) -> str:
    """A question with all that its row says, to be kept in the database."""
    return json.dumps({**asdict(item), "line": 0}, ensure_ascii=False)


def item_of(record: str) -> Item:
    """The question that `record_of` kept."""
    facts: dict[str, Any] = json.loads(record)
    options = tuple(Option(**one) for one in facts.pop("options"))
    return Item(**facts, options=options)


def with_removed(course: Course, database: Path) -> tuple[Course, tuple[str, ...]]:
    """Add the questions that were taken out of the list, or renamed, since answers were judged.

    Args:
        course: as read from its folder.
        database: of the last run; it is only read.

    Returns:
        The course, with each question in force that still judges stored answers, and what to say
        of them, in sentences.
    """
    listed = {item.id for item in course.items}
    removed, answers = _removed(database, listed)
    if not removed:
        return course, ()
    topics = {topic.id for topic in course.topics}
    lacking = dict.fromkeys(item.topic for item in removed if item.topic not in topics)
    kept = replace(
        course,
        items=(*course.items, *removed),
        topics=(*course.topics, *(Topic(name, name) for name in lacking)),
    )
    return kept, tuple(_sentences(course.items, removed, answers))


def _removed(database: Path, listed: set[str]) -> tuple[list[Item], dict[str, int]]:
    """Questions of the last run that are listed no more, and how many answers each judges."""
    if not database.exists():
        return [], {}
    with reading(database) as warehouse:
        if not (warehouse.holds("store.item") and warehouse.holds("store.response")):
            return [], {}
        stored = warehouse.frame("store.item")
        if "record" not in stored or set(stored["item"]) <= listed:
            return [], {}
        gone = stored[~stored["item"].isin(listed)].sort_values("position")
        rows = warehouse.matching("store.response", gone[["item"]].drop_duplicates())
    judged = rows[~rows["place"].isin(["unlisted", "skip"])]
    sizes = judged["count"].fillna(1).groupby(judged["item"]).sum()
    answers = {str(item): int(size) for item, size in sizes.items()}
    return [item_of(record) for record in gone.loc[gone["item"].isin(answers), "record"]], answers


def _sentences(
    listed: Sequence[Item], removed: Sequence[Item], answers: dict[str, int]
) -> Iterator[str]:
    names = list(dict.fromkeys(item.id for item in removed))
    shown = ", ".join(f"{name} ({answers[name]:,})" for name in names[:_SHOWN])
    more = f" and {len(names) - _SHOWN:,} more" if len(names) > _SHOWN else ""
    yield (
        f"The list of questions no longer has {len(names):,} that judge "
        f"{sum(answers.values()):,} stored answers (answers of each in brackets): {shown}{more}. "
        "They stay in force for these, and for answers that still bear their names. To end that, "
        "put the row back with `skip` under `task` and `yes` under `correction`."
    )
    for item in removed[:_SHOWN]:
        twins = [one.id for one in listed if _same(one, item)]
        if twins:
            yield (
                f"{item.id} reads as {twins[0]} does now. If it was renamed: its "
                f"{answers[item.id]:,} answers stay with {item.id}, and exports may go on using "
                "either name."
            )


def _same(one: Item, other: Item) -> bool:
    texts = [tuple(option.text for option in item.options) for item in (one, other)]
    return (
        one.task == other.task
        and texts[0] == texts[1]
        and same_wording(one.task, one.problem, other.problem)
        and same_wording("", one.answer, other.answer)
    )
