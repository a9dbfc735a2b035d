"""Ids of error patterns: which are known, and that the course names no others."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from difflib import get_close_matches

from pipeline.course.records import Item, OwnPattern
from pipeline.course.settings import Entry, Settings, refuse
from pipeline.patterns.catalogue import catalogue, retired_ids
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
