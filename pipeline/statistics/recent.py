"""How common errors are lately: in the last two weeks with answers, setting by setting."""

from __future__ import annotations

import pandas as pd

RECENT_WEEKS = 2
FEWEST_OF_FULLEST = 0.1
CLASS = ["term", "setting"]
KEYS = [*CLASS, "pattern"]


def last_weeks(answers: pd.DataFrame, weeks: int = RECENT_WEEKS) -> pd.DataFrame:
    """Keep the answers of the last weeks that have any, for each setting by itself.

    An exam after the last practice ends no practice, and a week with fewer than a tenth of the
    answers of the fullest one does not count: a few who are late are no class; their answers
    stay. Where a setting has no weeks, all are kept.

    Args:
        answers: term, setting, week, of one term.
        weeks: how many weeks.
    """
    sizes = answers.groupby([*CLASS, "week"]).size().rename("size").reset_index()
    fullest = sizes.groupby(CLASS)["size"].transform("max")
    counting = sizes[sizes["size"] >= fullest * FEWEST_OF_FULLEST].sort_values("week")
    begins = counting.groupby(CLASS).tail(weeks).groupby(CLASS)["week"].min()
    begin = begins.reindex(pd.MultiIndex.from_frame(answers[CLASS])).to_numpy()
    return answers[pd.isna(begin) | (answers["week"] >= begin).to_numpy()]


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
