"""What is asked in a `logarithm` problem: a value, another form, or the solutions."""

from __future__ import annotations

from typing import Final

from pipeline.errors import CannotBeWorked
from pipeline.exact.numbers import Surd
from pipeline.exact.trees import Letter, Node, Power, Relation, letters
from pipeline.procedures.logarithm_laws import law_plans
from pipeline.procedures.logarithms import (
    Logarithms,
    Single,
    base_of,
    combine_logs,
    evaluate_log,
    find_logarithm,
    is_logarithm,
    terms_with_logarithms,
)
from pipeline.procedures.quantities import Quantity, node_of, quantity_of, settled
from pipeline.procedures.shapes_of_equations import logarithmic_equation_plans
from pipeline.procedures.walk import Place, Plan, Walk
from pipeline.reading.calls import has_calls
from pipeline.reading.problems import Notation, Problem
from pipeline.reading.records import ReadAnswer
from pipeline.tasks.solve import check_as_number, solved
from pipeline.tasks.task import Asked, Task


def find_combined(step: Walk, start: Logarithms) -> Quantity | str:
    """Combine two logarithms of numbers, and find the value."""
    above, below = step.do(combine_logs, Place.LOGARITHM, start)
    if len(above) != 1 or len(below) != 1:
        raise CannotBeWorked
    found = step.do(evaluate_log, Place.LOGARITHM, start.base, above[0] / below[0])
    return found if isinstance(found, str) else settled(found)


def work_out_value(step: Walk, start: Quantity) -> Quantity:
    """Find the value of any other expression with logarithms."""
    return settled(start)


def keep_as_written(step: Walk, start: Node) -> Node:
    """Leave an expression that no law changes."""
    return start


def _plans(problem: Problem) -> list[Plan]:
    """Read `log_2(8)`, `log_2(x + 3) = 4`, `3^(2x) = 81`, `ln(x^2*y)` and their like.

    Raises:
        CannotBeWorked: the problem is not of these kinds.
    """
    tree = problem.tree
    if isinstance(tree, Relation):
        return logarithmic_equation_plans(tree, problem.letter) if tree.signs == ("=",) else []
    if letters(tree):
        return law_plans(tree) or _unworked(tree)
    if is_logarithm(tree):
        start = Single(base_of(tree), quantity_of(tree.arguments[0]))
        return [Plan("logarithm", find_logarithm, start), *law_plans(tree)]
    return [
        *_combined(tree),
        *law_plans(tree),
        Plan("value", work_out_value, quantity_of(tree)),
    ]


def _unworked(tree: Node) -> list[Plan]:
    if not has_calls(tree):
        raise CannotBeWorked("expected a logarithm, or an equation with one")
    return [Plan("value", keep_as_written, tree)]


def _combined(tree: Node) -> list[Plan]:
    found = terms_with_logarithms(tree, "")
    if found is None or found[0] is None or found[2] or len(found[1]) != 2:
        return []
    (one, first), (two, second) = found[1]
    if one != 1 or abs(two.approximate()) != 1:
        return []
    side = two.real_sign()
    return [Plan("combined", find_combined, Logarithms(found[0], first, second, side, Surd.of(0)))]


def _meant(read: ReadAnswer, asked: Asked) -> ReadAnswer:
    """Take the exponent of `2^3 = 8` for the answer where log_2(8) is asked for."""
    tree = asked.problem.tree if asked.problem else None
    if isinstance(tree, Relation):
        read = check_as_number(read, asked, tree)
    elif tree is not None and is_logarithm(tree) and not letters(tree):
        power = Power(node_of(base_of(tree)), Letter("x"))
        read = check_as_number(read, asked, Relation((power, tree.arguments[0]), ("=",)))
    return solved(read, asked)


LOGARITHM: Final = Task(
    "logarithm",
    "the value, the solutions, or another form",
    "logarithms, or an equation with them or with the unknown in an exponent; e is the number",
    "log_2(x + 3) = 4",
    "13",
    _plans,
    notation=Notation(functions=True),
    meant=_meant,
    of_equation=True,
)
