"""What an outsider can say of one student from all editions for everyone.

    python -m tests.calibration.outsider
    python -m tests.calibration.outsider useful

The outsider has every count that was ever printed, those of rows that the pages hide for their
changed counts, too, and sees when a count was printed anew and when it was not; knows the class
list, all answers of all other students at every time, how many answers the one student gave, which
questions were judged anew and when, the whole mechanism, and all but the key. What is left is how
many of the student's answers on a topic were wrong. For each such count this gives the probability
of each value, all values likely alike beforehand: from the cells of the topic, from the errors
that its wrong answers are laid to (here all of them are), and from whether the student meets the
outcome's bar. It fails if any count of two answers or more can be told with a probability of more
than .5, or on average more than .25. How often the best guess is right is printed beside it; all
students of a cell share what was added to it, so it jumps about .1 or .2.

Courses are simulated with weekly editions over 1 to 15 weeks, 12 % of homework late under its old
date, scores corrected, a question's key changed, students erased at different times, and
three courses of a department with the same students under one key. `useful` prints what all this
costs: by how many points perturbing moves the share wrong of a topic of twelve questions, on
average.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import product

import numpy as np
from numpy.typing import NDArray

from pipeline.course.records import PERIODS
from pipeline.statistics.disclosure.cells import (
    DOUBT,
    Cell,
    Part,
    Rules,
    _marks,
    closed_periods,
    settle,
)
from pipeline.statistics.disclosure.noise import Keys, table

TOPICS, WEEKS, SPAN, QUESTIONS, ERRORS = 5, 15, 3, 4, 3
"""Each topic is practised for `SPAN` weeks, a few questions a week."""

LATE, BAR, LIMIT = 0.12, 0.7, 10
AVERAGE, MOST, RECOVERED = 0.25, 0.5, 0.99
DEPARTMENT = bytes(range(32))
"""The key of three courses with the same students, terms and topics: the three starts."""

JUDGED_ANEW = {0: 8, 1: 12}
"""Topic -> edition from which one of its questions is judged otherwise."""

Chances = NDArray[np.float64]


@dataclass(frozen=True)
class Course:
    """What happened in a class: student x topic x week of the topic x question.

    Args:
        wrong: 0 where right, else the error that was made, from 1.
        arrives: edition from which a week's homework is known, by student, topic and week.
        gone: edition from which a student is erased; 99 for never.
        changes: edition, and what it does to `wrong`.
    """

    wrong: NDArray[np.int64]
    arrives: NDArray[np.int64]
    gone: NDArray[np.int64]
    changes: dict[int, NDArray[np.int64]] = field(default_factory=dict)

    def at(self, edition: int) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
        """Wrong answers as they are judged then, and which homework is known."""
        judged = [when for when in self.changes if when <= edition]
        wrong = self.changes[max(judged)] if judged else self.wrong
        known = (self.arrives <= edition) & (self.gone > edition)[:, None, None]
        return wrong, known


def course(students: int, generator: np.random.Generator) -> Course:
    shape = (students, TOPICS, SPAN, QUESTIONS)
    able = generator.beta(2, 4, students)[:, None, None, None]
    wrong = (generator.random(shape) < able) * generator.integers(1, ERRORS + 1, shape)
    on_time = np.arange(TOPICS)[:, None] * SPAN + np.arange(SPAN) + 1
    late = generator.random(shape[:3]) < LATE
    arrives = on_time[None] + late * generator.integers(1, 5, shape[:3])
    gone = np.r_[6, 10, np.full(students - 2, 99)]
    corrected, changed = wrong.copy(), wrong.copy()
    some = generator.permutation(students)[: LIMIT + 2]
    corrected[some, 0, 1, 0] = np.where(corrected[some, 0, 1, 0] > 0, 0, 1)
    changed[:] = corrected
    changed[:, 1, 0, 2] = 0  # its key was mistaken: every answer was right
    return Course(wrong, arrives, gone, {JUDGED_ANEW[0]: corrected, JUDGED_ANEW[1]: changed})


@dataclass(frozen=True)
class Print:
    """One printed count with what the outsider knows behind it.

    Args:
        edition: that printed it.
        looks: edition, students who add something else than was printed last, and whether it was
            printed anew; all editions since the print before, this one included.
        value: as printed.
        spread: standard deviation of what was added.
        truth: by student, what the student adds.
        answers: by student, how many answers the student gave there.
    """

    edition: int
    looks: list[tuple[int, frozenset[int], bool]]
    value: float
    spread: float
    truth: NDArray[np.int64]
    answers: NDArray[np.int64]

    def likelihood(self, student: int, most: int) -> Chances:
        """Chance of this print for each value of the student's count from 0 to `most`."""
        values, chances = table(self.spread)
        left = self.value - (self.truth.sum() - self.truth[student]) - np.arange(most + 1)
        place = np.rint(left).astype(int) - values[0]
        inside = (place >= 0) & (place < len(values))
        return np.where(inside, chances[np.clip(place, 0, len(values) - 1)], 0.0)

    def waited(self, student: int, since: int, changed: int) -> float:
        """Chance of what was printed and not, where one more student had or had not changed."""
        values, chances = table(DOUBT)
        chance = 1.0
        for edition, others, anew in self.looks:
            if edition >= since:
                count = len(others - {student}) + changed
                printed = float(chances[count + values >= LIMIT].sum()) if count else 0.0
                chance *= printed if anew else 1 - printed
        return chance


def numbers(students: NDArray[np.int64]) -> Keys:
    """Numbers of 64 bits, as pseudonyms have."""
    return (students.astype(np.uint64) + np.uint64(1)) * np.uint64(0x9E3779B97F4A7C15)


def part(one: Course, edition: int, topic: int, error: int, every: int) -> Part:
    """What the topic's row, or that of one of its errors, is made of."""
    wrong, known = one.at(edition)
    counted = wrong[:, topic] > 0 if not error else wrong[:, topic] == error
    student, week = np.nonzero(known[:, topic])
    period = -(-(topic * SPAN + week + 1) // every)
    y = counted[student, week].sum(axis=1).astype(float)
    order = np.lexsort((student, period))
    names = ("error" if error else "wrong", "fall", "quiz", f"topic {topic}", str(error or ""))
    y, n = y[order], np.full(len(y), float(QUESTIONS))
    return Part(names, period[order], numbers(student[order]), n, y)


def outcome(one: Course, edition: int, topic: int, every: int) -> tuple[Part, NDArray[np.int64]]:
    wrong, known = one.at(edition)
    n = known[:, topic].sum(axis=1) * QUESTIONS
    right = n - ((wrong[:, topic] > 0) & known[:, topic][:, :, None]).sum(axis=(1, 2))
    who = np.flatnonzero(n)
    met = np.where(n > 0, right >= BAR * n - 1e-9, False).astype(np.int64)
    names = ("outcome", "fall", "", f"topic {topic}", "")
    y, period = met[who].astype(float), np.full(len(who), -(-WEEKS // every))
    return Part(names, period, numbers(who), np.ones(len(who)), y), met


def editions(
    one: Course, count: int, every: int, secret: bytes
) -> Iterator[dict[object, list[Cell]]]:
    """What each weekly edition prints, as the program does it."""
    rules, before = Rules(secret, LIMIT), defaultdict(list)
    for edition in range(1, count + 1):
        if (one.gone == edition).any():
            for key, cells in before.items():  # `forget` withdraws what was printed
                before[key] = [cell.hidden() for cell in cells]
        _, known = one.at(edition)
        week = (np.arange(TOPICS)[:, None] * SPAN + np.arange(SPAN) + 1) * known
        last = week.max(axis=(1, 2))
        seen = {"fall": {int(w): int((last == w).sum()) for w in np.unique(last[last > 0])}}
        closed = dict(closed_periods(seen, [("fall", WEEKS)], every, rules))["fall"]
        for topic, error in product(range(TOPICS), range(ERRORS + 1)):
            rows = part(one, edition, topic, error, every)
            before[topic, error] = settle(rows, before[topic, error], closed, rules)
        for topic in range(TOPICS):
            rows, _ = outcome(one, edition, topic, every)
            before[topic, "outcome"] = settle(rows, before[topic, "outcome"], closed, rules)
        yield {key: list(cells) for key, cells in before.items()}


def prints(one: Course, count: int, every: int, secret: bytes) -> dict[object, list[Print]]:
    """All counts that differ from the edition before, by topic, error and weeks of the cell."""
    found: dict[object, list[Print]] = defaultdict(list)
    last: dict[object, Cell] = {}
    looks: dict[object, list[tuple[int, frozenset[int], bool]]] = defaultdict(list)
    for edition, printed in enumerate(editions(one, count, every, secret), start=1):
        for (topic, error), cells in printed.items():
            for cell in cells:
                key = (topic, error, cell.first, cell.last)
                anew = last.get(key) is None or last[key].prints != cell.prints
                if error != "outcome" and key in last:
                    rows = part(one, edition, topic, error, every).within(cell.first, cell.last)
                    look = (edition, _changed(last[key], rows, len(one.wrong)), anew)
                    if not looks[key] or looks[key][-1][1] != look[1]:  # else the same draw
                        looks[key].append(look)
                if anew and not np.isnan(cell.hits):
                    truth, answers = _behind(one, edition, (topic, error), cell, every)
                    seen = (edition, looks.pop(key, []), cell.hits, cell.hits_sd, truth, answers)
                    found[key].append(Print(*seen))
                last[key] = cell
    return found


def _changed(before: Cell, rows: Part, students: int) -> frozenset[int]:
    changed = np.unique(np.setxor1d(before.marks, _marks(rows)) >> np.uint64(32))
    return frozenset(
        np.flatnonzero(np.isin(numbers(np.arange(students)) >> np.uint64(32), changed))
    )


def _behind(
    one: Course, edition: int, row: tuple[int, object], cell: Cell, every: int
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """What each student adds to a cell, and how many answers stand behind it."""
    topic, error = row
    wrong, known = one.at(edition)
    if error == "outcome":
        return outcome(one, edition, topic, every)[1], known[:, topic].any(1) * 1
    period = -(-(topic * SPAN + np.arange(SPAN) + 1) // every)
    mine = known[:, topic] & (period >= cell.first) & (period <= cell.last)
    counted = wrong[:, topic] > 0 if not error else wrong[:, topic] == error
    return (counted & mine[:, :, None]).sum(axis=(1, 2)), mine.sum(axis=1) * QUESTIONS


def told(found: dict[object, list[Print]], topic: int, student: int) -> tuple[Chances, int]:
    """Probability of each number of wrong answers that are printed, and the true one."""
    parts: dict[object, list[Chances]] = defaultdict(list)
    truth, met = 0, np.ones((2, 1))
    for (t, error, _, _), seen in found.items():
        mine = [one for one in seen if one.answers[student]]
        if t != topic or not mine:
            continue
        if error == "outcome":
            met = np.prod([one.likelihood(student, 1) for one in mine], axis=0)[:, None]
            continue
        parts[error].append(_states(mine, student, JUDGED_ANEW.get(topic)))
        truth += int(mine[-1].truth[student]) if error == 0 else 0
    own = _summed(parts[0])
    if own is None:
        return np.ones(1), truth
    laid = [chances for error, some in parts.items() if error for chances in some]
    if all(len(parts[error]) == len(parts[0]) for error in range(1, ERRORS + 1)):
        # Every number of wrong answers is as likely beforehand, however it divides over errors.
        ways = _summed([np.ones(len(one)) for one in laid])
        own = own * (_summed(laid) / ways)[: len(own)]
    count = np.arange(len(own))
    own = own * np.where(len(own) - 1 - count >= BAR * (len(own) - 1), met[-1], met[0])
    return own / own.sum(), truth


def _states(seen: list[Print], student: int, anew: int | None) -> Chances:
    """What all prints of a cell say of the student's latest count in it.

    Between two states the student's count can have grown by the answers that came late, or moved
    by one where a question was judged anew; that the cell was printed anew, and when, says whether.

    Args:
        seen: prints of one cell.
        student: whom it is about.
        anew: edition from which a question was judged otherwise.
    """
    states: list[list[Print]] = []
    for one in seen:
        before = states[-1][-1] if states else None
        crossed = before is not None and anew is not None and before.edition < anew <= one.edition
        if before is None or crossed or before.answers[student] != one.answers[student]:
            states.append([])
        states[-1].append(one)
    like, answered = np.ones(1), 0
    for number, state in enumerate(states):
        most = int(state[0].answers[student])
        now = np.prod([one.likelihood(student, most) for one in state], axis=0)
        if number:
            grown, crossed = most - answered, anew and states[number - 1][-1].edition < anew
            reach = np.arange(most + 1)[:, None] - np.arange(len(like))[None, :]
            fits = ((reach >= -bool(crossed)) & (reach <= grown + bool(crossed))).astype(float)
            ways = np.maximum(fits.sum(axis=1), 1)
            if crossed and not grown:
                fits *= np.where(reach == 0, *(state[0].waited(student, anew, c) for c in (0, 1)))
            now = now * (fits @ like) / ways
        like, answered = now, most
    return like


def _summed(parts: list[Chances]) -> Chances | None:
    """Chances of a sum of independent counts."""
    if not parts:
        return None
    whole = parts[0]
    for one in parts[1:]:
        whole = np.convolve(whole, one)
    return whole


def attack(students: int, count: int, every: int, start: int) -> NDArray[np.float64]:
    """Probability of the true value, and of values beforehand, for each student and topic."""
    generator = np.random.default_rng(start)
    one = course(students, generator)
    found = prints(one, count, every, DEPARTMENT)
    rows = []
    for student, topic in product(range(students), range(TOPICS)):
        chances, truth = told(found, topic, student)
        if len(chances) > 2:
            rows.append((chances[truth], chances.max(), float(chances.argmax() == truth)))
    return np.array(rows).reshape(-1, 3)


def useful() -> None:
    """Mean distance, in points, of the printed share of a topic from the share of its answers."""
    print("students  " + "  ".join(f"{name:>8}" for name in PERIODS))
    for students in (30, 60, 120, 250):
        means = [_moved(students, every) for every in PERIODS.values()]
        print(f"{students:>8}  " + "  ".join(f"{mean:>8.1f}" for mean in means), flush=True)


def _moved(students: int, every: int) -> float:
    moved = []
    for start in range(1, 41):
        generator = np.random.default_rng(start)
        one, rules = course(students, generator), Rules(generator.bytes(32), LIMIT)
        for topic in range(TOPICS):
            rows = part(one, WEEKS + 5, topic, 0, every)
            cells = settle(rows, [], 10**6, rules)
            inside = rows.within(0, max((cell.last for cell in cells), default=-1))
            if cells:  # none is hidden in a first edition
                share = sum(c.hits for c in cells) / sum(c.answers for c in cells)
                moved.append(abs(share - inside.y.sum() / inside.n.sum()))
    return 100 * float(np.mean(moved))


def main() -> int:
    failed = False
    print("period    students  editions  counts  mean  guessed  most  recovered")
    for name, students in product(PERIODS, (18, 30, 60)):
        for count in (1, 5, 9, 15):
            rows = np.vstack([attack(students, count, PERIODS[name], s) for s in (1, 2, 3)])
            if not len(rows):
                continue
            mean, most, right = rows[:, 0].mean(), rows[:, 0].max(), rows[:, 2].mean()
            exact = int((rows[:, 0] > RECOVERED).sum())
            failed |= mean > AVERAGE or most > MOST or exact > 0
            print(
                f"{name:<9} {students:>8}  {count:>8}  {len(rows):>6}  {mean:.2f}  {right:>7.2f}"
                f"  {most:.2f}  {exact:>9}",
                flush=True,
            )
    return int(failed)


if __name__ == "__main__":
    sys.exit(useful() if sys.argv[1:] == ["useful"] else main())
