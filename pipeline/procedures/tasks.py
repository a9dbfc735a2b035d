"""The tasks with a syntax of their own: what their problems look like, and who works them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, NamedTuple

from pipeline.procedures.converting import conversion_ways
from pipeline.procedures.counting import counting_ways
from pipeline.procedures.dividing import division_ways
from pipeline.procedures.domains import domain_ways
from pipeline.procedures.function_questions import function_ways
from pipeline.procedures.isolating import Way
from pipeline.procedures.line_questions import line_ways, slope_ways
from pipeline.procedures.logarithm_questions import logarithm_ways
from pipeline.procedures.solving_for import formula_ways
from pipeline.procedures.translating import translation_ways
from pipeline.reading.problems import Problem

__all__ = ["FURTHER_TASKS", "TASKS", "Task", "as_markdown", "task_ways"]


class Task(NamedTuple):
    """How the problems of a task are written.

    Args:
        name: the task, as the items file gives it.
        asks: what is to be found.
        syntax: how a problem is written.
        example: one problem.
        answer: its right answer.
    """

    name: str
    asks: str
    syntax: str
    example: str
    answer: str


TASKS: Final = (
    Task("solve", "all solutions",
         "an equation, inequality, chain, or system joined by `;`; `for y` or `; choose from 0, 1`"
         " may end it",
         "x^2 - 4x = 2", "2 + sqrt(6), 2 - sqrt(6)"),
    Task("square-constant", "what makes a perfect square", "`x^2 + b x`", "x^2 + 6x", "9"),
    Task("expand", "the product multiplied out", "an expression", "(x + 3)^2", "x^2 + 6x + 9"),
    Task("factor", "the factored form", "a polynomial", "x^2 + 5x + 6", "(x + 2)(x + 3)"),
    Task("simplify", "the simplest form", "an expression; `conjugate of` may stand before it",
         "sqrt(50) + sqrt(8)", "7sqrt(2)"),
    Task("evaluate", "the value", "numbers, `15% of 240`, or an expression `at x = 5`",
         "2x^2 at x = 5", "50"),
    Task("discriminant", "b^2 - 4ac", "a quadratic equation", "x^2 + 5x + 4 = 0", "9"),
    Task("vertex", "the vertex",
         "`y = ...` or an expression; `axis of symmetry of` or `minimum of` may stand before it",
         "y = (x - 3)^2 + 2", "(3, 2)"),
    Task("rewrite", "the function in vertex form", "`y = ...` or an expression",
         "y = 2x^2 + 8x + 3", "y = 2(x + 2)^2 - 5"),
    Task("slope", "the slope", "two points, or an equation in x and y", "(1, 2), (3, 8)", "3"),
    Task("line", "an equation of the line",
         "`through` one or two points; `slope`, intercepts, `vertical`, `horizontal`, "
         "`parallel to`, `perpendicular to`",
         "through (1, 2), slope 3", "y = 3x - 1"),
    Task("solve-for", "a formula for the letter", "an equation that ends in `for` a letter",
         "P = 2L + 2W for W", "W = (P - 2L)/2"),
    Task("function", "a value, composition, combination, inverse, or where it has a value",
         "functions, then what is asked, joined by `;`: `f(g(2))`, `f^-1(x)`, `f(x) = 10`",
         "f(x) = 2x + 1; f(4)", "9"),
    Task("domain", "the domain", "an expression in one letter", "sqrt(2x - 6)", "x >= 3"),
    Task("divide", "quotient and remainder", "one polynomial over another, or `by` another",
         "(x^2 + 5x + 7) / (x + 2)", "x + 3 + 1/(x + 2)"),
    Task("convert", "the number in another notation",
         "a number, then `to percent`, `to decimal`, `to fraction`, `to mixed`, `to improper` or "
         "`to scientific`",
         "0.35 to percent", "35%"),
    Task("logarithm", "the value, the solutions, or another form",
         "logarithms, or an equation with them or with the unknown in an exponent; e is the number",
         "log_2(x + 3) = 4", "13"),
    Task("translate", "the words in algebra",
         "words, a colon, and the expression, equation or inequality behind them; words alone "
         "where the column `answer` gives that",
         "three less than a number: x - 3", "x - 3"),
    Task("number-of-solutions", "how many solutions there are, and of which kind",
         "an equation, or a system joined by `;`", "x^2 - 6x + 9 = 0", "1"),
)  # fmt: skip
"""All tasks that are worked step by step, with the syntax of their problems."""

FURTHER_TASKS: Final = frozenset(
    ("slope", "line", "solve-for", "function", "domain", "divide", "convert", "logarithm")
)
"""Those of them that are not expressions or equations worked elsewhere."""

_BUILDERS: Final[dict[str, Callable[[Problem], list[Way]]]] = {
    "convert": conversion_ways,
    "divide": division_ways,
    "domain": domain_ways,
    "function": function_ways,
    "logarithm": logarithm_ways,
    "slope": slope_ways,
    "translate": translation_ways,
    "solve-for": formula_ways,
    "line": line_ways,
    "number-of-solutions": counting_ways,
}


def task_ways(problem: Problem) -> list[Way]:
    """Return the ways to work a problem of a task with its own syntax."""
    build = _BUILDERS.get(problem.task)
    return [] if build is None else build(problem)


def as_markdown() -> str:
    """Return the page that lists the tasks, as it stands beside this module."""
    rows = [
        f"| `{one.name}` | {one.asks} | {one.syntax} | `{one.example}` | `{one.answer}` |"
        for one in TASKS
    ]
    return "\n".join(
        (
            "# Tasks and the syntax of their problems",
            "",
            "Made from the list in `tasks.py`; a test holds it to that list.",
            "",
            "| task | asks for | problem | example | right answer |",
            "| --- | --- | --- | --- | --- |",
            *rows,
            "",
            "A word problem is a `solve` whose story says what counts and what is asked:",
            "`w(w + 4) = 96; keep w > 0; asked w + 4` (right: `12`), or the columns `keep` and",
            "`asked` of the items file. Several quantities stand between commas: `asked w, w + 4`.",
            "`keep largest` and `keep smallest` take one solution; `asked sum` and `asked product`",
            "join them; of a system a letter, or an expression in its letters, may be asked.",
            "Systems are joined by `;`, points have their coordinates",
            "in alphabetical order of the letters.",
            "",
            "A `translate` carries the algebra behind its words, since no sentence is guessed at:",
            "written from left to right as the words say it, with their brackets, behind the last",
            "colon of the problem, or in the column `answer`. With one letter an answer may use",
            "any other; with two or more they are those of the question, so define them in it.",
            "An equation counts however it is rearranged. Its solution is right in another form,",
            "and so is the equation of another quantity of the same story.",
            "",
        )
    )
