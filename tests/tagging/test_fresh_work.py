"""Fresh working with a planted fault: its line and its pattern are found."""

from __future__ import annotations

import random

import pytest

from pipeline.records import Request, Verdict
from pipeline.tagging.examine import examine

from .fresh_work import MAKERS, at, joined

pytestmark = pytest.mark.thorough


def test_planted_line_and_pattern_are_found() -> None:
    """20 cases of each kind: the line in 95 %, its pattern first or tied in 90 %."""
    rng = random.Random("fresh work")
    total = lines = patterns = 0
    missed = []
    for make in MAKERS:
        made = 0
        while made < 20:
            shown = make(rng)
            if shown is None:
                continue
            work = joined(shown.lines, rng)
            found = examine(Request("solve", shown.problem, shown.answer, work=work))
            if found.verdict is Verdict.RIGHT:
                continue
            made += 1
            wrong = at(shown.lines, shown.wrong, work)
            first = [one for one in found.patterns if one.share > found.patterns[0].share - 1e-6]
            hit = any(one.faults == (shown.pattern,) for one in first)
            lines += found.first_wrong_line == wrong
            patterns += hit
            if found.first_wrong_line != wrong or not hit:
                missed.append((shown, found.first_wrong_line, [one.faults for one in first]))
        total += made

    assert total == 20 * len(MAKERS)
    assert lines / total >= 0.95, missed
    assert patterns / total >= 0.90, missed
