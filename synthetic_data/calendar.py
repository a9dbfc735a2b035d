"""The two terms of the invented college, and what is taught when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

COLLEGE = "Vellumbrook Community College"  # no such place
MAIL_DOMAIN = "students.vellumbrook.example"  # a name reserved for examples by RFC 2606
TIME_ZONE = "America/Chicago"
WEEK = timedelta(days=7)


@dataclass(frozen=True)
class Term:
    """A term of 15 teaching weeks with one week off.

    Args:
        id: its name in exports.
        title: its name on pages.
        first_day: a Monday, first day of week 1.
        week_off: Monday of the week without teaching.
    """

    id: str
    title: str
    first_day: date
    week_off: date
    weeks: int = 15

    def monday(self, week: int) -> date:
        """First day of a teaching week, counted from 1."""
        day = self.first_day + (week - 1) * WEEK
        return day if day < self.week_off else day + WEEK


@dataclass(frozen=True)
class Clinic:
    """A lesson about errors.

    Args:
        week: it is given on the Monday of this week, before that week's questions.
        title: of the lesson.
        topics: ids.
        patterns: the errors that it is about.
        kept: for each term the share of these errors that remains afterwards.
    """

    week: int
    title: str
    topics: tuple[str, ...]
    patterns: tuple[str, ...]
    kept: tuple[float, float]


TERMS = (
    Term("fall-2025", "Fall 2025", date(2025, 8, 25), date(2025, 11, 24)),
    Term("spring-2026", "Spring 2026", date(2026, 1, 12), date(2026, 3, 16)),
)

CLINICS = (
    Clinic(4, "Undoing the right thing", ("linear-equations",),
           ("constant-moved-same-sign", "divided-upside-down"), (0.7, 0.5)),
    Clinic(5, "Adding fractions is not adding across", ("fractions",),
           ("fractions-added-across",), (0.8, 0.3)),
    Clinic(6, "The middle term", ("expanding",),
           ("square-spread-over-sum", "middle-term-not-doubled"), (0.65, 0.4)),
    Clinic(7, "Multiply or add exponents?", ("exponents",),
           ("exponents-multiplied-in-product", "exponents-added-in-power"), (0.8, 0.8)),
    Clinic(9, "Two square roots", ("square-root-property",),
           ("plus-minus-dropped", "shift-moved-same-sign"), (0.7, 0.45)),
    Clinic(11, "Reading the formula", ("quadratic-formula", "discriminant"),
           ("minus-b-not-negated", "only-root-divided", "four-ac-added"), (0.75, 0.55)),
    Clinic(12, "From factors to roots", ("zero-product", "factoring"),
           ("root-takes-factor-sign", "second-root-left-out"), (0.6, 0.6)),
    Clinic(14, "Half, then square", ("completing-the-square", "perfect-squares"),
           ("half-not-squared", "square-added-to-one-side"), (0.7, 0.5)),
)  # fmt: skip
