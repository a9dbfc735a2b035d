"""The catalogue as a page to read: `python -m tests.patterns.catalogue_page` writes it anew.

Everything on it comes from the declarations; the page is never edited by hand.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby
from pathlib import Path

import pipeline.patterns
from pipeline.exact.values import value_words
from pipeline.patterns.catalogue import catalogue
from pipeline.patterns.registry import Example, Pattern
from pipeline.records import Request
from pipeline.tagging.questions import question_of
from pipeline.tagging.showing import Worked, worked

PAGE = Path(pipeline.patterns.__file__).parent / "CATALOGUE.md"
HEAD = """\
# The catalogue of error patterns

Written by `python -m tests.patterns.catalogue_page` from the declarations beside this page; a test
holds it to them.
A pattern describes an answer, not the person who gave it.
Under each: the tasks whose answers can show it, where it is described, and one worked example.
"""


def page() -> str:
    """Return the text of the page."""
    patterns = catalogue()
    skills = [(skill, list(some)) for skill, some in groupby(patterns, lambda one: one.skill)]
    lines = [HEAD, f"{len(patterns)} patterns over {len(skills)} skills.\n"]
    lines += [f"- [{skill}](#{skill.replace(' ', '-')}): {len(some)}" for skill, some in skills]
    for skill, some in skills:
        lines += ["", f"## {skill}", *_skill(some)]
    return "\n".join(lines) + "\n"


def _skill(patterns: Iterable[Pattern]) -> Iterator[str]:
    for one in patterns:
        yield f"\n### `{one.id}`\n\n{one.sentence}\n"
        for task, sentence in one.sentences.items():
            if sentence != one.sentence:
                yield f"Under `{task}`: {sentence}\n"
        tasks = ", ".join(f"`{task}`" for task in one.tasks)
        yield f"Tasks: {tasks}. Source: {one.source.rstrip('.')}.\n"
        shown = worked(one)
        yield from _lines_of(shown) if shown else _answers_of(one.shows[0])


def _lines_of(shown: Worked) -> Iterator[str]:
    rows = max(len(shown.right), len(shown.wrong))
    right = [*shown.right, *[""] * (rows - len(shown.right))]
    wrong = [*shown.wrong, *[""] * (rows - len(shown.wrong))]
    yield "| wrong | right |\n| --- | --- |"
    yield from (f"| {_code(one)} | {_code(two)} |" for one, two in zip(wrong, right, strict=True))


def _answers_of(example: Example) -> Iterator[str]:
    right = question_of(Request(example.task, example.problem, "")).right
    told = value_words(right.value) if right else ""
    yield f"`{example.task}`: {_code(example.problem)}\n"
    yield "| wrong | right |\n| --- | --- |"
    yield f"| {_code(example.answer)} | {_code(told)} |"


def _code(text: str) -> str:
    escaped = text.replace("|", "\\|")
    return f"`{escaped}`" if text else ""


def main() -> None:
    """Write the page."""
    PAGE.write_text(page(), encoding="utf-8")
    print(f"{PAGE.name}: {len(catalogue())} patterns")


if __name__ == "__main__":
    main()
