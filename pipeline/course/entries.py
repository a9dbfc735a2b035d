"""Entries of the settings, turned into the records that they declare."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from datetime import date
from difflib import get_close_matches
from itertools import pairwise
from pathlib import Path

from pipeline.course.calendar import Break, Term
from pipeline.course.records import (
    PERIODS,
    Item,
    Outcome,
    OwnPattern,
    Privacy,
    Topic,
)
from pipeline.course.settings import (
    SINGLE_SETTINGS,
    Entry,
    Settings,
    names_of,
    parse_date,
    record_of,
    refuse,
)
from pipeline.patterns.catalogue import catalogue, retired_ids
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
    breaks = tuple(sorted(_breaks(entry), key=lambda pause: pause.first))
    full = Term(name, entry.text("title", name), first_day, weeks, breaks)
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
    """`[[topics]]`; the title is the id where there is none."""
    return record_of(entry, Topic, title=entry.text("title", entry.needed("id")))


def outcome(entry: Entry) -> Outcome:
    """`[[outcomes]]`; the statement is the id where there is none."""
    return record_of(entry, Outcome, statement=entry.text("statement", entry.needed("id")))


def own_pattern(entry: Entry) -> OwnPattern:
    """`[[patterns]] id, sentence, task, wrong, step, instead, skill, source`."""
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
    own = record_of(entry, OwnPattern, "step", "instead", wrong=wrong)
    hold_own_pattern(entry, own)
    return own


def privacy(entry: Entry, folder: Path) -> Privacy:
    """`[privacy]`: paths are those from the course folder on."""
    entry.only(SINGLE_SETTINGS["privacy"])
    if "|" in (entry.text("issuer", None) or ""):
        entry.refuse("issuer", "a name without `|`")
    move_to = entry.text("move_to", None)
    return record_of(
        entry, Privacy, "shared_every",
        key_file=folder / Path(entry.text("key_file", "pseudonym.key")).expanduser(),
        shared_weeks=PERIODS[str(entry.one_of("shared_every", tuple(PERIODS), "month"))],
        move_to=folder / Path(move_to).expanduser() if move_to else None,
    )  # fmt: skip
