"""How an answer is read where its task has notations of its own: remainders, percent signs."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from pipeline.exact.trees import Letter, Relation
from pipeline.exact.values import Equation, Number, Roots
from pipeline.procedures.converting import asked_notation
from pipeline.procedures.dividing import spelled_out
from pipeline.procedures.line_questions import slope_words
from pipeline.reading.answer import read_answer
from pipeline.reading.records import ReadAnswer, Reading
from pipeline.records import Request
from pipeline.tagging.questions import Question, context_of

__all__ = ["read_as_asked"]

_PAIRS: Final = re.compile(
    r"^[\s$]*\\?\{\s*(?:\\left)?\(\s*[A-Za-z]\s*,\s*[A-Za-z]\s*(?:\\right)?\)"
    r"\s*(?:\||:|\\mid|\\vert|such that)\s*([^{}]+?)\s*\\?\}[\s$.]*$"
)
_LENGTHS: Final = re.compile(
    r"^(\s*\d+(?:\.\d+)?\s*[A-Za-z]*?)\s*[xX×]\s*(\d+(?:\.\d+)?\s*[A-Za-z.]*\s*)$"
)
_UPRIGHT: Final = re.compile(r"^[\s$]*([xyXY])\s*=[^=]+$")

_NAME: Final = re.compile(r"^(\s*\$?)\s*[A-Za-z]\s*(?:\(\s*[A-Za-z]\s*\))?\s*=\s*")


def read_as_asked(request: Request, question: Question) -> ReadAnswer:
    """Read an answer as its question is meant.

    A remainder may stand behind the quotient: `x + 3 R 1`. A percent sign is no unit to be set
    aside where another notation than percent is asked for: 0.45% is not 0.45. The name of a
    rewritten function stands before it: `k(x) =`. An infinite slope is none. `x = 3` is a line.
    Pairs such as {(x, y) | 3x - 2y = 6} are told by their equation, two lengths as 8 x 12.
    """
    context = context_of(request, question)
    if request.task == "divide" and question.problem is not None:
        read = read_answer(spelled_out(request.answer, question.problem), context)
        return replace(read, raw=request.answer)
    if request.task == "rewrite":
        read = read_answer(_NAME.sub(r"\1", request.answer), context)
        return replace(read, raw=request.answer)
    if request.task == "solve":
        return replace(read_answer(_as_typed(request, question), context), raw=request.answer)
    if request.task == "line":
        return _as_line(read_answer(request.answer, context))
    if request.task == "slope":
        read = read_answer(slope_words(request.answer), context)
        return replace(read, raw=request.answer)
    read = read_answer(request.answer, context)
    if request.task == "convert" and asked_notation(request.problem) not in (None, "percent"):
        kept = tuple(one for one in read.readings if one.convention != "percent")
        return replace(read, readings=kept)
    return read


def _as_typed(request: Request, question: Question) -> str:
    """Return the equation of a set of pairs, and two lengths as a list."""
    pairs = _PAIRS.match(request.answer)
    if pairs:
        return pairs[1]
    problem = question.problem
    if problem is None or len(problem.asked) != 2 or "x" in problem.letters:
        return request.answer
    return _LENGTHS.sub(r"\1, \2", request.answer)


def _as_line(read: ReadAnswer) -> ReadAnswer:
    """Keep the letter of `x = 3`, which elsewhere is a label of the number."""
    named = _UPRIGHT.match(read.raw)
    if not named:
        return read
    return replace(read, readings=tuple(_upright(one, named[1]) for one in read.readings))


def _upright(reading: Reading, letter: str) -> Reading:
    value = reading.value
    if isinstance(value, Roots) and len(value.members) == 1:
        value = value.members[0]
    if not isinstance(value, Number):
        return reading
    relation = Relation((Letter(letter.casefold()), value.tree), ("=",))
    return replace(reading, value=Equation(relation))
