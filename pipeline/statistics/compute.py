"""All figures of one course, from the staged frames to the computed ones."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import pandas as pd

from pipeline.statistics.additive_factors import learning_slopes, with_model
from pipeline.statistics.change import MARGIN
from pipeline.statistics.check_questions import questions_to_check
from pipeline.statistics.disclosure import shared_tables
from pipeline.statistics.items import discrimination, item_rates, option_shares, quiz_scores
from pipeline.statistics.learning import answer_transitions, learning_curves, retry_changes
from pipeline.statistics.lesson_order import coming_back, lesson_order, slips, with_order_before
from pipeline.statistics.lessons import lesson_changes
from pipeline.statistics.next_lesson import Now, now, verdicts
from pipeline.statistics.observed import (
    outcomes_by_try,
    section_rates,
    wrong_by_section,
    wrong_rates,
)
from pipeline.statistics.parts_of_a_whole import errors_shown, sections_shown, tries_shown
from pipeline.statistics.patterns import pattern_totals, weekly_rates
from pipeline.statistics.showings import (
    NO_CHANCE,
    blind_questions,
    hidden_patterns,
    where_seen,
)
from pipeline.statistics.term_changes import question_differences, several_terms, term_changes
from pipeline.statistics.terms import compare_terms, declared_same, term_pairs
from pipeline.tagging.attribute import Cell, estimate, groups_of, per_chance, steadied
from pipeline.tagging.evidence import Evidence, coded, gather, with_chance
from pipeline.tagging.shares import attribute

Read: TypeAlias = Callable[[str], pd.DataFrame]
"""A table of the database by name, as a frame."""

CELL = ("term", "setting", "topic")
CLASS = ["term", "setting"]
FEWER_BY_CHANCE, MORE_BY_CHANCE = 0.0, 0.25


@dataclass(frozen=True, slots=True)
class _Learnt:
    """The evidence of a course and the estimates of its classes of answers."""

    evidence: Evidence
    pooled: Sequence[Cell]
    weeks: Sequence[Cell]


def compute(read: Read, secret: bytes) -> dict[str, pd.DataFrame]:
    """Work out every table of the schema `computed`, and the shares.

    Args:
        read: gives the tables of `staging` and `store` by name.
        secret: the course's pseudonym key; it picks what is added to counts for everyone.

    Returns:
        Frames by the name of the table that they fill.
    """
    first = _learn(read)
    shares = _shares(read, first)
    learnt = _per_chance(first, shares)
    totals = pattern_totals(learnt.evidence, learnt.pooled)
    held, made = coming_back(learnt.evidence, shares, learnt.pooled)
    order = list(read("store.term").sort_values("position")["term"])
    tries = read("staging.item_sums").groupby(CLASS)["answers"].sum()
    general, limit = slips(read), _limit(read)
    tables = {
        "store.share": shares,
        "computed.bracket_share": _bracket_shares(read, first),
        "computed.retry_change": retry_changes(read("staging.retry_count")),
        "computed.try_rate": _tries(read, limit),
        "computed.last_pattern_rate": _last_tries(read, learnt.evidence),
        **_items(read, learnt.evidence, limit),
        **_outcomes(read, limit),
        **_errors(
            learnt,
            _with_persistence(_with_sensitivity(totals, learnt.evidence), held),
            limit,
        ),
        **_learning(read),
        "computed.transition": answer_transitions(learnt.evidence, shares, totals, general),
        "computed.hidden_pattern": hidden_patterns(learnt.evidence),
        **_comparisons(read, learnt.evidence, [t for t in order if t in tries.index]),
        "computed.lesson_change": lesson_changes(learnt.evidence, read("store.lesson"), general),
    }
    tables["computed.section_wrong"] = wrong_by_section(
        read("staging.section_sums"), tables["computed.try_rate"], limit
    )
    today = now(read("staging.current_week"), order)
    tables["computed.section_rate"] = _sections(
        learnt, tables["computed.pattern_total"], today, tries, limit
    )
    tables |= shared_tables(read, first.evidence, _fixed_shares(read, first.evidence), secret)
    ranking = lesson_order(read, learnt.evidence, learnt.pooled, (totals, held), today)
    ranking = with_order_before(read, learnt.evidence, learnt.pooled, shares, ranking)
    tables["computed.next_lesson"] = ranking
    names = _current_classes(learnt.evidence, today)
    tables["computed.next_lesson_verdict"] = verdicts(ranking, names, limit)
    tables["computed.check_question"] = _to_check(read, tries, ranking, made)
    return tables


def _items(read: Read, evidence: Evidence, limit: int) -> dict[str, pd.DataFrame]:
    blind = blind_questions(evidence, read("store.lesson"))
    rates = item_rates(read("staging.item_sums"), read("staging.leading_wrong"), blind)
    scores = read("staging.score_count")
    apart = discrimination(scores)
    return {
        "computed.item_rate": rates.merge(apart, on=["term", "setting", "item"], how="left"),
        "computed.quiz_score": quiz_scores(scores),
        "computed.option_share": option_shares(read("staging.option_count"), limit),
    }


def _limit(read: Read) -> int:
    return int(read("store.course")["minimum_students"].iloc[0])


def _tries(read: Read, limit: int) -> pd.DataFrame:
    rates = wrong_rates(read("staging.try_sums"))
    shown = tries_shown(rates, read("staging.serves"), limit)
    return rates.drop(columns="again").assign(shown=shown)


def _errors(learnt: _Learnt, totals: pd.DataFrame, limit: int) -> dict[str, pd.DataFrame]:
    weekly = weekly_rates(learnt.evidence, learnt.weeks, learnt.pooled, CELL)
    if len(totals):  # a term without any date has no weeks
        weekly["shown"], totals["shown"] = errors_shown(weekly, totals, limit)
    return {"computed.pattern_rate": weekly, "computed.pattern_total": totals}


def _sections(
    learnt: _Learnt, totals: pd.DataFrame, today: Now | None, tries: pd.Series[int], limit: int
) -> pd.DataFrame:
    """Rates by class section, in the setting of the current term that holds most first tries."""
    answers = learnt.evidence.opportunities
    if today is None or not len(totals):
        return pd.DataFrame()
    mine = answers[answers["term"] == today.term]
    mine = mine[mine["setting"] == tries.xs(today.term).idxmax()]
    return section_rates(learnt.evidence, mine, groups_of(learnt.pooled), totals, limit)


def _comparisons(read: Read, evidence: Evidence, seen: Sequence[str]) -> dict[str, pd.DataFrame]:
    """Terms compared, questions declared the same as one."""
    items, pairs, margin = read("store.item"), term_pairs(seen), _margin(read)
    answers = coded(declared_same(read("staging.compared"), items))
    chances = declared_same(evidence.opportunities, items)
    evidence = replace(evidence, opportunities=chances)
    return {
        "computed.comparison": compare_terms(answers, evidence, seen, margin),
        "computed.term_change": term_changes(answers, pairs, margin),
        "computed.question_change": question_differences(answers, pairs),
        "computed.term_series": several_terms(answers, seen),
    }


def _outcomes(read: Read, limit: int) -> dict[str, pd.DataFrame]:
    evidence, enrolled = read("staging.outcome_evidence"), read("staging.enrolled")
    declared, both = outcomes_by_try(evidence, enrolled, read("store.outcome"))
    declared["shown"] = sections_shown(declared, limit)
    return {"computed.outcome_share": declared, "computed.outcome_try": both}


def _learning(read: Read) -> dict[str, pd.DataFrame]:
    slopes = learning_slopes(read("staging.practice_step"))
    curves = learning_curves(read("staging.chance_count"))
    return {
        "computed.learning_slope": slopes,
        "computed.learning_curve": with_model(curves, slopes),
    }


def _margin(read: Read) -> float:
    stated = read("store.course")["margin"].dropna()
    return float(stated.iloc[0]) if len(stated) else MARGIN


def _last_tries(read: Read, first: Evidence) -> pd.DataFrame:
    evidence = _evidence(read, "staging.last_opportunity")
    evidence = replace(evidence, seen=first.seen)
    if not len(evidence.opportunities):
        return pd.DataFrame()
    pooled = list(estimate(evidence, CELL))
    weeks = list(estimate(evidence, (*CELL, "week"), groups=groups_of(pooled)))
    return weekly_rates(evidence, weeks, pooled, CELL)


def _evidence(read: Read, answers: str = "staging.opportunity") -> Evidence:
    return gather(
        read(answers),
        read("store.candidate"),
        read("staging.predicted_value"),
        read("store.pattern"),
    )


def _learn(read: Read) -> _Learnt:
    evidence = _evidence(read)
    pooled = list(estimate(evidence, CELL))
    weeks = list(estimate(evidence, (*CELL, "week"), groups=groups_of(pooled)))
    return _Learnt(evidence, pooled, weeks)


def _per_chance(learnt: _Learnt, shares: pd.DataFrame) -> _Learnt:
    """The same estimates per chance at questions that show each error."""
    seen = where_seen(learnt.evidence, shares, learnt.pooled)
    evidence = replace(learnt.evidence, seen=seen)
    pooled, weeks = (
        [per_chance(evidence, cell) for cell in cells] for cells in (learnt.pooled, learnt.weeks)
    )
    return _Learnt(evidence, pooled, weeks)


def _shares(read: Read, learnt: _Learnt) -> pd.DataFrame:
    wrong, candidates = read("staging.wrong_value"), read("store.candidate")
    cells = steadied(learnt.evidence, learnt.pooled)
    shares = attribute(learnt.evidence, cells, wrong[~wrong["if_meant"]], candidates, CELL)
    return shares.assign(rule_set=read("store.course")["rule_set"].iloc[0])


def _fixed_shares(read: Read, evidence: Evidence) -> pd.DataFrame:
    """Share answers by prior weights alone.

    Weights learnt from the class would let one answer that parts two errors move the shares of
    everyone's, far beyond what the noise of one student covers.
    """
    wrong = read("staging.wrong_value")
    return attribute(evidence, (), wrong[~wrong["if_meant"]], read("store.candidate"), CELL)


def _bracket_shares(read: Read, learnt: _Learnt) -> pd.DataFrame:
    """Share answers that are right if brackets were meant, by their students' other answers.

    The class stands in where these students gave no others, and counts a little beside them.
    """
    wrong = read("staging.wrong_value")
    of_class = {cell.key: cell for cell in learnt.pooled}
    known = pd.MultiIndex.from_frame(wrong[list(CELL)]).isin(list(of_class))
    hanging = wrong[wrong["if_meant"] & known]
    mine = learnt.evidence.opportunities.query("bracketless")
    pooled = {key: cell.weights for key, cell in of_class.items()}
    theirs = {cell.key: cell for cell in estimate(learnt.evidence, CELL, mine, pooled=pooled)}
    cells = [*(of_class | theirs).values()]
    return attribute(learnt.evidence, cells, hanging, read("store.candidate"), CELL)


def _with_sensitivity(totals: pd.DataFrame, first: Evidence) -> pd.DataFrame:
    """Add the rates as they would be if fewer or more slips landed on predicted answers."""
    if not len(totals):
        return totals
    for name, chance in (
        ("rate_without_chance", FEWER_BY_CHANCE),
        ("rate_with_chance", MORE_BY_CHANCE),
    ):
        evidence = with_chance(first, chance)
        other = pattern_totals(evidence, list(estimate(evidence, CELL)))
        other = other[[*CLASS, "pattern", "rate"]].rename(columns={"rate": name})
        totals = totals.merge(other, on=[*CLASS, "pattern"], how="left")
    return totals


def _with_persistence(totals: pd.DataFrame, held: pd.DataFrame) -> pd.DataFrame:
    if not len(totals):
        return totals
    table = totals.merge(held.drop(columns=["showed", "again"]), on=[*CLASS, "pattern"], how="left")
    note = table.get("persistence_note", pd.Series(None, index=table.index, dtype="object"))
    silent = table["persistence"].isna() & note.isna()
    return table.assign(persistence_note=note.mask(silent, NO_CHANCE))


def _current_classes(evidence: Evidence, today: Now | None) -> pd.DataFrame:
    if today is None:
        return pd.DataFrame(columns=CLASS)
    mine = evidence.opportunities[evidence.opportunities["term"] == today.term]
    return mine[CLASS].drop_duplicates().sort_values("setting")


def _to_check(
    read: Read, tries: pd.Series[int], ranking: pd.DataFrame, made: pd.DataFrame
) -> pd.DataFrame:
    """Questions for the setting of the current term that holds most first tries."""
    if not len(ranking):
        return pd.DataFrame()
    term = ranking["term"].iloc[0]
    return questions_to_check(read, ranking, made.loc[[term]], str(tries[term].idxmax()))
