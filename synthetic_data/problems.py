"""A question with one set of numbers: its text, its right answer and what each wrong rule gives."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from synthetic_data.values import Value, same

WrongRules = Mapping[str, "Value | tuple[Value, ...]"]


@dataclass(frozen=True)
class Problem:
    """A question with its numbers.

    Args:
        task: a task of the course's items file, such as `solve`.
        text: the question as the course writes it.
        right: the right answer.
        wrong: the answers that each wrong rule leads to; several when the rule leaves a choice,
            each equally likely. A rule that leads to the right answer is absent.
        letter: the unknown.
        other_forms: right values in a form that was not asked for.
        work: the student's lines, joined by ` | `, for the right way (key `right`) and for some
            wrong rules; the first answer of a rule is meant.
        options: of a choice question: all texts that can be given at all.
        unnamed: the answers of wrong rules that no catalogue has.
    """

    task: str
    text: str
    right: Value
    wrong: Mapping[str, tuple[Value, ...]]
    letter: str = "x"
    other_forms: tuple[str, ...] = ()
    work: Mapping[str, str] = field(default_factory=dict)
    options: tuple[str, ...] = ()
    unnamed: Mapping[str, Value] = field(default_factory=dict)


def make_problem(
    task: str,
    text: str,
    right: Value,
    wrong: WrongRules,
    *,
    letter: str = "x",
    other_forms: Iterable[str] = (),
    work: Mapping[str, str] | None = None,
    unnamed: Mapping[str, Value] | None = None,
) -> Problem:
    """A problem without the rules that cannot be seen in it.

    `wrong` holds for each pattern id the answer, or the answers, of its wrong rule. Answers equal
    to the right one are left out, and so are rules without any other. For the rest see `Problem`.
    """
    kept: dict[str, tuple[Value, ...]] = {}
    for pattern, given in wrong.items():
        answers = given if isinstance(given, tuple) else (given,)
        visible = tuple(answer for answer in answers if not same(answer, right))
        if visible:
            kept[pattern] = visible
    told = [right, *(answer for answers in kept.values() for answer in answers)]
    new = {
        rule: value
        for rule, value in (unnamed or {}).items()
        if not any(same(value, one) for one in told)
    }
    return Problem(
        task, text, right, kept, letter, tuple(other_forms), dict(work or {}), unnamed=new
    )
