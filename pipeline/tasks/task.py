"""What a task is, and how its right answer follows from the fault-free run of a procedure."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple, TypeAlias

from pipeline.errors import CannotBeWorked
from pipeline.exact.trees import Letter, letters
from pipeline.exact.values import Equation, Expression, Statement, StatementCode, Value
from pipeline.procedures.endings import value_of
from pipeline.procedures.solving_for import both_signs
from pipeline.procedures.walk import NO_SOLUTION, Plan, right_ending
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import PLAIN, Notation, Problem
from pipeline.reading.records import ReadAnswer, ReadingContext
from pipeline.records import Numbers

Plans: TypeAlias = Callable[[Problem], Sequence[Plan]]


class Asked(NamedTuple):
    """A question as its answers are read.

    Args:
        text: the problem as the course wrote it.
        problem: the problem as read, None where it cannot be.
        context: what the question tells the reader of its answers.
    """

    text: str
    problem: Problem | None
    context: ReadingContext


def _as_typed(answer: str, _: Asked) -> str:
    return answer


def _as_read(read: ReadAnswer, _: Asked) -> ReadAnswer:
    return read


@dataclass(frozen=True, slots=True)
class Task:
    """A task.

    Args:
        name: as the items file gives it.
        asks: what is to be found.
        syntax: how a problem is written.
        example, answer: one problem, and its right answer.
        plans: the procedures that serve a problem; raises CannotBeWorked where it is not written
            as the task wants it.
        right: its right answer where that is more than the ending of the fault-free run.
        notation: how a problem is written, and of what kind its answers are.
        form: the form asked for where the course names none.
        form_for: the form that a problem asks for in its own words, and one that the course named.
        rewritten: an answer's text in the notation of all tasks.
        meant: an answer's readings as the task means them.
        simplest: the form that "simplest form" means, where the task does not ask for it anyway.
        beside: forms that may be asked for beside another one.
        verbs: beginnings of the words that ask for it; none: the first word of its name.
        also_asks: tasks that a question given under this one may turn out to be by its words.
        chance_by_size: whether an answer comes by chance by the size of its numbers alone.
        lines_of: the task that a line of its working is of, where that is another one.
        follows: whether each equation in the letters of the answer has to come to the answer, by
            what a procedure starts from; None where none has to.
        other_names: letters in its working with those that its procedures write for them.
        says_beside: whether a statement in its working is of something else, as of a slope that is
            undefined.
        of_any_numbers: whether a problem is a formula in which any number may be another one.
        of_expression: whether each line of working has the value of the one before.
        of_equation: whether each line of working has the solutions of the one before.
        of_letter: whether the letter asked for has to stand alone.
        of_region: whether the answer is a region; one with one boundary comes by chance less often.
        of_inverse: whether in its working two letters may still be the other way round.
        of_words: whether a problem is words, with the algebra behind them.
    """

    name: str
    asks: str
    syntax: str
    example: str
    answer: str
    plans: Plans
    right: Callable[[Problem, Numbers], RightAnswer] | None = None
    notation: Notation = PLAIN
    form: str = "any"
    form_for: Callable[[str, str | None], str] | None = None
    rewritten: Callable[[str, Asked], str] = _as_typed
    meant: Callable[[ReadAnswer, Asked], ReadAnswer] = _as_read
    simplest: str | None = None
    beside: tuple[str, ...] = ()
    verbs: tuple[str, ...] = ()
    also_asks: tuple[str, ...] = ()
    chance_by_size: bool = False
    lines_of: str = ""
    follows: Callable[[object], bool] | None = None
    other_names: tuple[tuple[str, str], ...] = ()
    says_beside: bool = False
    of_any_numbers: bool = False
    of_expression: bool = False
    of_equation: bool = False
    of_letter: bool = False
    of_region: bool = False
    of_inverse: bool = False
    of_words: bool = False

    def is_said_in(self, text: str) -> bool:
        """Whether a text has a word that asks for it."""
        verbs = self.verbs or (self.name.partition("-")[0],)
        return any(verb in text.casefold() for verb in verbs)


def right_of_run(plans: Sequence[Plan], numbers: Numbers) -> RightAnswer:
    """Return what the first procedure that gets there ends in without a fault.

    Raises:
        CannotBeWorked: none gets there.
    """
    for plan in plans:
        ending = right_ending(plan)
        if ending is not None:
            found = right_of_ending(ending, numbers)
            return replace(found, also=(*found.also, *both_signs(plan)))
    raise CannotBeWorked("no procedure reaches an answer")


def right_of_ending(ending: Hashable, numbers: Numbers) -> RightAnswer:
    """Return the right answer of an ending, with what says the same."""
    none = Statement(StatementCode.NO_SOLUTION), Statement(StatementCode.NO_REAL)
    if ending == NO_SOLUTION:
        return RightAnswer(none[0], also=none[1:])
    if isinstance(ending, Equation):
        return _of_equation(ending)
    if not isinstance(ending, frozenset) or numbers == "complex":
        return RightAnswer(value_of(ending))
    real = frozenset(one for one in ending if one.is_real)
    if real == ending:
        return RightAnswer(value_of(ending))
    if real:
        return RightAnswer(value_of(real), other_form=(value_of(ending),))
    return RightAnswer(none[1], also=none[:1], other_form=(value_of(ending),))


def _of_equation(equation: Equation) -> RightAnswer:
    """The right side alone is as right for a formula, another form for the equation of a line.

    Of x = 3 and y = 3 it would be the same.
    """
    left, right = equation.relation.sides
    if not letters(right):
        return RightAnswer(equation)
    alone: tuple[Value, ...] = (Expression(right),)
    if left == Letter("y"):
        return RightAnswer(equation, other_form=alone)
    return RightAnswer(equation, also=alone)
