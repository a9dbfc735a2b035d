"""Right answers of expression tasks."""

from __future__ import annotations

from pipeline.errors import BudgetExceeded
from pipeline.exact.factors import is_irreducible
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.trees import Constant, Node, Relation, children, letters
from pipeline.exact.values import (
    Expression,
    Number,
    Roots,
    Statement,
    StatementCode,
    Value,
    number_of,
)
from pipeline.procedures.rewriting.both_signs import (
    has_both_signs,
    values_of_both,
    with_sign_as_letter,
)
from pipeline.procedures.rewriting.canonical import canonical
from pipeline.procedures.rewriting.conjugates import asks_conjugate, conjugate
from pipeline.procedures.rewriting.evaluating import replaced
from pipeline.procedures.rewriting.letter_roots import holds_letter_root
from pipeline.procedures.walk import Abandoned
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import Problem
from pipeline.records import Numbers

__all__ = ["right_expression"]


def right_expression(problem: Problem, numbers: Numbers) -> RightAnswer:
    """Compute the right answer of expand, factor, simplify or evaluate.

    A root of a negative number has no real value; its complex value is right in another form
    where the question is over the real numbers and does not write i itself. Letters under a
    square root are taken as not negative; the expression as written is right as well.

    Raises:
        BudgetExceeded: the problem is an equation, or its value cannot be computed.
        ZeroDivisionError: something is divided by zero.
    """
    if isinstance(problem.tree, Relation):
        raise BudgetExceeded("an expression was expected, not an equation")
    tree = replaced(problem.tree, problem.substitutions)
    if asks_conjugate(problem.text):
        return RightAnswer(_value(conjugate(tree)))
    if has_both_signs(tree):
        return _of_both(tree)
    if problem.task == "factor":
        return _factored(tree)
    value = _value(canonical(tree))
    if numbers == "real" and _leaves_the_reals(value) and not _has_imaginary_unit(tree):
        return RightAnswer(
            Statement(StatementCode.NO_REAL),
            also=(Statement(StatementCode.NO_SOLUTION),),
            other_form=(value,),
        )
    if letters(tree) and holds_letter_root(tree):
        return RightAnswer(value, also=(Expression(tree),))
    return RightAnswer(value)


def _of_both(tree: Node) -> RightAnswer:
    try:
        found = values_of_both(with_sign_as_letter(tree))
    except Abandoned as error:
        raise BudgetExceeded("with a plus-minus sign, only numbers can be worked out") from error
    ordered = sorted(found, key=lambda one: one.approximate().real, reverse=True)
    return RightAnswer(Roots(tuple(Number.exactly(one) for one in ordered)))


def _value(tree: Node) -> Value:
    return Expression(tree) if letters(tree) else number_of(tree)


def _leaves_the_reals(value: Value) -> bool:
    return isinstance(value, Number) and value.surd is not None and not value.surd.is_real


def _has_imaginary_unit(tree: Node) -> bool:
    return tree == Constant("i") or any(_has_imaginary_unit(part) for part in children(tree))


def _factored(tree: Node) -> RightAnswer:
    whole = polynomial_of(tree)
    if whole is not None and is_irreducible(whole):
        return RightAnswer(Statement(StatementCode.PRIME), also=(_value(tree),))
    return RightAnswer(_value(tree))
