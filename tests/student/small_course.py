"""A course of twelve invented students over two terms, ids of two kinds."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from pipeline.course import new_course

MAILS = tuple(f"student{n}.oakes@larkfield.example" for n in range(1, 8))
NUMBERS = tuple(str(90417730 + 7919 * n) for n in range(1, 6))
IDS = MAILS + NUMBERS
ITEMS = ("sq-1", "sq-2", "lin-1")
PROBLEMS = {"sq-1": "x^2 = 49", "sq-2": "(x - 3)^2 = 16", "lin-1": "3x + 5 = 20"}
RIGHT = {"sq-1": "7, -7", "sq-2": "7, -1", "lin-1": "5"}
WRONG = {"sq-1": "7", "sq-2": "7", "lin-1": "25/3"}
SETTINGS = """\
title = "Algebra"
time_zone = "America/Chicago"
[[terms]]
id = "2026-spring"
first_day = 2026-01-12
weeks = 15
[[terms]]
id = "2026-fall"
first_day = 2026-08-24
weeks = 15
"""
SPRING, FALL = "2026-02-03T15:00Z", "2026-09-08T15:00Z"


def open_to_others(folder: Path) -> list[str]:
    """Files that the program wrote and others may read; the course's own and `shared` apart."""
    public = (folder / "exports", folder / "reports" / "shared")
    return [
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.is_file()
        and path.name not in ("course.toml", "items.csv", "Run.cmd", "run.sh")
        and not any(one in path.parents for one in public)
        and path.stat().st_mode & 0o077
    ]


def items_text(rows: dict[str, str] | None = None, more: str = "") -> str:
    lines = ["item,topic,task,problem,answer,from,correction"]
    lines += [f"{name},roots,solve,{text},,," for name, text in (rows or PROBLEMS).items()]
    return "\n".join(lines) + "\n" + more


def export_text(when: str, answers: dict[tuple[str, str], str] | None = None) -> str:
    """A row per student and item; every third student shows an error, every fourth in fall."""
    every = 4 if when == FALL else 3
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\n")
    rows.writerow(["student", "full name", "item", "answer", "answered_at", "section"])
    for place, student in enumerate(IDS):
        for item in ITEMS:
            typed = (WRONG if place % every == 0 else RIGHT)[item]
            typed = (answers or {}).get((student, item), typed)
            rows.writerow([student, f"Person {place} Oakes", item, typed, when, "A"])
    return text.getvalue()


def small_course(folder: Path, privacy: str = "", exports: dict[str, str] | None = None) -> Path:
    new_course(folder)
    (folder / "items.xlsx").unlink()
    (folder / "items.csv").write_text(items_text(), encoding="utf-8")
    (folder / "course.toml").write_text(SETTINGS + privacy, encoding="utf-8")
    for name, text in (exports or {"spring.csv": export_text(SPRING)}).items():
        (folder / "exports" / name).write_text(text, encoding="utf-8")
    return folder
