"""A column map that was worked out, with the reason for each column of it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from pipeline.course import ExportMap
from pipeline.ingest.column_facts import Column
from pipeline.ingest.columns import header_words
from pipeline.ingest.header import HeaderRow

NOT_USED = "not used"
LEAST = 0.3
"""What has to speak for a column, so that it can be a field."""
_PERSONAL_NAMES = ("name", "full name", "student name")
_PART_OF_A_NAME = re.compile(
    r"\b(?:(?:first|given|last|family) ?name|surname|vorname|nachname|apellidos?|pr[eé]nom|cognome|"
    r"sobrenome|voornaam|achternaam|imię|nazwisko|förnamn|efternamn|fornavn|etternavn|efternavn)\b"
    r"|\b(?:nombres?|nome?)$"  # a `nom d'utilisateur` is a whole name
)


@dataclass(frozen=True, slots=True)
class ColumnRemark:
    """What one column was taken for, and why."""

    header: str
    taken_for: str
    why: str


@dataclass(frozen=True, slots=True)
class Proposal:
    """A map that the course could keep, and the reason for each column of it.

    Args:
        map: complete.
        header: the names that it stands for.
        remarks: one per column that has a name.
        right: answers of the sampled rows that it finds right.
        answers: cells of them that read as answers.
        judged: cells of them that were held against a question with a key.
        doubts: what can be read in two ways, each with the line that decides it; a map with doubts
            is not kept.
        cautions: sentences on columns that may mean something else than they were taken for.
    """

    map: ExportMap
    header: HeaderRow
    remarks: tuple[ColumnRemark, ...]
    right: int = 0
    answers: int = 0
    judged: int = 0
    doubts: tuple[str, ...] = ()
    cautions: tuple[str, ...] = field(default=())

    @property
    def header_line(self) -> int:
        """Line of the column names."""
        return self.header.line

    @property
    def unused(self) -> tuple[str, ...]:
        """Headers that nothing was found for."""
        return tuple(one.header for one in self.remarks if one.taken_for == NOT_USED)


def named_students(column: Column) -> str | None:
    """What to know of a column that tells students apart by their names; None for one of ids."""
    if header_words(column.name) not in _PERSONAL_NAMES:
        return None
    return (
        f"{column.name!r} tells students apart by their names: two of one name count as one, one "
        "in two spellings as two. Put a column of ids in its place in the map, if there is"
    )


def is_part_of_a_name(header: str) -> bool:
    """Whether a column holds first or last names, of which several people share one."""
    return len(_PART_OF_A_NAME.findall(header_words(header))) == 1


def assigned(scores: Mapping[tuple[str, int], float]) -> dict[str, int]:
    """Lay columns to fields so that the sum of their scores is largest.

    Args:
        scores: (field, place of a column) -> how much speaks for it, from 0.3 on worth a look.

    Returns:
        Field -> place, each at most once.
    """
    scores = {key: score for key, score in scores.items() if score >= LEAST}
    fields = {name: row for row, name in enumerate(sorted({name for name, _ in scores}))}
    places = {place: at for at, place in enumerate(sorted({place for _, place in scores}))}
    from scipy.optimize import linear_sum_assignment  # slow to import

    table = np.zeros((len(fields), len(places) + len(fields)))
    for (name, place), score in scores.items():
        table[fields[name], places[place]] = score
    chosen = dict(zip(*linear_sum_assignment(table, maximize=True), strict=True))
    by_column = {at: place for place, at in places.items()}
    return {
        name: by_column[chosen[row]]
        for name, row in fields.items()
        if chosen[row] in by_column and table[row, chosen[row]] > 0
    }
