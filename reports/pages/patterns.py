"""What pages say of one error pattern: its place, how common it is, and a worked example."""

from __future__ import annotations

from collections.abc import Iterable

import pandas as pd

from reports.parts import Worked
from reports.words import counted, joined, minus_signs, missing, quoted, rate_words, short_label

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
    """Name the errors at the top of the list with what each may still cost."""
    top = in_order(prevalence).head(2)
    if top.empty:
        return "No known error was made often enough to be named"
    costs = zip(top["pattern"].map(quoted), top["answers_ahead"], strict=True)
    said = [f"{name} may still cost {counted(cost, 'answer')}" for name, cost in costs]
    return f"At the top of the list: {joined(said)}"


def in_order(prevalence: pd.DataFrame) -> pd.DataFrame:
    """Errors with a place in the order of the next lesson, the first one first."""
    return prevalence.dropna(subset=["rank", "rate"]).sort_values("rank")


def worked_example(row: pd.Series, catalogue: pd.DataFrame) -> Worked:
    """Return one error worked out on numbers of our own.

    Args:
        row: `pattern` (id or joint group), `says`.
        catalogue: rows of `pattern`: one per single id, with its example.
    """
    first = str(row["pattern"]).split(" / ", maxsplit=1)[0]
    found = catalogue[catalogue["pattern"] == first]
    example = found.iloc[0] if len(found) else pd.Series(dtype=object)
    names = str(row["pattern"]).count(" / ") + 1
    them = "the two" if names == 2 else f"these {names} errors"
    return Worked(
        name=short_label(str(row["pattern"])).capitalize(),
        says=minus_signs(str(row["says"])),
        problem=str(example.get("example_problem") or ""),
        wrong=str(example.get("example_wrong") or ""),
        right=str(example.get("example_right") or ""),
        task=task_words(str(example.get("example_task") or "")),
        note=f"Answers to these questions cannot tell {them} apart." if names > 1 else "",
        wrong_lines=_lines(example.get("example_wrong_work")),
        right_lines=_lines(example.get("example_right_work")),
    )


def _lines(work: object) -> tuple[str, ...]:
    """Lines of working without the first, which is the question."""
    return tuple(str(line) for line in work)[1:] if isinstance(work, Iterable) else ()


def task_words(task: str) -> str:
    """Return a task as a question on a page asks for it."""
    return TASKS.get(task, task)


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
