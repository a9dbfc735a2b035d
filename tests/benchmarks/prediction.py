"""How fast answers are explained: `python tests/benchmarks/prediction.py`.

Prints the median time of one quadratic at two faults, with the ids of the first catalogue and with
the whole catalogue; the speed of a batch; and the time of a cold start.
Times are those of the processor, but for the last.
"""

from __future__ import annotations

import csv
import json
import random
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from pipeline.explain import stream
from pipeline.patterns.catalogue import moves
from pipeline.procedures.walk import Move, walk
from pipeline.tagging.predict import predictions_of
from pipeline.tasks.catalogue import plans, read_problem

FIRST = Path(__file__).parent.parent / "cases" / "error_patterns.csv"


def quadratics(count: int) -> list[str]:
    """Draw quadratics of the usual kinds."""
    rng = random.Random("benchmark")
    found = []
    for _ in range(count):
        a, b, c = rng.choice([1, 1, 2, 3, 5]), rng.randint(-12, 12) or 3, rng.randint(-20, 20)
        found.append(
            rng.choice(
                [
                    f"{a}x^2 + {b}x + {c} = 0",
                    f"x^2 + {2 * b}x = {c or 7}",
                    f"(x + {b})^2 = {abs(c) + 2}",
                    f"(x + {b})(x + {c or 4}) = 0",
                ]
            ).replace("+ -", "- ")
        )
    return found


def milliseconds(work: Callable[[], object], repeats: int = 5) -> float:
    """Return the best of several runs."""
    best = float("inf")
    for _ in range(repeats):
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    return best * 1000


def first_catalogue() -> Callable[[Callable[..., object], str], tuple[Move, ...]]:
    """Return the moves of the ids of the first catalogue alone."""
    with FIRST.open(encoding="utf-8", newline="") as file:
        known = {row["id"] for row in csv.DictReader(file)}
    return lambda operation, place: tuple(
        move for move in moves(operation, place) if move.fault.id in known
    )


def main() -> None:
    """Measure and print."""
    problems = [read_problem(text, "solve") for text in quadratics(40)]
    some = first_catalogue()

    def walked(index: int) -> None:
        for plan in plans(problems[index]):
            for _ in walk(plan.procedure, plan.start, some):
                pass

    walks = [milliseconds(lambda i=i: walked(i)) for i in range(len(problems))]
    whole = [milliseconds(lambda p=p: predictions_of(p)) for p in problems]
    print(f"one quadratic, two faults, first catalogue: median {statistics.median(walks):.1f} ms")
    print(f"one quadratic, whole catalogue and slips:   median {statistics.median(whole):.1f} ms")

    texts = quadratics(200)
    lines = [
        json.dumps({"task": "solve", "problem": texts[n % 200], "answer": f"{n % 19 - 9}, {n % 7}"})
        for n in range(6000)
    ]
    start = time.process_time()
    count = sum(1 for _ in stream(lines))
    print(
        f"batch of {count} answers to 200 problems: {count / (time.process_time() - start):.0f}/s"
    )

    asked = {"task": "solve", "problem": "x^2 = 9", "answer": "3"}
    code = f"from pipeline.explain import record; record({asked!r})"
    command = [sys.executable, "-c", code]
    start = time.perf_counter()
    subprocess.run(command, check=True)
    print(f"cold start of one explanation: {(time.perf_counter() - start) * 1000:.0f} ms")


if __name__ == "__main__":
    main()
