"""How common errors are lately: in the last two weeks with answers, setting by setting."""

from __future__ import annotations

import pandas as pd

__all__ = ["last_weeks", "recent_rates"]

RECENT_WEEKS = 2
CLASS = ["term", "setting"]
KEYS = [*CLASS, "pattern"]


def last_weeks(answers: pd.DataFrame) -> pd.DataFrame:
    """Keep the answers of the last two weeks that have any, for each setting by itself.

    An exam after the last practice ends no practice. Where a setting has no weeks, all are kept.

    Args:
        answers: term, setting, week, of one term.
    """
    found = answers.dropna(subset=["week"]).groupby(CLASS)["week"].unique()
    latest = {key: set(sorted(weeks)[-RECENT_WEEKS:]) for key, weeks in found.items()}
    pairs = zip(answers["term"], answers["setting"], answers["week"], strict=True)
    return answers[
        [(term, name) not in latest or week in latest[term, name] for term, name, week in pairs]
    ]


def recent_rates(totals: pd.DataFrame, lately: pd.DataFrame, late: pd.DataFrame) -> pd.DataFrame:
    """Rates of the last weeks, or of the whole term where these tell nothing of an error.

    Args:
        totals: rates of the whole term, what `pattern_totals` returns.
        lately: the same of the answers `late`, under the same names.
        late: what `last_weeks` returns, with student.

    Returns:
        The columns of `recent` that `rank_lessons` takes.
    """
    weeks = late.groupby(CLASS, as_index=False).agg(
        recent_from=("week", "min"),
        recent_to=("week", "max"),
        class_students=("student", "nunique"),
    )
    term = totals[totals["rate"].notna()]
    usual = term[KEYS].assign(usual_chances=term["opportunities"] / term["students"])
    now = lately[lately["rate"].notna()] if len(lately) else term.iloc[:0]
    told = pd.MultiIndex.from_frame(term[KEYS]).isin(pd.MultiIndex.from_frame(now[KEYS]))
    table = pd.concat([now.assign(lately=True), term[~told].assign(lately=False)])
    return table.merge(usual, on=KEYS).merge(weeks, on=CLASS)
