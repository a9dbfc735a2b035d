"""How questions behave: how hard they are, what they tell, and which deserve a look, with why.

Sources: Kelley (1939), Journal of Educational Psychology 30:17-24, for tails of 27 %, from memory;
Feldt, Woodruff and Salih (1987), Applied Psychological Measurement 11:93-103, for the interval of
alpha. First tries only, and one complete score per student where a score is needed.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike
from scipy import special

from pipeline.statistics.intervals import Limits, wilson
from pipeline.statistics.notes import FEWEST_FOR_SILENCE, blank_when_few, few
from pipeline.statistics.parts_of_a_whole import may_be_shown

TAIL = 0.27
"""Share of students in the upper and in the lower group."""

UNLIKELY_RIGHT = 0.1
TELLING = 0.1
"""An item-rest correlation below it tells little. The trade's .2 is for item-total correlations,
which hold the question itself and so lie higher."""

RARELY_CHOSEN = 0.05
"""An option that fewer choose does not work; common practice."""

TOO_FEW = "too few students: fewer than 30"
NOT_COMPLETE = "too few students answered every question of it"
ALL_ALIKE = "all scores are alike"

KEY = (
    "Hardly any answer is right, and right answers here do not go with right answers elsewhere: "
    "check the right answer."
)
LEADING = (
    "More answers agree on one wrong value than on the right one, and that value goes with right "
    "answers elsewhere: check the right answer."
)
AGAINST = (
    "Right answers here go with wrong answers elsewhere: look at the question and its right answer."
)
ALIKE = "Every answer is right, or none is: it tells nothing that the other questions do not."
TELLS_LITTLE = "Right answers here hardly go with right answers elsewhere: it tells little."
BLIND = "It cannot show any of the errors that the lessons on its topic treat."


def correlation_limits(correlation: ArrayLike, pairs: ArrayLike) -> Limits:
    """Interval of a correlation, 95 %, by Fisher's transformation.

    Args:
        correlation: -1 to 1.
        pairs: students behind it; with fewer than four nothing is known.
    """
    r, n = np.asarray(correlation, dtype=float), np.asarray(pairs, dtype=float)
    z = np.arctanh(np.clip(r, -1 + 1e-12, 1 - 1e-12))
    known = np.isfinite(r) & (n > 3)
    reach = special.ndtri(0.975) / np.sqrt(np.where(known, n - 3, 1.0))
    low, high = np.tanh(z - reach), np.tanh(z + reach)
    return np.where(known, low, np.nan), np.where(known, high, np.nan)


def item_rates(sums: pd.DataFrame, leading: pd.DataFrame, blind: pd.DataFrame) -> pd.DataFrame:
    """Difficulty and item-rest correlation, one first try per student.

    Args:
        sums: term, setting, item, students, answers, right_answers, pairs, item_rest.
        leading: term, setting, item, leading_wrong (students who gave the commonest wrong value).
        blind: term, setting, item of questions that show none of the errors treated in lessons.

    Returns:
        The columns of `computed.item_rate` but those of `discrimination`. With fewer than 30
        students no correlation and no flag is given.
    """
    keys = ["term", "setting", "item"]
    table = sums.merge(leading, on=keys, how="left")
    table = table.merge(blind[keys].assign(blind=True), on=keys, how="left")
    answers = table["answers"].to_numpy(dtype=float)
    low, high = wilson(table["right_answers"], answers) if len(table) else (answers, answers)
    enough = table["pairs"] >= FEWEST_FOR_SILENCE
    rest_low, rest_high = correlation_limits(table["item_rest"], table["pairs"])
    table = table.assign(
        difficulty=table["right_answers"] / table["answers"],
        difficulty_low=blank_when_few(low, table["students"]),
        difficulty_high=blank_when_few(high, table["students"]),
        item_rest=table["item_rest"].where(enough),
        item_rest_low=np.where(enough, rest_low, np.nan),
        item_rest_high=np.where(enough, rest_high, np.nan),
        item_rest_note=pd.Series(None, index=table.index, dtype="object").mask(~enough, TOO_FEW),
    )
    table["flag"] = _flags(table)
    return table.drop(columns=["pairs", "leading_wrong", "blind"])


def _flags(table: pd.DataFrame) -> pd.Series[str]:
    """The weightiest reason for a look; one is given only where the interval leaves no doubt."""
    enough = table["students"] >= FEWEST_FOR_SILENCE
    difficulty = table["difficulty"]
    sure_of_some = table["item_rest_low"] > 0
    between = difficulty.between(UNLIKELY_RIGHT, 1 - UNLIKELY_RIGHT)
    reasons = [
        (BLIND, table["blind"].notna()),
        (TELLS_LITTLE, between & (table["item_rest_high"] < TELLING)),
        (ALIKE, difficulty.isin([0.0, 1.0])),
        (AGAINST, table["item_rest_high"] < 0),
        (LEADING, (table["leading_wrong"] > table["right_answers"]) & ~sure_of_some),
        (KEY, (difficulty < UNLIKELY_RIGHT) & ~sure_of_some),
    ]
    flag = pd.Series(None, index=table.index, dtype="object")
    for reason, holds in reasons:
        flag[enough & holds] = reason
    return flag


def discrimination(scores: pd.DataFrame) -> pd.DataFrame:
    """Share right in the upper 27 % less that in the lower, by score on the whole quiz.

    A score that many share at the boundary counts in part, so that each tail is exactly 27 %.

    Args:
        scores: what `staging.score_count` holds.

    Returns:
        term, setting, item, discrimination, discrimination_note; a question of several quizzes
        counts in the one with most complete scores.
    """
    keys = ["term", "setting", "quiz", "item"]
    table = scores.groupby(keys)["students"].sum().rename("complete").reset_index()
    upper, lower = (_tail(scores.sort_values("score", ascending=up), keys) for up in (False, True))
    table["discrimination"] = (upper - lower).to_numpy()
    table = table.sort_values("complete", kind="stable")
    table = table.drop_duplicates(["term", "setting", "item"], keep="last").sort_index()
    enough = table["complete"] >= FEWEST_FOR_SILENCE
    note = pd.Series(None, index=table.index, dtype="object").mask(~enough, NOT_COMPLETE)
    table["discrimination"] = table["discrimination"].where(enough)
    return table.assign(discrimination_note=note).drop(columns=["quiz", "complete"])


def _tail(scores: pd.DataFrame, keys: list[str]) -> pd.Series[float]:
    """Share right of the first students of each question, in order of its rows."""
    by_question = [scores[key] for key in keys]
    size = scores["students"].astype(float)
    wanted = TAIL * size.groupby(by_question).transform("sum")
    before = size.groupby(by_question).cumsum() - size
    weight = ((wanted - before) / size).clip(0.0, 1.0)
    shares: pd.Series[float] = (
        (weight * scores["right_answers"] / wanted).groupby(by_question).sum()
    )
    return shares


def quiz_scores(scores: pd.DataFrame) -> pd.DataFrame:
    """How well the scores of each quiz would repeat: alpha (KR-20) and the error of a score.

    Args:
        scores: what `staging.score_count` holds.

    Returns:
        The columns of `computed.quiz_score`. Alpha is a lower bound, grows with the number of
        questions, and says nothing of whether they ask for one thing.
    """
    rows = [
        {"term": term, "setting": setting, "quiz": quiz, **_reliability(part)}
        for (term, setting, quiz), part in scores.groupby(["term", "setting", "quiz"], sort=True)
    ]
    return pd.DataFrame(rows)


def _reliability(part: pd.DataFrame) -> dict[str, object]:
    levels = part.groupby("score")["students"].max()
    n, k = int(levels.sum()), part["item"].nunique()
    row: dict[str, object] = {"questions": k, "students": n, "others": int(part["others"].max())}
    if n < FEWEST_FOR_SILENCE:
        return {**row, "note": NOT_COMPLETE}
    score = levels.index.to_numpy(dtype=float)
    mean = float(np.average(score, weights=levels))
    variance = float((levels * (score - mean) ** 2).sum() / (n - 1))
    if variance <= 0:
        return {**row, "mean_score": mean, "deviation": 0.0, "note": ALL_ALIKE}
    right = part.groupby("item")["right_answers"].sum() / n
    alpha = k / (k - 1) * (1 - float((right * (1 - right)).sum()) * n / (n - 1) / variance)
    low, high = feldt(alpha, n, k)
    return {
        **row,
        "mean_score": mean,
        "deviation": variance**0.5,
        "alpha": alpha,
        "alpha_low": low,
        "alpha_high": high,
        "score_error": (variance * max(1 - alpha, 0.0)) ** 0.5,
        "note": None,
    }


def feldt(
    alpha: float, students: int, questions: int, confidence: float = 0.95
) -> tuple[float, float]:
    """Interval of alpha.

    Args:
        alpha: the coefficient.
        students: complete scores.
        questions: in the score, at least 2.
        confidence: of the interval.
    """
    freedom = students - 1, (students - 1) * (questions - 1)
    ends = special.fdtri(*freedom, [0.5 + confidence / 2, 0.5 - confidence / 2])
    low, high = 1 - (1 - alpha) * ends
    return float(low), float(high)


def option_shares(counts: pd.DataFrame, limit: int) -> pd.DataFrame:
    """Share of students who chose each option of a choice question.

    Args:
        counts: term, setting, item, item_from, option, is_right, students, chosen.
        limit: fewest students of whom a count may be shown.

    Returns:
        The columns of `computed.option_share`. A wrong option is called rarely chosen only where
        the whole interval lies under 5 %.
    """
    if not len(counts):
        return counts
    low, high = wilson(counts["chosen"], counts["students"])
    counts = counts.reset_index(drop=True)
    wrong_first = counts.sort_values(["is_right", "option"])
    questions = wrong_first.groupby(["term", "setting", "item", "item_from"], dropna=False)
    sums = list(questions.groups.values())
    rare = ~counts["is_right"].astype(bool) & (high < RARELY_CHOSEN)
    note = pd.Series(few(counts["students"]), index=counts.index, dtype="object")
    return counts.assign(
        share=counts["chosen"] / counts["students"],
        share_low=blank_when_few(low, counts["students"]),
        share_high=blank_when_few(high, counts["students"]),
        share_note=note.mask(rare, "hardly ever chosen: it tells no one apart"),
        shown=may_be_shown(counts["chosen"], sums, limit, apart=True),
    )
