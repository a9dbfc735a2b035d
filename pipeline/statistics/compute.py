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
    section_week_rates,
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
_Tables: TypeAlias = dict[str, pd.DataFrame]

CELL = ("term", "setting", "topic")
CLASS = ["term", "setting"]
FEWER_BY_CHANCE, MORE_BY_CHANCE = 0.0, 0.25


@dataclass(frozen=True, slots=True)
class _Learnt:
    """The evidence of a course and the estimates of its classes of answers."""

    evidence: Evidence
    pooled: Sequence[Cell]
    weeks: Sequence[Cell]


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a course stands: its terms with first tries, now, and where most of these now are."""

    terms: Sequence[str]
    today: Now | None
    setting: str


def compute(read: Read, secret: bytes) -> _Tables:
    """Work out the shares, the schema `computed`, and what is printed as it is worked out.

    Args:
        read: gives the tables of `staging` and `store` by name.
        secret: the course's pseudonym key; it picks what is added to counts for everyone.

    Returns:
        Frames by the name of the table that they fill.
    """
    first, place = _learn(_evidence(read)), _place(read)
    shares = shares_of(read, first.evidence, steadied(first.evidence, first.pooled))
    learnt = _per_chance(first, shares)
    rates = pattern_totals(learnt.evidence, learnt.pooled)
    held, made = coming_back(learnt.evidence, shares, learnt.pooled)
    errors = _errors(read, learnt, rates, held)
    totals = errors["computed.pattern_total"]
    return {
        "store.share": shares.assign(rule_set=read("store.course")["rule_set"].iloc[0]),
        "computed.bracket_share": _bracket_shares(read, first),
        **errors,
        **_observed(read),
        **_sections(read, learnt, errors, place),
        **_items(read, learnt.evidence),
        **_learning(read, learnt.evidence, shares, totals),
        **_comparisons(read, learnt.evidence, place.terms),
        **_lessons(read, learnt, (shares, rates, held, made), place),
        **shared_tables(read, first.evidence, shares_of(read, first.evidence), secret),
    }


def _limit(read: Read) -> int:
    return int(read("store.course")["minimum_students"].iloc[0])


def _place(read: Read) -> _Place:
    order = list(read("store.term").sort_values("position")["term"])
    tries = read("staging.item_sums").groupby(CLASS)["answers"].sum()
    terms = [term for term in order if term in tries.index]
    today = now(read("staging.current_week"), order)
    known = today is not None and today.term in terms
    return _Place(terms, today, str(tries[today.term].idxmax()) if today and known else "")


def _evidence(read: Read, answers: str = "staging.opportunity") -> Evidence:
    return gather(
        read(answers),
        read("store.candidate"),
        read("staging.predicted_value"),
        read("store.pattern"),
    )


def _learn(evidence: Evidence) -> _Learnt:
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


def shares_of(read: Read, evidence: Evidence, cells: Sequence[Cell] = ()) -> pd.DataFrame:
    """Share wrong answers among errors: by what was learnt of their classes, or prior weights.

    For everyone it is prior weights alone: weights learnt from the class would let one answer that
    parts two errors move the shares of everyone's, far beyond what the noise of one student covers.
    """
    wrong = read("staging.wrong_value")
    return attribute(evidence, cells, wrong[~wrong["if_meant"]], read("store.candidate"), CELL)


def _bracket_shares(read: Read, learnt: _Learnt) -> pd.DataFrame:
    """Share answers that are right if brackets were meant, by their students' other answers.

    The class stands in where these students gave no others, and counts a little beside them.
    """
    wrong = read("staging.wrong_value")
    of_class = {cell.key: cell for cell in learnt.pooled}
    known = pd.MultiIndex.from_frame(wrong[list(CELL)]).isin(list(of_class))
    hanging = wrong[wrong["if_meant"] & known]
    answers = learnt.evidence.opportunities
    mine = answers[answers["bracketless"].astype(bool)]
    pooled = {key: cell.weights for key, cell in of_class.items()}
    theirs = {cell.key: cell for cell in estimate(learnt.evidence, CELL, mine, pooled=pooled)}
    cells = [*(of_class | theirs).values()]
    return attribute(learnt.evidence, cells, hanging, read("store.candidate"), CELL)


def _errors(read: Read, learnt: _Learnt, totals: pd.DataFrame, held: pd.DataFrame) -> _Tables:
    """How common errors are, by week and over terms, at first tries; by week at last ones."""
    weekly = weekly_rates(learnt.evidence, learnt.weeks, learnt.pooled, CELL)
    if len(totals):  # a term without any date has no weeks
        totals = _with_persistence(_with_sensitivity(totals, learnt.evidence), held)
        weekly["shown"], totals["shown"] = errors_shown(weekly, totals, _limit(read))
    return {
        "computed.pattern_rate": weekly,
        "computed.pattern_total": totals,
        "computed.last_pattern_rate": _last_tries(read, learnt.evidence),
        "computed.hidden_pattern": hidden_patterns(learnt.evidence),
    }


def _with_sensitivity(totals: pd.DataFrame, first: Evidence) -> pd.DataFrame:
    """Add the rates as they would be if fewer or more slips landed on predicted answers."""
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
    table = totals.merge(held.drop(columns=["showed", "again"]), on=[*CLASS, "pattern"], how="left")
    note = table.get("persistence_note", pd.Series(None, index=table.index, dtype="object"))
    silent = table["persistence"].isna() & note.isna()
    return table.assign(persistence_note=note.mask(silent, NO_CHANCE))


def _last_tries(read: Read, first: Evidence) -> pd.DataFrame:
    if not len(read("staging.last_opportunity")):
        return pd.DataFrame()
    evidence = replace(_evidence(read, "staging.last_opportunity"), seen=first.seen)
    learnt = _learn(evidence)
    return weekly_rates(evidence, learnt.weeks, learnt.pooled, CELL)


def _observed(read: Read) -> _Tables:
    """What every answer shows: wrong ones and outcomes, and both by class section."""
    limit = _limit(read)
    rates = wrong_rates(read("staging.try_sums"))
    shown = tries_shown(rates, read("staging.serves"), limit)
    rates = rates.drop(columns="again").assign(shown=shown)
    evidence, enrolled = read("staging.outcome_evidence"), read("staging.enrolled")
    outcomes = read("store.outcome").drop(columns="position")
    declared, both = outcomes_by_try(evidence, enrolled, outcomes)
    declared["shown"] = sections_shown(declared, limit)
    outcomes["grain"] = outcomes["attempt"].fillna("first")
    both = both.merge(outcomes[["outcome", "statement", "bar"]], on="outcome")
    counted = both["outcome"].map(outcomes.set_index("outcome")["grain"])
    return {
        "main.wrong_by_try": rates,
        "computed.retry_change": retry_changes(read("staging.retry_count")),
        "computed.section_wrong": wrong_by_section(read("staging.section_sums"), rates, limit),
        "main.outcome_results": declared.merge(outcomes, on="outcome"),
        "main.outcome_by_try": both.assign(declared=both["grain"] == counted),
    }


def _sections(read: Read, learnt: _Learnt, errors: _Tables, place: _Place) -> _Tables:
    """Rates of errors by class section: of the current term's main setting, and by week."""
    answers, totals = learnt.evidence.opportunities, errors["computed.pattern_total"]
    if place.today is None or not len(totals):
        return {}
    mine, groups = answers[answers["term"] == place.today.term], groups_of(learnt.pooled)
    main = mine[mine["setting"] == place.setting]
    whole = section_rates(learnt.evidence, main, groups, totals, _limit(read))
    wholes = errors["computed.pattern_rate"], whole, totals
    weekly = section_week_rates(learnt.evidence, mine, groups, wholes, _limit(read))
    return {"computed.section_rate": whole, "computed.section_week_rate": weekly}


def _items(read: Read, evidence: Evidence) -> _Tables:
    blind = blind_questions(evidence, read("store.lesson"))
    rates = item_rates(read("staging.item_sums"), read("staging.leading_wrong"), blind)
    scores = read("staging.score_count")
    apart = discrimination(scores)
    return {
        "computed.item_rate": rates.merge(apart, on=["term", "setting", "item"], how="left"),
        "computed.quiz_score": quiz_scores(scores),
        "computed.option_share": option_shares(read("staging.option_count"), _limit(read)),
    }


def _learning(
    read: Read, evidence: Evidence, shares: pd.DataFrame, totals: pd.DataFrame
) -> _Tables:
    slopes = learning_slopes(read("staging.practice_step"))
    curves = learning_curves(read("staging.chance_count"))
    return {
        "computed.learning_slope": slopes,
        "computed.learning_curve": with_model(curves, slopes),
        "computed.transition": answer_transitions(evidence, shares, totals, slips(read)),
        "main.lesson_effect": lesson_changes(evidence, read("store.lesson"), slips(read)),
    }


def _comparisons(read: Read, evidence: Evidence, seen: Sequence[str]) -> _Tables:
    """Terms compared, questions declared the same as one."""
    items, pairs = read("store.item"), term_pairs(seen)
    stated = read("store.course")["margin"].dropna()
    margin = float(stated.iloc[0]) if len(stated) else MARGIN
    answers = coded(declared_same(read("staging.compared"), items))
    chances = declared_same(evidence.opportunities, items)
    evidence = replace(evidence, opportunities=chances)
    return {
        "main.term_comparison": compare_terms(answers, evidence, seen, margin),
        "computed.term_change": term_changes(answers, pairs, margin),
        "computed.question_change": question_differences(answers, pairs),
        "computed.term_series": several_terms(answers, seen),
    }


def _lessons(
    read: Read, learnt: _Learnt, known: tuple[pd.DataFrame, ...], place: _Place
) -> _Tables:
    """The order of the next lesson, what it amounts to, and what to ask.

    Known are shares, rates of errors by term, and both frames of `coming_back`.
    """
    shares, rates, held, made = known
    evidence, today, check = learnt.evidence, place.today, pd.DataFrame()
    ranking = lesson_order(read, evidence, learnt.pooled, (rates, held), today)
    ranking = with_order_before(read, evidence, learnt.pooled, shares, ranking)
    answers = evidence.opportunities
    mine = answers[answers["term"] == (today.term if today else "")]
    classes = mine[CLASS].drop_duplicates().sort_values("setting")
    if len(ranking):
        term = ranking["term"].iloc[0]
        check = questions_to_check(read, ranking, made.loc[[term]], place.setting)
    return {
        "computed.next_lesson": ranking,
        "main.own_next_lesson_summary": verdicts(ranking, classes, _limit(read)),
        "computed.check_question": check,
    }
