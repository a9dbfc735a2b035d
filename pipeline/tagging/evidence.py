"""What the questions of a class can show, as one matrix: answers x possible explanations."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import sparse

from pipeline.tagging.mixture import Matrix, Vector
from pipeline.tagging.priors import GENERAL, SINGLE

RIGHT, UNEXPLAINED, FIRST_PATTERN = 0, 1, 2
"""Columns of every design: the right procedure, other slips, then the patterns."""

USUAL = 0.5
"""Chance to show an error from which on a question shows it by a usual method."""
CHANCE = 0.1
"""Share of other slips that give an answer which some pattern predicts; 0 and .25 are shown too."""
NEARLY_NONE = 1e-9


@dataclass(frozen=True, slots=True)
class Evidence:
    """The design of a whole course.

    Args:
        patterns: ids in catalogue order; column `FIRST_PATTERN + i` of every design is pattern i.
        opportunities: first tries at questions that can show an error, with `row` of the design,
            `question` and `student` as numbers from 0; texts as categories in order.
        design: answers that say different things x (2 + patterns); the chance that an explanation
            gives the answer.
        questions: ids of the questions; their place is their number.
        ways: questions x patterns; over how many wrong answers the pattern is spread there: for a
            slip all that it leads to, for an error those of them that came. How a class divides
            over the answers of one error is not known, so that an even spread over answers which
            nobody gave is no evidence against it.
        several: questions x patterns; whether the pattern leads to several wrong answers there.
        stray: chance that another slip gives one certain predicted answer, by question.
        predicted: predicted wrong values x patterns: how likely the pattern's way there is, beside
            its likeliest way of the course.
        predicted_question: question of each row of `predicted`.
        start: prior weight of each column: that of a pattern's likeliest lone answer.
        slip: columns of general slips.
        everyone: number of students.
        heaviest: by pattern, the prior weight of its likeliest way of the course.
        chance: questions x patterns; how likely the pattern, where someone has it, shows there: 1
            by its likeliest way of the course, less where only an unusual method shows it, or
            where it is a guess.
        seen: questions x patterns; whether it shows there, not in theory alone; rates are per
            these.
        known: what was worked out of sets of questions and of classes, which often come again.
    """

    patterns: tuple[str, ...]
    opportunities: pd.DataFrame
    design: Matrix
    questions: pd.Index[int]
    ways: Matrix
    several: NDArray[np.bool_]
    stray: Vector
    predicted: sparse.csr_array
    predicted_question: NDArray[np.int64]
    start: Vector
    slip: NDArray[np.bool_]
    everyone: int
    heaviest: pd.Series[float]
    chance: Matrix
    seen: NDArray[np.bool_]
    known: dict[Hashable, Any] = field(default_factory=dict, repr=False)

    @property
    def shows(self) -> NDArray[np.bool_]:
        """Questions x patterns; whether the pattern can give a wrong answer there."""
        return self.chance > 0

    @property
    def usual(self) -> NDArray[np.bool_]:
        """Questions x patterns; whether it shows there by a method that is usual there."""
        return self.chance >= USUAL


def gather(
    opportunities: pd.DataFrame,
    candidates: pd.DataFrame,
    predicted: pd.DataFrame,
    catalogue: pd.DataFrame,
) -> Evidence:
    """Lay out what each distinct answer says about each explanation.

    Args:
        opportunities: one row per judged first try: question, examined, value_key, student, wrong
            (0 or 1), and any keys by which cells are formed later.
        candidates: one row per judged answer and set of faults: examined, faults, pattern,
            weight, general.
        predicted: one row per question, predicted wrong value and pattern: question, value_key,
            pattern, weight (before the class is known).
        catalogue: pattern, position, general.

    Returns:
        The evidence, with questions and students renumbered from 0; `CHANCE` of the other slips
        lands on predicted answers.
    """
    order = {name: place for place, name in enumerate(_in_order(predicted, candidates, catalogue))}
    questions = pd.Index(np.sort(predicted["question"].unique()))
    heaviest = predicted.groupby("pattern")["weight"].max()
    predicted = predicted.assign(likely=predicted["weight"] / predicted["pattern"].map(heaviest))
    values, value_question, possible, chance = _expected(predicted, questions, order)
    place = questions.get_indexer(pd.Index(opportunities["question"]))
    opportunities = coded(opportunities).assign(question=place)[place >= 0]
    opportunities["student"] = pd.factorize(opportunities["student"], sort=True)[0]
    answer = opportunities["examined"].where(opportunities["wrong"] == 1, -1).astype("int64")
    keys = opportunities[["question"]].assign(examined=answer)
    answered = keys.groupby(["question", "examined"], sort=False).ngroup().to_numpy()
    rows = keys.drop_duplicates(ignore_index=True)
    slip = _slips(order, catalogue)
    came = _came(opportunities, candidates, order, chance.shape)
    ways = np.where(slip[FIRST_PATTERN:], possible, np.minimum(np.maximum(came, 1), possible))
    cells = np.maximum(np.bincount(value_question, minlength=len(questions)), 1)
    whole = _design(rows, relative(candidates, heaviest), order, (ways, chance), CHANCE / cells)
    design, place = np.unique(whole, axis=0, return_inverse=True)
    return Evidence(
        patterns=tuple(order),
        opportunities=opportunities.assign(row=place.ravel()[answered]),
        design=design,
        questions=questions,
        ways=ways,
        several=possible > 1,
        stray=CHANCE / cells,
        heaviest=heaviest,
        chance=chance,
        seen=chance > 0,
        predicted=values,
        predicted_question=value_question,
        start=_start(order, candidates, slip),
        slip=slip,
        everyone=int(opportunities["student"].max()) + 1 if len(opportunities) else 0,
    )


def coded(frame: pd.DataFrame) -> pd.DataFrame:
    """The same with its texts as categories, whose numbers are what is grouped, joined and kept."""
    texts = frame.select_dtypes(["object", "str"]).columns
    return frame.astype(dict.fromkeys(texts, "category"))


def with_chance(evidence: Evidence, chance: float) -> Evidence:
    """The same evidence if another share of the other slips landed on predicted answers.

    Args:
        evidence: as gathered.
        chance: that share, 0 to 1; none at all is as good as none, since an answer that only errors
            too rare to be kept lead to would be left without any explanation.
    """
    chance = max(chance, NEARLY_NONE)
    design = evidence.design.copy()
    predicted = (design[:, FIRST_PATTERN:] > 0).any(axis=1)
    wrong = design[:, RIGHT] == 0
    design[wrong & predicted, UNEXPLAINED] *= chance / CHANCE
    design[wrong & ~predicted, UNEXPLAINED] = 1 - chance
    stray = evidence.stray * (chance / CHANCE)
    return replace(evidence, design=design, stray=stray, known={})


def _in_order(
    predicted: pd.DataFrame, candidates: pd.DataFrame, catalogue: pd.DataFrame
) -> list[str]:
    seen = set(predicted["pattern"]) | set(candidates["pattern"])
    known = [name for name in catalogue.sort_values("position")["pattern"] if name in seen]
    return known + sorted(seen - set(known))


def _came(
    opportunities: pd.DataFrame,
    candidates: pd.DataFrame,
    order: dict[str, int],
    shape: tuple[int, ...],
) -> Matrix:
    """Questions x patterns: how many different answers came to which the pattern alone leads."""
    wrong = opportunities.loc[
        opportunities["wrong"] == 1, ["question", "examined", "value_key"]
    ].drop_duplicates()
    single = candidates.loc[candidates["faults"].map(len) == 1, ["examined", "pattern"]]
    met = wrong.merge(single, on="examined").drop_duplicates(["question", "value_key", "pattern"])
    came = np.zeros(shape)
    np.add.at(came, (met["question"].to_numpy(), met["pattern"].map(order).to_numpy(int)), 1)
    return came


def _expected(
    predicted: pd.DataFrame, questions: pd.Index[int], order: dict[str, int]
) -> tuple[sparse.csr_array, NDArray[np.int64], Matrix, Matrix]:
    """Values x patterns, each value's question; questions x patterns, how many, how likely."""
    question = questions.get_indexer(pd.Index(predicted["question"]))
    column = predicted["pattern"].map(order).to_numpy(dtype=np.int64)
    likely = predicted["likely"].to_numpy()
    keys = pd.MultiIndex.from_arrays([question, predicted["value_key"]])
    row, distinct = pd.factorize(keys)
    values = sparse.csr_array((likely, (row, column)), shape=(len(distinct), len(order)))
    ways, chance = np.zeros((2, len(questions), len(order)))
    np.add.at(ways, (question, column), 1)
    np.maximum.at(chance, (question, column), likely)
    return values, np.array([key[0] for key in distinct], dtype=np.int64), ways, chance


def _design(
    rows: pd.DataFrame,
    candidates: pd.DataFrame,
    order: dict[str, int],
    chances: tuple[Matrix, Matrix],
    stray: Vector,
) -> Matrix:
    """Chance of each distinct answer under each explanation."""
    ways, chance = chances
    design = np.zeros((len(rows), FIRST_PATTERN + len(order)))
    question = rows["question"].to_numpy()
    right = (rows["examined"] < 0).to_numpy()
    design[right, RIGHT] = 1
    design[right, FIRST_PATTERN:] = 1 - chance[question[right]]
    numbered = rows.assign(row=np.arange(len(rows)))[~right]
    matched = numbered.merge(candidates, on="examined")
    column = matched["pattern"].map(order).to_numpy(dtype=np.int64)
    spread = np.maximum(ways[matched["question"].to_numpy(), column], 1)
    weight = matched["relative"].to_numpy() / spread
    # An answer to which an error leads alone is no likelier because it leads there in pairs, too.
    np.maximum.at(design, (matched["row"].to_numpy(), FIRST_PATTERN + column), weight)
    known = np.isin(np.arange(len(rows)), matched["row"])
    design[~right & known, UNEXPLAINED] = stray[question[~right & known]]
    design[~right & ~known, UNEXPLAINED] = 1 - CHANCE
    return design


def _slips(order: dict[str, int], catalogue: pd.DataFrame) -> NDArray[np.bool_]:
    general = set(catalogue.loc[catalogue["general"].astype(bool), "pattern"])
    return np.array([False] * FIRST_PATTERN + [name in general for name in order])


def _start(order: dict[str, int], candidates: pd.DataFrame, slip: NDArray[np.bool_]) -> Vector:
    start: Vector = np.where(slip, GENERAL, SINGLE)
    heaviest = _alone(candidates).groupby(candidates["pattern"]).max().dropna()
    start[FIRST_PATTERN + heaviest.index.map(order).to_numpy(dtype=np.int64)] = heaviest
    return start


def relative(candidates: pd.DataFrame, heaviest: pd.Series[float]) -> pd.DataFrame:
    """Add the chance that a set of faults gives its answer, up to what is common to a pattern.

    How common a pattern is, be it an error, a slip or a guess, is learnt from the class: that
    weight stands in the prior, and a lone fault's way is set against its pattern's likeliest.
    A second fault keeps its small prior weight.

    Args:
        candidates: faults, pattern, weight; one row per answer and set of faults.
        heaviest: by pattern, the weight of its likeliest way.

    Returns:
        The same with the column relative, above 0 and at most 1.
    """
    likeliest = candidates["pattern"].map(heaviest).astype(float)
    scale = likeliest.where(_alone(candidates).notna()).fillna(1.0)
    return candidates.assign(relative=(candidates["weight"] / scale).clip(upper=1.0))


def _alone(candidates: pd.DataFrame) -> pd.Series[float]:
    """Weights of faults that explain their answer alone, nothing for pairs."""
    return candidates["weight"].astype(float).where(candidates["faults"].map(len) == 1)
