"""How common errors are lately: in the last two weeks with answers, setting by setting."""

from __future__ import annotations

import pandas as pd

__all__ = ["last_weeks", "recent_rates"]

RECENT_WEEKS = 2
CLASS = ["term", "setting"]
KEYS = [*CLASS, "pattern"]
RATES = ["rate", "rate_low", "rate_high"]


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


def recent_rates(
    totals: pd.DataFrame, lately: pd.DataFrame, late: pd.DataFrame, seen: pd.DataFrame
) -> pd.DataFrame:
    """Rates per chance that shows the error: of the last weeks, else of the whole term.

    Args:
        totals: rates of the whole term per chance in theory, what `pattern_totals` returns.
        lately: the same of the answers `late`, under the same names.
        late: what `last_weeks` returns, with student.
        seen: what `where_seen` returns, of the same term and maybe others.

    Returns:
        The columns of `recent` that `rank_lessons` takes.
    """
    weeks = late.groupby(CLASS, as_index=False).agg(
        recent_from=("week", "min"),
        recent_to=("week", "max"),
        class_students=("student", "nunique"),
    )
    chances = seen.merge(weeks, on=CLASS)
    within = chances["recent_from"].isna() | (chances["week"] >= chances["recent_from"])
    whole, part = (_counted(rows) for rows in (chances, chances[within]))
    now, term = (_per_chance_seen(*pair) for pair in ((lately, part), (totals, whole)))
    left = term.merge(now[KEYS], on=KEYS, how="left", indicator=True)
    rest = term[(left["_merge"] == "left_only").to_numpy()]
    table = pd.concat([now.assign(lately=True), rest.assign(lately=False)], ignore_index=True)
    usual = whole.assign(usual_chances=whole["tries"] / whole["takers"])
    return table.merge(usual[[*KEYS, "usual_chances"]], on=KEYS).merge(weeks, on=CLASS)


def _counted(chances: pd.DataFrame) -> pd.DataFrame:
    grouped = chances.groupby(KEYS, as_index=False)
    return grouped.agg(tries=("student", "size"), takers=("student", "nunique"))


def _per_chance_seen(rates: pd.DataFrame, counted: pd.DataFrame) -> pd.DataFrame:
    """The same errors over the chances that show them: those in theory alone had none of them."""
    if not len(rates):
        return pd.DataFrame(columns=[*KEYS, "members", "students", "opportunities", *RATES])
    table = rates[rates["rate"].notna()].merge(counted, on=KEYS)
    scale = table["opportunities"] / table["tries"]
    scaled = {name: (table[name] * scale).clip(upper=1.0) for name in RATES}
    return table.assign(**scaled, opportunities=table["tries"], students=table["takers"])[
        [*KEYS, "members", "students", "opportunities", *RATES]
    ]
