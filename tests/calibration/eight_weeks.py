"""Eight weeks of a course: a file a week, and after the first week nothing but `lostroot run`.

`python -m tests.calibration.eight_weeks` plays them in a folder of its own, stops where an answer
is lost or doubled or a summary does not say what was new, prints the CPU time of each week, and
fails where a week costs more than it may. On a busy machine CPU time grows, too: a plain loop is
timed beside it.
The course, its students and their answers are invented.
"""

from __future__ import annotations

import csv
import os
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from pathlib import Path
from statistics import median

from pipeline.course import new_course
from pipeline.warehouse import reading

STUDENTS, QUESTIONS = 25, 8
MOST_CPU, MOST_IDLE = 3.0, 2.0
"""Seconds of CPU that a week, and a run with nothing new, may take on a quiet machine."""
FIRST = date(2026, 1, 12)
HEADER = ("Login ID", "Exercise", "Reply", "Submitted on", "Points earned", "Class section")
SETTINGS = """\
title = "Algebra by the river"
time_zone = "America/Chicago"
[[terms]]
id = "2026-spring"
first_day = 2026-01-12
weeks = 15
"""

Run = Callable[[Path], tuple[int, str, float]]
"""Runs a course folder: exit code, what was said, seconds of CPU."""
_Row = tuple[str, str, str, datetime, int, str]


@dataclass
class Week:
    """What is to be seen after a week.

    Args:
        number: from 1.
        says: texts that the summary must hold.
        cpu: seconds of CPU that its run took.
    """

    number: int
    says: list[str] = field(default_factory=list)
    cpu: float = 0.0


@dataclass
class Course:
    """The folder, and every answer that was ever exported with the score that counts."""

    folder: Path
    dice: random.Random = field(default_factory=lambda: random.Random(20260112))
    scores: dict[tuple[str, str], int] = field(default_factory=dict)
    weeks: dict[str, list[_Row]] = field(default_factory=dict)
    order: str = "%m/%d/%Y %H:%M"
    clock: float = field(default_factory=lambda: time.time() - 90 * 86_400)

    def begin(self) -> None:
        new_course(self.folder)
        (self.folder / "items.xlsx").unlink()
        (self.folder / "course.toml").write_text(SETTINGS, encoding="utf-8")
        self.write_items("")

    def write_items(self, corrected: str) -> None:
        """Fifteen weeks of equations with two roots; `corrected` gets another key."""
        rows = ["item,topic,task,problem,answer,week,correction"]
        for week in range(1, 9):
            for number in range(1, QUESTIONS + 1):
                one, other = week + number, -number
                name = f"w{week}-{number}"
                problem = f"(x - {one})(x + {number}) = 0"
                key = f'"{one}, {other}, 0",{week},yes' if name == corrected else f",{week},"
                rows.append(f"{name},quadratics,solve,{problem},{key}")
        text = "\n".join(rows) + "\n"
        (self.folder / "items.csv").write_text(text, encoding="utf-8")

    def answers(self, week: int, students: range, section: str) -> list[_Row]:
        """What a class section answered in a week; the last of its days may lie past the 12th."""
        rows: list[_Row] = []
        for student in students:
            for number in range(1, QUESTIONS + 1):
                one, right = week + number, self.dice.random() < 0.6
                typed = f"{one}, {-number}" if right else f"{-one}, {number}"
                day = FIRST + timedelta(7 * (week - 1) + self.dice.randrange(5))
                when = datetime(day.year, day.month, day.day, 9 + number, 15)
                rows.append(
                    (f"k{student:03}", f"w{week}-{number}", typed, when, int(right), section)
                )
        return rows

    def export(self, name: str, rows: list[_Row]) -> None:
        """Write a file later than every file before it."""
        self.clock += 86_400
        path = self.folder / "exports" / name
        with path.open("w", encoding="utf-8", newline="") as stream:
            lines = csv.writer(stream)
            lines.writerow(HEADER)
            for login, exercise, typed, when, score, section in rows:
                lines.writerow([login, exercise, typed, when.strftime(self.order), score, section])
        os.utime(path, (self.clock, self.clock))
        self.scores |= {(row[0], row[1]): row[4] for row in rows}
        self.weeks[name] = rows

    def stored(self) -> tuple[int, int, int]:
        """Stored answers, different pairs of student and question, and the sum of scores."""
        with reading(self.folder / "course.duckdb") as warehouse:
            rows = warehouse.part("store.response", ["student", "item", "score"])
        pairs = len(rows[["student", "item"]].drop_duplicates())
        return len(rows), pairs, int(rows["score"].sum())


def play(course: Course, run: Run, last: int = 8) -> Iterator[Week]:
    """Play the weeks one by one; each is checked before it is handed over.

    Raises:
        AssertionError: something was lost, doubled or not said.
    """
    for number in range(1, last + 1):
        week = Week(number)
        _EVENTS[number](course, week)
        code, said, week.cpu = run(course.folder)
        assert code == 0, f"week {number} ended with {code}:\n{said}"
        for text in week.says:
            assert text in said, f"week {number} does not say {text!r}:\n{said}"
        expected = (len(course.scores), len(course.scores), sum(course.scores.values()))
        assert course.stored() == expected, f"week {number}: {course.stored()}, not {expected}"
        yield week


def _first(course: Course, week: Week) -> None:
    course.export("week1.csv", course.answers(1, range(STUDENTS), "A"))
    week.says = ["New: 200 answers of 25 students to 8 questions"]
    _keep_map(course.folder)


def _keep_map(folder: Path) -> None:
    from pipeline.check import check_course

    report = check_course(folder, write=True)
    assert report.written == "course.toml", list(report.lines())


def _grown(course: Course, week: Week) -> None:
    """The first week is downloaded again: five more answers, one row is gone."""
    old = course.weeks["week1.csv"]
    late = course.answers(1, range(STUDENTS, STUDENTS + 1), "A")[:5]
    course.export("week1.csv", [*old[1:], *late])
    course.export("week2.csv", course.answers(2, range(STUDENTS), "A"))
    week.says = [
        "New: 205 answers of 26 students to 13 questions",
        "205 stored, 199 known before, 0 rejected",
        "1 answer was in an earlier download and not in the latest: they are kept",
        "Seen for the first time: 8 questions",
    ]


def _corrected_scores(course: Course, week: Week) -> None:
    """Last week's file under another name, with three scores that were mended."""
    rows = course.weeks["week2.csv"]
    mended = [(*row[:4], 1 - row[4], row[5]) if n < 3 else row for n, row in enumerate(rows)]
    course.export("a second download.csv", mended)
    course.export("week3.csv", course.answers(3, range(STUDENTS), "A"))
    week.says = ["200 stored, 200 known before", "3 scores were corrected by a later export"]


def _no_telling_date(course: Course, week: Week) -> None:
    """Days of which each could be a month: the other weeks tell."""
    course.export("week4.csv", course.answers(4, range(STUDENTS), "A"))
    week.says = ["New: 200 answers of 25 students to 8 questions, given from Feb 2 to Feb 6"]


def _corrected_key(course: Course, week: Week) -> None:
    course.write_items("w2-1")
    course.export("week5.csv", course.answers(5, range(STUDENTS), "A"))
    week.says = ["Correction of w2-1: 25 stored answers are judged anew", "200 stored"]


def _new_section(course: Course, week: Week) -> None:
    course.export("week6.csv", course.answers(6, range(STUDENTS), "A"))
    course.export("week6 evening.csv", course.answers(6, range(50, 50 + STUDENTS), "B"))
    week.says = ["New: 400 answers of 50 students", "8 questions and class section B"]


def _other_dates(course: Course, week: Week) -> None:
    course.order = "%d.%m.%Y %H:%M"
    course.export("week7.csv", course.answers(7, range(STUDENTS), "A"))
    week.says = ["200 answers", "given from Feb 23 to Feb 27"]


def _all_at_once(course: Course, week: Week) -> None:
    """The gradebook's whole export: seven weeks that are known, and a new one."""
    course.order = "%Y-%m-%d %H:%M"
    known = [row for name, rows in course.weeks.items() if name != "week2.csv" for row in rows]
    course.export("all weeks.csv", [*known, *course.answers(8, range(STUDENTS), "A")])
    week.says = ["New: 200 answers of 25 students to 8 questions, given from Mar 2 to Mar 6"]


_EVENTS = {
    1: _first,
    2: _grown,
    3: _corrected_scores,
    4: _no_telling_date,
    5: _corrected_key,
    6: _new_section,
    7: _other_dates,
    8: _all_at_once,
}


def by_command(folder: Path) -> tuple[int, str, float]:
    """Run as a double click does, in a process of its own."""
    command = [sys.executable, "-P", "-m", "pipeline.cli", "run", str(folder)]
    # What is installed is compiled; a shell that forbids it would have it done in every run.
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    before = os.times()
    done = subprocess.run(command, capture_output=True, text=True, check=False, env=environment)
    after = os.times()
    cpu = after.children_user + after.children_system
    cpu -= before.children_user + before.children_system
    return done.returncode, done.stdout + done.stderr, cpu


def main() -> None:
    """Play all weeks, print what each cost, and say whether that is what it may cost.

    Raises:
        SystemExit: the middle one of the weeks after the first, or a run with nothing new, costs
            more.
    """
    with tempfile.TemporaryDirectory() as name:
        course = Course(Path(name) / "algebra")
        course.begin()
        weeks = []
        for week in play(course, by_command):
            weeks.append(week.cpu)
            print(f"week {week.number}: {week.cpu:4.1f} s of CPU; said: {week.says[0]}", flush=True)
        _, _, idle = by_command(course.folder)
        answers, _, _ = course.stored()
        print(f"{answers:,} answers exported and stored, none lost, none doubled")
    middle = median(weeks[1:])
    told = f"a week: {middle:.1f} s of CPU, of {MOST_CPU}; nothing new: {idle:.1f}, of {MOST_IDLE}"
    print(f"{told} (a loop of ten million steps: {_loop():.2f})")
    if middle > MOST_CPU or idle > MOST_IDLE:
        raise SystemExit("a week costs more than it may")


def _loop() -> float:
    begin = time.process_time()
    for _ in range(10_000_000):
        pass
    return time.process_time() - begin


if __name__ == "__main__":
    main()
