"""What a set of questions can show, and what it never will, whatever students answer."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

from pipeline.course import Course, Item, OwnPattern
from pipeline.errors import UnreadableProblem
from pipeline.patterns.catalogue import catalogue
from pipeline.records import Request
from pipeline.tagging.own_patterns import own_predictions
from pipeline.tagging.predict import predicted
from pipeline.tagging.questions import KEYS_DIFFER, question_of

__all__ = ["blind_spots", "doubtful_keys", "why_not_tagged"]


def why_not_tagged(item: Item) -> str | None:
    """Why no error can be found in answers to an item with an algebra task; None when it can."""
    if item.place != "task":
        return None
    question = question_of(_request(item))
    if question.problem is None:
        return question.reason or "the problem cannot be read"
    return question.reason if question.right is None else None


def doubtful_keys(items: Iterable[Item]) -> Iterator[str]:
    """Keys that cannot be read, and keys that are not what is computed from the problem.

    Items that ask for something else than the unknown have a key of another kind and are left out.
    """
    for item in items:
        if item.place != "task" or not item.answer or item.asked or item.keep:
            continue
        question = question_of(_request(item))
        if question.problem is None or question.reason is None:
            continue
        told = f"item {item.id} (line {item.line}), key {item.answer}: {question.reason}"
        yield f"{told}; the key counts" if question.reason == KEYS_DIFFER else told


def blind_spots(course: Course) -> tuple[str, ...]:
    """Errors of the catalogue that these questions cannot show, or cannot tell apart.

    Two errors cannot be told apart when every question that either can show has the same wrong
    answer for both.
    """
    shown = _signatures(course.items)
    tasks = {item.task for item in course.items}
    specific = [one for one in catalogue() if not one.general and tasks & set(one.tasks)]
    never = [one.id for one in specific if one.id not in shown]
    never += [one.id for one in course.patterns if not _is_shown(one, course)]
    groups: dict[frozenset[tuple[str, str]], list[str]] = defaultdict(list)
    for one in specific:
        if one.id in shown:
            groups[frozenset(shown[one.id])].append(one.id)
    alike = [f"cannot be told apart: {' / '.join(names)}" for names in groups.values() if names[1:]]
    return (*alike, *([f"no question can show: {', '.join(never)}"] if never else ()))


def _is_shown(own: OwnPattern, course: Course) -> bool:
    """Whether any question of the course has a wrong answer by one of its own patterns."""
    return any(own_predictions((own,), _request(item)) for item in course.items)


def _signatures(items: Iterable[Item]) -> dict[str, set[tuple[str, str]]]:
    """Error -> the pairs of question and wrong answer that show it."""
    shown: dict[str, set[tuple[str, str]]] = defaultdict(set)
    for item in items:
        if item.place != "task":
            continue
        try:
            question = _request(item).question
            rows = predicted(item.task, question, item.numbers, item.method)
        except UnreadableProblem:
            continue
        for key, faults, name, _, general in rows:
            if len(faults) == 1 and not general:
                shown[name].add((f"{item.id} {item.start}", key))
    return shown


def _request(item: Item) -> Request:
    return Request(item.task, item.problem, "", item.answer, numbers=item.numbers)
