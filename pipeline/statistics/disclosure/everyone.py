"""The tables of the edition for everyone, from the staged frames to the computed ones."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict

import numpy as np
import pandas as pd

from pipeline.statistics.disclosure.cells import NAMES, Cell, Part, Rules, closed_periods, settle
from pipeline.statistics.disclosure.errors import error_parts
from pipeline.statistics.intervals import clustered_from_variance, square_and_add
from pipeline.statistics.terms import term_pairs
from pipeline.tagging.attribute import Cell as Estimate
from pipeline.tagging.evidence import Evidence

__all__ = ["shared_tables"]

ALIKE = 0.3
"""Correlation of answers of one student that the intervals allow for. The true one would be a
figure of its own that had to be perturbed."""

NEAR = 0.05
"""A share this near to none or all is only said to be so: the exact one would tell of everyone."""

TWICE = 1.96


def shared_tables(
    read: Callable[[str], pd.DataFrame],
    evidence: Evidence,
    shares: pd.DataFrame,
    pooled: Sequence[Estimate],
    secret: bytes,
) -> dict[str, pd.DataFrame]:
    """Work out what everyone may see.

    Args:
        read: gives the tables of `staging` and `store` by name.
        evidence: what the answers say.
        shares: `store.share`.
        pooled: classes by term, setting and topic.
        secret: the course's pseudonym key.

    Returns:
        Frames by the name of the table that they fill.
    """
    course, terms = read("store.course").iloc[0], read("store.term").sort_values("position")
    rules, weeks = Rules(secret, int(course["minimum_students"])), int(course["shared_weeks"])
    closed = _closed(read, terms, weeks, rules)
    before: dict[tuple[str, ...], list[Cell]] = defaultdict(list)
    for row in read("store.shared_printed").sort_values("first").to_dict("records"):
        before[tuple(str(row[name]) for name in NAMES)].append(Cell.of(row))
    rows = []
    for parts in (_parts(read), error_parts(evidence, shares, pooled, weeks, rules.limit)):
        for part in parts:
            cells = settle(part, before[part.names], closed.get(part.names[1], 0), rules)
            rows += [dict(zip(NAMES, part.names, strict=True)) | asdict(cell) for cell in cells]
    printed = pd.DataFrame(rows)
    figures = _figures(printed, rules.limit)
    return {
        "store.shared_printed": printed,
        "computed.shared_figure": figures,
        "computed.shared_change": _changes(figures, list(terms["term"])),
    }


def _closed(
    read: Callable[[str], pd.DataFrame], terms: pd.DataFrame, weeks: int, rules: Rules
) -> dict[str, int]:
    seen: dict[str, dict[int, int]] = defaultdict(dict)
    for term, week, students in read("staging.shared_seen").itertuples(index=False):
        seen[str(term)][int(week)] = int(students)
    asked = read("store.item")["week"].max()  # a term may end without questions in its last weeks
    lengths = terms["weeks"].fillna(1).clip(upper=asked if pd.notna(asked) else None).astype(int)
    order = list(zip(terms["term"], lengths, strict=True))
    return dict(closed_periods(seen, order, weeks, rules))


def _parts(read: Callable[[str], pd.DataFrame]) -> Iterator[Part]:
    """The rows that are counted on what each answer is, errors apart."""
    cells = read("staging.shared_cell").set_index("cell")
    table = read("staging.shared_part")
    for number, part in table.groupby("cell", sort=True):
        period, student, n, y = (
            part[name].to_numpy(dtype=kind)
            for name, kind in (("period", "int64"), ("student", "uint64"), ("n", float),
                               ("y", float))
        )  # fmt: skip
        names = (*(str(name) for name in cells.loc[number]), "")
        yield Part(names, period, student, n, y, (y > 0).astype(float), (y < n).astype(float))


def _figures(printed: pd.DataFrame, limit: int) -> pd.DataFrame:
    """Sum the cells of each row, and of a term's topics, and work out shares and intervals."""
    if not len(printed):
        return pd.DataFrame()
    table = printed.drop(columns=["marks", "prints", "first", "last"]).assign(
        answers_sd=printed["answers_sd"] ** 2, hits_sd=printed["hits_sd"] ** 2
    )
    whole = table[table["subject"].isin(["wrong", "error"])].assign(topic="")
    how = {"answers": "sum", "hits": "sum", "students": "max",
           "answers_sd": "sum", "hits_sd": "sum"}  # fmt: skip
    sums = pd.concat([table, whole]).groupby(list(NAMES), as_index=False).agg(how)
    rate = sums["hits"] / sums["answers"]
    near = (rate < NEAR) | (rate > 1 - NEAR)
    small = np.minimum(sums["hits"], sums["answers"] - sums["hits"]) < limit
    told = near | ~small  # what was added may have made a number small that is not
    sums, rate, near = sums[told], rate[told], near[told]
    alike = 1 + np.maximum(sums["answers"] / sums["students"] - 1, 0) * ALIKE
    noise = (sums["hits_sd"] + rate**2 * sums["answers_sd"]) / sums["answers"] ** 2
    variance = rate * (1 - rate) / sums["answers"] * alike + noise
    low, high = clustered_from_variance(
        rate, variance, sums["answers"], sums["students"], noise=noise
    )
    code = np.where(rate < NEAR, f"under {NEAR:.0%}", f"over {1 - NEAR:.0%}")
    return sums.drop(columns=["students", "answers_sd", "hits_sd"]).assign(
        students_at_least=(sums["students"] // limit * limit).astype(int),
        hits=sums["hits"].mask(near),
        rate=rate.mask(near),
        rate_low=pd.Series(np.floor(100 * low) / 100, sums.index).mask(near),
        rate_high=pd.Series(np.ceil(100 * high) / 100, sums.index).mask(near),
        added=pd.Series(TWICE * np.sqrt(noise), sums.index).mask(near),
        code=pd.Series(code, sums.index, dtype=object).where(near, None),
    )


def _changes(figures: pd.DataFrame, order: list[str]) -> pd.DataFrame:
    """Differences of shares of two terms, by topic, and by error over all topics."""
    if not len(figures):
        return pd.DataFrame()
    told = figures[figures["rate"].notna()]
    topics = told[(told["subject"] == "wrong") & (told["topic"] != "")]
    errors = told[(told["subject"] == "error") & (told["topic"] == "")]
    both = pd.concat([
        topics.assign(kind="topic", subject=topics["topic"]),
        errors.assign(kind="pattern", subject=errors["pattern"]),
    ])  # fmt: skip
    seen = [term for term in order if (both["term"] == term).any()]
    keys = ["setting", "kind", "subject"]
    figure = ["term", "rate", "rate_low", "rate_high"]
    frames = []
    for earlier, later in term_pairs(seen) if seen else ():
        pair = both[both["term"] == earlier][[*keys, *figure]].merge(
            both[both["term"] == later][[*keys, *figure]], on=keys, suffixes=("_before", "_after")
        )
        first = (pair["rate_low_after"].to_numpy(), pair["rate_high_after"].to_numpy())
        second = (pair["rate_low_before"].to_numpy(), pair["rate_high_before"].to_numpy())
        low, high = square_and_add(pair["rate_after"], first, pair["rate_before"], second)
        difference = pair["rate_after"] - pair["rate_before"]
        frames.append(
            pair[[*keys, "term_before", "term_after"]].assign(
                difference=difference, difference_low=low, difference_high=high
            )
        )
    return pd.concat(frames, ignore_index=True) if frames else pd.DataFrame()
