"""Which of ten planted errors can be seen in each edition, for classes of 18, 30 and 120.

    python -m tests.calibration.small_classes

Weeks are pooled before anything is hidden: the own edition shows an error by topic and week, and
over the term; the edition for everyone in whole percents over the term, or as "under 5%".
"""

from __future__ import annotations

import tempfile
from pathlib import Path

import numpy as np
import pandas as pd

from pipeline.course.records import PERIODS
from pipeline.statistics.compute import compute
from pipeline.warehouse import Warehouse, building, reading
from tests.warehouse.stored_course import SECRET

SIZES = (18, 30, 120)
RATES = (0.03, 0.05, 0.07, 0.10, 0.12, 0.15, 0.18, 0.22, 0.27, 0.33)
"""Planted share of chances at which each error is made."""

PATTERNS = tuple(f"planted-{round(100 * rate):02}" for rate in RATES)
TOPICS, WEEKS, QUESTIONS = 5, 10, 40
HELD = 0.6
"""Share of chances at which a student who holds an error makes it."""

START = pd.Timestamp("2024-01-15")


def shows(question: int) -> tuple[int, ...]:
    """The two errors that a question can show: each can be shown by eight questions of a topic."""
    topic = question % TOPICS
    return topic, topic + TOPICS


def answers(students: int, generator: np.random.Generator) -> pd.DataFrame:
    """First tries: student, question and what was answered, `right` or an error's own value."""
    holds = generator.random((students, len(RATES))) < np.array(RATES) / HELD
    rows = []
    for student in range(students):
        for question in range(QUESTIONS):
            given = "right"
            for error in shows(question):
                if holds[student, error] and generator.random() < HELD:
                    given = f"value of {PATTERNS[error]}"
                    break
            else:
                given = "stray" if generator.random() < 0.05 else given
            rows.append((student, question, given))
    return pd.DataFrame(rows, columns=["student", "question", "answer"])


def week(question: int) -> int:
    return 1 + question // (QUESTIONS // WEEKS)


def fill(
    warehouse: Warehouse, students: int, generator: np.random.Generator, every: str = "month"
) -> None:
    """Write one class of one term into an open database and build every table."""
    seen = answers(students, generator)
    problems = seen["question"].map(lambda q: f"problem {q}")
    weeks = seen["question"].map(week)
    days = START + pd.to_timedelta(7 * (weeks - 1), unit="D")
    response = pd.DataFrame(
        {
            "response": range(1, len(seen) + 1), "term": "spring", "week": weeks,
            "answered_week": weeks, "section": "A",
            "topic": seen["question"].map(lambda q: f"topic {q % TOPICS}"),
            "item": seen["question"].map(lambda q: f"q{q:02}"), "place": "task", "task": "solve",
            "problem": problems, "numbers": "real",
            "student": seen["student"].map(lambda s: f"{s:032x}"), "attempt": 1,
            "answered_at": days, "answered_on": days, "answer": seen["answer"],
            "setting": "practice", "count": 1, "file": "spring.csv",
            "line": range(2, len(seen) + 2),
        }
    )  # fmt: skip
    distinct = response[["problem", "answer"]].drop_duplicates().reset_index(drop=True)
    right = distinct["answer"] == "right"
    known = distinct["answer"].str.startswith("value of ")
    examined = distinct.assign(
        examined=range(1, len(distinct) + 1), task="solve", numbers="real",
        verdict=np.where(right, "right", "wrong"), read_as=distinct["answer"],
        value_key=distinct["answer"],
        unexplained=np.where(right, np.nan, np.where(known, 0.1, 1.0)),
    )  # fmt: skip
    fits = examined[known].assign(pattern=lambda f: f["answer"].str.removeprefix("value of "))
    candidate = fits[["examined", "pattern"]].assign(
        faults=[[name] for name in fits["pattern"]], weight=1.0, general=False
    )
    prediction = pd.DataFrame(
        [
            {"task": "solve", "problem": f"problem {q}", "numbers": "real",
             "value_key": f"value of {PATTERNS[e]}", "faults": [PATTERNS[e]],
             "pattern": PATTERNS[e], "weight": 1.0, "wrong": True}
            for q in range(QUESTIONS)
            for e in shows(q)
        ]
    )  # fmt: skip
    _store(warehouse, response, examined, candidate, prediction, every)


def _store(
    warehouse: Warehouse,
    response: pd.DataFrame,
    examined: pd.DataFrame,
    candidate: pd.DataFrame,
    prediction: pd.DataFrame,
    every: str,
) -> None:
    last_day = START + pd.Timedelta(days=7 * WEEKS - 1)
    frames = {
        "course": pd.DataFrame({"title": ["A class"], "minimum_students": [10],
                                "shared_weeks": [PERIODS[every]]}),
        "term": pd.DataFrame({"term": ["spring"], "title": ["Spring"], "position": [1],
                              "first_day": [START], "last_day": [last_day], "weeks": [WEEKS]}),
        "topic": pd.DataFrame({"topic": [f"topic {t}" for t in range(TOPICS)],
                               "title": [f"Topic {t}" for t in range(TOPICS)],
                               "position": range(1, TOPICS + 1)}),
        "pattern": pd.DataFrame({"pattern": PATTERNS, "position": range(1, len(PATTERNS) + 1),
                                 "skill": "planted", "sentence": PATTERNS, "general": False}),
        "response": response, "examined": examined, "candidate": candidate,
        "prediction": prediction,
    }  # fmt: skip
    for name, frame in frames.items():
        warehouse.put(f"store.{name}", frame)
    warehouse.build(computed=False)
    for name, frame in compute(warehouse.frame, SECRET).items():
        warehouse.put(name, frame)
    warehouse.build(computed=True)


def seen_in_each_edition(
    folder: Path, students: int, start: int = 1, every: str = "month"
) -> dict[str, list[str]]:
    """Planted errors that each edition prints with a figure of their own."""
    path = folder / f"class-{students}.duckdb"
    with building(path, afresh=True) as warehouse:
        fill(warehouse, students, np.random.default_rng(start), every)
    with reading(path) as warehouse:
        weekly = warehouse.frame("own_error_by_topic_week").dropna(subset=["rate_low"])
        own = warehouse.frame("own_pattern_prevalence").dropna(subset=["rate_low"])
        every = warehouse.frame("shared_pattern_prevalence")
        shared, topics = every[every["topic"] == ""], every[every["topic"] != ""]
    return {
        "own, by topic and week": sorted(set(weekly["pattern"])),
        "own, over the term": sorted(set(own["pattern"])),
        "for everyone, in percent": sorted(set(shared.dropna(subset=["rate"])["pattern"])),
        "for everyone, as under 5% and the like": sorted(
            set(shared.dropna(subset=["code"])["pattern"])
        ),
        "for everyone, by topic": sorted(set(topics.dropna(subset=["rate"])["pattern"])),
    }


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        for students in SIZES:
            print(f"class of {students}")
            for edition, names in seen_in_each_edition(Path(folder), students).items():
                short = " ".join(name.removeprefix("planted-") for name in names)
                print(f"  {edition}: {len(names)} of {len(PATTERNS)}  ({short})")


if __name__ == "__main__":
    main()
