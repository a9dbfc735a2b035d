"""Percents of errors: an outsider who knows every number of chances narrows nothing down."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from scipy.optimize import linprog

from pipeline.statistics.disclosure.error_editions import Past, with_editions
from pipeline.statistics.disclosure.error_lines import (
    PAIR,
    TERM,
    TOPIC,
    Key,
    Row,
    System,
    figures_of,
)
from pipeline.statistics.disclosure.percents import Aim, Band, Figures, choose, failing, spans_of

LIMIT = 10
TERMS, TOPICS = ("fall", "spring", "now"), ("a", "b", "c", "d")


def generator() -> np.random.Generator:
    return np.random.default_rng(3)


def test_a_topic_left_out_of_a_term_is_worked_out_by_subtraction() -> None:
    """By hand: 34 of 350 is 10 %, 30 of 300 is 10 %; so 1.75 to 8.25 errors are left for the
    other topic, and the topic's line has to go."""
    lines = {
        "topic": Band({0: 1.0}, 28.5, 31.5, 1.0),
        "term": Band({0: 1.0, 1: 1.0}, 33.25, 36.75, 3.0),
    }
    figures = Figures(np.array([300.0, 50.0]), lines, [Aim({1: 1.0}, LIMIT, 50.0)])
    both = frozenset(lines)

    assert spans_of(figures, both, [{1: 1.0}]) == [pytest.approx((1.75, 8.25), abs=1e-4)]
    assert failing(figures, both) == list(figures.aims)
    assert choose(figures, generator()) == {"term"}


def test_nothing_is_hidden_where_nothing_is_small() -> None:
    lines = {"topic": Band({0: 1.0}, 28.5, 31.5), "term": Band({0: 1.0, 1: 1.0}, 133, 137)}
    figures = Figures(np.array([300.0, 500.0]), lines, [])

    assert choose(figures, generator()) == set(lines)


def test_contradicting_lines_fail() -> None:
    lines = {"one": Band({0: 1.0}, 28.5, 31.5), "other": Band({0: 1.0}, 50, 55)}
    figures = Figures(np.array([300.0]), lines, [Aim({0: 1.0}, LIMIT, 300.0)])

    assert spans_of(figures, frozenset(lines), [{0: 1.0}]) is None
    assert failing(figures, frozenset(lines)) == list(figures.aims)


def course(start: int) -> tuple[System, dict[Key, Row], dict[tuple[str, ...], float]]:
    """One error in three terms and up to four topics, with every line that could be printed."""
    rng = np.random.default_rng(start)
    system = System("quiz", "x", (0,))
    showing: dict[tuple[str, ...], float] = {}
    for term in TERMS:
        for topic in TOPICS[: 1 + start % 4]:
            chances = float(rng.integers(15, 400))
            errors = float(rng.binomial(int(chances), rng.choice([0.02, 0.08, 0.2])))
            system.places.append((term, topic))
            system.chances.append(chances)
            system.errors.append(errors)
            system.students.append(chances / 2)
            system.most.append(chances)
            showing[("quiz", term, topic, "x")] = errors
    own: dict[Key, Row] = {}
    for kind, names in ((TERM, TERMS), (TOPIC, TOPICS[: 1 + start % 4])):
        for name in names:
            term, topic = (name, "") if kind == TERM else ("", name)
            cells = system.inside(term, topic)
            errors = sum(system.errors[at] for at in cells)
            chances = sum(system.chances[at] for at in cells)
            showing[("quiz", term, topic, "x")] = errors
            rate = np.floor(100 * errors / chances + 0.5) / 100
            state = "shown" if errors >= LIMIT else "hidden"
            own[(kind, term, topic)] = {"kind": kind, "state": state, "rate": rate}
    own[(PAIR, "spring", "fall")] = {"kind": PAIR, "state": "shown", "rate": change(system)}
    return system, own, showing


def change(system: System) -> float:
    rates = np.array(system.errors) / np.array(system.chances)
    before, after = (system.inside(term, "") for term in ("fall", "spring"))
    weights = [system.chances[a] + system.chances[b] for b, a in zip(before, after, strict=True)]
    difference = np.average(rates[after] - rates[before], weights=weights)
    return float(np.floor(100 * difference + 0.5) / 100)


def outsider(
    system: System, own: dict[Key, Row], printed: frozenset[Key], cells: list[int]
) -> tuple[float, float]:
    """Least and most errors in some cells, from the printed percents; written apart."""
    sides, limits = [], []
    for kind, term, topic in printed:
        if kind == PAIR:
            continue
        row = np.array([
            float(term in ("", place[0]) and topic in ("", place[1])) for place in system.places
        ])  # fmt: skip
        chances = float(row @ system.chances)
        rate = own[(kind, term, topic)]["rate"]
        sides += [row, -row]
        limits += [(rate + 0.005) * chances + 1e-6, -(rate - 0.005) * chances + 1e-6]
    direction = np.zeros(len(system.places))
    direction[cells] = 1
    ends = []
    for sign in (1, -1):
        found = linprog(
            sign * direction, A_ub=sides or None, b_ub=limits or None,
            bounds=list(zip(np.zeros(len(direction)), system.chances, strict=True)),
        )  # fmt: skip
        assert found.status == 0
        ends.append(sign * found.fun)
    return ends[0], ends[1]


@pytest.mark.parametrize("start", range(24))
def test_no_cell_of_few_students_is_narrowed_down(start: int) -> None:
    system, own, showing = course(start)
    printed = choose(figures_of(system, own, showing, LIMIT), generator())
    for at in range(len(system.places)):
        if system.errors[at] < LIMIT:
            low, high = outsider(system, own, printed, [at])
            need = min(LIMIT, system.chances[at])
            assert low - 1e-3 <= system.errors[at] <= high + 1e-3
            assert high >= need - 1e-2
            assert high - low >= need - 1e-2


def test_naive_percents_would_tell() -> None:
    """Printing every line of at least ten errors narrows some small cell to under ten."""
    told = 0
    for start in range(24):
        system, own, _ = course(start)
        naive = frozenset(key for key, row in own.items() if row["state"] == "shown")
        for at in range(len(system.places)):
            if system.errors[at] < LIMIT <= system.chances[at]:
                low, high = outsider(system, own, naive, [at])
                told += min(high, high - low) < LIMIT - 0.01

    assert told > 0


class Yesterday(Past):
    """The same cells with fewer chances, without a database."""

    def __init__(self, rows: list[Row], share: float) -> None:
        self.rows = {("quiz", "x"): rows}
        self.share = share

    def then(self, system: System, last_day: object) -> System:
        del last_day
        parts = {
            name: [self.share * value for value in getattr(system, name)]
            for name in ("chances", "errors", "most")
        }
        return System("quiz", "x", (0,), system.places, students=system.students, **parts)


def kept(rate: float, as_of: str | None = None) -> list[Row]:
    return [{
        "edition": "2026-03-01-shared", "last_answer": "2026-03-01", "kind": TERM, "term": "now",
        "term_before": "", "topic": "", "state": "shown", "rate": rate, "rate_low": None,
        "rate_high": None, "cap": None, "students_at_least": 40, "as_of": as_of,
    }]  # fmt: skip


def one_line(chances: float, errors: float) -> tuple[System, dict[Key, Row]]:
    system = System(
        "quiz", "x", (0,), [("now", "a")], [chances], [errors], [chances / 2], [chances]
    )
    rate = float(np.floor(100 * errors / chances + 0.5) / 100)
    return system, {(TERM, "now", ""): {"kind": TERM, "state": "shown", "rate": rate}}


@pytest.mark.parametrize(
    ("share", "then", "prints"),
    [
        pytest.param(0.95, 0.10, False, id="12 more answers, at most 7 more errors"),
        pytest.param(0.50, 0.04, True, id="surely 20 errors came"),
        pytest.param(1.00, 0.10, True, id="no answer came, so nothing can be told of any"),
    ],
)
def test_a_percent_moves_only_with_enough_errors(share: float, then: float, prints: bool) -> None:
    """240 chances, 24 errors now."""
    system, own = one_line(240, 24)
    showing = {("quiz", "now", "a", "x"): 24.0, ("quiz", "now", "", "x"): 24.0}
    alone = figures_of(system, own, showing, LIMIT)
    figures, before = with_editions(alone, system, own, Yesterday(kept(then), share), LIMIT)
    printed = choose(figures, generator())

    assert before.editions == 1
    assert bool(printed) is prints
    assert before.figures[(TERM, "now", "")]["rate"] == then
    assert before.figures[(TERM, "now", "")]["as_of"] == "2026-03-01-shared"


def test_a_figure_carried_over_twice_keeps_its_first_date() -> None:
    system, own = one_line(240, 24)
    alone = figures_of(system, own, {("quiz", "now", "a", "x"): 24.0}, LIMIT)
    again = Yesterday(kept(0.10, "2026-02-01-shared"), 0.95)
    _, before = with_editions(alone, system, own, again, LIMIT)

    assert before.figures[(TERM, "now", "")]["as_of"] == "2026-02-01-shared"


def test_no_edition_no_change() -> None:
    system, own = one_line(240, 24)
    alone = figures_of(system, own, {}, LIMIT)
    empty = pd.DataFrame(columns=["setting", "pattern"])
    past = Past(empty, None)  # type: ignore[arg-type]

    assert with_editions(alone, system, own, past, LIMIT)[0] is alone
