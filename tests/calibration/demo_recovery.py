"""How well a run recovers what was planted: `python -m tests.calibration.demo_recovery`.

Writes the invented course from several seeds, runs the pipeline on each, and counts how often the
95 % intervals of the ten most frequent error patterns hold the planted prevalence.

**Planted prevalence** of a pattern in a term and setting. Take the first tries that the database
counts as opportunities: read and judged right or wrong, at a question where the pattern by itself
gives a wrong answer, of a topic whose questions determine the rate. For each of them the plan knows
the chance that a student of this course follows the pattern there, given that the answer is judged
at all (`synthetic_data.tendencies.expected_rates`; 0 where it was not planted). The prevalence is
the sum of these chances for each chance that is reported. It is a property of the plan: neither the
students who happened to be drawn nor what they happened to type enters it, as an interval for a
wider population requires. For
patterns that are reported jointly the chances add up. An answer of two planted patterns counts for
the one that a report names first.
"""

from __future__ import annotations

import argparse
import shutil
import tempfile
import time
from functools import cache
from pathlib import Path

import pandas as pd
from statsmodels.stats.proportion import proportion_confint

from pipeline.run import run_course
from pipeline.warehouse import reading
from synthetic_data import write_course
from synthetic_data.calendar import TERMS
from synthetic_data.problems import Problem
from synthetic_data.question_bank import question_bank
from synthetic_data.tendencies import CAUSES, OTHER_CAUSES, expected_rates

TERM_PLACE = {term.id: place for place, term in enumerate(TERMS)}
NOT_JUDGED = ("blank", "dont-know", "unreadable", "too-coarse")
CELL = ["term", "setting", "pattern"]


@cache
def _asked() -> dict[tuple[str, str], tuple[int, Problem]]:
    """(item, text of the question) -> its week, and the question with its numbers."""
    return {
        (question.id, problem.text): (question.week, problem)
        for first in question_bank()
        for question in (first, first.later)
        if question
        for problem in question.problems
    }


@cache
def planted_chances(term: str, item: str, text: str) -> dict[str, float]:
    """Chance of each cause at one question with its numbers, given that it is judged."""
    story = text.partition("; keep ")[0].partition("; asked ")[0]
    week, problem = _asked()[item, story]
    rates = expected_rates(TERM_PLACE[term], week, (problem,))
    chances = dict(zip(CAUSES, rates, strict=True))
    judged = 1 - sum(chances[cause] for cause in NOT_JUDGED)
    found = {cause: chance / judged for cause, chance in chances.items() if chance}
    return {cause: chance for cause, chance in found.items() if cause not in OTHER_CAUSES}


def opportunities(database: Path) -> tuple[pd.DataFrame, pd.DataFrame]:
    """What the database reports, and the questions asked at first tries that were judged.

    Returns:
        `pattern_prevalence` with the topics of each rate; and term, setting, topic, item, problem,
        pattern, tries: one row for each pattern that the question with its numbers can show.
    """
    with reading(database) as warehouse:
        told = warehouse.frame("computed.pattern_rate").dropna(subset=["rate"])
        topics = told.groupby(CELL)["topic"].unique().rename("topics")
        reported = warehouse.frame("pattern_prevalence").merge(topics, on=CELL)
        tries = warehouse.frame("staging.opportunity")[
            ["term", "setting", "topic", "item", "question"]
        ]
        texts = warehouse.frame("staging.question")[["question", "problem"]]
        shown = warehouse.frame("staging.predicted_value")[["question", "pattern"]]
    counted = tries.value_counts().rename("tries").reset_index()
    return reported, counted.merge(texts, on="question").merge(
        shown.drop_duplicates(), on="question"
    )


def compare(reported: pd.DataFrame, tries: pd.DataFrame) -> pd.DataFrame:
    """Lay the planted prevalence beside each reported one.

    Returns:
        term, setting, pattern, opportunities, planted, rate, rate_low, rate_high, held.
    """
    rows = []
    for row in reported.dropna(subset=["rate_low"]).itertuples():
        members = row.pattern.split(" / ")
        own = tries[(tries["term"] == row.term) & (tries["setting"] == row.setting)]
        own = own[own["pattern"].isin(members) & own["topic"].isin(row.topics)]
        answers = sum(
            one.tries * _chance(planted_chances(row.term, one.item, one.problem), members)
            for one in own.drop_duplicates(["item", "question"]).itertuples()
        )
        planted = answers / row.opportunities
        rows.append([row.term, row.setting, row.pattern, row.opportunities, planted,
                     row.rate, row.rate_low, row.rate_high])  # fmt: skip
    names = [*CELL, "opportunities", "planted", "rate", "rate_low", "rate_high"]
    table = pd.DataFrame(rows, columns=names)
    table["held"] = table["planted"].between(table["rate_low"], table["rate_high"])
    return table


def _chance(chances: dict[str, float], members: list[str]) -> float:
    """Of the planted causes, those whose first pattern is a member of the group."""
    return sum(chance for cause, chance in chances.items() if cause.split(" + ")[0] in members)


def run_once(seed: int, students: int) -> pd.DataFrame:
    """Write one course, run it, compare."""
    folder = Path(tempfile.mkdtemp(prefix="recovery-"))
    try:
        write_course(folder, students_per_term=students, seed=seed)
        run_course(folder)
        return compare(*opportunities(folder / "course.duckdb")).assign(seed=seed)
    finally:
        shutil.rmtree(folder)


def most_frequent(table: pd.DataFrame, count: int = 10) -> list[str]:
    """The patterns, or joint names, with the most planted answers."""
    planted = (table["planted"] * table["opportunities"]).groupby(table["pattern"]).sum()
    return planted.nlargest(count).index.tolist()


def report(table: pd.DataFrame) -> None:
    """Print bias and coverage of the ten most frequent patterns, then pooled."""
    frequent = most_frequent(table)
    chosen = table[table["pattern"].isin(frequent)].copy()
    chosen["miss"] = chosen["rate"] - chosen["planted"]
    sums = chosen.groupby("pattern").agg(
        intervals=("held", "size"), held=("held", "mean"), planted=("planted", "mean"),
        bias=("miss", "mean"), opportunities=("opportunities", "mean"),
    )  # fmt: skip
    print(sums.loc[frequent].round(4).to_string())
    held, size = int(chosen["held"].sum()), len(chosen)
    low, high = proportion_confint(held, size, method="wilson")
    print(f"\npooled: {held} of {size} intervals hold the planted prevalence: {held / size:.3f}")
    print(f"(as if independent, {low:.3f} to {high:.3f}); wanted 0.92 to 0.98")
    others = table[~table["pattern"].isin(frequent)]
    print(f"all other patterns: {others['held'].mean():.3f} of {len(others)}")


def main() -> None:
    parser = argparse.ArgumentParser(description="How well a run recovers what was planted.")
    parser.add_argument("--courses", type=int, default=20)
    parser.add_argument("--students", type=int, default=120, help="per term, default 120")
    parser.add_argument("--first-seed", type=int, default=1)
    parser.add_argument("--table", type=Path, help="write every comparison to this CSV file")
    options = parser.parse_args()
    found = []
    for seed in range(options.first_seed, options.first_seed + options.courses):
        started = time.perf_counter()
        found.append(run_once(seed, options.students))
        seconds = time.perf_counter() - started
        print(f"seed {seed}: {len(found[-1])} rates compared in {seconds:.0f} s", flush=True)
    table = pd.concat(found, ignore_index=True)
    if options.table:
        table.to_csv(options.table, index=False)
    report(table)


if __name__ == "__main__":
    main()
