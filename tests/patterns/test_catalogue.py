"""The catalogue as a whole: large enough, complete, its ids used once and for ever."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

import pipeline.patterns
from pipeline import explain
from pipeline.patterns.catalogue import SKILLS, catalogue, retired_ids
from pipeline.patterns.registry import Pattern
from pipeline.records import Request
from pipeline.run.course_frames import WORKED_EXAMPLES
from pipeline.tagging.examine import examine
from pipeline.tasks.catalogue import NAMES
from tests.patterns.catalogue_page import PAGE, examples, page
from tests.patterns.sources import WORKS, Strength, strength_of
from tests.patterns.steps import steps_done

SLUG = re.compile(r"[a-z0-9]+(-[a-z0-9]+)+")


def test_there_are_at_least_180_patterns_over_20_skills() -> None:
    assert len(catalogue()) >= 180
    assert len({one.skill for one in catalogue()}) >= 20


def test_every_file_beside_the_catalogue_is_a_skill_that_it_lists() -> None:
    files = {path.stem for path in Path(pipeline.patterns.__file__).parent.glob("*.py")}

    listed = [skill.replace(" ", "_") for skill in SKILLS]
    assert sorted(listed) == sorted(files - {"__init__", "catalogue", "registry"})


@pytest.mark.parametrize("declared", catalogue(), ids=lambda one: one.id)
def test_each_has_sentence_skill_source_and_examples_of_both_kinds(declared: Pattern) -> None:
    assert re.fullmatch(r"[A-Z].*\.", declared.sentence)
    assert declared.skill in SKILLS
    assert set(declared.tasks) <= set(NAMES)
    assert len(set(declared.shows)) >= 2
    assert len(set(declared.silent)) >= 2
    assert not set(declared.shows) & set(declared.silent)


def test_every_faulty_version_stands_where_its_operation_is_done() -> None:
    """A place that no procedure comes to would make a version that never shows."""
    examples = {(one.task, one.problem) for declared in catalogue() for one in declared.shows}
    others = {("solve", "x^3 = 4x"), ("solve", "sqrt(x + 5) + sqrt(x) = 5")}
    done = {(step.operation, step.place) for one in examples | others for step in steps_done(*one)}
    operations = {operation for operation, _ in done}
    lost = [
        (declared.id, move.operation.__name__, move.places)
        for declared in catalogue()
        if not declared.general
        for move in declared.moves
        if move.operation not in operations
        or any((move.operation, place) not in done for place in move.places)
    ]

    assert lost == []


def test_ids_state_the_wrong_thing_in_several_words_and_are_used_once() -> None:
    ids = [one.id for one in catalogue()]

    assert [one for one in ids if not SLUG.fullmatch(one)] == []
    assert len(ids) == len(set(ids))
    assert "unexplained" not in ids


@pytest.mark.parametrize(
    ("source", "strength"),
    [
        ("common practice", Strength.PRACTICE),
        ("from memory", Strength.MEMORY),
        ("Matz 1980 (from memory)", Strength.MEMORY),
        ("Matz 1980 (from memory); common practice", Strength.PRACTICE),
        ("Hall 2002 (kind of error); from memory", Strength.NEAR),
        ("OpenStax Prealgebra 2e, 2.2 (related: words); common practice", Strength.NEAR),
        ("public study pages (complex roots); common practice (real roots)", Strength.TEACHERS),
        ("OpenStax Elementary Algebra 2e, 10.2", Strength.TEXTBOOK),
        ("public study pages; OpenStax College Algebra 2e, 2.5 (caution)", Strength.TEXTBOOK),
        ("OpenStax College Algebra 2e, 1.2; Slavit 2006", Strength.STUDY),
    ],
)
def test_a_source_is_as_strong_as_the_strongest_work_that_describes_the_error(
    source: str, strength: Strength
) -> None:
    assert strength_of(source) is strength


@pytest.mark.parametrize(
    "source",
    [
        "",
        "Ashlock",
        "Ashlock 2006, from memory",
        "Ashlock 2006;Matz 1980",
        "Ashlock 2006, 1.9",
        "OpenStax Elementary Algebra 2e",
        "OpenStax Elementary Algebra 2e (caution)",
    ],
)
def test_a_work_in_another_spelling_or_a_textbook_without_its_section_is_refused(
    source: str,
) -> None:
    with pytest.raises(ValueError, match=r"is no work|names no section"):
        strength_of(source)


def test_every_work_that_may_be_cited_is_cited() -> None:
    cited = " ".join(one.source for one in catalogue())

    assert [work for works in WORKS.values() for work in works if work not in cited] == []


def test_no_id_comes_back_after_it_was_retired() -> None:
    assert retired_ids() & {one.id for one in catalogue()} == set()
    assert all(SLUG.fullmatch(one) for one in retired_ids())


def test_the_page_is_current() -> None:
    """Write it anew with `python -m tests.patterns.catalogue_page`."""
    found = examples()

    assert json.loads(WORKED_EXAMPLES.read_text("utf-8")) == found
    assert PAGE.read_text(encoding="utf-8") == page(found)


def test_the_command_prints_every_pattern_under_its_skill() -> None:
    lines = list(explain.all_patterns())
    headings = [line for line in lines if not line.startswith(" ")]

    assert len(headings) == len(set(headings)) == len({one.skill for one in catalogue()})
    printed = {line.split(":")[0].strip() for line in lines if line.startswith("  ")}
    assert printed == {one.id for one in catalogue()}


@pytest.mark.parametrize(("task", "problem", "answer", "words"), [
    ("solve", "3(x + 4) = 21", "17/3", "the first term in the bracket by the number in front"),
    ("solve", "3x + 7 = 22", "15", "what a multiple of the unknown equals"),
])  # fmt: skip
def test_a_sentence_fits_where_versions_of_an_error_speak_of_other_steps(
    task: str, problem: str, answer: str, words: str
) -> None:
    found = examine(Request(task, problem, answer))

    assert any(words in one.says for one in found.patterns)
