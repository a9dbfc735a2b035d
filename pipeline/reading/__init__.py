"""Reading: typed text to exact values, and the verdict on them."""

from __future__ import annotations

from pipeline.reading.answer import read_answer
from pipeline.reading.judge import Judgement, RightAnswer, judge, read_key
from pipeline.reading.problems import Problem, read_problem
from pipeline.reading.records import ReadAnswer, Reading, ReadingContext

__all__ = [
    "Judgement",
    "Problem",
    "ReadAnswer",
    "Reading",
    "ReadingContext",
    "RightAnswer",
    "judge",
    "read_answer",
    "read_key",
    "read_problem",
]
