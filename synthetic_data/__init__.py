"""An invented course with known truth, for the demonstration and for measuring."""

from __future__ import annotations

from synthetic_data.benchmark import WrittenBenchmark, synth
from synthetic_data.course import DEFAULT_SEED, WrittenCourse, write_course

__all__ = ["DEFAULT_SEED", "WrittenBenchmark", "WrittenCourse", "synth", "write_course"]
