"""Right answers in the shapes that textbooks print, which once were called wrong.

Sources: OpenStax Elementary Algebra 2e 2.6 (formulas), Intermediate Algebra 2e 2.6 (compound
inequalities), 4.1 (dependent systems), 7.4 (excluded numbers), 8.3 (letters are positive),
10.4 (logarithms).
"""

from __future__ import annotations

import pytest

from pipeline import explain
from pipeline.explain import record

RIGHT = (
    "solve | x^2 + 4x + 4 <= 0 | -2",
    "solve | |x + 1| <= 0 | x = -1",
    "solve | 2x + 1 > 3 and x - 4 < 2 | 1 < x < 6",
    "solve | 2x + 1 > 3; x - 4 < 2 | (1, 6)",
    "solve | 2x + 1 < 3 or x - 4 > 2 | x < 1 or x > 6",
    "simplify | ln(x) + ln(y) | ln(xy)",
    "simplify | ln(x^2) | 2ln(x)",
    "simplify | 3log_2(x) | log_2(x^3)",
    "expand | log(x^2y) | 2log x + log y",
    "simplify | (16x^4)^(-3/4) | 1/(8x^3)",
    "solve | 3x - 2y = 6; 6x - 4y = 12 | infinitely many solutions",
    "solve | 3x - 2y = 6; 6x - 4y = 12 | y = 3/2x - 3",
    "solve | (x - 3)/(x - 3) = 1 | x != 3",
    "solve-for | d = rt for t | d/r",
    "solve-for | A = P(1 + rt) for t | (A - P)/(Pr)",
    "solve-for | ax + by = c for x | (c - by)/a",
    "solve-for | v = u + at for u | v - at",
    "solve | x^2 <= 5 | [-sqrt(5), sqrt(5)]",
    "domain | sqrt(5 - x^2) | [-sqrt(5), sqrt(5)]",
    "solve | x^2 = 5 | [-sqrt(5), sqrt(5)]",
    r"solve | x^2 > 9 | R \ [-3, 3]",
    "domain | sqrt(x + 1)/(x - 2) | x ≥ -1 except 2",
    "solve | 7x = 2 | 2 sevenths",
    "simplify | 2rt + 4tr | 6rt",
    "solve | 4i - 6 > 6 | i > 3",
)

WRONG = (
    "solve | x - 2 > 0 | x > 2 but not 3",
    "solve | 7x = 2 | 2 ninths",
    "solve | x^2 + 4x + 4 <= 0 | 2",
    "solve | 2x + 1 > 3 and x - 4 < 2 | x > 1 or x < 6",
    "solve | 2x + 1 < 3 or x - 4 > 2 | 1 < x < 6",
    "simplify | ln(x) + ln(y) | ln(x + y)",
    "simplify | sqrt(x^2) | -x",
    "simplify | (16x^4)^(-3/4) | 8x^3",
    "solve | 3x - 2y = 6; 6x - 4y = 12 | y = 3/2x + 3",
    "solve | (x - 3)/(x - 3) = 1 | all real numbers",
    "solve-for | d = rt for t | rd",
)


def _judged(line: str) -> dict[str, object]:
    task, _, rest = line.partition(" | ")
    problem, _, answer = rest.rpartition(" | ")
    return record({"task": task, "problem": problem, "answer": answer})


@pytest.mark.parametrize("line", RIGHT)
def test_is_right_and_bears_no_tag(line: str) -> None:
    found = _judged(line)

    assert (found["verdict"], found["patterns"]) == ("right", [])


@pytest.mark.parametrize("line", WRONG)
def test_its_neighbor_is_wrong(line: str) -> None:
    assert _judged(line)["verdict"] == "wrong"


@pytest.mark.parametrize("typed", ["0." + "3" * 310, "1" + "0" * 400 + ".25", "9" * 400])
def test_a_number_beyond_machine_numbers_is_judged(typed: str) -> None:
    assert _judged(f"solve | x^2 - 8x + 12 = 0 | {typed}")["verdict"] == "wrong"


def test_no_line_ends_a_batch(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(explain, "record", lambda _: 1 / 0)

    first, second = explain.stream(['{"task": "read", "answer": "0.125"}', "{"])

    assert "internal error (ZeroDivisionError)" in first
    assert "not a JSON object" in second


def test_a_factorial_is_not_read_as_a_cry() -> None:
    assert _judged("evaluate | 3! | 6")["verdict"] == "no-key"
