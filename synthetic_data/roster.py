"""The students: ids as exports have them, class sections, and who takes part in what."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from synthetic_data.calendar import MAIL_DOMAIN, TERMS
from synthetic_data.tendencies import Students, draw_students

SECTIONS = ("A", "B", "C")
TEST_ACCOUNT = f"demo.student@{MAIL_DOMAIN}"
_LETTERS = "bcdfghjklmnpqrstvwxz"
_REPEATERS = 0.06  # share of the second term who were in the first one as well
_LEAVERS = 0.07  # share who stop before the end
_TAKES_PART = (18.0, 2.0)  # beta distribution of the share of question sets that a student does


@dataclass(frozen=True)
class Roster:
    """The students of one term.

    Args:
        term: 0 for the first, 1 for the second.
        ids: as the exports have them.
        sections: index into `SECTIONS`.
        students: their tendencies.
        diligence: share of question sets that each one does.
        last_week: week after which each one is gone; 99 for those who stay.
    """

    term: int
    ids: tuple[str, ...]
    sections: NDArray[np.int64]
    students: Students
    diligence: NDArray[np.float64]
    last_week: NDArray[np.int64]

    def __len__(self) -> int:
        return len(self.ids)


def student_ids(random: np.random.Generator, count: int) -> list[str]:
    """Invented ids, none twice: every other one an address, the rest nine digits."""
    serials = random.choice(900_000, size=count, replace=False) + 100_000
    letters = random.integers(0, len(_LETTERS), (count, 4))
    made = []
    for place, (serial, word) in enumerate(zip(serials, letters, strict=True)):
        name = "".join(_LETTERS[letter] for letter in word)
        made.append(f"{name}{serial}@{MAIL_DOMAIN}" if place % 2 else f"871{serial}")
    return made


def enroll(random: np.random.Generator, per_term: int) -> tuple[Roster, ...]:
    """One roster for each term; a few students of the first take the course again."""
    repeaters = int(per_term * _REPEATERS)
    ids = student_ids(random, len(TERMS) * per_term - repeaters)
    everyone = draw_students(random, len(ids))
    rosters = []
    for term in range(len(TERMS)):
        first = term * (per_term - repeaters)
        chosen = np.arange(first, first + per_term)
        leaves = random.random(per_term) < _LEAVERS
        rosters.append(
            Roster(
                term,
                tuple(ids[index] for index in chosen),
                random.integers(0, len(SECTIONS), per_term),
                everyone.chosen(chosen),
                random.beta(*_TAKES_PART, per_term),
                np.where(leaves, random.integers(3, 14, per_term), 99),
            )
        )
    return tuple(rosters)
