"""Entries of the settings, turned into the records that they declare."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from datetime import date
from difflib import get_close_matches
from itertools import pairwise
from pathlib import Path
from typing import Literal, cast, get_args

from pipeline.course.calendar import Break, Term
from pipeline.course.exports import SETTINGS
from pipeline.course.records import (
    PERIODS,
    Item,
    Lesson,
    Outcome,
    OwnPattern,
    Privacy,
    Quiz,
    ReadingSettings,
    Topic,
)
from pipeline.course.settings import SINGLE_SETTINGS, Entry, Settings, names_of, parse_date, refuse
from pipeline.patterns.catalogue import catalogue, retired_ids
from pipeline.records import MissingBrackets
from pipeline.tables import plain_text
from pipeline.tagging.own_patterns import fault_of_formula
from pipeline.wording.vocabulary import LISTED_TASKS

OWN_TASKS = tuple(task for task in LISTED_TASKS if task != "skip")
_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


def known_ids(own: Iterable[OwnPattern]) -> frozenset[str]:
    """Ids of the catalogue and of the course's own patterns."""
    return frozenset(one.id for one in catalogue()) | {one.id for one in own}


def hold_own_pattern(entry: Entry, own: OwnPattern) -> None:
    """Check one `[[patterns]]` block.

    Raises:
        CourseError: an id of the catalogue, a task without answers, a formula that cannot be used.
    """
    if not _ID.fullmatch(own.id):
        entry.refuse("id", "small letters and hyphens that state the wrong thing: `forgot-half`")
    if own.id in known_ids(()) or own.id in retired_ids() or own.id == "unexplained":
        entry.refuse("id", "an id that the catalogue has not and never had", "Choose another id.")
    if own.task not in OWN_TASKS:
        near = get_close_matches(own.task, OWN_TASKS, 1)
        hint = f"Did you mean `{near[0]}`?" if near else ""
        entry.refuse("task", f"one of {', '.join(OWN_TASKS)}", hint)
    for formula in own.wrong:
        reason = fault_of_formula(formula)
        if reason is not None:
            refuse(
                file=entry.file,
                line=entry.lines.get("wrong", entry.line),
                what=f"`wrong` of the pattern {own.id}",
                value=formula,
                expected="a formula in the problem's numbers (a b c d, p to w, k; x is the "
                "unknown), such as `-b/(2a)`",
                way_out=f"This one cannot be used: {reason}.",
            )


def check_named_patterns(
    items: Iterable[Item], settings: Settings, known: Collection[str], file: str
) -> None:
    """Stop at ids that options and lessons name and that nothing declares.

    Raises:
        CourseError: names the place, the id, and one that is close.
    """
    for item in items:
        for option in item.options:
            if option.pattern is not None and option.pattern not in known:
                refuse(
                    file=file,
                    line=item.line,
                    what=f"the error of the option {option.text!r}",
                    value=option.pattern,
                    expected="the id of an error of the catalogue or of [[patterns]]",
                    way_out=_hint(option.pattern, known),
                )
    for entry in settings.get("lessons", ()):
        for name in entry.texts("patterns"):
            if name not in known:
                entry.refuse("patterns", f"ids of errors; {name!r} is none", _hint(name, known))


def _hint(name: str, known: Collection[str]) -> str:
    near = get_close_matches(name, [*known], 2, 0.5)
    asked = f"Did you mean {' or '.join(near)}? " if near else ""
    return f"{asked}`lostroot patterns` lists the ids."


WEIGHTS = (0.1, 10.0)
"""Least and largest weight of a topic; one outside would decide the order all by itself."""


def term(entry: Entry) -> Term:
    """`[[terms]] id, title, first_day, weeks, breaks`."""
    entry.only(names_of(Term))
    first_day = entry.day("first_day")
    if first_day is None:
        entry.refuse("first_day", "the date of the first day of week 1, such as 2026-01-12")
    weeks = entry.whole("weeks", None, 1, 53)
    if weeks is None:
        entry.refuse("weeks", "the number of teaching weeks, from 1 to 53")
    name = entry.needed("id")
    bare = Term(name, entry.text("title", name), first_day, weeks)
    breaks = tuple(sorted(_breaks(entry), key=lambda pause: pause.first))
    full = Term(name, bare.title, first_day, weeks, breaks)
    for pause in breaks:
        if pause.first not in full or pause.last not in full:
            entry.refuse("breaks", f"days from {first_day} to {full.last_day}, inside the term")
    if any(later.first <= earlier.last for earlier, later in pairwise(breaks)):
        entry.refuse("breaks", "breaks that do not overlap")
    return full


def _breaks(entry: Entry) -> Iterable[Break]:
    """Pairs of dates; in a sheet `2026-03-16 to 2026-03-20`, several separated by semicolons."""
    written = entry.values.get("breaks") or []
    if isinstance(written, str):
        parts = plain_text(written).replace("..", " to ").split(";")
        written = [part.split(" to ") for part in parts if part.strip()]
    expected = '[first, last] dates, such as [["2026-03-16", "2026-03-20"]]'
    if not isinstance(written, list):
        entry.refuse("breaks", expected)
    for pair in written:
        days = [parse_date(part) for part in pair] if isinstance(pair, list) else []
        match days:
            case [date() as day]:
                yield Break(day, day)
            case [date() as first, date() as last] if first <= last:
                yield Break(first, last)
            case _:
                entry.refuse("breaks", expected)


def topic(entry: Entry) -> Topic:
    """`[[topics]] id, title, first_week, outcome, needs, weight`."""
    entry.only(names_of(Topic))
    name = entry.needed("id")
    return Topic(
        id=name,
        title=entry.text("title", name),
        first_week=entry.whole("first_week", None, 1, 53),
        outcome=entry.text("outcome", None),
        needs=entry.texts("needs"),
        weight=entry.number("weight", 1.0, *WEIGHTS),
    )


def outcome(entry: Entry) -> Outcome:
    """`[[outcomes]] id, statement, target, bar, evidence, attempt, fewest`."""
    entry.only(names_of(Outcome))
    name = entry.needed("id")
    return Outcome(
        id=name,
        statement=entry.text("statement", name),
        target=entry.share("target", 0.7),
        bar=entry.share("bar", 0.7),
        evidence=entry.texts("evidence"),
        attempt="last"
        if entry.one_of("attempt", ("first", "last"), "first") == "last"
        else "first",
        fewest=entry.whole("fewest", 3, 1, 1000),
    )


def lesson(entry: Entry) -> Lesson:
    """`[[lessons]] date, title, topics, patterns, sections`."""
    entry.only(names_of(Lesson))
    day = entry.day("date")
    return Lesson(
        date=day if day else entry.refuse("date", "a date such as 2026-01-31"),
        title=entry.needed("title"),
        topics=entry.texts("topics"),
        patterns=entry.texts("patterns"),
        sections=entry.texts("sections"),
    )


def quiz(entry: Entry) -> Quiz:
    """`[[quizzes]] id, week, setting, supervised, calculator`."""
    entry.only(names_of(Quiz))
    return Quiz(
        id=entry.needed("id"),
        week=entry.whole("week", None, 1, 53),
        setting=entry.one_of("setting", SETTINGS, None),
        supervised=entry.flag("supervised", None),
        calculator=entry.flag("calculator", None),
    )


def own_pattern(entry: Entry) -> OwnPattern:
    """`[[patterns]] id, sentence, task, wrong, step, instead, skill, source`."""
    entry.only((*names_of(OwnPattern), "step", "instead"))
    written = entry.values.get("wrong")
    wrong = (
        tuple(str(part).strip() for part in written)
        if isinstance(written, list)
        else tuple(part.strip() for part in plain_text(str(written or "")).split("\n"))
    )
    wrong = tuple(part for part in wrong if part)
    if (step := entry.text("step", None)) is not None:
        wrong = (*wrong, f"{step}: {entry.needed('instead')}")
    if not wrong:
        entry.refuse("wrong", "the wrong answer as a formula in the problem's numbers")
    own = OwnPattern(
        id=entry.needed("id"),
        sentence=entry.needed("sentence"),
        task=entry.needed("task"),
        wrong=wrong,
        skill=entry.text("skill", "own"),
        source=entry.text("source", None),
    )
    hold_own_pattern(entry, own)
    return own


def privacy(entry: Entry, folder: Path) -> Privacy:
    """`[privacy]`: identity (issuer, key_file, ...), limit, after_load, move_to, shared_every."""
    entry.only(SINGLE_SETTINGS["privacy"])
    issuer = entry.text("issuer", "institution")
    if "|" in issuer:
        entry.refuse("issuer", "a name without `|`")
    after = entry.one_of("after_load", ("keep", "move", "pseudonymize"), "keep")
    move_to = entry.text("move_to", None)
    return Privacy(
        key_file=folder / Path(entry.text("key_file", "pseudonym.key")).expanduser(),
        issuer=issuer,
        limit=entry.whole("limit", 10, 3, 1000),
        fold_case=entry.flag("fold_case", True),
        test_accounts=entry.texts("test_accounts"),
        link_terms=entry.flag("link_terms", True),
        after_load=cast("Literal['keep', 'move', 'pseudonymize']", after),
        release=entry.flag("release", False),
        shared_weeks=PERIODS[str(entry.one_of("shared_every", tuple(PERIODS), "month"))],
        move_to=folder / Path(move_to).expanduser() if move_to else None,
    )


def reading(entry: Entry) -> ReadingSettings:
    """`[reading] decimal_comma, min_places, missing_brackets`."""
    entry.only(SINGLE_SETTINGS["reading"])
    return ReadingSettings(
        decimal_comma=entry.flag("decimal_comma", False),
        min_places=entry.whole("min_places", 2, 0, 12),
        missing_brackets=cast(
            MissingBrackets,
            entry.one_of("missing_brackets", get_args(MissingBrackets), "apart"),
        ),
    )
