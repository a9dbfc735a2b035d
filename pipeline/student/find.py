"""From an id as it was typed to what the course stored of that student."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from pipeline.course import Course, read_key
from pipeline.errors import CourseError, UsageError
from pipeline.ingest import Pseudonyms, read_tombstones
from pipeline.run.rules import must_start_afresh
from pipeline.warehouse import Warehouse, reading


@dataclass(frozen=True, slots=True)
class Sought:
    """A student who was asked for; lives in memory only.

    Args:
        normal: the id as the course's rules have it.
        pseudonyms: all that the student can have; one, unless terms are kept apart.
        keyed: turns ids into pseudonyms and tombstones.
    """

    normal: str
    pseudonyms: tuple[str, ...]
    keyed: Pseudonyms

    def __repr__(self) -> str:
        return "Sought(...)"  # no error report may hold the id

    def answers(self, warehouse: Warehouse) -> pd.DataFrame:
        """Rows of the table `answers` that are this student's."""
        return warehouse.select("answers", "student", self.pseudonyms)

    def was_erased(self, course: Course) -> bool:
        """Whether the course has a tombstone for the student."""
        return self.keyed.tombstone(self.normal) in read_tombstones(course.folder, self.keyed)


def seek(course: Course, warehouse: Warehouse, student: str) -> Sought:
    """Work out under which pseudonyms a student is stored.

    Args:
        course: holds the key and the rules of identity.
        warehouse: names the terms, where each has pseudonyms of its own.
        student: the id as typed.

    Raises:
        UsageError: nothing was typed, or the id is that of a test account.
    """
    keyed = Pseudonyms(read_key(course.privacy.key_file), course.privacy)
    normal = keyed.normal(student)
    if not normal:
        raise UsageError("No id was given. Type the student's id as the exports have it.")
    if keyed.is_test_account(normal):
        raise UsageError("This is a test account: [privacy] test_accounts leaves it out.")
    terms = {"", *warehouse.frame("store.term")["term"], *(term.id for term in course.terms)}
    found = {keyed.of(normal, term) for term in terms}
    return Sought(normal, tuple(sorted(found)), keyed)


def refuse_outdated(course: Course) -> None:
    """Stop where the database does not fit program, settings or key.

    Raises:
        CourseError: there is none, or it has to be brought up to date first.
    """
    database = course.folder / "course.duckdb"
    with reading(database):
        pass
    if must_start_afresh(course, database):
        raise CourseError(
            "The settings or the program have changed since the last run. Run the course first: "
            "lostroot run DIR"
        )
