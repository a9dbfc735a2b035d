"""Answers stay with their question: another text needs `from`, a mistake `correction`."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import pandas as pd

from pipeline.course import Course, Item, Option, Topic
from pipeline.errors import CourseError, UnreadableProblem
from pipeline.tasks.catalogue import read_problem
from pipeline.warehouse import reading

_SHOWN = 10
_QUESTION = ("task", "problem", "key")
_WORDS = {"task": "task", "problem": "problem", "key": "right answer"}


def stop_for_changed_questions(
    course: Course, before: pd.DataFrame, after: pd.DataFrame
) -> tuple[str, ...]:
    """Hold the questions that stored answers were given to against those of today.

    Args:
        course: with its terms settled.
        before: one row per stored answer: `item, place, task, problem, key` as they stand.
        after: the same rows as the items file now has them, and `item_from`.

    Returns:
        Sentences on the corrections by which stored answers are judged anew.

    Raises:
        CourseError: a question that answers were given to reads otherwise, and its row in force
            is no correction. Shows old, new and the number of answers touched.
    """
    changed = _changed(before, after)
    if changed.empty:
        return ()
    mended = {(item.id, item.start) for item in course.items if item.correction}
    allowed = [(row.item, row.item_from or "") in mended for row in changed.itertuples()]
    if not all(allowed):
        wrong = changed[[not one for one in allowed]]
        raise CourseError("\n".join(_complaint(course, wrong)))
    return tuple(_rejudged(changed))


def _changed(before: pd.DataFrame, after: pd.DataFrame) -> pd.DataFrame:
    """Distinct changes of a question, with `answers`, the number of answers that each touches."""
    old = before[list(_QUESTION)].astype(object)
    new = after[list(_QUESTION)].astype(object)
    differs = ((old != new) & ~(old.isna() & new.isna())).any(axis=1)
    known = (before["place"] != "unlisted") & (after["place"] != "unlisted")
    rows = pd.concat([before["item"], after["item_from"], old, new.add_suffix("_now")], axis=1).loc[
        differs & known
    ]
    rows = rows[~_worded_alike(rows)]
    names = list(rows.columns)
    return rows.groupby(names, dropna=False, sort=True).size().reset_index(name="answers")


def _worded_alike(rows: pd.DataFrame) -> pd.Series[bool]:
    """Whether a change is one of wording alone: spaces, x² for x^2."""
    names = [f"{name}{end}" for name in _QUESTION for end in ("", "_now")]
    distinct = rows[names].drop_duplicates().astype(object)
    distinct = distinct.where(distinct.notna(), None)
    alike = [
        row["task"] == row["task_now"]
        and same_wording(row["task"], row["problem"], row["problem_now"])
        and same_wording("", row["key"], row["key_now"])
        for row in distinct.to_dict("records")
    ]
    found = rows[names].astype(object).where(rows[names].notna(), None)
    known = dict(zip(distinct.itertuples(index=False, name=None), alike, strict=True))
    return pd.Series([known[row] for row in found.itertuples(index=False, name=None)], rows.index,
                     dtype=bool)  # fmt: skip


def same_wording(task: str, one: str | None, other: str | None) -> bool:
    """Whether two problems, or two keys, say the same but for how they are typed.

    Args:
        task: of the problem; empty for a key.
        one: the one text, if there is any.
        other: the other.
    """
    if not one or not other or _bare(one) == _bare(other):
        return _bare(one or "") == _bare(other or "")
    if not task:
        return False
    try:
        first, second = (read_problem(text, task) for text in (one, other))
    except UnreadableProblem:
        return False
    # A text that no reader takes apart is held against the other as it stands.
    return bool(first.letters) and replace(first, text="") == replace(second, text="")


def _bare(text: str) -> str:
    """A text without what hands differ in: spaces, raised digits, kinds of minus and times."""
    raised = re.sub(r"[⁰¹²³⁴-⁹]+", lambda found: f"^{found.group()}", text)
    plain = " ".join(unicodedata.normalize("NFKC", raised).translate(_SIGNS).split())
    return re.sub(r"(?<!\w) | (?!\w)", "", plain)


_SIGNS = str.maketrans({"−": "-", "–": "-", "·": "*", "×": "*"})


def _complaint(course: Course, changes: pd.DataFrame) -> Iterator[str]:
    lines = {(item.id, item.start): item.line for item in course.items}
    touched = int(changes["answers"].sum())
    yield (
        f"the items file: {touched:,} stored answers were given to questions that read otherwise "
        "now. Nothing was changed."
    )
    for row in changes.head(_SHOWN).to_dict("records"):
        line = lines.get((row["item"], _text(row["item_from"])))
        where = f" (line {line})" if line else ""
        yield f"  {row['item']}{where}: {'; '.join(_differences(row))}; {row['answers']:,} answers"
    if len(changes) > _SHOWN:
        yield f"  and {len(changes) - _SHOWN:,} more changes"
    yield (
        "Another question from some day on: put the old row back and add the new one with its "
        "first date or term under `from`; answers given before keep their question. "
        "A mistake in the old row: write yes under `correction`; these answers are judged anew. "
        "Answers without any date count as given today: say `term` or `date` of their file in "
        "[[exports]]."
    )


def _differences(row: dict[Any, Any]) -> Iterator[str]:
    for name in _QUESTION:
        old, new = _text(row[name]), _text(row[f"{name}_now"])
        if old != new:
            yield f"{_WORDS[name]} was {old or 'computed'!r}, is now {new or 'computed'!r}"


def _text(value: object) -> str:
    return value if isinstance(value, str) else ""


def _rejudged(changes: pd.DataFrame) -> Iterator[str]:
    """Say which corrections judge stored answers anew."""
    for item, answers in changes.groupby("item")["answers"].sum().items():
        yield f"Correction of {item}: {answers:,} stored answers are judged anew"


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
