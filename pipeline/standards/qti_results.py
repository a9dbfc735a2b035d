"""Answers out of QTI results: one `assessmentResult` is what one student did.

Source: 1EdTech QTI Results Reporting 2.1 (2012), 2.2 (2015) and 3.0 (2022). Elements are told by
namespace and local name, under any prefix; they keep their names in all three versions.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import groupby
from typing import BinaryIO

from pipeline.errors import InputError
from pipeline.standards.answer_records import ItemAnswer, LeftOut, Response, seconds_of
from pipeline.standards.qti_records import RESULT_SPACES, version_of
from pipeline.standards.xml_reading import (
    Element,
    attribute,
    children,
    elements,
    local_name,
    number,
    text_of,
)

MAX_ITEM_RESULTS = 100_000
"""Item results of one student in one file."""
_BUILT_IN = ("numAttempts", "duration", "completionStatus")
_WANTED = frozenset({"context", "testResult", "itemResult"})
_NOBODY = "nobody is named: <context> has no sourcedId; export with the identifier of the student"
_NOT_BEGUN = "the question was not begun (no attempt was made), so there is no answer"
_NO_RESPONSE = "the result holds no response of the student"
_OVERTAKEN = "a later state of the same attempt stands in the file, and counts in its place"
_FILE = "what was handed in is a file, which is not read"
_SAVED = "answers that were saved and not handed in (pendingSubmission)"


@dataclass(frozen=True, slots=True)
class _Result:
    """One item result; `number` is its place in the file."""

    number: int
    answer: ItemAnswer


def result_answers(stream: BinaryIO, name: str) -> Iterator[ItemAnswer | LeftOut]:
    """Answers of one results file, question by question, each question's in order of time.

    An answer that was handed in again unchanged comes with the attempt and the time of the first,
    so that it is the same answer.

    Args:
        stream: of the file's bytes; it is read to its end before anything is given.
        name: how messages call it.

    Raises:
        InputError: broken XML, another kind of file, or too many results; names file, line, column.
    """
    read = elements(stream, name, _WANTED)
    root = next(read)
    if local_name(root) != "assessmentResult":
        raise InputError(
            f"{name}:{root.sourceline or 1}:1: the root element is <{local_name(root)}>; expected "
            "assessmentResult. Export the results as QTI results reporting."
        )
    version_of(root, RESULT_SPACES, name)
    yield from list(_answers(read, name))


def _answers(read: Iterable[Element], name: str) -> Iterator[ItemAnswer | LeftOut]:
    student = quiz = ""
    results: list[_Result] = []
    for element in read:
        kind = local_name(element)
        if kind == "context":
            student = attribute(element, "sourcedId")
        elif kind == "testResult":
            quiz = attribute(element, "identifier")
        else:
            if len(results) >= MAX_ITEM_RESULTS:
                raise InputError(
                    f"{name}:{element.sourceline or 1}:1: more than {MAX_ITEM_RESULTS:,} item "
                    "results of one student. Export it again in smaller parts."
                )
            found = _answer(element, student, quiz)
            if isinstance(found, ItemAnswer):
                results.append(_Result(len(results), found))
            else:
                yield found
    yield from _in_order(results)


def _answer(element: Element, student: str, quiz: str) -> ItemAnswer | LeftOut:
    line = element.sourceline or 1
    variables = list(children(element, "responseVariable"))
    own = [one for one in variables if not _is_built_in(attribute(one, "identifier"))]
    typed = [one for one in own if attribute(one, "baseType") != "file"]
    responses = tuple(_response(one) for one in typed)
    given = any(any(one.values) for one in responses)
    attempt = _whole(_only_value(variables, "numAttempts"))
    status = attribute(element, "sessionStatus")
    if status == "initial" or (attempt == 0 and not given):
        return LeftOut(line, _NOT_BEGUN, needs_look=False)
    if not responses:
        return LeftOut(line, _FILE if own else _NO_RESPONSE, needs_look=False)
    if not student:
        return LeftOut(line, _NOBODY)
    score, points = _score(element)
    return ItemAnswer(
        line=line,
        student=student,
        item=attribute(element, "identifier"),
        responses=responses,
        answered_at=attribute(element, "datestamp"),
        attempt=attempt or None,
        score=score,
        points=points,
        seconds=seconds_of(_only_value(variables, "duration")),
        quiz=quiz,
        templates=_templates(element),
        note=_SAVED if status == "pendingSubmission" else "",
    )


def _is_built_in(identifier: str) -> bool:
    """Whether a variable counts or times; the clock of a section is called `S01.duration`."""
    return identifier in _BUILT_IN or identifier.endswith(".duration")


def _response(variable: Element) -> Response:
    return Response(
        attribute(variable, "identifier"),
        _values(variable, "candidateResponse"),
        attribute(variable, "baseType"),
        _values(variable, "correctResponse"),
    )


def _values(variable: Element, kind: str) -> tuple[str, ...]:
    given = next(children(variable, kind), None)
    values = [] if given is None else list(children(given, "value"))
    if attribute(variable, "cardinality") == "record":
        values = _of_record(values)
    return tuple(text for one in values if (text := text_of(one).strip()))


def _of_record(values: list[Element]) -> list[Element]:
    """Fields of a record; of a number with its parts, the text that was typed.

    QTI 2.1 ASI 7.4.4: a text entry bound to a record has the field `stringValue` beside others
    that are worked out from it.
    """
    typed = [one for one in values if attribute(one, "fieldIdentifier") == "stringValue"]
    return typed or values


def _only_value(variables: Iterable[Element], identifier: str) -> str:
    for one in variables:
        if attribute(one, "identifier") == identifier:
            given = next(children(one, "candidateResponse"), one)
            return text_of(next(children(given, "value"), None)).strip()
    return ""


def _whole(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 7 else None


def _score(element: Element) -> tuple[float | None, float | None]:
    """SCORE, and MAXSCORE or else the normal maximum of SCORE."""
    outcomes = {attribute(one, "identifier"): one for one in children(element, "outcomeVariable")}
    scored = outcomes.get("SCORE")
    if scored is None:
        return None, None
    most = number(_only_value(outcomes.values(), "MAXSCORE"))
    if most is None:
        most = number(attribute(scored, "normalMaximum"))
    return number(_only_value(outcomes.values(), "SCORE")), most


def _templates(element: Element) -> dict[str, str]:
    return {
        attribute(one, "identifier"): ", ".join(
            text_of(value).strip() for value in children(one, "value")
        )
        for one in children(element, "templateVariable")
    }


def _in_order(results: list[_Result]) -> Iterator[ItemAnswer | LeftOut]:
    """Answers to one question after another, in order of time; states of one attempt are one."""

    def when(one: _Result) -> tuple[str, str, int, int]:
        answer = one.answer
        return answer.item, answer.answered_at, answer.attempt or 0, one.number

    for _, group in groupby(sorted(results, key=when), key=lambda one: one.answer.item):
        answers = [one.answer for one in group]
        last = {one.attempt: one for one in answers if one.attempt is not None}
        before: ItemAnswer | None = None
        number = 0
        for one in answers:
            if one.attempt is not None and last[one.attempt] is not one:
                yield LeftOut(one.line, _OVERTAKEN, needs_look=False)
                continue
            if before is not None and _same(before, one):
                yield replace(one, attempt=before.attempt, answered_at=before.answered_at)
            else:
                number += 1
                before = replace(one, attempt=one.attempt or number)
                yield before


def _same(one: ItemAnswer, other: ItemAnswer) -> bool:
    def told(answer: ItemAnswer) -> list[tuple[str, tuple[str, ...]]]:
        return [(response.identifier, response.values) for response in answer.responses]

    return told(one) == told(other) and one.templates == other.templates
