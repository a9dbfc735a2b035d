"""How an answer is read where its task has notations of its own: remainders, percent signs."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from pipeline.errors import BudgetExceeded
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.regions import compare
from pipeline.exact.shapes import number_of
from pipeline.exact.trees import Letter, Node, Product, Quotient, Relation, Sum, children, letters
from pipeline.exact.values import Equation, Expression, Interval, Number, Region, Roots
from pipeline.procedures.converting import asked_notation
from pipeline.procedures.dividing import spelled_out
from pipeline.procedures.line_questions import slope_words
from pipeline.reading.answer import read_answer
from pipeline.reading.problems import Problem
from pipeline.reading.records import ReadAnswer, Reading, ReadingContext
from pipeline.records import Request
from pipeline.tagging.lines import read_line
from pipeline.tagging.questions import Question, context_of

__all__ = ["SLOPE_AND_INTERCEPT", "read_as_asked"]

_LETTER: Final = re.compile(r"[A-Za-z]")
_PAIRS: Final = re.compile(
    r"^[\s$]*\\?\{\s*(?:\\left)?\(\s*[A-Za-z]\s*,\s*[A-Za-z]\s*(?:\\right)?\)"
    r"\s*(?:\||:|\\mid|\\vert|such that)\s*([^{}]+?)\s*\\?\}[\s$.]*$"
)
_LENGTHS: Final = re.compile(
    r"^(\s*\d+(?:\.\d+)?\s*[A-Za-z]*?)\s*[xX×]\s*(\d+(?:\.\d+)?\s*[A-Za-z.]*\s*)$"
)
_UPRIGHT: Final = re.compile(r"^[\s$]*([xyXY])\s*=[^=]+$")

_INVERSE: Final = re.compile(r"inverse|\^\s*[({]?\s*[-−]\s*1|⁻¹", re.IGNORECASE)
_INVERSE_NAME: Final = re.compile(
    r"^([\s$]*)(?:(?:the\s+)?inverse(?:\s+(?:function|of\s+[fgh]))?|"
    r"[fgh]\s*(?:\^?\s*[({]?\s*[-−]\s*1\s*[)}]?|⁻¹)|[fgh]\s*_?\s*inv(?:erse)?)"
    r"\s*(?:\(\s*[A-Za-z]\s*\))?\s*(?:=|:|\bis\b)\s*",
    re.IGNORECASE,
)
_SLOPE: Final = r"(?:m|(?:the\s+)?slope)\s*(?:=|:|\bis\b)?\s*(?P<m>[-−+]?[\d./]+)"
_INTERCEPT: Final = (
    r"(?:b|(?:the\s+)?(?:y\s*-?\s*)?int(?:ercept)?\.?)\s*(?:=|:|\bis\b)?\s*(?P<b>[-−+]?[\d./]+)"
)
_BETWEEN: Final = r"\s*(?:[,;&]|\band\b|,\s*and\b|\s)\s*"
_SLOPE_AND_INTERCEPT: Final = tuple(
    re.compile(rf"^\s*{first}{_BETWEEN}{second}\s*\.?\s*$", re.IGNORECASE)
    for first, second in ((_SLOPE, _INTERCEPT), (_INTERCEPT, _SLOPE))
)
SLOPE_AND_INTERCEPT: Final = "slope-and-intercept"
"""The convention by which `m = 2, b = 3` stands for a line."""
_NAME: Final = re.compile(r"^(\s*\$?)\s*[A-Za-z]\s*(?:\(\s*[A-Za-z]\s*\))?\s*=\s*")


def read_as_asked(request: Request, question: Question) -> ReadAnswer:
    """Read an answer as its question is meant.

    A remainder may stand behind the quotient, `x + 3 R 1`, or the check of the division is given,
    `(x + 2)(x + 3) + 1`. A percent sign is no unit to be set aside where another notation than
    percent is asked for: 0.45% is not 0.45. Factors may stand in a list. The name of a rewritten
    function stands before it: `k(x) =`, and that of an inverse, `f-1(x) =`. An infinite slope is
    none. `x = 3` is a line, and so is `m = 2, b = 3`. Pairs such as {(x, y) | 3x - 2y = 6} are
    told by their equation, two lengths as 8 x 12.
    """
    read = read_answer(_as_typed(request, question), context_of(request, question))
    return _as_meant(replace(read, raw=request.answer), request, question)


def _as_typed(request: Request, question: Question) -> str:
    """Return the answer in the notation of all tasks."""
    match request.task:
        case "divide" if question.problem is not None:
            return spelled_out(request.answer, question.problem)
        case "rewrite":
            return _NAME.sub(r"\1", request.answer)
        case "function" if _INVERSE.search(request.problem):
            return _INVERSE_NAME.sub(r"\1", request.answer)
        case "slope":
            return slope_words(request.answer)
        case "solve":
            pairs = _PAIRS.match(request.answer)
            text = pairs[1] if pairs else request.answer
            return _LENGTHS.sub(r"\1, \2", text) if _asks_two(question) else text
    return request.answer


def _asks_two(question: Question) -> bool:
    return question.problem is not None and len(question.problem.asked) == 2


def _as_meant(read: ReadAnswer, request: Request, question: Question) -> ReadAnswer:
    """Return the readings as the task means them."""
    asked = question.problem
    if request.task == "solve" and asked is not None:
        read = _check_as_number(read, asked, context_of(request, question))
    if request.task == "domain" or (asked is not None and asked.is_inequality):
        read = _with_interval(read)
    match request.task:
        case "divide" if question.problem is not None:
            division = question.problem.tree
            found = [_check_undone(one, division) for one in read.readings]
        case "solve" if _asks_two(question):
            found = [_both_sides(one) for one in read.readings]
        case "evaluate" if asked is not None:
            found = [_behind_expression(one, asked.tree) for one in read.readings]
            if "%" in request.problem:  # 15% of 80 is no percentage
                found = [one for one in found if one.convention != "percent"]
        case "factor":
            found = [_multiplied(one) for one in read.readings]
        case "line":
            return _as_line(read, context_of(request, question))
        case "convert" if asked_notation(request.problem) not in (None, "percent"):
            found = [one for one in read.readings if one.convention != "percent"]
        case _:
            return read
    return replace(read, readings=tuple(found))


def _check_as_number(read: ReadAnswer, asked: Problem, context: ReadingContext) -> ReadAnswer:
    """Take the number that was put into the question, `3*4 = 12` for 3x = 12, for the answer."""
    if len(asked.relations) != 1 or "=" not in read.raw or _LETTER.search(read.raw):
        return read
    line = read_line(1, read.raw, context, None)
    bound: set[Node] = set()
    if line is None or len(line.relations) != 1:
        return read
    if not _puts_in(asked.relations[0], line.relations[0], bound) or len(bound) != 1:
        return read
    told = ("the number that was put into the question",)
    return replace(read, readings=(Reading(number_of(bound.pop()), told, "check"),))


def _puts_in(pattern: Node, node: Node, bound: set[Node]) -> bool:
    """Whether a tree is another with numbers in place of its letter; collects these numbers."""
    if isinstance(pattern, Letter):
        bound.add(node)
        return not letters(node)
    parts, others = children(pattern), children(node)
    if type(pattern) is not type(node) or len(parts) != len(others):
        return False
    if not parts:
        return pattern == node
    return all(_puts_in(a, b, bound) for a, b in zip(parts, others, strict=True))


def _with_interval(read: ReadAnswer) -> ReadAnswer:
    """Take two numbers in square brackets for an interval where a region is asked for."""
    first = read.readings[0].value if read.readings else None
    if not isinstance(first, Roots) or len(first.members) != 2 or read.raw.lstrip()[:1] != "[":
        return read
    low, high = first.members
    ends = low.surd, high.surd
    if None in ends or not all(one.is_real for one in ends if one) or compare(low, high) >= 0:
        return read
    interval = Reading(Region((Interval(low, high, False, False),)))
    return replace(read, readings=(interval, *read.readings))


def _both_sides(reading: Reading) -> Reading:
    """Take a product of two numbers for two lengths where two quantities are asked for."""
    match reading.value:
        case Number(tree=Product((first, second))):
            return replace(reading, value=Roots((number_of(first), number_of(second))))
    return reading


def _behind_expression(reading: Reading, tree: Node) -> Reading:
    """Take the number of `2x + 3 = 13` where the value of 2x + 3 is asked for."""
    match reading.value:
        case Equation(Relation((first, second), ("=",))) if first == tree and not letters(second):
            try:
                return replace(reading, value=number_of(second))
            except (BudgetExceeded, ZeroDivisionError):
                return reading
    return reading


def _multiplied(reading: Reading) -> Reading:
    """Take a list of factors, `x + 3, x - 3`, for their product."""
    value = reading.value
    if not isinstance(value, Roots):
        return reading
    factors = tuple(one.tree for one in value.members)
    if sum(bool(letters(one)) for one in factors) < 2:
        return reading
    remarks = ("the factors in a list stand for their product", *reading.remarks)
    product = Expression(Product(factors))
    return replace(reading, value=product, remarks=remarks, convention="factor-list")


def _check_undone(reading: Reading, division: Node) -> Reading:
    """Take `divisor * quotient + remainder` for a division that is still to be written as one."""
    value = reading.value
    if not isinstance(value, Expression) or not isinstance(division, Quotient):
        return reading
    terms = value.tree.terms if isinstance(value.tree, Sum) else (value.tree,)
    products = [term for term in terms if isinstance(term, Product)]
    try:
        divisor = polynomial_of(division.denominator)
        factors = [polynomial_of(one) for term in products for one in term.factors]
        whole = divisor in factors and polynomial_of(value.tree)
        if not whole or whole != polynomial_of(division.numerator):
            return reading
    except (BudgetExceeded, ZeroDivisionError):
        return reading
    remarks = (*reading.remarks, "the dividend, written as divisor times quotient")
    undone = Expression(Quotient(value.tree, division.denominator))
    return replace(reading, value=undone, remarks=remarks)


def _as_line(read: ReadAnswer, context: ReadingContext) -> ReadAnswer:
    """Keep the letter of `x = 3`, elsewhere a label; take slope and intercept for the line."""
    for pattern in _SLOPE_AND_INTERCEPT:
        told = pattern.match(read.raw)
        if told:
            line = read_answer(f"y = ({told['m']})x + ({told['b']})", context)
            readings = [replace(one, convention=SLOPE_AND_INTERCEPT) for one in line.readings]
            return replace(line, raw=read.raw, readings=tuple(readings))
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
