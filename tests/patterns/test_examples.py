"""Every declared pattern shows itself on its examples and stays silent where it must."""

from __future__ import annotations

import re

import pytest

from pipeline.errors import InternalError
from pipeline.patterns.catalogue import catalogue
from pipeline.patterns.registry import Example, Instead, Pattern, instead_of, pattern
from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine
from tests.patterns.steps import described, steps_done

NUMBERS = {"i-squared-as-plus-one": "complex"}

SHOWN = [(one, example) for one in catalogue() for example in one.shows]
SILENT = [(one, example) for one in catalogue() for example in one.silent]


def named(value: object) -> str:
    return value.id if isinstance(value, Pattern) else " | ".join(value) if value else ""  # type: ignore[arg-type]


def alone(declared: Pattern, example: Example) -> bool:
    found = examine(Request(example.task, example.problem, example.answer))
    assert found.verdict not in (Verdict.UNREADABLE, Verdict.NO_KEY), found.reason
    return any(one.faults == (declared.id,) for one in found.patterns)


def why_not(declared: Pattern, example: Example) -> str:
    """Set what a pattern stands in for beside what is done in the working of an example."""
    verdict = examine(Request(example.task, example.problem, example.answer)).verdict.value
    instead = [(move.operation.__name__, *map(str, move.places)) for move in declared.moves]
    done = "\n  ".join(dict.fromkeys(map(described, steps_done(example.task, example.problem))))
    return f"the answer is {verdict}; {declared.id} stands in for {instead}, done is\n  {done}"


@pytest.mark.parametrize(("declared", "example"), SILENT, ids=named)
def test_silent(declared: Pattern, example: Example) -> None:
    assert not alone(declared, example)


@pytest.mark.parametrize(("declared", "example"), SHOWN, ids=named)
def test_shown(declared: Pattern, example: Example) -> None:
    assert alone(declared, example), why_not(declared, example)


def test_no_sentence_speaks_of_a_person() -> None:
    spoken = re.compile(r"\b(students?|he|she|believes?|thinks?|misconceptions?)\b", re.I)

    assert [one.id for one in catalogue() if spoken.search(one.sentence)] == []


EXAMPLES = ("solve | x = 1 | 2", "solve | x = 2 | 3")


def first_id() -> str:
    return catalogue()[0].id.replace("-", "_")


@pytest.mark.parametrize(
    ("name", "doc", "source", "shows", "told"),
    [
        (first_id(), "Anything.", "x", EXAMPLES, "declared twice"),
        ("some_error", "", "x", EXAMPLES, "some-error: it needs a docstring"),
        ("some_error", "Anything.", " ", EXAMPLES, "some-error: it needs a docstring and a source"),
        ("some_error", "Anything.", "x", EXAMPLES[:1], "some-error: 2 examples"),
        ("some_error", "Anything.", "x", (*EXAMPLES, "x = 1"), r"task \| problem \| answer"),
    ],
)
def test_a_wrong_declaration_is_named(
    name: str, doc: str, source: str, shows: tuple[str, ...], told: str
) -> None:
    def version(value: object) -> object:
        return value

    version.__name__, version.__doc__ = name, doc
    with pytest.raises(InternalError, match=told):
        pattern(source=source, shows=shows, silent=EXAMPLES)(instead_of(named)(version))


def test_a_move_takes_the_arguments_of_its_operation() -> None:
    def two_wrong(one: object, two: object) -> object:
        """Anything."""

    move = Instead(named, (), two_wrong)
    with pytest.raises(InternalError, match="two_wrong takes 2 arguments, but named takes 1"):
        pattern(source="x", shows=EXAMPLES, silent=EXAMPLES)(move)


def test_general_slips_come_last() -> None:
    general = [one.general for one in catalogue()]

    assert general == sorted(general)
    assert sum(general) == 4
