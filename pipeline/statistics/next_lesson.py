"""The one order of errors: the answers that each may still cost.

Students x recent rate x coming back x chances ahead, weighed as the course declares.

The assumptions, to be printed beside the ranking: those who show an error now are who gains;
coming back stays as it is; lessons work equally well; errors do not hang together; the questions
ahead are those of the items file.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pipeline.tagging.evidence import Evidence

DRAWS = 1_000
CLEAR, LIKELY = 0.95, 0.7
"""Words for the chance to be among the top three, which is known to be too sure of itself."""

MADE = 0.5
"""Answers laid to an error from which on it was made at all."""
FEWEST_CHANCES = 30
WORTH_A_LESSON = 0.02
"""An error whose interval lies above this rate stands out."""

NOTHING_AHEAD = (
    "no later question with a known week: chances ahead are counted as if this semester’s "
    "questions came once more"
)
NOT_LATELY = (
    "no question of the last two weeks tells of it: its share is that of the whole semester"
)
NEVER_AGAIN = "ranked without whether it comes back: too few students met a second chance"
FEWEST_SECOND_CHANCES = 30
"""Second chances of all errors together below which coming back is a guess and is left out."""


def rank_lessons(recent: pd.DataFrame, held: pd.DataFrame, ahead: pd.DataFrame) -> pd.DataFrame:
    """Rank the errors of a class by the answers that they may still cost.

    Args:
        recent: one row per term, setting and error: students, opportunities, rate, rate_low,
            rate_high, pattern, members, class_students (who answers now), usual_chances (per
            student in the whole term), recent_from and recent_to (weeks), lately (whether the
            rate is of these weeks).
        held: persistence by term, setting and pattern: persistence, showed, again.
        ahead: chances ahead by pattern: chances_ahead (per student, null when unknown),
            topics_ahead, weight.

    Returns:
        The columns of `computed.next_lesson`.

    Source: the score of this project's own design; Beta draws at the effective size.
    """
    keys = ["term", "setting"]
    table = recent.merge(held, on=[*keys, "pattern"], how="left").merge(
        ahead, on="pattern", how="left"
    )
    table = table[table["rate"].notna() & (table["opportunities"] > 0)]
    ranked = [_ranked(part) for _, part in table.groupby(keys, sort=True)]
    return pd.concat(ranked, ignore_index=True) if ranked else pd.DataFrame()


def _ranked(part: pd.DataFrame) -> pd.DataFrame:
    part = part.sort_values("pattern").reset_index(drop=True)
    prior = _prior(part)
    showed, again = part["showed"].fillna(0.0), part["again"].fillna(0.0)
    back = (prior[0] + again) / (prior[0] + prior[1] + showed)
    guessed = showed.sum() < FEWEST_SECOND_CHANCES
    if guessed:
        back = pd.Series(1.0, index=part.index)
    unknown = part["chances_ahead"].isna().all()
    future = part["usual_chances"] if unknown else part["chances_ahead"].fillna(0.0)
    coming = part["class_students"] * future
    weight = part["weight"].fillna(1.0)
    cost = coming * part["rate"] * back
    top = _top_three(
        part, None if guessed else prior, np.asarray(coming * weight, dtype=np.float64)
    )
    words = np.where(top >= CLEAR, "clear", np.where(top >= LIKELY, "likely", "open"))
    part = part.assign(
        answers_ahead=cost,
        score=cost * weight,
        probability_top_three=top,
        certainty=words,
        stands_out=part["rate_low"] > WORTH_A_LESSON,
        persistence_counted=np.nan if guessed else back.round(6),
    )
    general = [NOTHING_AHEAD] * bool(unknown) + [NEVER_AGAIN] * bool(guessed)
    part["note"] = [
        "; ".join([*([] if lately else [NOT_LATELY]), *general]) or None
        for lately in part["lately"]
    ]
    part = part.sort_values(["score", "rate", "pattern"], ascending=[False, False, True])
    part["rank"] = np.arange(1, len(part) + 1)
    renamed = {"rate": "recent_rate", "rate_low": "recent_low", "rate_high": "recent_high"}
    ranked: pd.DataFrame = part.rename(columns=renamed)[_COLUMNS]
    return ranked


_COLUMNS = [
    "term", "setting", "rank", "pattern", "members", "students", "opportunities", "recent_rate",
    "recent_low", "recent_high", "recent_from", "recent_to", "lately", "persistence", "showed",
    "persistence_counted", "class_students", "usual_chances", "chances_ahead", "weight",
    "answers_ahead", "score", "probability_top_three", "certainty", "stands_out", "topics_ahead",
    "note",
]  # fmt: skip


def _prior(part: pd.DataFrame) -> tuple[float, float]:
    """Beta prior of coming back, from all errors together, worth ten showings."""
    showed, again = float(part["showed"].sum()), float(part["again"].sum())
    mean = (again + 1) / (showed + 2)
    return 10 * mean, 10 * (1 - mean)


def _top_three(
    part: pd.DataFrame, prior: tuple[float, float] | None, fixed: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Chance of each error to be among the three highest scores, over draws of rate and return.

    Without a prior, coming back is taken as equal for all. Errors that were not made take no part:
    dozens of them, each hardly possible, would crowd out one that was.
    """
    generator = np.random.default_rng(20_240_501)
    size = _effective(part)
    rate = part["rate"].to_numpy(dtype=float)
    showed = part["showed"].fillna(0.0).to_numpy(dtype=float)
    again = part["again"].fillna(0.0).to_numpy(dtype=float)
    shape = (DRAWS, len(part))
    rates = generator.beta(rate * size + 0.5, (1 - rate) * size + 0.5, size=shape)
    back = np.ones(shape)
    if prior is not None:
        never = np.maximum(showed - again, 0)
        back = generator.beta(prior[0] + again, prior[1] + never, size=shape)
    made = rate * part["opportunities"].to_numpy(dtype=float) >= MADE
    place = (-(rates * back * fixed * made)).argsort(axis=1).argsort(axis=1)
    chance: NDArray[np.float64] = (place < 3).mean(axis=0) * made
    return chance


def _effective(part: pd.DataFrame) -> NDArray[np.float64]:
    """Answers that would give the same interval if each came from another student."""
    width = (part["rate_high"] - part["rate_low"]).to_numpy(dtype=float)
    rate = part["rate"].clip(0.01, 0.99).to_numpy(dtype=float)
    safe = np.where(np.isfinite(width) & (width > 0), width, 1.0)
    size = rate * (1 - rate) * (2 * 1.96 / safe) ** 2
    whole: NDArray[np.float64] = np.minimum(
        np.maximum(size, 1.0), part["opportunities"].to_numpy(dtype=float)
    )
    return whole


def verdicts(ranking: pd.DataFrame, names: pd.DataFrame, limit: int) -> pd.DataFrame:
    """Say in words what each ranking amounts to.

    Args:
        ranking: what `rank_lessons` returns, without slips.
        limit: fewest students of a group that is named.
        names: term and setting of every class, so that none is silent.

    Returns:
        The columns of `main.own_next_lesson_summary`.
    """
    rows = []
    for term, setting in names[["term", "setting"]].itertuples(index=False):
        part = ranking
        if len(ranking):
            part = ranking[(ranking["term"] == term) & (ranking["setting"] == setting)]
        rows.append({"term": term, "setting": setting, **_verdict(part, limit)})
    return pd.DataFrame(rows, columns=["term", "setting", "verdict", "sentence"])


def _verdict(part: pd.DataFrame, limit: int) -> dict[str, str]:
    if len(part) and (part["students"] < limit).all():
        sentence = (
            f"We cannot say: answers that can show a known error came from fewer than {limit} "
            "students, and so small a group is hidden."
        )
        return {"verdict": "cannot tell yet", "sentence": sentence}
    part = part[part["students"] >= limit] if len(part) else part
    if not len(part) or part["opportunities"].max() < FEWEST_CHANCES:
        sentence = (
            "We cannot tell yet: there are too few recent answers that can show a known "
            "error. Two or three questions to the whole class would let us."
        )
        return {"verdict": "cannot tell yet", "sentence": sentence}
    if not part["stands_out"].any():
        sentence = "Nothing stands out: no known error is common in recent answers."
        return {"verdict": "nothing stands out", "sentence": sentence}
    first = part.sort_values("rank").iloc[0]
    word, name = str(first["certainty"]), _named(str(first["pattern"]))
    sentence = {
        "clear": f"{name} clearly belongs among the first three to treat.",
        "likely": f"{name} is likely among the first three to treat.",
        "open": f"Several errors come out about equally, {name} first among them; which to treat "
        "first is open.",
    }[word]
    return {"verdict": word, "sentence": sentence}


def _named(pattern: str) -> str:
    """An error's name in quotation marks; one of several that cannot be told apart."""
    first, *others = (f"“{name.replace('-', ' ')}”" for name in pattern.split(" / "))
    if len(others) > 1:
        return f"{first} (or one of {len(others)} that look like it)"
    return " or ".join([first, *others])


@dataclass(frozen=True, slots=True)
class Now:
    """Where the course stands: the latest term with answers of enough students, and its week.

    `week` is None where no answer of the term bears a date and no question a week.
    """

    term: str
    week: int | None


def now(answers: pd.DataFrame, order: Sequence[str]) -> Now | None:
    """Find the latest term and week.

    Args:
        answers: term, week; `staging.current_week`, which leaves out the few who work ahead.
        order: ids of the terms in order of time.
    """
    seen = [term for term in order if (answers["term"] == term).any()]
    if not seen:
        return None
    weeks = answers.loc[answers["term"] == seen[-1], "week"].dropna()
    return Now(seen[-1], int(weeks.max()) if len(weeks) else None)


def chances_ahead(
    evidence: Evidence,
    groups: pd.DataFrame,
    items: pd.DataFrame,
    today: Now,
    weights: Mapping[str, float] | None = None,
) -> pd.DataFrame:
    """Chances per student that are still to come, by error.

    Args:
        evidence: tells what each question shows; questions that were asked in any term count.
        groups: pattern, members.
        items: item, topic, week, position; several versions of one item count once, the last.
        today: the current term and week.
        weights: by topic, how much an error in it costs; 1 for a topic that it lacks.

    Returns:
        pattern, chances_ahead (null when no later question is known), weight (mean over the
        chances ahead; over all questions that can show it where none is ahead), topics_ahead.
    """
    last = items.sort_values("position").drop_duplicates("item", keep="last")
    ahead = last["week"] > today.week if today.week is not None else last["week"].isna() & False
    asked = last.merge(_shown_by_item(evidence), on="item")
    stated = asked["topic"].map(dict(weights or {})).fillna(1.0)
    cost = np.asarray(stated, dtype=np.float64)
    coming = asked["item"].isin(last.loc[ahead, "item"]).to_numpy()
    later = asked[coming]
    shows = np.array(asked["shows"].tolist(), dtype=float).reshape(-1, len(evidence.patterns))
    rows = []
    number = {name: place for place, name in enumerate(evidence.patterns)}
    for pattern, names in groups[["pattern", "members"]].itertuples(index=False):
        columns = [number[name] for name in names]
        able = shows[:, columns].max(axis=1)
        chance = able[coming]
        rows.append(
            {
                "pattern": pattern,
                "chances_ahead": float(chance.sum()) if len(chance) else np.nan,
                "weight": _mean_weight(cost, able, coming),
                "topics_ahead": sorted(set(later["topic"][chance > 0].dropna())),
            }
        )
    return pd.DataFrame(rows)


def _mean_weight(
    cost: NDArray[np.float64], able: NDArray[np.float64], coming: NDArray[np.bool_]
) -> float:
    for chance in (able * coming, able):
        if chance.sum() > 0:
            return float(np.average(cost, weights=chance))
    return 1.0


def _shown_by_item(evidence: Evidence) -> pd.DataFrame:
    """Share of each item's questions that show each pattern."""
    asked = evidence.opportunities[["item", "question"]].drop_duplicates()
    rows: list[tuple[Any, NDArray[np.float64]]] = [
        (item, evidence.seen[part["question"]].mean(axis=0)) for item, part in asked.groupby("item")
    ]
    return pd.DataFrame(rows, columns=["item", "shows"])
