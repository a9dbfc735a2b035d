"""The program: from an answer export to tagged answers, one stage after the other."""

from __future__ import annotations

__version__ = "0.1.0"
