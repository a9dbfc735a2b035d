"""A small course as its stored frames: two terms of simulated classes, with a bit of everything."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pandas as pd

from pipeline.statistics.compute import compute
from pipeline.warehouse import Warehouse
from tests.calibration.simulated_class import PROCEDURES, QUADRATICS, Frames, draw, predictions

SECRET = bytes(range(32))
"""A pseudonym key of tests."""

FOLLOWS = "follows from an earlier part"
"""A wrong answer that is right once the student's own earlier one is taken."""

TERMS = ("fall", "spring")
RECORD = '{"answer": null, "asked": null, "keep": null}'
"""What the row of a question says beyond its columns."""
START = {"fall": pd.Timestamp("2023-08-28"), "spring": pd.Timestamp("2024-01-15")}


def problem(question: int) -> str:
    a, b, c = QUADRATICS[question]
    return f"{a}x^2 + {b}x + {c} = 0"


def week(question: int) -> int:
    return 1 + question // 4


def course(limit: int = 10) -> pd.DataFrame:
    return pd.DataFrame({"title": ["Algebra"], "minimum_students": [limit], "time_zone": ["UTC"],
                         "shared_weeks": [1], "program": ["0"]})  # fmt: skip


def terms() -> pd.DataFrame:
    return pd.DataFrame(
        {
            "term": TERMS,
            "title": ["Fall", "Spring"],
            "position": [1, 2],
            "first_day": [START[t] for t in TERMS],
            "last_day": [START[t] + pd.Timedelta(days=27) for t in TERMS],
            "weeks": [4, 4],
        }
    )


def items() -> pd.DataFrame:
    rows = [
        {"item": f"q{q:02}", "topic": "quadratics", "place": "task", "task": "solve",
         "problem": problem(q), "numbers": "real", "week": week(q), "position": q + 1}
        for q in range(len(QUADRATICS))
    ]  # fmt: skip
    later = {"item": "q03", "topic": "more", "place": "task", "task": "solve",
             "problem": problem(3), "numbers": "real", "week": week(3), "position": 40}  # fmt: skip
    return pd.DataFrame([*rows, later]).assign(record=RECORD)


def patterns() -> pd.DataFrame:
    return pd.DataFrame(
        {
            "pattern": list(PROCEDURES),
            "position": range(1, len(PROCEDURES) + 1),
            "skill": "quadratic formula",
            "sentence": [f"Does {name}." for name in PROCEDURES],
            "source": "simulated",
            "tasks": [["solve"]] * len(PROCEDURES),
            "general": False,
        }
    )


def stored_predictions() -> pd.DataFrame:
    wrong = predictions()
    return pd.DataFrame(
        {
            "task": "solve",
            "problem": [problem(q) for q in wrong["question"]],
            "numbers": "real",
            "value_key": wrong["value_key"],
            "faults": [[p] for p in wrong["pattern"]],
            "pattern": wrong["pattern"],
            "weight": 1.0,
            "wrong": True,
        }
    )


def responses(frames: Frames, term: str, first: int) -> pd.DataFrame:
    seen = frames.opportunities
    weeks = seen["question"].map(week)
    minutes = pd.to_timedelta(seen["question"] * 10 + 30, unit="m")
    given = START[term] + pd.to_timedelta((weeks - 1) * 7, unit="D") + minutes
    right = seen["answer"] == "right"
    return pd.DataFrame(
        {
            "response": range(first, first + len(seen)),
            "term": term,
            "week": weeks,
            "answered_week": weeks,
            "section": ["A" if s % 2 else "B" for s in seen["student"]],
            "topic": "quadratics",
            "item": [f"q{q:02}" for q in seen["question"]],
            "place": "task",
            "task": "solve",
            "problem": seen["question"].map(problem),
            "numbers": "real",
            "student": [f"{term[0]}{s:031x}" for s in seen["student"]],
            "attempt": 1,
            "answered_at": given,
            "answered_on": given.dt.normalize(),
            "answer": [a if not r else "ok" for a, r in zip(seen["answer"], right, strict=True)],
            "score": right.astype(float),
            "points": 1.0,
            "setting": "practice",
            "count": 1,
            "file": f"{term}.csv",
            "line": range(2, 2 + len(seen)),
        }
    )


def examined(answers: pd.DataFrame) -> tuple[pd.DataFrame, pd.DataFrame]:
    distinct = answers[["problem", "answer"]].drop_duplicates().reset_index(drop=True)
    distinct["examined"] = range(1, len(distinct) + 1)
    right = distinct["answer"] == "ok"
    known = stored_predictions()
    found = distinct.merge(known, left_on=["problem", "answer"], right_on=["problem", "value_key"])[
        ["examined", "faults", "pattern"]
    ].assign(weight=1.0, general=False)
    explained = distinct["examined"].isin(found["examined"])
    table = pd.DataFrame(
        {
            "examined": distinct["examined"],
            "task": "solve",
            "problem": distinct["problem"],
            "numbers": "real",
            "answer": distinct["answer"],
            "verdict": np.where(
                right, "right", np.where(distinct["answer"] == "", "blank", "wrong")
            ),
            "read_as": distinct["answer"],
            "value_key": distinct["answer"],
            "unexplained": np.where(right, np.nan, np.where(explained, 0.1, 1.0)),
        }
    )
    return table, found


def fill(
    warehouse: Warehouse,
    students: int = 60,
    limit: int = 10,
    keep: Callable[[pd.DataFrame], pd.DataFrame] | None = None,
    printed: pd.DataFrame | None = None,
) -> None:
    """Write a whole course into an open database and build every table.

    `keep` may leave out answers; `printed` is what everyone was told before.
    """
    generator = np.random.default_rng(11)
    first = responses(draw(students, generator), "fall", 1)
    second = responses(draw(students, generator), "spring", 1 + len(first))
    answers = pd.concat([first, second], ignore_index=True)
    if keep is not None:
        answers = keep(answers)
    table, candidates = examined(answers)
    lesson = {"lesson": "1", "term": "spring", "day": START["spring"] + pd.Timedelta(days=7),
              "week": 2, "title": "Halving b", "topics": ["quadratics"],
              "patterns": ["one-root"], "sections": []}  # fmt: skip
    outcome = {"outcome": "solve-quadratics", "statement": "Solves quadratics.", "target": 0.7,
               "bar": 0.5, "evidence": ["practice"], "attempt": "first", "fewest": 6}  # fmt: skip
    topic = {"topic": "quadratics", "title": "Quadratic equations", "position": 1,
             "first_week": 1, "outcome": "solve-quadratics", "needs": []}  # fmt: skip
    loads = answers.groupby("file").size()
    files = pd.DataFrame({"file": loads.index, "rows_read": loads.to_numpy()})
    files = files.assign(stored=files["rows_read"], duplicates=0, rejected=0)
    for name, frame in {
        "course": course(limit), "term": terms(), "item": items(), "pattern": patterns(),
        "topic": pd.DataFrame([topic]), "lesson": pd.DataFrame([lesson]),
        "outcome": pd.DataFrame([outcome]), "response": answers, "examined": table,
        "candidate": candidates, "prediction": stored_predictions(), "source_file": files,
    }.items():  # fmt: skip
        warehouse.put(f"store.{name}", frame)
    follows = answers.loc[answers["answer"] == FOLLOWS, ["response"]]
    warehouse.put("store.following", follows.assign(follows_from="an earlier part"))
    if printed is not None:
        warehouse.put("store.shared_printed", printed)
    with warehouse.at_once():
        warehouse.build(computed=False)
        for name, frame in compute(warehouse.frame, SECRET).items():
            warehouse.put(name, frame)
        warehouse.build(computed=True)
