"""The right answer as computed, in the form that is asked for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal, localcontext
from fractions import Fraction
from math import floor, log10

from pipeline.errors import CannotBeWorked
from pipeline.exact.numeric import numeric_value
from pipeline.exact.printing import tree_words
from pipeline.exact.trees import Node
from pipeline.exact.values import Expression, Number, Value, members_of, value_words
from pipeline.procedures.walk import right_ending
from pipeline.reading.answer import read_answer
from pipeline.reading.judge import RightAnswer, judge
from pipeline.records import Request, Verdict
from pipeline.tagging.questions import Question, context_of, form_of, question_of
from pipeline.tasks.catalogue import plans, read_problem
from pipeline.tasks.convert import asked_notation


def computed_answer(request: Request) -> str | None:
    """What is right of a question, whatever key it has; None where nothing can be computed.

    Several ways of writing it are judged like a student's answer; the first that is right in the
    form asked for is taken, else the value itself.
    """
    plain = replace(request, key=None)
    question = question_of(plain)
    if question.right is None or question.problem is None:
        return None
    for text in _written(question.right.value, plain):
        if is_right(text, plain, question, question.right, form_too=True):
            return text
    return value_words(question.right.value)


def is_right(
    text: str, request: Request, question: Question, right: RightAnswer, *, form_too: bool = False
) -> bool:
    """Whether a typed answer is right, in the form asked for or in any."""
    read = read_answer(text, context_of(request, question))
    verdict = judge(read, right, form_of(request), request.numbers).verdict
    return verdict is Verdict.RIGHT or (not form_too and verdict is Verdict.RIGHT_OTHER_FORM)


def _written(value: Value, request: Request) -> Iterator[str]:
    places = [part[8:] for part in form_of(request).split("+") if part.startswith("decimal:")]
    if places and (numbers := members_of(value)):
        yield " or ".join(_rounded(one, int(places[0])) for one in numbers)
    exact = _fraction(value)
    if exact is not None and request.task == "convert":
        if asked_notation(request.problem) == "percent":
            yield f"{next(_notations(exact))}%"
        yield from _notations(exact)
    if request.task == "number-of-solutions":
        yield "infinitely many"
    yield value_words(value)
    if isinstance(value, Expression):
        yield from _worked(request)
    if request.task == "factor" and isinstance(value, Expression):
        yield from _factored(value)
    if exact is not None:
        yield from _notations(exact)


def _worked(request: Request) -> Iterator[str]:
    """The answer as procedures end in it: a sum of logarithms as one, or one as a sum."""
    for plan in plans(read_problem(request.problem, request.task)):
        ending = right_ending(plan)
        if isinstance(ending, Node):
            yield tree_words(ending)


def _rounded(number: Number, places: int) -> str:
    value = numeric_value(number.tree)
    with localcontext() as context:
        context.prec = 50
        return str(round(Decimal(str(value)), places)) if value.imag == 0 else value_words(number)


def _factored(value: Expression) -> Iterator[str]:
    # Imported late: sympy is wanted for this alone.
    import sympy

    from pipeline.procedures.symbolic_solving import sympy_of

    try:
        text = str(sympy.factor(sympy_of(value.tree)))
        yield text.replace("**", "^").replace("*", "")
    except (CannotBeWorked, NotImplementedError, TypeError, ValueError):
        return


def _fraction(value: Value) -> Fraction | None:
    surd = value.surd if isinstance(value, Number) else None
    if surd is None or any(radicand != 1 for radicand, _ in surd.terms):
        return None
    return Fraction(sum(one for _, one in surd.terms), surd.denominator)


def _notations(value: Fraction) -> Iterator[str]:
    """A rational number as decimal, percent, mixed number, and in scientific notation."""
    rest = value.denominator
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
    if rest == 1:
        decimal = format(Decimal(value.numerator) / Decimal(value.denominator), "f")
        yield decimal
        yield f"{decimal}%"
        if value:
            exponent = floor(log10(abs(value)))
            lead = value / Fraction(10) ** exponent
            yield f"{float(lead):g} * 10^{exponent}"
    whole, part = divmod(abs(value), 1)
    if whole and part:
        yield f"{'-' if value < 0 else ''}{whole} {part.numerator}/{part.denominator}"
