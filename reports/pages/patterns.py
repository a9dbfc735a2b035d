"""The parts that show error patterns: their ranking, and one of them worked out on numbers."""

from __future__ import annotations

from collections.abc import Iterable

import pandas as pd

from reports.charts import ranked
from reports.parts import Figure, Worked
from reports.tables import Column, Table, hidden_rows
from reports.words import counted, minus_signs, missing, percent, quoted, rate_words, short_label

__all__ = [
    "how_common",
    "in_order",
    "labelled",
    "ranking",
    "top_sentence",
    "why_words",
    "worked_example",
]

DRAWN = 12
TASKS = {
    "square-constant": "find the number that completes the square",
    "discriminant": "find the discriminant",
    "vertex": "find the vertex",
    "rewrite": "rewrite in vertex form",
}


def labelled(frame: pd.DataFrame) -> pd.DataFrame:
    """Return the frame with each pattern's name in words as `label`, short for a chart."""
    return frame.assign(label=[short_label(str(p)) for p in frame["pattern"]])


def top_sentence(prevalence: pd.DataFrame) -> str:
    """Name the error at the top of the list with its rate, interval and chances."""
    top = in_order(prevalence)
    if top.empty:
        return "No known error was made often enough to be named"
    row = top.iloc[0]
    rate = rate_words(row["rate"], row["rate_low"], row["rate_high"], int(row["opportunities"]))
    return f"At the top of the list: {quoted(row['pattern'])}, {rate} in the whole semester"


def in_order(prevalence: pd.DataFrame) -> pd.DataFrame:
    """Errors with a place in the order of the next lesson, the first one first."""
    return prevalence.dropna(subset=["rank", "rate"]).sort_values("rank")


def ranking(prevalence: pd.DataFrame, made_by: str) -> Figure:
    """Return the ranked patterns with intervals, and the table of all of them.

    Args:
        prevalence: rows of `pattern_prevalence` for one term and setting.
        made_by: the `.sql` file.
    """
    ordered = in_order(prevalence)
    rest = prevalence.drop(index=ordered.index).sort_values(
        ["expected_errors", "pattern"], ascending=[False, True]
    )
    listed = labelled(pd.concat([ordered, rest]))
    drawn = listed.head(min(DRAWN, len(ordered)))
    title = top_sentence(prevalence)
    return Figure(
        name="error-ranking",
        title=title,
        chart=ranked(drawn, title),
        says=f"How common the first known errors are. {title}",
        longer=(
            "From top to bottom in the order of the next lesson, by the answers that each may "
            "still cost. Each dot is the share of the semester’s chances at which the error was "
            "made; the bar is the range that the share likely lies in, and the numbers give the "
            "share and the chances to show it."
        ),
        table=Table(
            "error-ranking",
            "Known errors in the order of the next lesson",
            (
                Column("error, and what students do", ("pattern", "says"), "pattern"),
                Column("answers it may still cost", ("answers_ahead",), "count"),
                Column("how common", ("rate",), "percent"),
                Column("likely range", ("rate_low", "rate_high"), "range"),
                Column("chances to show it", ("opportunities",), "count"),
                Column("answers laid to it", ("expected_errors",), "count"),
                Column("of these, fit it alone", ("certain_errors",), "count"),
                Column("students", ("students",), "count"),
                Column("comes back in the same students", ("persistence",), "percent"),
                Column("likely range", ("persistence_low", "persistence_high"), "range"),
            ),
            listed,
            left_out=_left_out(listed, drawn),
            made_by=made_by,
            first=len(drawn),
            folded=drawn.empty and len(listed) > 0,
        ),
    )


def _left_out(listed: pd.DataFrame, drawn: pd.DataFrame) -> str:
    sentences = [
        "Answers laid to an error are an estimate: those that several errors lead to are shared "
        "among them, and a part is left to chance; of these, those fit it alone that no other "
        "single known error leads to, whatever the class did."
    ]
    if len(listed) > len(drawn):
        rest = counted(len(listed) - len(drawn), "row is", "rows are")
        sentences.append(
            f"{rest} in the table but not in the chart: those further down, those with too little "
            "to go by, and slips of the pen or in arithmetic, which take no place in the order."
        )
    return " ".join([*sentences, hidden_rows(listed)]).strip()


def worked_example(row: pd.Series, catalogue: pd.DataFrame, *facts: str) -> Worked:
    """Return one error worked out on numbers of our own.

    Args:
        row: `pattern` (id or joint group), `says`.
        catalogue: rows of `pattern`: one per single id, with its example.
        facts: what else to say of it, one sentence each.
    """
    first = str(row["pattern"]).split(" / ", maxsplit=1)[0]
    found = catalogue[catalogue["pattern"] == first]
    example = found.iloc[0] if len(found) else pd.Series(dtype=object)
    names = str(row["pattern"]).count(" / ") + 1
    if names > 1:
        them = "the two" if names == 2 else f"these {names} errors"
        facts = (*facts, f"Answers to these questions cannot tell {them} apart.")
    return Worked(
        name=short_label(str(row["pattern"])).capitalize(),
        says=minus_signs(str(row["says"])),
        problem=str(example.get("example_problem") or ""),
        wrong=str(example.get("example_wrong") or ""),
        right=str(example.get("example_right") or ""),
        task=task_words(str(example.get("example_task") or "")),
        facts=tuple(fact for fact in facts if fact),
        wrong_lines=_lines(example.get("example_wrong_work")),
        right_lines=_lines(example.get("example_right_work")),
    )


def _lines(work: object) -> tuple[str, ...]:
    """Lines of working without the first, which is the question."""
    return tuple(str(line) for line in work)[1:] if isinstance(work, Iterable) else ()


def task_words(task: str) -> str:
    """Return a task as a question on a page asks for it."""
    return TASKS.get(task, task)


def why_words(row: pd.Series) -> tuple[str, ...]:
    """Say why an error has its place: how common, whether it comes back, what it may still cost."""
    showed = counted(row["showed"], "answer")
    back = (
        ""
        if missing(row["persistence"]) or missing(row["showed"])
        else f"After {showed} laid to it the student had another chance; at "
        f"{percent(row['persistence'])} of these chances it came back."
    )
    ahead = (
        ""
        if missing(row["chances_ahead"])
        else f"Chances ahead for each student: {row['chances_ahead']:.1f}."
    )
    coming = " if this semester’s questions came once more" if missing(row["chances_ahead"]) else ""
    cost = (
        f"It may still cost {counted(row['answers_ahead'], 'answer')} of "
        f"{counted(row['class_students'], 'student')}{coming}."
    )
    common = how_common(row)
    return (f"{common[:1].upper()}{common[1:]}.", back, ahead, cost)


def how_common(row: pd.Series) -> str:
    """Say how common an error is in the semester, and lately where that tells of it.

    Args:
        row: a row of `pattern_prevalence`.
    """
    whole = rate_words(row["rate"], row["rate_low"], row["rate_high"], int(row["opportunities"]))
    if missing(row["recent_rate"]) or row["recent_opportunities"] == row["opportunities"]:
        return f"{whole} in the whole semester"
    chances = int(row["recent_opportunities"])
    ends = row["recent_low"], row["recent_high"]
    return (
        f"{whole} in the whole semester, lately "
        f"{rate_words(row['recent_rate'], *ends, chances, 'chances')}"
    )
