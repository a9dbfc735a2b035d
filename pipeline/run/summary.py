"""What a run did, on one screen."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pandas as pd

from pipeline.check.item_set import unread_problem
from pipeline.course import Course
from pipeline.errors import ExitCode, UnknownForm
from pipeline.ingest.loading import NO_TERM
from pipeline.run.load import Loads
from pipeline.warehouse import Warehouse

MOST_PATTERNS = 5
MOST_REJECTED = 5
MOST_UNREAD = 10
_FEW = 5


@dataclass(frozen=True, slots=True)
class RunSummary:
    """What a run did, and what the database holds now.

    Args:
        database: the file that was built.
        loads: what was read now.
        answers: stored answers in all.
        students: distinct students.
        rejected: rows rejected in all, those left out on purpose apart.
        verdicts: answers by verdict.
        waiting: how many answers are to questions that the list does not have; "" for none.
        tagged: fraction of wrong answers to questions that can show an error, laid to a known one.
        top: the first errors of the current term, in the order of the next lesson, of the setting
            with most first tries: sentence, rate in the whole term, setting.
        worst: rejected rows to look at, `file:line: reason`.
        changed: whether the database was written anew.
        warnings: sentences on what else should be known.
        tags_left_out: why tags by hand were left out, a sentence each.
        unread: questions that cannot be read, and the way out, a sentence each.
        termless: answers that belong to no semester and have no date, a sentence for each file.
    """

    database: Path
    loads: Loads
    answers: int
    students: int
    rejected: int
    verdicts: dict[str, int]
    tagged: float | None
    top: tuple[tuple[str, float, str], ...] = ()
    worst: tuple[str, ...] = ()
    changed: bool = True
    warnings: tuple[str, ...] = field(default=())
    tags_left_out: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()
    termless: tuple[str, ...] = ()
    waiting: str = ""

    @property
    def exit_code(self) -> ExitCode:
        """DONE, or why someone should look: rejected rows only where no earlier run named them."""
        if self.loads.failed:
            unknown = all(isinstance(one, UnknownForm) for one in self.loads.failed)
            return ExitCode.NEEDS_A_LOOK if unknown else ExitCode.BAD_INPUT
        left_out = self.loads.left_out or self.tags_left_out
        look = self.loads.fresh or left_out or self.unread or self.termless
        return ExitCode.NEEDS_A_LOOK if look else ExitCode.DONE

    def lines(self) -> Iterator[str]:
        """Plain lines for a terminal."""
        yield from self._reading()
        yield f"Stored in all: {self.answers:,} answers of {self.students:,} students"
        if self.verdicts:
            total = sum(self.verdicts.values())
            parts = (f"{name} {n:,} ({n / total:.0%})" for name, n in self.verdicts.items())
            yield "Judged: " + ", ".join(parts)
        if self.waiting:
            yield (
                f"Not judged: {self.waiting} answers to questions that the list does not have; "
                "`lostroot check DIR --write` drafts those whose text an export shows"
            )
        if self.tagged is not None:
            yield (
                f"Wrong answers where an error can be told: {self.tagged:.0%} fit a known error, "
                f"{1 - self.tagged:.0%} fit none"
            )
        yield from self._most_common()
        yield from self.loads.moved
        yield from self._to_look_at()

    def _reading(self) -> Iterator[str]:
        loads = self.loads
        if not self.changed:
            yield "Nothing is new: the database stays as it is"
            return
        yield (
            f"Read {loads.read:,} rows of {len(loads.files)} new or changed "
            f"{'file' if len(loads.files) == 1 else 'files'}: "
            f"{loads.stored:,} stored, {loads.duplicates:,} known before, "
            f"{loads.rejected:,} rejected"
        )
        if loads.again:
            yield (
                "Read again, since the map of these columns or the list of questions has changed: "
                f"{_few(loads.again)}"
            )
        yield from loads.news.lines()
        if loads.scores.corrected:
            yield f"{_were(loads.scores.corrected, 'score')} corrected by a later export"
        if loads.scores.added:
            yield f"{_were(loads.scores.added, 'score')} added to answers that had none"
        if loads.scores.moved:
            yield (
                "Known answers that a later export gives another time, whose first one stands: "
                f"{loads.scores.moved:,}"
            )
        if loads.scores.kept:
            yield (
                f"{_were(loads.scores.kept, 'score')} not taken: another export, as late or later, "
                "tells them otherwise"
            )
        if loads.vanished:
            yield (
                f"{_were(loads.vanished, 'answer')} in an earlier download and not in the latest: "
                "they are kept"
            )

    def _most_common(self) -> Iterator[str]:
        if self.top:
            yield "First by the answers that each error may still cost in the current term:"
            for sentence, rate, setting in self.top:
                figure = "hidden" if pd.isna(rate) else f"{rate:5.1%}"
                yield f"  {figure}  {sentence}  [{setting}]"

    def _to_look_at(self) -> Iterator[str]:
        for error in self.loads.failed:
            yield f"Not read: {error}"
        yield from self.loads.left_out
        yield from (f"In no page: {one}" for one in self.termless)
        yield from (f"Question that cannot be read: {one}" for one in self.unread[:MOST_UNREAD])
        if len(self.unread) > MOST_UNREAD:
            more = f"{len(self.unread) - MOST_UNREAD} more such questions"
            yield f"  and {more}: `lostroot check` names those of the items file"
        yield from self.warnings
        yield from (f"Tag left out: {one}" for one in self.tags_left_out)
        if self.rejected:
            news = f", {self.loads.fresh:,} of them new" if self.loads.fresh else ", none new"
            yield f"Rejected rows to look at: {self.rejected:,}{news}; the first:"
            yield from (f"  {line}" for line in self.worst)
            if self.rejected > len(self.worst):
                yield "  all of them by file and reason: reports/own/quality.html"


def _told(row: Any) -> str:
    place = row.line if pd.isna(row.source_place) else row.source_place
    return f"{row.file}:{place}: {row.reason}"


def unread_questions(warehouse: Warehouse, course: Course) -> tuple[str, ...]:
    """Name the questions that cannot be read: of the items file, and of answers' own problems.

    Those that the list has no longer are named as such, by `pipeline.run.versions`.
    """
    found = {
        (item.id, item.problem): f"{item.id} (line {item.line} of the items): {reason}"
        for item in course.items
        if (reason := unread_problem(item))
    }
    rows = warehouse.frame("staging.unread_problem")
    for row in rows[rows["item"].isin([item.id for item in course.items])].itertuples():
        question = str(row.item), str(row.problem)
        place = f"{row.item} ({row.file}, line {row.line}, and as often as {row.answers:,} times)"
        found.setdefault(question, f"{place}: {row.reason}")
    return tuple(found.values())


def summarize(warehouse: Warehouse, database: Path, loads: Loads, *, changed: bool) -> RunSummary:
    """Read the figures of the summary from a finished database.

    Args:
        warehouse: the database.
        database: its file.
        loads: what was read in this run.
        changed: whether the run wrote it anew.
    """
    headline = warehouse.frame("staging.verdict_count")
    course = warehouse.frame("own_course")
    rejected = warehouse.frame("store.rejected")
    rejected = rejected[rejected["needs_look"].fillna(True).astype(bool)]
    fits, tellable = warehouse.frame("own_headline")[["tagged", "tellable"]].sum()
    stored = warehouse.part("store.response", ["place", "count"])
    waiting = stored[stored["place"] == "unlisted"]
    worst = rejected.sort_values(["file", "line"]).head(MOST_REJECTED)
    return RunSummary(
        database=database,
        loads=loads,
        answers=_counted(stored),
        students=int(headline["students"].max()) if len(headline) else 0,
        rejected=len(rejected),
        verdicts=dict(zip(headline["verdict"], headline["answers"].astype(int), strict=True)),
        tagged=float(fits / tellable) if tellable else None,
        top=tuple(_top(warehouse, course)),
        worst=tuple(map(_told, worst.itertuples())),
        changed=changed,
        warnings=tuple(loads.warnings),
        termless=tuple(_termless(warehouse)),
        waiting=_many(_counted(waiting), _limit(warehouse)) if len(waiting) else "",
    )


def _termless(warehouse: Warehouse) -> Iterator[str]:
    limit = _limit(warehouse)
    for row in warehouse.frame("staging.termless").itertuples():
        answers: Any = row.answers
        yield f"{_many(int(answers), limit)} answers of {row.file}, {NO_TERM}"


def _limit(warehouse: Warehouse) -> int:
    return int(warehouse.frame("store.course")["minimum_students"].max())


def _counted(answers: pd.DataFrame) -> int:
    return int(answers["count"].fillna(1).sum())


def _many(answers: int, limit: int) -> str:
    return f"{answers:,}" if answers >= limit else "a few"


def _were(number: int, word: str) -> str:
    return f"{number:,} {word} was" if number == 1 else f"{number:,} {word}s were"


def _few(names: list[str]) -> str:
    more = f" and {len(names) - _FEW} more" if len(names) > _FEW else ""
    return ", ".join(names[:_FEW]) + more


def _top(warehouse: Warehouse, course: pd.DataFrame) -> Iterator[tuple[str, float, str]]:
    ranked = warehouse.frame("own_pattern_prevalence")
    term = course["current_term"].iloc[0] if len(course) else None
    ranked = ranked[(ranked["term"] == term) & ranked["rank"].notna()]
    tries = warehouse.frame("own_headline").query("term == @term").dropna(subset=["first_attempts"])
    tries = tries.sort_values(["first_attempts", "setting"], ascending=[False, True])
    ranked = ranked[ranked["setting"].isin(tries["setting"].head(1))]
    ranked = ranked.sort_values("rank").head(MOST_PATTERNS)
    yield from ranked[["says", "rate", "setting"]].itertuples(index=False, name=None)
