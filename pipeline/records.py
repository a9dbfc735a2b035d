"""Frozen records that cross stages: what is asked of the classifier and what it answers."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Final, Literal, TypeAlias

WITHOUT_PROBLEM: Final = ("compare", "read")
"""Tasks that need no problem: an answer against a key, and an answer alone."""
Numbers: TypeAlias = Literal["real", "complex"]
MissingBrackets: TypeAlias = Literal["apart", "meant", "literal"]
"""What becomes of an answer that is right only with brackets that were not typed: it is counted
apart, taken as meant, or taken as it stands."""
_WORD: Final = re.compile(r"[^\W\d_]{3,}")
_NO_WORD: Final = re.compile(r"\b(?:sqrt|cbrt|root|abs|log)\b")


class Verdict(StrEnum):
    """How an answer stands to its right answer."""

    RIGHT = "right"
    RIGHT_OTHER_FORM = "right-other-form"
    RIGHT_IF_MEANT = "right-if-meant"
    TOO_COARSE = "too-coarse"
    WRONG = "wrong"
    UNREADABLE = "unreadable"
    BLANK = "blank"
    NO_KEY = "no-key"

    @property
    def has_candidates(self) -> bool:
        """Whether error patterns are looked for: the answer as it stands is wrong."""
        return self in (Verdict.WRONG, Verdict.RIGHT_IF_MEANT)


@dataclass(frozen=True, slots=True)
class Request:
    """One answer and the question that it was given to.

    Args:
        task: a task of the catalogue, or `judge`, `compare`, `read`.
        problem: the question as the course wrote it; empty for `compare` and `read`.
        answer: what the student typed, untouched.
        key: the course's right answer; None leaves it to be computed.
        work: the student's lines, separated by newlines or ` | `.
        numbers: the number domain of the question.
        form: the form asked for, `any` or a `+`-joined list; None takes the task's default.
        method: the procedure that the course taught for this question.
        decimal_comma: whether the course writes 2,5 for two and a half.
        min_places: fewest decimals that prove anything.
        missing_brackets: what becomes of an answer that is right with brackets that are missing.
        asked: what is to be given where that is not the unknown itself, say `x + 4`.
        keep: which solutions count, say `x > 0`.
    """

    task: str
    problem: str
    answer: str
    key: str | None = None
    work: str | None = None
    numbers: Numbers = "real"
    form: str | None = None
    method: str | None = None
    decimal_comma: bool = False
    min_places: int = 2
    missing_brackets: MissingBrackets = "apart"
    asked: str | None = None
    keep: str | None = None

    @property
    def question(self) -> str:
        """The problem with what is kept and asked, words with the algebra behind them."""
        if self.task == "translate":
            return words_with_algebra(self.problem, self.key)
        return whole_problem(self.problem, self.asked, self.keep)


def whole_problem(problem: str, asked: str | None, keep: str | None) -> str:
    """Write what a word problem keeps and asks behind the equation of its story."""
    parts = [problem, f"keep {keep}" if keep else "", f"asked {asked}" if asked else ""]
    return "; ".join(part for part in parts if part)


def words_with_algebra(problem: str, key: str | None) -> str:
    """Write the key of a `translate` question behind its words, where no algebra stands yet."""
    behind = problem.rpartition(":")[2]
    if not key or not _WORD.search(_NO_WORD.sub(" ", behind) if behind.strip() else "words"):
        return problem
    return f"{problem.rstrip(' .:?')}: {key}"


@dataclass(frozen=True, slots=True)
class OwnPattern:
    """An error pattern of a course's own, declared in its settings.

    Args:
        id: states the wrong thing; no id of the catalogue.
        sentence: what was done; describes an answer, not a person.
        task: the task that it is looked for in.
        wrong: wrong answers, each a formula in the problem's numbers.
        skill: the skill that it belongs to.
        source: where it was observed.
    """

    id: str
    sentence: str
    task: str
    wrong: tuple[str, ...]
    skill: str = "own"
    source: str | None = None


@dataclass(frozen=True, slots=True)
class Candidate:
    """One set of faults that explains an answer.

    Args:
        id: the pattern that matters more.
        faults: ids of all faults, in the order of the working.
        weight: prior weight, before the class is known.
        share: fraction of the answer, 0 to 1.
        says: what the student did, one sentence.
    """

    id: str
    faults: tuple[str, ...]
    weight: float
    share: float
    says: str


@dataclass(frozen=True, slots=True)
class Explanation:
    """All that is said of one answer; `patterns` is empty unless it is wrong as it stands.

    Args:
        verdict: how the answer stands to the right one.
        read_as: the value used, in plain notation; None when unreadable.
        value: the value used, as sympy source; None when unreadable.
        value_key: canonical key of the value used; None when unreadable.
        readings: sympy source of every legitimate reading, first the one used.
        patterns: candidates, most likely first.
        unexplained: share of no known pattern, 0 to 1; None unless wrong as it stands.
        first_wrong_line: the student's line, from 1; 0 when all follow; None without working.
        reason: why unreadable, or which form was expected, or what to know of the verdict.
        brackets: the convention by which brackets that were not typed would make the answer right,
            where it was judged without them.
    """

    verdict: Verdict
    read_as: str | None = None
    value: str | None = None
    value_key: str | None = None
    readings: tuple[str, ...] = ()
    patterns: tuple[Candidate, ...] = ()
    unexplained: float | None = None
    first_wrong_line: int | None = None
    reason: str | None = None
    brackets: str | None = None
