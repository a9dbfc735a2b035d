"""What an outsider can say of one student from all editions for everyone.

    python -m tests.calibration.outsider
    python -m tests.calibration.outsider useful

Each weekly edition is built by the program from its database. Those of the first course are written
and kept, and the outsider reads tables, workbook and charts there; at the end all files, with names
and metadata, are made once more without any answer, and must be the same byte for byte. Granted is
what these are sums of: every count that was ever printed, those of rows that the pages hide, too.
The outsider knows the class list, all answers of all other students at every time, which answers
the one student gave, which questions were judged anew and when, the whole mechanism, and all but
the key. What is left is how many of the student's answers on a topic were wrong, and to which
errors they are laid, in parts of one where an answer fits two. For each number of wrong answers
this gives the probability of each value, all values likely alike beforehand: from the counts of
wrong answers, those of the errors, and whether the student meets the outcome's bar. Topics have 1,
2, 3, 4, 6 and 12 questions. It fails if any value gets a probability of more than .5 (of a single
answer, .62), or the true one on average more than .25, or than it has by chance and .05. Numbers
are taken one by one, and all of a student together, who is taken to be as good on all topics of all
three courses: that tells how able the student is, so only numbers of eight answers or more are held
to the same. Two counts that come out alike tell no more: each is drawn apart, and all are in the
odds. All students of a cell share what was added to it, so that one key makes no average: beside
what was printed, the same cells are drawn as other keys would have drawn them. How often the best
guess is right is printed, too.

Courses are simulated with weekly editions over 1 to 15 weeks, 12 % of homework late under its old
date, answers corrected, a question's key changed, students erased at different times, and three
courses of a department with the same students under one key. `useful` prints what all this costs:
by how many points perturbing moves the share wrong of a topic of twelve questions, on average.
"""

from __future__ import annotations

import json
import re
import sys
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache
from itertools import chain, product
from pathlib import Path
from tempfile import TemporaryDirectory

import duckdb
import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.stats import binom

import reports
from pipeline.course.records import PERIODS
from pipeline.models import ordered
from pipeline.statistics.compute import _evidence, shares_of
from pipeline.statistics.disclosure import shared_tables, without_students
from pipeline.statistics.disclosure.cells import (
    UNIT,
    Part,
    Rules,
    counted,
    doublings,
    settle,
)
from pipeline.statistics.disclosure.noise import table
from pipeline.warehouse import Warehouse, building
from reports.export import VIEWS

ASKED = ((1, 2), (3, 4), (3, 1), (3, 2), (2, 2), (1, 1))
"""Weeks of each topic and questions of each of these: 2, 12, 3, 6, 4 and 1 questions in all."""

TOPICS, WEEKS, STEP, SPAN, QUESTIONS = len(ASKED), 15, 2, 3, 4
"""A topic begins every `STEP` weeks; at most `SPAN` weeks, and `QUESTIONS` questions in each."""

FITS = ({"a": 1.0}, {"b": 0.6, "c": 0.4}, {"c": 1.0})
"""Kinds of wrong answers, from 1: which errors lead to each, by weight."""

ERRORS = ("a", "b", "c")
LATE, BAR, LIMIT, EVIDENCE = 0.12, 0.7, 10, 8
RECOVERED = 0.99
MOST, MOST_OF_ONE = 0.5, 0.62
"""No value of a count gets a larger probability: of two answers or more, and of one."""

AVERAGE, MOVED = 0.25, 0.05
"""What the true value has on average at most, or so much more than beforehand, if that is more."""

MANY = 8
"""Answers from which this holds together, too: all courses tell how able a student is, and with
that of a single answer whether it is right, as they do of one whom nobody counted."""

COUNTS = (1, 4, 9, 15)
KEYS = 7
SIZES = (18, 30, 60, 120)
DEPARTMENT = bytes(range(32))
"""The key of three courses with the same students, terms and topics: the three starts."""

JUDGED_ANEW = {0: 8, 1: 12}
"""Topic -> edition from which one of its questions is judged otherwise."""

START = pd.Timestamp("2024-01-15")
DATABASE = "course.duckdb"
Chances = NDArray[np.float64]
Counts = NDArray[np.int64]


def weeks_of(topic: int) -> Counts:
    """The teaching weeks in which a topic can be practised."""
    return topic * STEP + np.arange(SPAN) + 1


IN_COURSE = np.array([[[w < weeks and q < each for q in range(QUESTIONS)] for w in range(SPAN)]
                      for weeks, each in ASKED])  # fmt: skip
"""Topic x week x question: which of them the course has."""


@dataclass(frozen=True)
class Course:
    """What happened in a class: student x topic x week of the topic x question.

    Args:
        wrong: 0 where right, else the kind of wrong answer, from 1.
        arrives: edition from which a week's homework is known, by student, topic and week.
        gone: edition from which a student is erased; 99 for never.
        changes: edition, and what it does to `wrong`.
    """

    wrong: Counts
    arrives: Counts
    gone: Counts
    changes: dict[int, Counts] = field(default_factory=dict)

    def at(self, edition: int) -> tuple[Counts, NDArray[np.bool_]]:
        """Wrong answers as they are judged then, and which homework is known."""
        judged = [when for when in self.changes if when <= edition]
        wrong = self.changes[max(judged)] if judged else self.wrong
        known = (self.arrives <= edition) & (self.gone > edition)[:, None, None]
        return wrong, known[..., None] & IN_COURSE

    def kinds(self, edition: int) -> Counts:
        """Known answers by student, topic, week of the topic and kind, right ones first."""
        wrong, known = self.at(edition)
        kinds = range(len(FITS) + 1)
        return np.stack([((wrong == k) & known).sum(axis=3) for k in kinds], axis=-1)


def course(students: int, generator: np.random.Generator) -> Course:
    shape = (students, TOPICS, SPAN, QUESTIONS)
    same = np.random.default_rng(students)  # in all courses of the department
    able = same.beta(2, 4, students)[:, None, None, None]
    wrong = (generator.random(shape) < able) * generator.integers(1, len(FITS) + 1, shape)
    on_time = np.array([weeks_of(topic) for topic in range(TOPICS)])
    late = generator.random(shape[:3]) < LATE
    arrives = on_time[None] + late * generator.integers(1, 5, shape[:3])
    gone = np.r_[6, 10, np.full(students - 2, 99)]
    corrected, changed = wrong.copy(), wrong.copy()
    some = generator.permutation(students)[: LIMIT + 2]
    corrected[some, 0, 0, 0] = np.where(corrected[some, 0, 0, 0] > 0, 0, 1)
    changed[:] = corrected
    changed[:, 1, 0, 2] = 0  # its key was mistaken: every answer was right
    return Course(wrong, arrives, gone, {JUDGED_ANEW[0]: corrected, JUDGED_ANEW[1]: changed})


def problem(topic: int, week: int, question: int) -> str:
    return f"problem {topic}.{week}.{question}"


def pseudonyms(students: range | Counts) -> list[str]:
    return [f"{student:032x}" for student in students]


@cache
def listed() -> dict[str, pd.DataFrame]:
    """What the course lists, and what the program makes of each answer that can come."""
    places = [tuple(map(int, place)) for place in np.argwhere(IN_COURSE)]
    item = pd.DataFrame([
        {"item": problem(*one), "topic": f"topic {one[0]}", "place": "task", "task": "solve",
         "problem": problem(*one), "numbers": "real", "week": int(weeks_of(one[0])[one[1]])}
        for one in places
    ])  # fmt: skip
    kinds = range(len(FITS) + 1)
    examined = pd.DataFrame([
        {"problem": problem(*one), "answer": f"kind {k}", "task": "solve", "numbers": "real",
         "verdict": "wrong" if k else "right", "read_as": f"kind {k}", "value_key": f"kind {k}",
         "unexplained": 0.1 if k else np.nan}
        for one in places for k in kinds
    ])  # fmt: skip
    examined["examined"] = range(1, len(examined) + 1)
    fits = [(k + 1, e, weight) for k, one in enumerate(FITS) for e, weight in one.items()]
    candidate = pd.DataFrame([
        {"examined": 1 + number * len(kinds) + k, "faults": [e], "pattern": e, "weight": weight,
         "general": False}
        for number in range(len(places)) for k, e, weight in fits
    ])  # fmt: skip
    prediction = pd.DataFrame([
        {"task": "solve", "problem": problem(*one), "numbers": "real", "value_key": f"kind {k}",
         "faults": [e], "pattern": e, "weight": weight, "wrong": True}
        for one in places for k, e, weight in fits
    ])  # fmt: skip
    last_day = START + pd.Timedelta(days=7 * WEEKS - 1)
    names = [f"topic {t}" for t in range(TOPICS)]
    return {
        "term": pd.DataFrame({"term": ["fall"], "title": "Fall", "position": 1,
                              "first_day": START, "last_day": last_day, "weeks": WEEKS}),
        "topic": pd.DataFrame({"topic": names, "title": names, "position": range(1, TOPICS + 1),
                               "outcome": names}),
        "outcome": pd.DataFrame({"outcome": names, "statement": names, "target": 0.7, "bar": BAR,
                                 "attempt": "first", "fewest": 1}),
        "pattern": pd.DataFrame({"pattern": ERRORS, "position": range(1, len(ERRORS) + 1),
                                 "skill": "planted", "sentence": ERRORS, "general": False}),
        "item": item, "examined": examined, "candidate": candidate, "prediction": prediction,
    }  # fmt: skip


def responses(one: Course, edition: int) -> pd.DataFrame:
    """Rows of `store.response` as they are known at an edition."""
    wrong, known = one.at(edition)
    student, topic, week, question = np.nonzero(known)
    names = [problem(*each) for each in zip(topic, week, question, strict=True)]
    weeks = topic * STEP + week + 1
    return pd.DataFrame({
        "response": np.ravel_multi_index((student, topic, week, question), wrong.shape) + 1,
        "term": "fall", "week": weeks, "answered_week": weeks, "section": "A",
        "topic": [f"topic {t}" for t in topic], "item": names, "place": "task", "task": "solve",
        "problem": names, "numbers": "real", "student": pseudonyms(student), "attempt": 1,
        "answered_at": START + pd.to_timedelta(7 * (weeks - 1), unit="D"),
        "answer": [f"kind {k}" for k in wrong[student, topic, week, question]],
        "setting": "quiz", "count": 1, "file": "fall.csv", "line": range(2, len(names) + 2),
    })  # fmt: skip


@cache
def _stored(every: int) -> TemporaryDirectory[str]:
    """A database with what the course lists: to copy it takes a twentieth of making it."""
    folder = TemporaryDirectory()
    with building(Path(folder.name) / DATABASE) as warehouse:
        for name, frame in listed().items():
            warehouse.put(f"store.{name}", frame)
        row = {"title": "A class", "minimum_students": LIMIT, "shared_weeks": every}
        warehouse.put("store.course", pd.DataFrame([row]))
        warehouse.build(computed=False)
    return folder


class InMemory(Warehouse):
    """A database without a file, told from the last edition's by its number."""

    edition = 0

    def fingerprint(self) -> str:
        return str(self.edition)

    @classmethod
    def of_class(cls, every: int) -> InMemory:
        """One with what the course lists, and no answers."""
        connection = duckdb.connect(config={"threads": 1})
        connection.execute(f"attach '{_stored(every).name}/{DATABASE}' as stored (read_only)")
        connection.execute("copy from database stored to memory; detach stored")
        return cls(connection)

    def publish(self, secret: bytes) -> tuple[pd.DataFrame, pd.DataFrame]:
        """What is printed for everyone, with that of earlier editions, and the shares it is by."""
        self.edition += 1
        _make(self, BENEATH)
        evidence = _evidence(self.frame)
        shares = shares_of(self.frame, evidence)
        for name, frame in shared_tables(self.frame, evidence, shares, secret).items():
            self.put(name, frame)
        return self.frame("store.shared_printed"), shares


BENEATH = [f"staging.{name}" for name in (
    "judged", "opportunity", "predicted_value", "question", "wrong_value", "serves",
    "shared_answer", "shared_cell", "shared_day", "shared_part", "shared_seen", "shared_term",
)]  # fmt: skip
"""What the tables for everyone are worked out from."""


def looks(
    one: Course, count: int, every: int, secret: bytes, folder: Path | None = None
) -> Iterator[tuple[int, list[Look]]]:
    """The cells that each weekly edition prints, by the program; in files if there is a folder."""
    warehouse, known = InMemory.of_class(every), set[tuple[str, ...]]()
    views = VIEWS["shared"] if folder else ("wrong", "pattern_prevalence")
    for edition in range(1, count + 1):
        if erased := pseudonyms(np.flatnonzero(one.gone == edition)):
            printed = without_students(warehouse.frame("store.shared_printed"), erased)
            warehouse.put("store.shared_printed", printed)
        warehouse.put("store.response", responses(one, edition))
        printed, shares = warehouse.publish(secret)
        _make(warehouse, (f"main.shared_{view}" for view in views))
        if folder:
            reports.write(folder, warehouse, "shared", (START + pd.Timedelta(weeks=edition)).date())
        tables = (
            _of_files(folder) if folder else map(warehouse.frame, map("shared_{}".format, views))
        )
        _sums_alone(printed, *tables)
        answers = warehouse.frame("staging.shared_answer").set_index("mark")["response"]
        cells = [*printed[["subject", "topic", "pattern", "first"]].itertuples(index=False)]
        new = printed[np.array([cell not in known for cell in cells], dtype=bool)]
        known.update(cells)
        yield edition, _looks(new, answers, one.at(edition)[0], _laid(shares))
    if folder:
        _nothing_else(warehouse, folder, (START + pd.Timedelta(weeks=count)).date())


def _nothing_else(warehouse: Warehouse, folder: Path, day: date) -> None:
    """Every file, its name and its metadata come from the printed counts: without answers, too."""
    for name in ("response", "examined", "candidate", "prediction"):
        warehouse.put(f"store.{name}", warehouse.frame(f"store.{name}").iloc[:0])
    _make(warehouse, (f"main.shared_{view}" for view in VIEWS["shared"]))
    with TemporaryDirectory() as empty:
        reports.write(Path(empty), warehouse, "shared", day)
        files, again = (
            {path.relative_to(one): path.read_bytes() for path in one.rglob("*") if path.is_file()}
            for one in (folder / "reports" / "shared", Path(empty) / "reports" / "shared")
        )
    assert len(files) > 15
    assert files == again


def _make(warehouse: Warehouse, wanted: Iterable[str]) -> None:
    """Make some tables anew with all that they are made from."""
    needed, waiting = set[str](), list(wanted)
    while waiting:
        needed.add(name := waiting.pop())
        waiting += warehouse.models[name].needs - needed
    for model in ordered(warehouse.models[name] for name in needed):
        if model.schema in ("staging", "main"):
            warehouse.make(model.name)


def _of_files(folder: Path) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Right and wrong and errors, as the latest edition that is kept has them in each of its files.

    The workbook holds the same, and charts hold no number that the tables do not.
    """
    edition = max((folder / "reports" / "kept").glob("*-shared"))
    names = ("wrong", "pattern-prevalence", "outcome-results", "term-comparison")
    tables = {name: pd.read_csv(edition / "tables" / f"{name}.csv") for name in names}
    for name, table_ in tables.items():
        sheet = pd.read_excel(edition / "tables" / "all-tables.xlsx", name.replace("-", " "))
        pd.testing.assert_frame_equal(sheet, table_, check_dtype=False)
    told = {
        round(number, digits) for table_ in tables.values() for digits in (2, 6)
        for number in table_.select_dtypes("number").stack()
    }  # fmt: skip
    drawn = "".join(page.read_text(encoding="utf-8") for page in edition.glob("*.html"))
    for chart in re.findall(r'type="application/json"[^>]*>(.*?)</script>', drawn, re.DOTALL):
        for row in chain.from_iterable(json.loads(chart).get("datasets", {}).values()):
            numbers = {round(one, 6) for one in row.values() if isinstance(one, int | float)}
            assert numbers <= told | {0, 1}, row
    return tables["wrong"], tables["pattern-prevalence"]


def _sums_alone(printed: pd.DataFrame, wrong: pd.DataFrame, errors: pd.DataFrame) -> None:
    """Each count that is published is the sum of printed cells."""
    of_topics = printed[printed["subject"] != "outcome"]
    cells = of_topics.groupby(["topic", "pattern"])[["answers", "hits"]].sum()
    errors = errors.rename(columns={"laid": "wrong"})
    shown = pd.concat([wrong.assign(pattern=""), errors]).dropna(subset=["topic", "answers"])
    for row in shown[shown["topic"] != ""].itertuples():
        answers, hits = cells.loc[(row.topic, row.pattern)]
        assert row.answers == answers
        assert pd.isna(row.wrong) or row.wrong == hits


def _laid(shares: pd.DataFrame) -> Counts:
    """How much of each kind of wrong answer is laid to each error; it is the same everywhere."""
    kind = (shares["examined"] - 1) % (len(FITS) + 1)
    table_ = shares.assign(kind=kind).groupby(["kind", "pattern"])["share"].agg(["min", "max"])
    assert (table_["max"] - table_["min"] < 1e-9).all()
    found = np.zeros((len(FITS) + 1, len(ERRORS)), dtype=np.int64)
    for (k, pattern), share in table_["max"].items():
        if pattern in ERRORS:
            found[int(k), ERRORS.index(pattern)] = np.rint(share * UNIT)
    return found


@dataclass(frozen=True)
class Look:
    """A cell as it was printed.

    Args:
        topic: its number.
        outcome: whether it is of the topic's outcome.
        kinds: by student and kind, the answers in it.
        printed: what was printed, the variance of what was added as a power of 2, and what each
            kind of answers adds, in `UNIT` parts of one; of all wrong answers and of each error.
    """

    topic: int
    outcome: bool
    kinds: Counts
    printed: Sequence[tuple[int, int, Counts]]

    def numbers(self, student: int) -> Chances:
        """Chance of what was printed for each number of the student's wrong answers in it."""
        ways = states(int(self.kinds[student].sum()))
        chance = np.ones(len(ways))
        for hits, wide, units in self.printed:
            added = self.kinds @ units
            true, over = np.divmod(added.sum() - added[student] + ways @ units, UNIT)
            one, more = (_chance(wide, hits - true - up) for up in (0, 1))
            chance *= one + over / UNIT * (more - one)
        wrong = ways[:, 1:].sum(axis=1)
        found = np.bincount(wrong, chance) / np.bincount(wrong)
        return np.asarray(found / found.max())

    def met(self, student: int) -> Chances:
        """Chance of the printed number where the student does not meet the bar, or does."""
        hits, wide, _ = self.printed[0]
        if self.kinds[student].sum() < EVIDENCE:
            return np.ones(2)
        return _chance(wide, hits - self.meets.sum() + self.meets[student] - np.arange(2))

    @property
    def meets(self) -> NDArray[np.bool_]:
        """Who meets the bar."""
        answers = self.kinds.sum(axis=1)
        return (answers >= EVIDENCE) & (self.kinds[:, 0] >= BAR * answers - 1e-9)

    def redrawn(self, generator: np.random.Generator) -> Look:
        """The same cell as another key would have printed it."""
        printed = []
        for _, wide, units in self.printed:
            true = self.meets.sum() * UNIT if self.outcome else (self.kinds @ units).sum()
            weights = _weights(wide)
            noise = generator.choice(len(weights), p=weights) - len(weights) // 2
            printed.append((int((true + generator.integers(UNIT)) // UNIT + noise), wide, units))
        return replace(self, printed=printed)


def _looks(
    printed: pd.DataFrame, answers: pd.Series[int], wrong: Counts, laid: Counts
) -> list[Look]:
    """What an edition prints first, with the answers that it counts."""
    found = []
    outcomes = printed["subject"] == "outcome"
    for (outcome, *_), rows in printed.groupby([outcomes, "topic", "first"]):
        place = answers.loc[np.concatenate([*rows["marks"]])].to_numpy() - 1
        student, topic, week, question = np.unravel_index(place, wrong.shape)
        kinds = np.zeros((len(wrong), len(FITS) + 1), dtype=np.int64)
        np.add.at(kinds, (student, wrong[student, topic, week, question]), 1)
        counts = [
            (int(row.hits), int(row.doublings), _units(row.pattern, laid))
            for row in rows.itertuples()
        ]
        found.append(Look(int(topic[0]), bool(outcome), kinds, counts))
    return found


def _units(error: str, laid: Counts) -> Counts:
    return laid[:, ERRORS.index(error)] if error else np.array([0] + [UNIT] * len(FITS))


@cache
def states(answers: int) -> Counts:
    """All ways in which so many answers can divide over right ones and the kinds of wrong ones."""
    ways = product(range(answers + 1), repeat=len(FITS))
    return np.array([(answers - sum(one), *one) for one in ways if sum(one) <= answers])


@cache
def _weights(doublings: int) -> Chances:
    weights = np.array(table(doublings), dtype=float)
    return np.asarray(weights / weights.sum())


def _chance(doublings: int, added: Counts) -> Chances:
    weights = _weights(doublings)
    place = added + len(weights) // 2
    inside = (place >= 0) & (place < len(weights))
    return np.where(inside, weights[np.clip(place, 0, len(weights) - 1)], 0.0)


def told(seen: Sequence[Look], topic: int, student: int) -> tuple[Chances, int] | None:
    """Probability of each number of wrong answers that are printed, and the true one."""
    own, flat, truth, met = np.ones(1), np.ones(1), 0, np.ones(2)
    for look in seen:
        if look.topic == topic and look.outcome:
            met = met * look.met(student)
        elif look.topic == topic and look.kinds[student].any():
            numbers = look.numbers(student)
            own, flat = np.convolve(own, numbers), np.convolve(flat, np.ones_like(numbers))
            truth += int(look.kinds[student][1:].sum())
    if len(own) < 2:
        return None
    right = len(own) - 1 - np.arange(len(own))
    # Every number is as likely beforehand.
    own = own / flat * np.where(right >= BAR * (len(own) - 1) - 1e-9, met[1], met[0])
    return own / own.sum(), truth


Told = Mapping[tuple[int, int], tuple[Chances, int]]
"""By student and topic: the probability of each number of wrong answers, and the true one."""


def attack(
    students: int, counts: tuple[int, ...], every: int, start: int, folder: Path | None = None
) -> dict[int, list[Told]]:
    """By number of editions, what is told of each student and topic of which anything is printed.

    First as it was printed, then as `KEYS` other keys would have printed the same cells: all
    students of a cell share what was added to it, so that one key makes no average.

    Args:
        students: of the class.
        counts: numbers of editions after which to attack.
        every: weeks of a period.
        start: which of the department's courses.
        folder: where to write the editions, to read what is printed from their files.
    """
    generator = np.random.default_rng(start)
    one = course(students, generator)
    found, seen = {}, [list[Look]() for _ in range(1 + KEYS)]
    for edition, new in looks(one, max(counts), every, DEPARTMENT, folder):
        for place, some in enumerate(seen):
            some += [look.redrawn(generator) if place else look for look in new]
        if edition in counts:
            found[edition] = [_told_of_all(some, students) for some in seen]
    return found


def _told_of_all(seen: Sequence[Look], students: int) -> Told:
    pairs = product(range(students), range(TOPICS))
    answers = {pair: told(seen, pair[1], pair[0]) for pair in pairs}
    return {pair: one for pair, one in answers.items() if one}


def together(courses: Sequence[Told]) -> list[Told]:
    """The same where the outsider takes a student to be as good on all topics of all courses."""
    rates = (np.arange(64) + 0.5) / 64
    ways = {pair: [one[pair] for one in courses if pair in one] for pair in set().union(*courses)}
    odds = defaultdict[int, Chances](lambda: np.ones(len(rates)))
    for (student, _), told_of in ways.items():
        for chances, _ in told_of:
            odds[student] = odds[student] * (_by_rate(len(chances) - 1, rates) @ chances)
    return [
        {
            pair: (_scaled(chances * ((odds[pair[0]] / (by @ chances)) @ by)), truth)
            for pair, (chances, truth) in one.items()
            for by in [_by_rate(len(chances) - 1, rates)]
        }
        for one in courses
    ]


def _by_rate(answers: int, rates: Chances) -> Chances:
    """Rate x number of wrong answers: how likely; over all rates each number is as likely."""
    return np.asarray(binom.pmf(np.arange(answers + 1)[None, :], answers, rates[:, None]))


def _scaled(chances: Chances) -> Chances:
    return chances / chances.sum()


def summed_up(found: Iterable[Told]) -> pd.DataFrame:
    """A row for each count: answers, probability of the true value and of the best guess, whether
    that is right."""
    answers = [answer for one in found for answer in one.values()]
    rows = [(len(c) - 1, c[truth], c.max(), c.argmax() == truth) for c, truth in answers]
    return pd.DataFrame(rows, columns=["answers", "true", "most", "guessed"])


def kept_from(rows: pd.DataFrame) -> bool:
    """Whether the counts hold what is promised of so many answers.

    Beforehand one of n + 1 values has a probability of 1/(n + 1): one answer alone has two, so that
    any figure moves it past a half. How far is what counts there.
    """
    n = rows["answers"]
    average = rows.groupby(n)["true"].mean()
    beforehand = 1 / (average.index.to_numpy() + 1)
    return bool(
        (rows["most"] <= np.where(n == 1, MOST_OF_ONE, MOST)).all()
        and (average <= np.maximum(AVERAGE, beforehand + MOVED)).all()
    )


def useful() -> None:
    """Mean distance, in points, of the printed share of a topic from the share of its answers."""
    print("students  " + "  ".join(f"{name:>8}" for name in PERIODS))
    for students in (30, 60, 120, 250):
        means = [_moved(students, every) for every in PERIODS.values()]
        print(f"{students:>8}  " + "  ".join(f"{mean:>8.1f}" for mean in means), flush=True)


def _moved(students: int, every: int) -> float:
    moved, topic = [], ASKED.index((3, 4))
    wide = doublings("wrong", 12)
    for start in range(1, 121):
        generator = np.random.default_rng(start)
        one, rules = course(students, generator), Rules(generator.bytes(32), LIMIT, every)
        wrong, known = one.at(WEEKS + 5)
        student, week, question = np.nonzero(known[:, topic])
        number = student * 64 + week * QUESTIONS + question
        mark = (student.astype(np.uint64) << np.uint64(32)) + number.astype(np.uint64)
        y = (wrong[:, topic][student, week, question] > 0).astype(np.int64)
        ones, weeks = np.ones_like(y), weeks_of(start % TOPICS)[week]
        rows = Part(("wrong", "fall", "quiz", "topic"), weeks, mark, ones, y, -ones)
        cells = list(settle(rows, 0, 10**6, rules))
        if cells:
            told_of = [counted(cell, "", cell.part.y * UNIT, wide, rules) for cell in cells]
            share = sum(c["hits"] for c in told_of) / sum(c["answers"] for c in told_of)
            true = sum(cell.part.y.sum() for cell in cells) / sum(len(c.part.y) for c in cells)
            moved.append(abs(share - true))
    return 100 * float(np.mean(moved))


def main() -> int:
    failed = False
    print("period    students  courses   answers  counts  mean  guessed  most  recovered")
    for name, students in product(PERIODS, SIZES):
        with TemporaryDirectory() as folder:
            by_start = [
                attack(students, COUNTS, PERIODS[name], start, Path(folder) if start == 1 else None)
                for start in (1, 2, 3)
            ]
        for how in ("alone", "together"):
            courses = [
                tell
                for count in COUNTS
                for tell in zip(*(one[count] for one in by_start), strict=True)
            ]
            found = [one if how == "alone" else together(one) for one in courses]
            rows = summed_up(chain.from_iterable(found))
            promised = rows[rows["answers"] >= (1 if how == "alone" else MANY)]
            failed |= not kept_from(promised) or bool((rows["true"] > RECOVERED).any())
            for answers, some in rows.groupby(rows["answers"].clip(upper=MANY)):
                exact = int((some["true"] > RECOVERED).sum())
                print(
                    f"{name:<9} {students:>8}  {how:<8}  {answers:>7}  {len(some):>6}"
                    f"  {some['true'].mean():.2f}  {some['guessed'].mean():>7.2f}"
                    f"  {some['most'].max():.3f}  {exact:>9}",
                    flush=True,
                )
    return int(failed)


if __name__ == "__main__":
    sys.exit(useful() if sys.argv[1:] == ["useful"] else main())
