"""The tables of the edition for everyone, from the staged frames to the computed ones."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict
from itertools import chain

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import special

from pipeline.statistics.disclosure.cells import (
    ALL_WEEKS,
    NAMES,
    UNIT,
    Cell,
    Part,
    Rules,
    closed_weeks,
    settle,
)
from pipeline.statistics.disclosure.errors import error_parts
from pipeline.statistics.disclosure.noise import student_number
from pipeline.statistics.intervals import clustered_from_variance, square_and_add
from pipeline.statistics.multiplicity import benjamini_hochberg
from pipeline.statistics.terms import term_pairs
from pipeline.tagging.evidence import Evidence

__all__ = ["marks_students", "shared_tables", "without_students"]

ALIKE = 0.3
"""Correlation of answers of one student that the intervals allow for. The true one would be a
figure of its own that had to be perturbed."""

NEAR = 0.05
"""A share this near to none or all is only said to be so: the exact one would tell of everyone."""

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
    before: dict[tuple[str, ...], list[Cell]] = defaultdict(list)
    for row in read("store.shared_printed").sort_values("first").to_dict("records"):
        before[tuple(str(row[name]) for name in NAMES)].append(Cell.of(row))
    asked = _asked(read)
    parts = chain(_parts(read, asked), error_parts(evidence, shares, terms, asked, limit))
    order = terms.drop_duplicates("term").sort_values("position")
    closed = _closed(read, order, rules)
    printed = _settled({part.names: part for part in parts}, before, closed, rules)
    figures = _figures(printed, limit)
    return {
        "store.shared_printed": printed,
        "computed.shared_figure": figures,
        "computed.shared_change": _changes(figures, list(order["term"])),
    }


def _settled(
    parts: Mapping[tuple[str, ...], Part],
    before: Mapping[tuple[str, ...], Sequence[Cell]],
    closed: Mapping[str, int],
    rules: Rules,
) -> pd.DataFrame:
    """The cells of all rows, with those of rows that are no longer there, which are hidden."""
    near: dict[tuple[str, ...], list[Cell]] = defaultdict(list)
    for names, cells in before.items():
        for key in _looks(names, gone=names not in parts):
            near[key] += cells
    found = {
        names: [cell.hidden() for cell in cells]
        for names, cells in before.items() if names not in parts
    }  # fmt: skip
    for names, part in parts.items():
        keys = (*_looks(names, gone=False), *_looks(names, gone=True))
        seen = [cell for key in keys for cell in near.get(key, ())]
        found[names] = settle(part, before.get(names, ()), closed.get(names[1], 0), rules, seen)
    return pd.DataFrame([
        dict(zip(NAMES, names, strict=True)) | asdict(cell) | {"questions": sorted(cell.questions)}
        for names, cells in found.items() for cell in cells
    ])  # fmt: skip


def _looks(names: tuple[str, ...], *, gone: bool) -> list[tuple[str, ...]]:
    """Under what a row's cells are found by rows that may count the same answers.

    Topics come and go and share questions, a question moves to another setting, names of errors
    are joined and parted. A row that is gone may have been that of a semester by another name.
    """
    subject, term, _, topic, pattern = names
    what = [topic] if subject == "reading" else pattern.split(" / ")
    return [(subject, one) if gone else (subject, one, term) for one in what]


_PRINTED = dict.fromkeys(NAMES, "") | {
    "first": 0, "last": ALL_WEEKS, "answers": np.nan, "hits": np.nan, "students": np.nan,
    "doublings": np.nan, "prints": 1, "questions": (), "marks": (),
}  # fmt: skip
"""What was printed, and what is taken for each where it is not known."""


def without_students(
    printed: pd.DataFrame, pseudonyms: Sequence[str], read: Callable[[str], pd.DataFrame]
) -> pd.DataFrame:
    """What was printed, with no mark of some students, and no figure of cells that may count them.

    Args:
        printed: `store.shared_printed`.
        pseudonyms: students who are erased; of none, nothing changes.
        read: gives `staging.shared_answer` with their rows. Cells of a semester, setting and topic,
            or of a question, in which they have one lose their figures, whatever it says: were it
            those with a mark alone, a cell that stays would tell of a blank.

    Returns:
        How often each cell was looked at, so that the next look is no first one. So of what another
        version printed, in other columns, too.
    """
    if printed.empty or (not pseudonyms and set(printed) == set(_PRINTED)):
        return printed
    other = set(printed) != set(_PRINTED)
    records = printed[[name for name in _PRINTED if name in printed]].to_dict("records")
    printed = pd.DataFrame([_PRINTED | row for row in records])
    found = list(_marked(printed, pseudonyms))
    pairs = zip(printed["marks"], found, strict=True)
    marks = [np.asarray(one, dtype=np.uint64)[~theirs] for one, theirs in pairs]
    printed["marks"] = pd.Series(marks, printed.index, dtype=object)
    anew = np.array([other or theirs.any() for theirs in found])
    if not other:
        rows = read("staging.shared_answer")
        theirs = rows["student"].isin([student_number(one) for one in pseudonyms])
        anew |= _about(printed, rows[theirs])
    figures = ["answers", "hits", "students", "doublings"]
    printed[figures] = printed[figures].mask(pd.Series(anew, printed.index))
    return printed


def _about(printed: pd.DataFrame, rows: pd.DataFrame) -> NDArray[np.bool_]:
    """Which cells tell of the places or of the questions of some answers."""
    terms, settings = rows["term"], rows["setting"]
    places = {*zip(terms, settings, rows["topic"], strict=True), *zip(terms, settings, strict=True)}
    asked = {*zip(terms, rows["item"], strict=True)}
    cells = zip(*(printed[name] for name in (*NAMES[:4], "questions")), strict=True)
    return np.array([
        ((term, setting) if subject == "reading" else (term, setting, topic)) in places
        or any((term, question) in asked for question in questions)
        for subject, term, setting, topic, questions in cells
    ], dtype=bool)  # fmt: skip


def marks_students(printed: pd.DataFrame, pseudonyms: Sequence[str]) -> bool:
    """Whether what was printed holds a mark of one of some students."""
    return any(theirs.any() for theirs in _marked(printed, pseudonyms))


def _marked(printed: pd.DataFrame, pseudonyms: Sequence[str]) -> Iterator[NDArray[np.bool_]]:
    half = np.uint64(32)
    theirs = np.array([student_number(one) for one in pseudonyms], dtype=np.uint64) >> half
    for marks in printed["marks"]:
        yield np.isin(np.asarray(marks, dtype=np.uint64) >> half, theirs)


def _closed(
    read: Callable[[str], pd.DataFrame], terms: pd.DataFrame, rules: Rules
) -> dict[str, int]:
    seen: dict[str, dict[int, int]] = defaultdict(dict)
    for term, week, students in read("staging.shared_seen").itertuples(index=False):
        seen[str(term)][int(week)] = int(students)
    items = read("store.item")
    # A term may end without questions in its last weeks.
    asked = items.loc[items["listed"].fillna(True).astype(bool), "week"].max()
    lengths = terms["weeks"].fillna(1).clip(upper=asked if pd.notna(asked) else None).astype(int)
    return dict(closed_weeks(seen, list(zip(terms["term"], lengths, strict=True)), rules))


def _asked(read: Callable[[str], pd.DataFrame]) -> dict[tuple[str, ...], frozenset[str]]:
    """Term, setting and topic or outcome -> ids of the questions asked there."""
    rows = read("staging.shared_asked").groupby(["term", "setting", "name"])["item"]
    return {tuple(map(str, key)): frozenset(map(str, items)) for key, items in rows}


def _parts(
    read: Callable[[str], pd.DataFrame], asked: Mapping[tuple[str, ...], frozenset[str]]
) -> Iterator[Part]:
    """The rows that are counted on what each answer is, errors apart."""
    cells = read("staging.shared_cell").set_index("cell")
    of_setting: dict[tuple[str, ...], frozenset[str]] = defaultdict(frozenset)
    for key, items in asked.items():
        of_setting[key[:2]] |= items
    for number, part in read("staging.shared_part").groupby("cell", sort=True):
        week, n, y = (part[name].to_numpy(dtype=np.int64) for name in ("week", "n", "y"))
        names = (*(str(name) for name in cells.loc[number]), "")
        questions = (
            of_setting[names[1:3]] if names[0] == "reading" else asked.get(names[1:4], frozenset())
        )
        yield Part(names, week, part["student"].to_numpy(np.uint64), n, y * UNIT, questions)


def _figures(printed: pd.DataFrame, limit: int) -> pd.DataFrame:
    """Sum the cells of each row, and of a term's topics, and work out shares and intervals."""
    if not len(printed) or printed["answers"].isna().all():
        return pd.DataFrame()
    printed = printed.dropna(subset=["answers"])
    printed = printed.assign(variance=2.0 ** printed["doublings"])
    how = {"answers": "sum", "hits": "sum", "students": "max", "variance": "sum"}
    topics = printed.groupby(list(NAMES), as_index=False).agg(how)
    whole = topics[_summed(topics)].assign(topic="").groupby(list(NAMES), as_index=False).agg(how)
    sums = pd.concat([topics, whole], ignore_index=True)
    rate = (sums["hits"] / sums["answers"]).clip(0, 1)
    noise = sums["variance"] * (1 + rate**2) / sums["answers"] ** 2
    near = (rate < NEAR) | (rate > 1 - NEAR)
    told = _told(sums, rate, near, noise, limit)
    sums, rate, noise, near = sums[told], rate[told], noise[told], near[told]
    alike = 1 + np.maximum(sums["answers"] / sums["students"] - 1, 0) * ALIKE
    variance = rate * (1 - rate) / sums["answers"] * alike + noise
    low, high = clustered_from_variance(
        rate, variance, sums["answers"], sums["students"], noise=noise
    )
    code = np.where(rate < NEAR, f"under {NEAR:.0%}", f"over {1 - NEAR:.0%}")
    return sums.drop(columns=["students", "variance"]).assign(
        students_at_least=(sums["students"] // limit * limit).astype(int),
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
    if not frames:
        return pd.DataFrame()
    table = pd.concat(frames, ignore_index=True)
    nearer = table["difference_low"].where(table["difference"] > 0, table["difference_high"])
    reach = (table["difference"] - nearer).abs() / special.ndtri(0.975)
    p = 2 * special.ndtr(-table["difference"].abs() / reach)
    return table.assign(p_adjusted=benjamini_hochberg(p))
