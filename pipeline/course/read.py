"""A course folder, read whole: items and settings checked against each other, defaults listed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import date
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Protocol, TypeVar

from pipeline.course import entries
from pipeline.course.calendar import Term
from pipeline.course.entries import check_named_patterns, known_ids
from pipeline.course.exports import export_map, is_zone
from pipeline.course.hand_tags import read_hand_tags
from pipeline.course.items import items_file, read_items
from pipeline.course.records import (
    Course,
    Item,
    Lesson,
    Outcome,
    OwnPattern,
    Privacy,
    Quiz,
    ReadingSettings,
    Topic,
)
from pipeline.course.settings import (
    SINGLE_SETTINGS,
    Entry,
    Settings,
    parse_date,
    read_settings,
    record_of,
)
from pipeline.course.standard_files import StandardFiles, read_standard_files
from pipeline.errors import CourseError


class _Named(Protocol):
    @property
    def id(self) -> str: ...


DEFAULT_MARGIN, LEAST_MARGIN, MOST_MARGIN = 0.05, 0.01, 0.3

_T = TypeVar("_T")
_N = TypeVar("_N", bound=_Named)


def read_course(folder: Path) -> Course:
    """Read a course folder.

    Args:
        folder: holds `items.xlsx` or `items.csv`; `course.toml` or `course.xlsx` as wished.

    Raises:
        CourseError: something in it cannot be used; names file, line, column, value, what was
            expected and the way out.
        InputError: a workbook or text file that cannot be opened.
    """
    if not folder.is_dir():
        raise CourseError(
            f"{folder.name or folder}: there is no such course folder. "
            "`lostroot new DIR` makes one."
        )
    items, taken, unfinished = read_items(folder)
    settings = read_settings(folder)
    course = _assembled(folder, items, settings)
    course = replace(course, defaults=(*taken, *course.defaults), unfinished=unfinished)
    _apart(course.terms)
    _check_references(course, settings)
    known = known_ids(course.patterns)
    check_named_patterns(items, settings, known, items_file(folder).name)
    tags, left_out = read_hand_tags(folder, known)
    return replace(course, hand_tags=tags, tags_left_out=left_out)


def _assembled(folder: Path, items: tuple[Item, ...], settings: Settings) -> Course:
    head = _single(settings, "course")
    head.only(SINGLE_SETTINGS["course"])
    zone = head.text("time_zone", "UTC")
    if not is_zone(zone):
        head.refuse("time_zone", "a name such as America/Chicago")
    margin = head.number("margin", DEFAULT_MARGIN)
    if not LEAST_MARGIN <= margin <= MOST_MARGIN:
        head.refuse(
            "margin",
            f"a fraction from {LEAST_MARGIN} to {MOST_MARGIN}, or a percentage from 1 % to 30 %",
            "It is the change that counts as small when terms are compared.",
        )
    terms = tuple(
        sorted(_unique(settings, "terms", entries.term), key=lambda t: t.first_day or date.min)
    )
    standards = read_standard_files(folder)
    declared_topics = tuple(_unique(settings, "topics", entries.topic))
    items = tuple(_with_linked_outcome(item, declared_topics, standards) for item in items)
    declared_outcomes = tuple(_unique(settings, "outcomes", entries.outcome))
    return Course(
        folder=folder,
        title=head.text("title", folder.resolve().name),
        time_zone=zone,
        items=items,
        privacy=entries.privacy(_single(settings, "privacy"), folder),
        terms=terms or standards.terms,
        topics=_with_topics_of(items, declared_topics),
        outcomes=tuple(
            _stated(one, standards)
            for one in _with_outcomes_of(items, declared_topics, declared_outcomes)
        ),
        lessons=tuple(
            sorted(
                _each(settings, "lessons", partial(record_of, kind=Lesson)),
                key=lambda lesson: lesson.date,
            )
        ),
        quizzes=tuple(_unique(settings, "quizzes", partial(record_of, kind=Quiz))),
        exports=tuple(_each(settings, "exports", export_map)),
        patterns=tuple(_unique(settings, "patterns", entries.own_pattern)),
        reading=record_of(_single(settings, "reading"), ReadingSettings),
        defaults=(
            *_defaults(items, settings, declared_topics, declared_outcomes, standards),
            *standards.remarks,
        ),
        declared_terms=bool(terms or standards.terms),
        margin=margin,
        standards=standards,
    )


def own_patterns(folder: Path) -> tuple[OwnPattern, ...]:
    """Read only the error patterns that a course folder declares.

    Raises:
        CourseError: the settings cannot be read, or a pattern cannot be used.
    """
    return tuple(_unique(read_settings(folder), "patterns", entries.own_pattern))


def _single(settings: Settings, table: str) -> Entry:
    found = settings.get(table)
    return found[0] if found else Entry(table, {}, "course.toml", 0, {})


def _each(settings: Settings, table: str, build: Callable[[Entry], _T]) -> Iterator[_T]:
    return (build(entry) for entry in settings.get(table, ()))


def _unique(settings: Settings, table: str, build: Callable[[Entry], _N]) -> Iterator[_N]:
    seen: set[str] = set()
    for entry in settings.get(table, ()):
        record = build(entry)
        if record.id in seen:
            entry.refuse("id", "a name that no other block of this table has")
        seen.add(record.id)
        yield record


def _apart(terms: Iterable[Term]) -> None:
    for earlier, later in pairwise(terms):
        if later.first_day is not None and later.first_day in earlier:
            raise CourseError(
                f"terms {earlier.id} and {later.id} overlap: {earlier.id} ends on "
                f"{earlier.last_day}, {later.id} begins on {later.first_day}. Mend `first_day`, "
                "`weeks` or `breaks` of one of them."
            )


def _with_topics_of(items: Iterable[Item], declared: tuple[Topic, ...]) -> tuple[Topic, ...]:
    topics = {topic.id: topic for topic in declared}
    for item in items:
        topics.setdefault(item.topic, Topic(item.topic, item.topic))
    return tuple(topics.values())


def _with_outcomes_of(
    items: Iterable[Item], topics: Iterable[Topic], declared: tuple[Outcome, ...]
) -> tuple[Outcome, ...]:
    outcomes = {outcome.id: outcome for outcome in declared}
    for name in (*(topic.outcome for topic in topics), *(item.outcome for item in items)):
        if name is not None:
            outcomes.setdefault(name, Outcome(name, name))
    return tuple(outcomes.values())


def _with_linked_outcome(item: Item, topics: tuple[Topic, ...], standards: StandardFiles) -> Item:
    """An item without outcome serves the first one that its QTI package links it to."""
    linked = standards.packages.get(item.id)
    if linked is None or item.outcome or any(one.outcome for one in topics if one.id == item.topic):
        return item
    known = [one for one in linked.outcomes if one in standards.outcomes]
    return replace(item, outcome=known[0]) if known else item


def _stated(outcome: Outcome, standards: StandardFiles) -> Outcome:
    """An outcome that cites a statement of a CASE package, in its words."""
    cited = standards.outcomes.get(outcome.id) or standards.outcomes.get(outcome.id.lower())
    if cited is None or outcome.statement != outcome.id:
        return outcome
    return replace(outcome, statement=cited.statement)


def _check_references(course: Course, settings: Settings) -> None:
    """Names that one place uses and another should declare.

    A topic or outcome that only the items name is declared by them; a typing mistake in the
    settings is what is caught here.
    """
    topics = {topic.id for topic in course.topics}
    for table in ("topics", "lessons"):
        for entry in settings.get(table, ()):
            name = "needs" if table == "topics" else "topics"
            if unknown := [one for one in entry.texts(name) if one not in topics]:
                entry.refuse(name, f"topics of this course; {unknown[0]!r} is none")
    terms = {term.id for term in course.terms}
    for entry in settings.get("exports", ()):
        named = entry.text("term", None)
        if named is not None and terms and named not in terms:
            entry.refuse("term", f"one of the terms {', '.join(sorted(terms))}")
    same = {item.id: item.same for item in course.items if item.same}
    ids = {item.id for item in course.items}
    for item in course.items:
        if item.same and (item.same not in ids or item.same == item.id or item.same in same):
            raise CourseError(
                f"{items_file(course.folder).name}, line {item.line}: column `same` is "
                f"{item.same}; expected the id of another question of this list, one that is not "
                "itself declared the same as a third."
            )
        if item.start and parse_date(item.start) is None and item.start not in terms:
            raise CourseError(
                f"{items_file(course.folder).name}, line {item.line}: column `from` is "
                f"{item.start}; expected a date such as 2026-01-12 or the id of a declared term."
            )


def _defaults(
    items: tuple[Item, ...],
    settings: Settings,
    topics: tuple[Topic, ...],
    outcomes: tuple[Outcome, ...],
    standards: StandardFiles,
) -> Iterator[str]:
    """One sentence for everything that was not said and is therefore assumed."""
    yield from _unsaid(settings, "course")
    if not settings.get("terms"):
        yield (
            "No terms are declared; their dates come from the academic sessions in `standards`."
            if standards.terms
            else "No terms are declared; they were worked out from the dates of the answers."
        )
    named = {topic.id for topic in topics}
    if extra := [name for name in dict.fromkeys(item.topic for item in items) if name not in named]:
        yield f"Topics known from the items only, in the order of their file: {', '.join(extra)}."
    if not outcomes:
        yield "No outcomes are declared; each that items name has bar 70 % and target 70 %."
    if not any(item.week for item in items) and not settings.get("quizzes"):
        yield "No question has a week; the week of its class section's first answer is used."
    if not any(entry.has("setting") for entry in _all(settings, "exports", "quizzes")):
        yield "Where an export names no setting, its answers count as given in a quiz."
    yield from _unsaid(settings, "privacy")
    yield from _unsaid(settings, "reading")


def _all(settings: Settings, *tables: str) -> Iterator[Entry]:
    return (entry for table in tables for entry in settings.get(table, ()))


_PLAIN, _READING = Privacy(Path()), ReadingSettings()
_ASSUMED = {
    "course": {
        "title": "The course has no title of its own; the name of its folder is used.",
        "time_zone": "No time zone is set; times without one are taken as they stand (UTC).",
        "margin": f"A change of less than {round(100 * DEFAULT_MARGIN)} points either way is "
        "called small.",
    },
    "privacy": {
        "limit": f"Groups of fewer than {_PLAIN.limit} students are hidden.",
        "shared_every": "The pages for everyone count closed months of four teaching weeks.",
        "issuer": "All student ids are taken to come from one institution.",
        "fold_case": "Student ids that differ only in upper and lower case are one student.",
    },
    "reading": {
        "decimal_comma": "A decimal is written with a point; a comma separates answers.",
        "min_places": f"A decimal proves something from {_READING.min_places} places on.",
        "missing_brackets": "What is right only if brackets were meant is counted apart, neither "
        "right nor wrong.",
    },
}
"""Table of which there is one -> setting -> what is assumed without it."""


def _unsaid(settings: Settings, table: str) -> Iterator[str]:
    entry = _single(settings, table)
    return (said for name, said in _ASSUMED[table].items() if not entry.has(name))
