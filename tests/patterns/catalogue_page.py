"""The errors and the tasks as pages: `python -m tests.patterns.catalogue_page` writes both anew.

Everything on them comes from the declarations; they are never edited by hand. Nor are the worked
examples beside the errors, that runs read.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import groupby, zip_longest
from pathlib import Path
from typing import Any, TypeAlias

import pipeline.patterns
import pipeline.tasks
from pipeline.drafting.computed import computed_answer
from pipeline.patterns.catalogue import catalogue
from pipeline.patterns.registry import Pattern
from pipeline.records import Request
from pipeline.run.course_frames import WORKED_EXAMPLES
from pipeline.tasks.catalogue import TASKS
from tests.patterns.showing import worked
from tests.patterns.sources import WORKS, Strength, strength_of

_Columns: TypeAlias = dict[str, Any]

PAGE = Path(pipeline.patterns.__file__).parent / "CATALOGUE.md"
PAGE_OF_TASKS = Path(pipeline.tasks.__file__).parent / "TASKS.md"
HEAD = """\
# The catalogue of error patterns

Written by `python -m tests.patterns.catalogue_page` from the declarations beside this page; a test
holds it to them.
A pattern describes an answer, not the person who gave it.
Under each: the tasks whose answers can show it, where it is described, and one worked example.
Under a skill, the best described stand first; what is cited is listed at the foot.
"""


FOOT = """
## What is described elsewhere and has no pattern here

Errors that the literature names and that an answer, or its working, cannot show by its value; what
becomes of such an answer stands beside each.

| described as | what becomes of it |
| --- | --- |
| taking x for both roots at once, one in each bracket (Vaiyavutjamai and Clements 2006) | the \
answers are right; only a talk or a written check shows it |
| a smaller leading number makes a parabola narrower (Ellis and Grinstead 2008) | an answer in \
words or a sketch; a choice question can name the error at its option |
| two solutions written as a point, (2, 3) (a teacher's page) | read as a list, hence right: the \
same brackets hold lists |
| another letter for the unknown (OpenStax Intermediate Algebra 2e, 9.6) | right, with a remark |
| solutions joined by "and" (Vaiyavutjamai and Clements 2006) | right: read as a list |
| a chain of equals signs that runs on, 3 + 4 = 7 + 2 = 9 (Scofield 2003) | accepted in working; \
each step is checked by its value |
| a fraction left unreduced, a radical left unsimplified, a decimal for an exact value | right in \
another form, with the form asked for as reason |
| a solution left as a factored equation (Makonye and Nhlanhla 2014) | right in another form, with \
that reason; factors without an equation are `stopped-at-factors` |
| only two of three terms factored, x(x + 5) + 6 (Makonye and Nhlanhla 2014) | wrong, and the \
reason says so: a sum that equals the question is no product |
| a term subtracted on one side and added on the other (Kieran 1984) | gives what \
`constant-moved-same-sign` gives, and is listed under it |
| minus the size of b for -b (public study pages) | gives what `minus-b-not-negated` gives, and is \
listed under it |
| x < ±3 for a quadratic inequality (Tsamir and Almog 2001) | unread: no region is meant; x < 3 is \
`root-taken-across-inequality` |
| the letter kept with b in the roots of an equation | tagged in a discriminant, \
`letter-read-with-coefficient`; roots that hold the unknown are wrong and unexplained |
"""


def page(found: dict[str, _Columns]) -> str:
    """Return the text of the page.

    Args:
        found: pattern -> its worked example.
    """
    patterns = catalogue()
    skills = [(skill, list(some)) for skill, some in groupby(patterns, lambda one: one.skill)]
    lines = [HEAD, f"{len(patterns)} patterns over {len(skills)} skills.\n"]
    lines += [f"- [{skill}](#{skill.replace(' ', '-')}): {len(some)}" for skill, some in skills]
    strengths = {one.id: _strength(one) for one in patterns}
    counts = Counter(strengths.values())
    lines += ["", "| described in | patterns |", "| --- | --- |"]
    lines += [f"| {strength.value} | {counts[strength]} |" for strength in Strength]
    for skill, some in skills:
        lines += ["", f"## {skill}"]
        for strength in Strength:
            alike = [one for one in some if strengths[one.id] is strength]
            lines += [f"\n### {skill}: {strength.value}"] if alike else []
            lines += _patterns(alike, found)
    return "\n".join([*lines, *_works()]) + "\n" + FOOT


def _strength(pattern: Pattern) -> Strength:
    try:
        return strength_of(pattern.source)
    except ValueError as error:
        raise ValueError(f"pattern {pattern.id}: {error}") from None


def _works() -> Iterator[str]:
    yield "\n## What is cited"
    for strength, works in WORKS.items():
        if any(works.values()):
            yield f"\n### {strength.value}\n"
            yield from (
                f"- {work}: {told}" if told else f"- {work}" for work, told in works.items()
            )


def _patterns(patterns: Iterable[Pattern], found: dict[str, _Columns]) -> Iterator[str]:
    for one in patterns:
        yield f"\n#### `{one.id}`\n\n{one.sentence}\n"
        told = dict.fromkeys(one.says(move.version) for move in one.moves)
        yield from (f"Or: {sentence}\n" for sentence in told if sentence != one.sentence)
        tasks = ", ".join(f"`{task}`" for task in one.tasks)
        yield f"Tasks: {tasks}. Source: {one.source.rstrip('.')}.\n"
        yield from _lines_of(found[one.id])


def _lines_of(shown: _Columns) -> Iterator[str]:
    wrong, right = shown["example_wrong_work"], shown["example_right_work"]
    if wrong is None:
        yield f"`{shown['example_task']}`: {_code(shown['example_problem'])}\n"
        wrong, right = [shown["example_wrong"]], [shown["example_right"]]
    yield "| wrong | right |\n| --- | --- |"
    both = zip_longest(wrong, right, fillvalue="")
    yield from (f"| {_code(one)} | {_code(two or '')} |" for one, two in both)


def _code(text: str) -> str:
    escaped = text.replace("|", "\\|")
    return f"`{escaped}`" if text else ""


def examples() -> dict[str, _Columns]:
    """Return the worked example of each pattern: columns of `store.pattern`."""
    return {one.id: _example(one) for one in catalogue()}


def _example(pattern: Pattern) -> _Columns:
    """The first example whose working can be printed, else the first of all."""
    lines = worked(pattern)
    same = [one for one in pattern.shows if lines is not None and one.problem == lines.problem]
    shown = (same or list(pattern.shows))[0]
    return {
        "example_task": shown.task,
        "example_problem": shown.problem,
        "example_wrong": shown.answer,
        "example_right": computed_answer(Request(shown.task, shown.problem, "")),
        "example_wrong_work": list(lines.wrong) if lines else None,
        "example_right_work": list(lines.right) if lines else None,
    }


def page_of_tasks() -> str:
    """Return the text of the page that lists the tasks."""
    rows = [
        f"| `{one.name}` | {one.asks} | {one.syntax} | `{one.example}` | `{one.answer}` |"
        for one in TASKS.values()
    ]
    return "\n".join(
        (
            "# Tasks and the syntax of their problems",
            "",
            "Made from the declarations beside it; a test holds it to them.",
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


def main() -> None:
    """Write the pages and the worked examples, all of them or none."""
    found = examples()
    texts = {
        PAGE: page(found),
        PAGE_OF_TASKS: page_of_tasks(),
        Path(str(WORKED_EXAMPLES)): json.dumps(found, ensure_ascii=False, indent=1) + "\n",
    }
    for path, text in texts.items():
        path.write_text(text, encoding="utf-8")
    print(f"{PAGE.name}: {len(catalogue())} patterns; {PAGE_OF_TASKS.name}: {len(TASKS)} tasks")


if __name__ == "__main__":
    main()
