"""Every declared pattern shows itself on its examples and stays silent where it must."""

from __future__ import annotations

import re

import pytest

from pipeline.errors import InternalError
from pipeline.patterns.catalogue import SKILLS, catalogue
from pipeline.patterns.registry import Example, Pattern, instead_of, pattern
from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine
from pipeline.tasks.catalogue import NAMES

NUMBERS = {"i-squared-as-plus-one": "complex"}

SHOWN = [(one, example) for one in catalogue() for example in one.shows]
SILENT = [(one, example) for one in catalogue() for example in one.silent]


def named(value: object) -> str:
    return value.id if isinstance(value, Pattern) else " | ".join(value) if value else ""  # type: ignore[arg-type]


def alone(declared: Pattern, example: Example) -> bool:
    found = examine(Request(example.task, example.problem, example.answer))
    assert found.verdict not in (Verdict.UNREADABLE, Verdict.NO_KEY), found.reason
    return any(one.faults == (declared.id,) for one in found.patterns)


@pytest.mark.parametrize(("declared", "example"), SILENT, ids=named)
def test_silent(declared: Pattern, example: Example) -> None:
    assert not alone(declared, example)


@pytest.mark.parametrize(("declared", "example"), SHOWN, ids=named)
def test_shown(declared: Pattern, example: Example) -> None:
    assert alone(declared, example)


@pytest.mark.parametrize("declared", catalogue(), ids=lambda one: one.id)
def test_a_declaration_is_complete(declared: Pattern) -> None:
    assert re.fullmatch(r"[a-z]+(-[a-z]+)*", declared.id)
    assert declared.skill in SKILLS
    assert declared.source.strip()
    assert declared.sentence.endswith(".")
    assert declared.sentence[0].isupper()
    assert len(declared.shows) >= 2
    assert len(declared.silent) >= 2
    assert set(declared.tasks) <= set(NAMES)


def test_no_sentence_speaks_of_a_person() -> None:
    spoken = re.compile(r"\b(students?|he|she|believes?|thinks?|misconceptions?)\b", re.I)

    assert [one.id for one in catalogue() if spoken.search(one.sentence)] == []


def test_an_id_is_declared_once() -> None:
    ids = [one.id for one in catalogue()]

    assert len(ids) == len(set(ids))
    with pytest.raises(InternalError, match="declared twice"):

        @pattern(ids[0], skill="slips", source="x", shows=(), silent=())
        @instead_of(named)
        def again() -> None:
            """Anything."""


def test_an_example_has_three_parts() -> None:
    with pytest.raises(InternalError, match=r"task \| problem \| answer"):

        @pattern("odd-example", skill="slips", source="x", shows=("solve | x = 1",), silent=())
        @instead_of(named)
        def odd() -> None:
            """Anything."""


def test_general_slips_come_last() -> None:
    general = [one.general for one in catalogue()]

    assert general == sorted(general)
    assert sum(general) == 4
