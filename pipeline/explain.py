"""Explaining single answers: a request as a dictionary in, the record or plain words out."""

from __future__ import annotations

import difflib
import gc
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Any, Final

from pipeline.errors import LostrootError, UsageError
from pipeline.patterns.catalogue import catalogue, pattern_of
from pipeline.patterns.registry import Example, Pattern
from pipeline.reading.forms import parts_of_form
from pipeline.records import (
    WITHOUT_PROBLEM,
    Explanation,
    OwnPattern,
    Request,
    Verdict,
)
from pipeline.tagging.examine import examine
from pipeline.tasks.catalogue import NAMES, TASKS
from pipeline.wording import asked_by
from pipeline.wording.vocabulary import SAYS

__all__ = [
    "FIELDS",
    "WITHOUT_PROBLEM",
    "all_patterns",
    "one_pattern",
    "record",
    "stream",
    "words",
]

FIELDS: Final = ("task", "problem", "answer", "key", "work", "numbers", "form", "method")
"""What a request may say."""
_OF_STORIES: Final = ("asked", "keep")
"""What a request of a word problem may say besides; a problem may say it itself, behind `;`."""
REMEMBERED: Final = 16_384
"""Lines of a batch whose records are kept at hand, since answers of a class repeat."""
REMEMBERED_LINE: Final = 1_000
"""Longest such line, in characters."""
_COLLECTED: Final = (20_000, 20, 100)
"""Objects between two searches for rubbish: what a batch keeps for long is much, and no rubbish."""

_METHODS: Final = ("factoring", "square-root", "complete-square", "formula")
_VERDICT_WORDS: Final = {
    Verdict.RIGHT: "right",
    Verdict.RIGHT_OTHER_FORM: "right, but not in the form asked",
    Verdict.RIGHT_IF_MEANT: "right if brackets were meant",
    Verdict.TOO_COARSE: "rounded too far to judge",
    Verdict.WRONG: "wrong",
    Verdict.UNREADABLE: "we could not read it",
    Verdict.BLANK: "no answer",
    Verdict.NO_KEY: "read, but there is no right answer to compare it with",
}


def _request(fields: Mapping[str, Any]) -> Request:
    """Check a request.

    Raises:
        UsageError: a field is unknown, missing, or has a value that is not offered.
    """
    unknown = sorted(set(fields) - {*FIELDS, *_OF_STORIES})
    if unknown:
        raise UsageError(f"unknown field {unknown[0]!r}; the fields are {', '.join(FIELDS)}")
    given = {name: value for name, value in fields.items() if value is not None}
    for name, value in given.items():
        if not isinstance(value, str):
            raise UsageError(f"field {name!r} is {value!r}, but must be text in quotes")
    task = given.get("task", "")
    if task not in NAMES:
        raise UsageError(f"unknown task {task!r}; the tasks are {', '.join(NAMES)}")
    _require(given, "answer", task)
    if task not in WITHOUT_PROBLEM:
        _require(given, "problem", task)
    _require_one_of(given, "numbers", ("real", "complex"))
    _require_one_of(given, "method", _METHODS)
    parts_of_form(given.get("form"))
    return Request(**{"problem": "", **_without_instruction(given)})


def _without_instruction(given: Mapping[str, Any]) -> dict[str, Any]:
    """Cut `Solve by factoring: x^2 = 5x` down to its problem; its words name what was not given."""
    problem = given.get("problem", "")
    told = asked_by(problem) if SAYS.search(problem) else None
    also = TASKS[given["task"]].also_asks if given["task"] in TASKS else ()
    fits = told is not None and told.task in (given["task"], *also)
    if told is None or told.doubt or not fits:
        return dict(given)
    said = {name: getattr(told, name) for name in ("form", "numbers", "method", "asked", "keep")}
    said = {name: value for name, value in said.items() if value is not None}
    return {**said, **given, "problem": told.problem}


def _require(given: Mapping[str, str], name: str, task: str) -> None:
    if name not in given:
        raise UsageError(f"task {task!r} needs the field {name!r}")


def _require_one_of(given: Mapping[str, str], name: str, offered: tuple[str, ...]) -> None:
    if name in given and given[name] not in offered:
        raise UsageError(f"{name} is {given[name]!r}, but must be one of {', '.join(offered)}")


def record(request: Mapping[str, Any]) -> dict[str, Any]:
    """Return the record of one answer, ready to be written as JSON.

    Args:
        request: `task`, `problem`, `answer` and, optional, `key`, `work`, `numbers`, `form`,
            `method`; all of them text.

    Raises:
        UsageError: the request is not complete, or says what is not offered.
    """
    return _as_record(examine(_request(request)))


def _as_record(found: Explanation) -> dict[str, Any]:
    entries = [
        {"id": one.id, "share": round(one.share, 6), "faults": list(one.faults), "says": one.says}
        for one in found.patterns
    ]
    # The rest takes up what rounding leaves, so that the printed shares sum to 1.
    rest = round(1 - sum(round(one.share, 6) for one in found.patterns), 6)
    return {
        "verdict": found.verdict.value,
        "read_as": found.read_as,
        "value": found.value,
        "readings": list(found.readings),
        "patterns": entries,
        "unexplained": None if found.unexplained is None else rest,
        "first_wrong_line": found.first_wrong_line,
        "reason": found.reason,
    }


def stream(lines: Iterable[str]) -> Iterator[str]:
    """Explain one JSON object a line, in order; a bad line gets an error in its place."""
    before = gc.get_threshold()
    gc.set_threshold(*_COLLECTED)
    try:
        for number, line in enumerate(lines, start=1):
            known = _answered(line) if len(line) <= REMEMBERED_LINE else None
            yield known or json.dumps(_of_line(line, number), ensure_ascii=False)
    finally:
        gc.set_threshold(*before)


@lru_cache(maxsize=REMEMBERED)
def _answered(line: str) -> str | None:
    """The record of a line as JSON; None for a bad one, whose error names its number."""
    found = _of_line(line, 0)
    return None if "error" in found else json.dumps(found, ensure_ascii=False)


def _of_line(line: str, number: int) -> dict[str, Any]:
    if not line.strip():
        return {"error": f"line {number}: blank"}
    try:
        request = json.loads(line)
    except (ValueError, RecursionError) as error:
        return {"error": f"line {number}: not a JSON object: {error}"}
    if not isinstance(request, dict):
        return {"error": f"line {number}: expected a JSON object with task, problem and answer"}
    try:
        return record(request)
    except LostrootError as error:
        return {"error": f"line {number}: {error}"}
    except Exception as error:
        # A batch never ends because of one line, whatever is wrong with it or with us.
        return {"error": f"line {number}: internal error ({type(error).__name__})"}


def words(request: Mapping[str, Any]) -> Iterator[str]:
    """Explain one answer in a few plain lines."""
    found = examine(_request(request))
    if found.read_as is not None:
        yield f"Read as: {_harmless(found.read_as)}"
    yield f"Verdict: {_VERDICT_WORDS[found.verdict]}"
    if found.reason:
        yield f"Note: {_harmless(found.reason)}"
    if found.first_wrong_line:
        yield f"The first line that does not follow is line {found.first_wrong_line}."
    elif found.first_wrong_line == 0:
        yield "All lines follow from each other."
    if found.verdict.has_candidates:
        yield from _patterns_in_words(found)


def _patterns_in_words(found: Explanation) -> Iterator[str]:
    if not found.patterns:
        yield "No known error fits."
        return
    yield "What fits:"
    shown = [one for one in found.patterns if one.share >= 0.005] or list(found.patterns)
    for one in shown:
        yield f"  {one.share:4.0%}  {' + '.join(one.faults)}: {one.says}"
    if len(shown) < len(found.patterns):
        yield f"        and {len(found.patterns) - len(shown)} more, each under 1 %"
    yield f"  {found.unexplained or 0.0:4.0%}  no known error fits"
    if len(shown) > 1 and shown[0].share - shown[1].share < 1e-6:
        yield "This answer alone cannot tell the first ones apart."
    yield "A pattern describes this answer, not the person who gave it."


def _harmless(text: str) -> str:
    """Replace control characters, which a terminal would obey."""
    return "".join(one if one.isprintable() else "�" for one in text)


def all_patterns(own: Sequence[OwnPattern] = ()) -> Iterator[str]:
    """Print the catalogue by skill, a course's own patterns after it."""
    skill = ""
    for declared in catalogue():
        if declared.skill != skill:
            skill = declared.skill
            yield f"{skill}"
        yield f"  {declared.id}: {declared.sentence}"
    if own:
        yield "of this course"
    for one in own:
        yield f"  {one.id}: {one.sentence}"


def one_pattern(identifier: str, own: Sequence[OwnPattern] = ()) -> Iterator[str]:
    """Print one pattern with its source and worked wrong examples, or the formulas of an own one.

    Raises:
        UsageError: there is no such pattern; the text names close ids.
    """
    for one in own:
        if one.id == identifier:
            yield f"{one.id} ({one.skill}, of this course)"
            yield one.sentence
            yield f"Source: {one.source or 'this course'}"
            yield f"Wrong answers to {one.task}: {'; '.join(one.wrong)}"
            return
    declared = _pattern(identifier)
    yield f"{declared.id} ({declared.skill})"
    yield declared.sentence
    yield f"Source: {declared.source}"
    yield "Shown by:"
    yield from (_example(one) for one in declared.shows)
    yield "Silent on:"
    yield from (_example(one) for one in declared.silent)


def _pattern(identifier: str) -> Pattern:
    try:
        return pattern_of(identifier)
    except KeyError:
        ids = [declared.id for declared in catalogue()]
        close = difflib.get_close_matches(identifier, ids, n=3, cutoff=0.5)
        hint = f"; did you mean {' or '.join(close)}?" if close else "."
        raise UsageError(
            f"no pattern {identifier!r}{hint} `lostroot patterns` lists them all"
        ) from None


def _example(one: Example) -> str:
    return f"  {one.task}: {one.problem}  ->  {one.answer}"
