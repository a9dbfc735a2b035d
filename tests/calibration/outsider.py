"""What an outsider can say of one student from all editions for everyone.

    python -m tests.calibration.outsider
    python -m tests.calibration.outsider useful

Each weekly edition is built by the program from its database. Those of the first course are written
and kept, and the outsider reads tables, workbook and charts there; at the end all files, with names
and metadata, are made once more without any answer, and must be the same byte for byte. Granted is
what these are sums of: every count that was ever printed, those of rows that the pages hide, too,
and when a count was printed anew and when it was not. The outsider knows the class list, all
answers of all other students at every time, how many answers the one student gave, which questions
were judged anew and when, the whole mechanism, and all but the key. What is left is how many of the
student's answers on a topic were wrong, and to which errors they are laid, in parts of one where an
answer fits two. For each number of wrong answers this gives the probability of each value, all
values likely alike beforehand: from the counts of wrong answers, those of the errors, and whether
the student meets the outcome's bar. Topics have 1, 2, 3, 4, 6 and 12 questions. It fails if any
value gets a probability of more than .5 (of a single answer, .62), or the true one on average more
than .25, or than it has by chance and .05. Numbers are taken one by one, and all of a student
together, who is taken to be as good on all topics of all three courses: that tells how able the
student is, so only numbers of eight answers or more are held to the same. Two counts that come out
alike tell no more: each is drawn apart, and all are in the odds. How often the best guess is right
is printed beside it; all students of a cell share what was added to it, so it jumps about .1 or .2.

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
from dataclasses import dataclass, field
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
from pipeline.statistics.compute import _evidence, _fixed_shares
from pipeline.statistics.disclosure import shared_tables, without_students
from pipeline.statistics.disclosure.cells import (
    DOUBT,
    UNIT,
    Cell,
    Part,
    Rules,
    fewest_changed,
    settle,
)
from pipeline.statistics.disclosure.noise import table
from pipeline.warehouse import Warehouse
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
SIZES = (18, 30, 60, 120)
DEPARTMENT = bytes(range(32))
"""The key of three courses with the same students, terms and topics: the three starts."""

JUDGED_ANEW = {0: 8, 1: 12}
"""Topic -> edition from which one of its questions is judged otherwise."""

START = pd.Timestamp("2024-01-15")
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


@dataclass(frozen=True)
class Edition:
    """What everyone was given, and what the outsider is granted beside it.

    Args:
        printed: cells by topic and error; "" for all wrong answers, "outcome" for outcomes.
        laid: kinds of wrong answers x errors, in `UNIT` parts of one.
    """

    printed: dict[tuple[int, str], list[Cell]]
    laid: Counts


class _InMemory(Warehouse):
    """A database without a file, told from the last edition's by its number."""

    edition = 0

    def fingerprint(self) -> str:
        return str(self.edition)


def editions(
    one: Course, count: int, every: int, secret: bytes, folder: Path | None = None
) -> Iterator[Edition]:
    """Each weekly edition, as the program makes it, in files where a folder is given."""
    warehouse, asked = _InMemory(duckdb.connect(config={"threads": 1})), set[str]()

    def read(name: str) -> pd.DataFrame:
        asked.add(name)
        return warehouse.frame(name)

    warehouse.make_all()
    for name, frame in listed().items():
        warehouse.put(f"store.{name}", frame)
    row = {"title": "A class", "minimum_students": LIMIT, "shared_weeks": every}
    warehouse.put("store.course", pd.DataFrame([row]))
    warehouse.build(computed=False)
    views = VIEWS["shared"] if folder else ("wrong", "pattern_prevalence")
    for warehouse.edition in range(1, count + 1):
        edition = warehouse.edition
        if erased := pseudonyms(np.flatnonzero(one.gone == edition)):
            before = warehouse.frame("store.shared_printed")
            kept = without_students(before, erased, warehouse.frame)
            warehouse.put("store.shared_printed", kept)
        warehouse.put("store.response", responses(one, edition))
        _make(warehouse, asked)
        evidence = _evidence(read)
        shares = _fixed_shares(read, evidence)
        for name, frame in shared_tables(read, evidence, shares, secret).items():
            warehouse.put(name, frame)
        _make(warehouse, (f"main.shared_{view}" for view in views))
        if folder:
            reports.write(folder, warehouse, "shared", (START + pd.Timedelta(weeks=edition)).date())
        printed = (
            _of_files(folder) if folder else map(warehouse.frame, map("shared_{}".format, views))
        )
        yield Edition(_read(warehouse, *printed), _laid(shares))
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
    names = ("wrong", "pattern-prevalence", "outcome-results", "quality", "term-comparison")
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


def _read(
    warehouse: Warehouse, wrong: pd.DataFrame, errors: pd.DataFrame
) -> dict[tuple[int, str], list[Cell]]:
    """The cells, of which what is published must be the sums."""
    found: dict[tuple[int, str], list[Cell]] = defaultdict(list)
    for row in warehouse.frame("store.shared_printed").to_dict("records"):
        if row["subject"] != "reading":
            error = "outcome" if row["subject"] == "outcome" else row["pattern"]
            found[int(row["topic"].split()[1]), error].append(Cell.of(row))
    errors = errors.rename(columns={"chances": "answers", "laid": "wrong"})
    shown = pd.concat([wrong.assign(pattern=""), errors]).dropna(subset=["topic", "answers"])
    for row in shown[shown["topic"] != ""].itertuples():
        cells = found[int(row.topic.split()[1]), row.pattern]
        assert row.answers == np.nansum([cell.answers for cell in cells])
        assert pd.isna(row.wrong) or row.wrong == np.nansum([cell.hits for cell in cells])
    return dict(found)


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
    """One count at one edition: printed anew, or left although some had changed.

    Args:
        row: place of the error among `ERRORS`, from 1; 0 for all wrong answers.
        edition: when.
        since: edition that had printed it before; 0 for none.
        cell: as it stands.
        anew: whether this edition printed it.
        kinds: by student and kind, the answers in it.
        units: what a kind of answers adds to it, in `UNIT` parts of one.
        changed: students who add something else than when it was printed before.
    """

    row: int
    edition: int
    since: int
    cell: Cell
    anew: bool
    kinds: Counts
    units: Counts
    changed: NDArray[np.bool_]

    def likelihood(self, student: int, states: Counts) -> Chances:
        """Chance of what was printed for each state of the student's answers, by kind."""
        added = self.kinds @ self.units
        true, over = np.divmod(added.sum() - added[student] + states @ self.units, UNIT)
        one, more = (
            _chance(int(self.cell.doublings), int(self.cell.hits) - true - up) for up in (0, 1)
        )
        return np.asarray(one + over / UNIT * (more - one))

    @property
    def fewest(self) -> int:
        """How many must have changed."""
        return fewest_changed(int((self.kinds.sum(axis=1) > 0).sum()), LIMIT)

    def waited(self, student: int) -> tuple[float, float]:
        """Chance that it was printed, or not, had the student not changed, or had."""
        others = int(self.changed.sum() - self.changed[student])
        enough = [_enough(others + mine, self.fewest) for mine in (0, 1)]
        first, second = (one if self.anew else 1 - one for one in enough)
        return first, second


@cache
def _weights(doublings: int) -> Chances:
    weights = np.array(table(doublings), dtype=float)
    return np.asarray(weights / weights.sum())


def _chance(doublings: int, added: Counts) -> Chances:
    weights = _weights(doublings)
    place = added + len(weights) // 2
    inside = (place >= 0) & (place < len(weights))
    return np.where(inside, weights[np.clip(place, 0, len(weights) - 1)], 0.0)


def _enough(changed: int, fewest: int) -> float:
    """Chance that a count is printed anew when so many students changed."""
    weights = _weights(DOUBT)
    values = np.arange(len(weights)) - len(weights) // 2
    return float(weights[changed + values >= fewest].sum()) if changed else 0.0


Looks = Mapping[tuple[int, int, int], list[Look]]
"""Looks by topic, first and last week of their cell."""


def looks(
    one: Course, count: int, every: int, secret: bytes, folder: Path | None = None
) -> Iterator[tuple[int, Looks]]:
    """After each edition, all looks at counts of errors and of wrong answers up to it."""
    found: dict[tuple[int, int, int], list[Look]] = defaultdict(list)
    printed: dict[tuple[int, str, int, int], tuple[int, Cell]] = {}
    for edition, now in enumerate(editions(one, count, every, secret, folder), start=1):
        kinds = one.kinds(edition)
        for (topic, error), cells in now.printed.items():
            row = 0 if error == "" else 9 if error == "outcome" else 1 + ERRORS.index(error)
            for cell in cells:
                key = (topic, error, cell.first, cell.last)
                since, before = printed.get(key, (0, None))
                if edition in one.gone:
                    since = 0  # all is printed anew, whoever changed
                anew = before is None or before.prints != cell.prints
                if not np.isnan(cell.hits):
                    look = _look(one, (row, edition, since, cell, anew), kinds, topic, now.laid)
                    if anew or look.changed.any():
                        found[topic, cell.first, cell.last].append(look)
                if anew:
                    printed[key] = edition, cell
        yield edition, found


def _look(
    one: Course, told: tuple[int, int, int, Cell, bool], kinds: Counts, topic: int, laid: Counts
) -> Look:
    row, edition, since, cell, anew = told
    if row == 9:
        mine, units = kinds[:, topic].sum(axis=1), np.zeros(len(laid), dtype=np.int64)
        return Look(row, edition, since, cell, anew, mine, units, np.zeros(len(mine), dtype=bool))
    weeks = weeks_of(topic)
    inside = (weeks >= cell.first) & (weeks <= cell.last)
    units = laid[:, row - 1] if row else np.array([0] + [UNIT] * len(FITS))
    adds = [k[:, topic][:, inside] for k in (kinds, one.kinds(since))]
    same = [
        np.array_equal(now @ units, then @ units) and np.array_equal(now.sum(-1), then.sum(-1))
        for now, then in zip(*adds, strict=True)
    ]
    return Look(row, edition, since, cell, anew, adds[0].sum(axis=1), units, ~np.array(same))


@cache
def states(answers: int) -> Counts:
    """All ways in which so many answers can divide over right ones and the kinds of wrong ones."""
    ways = product(range(answers + 1), repeat=len(FITS))
    return np.array([(answers - sum(one), *one) for one in ways if sum(one) <= answers])


@cache
def _moves(before: int, after: int, judged_anew: bool) -> NDArray[np.bool_]:
    """Which states can follow which: answers that came, and one that is judged otherwise."""
    new, old = states(after)[:, None, :], states(before)[None, :, :]
    more = new - old
    return np.asarray(np.minimum(more, 0).sum(axis=2) >= -int(judged_anew))


def _of_cell(seen: list[Look], student: int, judged: int) -> tuple[Chances, int] | None:
    """What all looks at a cell say of the student's number of wrong answers in it; the true one.

    Args:
        seen: looks, in order of editions.
        student: whom it is about.
        judged: edition from which one question of the topic is judged otherwise.
    """
    seen = [look for look in seen if look.kinds[student].sum()]
    while seen and not seen[-1].anew:
        seen.pop()  # what is not printed yet is no count
    if not seen:
        return None
    epochs: dict[tuple[int, bool], list[Look]] = defaultdict(list)
    for look in seen:
        epochs[int(look.kinds[student].sum()), look.edition >= judged].append(look)
    both, before = np.ones((1, 2)), None  # with what was printed, and without
    for (answers, anew), some in epochs.items():
        ways = states(answers)
        if before is not None:
            moves = _moves(before[0], answers, anew and not before[1])
            moves = moves / np.maximum(moves.sum(axis=0), 1)
            known = moves
            if before[0] == answers:
                known = moves * _waited(some, student, epochs[before], ways)
            both = np.column_stack([known @ both[:, 0], moves @ both[:, 1]])
        else:
            both = np.ones((len(ways), 2))
        for look in some:
            if look.anew:
                both[:, 0] *= look.likelihood(student, ways)
        before = (answers, anew)
    wrong = before[0] - states(before[0])[:, 0]
    after, prior = (np.bincount(wrong, both[:, place]) for place in (0, 1))
    found = after / prior  # every number is as likely beforehand
    return np.asarray(found / found.max()), int(seen[-1].kinds[student][1:].sum())


def _waited(some: list[Look], student: int, earlier: list[Look], ways: Counts) -> Chances:
    """Chance of what was printed and not, by the student's state before and after."""
    chance = np.ones((len(ways), len(ways)))
    last = {look.row: look.edition for look in earlier if look.anew}
    for look in some:
        if look.since and look.since == last.get(look.row):
            adds = ways @ look.units
            stayed, moved = look.waited(student)
            chance *= np.where(adds[:, None] == adds[None, :], stayed, moved)
    return chance


def told(found: Looks, topic: int, student: int) -> tuple[Chances, int] | None:
    """Probability of each number of wrong answers that are printed, and the true one."""
    own, flat, truth, met = np.ones(1), np.ones(1), 0, np.ones(2)
    for (about, *_), seen in found.items():
        if about != topic:
            continue
        for look in seen:
            if look.row == 9 and look.anew and look.kinds[student].sum() >= EVIDENCE:
                met = met * _met(look, student)
        mine = [look for look in seen if look.row != 9]
        if answer := _of_cell(mine, student, JUDGED_ANEW.get(topic, 99)):
            own, truth = np.convolve(own, answer[0]), truth + answer[1]
            flat = np.convolve(flat, np.ones_like(answer[0]))
    if len(own) < 2:
        return None
    right = len(own) - 1 - np.arange(len(own))
    own = own / flat * np.where(right >= BAR * (len(own) - 1) - 1e-9, met[1], met[0])
    return own / own.sum(), truth


def _met(look: Look, student: int) -> Chances:
    """Chance of a printed number of students who meet the bar, where the one does not, or does."""
    answers = look.kinds.sum(axis=1)
    meets = (answers >= EVIDENCE) & (look.kinds[:, 0] >= BAR * answers - 1e-9)
    others = int(meets.sum() - meets[student])
    return _chance(int(look.cell.doublings), int(look.cell.hits) - others - np.arange(2))


Told = Mapping[tuple[int, int], tuple[Chances, int]]
"""By student and topic: the probability of each number of wrong answers, and the true one."""


def attack(
    students: int, counts: tuple[int, ...], every: int, start: int, folder: Path | None = None
) -> dict[int, Told]:
    """By number of editions, what is told of each student and topic of which anything is printed.

    Args:
        students: of the class.
        counts: numbers of editions after which to attack.
        every: weeks of a period.
        start: which of the department's courses.
        folder: where to write the editions, to read what is printed from their files.
    """
    one = course(students, np.random.default_rng(start))
    found = {}
    for edition, seen in looks(one, max(counts), every, DEPARTMENT, folder):
        if edition in counts:
            pairs = product(range(students), range(TOPICS))
            answers = {pair: told(seen, pair[1], pair[0]) for pair in pairs}
            found[edition] = {pair: one for pair, one in answers.items() if one}
    return found


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
    for start in range(1, 121):
        generator = np.random.default_rng(start)
        one, rules = course(students, generator), Rules(generator.bytes(32), LIMIT, every)
        kinds = one.kinds(WEEKS + 5)[:, topic]
        n = kinds.sum(axis=-1)
        week, student = np.nonzero(n.T)
        y = n - kinds[..., 0]
        numbers = (student.astype(np.uint64) + np.uint64(1)) * np.uint64(0x9E3779B97F4A7C15)
        names, weeks = ("wrong", "fall", "quiz", "topic", ""), weeks_of(start % TOPICS)[week]
        rows = Part(names, weeks, numbers, n[student, week], y[student, week] * UNIT)
        cells = settle(rows, [], 10**6, rules)
        inside = rows.within(0, max((cell.last for cell in cells), default=-1))
        if cells:  # none is hidden in a first edition
            share = sum(c.hits for c in cells) / sum(c.answers for c in cells)
            moved.append(abs(share - inside.y.sum() / UNIT / inside.n.sum()))
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
            courses = [[one[count] for one in by_start] for count in COUNTS]
            found = [one if how == "alone" else together(one) for one in courses]
            rows = summed_up(chain.from_iterable(found))
            promised = rows[rows["answers"] >= (1 if how == "alone" else MANY)]
            failed |= not kept_from(promised) or bool((rows["true"] > RECOVERED).any())
            for answers, some in rows.groupby(rows["answers"].clip(upper=5)):
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
