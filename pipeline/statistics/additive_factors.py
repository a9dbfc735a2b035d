"""How fast each topic is learned: one slope a topic, students and questions told apart from it.

The additive factors model, logit P(right) = student + question + slope of topic x earlier questions
on it, after Cen, Koedinger and Junker (2006), with a level for each question instead of each topic.
Student effects are drawn from one normal distribution, whose spread is estimated; questions and
slopes are free, and a slope may be negative. Where all students meet the questions in one order, a
later question that is easier looks like learning: no slope is told then.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray
from scipy import special

from pipeline.statistics.intervals import holm
from pipeline.statistics.notes import FEWEST_FOR_INTERVAL, blank_when_few, few

Numbers: TypeAlias = NDArray[np.float64]
Whole: TypeAlias = NDArray[np.int64]

STEPS = 60
CLOSE = 1e-7
HARDLY = 1e-6
"""Precision of questions and slopes: as good as none, but keeps one without errors finite."""

LEAST_SPREAD, MOST_SPREAD = 1e-3, 1e3
"""Bounds of the variance of students."""
FEW_SECONDS = "too few students answered a second question of it"
ALIKE = "every answer is right, or none is"
SAME_ORDER = (
    "cannot tell: nearly all met these questions in the same order, so that easier questions later "
    "on look the same as learning"
)
OTHER_ORDER = 0.2
"""Share of students who met some questions of a topic the other way round, from which on a slope
can be told."""
TWO_QUESTIONS = "no one answered more than two questions: read it as one question against another"


@dataclass(frozen=True, slots=True)
class Slopes:
    """A fitted model.

    Args:
        topic: log-odds of a right first answer of the middle student, by topic, over its questions
            as often as they were answered.
        slope: what each earlier question on the topic adds to them, by topic.
        error: standard error of the slope, students as the unit.
        student: log-odds that each student adds everywhere.
        spread: standard deviation of these in the population.
    """

    topic: Numbers
    slope: Numbers
    error: Numbers
    student: Numbers
    spread: float


@dataclass(frozen=True, slots=True)
class _Answers:
    """Answers of one class: numbers of their students, questions and topics, each from 0."""

    right: Numbers
    student: Whole
    question: Whole
    topic: Whole
    earlier: Numbers

    def effects(self, student: Numbers, other: Numbers) -> Numbers:
        """Log-odds of a right answer; `other` holds levels of questions, then slopes of topics."""
        slope = other[self.question.max() + 1 :]
        return student[self.student] + other[self.question] + slope[self.topic] * self.earlier

    def sums(self, values: Numbers) -> Numbers:
        """Sums of some values over the answers of each question, then of each topic."""
        sloped = np.bincount(self.topic, values * self.earlier)
        return np.concatenate([np.bincount(self.question, values), sloped])

    def sums_by_student(self, values: Numbers) -> Numbers:
        """The same, a row for each student."""
        sloped = _table(self.student, self.topic, values * self.earlier)
        return np.hstack([_table(self.student, self.question, values), sloped])

    def products(self, weight: Numbers) -> Numbers:
        """Weighted cross products of questions and slopes."""
        steep = weight * self.earlier
        mixed = _table(self.question, self.topic, steep)
        level = np.diag(np.bincount(self.question, weight))
        return np.block(
            [[level, mixed], [mixed.T, np.diag(np.bincount(self.topic, steep * self.earlier))]]
        )


def _table(row: Whole, column: Whole, values: Numbers) -> Numbers:
    shape = int(row.max()) + 1, int(column.max()) + 1
    place = np.ravel_multi_index((row, column), shape)
    sums: Numbers = np.bincount(place, values, shape[0] * shape[1]).astype(float)
    return sums.reshape(shape)


@dataclass(frozen=True, slots=True)
class _Fit:
    """Most likely effects at one variance of the students'."""

    student: Numbers
    other: Numbers
    variance: float
    spread: float


def additive_factors(
    right: ArrayLike, student: ArrayLike, topic: ArrayLike, question: ArrayLike, earlier: ArrayLike
) -> Slopes:
    """Fit the model to answers of one class.

    Args:
        right: 0 or 1, for each answer.
        student: number of its student, from 0, each with any answer.
        topic: number of its topic, from 0, each with any answer.
        question: number of its question, from 0, each with any answer.
        earlier: questions of the topic that the student had answered before.
    """
    who, what, which = (np.asarray(one, dtype=np.int64) for one in (student, topic, question))
    numbers = (np.asarray(one, dtype=float) for one in (right, earlier))
    answers = _Answers(next(numbers), who, which, what, next(numbers))
    fit = _fitted(answers)
    questions = int(which.max()) + 1
    level = np.bincount(what, fit.other[which]) / np.bincount(what)
    error = _errors(answers, fit)[questions:]
    return Slopes(level, fit.other[questions:], error, fit.student, fit.variance**0.5)


def _fitted(answers: _Answers) -> _Fit:
    """The fit whose variance is that of its effects, with what these leave open."""
    students, others = int(answers.student.max()) + 1, len(answers.sums(answers.right))
    last = [_newton(answers, np.zeros(students), np.zeros(others), 1.0)]

    def off(logarithm: float) -> float:
        last.append(_newton(answers, last[-1].student, last[-1].other, float(np.exp(logarithm))))
        return float(np.log(last[-1].spread)) - logarithm

    least, most = np.log(LEAST_SPREAD), np.log(MOST_SPREAD)
    if off(least) <= 0:
        return last[-1]
    if off(most) < 0:
        from scipy import optimize  # slow to import

        off(optimize.brentq(off, least, most, xtol=1e-6))
    return last[-1]


def _newton(answers: _Answers, theta: Numbers, beta: Numbers, variance: float) -> _Fit:
    """Most likely effects at a given variance; students are eliminated one by one."""
    curvature = np.ones(len(theta))
    for _ in range(STEPS):
        residual, curvature, cross, schur = _parts(answers, theta, beta, variance)
        pull = np.bincount(answers.student, residual) - theta / variance
        push = answers.sums(residual) - HARDLY * beta
        step = np.linalg.solve(schur, push - cross.T @ (pull / curvature))
        move = (pull - cross @ step) / curvature
        # A step of more than a few logits overshoots where a topic is nearly always right.
        short = min(1.0, 3.0 / max(np.abs(step).max(), np.abs(move).max(), 1e-12))
        theta, beta = theta + short * move, beta + short * step
        if max(np.abs(step).max(), np.abs(move).max()) < CLOSE:
            break
    return _Fit(theta, beta, variance, float(np.mean(theta**2 + 1 / curvature)))


def _parts(
    answers: _Answers, theta: Numbers, beta: Numbers, variance: float
) -> tuple[Numbers, Numbers, Numbers, Numbers]:
    fitted = special.expit(answers.effects(theta, beta))
    weight = fitted * (1 - fitted)
    curvature = np.bincount(answers.student, weight).astype(float) + 1 / variance
    cross = answers.sums_by_student(weight)
    own = answers.products(weight) + HARDLY * np.eye(len(beta))
    return answers.right - fitted, curvature, cross, own - cross.T @ (cross / curvature[:, None])


def _errors(answers: _Answers, fit: _Fit) -> Numbers:
    """Sandwich errors of questions and slopes, clustered by student."""
    residual, curvature, cross, schur = _parts(answers, fit.student, fit.other, fit.variance)
    pull = np.bincount(answers.student, residual) - fit.student / fit.variance
    scores = answers.sums_by_student(residual) - cross * (pull / curvature)[:, None]
    inverse = np.linalg.pinv(schur)
    m = len(pull)
    spread = inverse @ (scores.T @ scores) @ inverse * (m / max(m - 1, 1))
    found: Numbers = np.sqrt(np.maximum(np.diag(spread), 0.0))
    return found


def learning_slopes(steps: pd.DataFrame) -> pd.DataFrame:
    """Slope of every topic, a model for each term and setting.

    Args:
        steps: what `staging.practice_step` holds.

    Returns:
        The columns of `computed.learning_slope`.
    """
    frames = [
        _class(part).assign(term=str(term), setting=str(setting))
        for (term, setting), part in steps.groupby(["term", "setting"], sort=True)
    ]
    if not frames:
        return pd.DataFrame()
    table = pd.concat(frames, ignore_index=True)
    if "p" not in table:
        return table
    table["p_adjusted"] = table.groupby("term")["p"].transform(holm)
    return table.drop(columns="p")


def _orders_differ(part: pd.DataFrame) -> pd.Series[bool]:
    """By topic: whether many students met some of its questions the other way round than usual."""
    rows = part.sort_values(["topic", "student", "earlier"])
    usual = rows.groupby(["topic", "item"])["earlier"].transform("mean")
    step = usual.groupby([rows["topic"], rows["student"]]).diff()
    back = (step < 0).groupby([rows["topic"], rows["student"]]).any()
    several = step.notna().groupby([rows["topic"], rows["student"]]).any()
    differ: pd.Series[bool] = back[several].groupby(level="topic").mean() >= OTHER_ORDER
    return differ


def _class(part: pd.DataFrame) -> pd.DataFrame:
    second = part[part["earlier"] == 1].groupby("topic")["student"].nunique()
    varied = part.groupby("topic")["wrong"].agg(lambda wrong: wrong.nunique() > 1)
    names = sorted(part["topic"].unique())
    seconds = second.reindex(names).fillna(0)
    differ = _orders_differ(part).reindex(names, fill_value=False)
    able = [n for n in names if seconds[n] >= FEWEST_FOR_INTERVAL and varied[n] and differ[n]]
    used = part[part["topic"].isin(able)]
    by_topic = part.groupby("topic")
    table = pd.DataFrame(
        {
            "topic": names,
            "students": by_topic["student"].nunique().loc[names].to_numpy(),
            "answers": by_topic.size().loc[names].to_numpy(),
            "chances": by_topic["earlier"].max().loc[names].to_numpy() + 1,
            "slope_note": [
                None
                if n in able
                else ALIKE
                if not varied[n]
                else FEW_SECONDS
                if seconds[n] < FEWEST_FOR_INTERVAL
                else SAME_ORDER
                for n in names
            ],
        }
    )
    if not able:
        return table
    table.loc[table["slope_note"].isna() & (table["chances"] < 3), "slope_note"] = TWO_QUESTIONS
    student, everyone = pd.factorize(used["student"])
    question = pd.factorize(used["topic"].str.cat(used["item"], sep="|"))[0]
    fitted = additive_factors(
        1 - used["wrong"], student, pd.Index(able).get_indexer(pd.Index(used["topic"])),
        question, used["earlier"],
    )  # fmt: skip
    note = table["slope_note"].astype(object)
    table["slope_note"] = note.where(note.notna(), pd.Series(few(seconds), dtype=object))
    return table.merge(_figures(used, able, fitted, len(everyone)), on="topic", how="left")


def _figures(used: pd.DataFrame, able: list[str], fitted: Slopes, everyone: int) -> pd.DataFrame:
    seconds = used[used["earlier"] == 1].groupby("topic")["student"].nunique().loc[able]
    reach = special.stdtrit(max(everyone - 1, 1), 0.975) * fitted.error
    last = used.groupby("topic")["earlier"].max().loc[able].to_numpy()
    modeled = [
        [
            float(1 - special.expit(fitted.student + start + slope * t).mean())
            for t in range(int(most) + 1)
        ]
        for start, slope, most in zip(fitted.topic, fitted.slope, last, strict=True)
    ]
    return pd.DataFrame(
        {
            "topic": able,
            "slope": fitted.slope,
            "slope_low": blank_when_few(fitted.slope - reach, seconds),
            "slope_high": blank_when_few(fitted.slope + reach, seconds),
            "p": np.where(
                seconds < FEWEST_FOR_INTERVAL,
                np.nan,
                2 * special.stdtr(max(everyone - 1, 1), -np.abs(fitted.slope) / fitted.error),
            ),
            "modeled": modeled,
        }
    )


def with_model(curves: pd.DataFrame, slopes: pd.DataFrame) -> pd.DataFrame:
    """Add what the model expects at each question to the curves of the topics.

    Args:
        curves: term, setting, topic, chance (from 1).
        slopes: what `learning_slopes` returns.

    Returns:
        The curves with `modeled`: share wrong if every student of the class had gone on so far.
    """
    if not len(curves) or "modeled" not in slopes:
        return curves
    keys = ["term", "setting", "topic"]
    told = slopes.dropna(subset=["modeled"])[[*keys, "modeled"]].explode("modeled")
    told = told.assign(chance=told.groupby(keys).cumcount() + 1)
    return curves.merge(told.astype({"modeled": float}), on=[*keys, "chance"], how="left")
