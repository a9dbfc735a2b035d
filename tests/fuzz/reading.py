"""Coverage-guided fuzzing of the reader: `python -m tests.fuzz.reading [seconds]`.

Texts that reach new lines of the reader are kept and mutated further. It ends with status 1 at the
first text that raises, that takes over a second, or that yields a value without a key.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any

from pipeline.exact.values import value_key, value_source, value_words
from pipeline.reading.answer import read_answer

PIECES = (
    "x", "y", "i", "1", "2", "-3", "0.5", "1/2", "sqrt(", "√", "±", "^2", "(", ")", "[", "]", "{",
    "}", ",", ";", "=", "<", ">=", "≠", " or ", " and ", "|", "\\frac{", "}{", "\\sqrt{",
    "\\left(", "$", "<math>", "<mn>3</mn>", "<mfrac>", "</mfrac>", "</math>", "∞", "∪",
    "no solution", "x1=", "≈", "&le;", "<sup>", "</sup>", "%3D", "½", "²", "⁄", "1,234", "3,5",
    "...", " is ", "not ", "all reals except ", "between ", " to ", "reject ", "Interval(",
    "Rational(", "Eq(", "**", "ℝ", "∅", "!", "%", "$5", " ft",
)  # fmt: skip
SLOWEST = 1.0


def lines_reached(text: str) -> tuple[frozenset[tuple[str, int]], float]:
    """Read one text; return the lines of the reader that ran, and the seconds."""
    seen: set[tuple[str, int]] = set()

    def tracer(frame: FrameType, event: str, argument: Any) -> Callable[..., Any] | None:
        if "/pipeline/" not in frame.f_code.co_filename:
            return None
        if event == "line":
            seen.add((frame.f_code.co_filename, frame.f_lineno))
        return tracer

    start = time.perf_counter()
    sys.settrace(tracer)
    try:
        read = read_answer(text)
    finally:
        sys.settrace(None)
    seconds = time.perf_counter() - start
    for reading in read.readings:
        if not (value_key(reading.value) and value_source(reading.value)):
            raise AssertionError("a value without a key")
        value_words(reading.value)
    return frozenset(seen), seconds


def mutated(text: str, chance: random.Random) -> str:
    """Return a text with some pieces put in, taken out, doubled or replaced."""
    for _ in range(chance.randint(1, 4)):
        place = chance.randint(0, len(text))
        end = min(len(text), place + chance.randint(0, 4))
        choice = chance.random()
        if choice < 0.55:
            text = text[:place] + chance.choice(PIECES) + text[place:]
        elif choice < 0.75:
            text = text[:place] + text[end:]
        elif choice < 0.9:
            text = text[:place] + text[place:end] * 2 + text[end:]
        else:
            text = (
                text[:place]
                + chr(chance.choice((0, 27, 0x202E, 0x0305, 0xD800, 0x1D465)))
                + text[end:]
            )
    if chance.random() < 0.02:
        return (text[place:end] or "x") * 150
    return text[:300]


def run(seconds: float, start: int = 1) -> int:
    """Fuzz for so many seconds; return the exit status."""
    chance = random.Random(start)
    cases = Path(__file__).parents[1] / "cases" / "reading"
    pool = [
        line.split(" ; ")[0]
        for path in sorted(cases.glob("*.txt"))
        for line in path.read_text(encoding="utf-8").splitlines()
        if line and not line.startswith("#")
    ] or ["x=2"]
    reached: set[tuple[str, int]] = set()
    tried, end = 0, time.monotonic() + seconds
    while time.monotonic() < end:
        text = pool[tried] if tried < len(pool) else mutated(chance.choice(pool), chance)
        try:
            lines, taken = lines_reached(text)
        except Exception as error:  # any exception is the finding
            print(f"{text!a} raised {error!r}")
            return 1
        if taken > SLOWEST:
            print(f"{text!a} took {taken:.2f} s")
            return 1
        tried += 1
        if not lines <= reached and tried > len(pool):
            pool.append(text)
        reached |= lines
    print(f"{tried} texts, {len(reached)} lines reached, {len(pool)} texts kept, nothing raised")
    return 0


if __name__ == "__main__":
    sys.exit(run(float(sys.argv[1]) if len(sys.argv) > 1 else 60))
