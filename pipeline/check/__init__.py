"""A look at a course folder before it is run; nothing is stored."""

from __future__ import annotations

from pipeline.check.look import check_course
from pipeline.check.report import CheckReport, FileReport

__all__ = ["CheckReport", "FileReport", "check_course"]
