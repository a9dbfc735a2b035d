"""Rows of the list of questions, drafted from what sources hold, each with how sure it is.

A claim, that a value solves an equation or that an equation always holds, is worked out first.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import count
from typing import Final, Literal

from pipeline.drafting.computed import computed_answer, is_right
from pipeline.drafting.lines import SourceQuestion
from pipeline.records import Request
from pipeline.tagging.choices import option_of
from pipeline.tagging.questions import KEYS_DIFFER, Question, question_of
from pipeline.wording import Asked, asked_by, letters_of, numbering_of

_ONE_ROOT: Final = re.compile(r"\b(?:a|one|the) (?:solution|root|zero)\b", re.IGNORECASE)
"""Words that ask for one solution of an equation, whether or not it has others."""


def _holds(claim: str) -> bool | None:
    """Whether a claim is true; None where that cannot be computed.

    Args:
        claim: an equation that is said to hold for all numbers; or, with `;` between, a value, a
            letter with its value, or a point, and the equations that it is said to solve.
    """
    first, *relations = claim.split("; ")
    if not relations:
        return _always(first)
    letters = sorted(set().union(*map(letters_of, relations)) - {"e", "i"})
    values = first.strip("() ").split(",")
    if len(values) == 1 and "=" in first:
        letters, values = [first.partition("=")[0].strip()], [first.partition("=")[2]]
    if len(letters) != len(values):
        return None
    at = ", ".join(f"{name} = {text.strip()}" for name, text in zip(letters, values, strict=True))
    told = [_is_zero("evaluate", one, f" at {at}") for one in relations]
    return None if None in told else all(told)


def _always(relation: str) -> bool | None:
    if letters_of(relation):
        told = _is(Request("number-of-solutions", relation, ""), "all real numbers")
        if told is not None or re.search(r"sqrt|cbrt|[|<>!]", relation):
            return told
    return _is_zero("simplify", relation)


def _is_zero(task: str, relation: str, at: str = "") -> bool | None:
    """Whether the sides of an equation are equal."""
    left, equals, right = relation.partition("=")
    if not equals or left.endswith(("<", ">", "!")):
        return None
    return _is(Request(task, f"({left}) - ({right}){at}", ""), "0")


def _is(request: Request, text: str) -> bool | None:
    question = question_of(request)
    return None if question.right is None else is_right(text, request, question, question.right)


Status = Literal["sure", "look", "cannot"]
SURE: Final = "sure"
LOOK: Final = "look"
CANNOT: Final = "cannot"
_WORD: Final = re.compile(r"[A-Za-z]{3,}.*\s")


@dataclass(frozen=True, slots=True)
class DraftRow:
    """One drafted row.

    Args:
        cells: column -> text, of the list's columns that are not empty.
        status: `sure` where every word is accounted for and the key was computed; `look`; `cannot`
            where a person has to supply what is missing.
        why: what to look at; "" for a sure one.
        source: where the question stands.
    """

    cells: dict[str, str] = field(default_factory=dict)
    status: Status = SURE
    why: str = ""
    source: str = ""

    def doubted(self, why: str) -> DraftRow:
        """The same row, to be looked at for one more reason."""
        status: Status = LOOK if self.status == SURE else self.status
        return replace(self, status=status, why="; ".join(filter(None, (self.why, why))))


def drafted(
    questions: Iterable[SourceQuestion], taken: Iterable[str], known: Iterable[str]
) -> Iterator[DraftRow]:
    """Draft a row for each question that the list lacks.

    Args:
        questions: in the order of their sources.
        taken: ids that the list has.
        known: what `marks_of` gives for the rows of the list.
    """
    ids, listed = set(taken), set(known)
    seen: set[str] = set()
    for one in questions:
        row = _row(one)
        marks = marks_of({"wording": one.wording if _WORD.search(one.wording) else "", **row.cells})
        if marks & listed or (not one.cannot and marks & seen):
            continue
        seen |= marks
        name = _free(one, ids)
        ids.add(name)
        yield replace(row, cells={"item": name, **row.cells})


def marks_of(cells: Mapping[str, str]) -> set[str]:
    """What tells a question again: its words, and its problem under its task."""
    marks = {
        _bare(cells[name]) for name in ("wording", "problem") if _WORD.search(cells.get(name, ""))
    }
    if cells.get("problem") and cells.get("task") not in (None, "choice", "skip"):
        marks.add(f"{cells['task'].casefold()}: {_bare(cells['problem'])}")
    return marks


def _bare(text: str) -> str:
    return re.sub(r"[\s.:?!]+", "", numbering_of(text).rest).casefold()


def _free(one: SourceQuestion, ids: set[str]) -> str:
    """The number that the source gives, made its own where another question has it."""
    group = one.quiz or one.topic
    named = (one.id, f"{group} {one.id}" if group else "") if one.id else ()
    for name in filter(None, named):
        if name not in ids:
            return name
    numbers = count(2) if one.id else count(1)
    names = (f"{one.id} ({number})" if one.id else f"q{number}" for number in numbers)
    return next(name for name in names if name not in ids)


def _row(one: SourceQuestion) -> DraftRow:
    asked = asked_by(one.wording, one.instruction, one.topic)
    cells = {
        "topic": one.topic or one.quiz or "all questions",
        "quiz": one.quiz,
        "wording": _wording(one, asked),
    }
    base = DraftRow({name: text for name, text in cells.items() if text}, source=one.source)
    if one.cannot:
        return replace(base, status=CANNOT, why=one.cannot)
    if one.options or asked.options:
        return _choice(base, replace(one, options=one.options or asked.options), asked)
    if asked.task in ("", "translate"):
        return _without_task(base, one, asked)
    if asked.task == "skip":
        row = _with(base, task="skip")
        return row.doubted(asked.doubt) if asked.doubt else row
    return _computed(base, one, asked)


def _wording(one: SourceQuestion, asked: Asked) -> str:
    """What exports may call the question by, the instruction in front where it told the task."""
    if one.shown_as:
        return one.shown_as
    text = re.sub(r"\s+(?=[.,?!])", "", one.wording)
    own = asked_by(text)
    alone = not one.instruction or not asked.task or (own.task and own.verb)
    return text if alone else f"{one.instruction.rstrip(' .:')}: {text}"


def _with(row: DraftRow, **cells: str | None) -> DraftRow:
    more = {name: text for name, text in cells.items() if text}
    return replace(row, cells={**row.cells, **more})


def _without_task(row: DraftRow, one: SourceQuestion, asked: Asked) -> DraftRow:
    if asked.task == "translate" and one.key:
        row = _with(row, task="translate", problem=one.wording, answer=one.key)
        return row.doubted("the key of the source is taken for the algebra behind the words")
    if one.key:
        row = _with(row, task="judge", problem=one.wording, answer=one.key)
        return row.doubted(f"judged by the key alone: {asked.doubt}")
    return replace(_with(row, problem=asked.problem), status=CANNOT, why=asked.doubt)


def _computed(base: DraftRow, one: SourceQuestion, asked: Asked) -> DraftRow:
    request = _request(asked, one.key)
    question = question_of(request)
    row = _with(
        base,
        task=asked.task,
        problem=asked.problem,
        form=asked.form,
        numbers="complex" if asked.numbers == "complex" else None,
        method=asked.method,
        keep=asked.keep,
        asked=asked.asked,
        computed=computed_answer(request),
    )
    if question.reason == KEYS_DIFFER and not asked.verb:
        return _without_task(base, one, asked)
    if question.reason == KEYS_DIFFER:
        return _with(row, answer=one.key).doubted(
            f"the source gives the key {one.key}, computed is {computed_answer(request)}"
        )
    if question.right is None or question.problem is None:
        return _not_computed(row, question, asked)
    if question.computed is None and one.key and question_of(_request(asked, "")).right is None:
        row = _with(row, answer=one.key, computed=None)
        return row.doubted("no answer could be computed; the key of the source counts")
    return row.doubted(asked.doubt) if asked.doubt else row


def _not_computed(row: DraftRow, question: Question, asked: Asked) -> DraftRow:
    """A row whose key is missing waits for a person: without its task it is not judged wrongly."""
    cells = {name: text for name, text in row.cells.items() if name != "task"}
    why = f"taken for `{asked.task}`, but {question.reason or 'no answer could be computed'}"
    return replace(row, cells=cells, status=CANNOT, why=why)


def _request(asked: Asked, key: str) -> Request:
    return Request(
        asked.task, asked.problem, "", key or None,
        numbers=asked.numbers, form=asked.form, method=asked.method,
        asked=asked.asked, keep=asked.keep,
    )  # fmt: skip


def _choice(row: DraftRow, one: SourceQuestion, asked: Asked) -> DraftRow:
    """Options, the right one told by the source's key, else by what is computed."""
    row = _with(row, task="choice", options="\n".join(one.options))
    row = _with(row, problem=one.wording if asked.options else asked.problem or one.wording)
    right = _right_option(one, asked)
    key = option_of(one.key, one.options) if one.key else None
    if key:
        row = _with(row, answer=key)
        if right and right != key:
            return row.doubted(f"the source gives the key {key}, computed is {right}")
        return row
    if right is None:
        cells = {name: text for name, text in row.cells.items() if name != "task"}
        return replace(
            row, cells=cells, status=CANNOT, why="no key: write the right option as answer"
        )
    row = _with(row, answer=right, computed=right)
    return row.doubted(asked.doubt) if asked.doubt else row


def _right_option(one: SourceQuestion, asked: Asked) -> str | None:
    """The one option that equals the computed answer; None where none or several do."""
    if asked.options == one.options:
        true = _holds(asked.problem) if asked.problem else None
        return None if true is None else one.options[0 if true else 1]
    if asked.task in ("", "skip", "translate", "choice"):
        return None
    request = _request(asked, "")
    question = question_of(request)
    if question.right is None:
        return None
    fits = [text for text in one.options if is_right(text, request, question, question.right)]
    if not fits and asked.task == "solve" and _ONE_ROOT.search(one.wording):
        fits = [text for text in one.options if _holds(f"{text}; {asked.problem}")]
    return fits[0] if len(fits) == 1 else None
