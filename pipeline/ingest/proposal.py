"""A column map that was worked out, with the reason for each column of it."""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.course import ExportMap
from pipeline.ingest.columns import header_words

__all__ = ["ColumnRemark", "Proposal"]

_PERSONAL_NAMES = ("name", "full name", "student name")


@dataclass(frozen=True, slots=True)
class ColumnRemark:
    """What one column was taken for, and why."""

    header: str
    taken_for: str
    why: str


@dataclass(frozen=True, slots=True)
class Proposal:
    """A map that the course could keep, and the reason for each column of it."""

    map: ExportMap
    header_line: int
    remarks: tuple[ColumnRemark, ...]

    @property
    def unused(self) -> tuple[str, ...]:
        """Headers that nothing was found for."""
        return tuple(one.header for one in self.remarks if one.taken_for == "not used")

    @property
    def cautions(self) -> tuple[str, ...]:
        """Sentences on columns that may mean something else than they were taken for."""
        taken = {name: headers[0] for name, headers in self.map.columns.items()}
        said = []
        if (name := taken.get("student", "")) and header_words(name) in _PERSONAL_NAMES:
            said.append(
                f"{name!r} tells students apart by their names: two of one name count as one, one "
                "in two spellings as two. Put a column of ids in its place in the map, if there is"
            )
        if "score" not in taken and header_words(taken.get("points", "")) == "points":
            said.append(
                f"{taken['points']!r} is taken for the points possible; where it holds the points "
                f"earned, write `score = {taken['points']!r}` into the map"
            )
        return tuple(said)
