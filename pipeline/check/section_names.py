"""Class sections that only the names of files tell: one export a section, none with a column."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import combinations

import pandas as pd

from pipeline.ingest.forms import read_by
from pipeline.ingest.plan import Plan

_TOKENS = re.compile(r"\d+|[^\W\d_]+|.")


@dataclass
class SectionNames:
    """Files of one form that the same questions were put to, by different students.

    Args:
        files: file without a class section -> its form, its students and its questions.
    """

    files: dict[str, tuple[str, set[str], set[str]]] = field(default_factory=dict)

    def see(self, file: str, plan: Plan, stored: pd.DataFrame) -> None:
        """Take in stored rows of a file."""
        if "section" in plan.fields or plan.map.section is not None or plan.section:
            return
        _, students, items = self.files.setdefault(file, (read_by(plan.map), set(), set()))
        students |= set(stored["student"].dropna().unique())
        items |= set(stored["item"].dropna().unique())

    def proposals(self) -> Iterator[str]:
        """A sentence for each way of naming that may tell sections."""
        found: dict[str, list[str]] = {}
        for (one, mine), (other, theirs) in combinations(sorted(self.files.items()), 2):
            alike = mine[0] == theirs[0] and mine[2] & theirs[2]
            apart = alike and mine[1] and theirs[1] and not mine[1] & theirs[1]
            names = (name.removeprefix("exports/") for name in (one, other))
            if apart and (pattern := _pattern(*names)):
                found.setdefault(pattern, []).extend((one, other))
        for pattern, beside in found.items():
            files = list(dict.fromkeys(beside))
            yield (
                f"{files[0]} and {files[1]} ask the same of different students, and no column "
                "names a class section: if each is a section, write "
                f"section_from = {pattern!r} into the map, for all files of this form"
            )


def _pattern(one: str, other: str) -> str | None:
    """Two names as a pattern with `{section}` for the one word or number in which they differ."""
    ours, theirs = _TOKENS.findall(one), _TOKENS.findall(other)
    differing = [n for n, pair in enumerate(zip(ours, theirs, strict=False)) if pair[0] != pair[1]]
    if len(ours) != len(theirs) or len(differing) != 1 or not ours[differing[0]].isalnum():
        return None
    parts = ["*" if token.isdigit() else token for token in ours]
    parts[differing[0]] = "{section}"
    return "".join(parts)
