"""What a set of questions can show, and what it never will, whatever students answer."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from pipeline.course import Course, Item, OwnPattern
from pipeline.errors import UnreadableProblem
from pipeline.patterns.catalogue import catalogue
from pipeline.tagging.own_patterns import own_predictions
from pipeline.tagging.predict import predicted
from pipeline.tagging.questions import KEYS_DIFFER, question_of
from pipeline.tasks.catalogue import read_problem

IN_A_FILE = "all with `> said.txt`"
"""How to see what a screen has no room for: what goes into a file is not cut."""
_NO_ERROR = "no error of the catalogue, slips apart, leads to another answer than the right one"


@dataclass(frozen=True, slots=True)
class BlindSpots:
    """What a set of questions cannot see.

    Args:
        alike: errors that have the same wrong answers on every question, named together.
        never: skill -> errors that no question can show though its task could.
        known: skill -> how many errors the tasks of these questions could show.
        own: the course's own patterns that no question can show.
    """

    alike: tuple[tuple[str, ...], ...] = ()
    never: dict[str, tuple[str, ...]] | None = None
    known: dict[str, int] | None = None
    own: tuple[str, ...] = ()

    def lines(self, whole: bool = False) -> tuple[str, ...]:
        """Sentences; every error by name where all is asked for, else the skills with counts."""
        said = [f"cannot be told apart: {' / '.join(names)}" for names in self.alike]
        said += self._named() if whole else self._counted()
        if self.own:
            said.append(f"no question can show your own: {', '.join(self.own)}")
        return tuple(said)

    def _named(self) -> list[str]:
        missing = (self.never or {}).items()
        return [f"no question can show, of {skill}: {', '.join(ids)}" for skill, ids in missing]

    def _counted(self) -> list[str]:
        missing, known = self.never or {}, self.known or {}
        if not missing:
            return []
        left = sum(map(len, missing.values()))
        head = f"no question can show {left} of {sum(known.values())} errors of these tasks"
        none = [skill for skill, ids in missing.items() if len(ids) == known[skill]]
        some = [
            f"{skill} {len(ids)} of {known[skill]}"
            for skill, ids in missing.items()
            if len(ids) < known[skill]
        ]
        told = [f"all missing: {', '.join(none)}"] if none else []
        told += [f"some missing: {', '.join(some)}"] if some else []
        return [f"{head} ({IN_A_FILE})", *told]


def why_not_tagged(item: Item, own: tuple[OwnPattern, ...] = ()) -> str | None:
    """Why no error can be found in answers to an item with an algebra task; None when it can."""
    if item.place != "task":
        return None
    question = question_of(item.request())
    if question.problem is None:
        return question.reason or "the problem cannot be read"
    if question.right is None:
        return question.reason
    if any(_single_errors(item)) or own_predictions(own, item.request()):
        return None
    return _NO_ERROR


def never_judged(item: Item) -> str | None:
    """Why no answer to an item can be told right or wrong; None when it can, or need not be."""
    if item.place not in ("task", "judge"):
        return None
    question = question_of(item.request())
    return None if question.right else question.reason or "there is no key"


def unread_problem(item: Item) -> str | None:
    """Why the problem of an item with an algebra task cannot be read, and the way out."""
    if item.place != "task" or not (item.problem or "").strip():
        return None
    try:
        read_problem(item.request().question, item.task)
    except UnreadableProblem as error:
        return f"{error}, or give it the task `judge`, which its key alone decides"
    return None


def to_mend(items: Iterable[Item]) -> Iterator[str]:
    """Items by which nothing can be judged, and keys that are not what is computed."""
    for item in items:
        place = f"item {item.id} (line {item.line})"
        if reason := unread_problem(item):
            yield f"{place}: {reason}"
        elif reason := never_judged(item):
            yield f"{place}: only answers with a `problem` of their own can be judged: {reason}"
        elif item.place == "task" and item.answer:
            question = question_of(item.request())
            told = f"{place}, key {item.answer}: {question.reason}"
            if question.reason and question.problem:
                yield f"{told}; the key counts" if question.reason == KEYS_DIFFER else told


def blind_spots(course: Course) -> BlindSpots:
    """Errors of the catalogue that these questions cannot show, or cannot tell apart.

    Two errors cannot be told apart when every question that either can show has the same wrong
    answer for both.
    """
    shown = _signatures(course.items)
    tasks = {item.task for item in course.items}
    specific = [one for one in catalogue() if not one.general and tasks & set(one.tasks)]
    groups: dict[frozenset[tuple[str, str]], list[str]] = defaultdict(list)
    never: dict[str, list[str]] = defaultdict(list)
    for one in specific:
        if one.id in shown:
            groups[frozenset(shown[one.id])].append(one.id)
        else:
            never[one.skill].append(one.id)
    return BlindSpots(
        alike=tuple(tuple(names) for names in groups.values() if names[1:]),
        never={skill: tuple(ids) for skill, ids in never.items()},
        known=dict(Counter(one.skill for one in specific)),
        own=tuple(
            one.id
            for one in course.patterns
            if not any(own_predictions((one,), item.request()) for item in course.items)
        ),
    )


def _signatures(items: Iterable[Item]) -> dict[str, set[tuple[str, str]]]:
    """Error -> the pairs of question and wrong answer that show it."""
    shown: dict[str, set[tuple[str, str]]] = defaultdict(set)
    for item in items:
        for name, key in _single_errors(item):
            shown[name].add((f"{item.id} {item.start}", key))
    return shown


def _single_errors(item: Item) -> Iterator[tuple[str, str]]:
    """Errors, slips apart, that lead to a wrong answer by themselves, with that answer's key."""
    if item.place != "task":
        return
    try:
        rows = predicted(item.task, item.request().question, item.numbers, item.method)
    except UnreadableProblem:
        return
    for key, faults, name, _, general in rows:
        if len(faults) == 1 and not general:
            yield name, key
