"""The truth about an invented course, in a folder that no stage of the pipeline reads.

`answers.csv` has a row for every good answer: where it stands, and what was planted (`right`, ids
of patterns joined by ` + `, or `slip`, `outside`, `blank`, `dont-know`, `unreadable`, `too-coarse`,
`right-other-form`), how it was typed, and whether the export's score is wrong.

`expected_rates.csv` has for each term, question and cause the share of first tries that it was
planted with, over all students and all numbers of the question. The planted prevalence of a pattern
over a set of first tries is the mean of these rates over the tries (0 where the question does not
show the pattern); it is a property of the plan, not of the draw, as an interval's target must be.
"""

from __future__ import annotations

from pathlib import Path

from synthetic_data.calendar import TERMS
from synthetic_data.classroom import Answer
from synthetic_data.export_files import Exports
from synthetic_data.questions import Question
from synthetic_data.tables import write_table
from synthetic_data.tendencies import CAUSES, expected_rates

TRUTH = "truth"


def write_truth(
    folder: Path, exports: Exports, questions: tuple[Question, ...], plain: bool
) -> None:
    """Write the truth about the exports; `plain` says that everyone got the first numbers."""
    headings = (
        "file", "line", "term", "student", "item", "attempt", "setting", "problem", "answer",
        "planted", "habit", "score_is_wrong",
    )  # fmt: skip
    rows = (_truth_row(file, line, answer) for file, line, answer in exports.placed)
    write_table(folder / "answers.csv", [headings, *rows])
    mishaps = ("file", "line", "kind")
    for name, end in (
        ("planted_rows_to_reject", "rejected"),
        ("planted_duplicates", "duplicate"),
        ("planted_test_account", "left out"),
    ):
        chosen = [one for one in exports.mishaps if one.ends_as == end]
        rows_of = [[one.file, str(one.line), one.kind] for one in chosen]
        write_table(folder / f"{name}.csv", [mishaps, *rows_of])
    write_table(folder / "expected_rates.csv", _rate_rows(questions, plain))


def _truth_row(file: str, line: int, answer: Answer) -> list[str]:
    return [
        file,
        str(line),
        TERMS[answer.term].id,
        answer.student,
        answer.question.id,
        str(answer.attempt),
        answer.question.setting,
        answer.problem,
        answer.text,
        answer.cause,
        answer.habit,
        "yes" if answer.score_is_wrong else "no",
    ]


def _rate_rows(questions: tuple[Question, ...], plain: bool) -> list[list[str]]:
    """For each term, question and cause that it can show: the rate that was planted."""
    rows = [["term", "item", "cause", "expected_rate"]]
    for place, term in enumerate(TERMS):
        for question in questions:
            asked = question.later if place and question.later else question
            problems = asked.problems[:1] if plain else asked.problems
            for cause, rate in zip(
                CAUSES, expected_rates(place, question.week, problems), strict=True
            ):
                if rate > 0:
                    rows.append([term.id, question.id, cause, f"{rate:.6f}"])
    return rows
