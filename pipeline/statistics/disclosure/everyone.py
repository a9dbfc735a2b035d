"""The tables of the edition for everyone, from the staged frames to the computed ones."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import special

from pipeline.statistics.disclosure.cells import (
    ALL_WEEKS,
    NAMES,
    UNIT,
    Cell,
    Laid,
    Part,
    Rules,
    closed_weeks,
    counted,
    doublings,
    settle,
    students_of,
)
from pipeline.statistics.disclosure.noise import student_number
from pipeline.statistics.intervals import (
    benjamini_hochberg,
    clustered_from_variance,
    square_and_add,
)
from pipeline.statistics.showings import share_table
from pipeline.statistics.terms import term_pairs
from pipeline.tagging.evidence import Evidence

ALIKE = 0.3
"""Correlation of answers of one student that the intervals allow for, who answered all questions.
The true ones, and how many students took part, would be figures of their own."""

NEAR = 0.05
"""A share this near to none or all is only said to be so: the exact one would tell of everyone.
That an answer is laid to none of the errors is said of none."""

TWICE = 1.96
FALSE = 0.05
"""Share of the rows shown that may be of nothing but what was added."""


def shared_tables(
    read: Callable[[str], pd.DataFrame],
    evidence: Evidence,
    shares: pd.DataFrame,
    secret: bytes,
) -> dict[str, pd.DataFrame]:
    """Work out what everyone may see.

    Args:
        read: gives the tables of `staging` and `store` by name.
        evidence: what the answers say.
        shares: what each wrong answer is laid to, whatever the class: columns of `store.share`.
        secret: the course's pseudonym key.

    Returns:
        Frames by the name of the table that they fill.
    """
    course, terms = read("store.course").iloc[0], read("staging.shared_term")
    limit, weeks = int(course["minimum_students"]), int(course["shared_weeks"])
    rules = Rules(secret, limit, weeks)
    order = terms.drop_duplicates("term").sort_values("position")
    closed = _closed(read, order, rules)
    laid = Laid(evidence, share_table(evidence, shares, evidence.opportunities))
    before, most = read("store.shared_printed"), _most(read)
    new = [
        row for part in _parts(read, evidence)
        for cell in settle(part, _start(before, part), closed.get(part.names[1], 0), rules)
        for row in _printed(cell, laid, most.get((part.names[0], part.names[3]), 1), rules)
    ]  # fmt: skip
    frames = [one for one in (before, pd.DataFrame(new)) if len(one)]
    printed = pd.concat(frames, ignore_index=True) if frames else before
    figures = _figures(printed[printed["fewest"] >= limit], limit)
    return {
        "store.shared_printed": printed,
        "computed.shared_figure": figures,
        "computed.shared_change": _changes(figures, list(order["term"])),
    }


def _parts(read: Callable[[str], pd.DataFrame], evidence: Evidence) -> Iterator[Part]:
    """What was not printed before, by the rows of the tables, errors apart."""
    cells = read("staging.shared_cell").set_index("cell")
    place = pd.Index(evidence.opportunities["response"])
    for number, part in read("staging.shared_part").groupby("cell", sort=True):
        week, n, y = (part[name].to_numpy(dtype=np.int64) for name in ("week", "n", "y"))
        names = tuple(str(name) for name in cells.loc[number])
        mark = part["mark"].to_numpy(dtype=np.uint64)
        row = place.get_indexer(pd.Index(part["response"]))
        yield Part(names, week, mark, n, y, row).untold(mark[part["told"].to_numpy(dtype=bool)])


def _start(before: pd.DataFrame, part: Part) -> int:
    """The week after the last that was printed of a row."""
    same = np.logical_and.reduce([before[a] == b for a, b in zip(NAMES, part.names, strict=False)])
    return int(before.loc[same, "last"].max() if same.any() else -1) + 1


def _printed(cell: Cell, laid: Laid, most: int, rules: Rules) -> Iterator[dict[str, Any]]:
    """The rows of a cell: all that counts, with what tells its answers again, and each error."""
    subject, units = cell.part.names[0], cell.part.y * UNIT
    wide = doublings(subject, most)
    beside = {"most": most if subject == "wrong" else 1, "marks": np.unique(cell.part.mark)}
    yield counted(cell, "", units, wide, rules) | beside
    for pattern, shares in laid.of(cell.part, rules) if subject == "wrong" else ():
        yield counted(cell, pattern, shares, wide, rules) | beside | {"marks": cell.part.mark[:0]}


def without_students(printed: pd.DataFrame, pseudonyms: Sequence[str]) -> pd.DataFrame:
    """What was printed, with no mark of some students; the perturbed counts stay as they are."""
    pairs = zip(printed["marks"], _marked(printed, pseudonyms), strict=True)
    marks = [np.asarray(one, dtype=np.uint64)[~theirs] for one, theirs in pairs]
    return printed.assign(marks=pd.Series(marks, printed.index, dtype=object))


def marks_students(printed: pd.DataFrame, pseudonyms: Sequence[str]) -> bool:
    """Whether what was printed holds a mark of one of some students."""
    return any(theirs.any() for theirs in _marked(printed, pseudonyms))


def _marked(printed: pd.DataFrame, pseudonyms: Sequence[str]) -> Iterator[NDArray[np.bool_]]:
    theirs = students_of(np.array([student_number(one) for one in pseudonyms], dtype=np.uint64))
    for marks in printed["marks"]:
        yield np.isin(students_of(np.asarray(marks, dtype=np.uint64)), theirs)


def _closed(
    read: Callable[[str], pd.DataFrame], terms: pd.DataFrame, rules: Rules
) -> dict[str, int]:
    seen: dict[str, dict[int, int]] = defaultdict(dict)
    for term, week, students in read("staging.shared_seen").itertuples(index=False):
        seen[str(term)][int(week)] = int(students)
    items = read("store.item")
    # A term may end without questions in its last weeks.
    asked = items.loc[items["listed"].fillna(True).astype(bool), "week"].max()
    lengths = terms["weeks"].clip(upper=asked if pd.notna(asked) else None).fillna(ALL_WEEKS)
    in_order = zip(terms["term"], lengths.astype(int), strict=True)
    return dict(closed_weeks(seen, list(in_order), rules))


def _most(read: Callable[[str], pd.DataFrame]) -> dict[tuple[str, str], int]:
    """Listed questions of each topic; for each outcome, most outcomes that one question serves."""
    items, serves = read("store.item"), read("staging.serves").dropna(subset=["outcome"])
    listed = items[items["listed"].fillna(True).astype(bool)]
    topics = listed.groupby("topic")["item"].nunique()
    several = serves.groupby("item")["outcome"].nunique().max()
    found = {("wrong", str(topic)): int(questions) for topic, questions in topics.items()}
    return found | {("outcome", str(one)): int(several) for one in serves["outcome"]}


def _figures(printed: pd.DataFrame, limit: int) -> pd.DataFrame:
    """Sum the cells of each row, and of a term's topics, and work out shares and intervals."""
    if not len(printed):
        return pd.DataFrame()
    printed = printed.assign(variance=2.0 ** printed["doublings"])
    how = dict.fromkeys(("answers", "hits", "variance"), "sum")
    topics = printed.groupby(list(NAMES), as_index=False).agg(how | {"most": "max"})
    whole = topics[_summed(topics)].assign(topic="").groupby(list(NAMES), as_index=False)
    sums = pd.concat([topics, whole.agg(how | {"most": "sum"})], ignore_index=True)
    rate = (sums["hits"] / sums["answers"]).clip(0, 1)
    noise = sums["variance"] * (1 + rate**2) / sums["answers"] ** 2
    near = (rate < NEAR) & (sums["subject"] != "error") | (rate > 1 - NEAR)
    told = _told(sums, rate, near, noise, limit)
    sums, rate, noise, near = sums[told], rate[told], noise[told], near[told]
    students = (sums["answers"] / sums["most"]).clip(lower=limit)
    alike = 1 + np.maximum(sums["answers"] / students - 1, 0) * ALIKE
    variance = rate * (1 - rate) / sums["answers"] * alike + noise
    low, high = clustered_from_variance(rate, variance, sums["answers"], students, noise=noise)
    code = np.where(rate < NEAR, f"under {NEAR:.0%}", f"over {1 - NEAR:.0%}")
    return sums.drop(columns=["most", "variance"]).assign(
        hits=sums["hits"].mask(near),
        rate=rate.mask(near),
        rate_low=pd.Series(np.floor(100 * low) / 100, sums.index).mask(near),
        rate_high=pd.Series(np.ceil(100 * high) / 100, sums.index).mask(near),
        added=pd.Series(TWICE * np.sqrt(noise), sums.index).mask(near),
        code=pd.Series(code, sums.index, dtype=object).where(near, None),
    )


def _summed(topics: pd.DataFrame) -> pd.Series:
    """Which topics count in the sum of a term: of an error those that show it, not in theory alone.

    Left out is a topic whose perturbed count adding alone could have made of none, although at the
    rate of the topics that show the error it would be beyond that.
    """
    added = TWICE * np.sqrt(topics["variance"])
    came = topics["hits"] > added
    keys = [topics[name] for name in NAMES if name != "topic"]
    shown = topics[["hits", "answers"]].where(came, 0.0).groupby(keys).transform("sum")
    expected = topics["answers"] * shown["hits"] / shown["answers"].clip(lower=1)
    kept: pd.Series = came | (expected <= 2 * added)
    return (kept & (topics["subject"] == "error")) | (topics["subject"] == "wrong")


def _told(
    sums: pd.DataFrame, rate: pd.Series, near: pd.Series, noise: pd.Series, limit: int
) -> NDArray[np.bool_]:
    """Which rows are shown, by what is perturbed alone.

    A share near none or all only where what was added cannot have made it so; another one only
    where both counts are at least the limit, and more than adding alone would make of none: of the
    rows that stand together, dozens of errors for one, a twentieth at most by chance.
    """
    from scipy.stats import laplace  # slow to import

    added = TWICE * np.sqrt(noise)
    sure = (rate + added < NEAR) | (rate - added > 1 - NEAR)
    drawn = laplace.sf(sums["hits"], scale=np.sqrt(sums["variance"] / 2))  # as wide as is added
    by_chance = pd.Series(drawn, sums.index)
    together = [sums["subject"], sums["term"], sums["setting"], sums["topic"] == ""]
    found = by_chance.groupby(together).transform(benjamini_hochberg) <= FALSE
    rest = sums["answers"] - sums["hits"]
    both = np.maximum(limit, TWICE * np.sqrt(2 * sums["variance"]))
    return np.asarray(np.where(near, sure, found & (sums["hits"] >= limit) & (rest >= both)))


def _changes(figures: pd.DataFrame, order: list[str]) -> pd.DataFrame:
    """Differences of shares of two terms, by topic, and by error over all topics."""
    if not len(figures):
        return pd.DataFrame()
    told = figures[figures["rate"].notna()]
    of_topic = told["topic"] != ""
    told = told[of_topic == (told["subject"] == "wrong")]
    kind = of_topic.map({True: "topic", False: "pattern"})
    told = told.assign(kind=kind, subject=told["topic"].where(of_topic, told["pattern"]))
    seen = [term for term in order if (told["term"] == term).any()]
    keys = ["setting", "kind", "subject"]
    sides = told[[*keys, "term", "rate", "rate_low", "rate_high"]]
    pairs = pd.DataFrame(term_pairs(seen), columns=["term_before", "term_after"])
    both = pairs.merge(sides.merge(sides, on=keys, suffixes=("_before", "_after")))
    rates = both.filter(like="rate").to_numpy(dtype=float).T
    before, low_before, high_before, after, low_after, high_after = rates
    low, high = square_and_add(after, (low_after, high_after), before, (low_before, high_before))
    difference = after - before
    reach = np.abs(difference - np.where(difference > 0, low, high)) / special.ndtri(0.975)
    p = benjamini_hochberg(2 * special.ndtr(-np.abs(difference) / reach))
    return both[[*keys, *pairs.columns]].assign(
        difference=difference, difference_low=low, difference_high=high, p_adjusted=p
    )
