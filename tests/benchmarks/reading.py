"""Answers read a second on one core: `python -m tests.benchmarks.reading`.

Reads every case under tests/cases/reading with a new number in it, so that no text is met twice,
and reports the rate, the slowest answer, and the time of a refused million of characters.
"""

from __future__ import annotations

import re
import time
from pathlib import Path

from pipeline.reading.answer import read_answer
from pipeline.reading.judge import judge, read_key

CASES = Path(__file__).parents[1] / "cases" / "reading"
ROUNDS = 8
PIECES = (*"01x-+/÷=±√½²°π(),;|\\\n{}<%", "1 ", "x=", "no ", "zero ", "and ", "5 and ", "1 xx ",
          "||", "discriminant ", "\\frac", "<sup>", "&lt;", "1/2 ", " \t", "(±)")  # fmt: skip


def distinct_answers() -> list[str]:
    """Return the typed answers of all cases, in several versions with other numbers."""
    lines = [
        line.split(" ; ")[0].replace("⏎", "\n")
        for path in sorted(CASES.glob("*.txt"))
        for line in path.read_text(encoding="utf-8").splitlines()
        if line and not line.startswith("#")
    ]
    return list(
        dict.fromkeys(
            re.sub(r"(?<![\d.])7(?![\d.])", str(7 + 2 * step), line)
            for step in range(ROUNDS)
            for line in lines
        )
    )


def slowest_repetition() -> float:
    """Return the seconds of the slowest text that repeats one piece as often as it fits."""
    worst = 0.0
    for piece in PIECES:
        for length in (299, 2000):
            start = time.process_time()
            read_answer((piece * length)[:length])
            worst = max(worst, time.process_time() - start)
    return worst


def main() -> None:
    """Print the figures."""
    answers = distinct_answers()
    for answer in answers[:50]:
        read_answer(answer)
    start = time.process_time()
    for answer in answers:
        read_answer(answer)
    seconds = time.process_time() - start
    print(f"{len(answers)} distinct answers: {len(answers) / seconds:.0f} answers a second")
    worst = 0.0
    for answer in answers:
        start = time.process_time()
        read_answer(answer)
        worst = max(worst, time.process_time() - start)
    print(f"slowest answer: {worst * 1000:.1f} ms")
    print(f"slowest repeated piece: {slowest_repetition() * 1000:.1f} ms")
    start = time.process_time()
    read_answer("(x+1)" * 200_000)
    print(f"a million characters refused in {(time.process_time() - start) * 1000:.2f} ms")
    key = read_key("3 + sqrt(21), 3 - sqrt(21)")
    assert not isinstance(key, str)
    start = time.process_time()
    for shift in range(500):
        judge(read_answer(f"{shift} ± √21"), key)
    print(f"a verdict, read and judged: {(time.process_time() - start) / 500 * 1000:.2f} ms")


if __name__ == "__main__":
    main()
