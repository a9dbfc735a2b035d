"""An invented course with known truth, for the demonstration and for measuring."""

from __future__ import annotations

from synthetic_data.course import DEFAULT_SEED, WrittenCourse, write_course

__all__ = ["DEFAULT_SEED", "WrittenCourse", "write_course"]
