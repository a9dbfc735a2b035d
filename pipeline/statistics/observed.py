"""Rates of what every answer shows: wrong ones by topic, week and section, and outcomes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pipeline.statistics.intervals import cluster_variance, clustered, effective_size, wilson
from pipeline.statistics.next_lesson import WORTH_A_LESSON
from pipeline.statistics.notes import blank_when_few, few
from pipeline.statistics.parts_of_a_whole import section_weeks_shown, sections_shown
from pipeline.statistics.patterns import pattern_totals, weekly_rates
from pipeline.tagging.attribute import Groups, estimate
from pipeline.tagging.evidence import Evidence

SLACK = 1e-9
_OF_SHARE = ["grain", "term", "section", "outcome"]


def wrong_rates(sums: pd.DataFrame) -> pd.DataFrame:
    """Share of tries that are wrong, clustered by student.

    Args:
        sums: keys, and the six sums m, y, n, yy, yn, nn; what `staging.try_sums` holds.

    Returns:
        The keys with the other columns of `main.wrong_by_try`.
    """
    six = [sums[name].to_numpy(dtype=float) for name in ("m", "y", "n", "yy", "yn", "nn")]
    low, high = clustered(*six) if len(sums) else (np.array([]), np.array([]))
    students = sums["m"].astype("int64")
    effective = effective_size(sums["y"] / sums["n"], cluster_variance(*six), sums["n"], sums["m"])
    return sums.drop(columns=["m", "y", "n", "yy", "yn", "nn"]).assign(
        students=students,
        answers=sums["n"].astype("int64"),
        wrong=sums["y"].astype("int64"),
        rate=sums["y"] / sums["n"],
        rate_low=blank_when_few(low, students),
        rate_high=blank_when_few(high, students),
        rate_note=few(students, effective),
    )


def outcomes_by_try(
    evidence: pd.DataFrame, enrolled: pd.DataFrame, outcomes: pd.DataFrame
) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Share of students who meet each outcome's bar, by class section and pooled.

    Students with fewer answered questions than the outcome asks for stand apart and count in no
    share: too little evidence is not a failure.

    Args:
        evidence: grain (first or last tries), term, section, outcome, student, answered, correct.
        enrolled: term, section, student; everyone with any answer.
        outcomes: outcome, bar, fewest, attempt (the grain that the course counts, or null).

    Returns:
        The figures of `main.outcome_results`, as the course counts, and those of
        `main.outcome_by_try`, both ways; section `all` pools the sections.
    """
    grains = pd.DataFrame({"grain": ["first", "last"]})
    asked = outcomes[["outcome", "bar", "fewest"]].merge(grains, how="cross")
    keys = ["grain", "term", "section", "outcome", "student"]
    table = enrolled.merge(asked, how="cross").merge(evidence, on=keys, how="left")
    table[["answered", "correct"]] = table[["answered", "correct"]].fillna(0)
    # A student who changed section counts once where the sections are pooled.
    pooled_keys = ["grain", "term", "outcome", "student", "bar", "fewest"]
    pooled = table.groupby(pooled_keys, as_index=False, dropna=False)[["answered", "correct"]].sum()
    pooled["section"] = "all"
    both = _shares(pd.concat([table[table["section"].notna()], pooled], ignore_index=True))
    counted = dict(zip(outcomes["outcome"], outcomes["attempt"].fillna("first"), strict=True))
    declared = both[both["grain"] == both["outcome"].map(counted)].reset_index(drop=True)
    other_bars = [name for name in both if str(name).startswith("share_bar_")]
    return declared.drop(columns="grain"), both.drop(columns=other_bars)


def _shares(table: pd.DataFrame) -> pd.DataFrame:
    fewest = table["fewest"].fillna(1).clip(lower=1)
    enough = table["answered"] >= fewest
    share = (table["correct"] / table["answered"].where(table["answered"] > 0)).fillna(0.0)
    marked = table.assign(
        students=enough.astype(int),
        too_little=(~enough).astype(int),
        meeting=(enough & (share >= table["bar"] - SLACK)).astype(int),
        lower=(enough & (share >= table["bar"] - 0.1 - SLACK)).astype(int),
        higher=(enough & (share >= table["bar"] + 0.1 - SLACK)).astype(int),
    )
    counts = ["students", "too_little", "meeting", "lower", "higher"]
    sums = marked.groupby(_OF_SHARE, as_index=False)[counts].sum()
    size = sums["students"].where(sums["students"] > 0)
    safe = size.fillna(1.0).to_numpy(dtype=float)
    limits = {
        name: wilson(sums[events], safe) if len(sums) else (safe, safe)
        for name, events in (
            ("share", "meeting"),
            ("share_bar_lower", "lower"),
            ("share_bar_higher", "higher"),
        )
    }
    ends = {
        f"{name}_{end}": blank_when_few(values[place], sums["students"])
        for name, values in limits.items()
        for place, end in enumerate(("low", "high"))
    }
    return sums[[*_OF_SHARE, "students", "meeting", "too_little"]].assign(
        share=sums["meeting"] / size,
        share_note=few(sums["students"]),
        share_bar_lower=sums["lower"] / size,
        share_bar_higher=sums["higher"] / size,
        **ends,
    )


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


ALL, UNNAMED = "all", ""


def section_rates(
    evidence: Evidence,
    answers: pd.DataFrame,
    groups: Mapping[tuple[Any, ...], Groups],
    totals: pd.DataFrame,
    limit: int,
) -> pd.DataFrame:
    """Rates of a term's errors by class section, under the names that the term gives them.

    Args:
        evidence: what the answers say, with where each error was seen.
        answers: the opportunities of one term and setting, with home_section.
        groups: joint names by term, setting and topic.
        totals: rates of the whole term: the columns `KEYS`, students, shown.
        limit: fewest students of whom a figure may be shown.

    Returns:
        The columns of `computed.section_rate`; nothing where the answers name fewer than two
        sections. A student stands in one section; answers without any are a section `UNNAMED`.
    """
    placed = _placed(answers)
    if not len(placed):
        return pd.DataFrame()
    cells = estimate(evidence, ("term", "setting", "topic", "section"), placed, groups=dict(groups))
    by_section = [replace(cell, key=(*cell.key[:2], cell.key[3], cell.key[2])) for cell in cells]
    rates = pattern_totals(evidence, by_section, ("term", "setting", "section"))
    if not len(rates):
        return rates
    whole = rates[KEYS].drop_duplicates().merge(totals[[*KEYS, "students", "shown"]], on=KEYS)
    rates["shown"] = _beside_whole(rates, whole, KEYS, limit)
    found = rates.drop(columns="members")
    return found.assign(standing=_standing(found), beside=_beside(found))


def section_week_rates(
    evidence: Evidence,
    answers: pd.DataFrame,
    groups: Mapping[tuple[Any, ...], Groups],
    wholes: Sequence[pd.DataFrame],
    limit: int,
) -> pd.DataFrame:
    """Rates of a term's errors by class section, topic and week, all settings.

    Args:
        evidence: see `section_rates`, as for `groups` and `limit`.
        answers: the opportunities of one term, with home_section.
        groups: joint names by term, setting and topic.
        wholes: what stands beside them: `computed.pattern_rate`, `section_rate`, `pattern_total`.
        limit: fewest students of whom a figure may be shown.

    Returns:
        The columns of `computed.section_week_rate`; nothing where there are no two sections.
    """
    keys = ("term", "setting", "topic", "section")
    cells = list(estimate(evidence, (*keys, "week"), _placed(answers), groups=dict(groups)))
    if not cells:
        return pd.DataFrame()
    rates = weekly_rates(evidence, cells, (), keys).drop(columns="members")
    return rates.assign(shown=section_weeks_shown(rates, wholes, limit))


def _placed(answers: pd.DataFrame) -> pd.DataFrame:
    """Answers with the section of their students; none where they name fewer than two."""
    sections = answers["home_section"].astype(object).fillna(UNNAMED)
    several = sections[sections != UNNAMED].nunique() > 1
    return answers.assign(section=sections) if several else answers.iloc[:0].assign(section=UNNAMED)


def wrong_by_section(sums: pd.DataFrame, tries: pd.DataFrame, limit: int) -> pd.DataFrame:
    """Share wrong by class section, topic and week, beside that of all sections together.

    Args:
        sums: `staging.section_sums`.
        tries: rows of `main.wrong_by_try`, with shown.
        limit: fewest students of whom a figure may be shown.

    Returns:
        The columns of `computed.section_wrong`.
    """
    rates, cell = wrong_rates(sums), ["term", "setting", "topic", "week"]
    whole = tries[(tries["grain"] == "first") & (tries["grouped_by"] == "topic and week")]
    whole = rates[cell].drop_duplicates().merge(whole[[*cell, "students", "shown"]], on=cell)
    return rates.assign(shown=_beside_whole(rates, whole, cell, limit))


def _beside_whole(
    rows: pd.DataFrame, whole: pd.DataFrame, keys: list[str], limit: int
) -> NDArray[np.bool_]:
    """Whether each section may be shown beside the whole; never where the whole is hidden."""
    both = pd.concat([rows, whole.assign(section=ALL)], ignore_index=True)
    shown = sections_shown(both, limit, keys)[: len(rows)]
    told = pd.MultiIndex.from_frame(whole.loc[whole["shown"].astype(bool), keys])
    return np.asarray(shown & pd.MultiIndex.from_frame(rows[keys]).isin(told))


def _standing(rates: pd.DataFrame) -> NDArray[np.object_]:
    """Common, rare or, where the interval holds the rate that is worth a lesson, nothing."""
    standing = np.full(len(rates), None, dtype=object)
    shown = rates["shown"].to_numpy(dtype=bool)
    standing[shown & (rates["rate_low"] > WORTH_A_LESSON).to_numpy()] = "common"
    standing[shown & (rates["rate_high"] < WORTH_A_LESSON).to_numpy()] = "rare"
    return standing


def _beside(rates: pd.DataFrame) -> pd.Series[Any]:
    """Most or least, where an interval lies above or below those of all other shown sections.

    Two intervals of 95 % that do not even touch are a finding at far below 5 %, so that several
    sections need no further adjustment.
    """
    found = pd.Series(None, index=rates.index, dtype="object")
    shown = rates[rates["shown"]].dropna(subset=["rate_low", "rate_high"])
    for _, part in shown.groupby(KEYS):
        low, high = part["rate_low"].to_numpy(), part["rate_high"].to_numpy()
        if len(part) > 1:
            found[part.index[low > np.delete(high, low.argmax()).max()]] = "most"
            found[part.index[high < np.delete(low, high.argmin()).min()]] = "least"
    return found
