"""Which textbook exercises the catalogue serves: `python -m tests.calibration.coverage`.

An exercise is *tagged* when at least one error of the catalogue, slips apart, predicts a wrong
answer to it; *judged only* when its right answer is computed or its printed key can be read;
*neither* otherwise. Exercises: OpenStax Elementary Algebra 2e, Intermediate Algebra 2e (Lynn
Marecek and others) and College Algebra 2e (Jay Abramson and others), Rice University, CC BY 4.0;
book and section stand in each row of `tests/cases/textbook_*.csv`.
"""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from pipeline.errors import UnreadableProblem
from pipeline.records import Request
from pipeline.tagging.predict import predicted
from pipeline.tagging.questions import question_of

CASES = Path(__file__).parent.parent / "cases"
FILES = ("textbook_solve.csv", "textbook_expressions.csv", "textbook_further.csv")
PLACES = ("tagged", "judged only", "neither")


class Exercise(NamedTuple):
    """One exercise as a course would ask it."""

    book: str
    section: str
    name: str
    request: Request


def exercises() -> Iterator[Exercise]:
    """Yield every collected exercise."""
    for file in FILES:
        with (CASES / file).open(encoding="utf-8", newline="") as stream:
            for row in csv.DictReader(stream):
                book = row["book"].removeprefix("OpenStax ")
                name = row["exercise"] if "exercise" in row else row["example"]
                yield Exercise(book, row["section"], name, _request(row))


def _request(row: dict[str, str]) -> Request:
    task = "solve" if row["task"].startswith("solve") else row["task"]
    allowed = "(complex allowed)" in row["task"] or row.get("numbers") == "complex"
    return Request(
        task=task,
        problem=row["problem"],
        answer="",
        key=row["answer"],
        numbers="complex" if allowed else "real",
        asked=row.get("asked") or None,
        keep=row.get("keep") or None,
    )


def place_of(request: Request) -> str:
    """Say how far answers to an exercise can be worked on."""
    if request.task != "judge" and _errors(request):
        return "tagged"
    computed = request.task != "judge" and question_of(replace(request, key=None)).right
    return "judged only" if computed or question_of(request).right else "neither"


def _errors(request: Request) -> bool:
    try:
        rows = predicted(request.task, request.question, request.numbers)
    except UnreadableProblem:
        return False
    return any(len(faults) == 1 and not general for _, faults, _, _, general in rows)


def counts() -> dict[tuple[str, str], Counter[str]]:
    """Count exercises by book and section."""
    found: dict[tuple[str, str], Counter[str]] = {}
    for one in exercises():
        found.setdefault((one.book, one.section), Counter())[place_of(one.request)] += 1
    return found


def chapter_of(section: str) -> int:
    """Return the number of the chapter that a section stands in."""
    return int(section.split(".", maxsplit=1)[0])


def main() -> None:
    """Print counts by book and chapter, sections in which something cannot be tagged, totals."""
    found = counts()
    chapters: dict[tuple[str, int], Counter[str]] = {}
    for (book, section), places in found.items():
        chapters.setdefault((book, chapter_of(section)), Counter()).update(places)
    print(f"{'book':<26}{'chapter':>8}" + "".join(f"{place:>13}" for place in PLACES))
    for (book, chapter), places in sorted(chapters.items()):
        print(f"{book:<26}{chapter:>8}" + "".join(f"{places[place]:>13}" for place in PLACES))
    total = sum(found.values(), Counter())
    print(f"{'all':<34}" + "".join(f"{total[place]:>13}" for place in PLACES))
    print("\nsections with exercises that cannot be tagged:")
    for (book, section), places in sorted(found.items()):
        if places["judged only"] or places["neither"]:
            told = ", ".join(f"{places[place]} {place}" for place in PLACES if places[place])
            print(f"  {book} {section}: {told}")


if __name__ == "__main__":
    main()
