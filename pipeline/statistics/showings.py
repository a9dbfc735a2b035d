"""Every chance to show an error with what the answer says of it, in order of time; which come back.

Source of persistence: lag-one persistence of a two-state chain, corrected for what the class rate
of the next question would give anyway; from memory. Stable differences between students look like
persistence: read it as "tends to recur in the same students", never as an error that causes itself.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import sparse

from pipeline.statistics.intervals import clustered
from pipeline.statistics.notes import FEWEST_FOR_INTERVAL, blank_when_few, few
from pipeline.tagging.attribute import Cell, Groups, memberships
from pipeline.tagging.evidence import Evidence

CLASS = ["term", "setting"]
CELL = [*CLASS, "topic"]
ASKED = ["topic", "question"]
ONE_ANSWER = 0.5
HARDLY = 0.05
"""Chance under which answers that all spare an error say that their question does not show it."""
TIME = ["term", "setting", "student", "answered_at", "week", "response"]


@dataclass(frozen=True, slots=True)
class Showings:
    """The chances of one group of errors in one class, in order of time within each student.

    Args:
        key: term, setting and name of the group.
        student: number of the student of each chance.
        question: number of its item.
        shown: share of the answer laid to the group, 0 to 1.
    """

    key: tuple[str, str, str]
    student: NDArray[np.int64]
    question: NDArray[np.int64]
    shown: NDArray[np.float64]


def showings(evidence: Evidence, shares: pd.DataFrame, cells: Sequence[Cell]) -> Iterator[Showings]:
    """List the chances of every reported group of errors, one group at a time.

    Args:
        evidence: its opportunities hold term, setting, topic, student, answered_at, week, item.
        shares: term, setting, topic, examined, pattern, share.
        cells: classes by term, setting and topic; a chance counts under the name it has there.
    """
    answers = evidence.opportunities.sort_values(TIME, na_position="last").reset_index(drop=True)
    table = share_table(evidence, shares, answers)
    topics: dict[tuple[Any, ...], list[Cell]] = defaultdict(list)
    for cell in cells:
        topics[cell.key[:2]].append(cell)
    rows = answers.groupby(CLASS).indices
    student = answers["student"].to_numpy(np.int64)
    item = np.asarray(answers["item"].cat.codes, dtype=np.int64)
    for key, mine in topics.items():
        part = answers.iloc[rows[key]]
        place = part.groupby(ASKED, sort=False).ngroup().to_numpy()
        asked = part[ASKED].drop_duplicates()
        groups = tuple(dict.fromkeys(group for cell in mine for group in cell.groups))
        joint = _joint(evidence, groups)
        able = evidence.seen[asked["question"]] @ joint > 0
        shown = (table[rows[key]] @ joint).tocsc()
        for number, group in enumerate(groups):
            named = asked["topic"].isin([cell.key[2] for cell in mine if group in cell.groups])
            at = np.flatnonzero((able[:, number] & named.to_numpy())[place])
            laid, mine_alone = np.zeros(len(place)), slice(*shown.indptr[number : number + 2])
            laid[shown.indices[mine_alone]] = shown.data[mine_alone]
            name = " / ".join(evidence.patterns[i] for i in group)
            chosen = rows[key][at]
            yield Showings((*key, name), student[chosen], item[chosen], np.minimum(laid[at], 1.0))


def where_seen(
    evidence: Evidence, shares: pd.DataFrame, cells: Sequence[Cell]
) -> NDArray[np.bool_]:
    """Questions x patterns: where each pattern shows, not in theory alone.

    A question counts unless nobody gave an answer that is laid to the error although, at the rate
    of the questions that show it, that many answers would hardly all have been spared. Questions
    that few answered stay, so that nothing is chosen by its outcome; those that show it by an
    unusual method alone count where at least half as many answers as elsewhere are most likely the
    error. Questions of one item count together, in all terms, and errors under one name, too.

    Args:
        evidence: what the questions can show.
        shares: term, setting, topic, examined, pattern, share.
        cells: classes by term, setting and topic.
    """
    answers = evidence.opportunities
    if not len(answers):
        return evidence.shows
    columns = [*CELL, "item", "question", "examined", "wrong"]
    counts = answers.groupby(columns, dropna=False).size().rename("n").reset_index()
    item, items = pd.factorize(counts["item"])
    asked = sparse.csr_array(
        (counts["n"].astype(float), (item, counts["question"])), (len(items), len(evidence.shows))
    )
    table, places = share_table(evidence, shares, counts), counts.groupby(CELL).indices
    laid, clear = np.zeros((2, len(items), len(evidence.patterns)))
    for cell in cells:
        rows = places[cell.key]
        joint = _joint(evidence, cell.groups)
        share = table[rows] @ joint @ joint.T
        by_item = sparse.csr_array(
            (counts["n"].to_numpy(float)[rows], (item[rows], np.arange(len(rows)))),
            (len(items), len(rows)),
        )
        laid += by_item @ share
        clear += by_item @ (share >= ONE_ANSWER)
    tries = asked @ evidence.usual.astype(float)
    came = (laid >= ONE_ANSWER) & (tries > 0)
    rate = np.minimum((laid * came).sum(axis=0) / np.maximum((tries * came).sum(axis=0), 1), 1)
    counted = came | ((tries > 0) & ((1 - rate) ** tries >= HARDLY))
    counted |= (clear > 0) & (clear >= rate / 2 * (asked @ evidence.shows.astype(float)))
    seen: NDArray[np.bool_] = evidence.shows & ((asked.T @ counted.astype(float)) > 0)
    return seen


def _joint(evidence: Evidence, groups: Groups) -> sparse.csr_array:
    """Patterns x groups: which are named together."""
    pattern, place = memberships(groups)
    shape = (len(evidence.patterns), len(groups))
    return sparse.csr_array((np.ones(len(place)), (pattern, place)), shape=shape)


def share_table(
    evidence: Evidence, shares: pd.DataFrame, answers: pd.DataFrame
) -> sparse.csr_array:
    """Answers x patterns: the share of each wrong answer; nothing for right ones."""
    values = answers.loc[answers["wrong"] == 1, [*CELL, "examined"]]
    number = values.groupby(list(values), sort=False).ngroup().to_numpy()
    distinct = values.assign(value=number)[number >= 0].drop_duplicates("value")
    known = shares[shares["pattern"].isin(evidence.patterns)]
    joined = distinct.astype(dict.fromkeys(CELL, "object")).merge(known, on=[*CELL, "examined"])
    column = pd.Index(evidence.patterns).get_indexer(pd.Index(joined["pattern"]))
    shape = (len(distinct) + 1, len(evidence.patterns))  # the last row is that of right answers
    table = sparse.csr_array((joined["share"], (joined["value"], column)), shape=shape)
    place = np.full(len(answers), len(distinct))
    place[answers["wrong"].to_numpy() == 1] = np.where(number < 0, len(distinct), number)
    return table[place]


def hidden_patterns(evidence: Evidence) -> pd.DataFrame:
    """What each question cannot show of what its topic's questions can.

    Returns:
        term, setting, item, patterns: ids of errors that some question of the same topic shows
        and this one does not, whatever its numbers.
    """
    asked = evidence.opportunities[[*CELL, "item", "question"]].drop_duplicates()
    rows = []
    for (term, setting, _), topic in asked.groupby(CELL, sort=True):
        whole = evidence.shows[topic["question"]].any(axis=0)
        for item, part in topic.groupby("item", sort=True):
            lost = whole & ~evidence.shows[part["question"]].any(axis=0)
            names = [evidence.patterns[i] for i in np.flatnonzero(lost)]
            rows.append((term, setting, item, names))
    return pd.DataFrame(rows, columns=["term", "setting", "item", "patterns"])


def blind_questions(evidence: Evidence, lessons: pd.DataFrame) -> pd.DataFrame:
    """Questions that show none of the errors that lessons on their topic treat.

    Args:
        evidence: what the questions can show.
        lessons: topics, patterns.

    Returns:
        term, setting, item; only where another question of the topic shows such an error.
    """
    treated = {
        (topic, pattern)
        for topics, patterns in lessons[["topics", "patterns"]].itertuples(index=False)
        if isinstance(topics, list | np.ndarray) and isinstance(patterns, list | np.ndarray)
        for topic in topics
        for pattern in patterns
    }
    asked = evidence.opportunities[[*CELL, "item", "question"]].drop_duplicates()
    rows: list[tuple[Any, Any, Any]] = []
    for (term, setting, topic), part in asked.groupby(CELL, sort=True):
        wanted = np.array([(topic, name) in treated for name in evidence.patterns])
        shown = evidence.shows[part["question"]][:, wanted].any(axis=1)
        able = pd.Series(shown).groupby(part["item"].to_numpy()).any()
        if able.any():
            rows.extend((term, setting, item) for item in able.index[~able])
    return pd.DataFrame(rows, columns=["term", "setting", "item"])


_FIGURES = ["persistence", "persistence_low", "persistence_high", "persistence_beyond_chance",
            "persistence_note"]  # fmt: skip
Whole: TypeAlias = NDArray[np.int64]
FOLLOWED = ["student", "showed", "again", "expected"]
NO_CHANCE = "no student who showed it had another chance"


def followed(student: Whole, question: Whole, shown: NDArray[np.float64]) -> NDArray[np.float64]:
    """Sum, for each student, how often one error was followed by itself at the next chance.

    Args:
        student: number of the student of each chance, from 0, in order of time within each.
        question: number of its question, from 0.
        shown: share of the answer laid to the error, 0 to 1.

    Returns:
        Students with any such chance x `FOLLOWED`: the student, chances that showed it and had a
        next one, of these those followed by it, and what the class rate of the next question gives.
    """
    order = np.argsort(student, kind="stable")
    student, question, shown = student[order], question[order], shown[order]
    rate = np.bincount(question, shown) / np.maximum(np.bincount(question), 1)
    now = np.flatnonzero((student[:-1] == student[1:]) & (shown[:-1] > 0))
    who, place = np.unique(student[now], return_inverse=True)
    again, expected = shown[now] * shown[now + 1], shown[now] * rate[question[now + 1]]
    sums = [np.bincount(place, one) for one in (shown[now], again, expected)]
    return np.column_stack([who, *sums])


def persistence(sums: pd.DataFrame, keys: Sequence[str]) -> pd.DataFrame:
    """Share of showings after which the error comes back, clustered by student.

    Args:
        sums: what `transitions` returns.
        keys: what persistence is given by.

    Returns:
        The columns `keys`, persistence with _low, _high and _note, persistence_beyond_chance (1
        when it always comes back, 0 when as often as the class rate says, below when rarer), and
        showed and again, the sums behind it.
    """
    squares = sums.assign(
        m=1.0,
        yy=sums["again"] ** 2,
        yn=sums["again"] * sums["showed"],
        nn=sums["showed"] ** 2,
    )
    columns = ["m", "again", "showed", "expected", "yy", "yn", "nn"]
    table = squares.groupby(list(keys), as_index=False)[columns].sum()
    if not len(table):
        return pd.DataFrame(columns=[*keys, "again", "showed", *_FIGURES])
    m, y, n, yy, yn, nn = (table[c] for c in ("m", "again", "showed", "yy", "yn", "nn"))
    low, high = clustered(m, y, n, yy, yn, nn)
    chance = table["expected"] / n
    table["persistence"] = (y / n).where(m >= FEWEST_FOR_INTERVAL)
    table["persistence_low"] = blank_when_few(low, m)
    table["persistence_high"] = blank_when_few(high, m)
    beyond = (y / n - chance) / (1 - chance).clip(lower=1e-12)
    table["persistence_beyond_chance"] = beyond.where(m >= FEWEST_FOR_INTERVAL)
    table["persistence_note"] = few(m)
    return table.drop(columns=["m", "expected", "yy", "yn", "nn"])
