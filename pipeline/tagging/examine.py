"""One answer, examined: read, judged, matched with predictions, checked against its working."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final, TypeAlias

from pipeline.exact.values import numbers_of, value_key, value_source, value_words
from pipeline.reading.answer import read_answer
from pipeline.reading.conventions import PRODUCT_OF_MIXED, WITH_BRACKETS
from pipeline.reading.judge import Judgement, RightAnswer, judge
from pipeline.reading.lines import MOST_LINES, texts_of
from pipeline.reading.records import ReadAnswer, Reading
from pipeline.records import WITHOUT_PROBLEM, Candidate, Explanation, OwnPattern, Request, Verdict
from pipeline.tagging.following import with_working
from pipeline.tagging.match import candidates, shared, unexplained_weight
from pipeline.tagging.own_patterns import with_own_patterns
from pipeline.tagging.predict import predictions
from pipeline.tagging.questions import Question, context_of, form_of, question_of, read_as_asked
from pipeline.tasks.catalogue import TASKS
from pipeline.tasks.unfinished import with_what_is_left

Explained: TypeAlias = tuple[tuple[Candidate, ...], float]
"""Candidates, and the share that no known pattern explains."""
_NONE: Final[Mapping[tuple[str, ...], Explained]] = {}


def examine(
    request: Request,
    own: Sequence[OwnPattern] = (),
    before: Mapping[tuple[str, ...], Explained] = _NONE,
) -> Explanation:
    """Say how an answer stands, and which error patterns explain it if it is wrong.

    Args:
        request: the answer and its question.
        own: error patterns of the course, beside those of the catalogue.
        before: what explains wrong answers to this question, by the source of all their readings;
            not looked at for one with a decimal or with working.

    Raises:
        UsageError: the request asks for an unknown form.
    """
    question = question_of(request)
    read = read_as_asked(request, question)
    if question.right is None:
        verdict = _without_key(request, question, read)
        reason = question.reason if verdict is Verdict.NO_KEY else read.reason or question.reason
        return _explanation(verdict, read, _first(read), reason)
    judgement = _judged(request, question, question.right, read)
    used = judgement.used or _first(read)
    found = _explanation(judgement.verdict, read, used, _reason(judgement, question))
    found = replace(found, brackets=judgement.brackets)
    if found.verdict.has_candidates and used is not None:
        plain = not request.work and not _has_decimal(read)
        known = before.get(found.readings) if plain else None
        if known is not None:
            found = replace(found, patterns=known[0], unexplained=known[1])
        else:
            wrong = _without_right(read) if judgement.brackets else read
            found = _with_patterns(request, question, wrong, used, found, own)
        if judgement.brackets:  # brackets left out are likelier than two errors that look alike
            alone = [one for one in found.patterns if len(one.faults) == 1]
            patterns, rest = shared(alone, unexplained_weight(used.value, request.task))
            found = replace(found, patterns=patterns, unexplained=rest)
    if request.work and request.work.strip() and question.problem is not None:
        found = with_working(request, question.problem, used, found)
    return found


def _judged(
    request: Request, question: Question, right: RightAnswer, read: ReadAnswer
) -> Judgement:
    """Judge an answer; brackets that it misses may stand in the working."""
    form, places = form_of(request), request.min_places
    found = judge(read, right, form, request.numbers, places, request.missing_brackets)
    if found.verdict is Verdict.RIGHT_IF_MEANT and request.work:
        context = context_of(request, question)
        for line in texts_of(request.work, context)[:MOST_LINES]:
            shown = judge(read_answer(line, context), right, form, request.numbers, places)
            if shown.verdict in (Verdict.RIGHT, Verdict.RIGHT_OTHER_FORM):
                found = judge(read, right, form, request.numbers, places, "meant")
                break
    task = TASKS.get(request.task)
    return with_what_is_left(found, right, task, question.problem) if task else found


def _without_right(read: ReadAnswer) -> ReadAnswer:
    """Leave out the readings with brackets, of which one is right."""
    kept = [one for one in read.readings if one.convention not in WITH_BRACKETS]
    return replace(read, readings=tuple(kept))


def _has_decimal(read: ReadAnswer) -> bool:
    values = [one.value for one in read.readings]
    return any(number.places is not None for value in values for number in numbers_of(value))


def _without_key(request: Request, question: Question, read: ReadAnswer) -> Verdict:
    """Where the question cannot be read, an answer that cannot be read either is not to blame."""
    if not read.readings:
        known = question.problem is not None or request.task in WITHOUT_PROBLEM
        return Verdict.UNREADABLE if known else Verdict.NO_KEY
    blank = value_source(read.readings[0].value) in ("EMPTY", "DONT_KNOW")
    return Verdict.BLANK if blank else Verdict.NO_KEY


def _first(read: ReadAnswer) -> Reading | None:
    return read.readings[0] if read.readings else None


def _reason(judgement: Judgement, question: Question) -> str | None:
    return "; ".join(filter(None, (question.reason, judgement.reason))) or None


def _explanation(
    verdict: Verdict, read: ReadAnswer, used: Reading | None, reason: str | None
) -> Explanation:
    if used is None:
        return Explanation(verdict, reason=reason)
    others = [one for one in read.readings if one is not used]
    return Explanation(
        verdict,
        read_as=value_words(used.value),
        value=value_source(used.value),
        value_key=value_key(used.value),
        readings=tuple(value_source(one.value) for one in (used, *others)),
        reason=reason,
    )


def _with_patterns(
    request: Request,
    question: Question,
    read: ReadAnswer,
    used: Reading,
    found: Explanation,
    own: Sequence[OwnPattern],
) -> Explanation:
    """Add the candidates; none where the answer is the computed one and the key another."""
    found = replace(found, unexplained=1.0)
    if _is_computed(request, question, read):
        return found
    others = [one for one in read.readings if one.convention != PRODUCT_OF_MIXED]
    values = [used.value, *(one.value for one in others if one is not used)]
    if question.problem is not None:
        known = predictions(request.task, request.question, request.numbers, request.method)
        fitting, rest = candidates(known, values, request.task, request.min_places)
        found = replace(found, patterns=fitting, unexplained=rest)
    return with_own_patterns(own, request, values, found)


def _is_computed(request: Request, question: Question, read: ReadAnswer) -> bool:
    if question.computed is None:
        return False
    right, places = question.computed, request.min_places
    verdict = judge(read, right, "any", request.numbers, places, "meant").verdict
    return verdict in (Verdict.RIGHT, Verdict.RIGHT_OTHER_FORM)
