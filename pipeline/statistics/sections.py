"""Errors and wrong answers in each class section of a term: is it the evening class, too?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from pipeline.statistics.next_lesson import WORTH_A_LESSON
from pipeline.statistics.observed import KEYS, wrong_rates
from pipeline.statistics.parts_of_a_whole import sections_shown
from pipeline.statistics.patterns import pattern_totals
from pipeline.tagging.attribute import Groups, estimate
from pipeline.tagging.evidence import Evidence

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
    placed = answers.assign(section=answers["home_section"].astype(object).fillna(UNNAMED))
    if placed.loc[placed["section"] != UNNAMED, "section"].nunique() < 2:
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


def wrong_by_section(sums: pd.DataFrame, tries: pd.DataFrame, limit: int) -> pd.DataFrame:
    """Share wrong by class section, topic and week, beside that of all sections together.

    Args:
        sums: `staging.section_sums`.
        tries: rows of `computed.try_rate`, with shown.
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
