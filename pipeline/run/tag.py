"""Tags by hand: taken back from the sheet, kept, used, compared, and the next sheet written."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias

import numpy as np
import pandas as pd

from pipeline.course import read_course
from pipeline.course.hand_tags import SHEET, TAGGED, HandTag, write_tagged
from pipeline.errors import CourseError
from pipeline.run.conduct import DATABASE, LOCK, held, run_course
from pipeline.run.judging import Progress
from pipeline.run.summary import RunSummary
from pipeline.run.to_tag import (
    NEW_ERRORS,
    ToTag,
    decided,
    proposal_rows,
    rows_to_tag,
    write_named,
    write_sheet,
)
from pipeline.warehouse import reading

Names: TypeAlias = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Agreement:
    """Agreement of guesses and tags over some answers.

    Args:
        answers: distinct answers to distinct questions that both tagged.
        alike: how many of them both laid to the same error.
        kappa: Cohen's kappa, -1 to 1; None where only one error was ever named.
        kappa_low: lower end of its 95 % interval.
        kappa_high: upper end.
        by_pattern: pattern, guessed, tagged, both; precision (of those guessed, how many the
            person tagged so) and recall (of those the person tagged so, how many were guessed),
            0 to 1, each with Wilson's 95 % interval `_low`, `_high`; null where nothing is counted.
    """

    answers: int
    alike: int
    kappa: float | None
    kappa_low: float | None
    kappa_high: float | None
    by_pattern: pd.DataFrame


def agreement(pairs: Iterable[tuple[Names, Names]]) -> _Agreement:
    """Compare guesses with tags.

    Where one side names several errors ("A or B"), any of them that the other side names counts.

    Args:
        pairs: for each answer the errors guessed and the errors tagged, at least one on each side.
    """
    labels = pd.DataFrame([_resolved(*pair) for pair in pairs], columns=["guess", "tag"])
    alike = int((labels["guess"] == labels["tag"]).sum())
    names = sorted({*labels["guess"], *labels["tag"]})
    table = pd.crosstab(labels["guess"], labels["tag"]) if len(labels) else pd.DataFrame()
    counts = table.reindex(index=names, columns=names, fill_value=0).to_numpy()
    kappa, low, high = kappa_of(counts) if len(names) > 1 else (None, None, None)
    return _Agreement(len(labels), alike, kappa, low, high, _by_pattern(labels, names))


def _resolved(guess: Names, tag: Names) -> tuple[str, str]:
    shared = [name for name in tag if name in guess]
    return (shared[0], shared[0]) if shared else (guess[0], tag[0])


def kappa_of(counts: np.ndarray) -> tuple[float | None, float | None, float | None]:
    """Cohen's kappa of a square table of counts with its 95 % interval.

    Args:
        counts: guesses in rows, tags in columns.

    Returns:
        kappa, low, high; None for each that is not defined.
    """
    from statsmodels.stats.inter_rater import cohens_kappa  # slow to import

    with np.errstate(invalid="ignore", divide="ignore"):
        found = cohens_kappa(np.asarray(counts, dtype=float))  # its interval is the 95 % one
    figures = (found.kappa, found.kappa_low, found.kappa_upp)
    kappa, low, high = (float(one) if np.isfinite(one) else None for one in figures)
    return kappa, low, high if high is None else min(high, 1.0)


def _by_pattern(labels: pd.DataFrame, names: list[str]) -> pd.DataFrame:
    table = pd.DataFrame(
        [
            {
                "pattern": name,
                "guessed": int((labels["guess"] == name).sum()),
                "tagged": int((labels["tag"] == name).sum()),
                "both": int(((labels["guess"] == name) & (labels["tag"] == name)).sum()),
            }
            for name in names
        ],
        columns=["pattern", "guessed", "tagged", "both"],
    )
    for rate, base in (("precision", "guessed"), ("recall", "tagged")):
        columns = [rate, f"{rate}_low", f"{rate}_high"]
        shares = [list(_share(row["both"], row[base])) for row in table.to_dict("records")]
        table[columns] = pd.DataFrame(shares, columns=columns, index=table.index, dtype=float)
    order = ["tagged", "guessed", "pattern"]
    return table.sort_values(order, ascending=[False, False, True]).reset_index(drop=True)


def _share(count: int, total: int) -> Iterator[float]:
    if not total:
        yield from (float("nan"),) * 3
        return
    from pipeline.statistics.intervals import wilson  # slow to import

    low, high = wilson(count, total)
    yield from (count / total, float(low), float(high))


MOST_SHOWN = 12


@dataclass(frozen=True, slots=True)
class TagReport:
    """What `tag` did.

    Args:
        sheet: the sheet that was written.
        to_tag: what stands on it.
        tags: all tags given so far.
        agreement: of guesses and tags.
        run: what bringing the database up to date did.
        named: what was said of new errors that a person named.
        proposals: how many new errors are proposed on the sheet.
    """

    sheet: Path
    to_tag: ToTag
    tags: tuple[HandTag, ...]
    agreement: _Agreement
    run: RunSummary
    named: tuple[str, ...] = ()
    proposals: int = 0

    def lines(self) -> Iterator[str]:
        """Plain lines for a terminal."""
        if answers := [tag for tag in self.tags if not tag.is_refusal]:
            yield f"Answers tagged by hand: {len(answers):,}; {TAGGED} keeps them"
            yield from _agreement_lines(self.agreement)
        yield from self.named
        yield from self.run.loads.moved
        rows, found = len(self.to_tag.rows), self.to_tag
        if rows:
            yield f"{self.sheet}: {rows} answers to tag, most frequent first, each with a guess"
            yield "  fill in `your tag`, save, and give this command again"
        else:
            yield "no frequent answer is left that the known errors do not explain"
        if self.proposals:
            yield f"  sheet {NEW_ERRORS!r}: wrong rules that nobody has named yet: {self.proposals}"
        if found.waiting:
            yield f"  {found.waiting:,} more wait for later sheets"
        if found.withheld:
            yield f"  {found.withheld:,} left out: they look like a person's data"
        if found.alone:
            yield f"  {found.alone:,} left out: one student alone gave each"


def _agreement_lines(found: _Agreement) -> Iterator[str]:
    if not found.answers:
        return
    yield f"Guess and tag agree on {found.alike} of {found.answers} answers"
    if found.kappa is None:
        yield "  Cohen's kappa: cannot tell, since one error alone was named"
    else:
        around = f" ({found.kappa_low:.2f} to {found.kappa_high:.2f})" if found.kappa_low else ""
        yield f"  Cohen's kappa {found.kappa:.2f}{around}, 95 % interval"
    yield "  by error: of those guessed, tagged so; of those tagged so, guessed (95 % intervals)"
    for row in found.by_pattern.head(MOST_SHOWN).to_dict("records"):
        precision, recall = _rate(row, "precision", "guessed"), _rate(row, "recall", "tagged")
        yield f"    {row['pattern']}: {precision}; {recall}"
    if len(found.by_pattern) > MOST_SHOWN:
        yield f"    and {len(found.by_pattern) - MOST_SHOWN} more errors"


def _rate(row: dict[Any, Any], name: str, base: str) -> str:
    if math.isnan(row[name]):
        return f"none {base}"
    ends = f"{row[f'{name}_low']:.0%} to {row[f'{name}_high']:.0%}"
    return f"{row['both']} of {row[base]} ({ends})"


def write_sheet_anew(folder: Path) -> tuple[str, ...]:
    """Write a sheet that is there once more, so that it lists no answer that is gone.

    Args:
        folder: the course folder, its database up to date.

    Returns:
        What is to be said: why the sheet was taken away instead.
    """
    if not (folder / SHEET).exists():
        return ()
    try:
        tag_course(folder)
    except CourseError as error:
        (folder / SHEET).unlink()
        return (f"{SHEET} was taken away, since it may list answers that are gone: {error}",)
    return ()


def named_on_sheet(folder: Path, progress: Progress | None = None) -> TagReport | None:
    """Do as `tag_course` does where the sheet names new errors, or turns some down.

    Raises:
        CourseError: as `tag_course`.
    """
    found = decided(folder)
    return tag_course(folder, progress) if found.named or found.refused else None


def tag_course(folder: Path, progress: Progress | None = None) -> TagReport:
    """Take back the tags of the sheet, use them, and write the next sheet.

    Args:
        folder: the course folder.
        progress: told what is being done.

    Raises:
        CourseError: a tag that is no id, a sheet or folder that cannot be used.
        InputError: a file that cannot be read.
    """
    say = progress or (lambda _sentence, _done: None)
    with held(folder / LOCK, lambda: say("waiting for another run to end", None)):
        course = read_course(folder)
        if course.tags_left_out:
            raise CourseError(course.tags_left_out[0])
        found = decided(folder)
        named = tuple(write_named(course, found))
        tags = (*course.hand_tags, *found.refused)
        if tags:
            write_tagged(folder, tags)
    run = run_course(folder, progress)
    course = read_course(folder)
    with reading(folder / DATABASE) as warehouse:
        rows = rows_to_tag(warehouse.frame("doubtful_answers"), course)
        proposals = tuple(proposal_rows(warehouse.frame("computed.proposal"), course.privacy.limit))
    sheet = write_sheet(course, rows, proposals)
    compared = agreement((tag.guess, tag.patterns) for tag in tags if tag.guess)
    return TagReport(sheet, rows, tags, compared, run, named, len(proposals))
