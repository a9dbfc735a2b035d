"""How far the program's guesses and a person's tags agree."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import pandas as pd

from pipeline.statistics.intervals import wilson

Names: TypeAlias = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Agreement:
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


def agreement(pairs: Iterable[tuple[Names, Names]]) -> Agreement:
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
    return Agreement(len(labels), alike, kappa, low, high, _by_pattern(labels, names))


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
    low, high = wilson(count, total)
    yield from (count / total, float(low), float(high))
