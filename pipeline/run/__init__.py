"""The main job: a course folder in, its database out. Pages are drawn by who calls it."""

from __future__ import annotations

from pipeline.run.conduct import run_course
from pipeline.run.summary import RunSummary

__all__ = ["RunSummary", "run_course"]
