"""The questions of a course as frozen records: what is asked, what is right, and how it is used."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pipeline.records import Numbers, Request

METHODS = ("factoring", "square-root", "complete-square", "formula")


@dataclass(frozen=True, slots=True)
class Option:
    """One option of a choice question; `pattern` is the error that it was written to catch."""

    text: str
    pattern: str | None = None


@dataclass(frozen=True, slots=True)
class Item:
    """One version of one question.

    Args:
        id: the question's name in the exports.
        topic: id of its topic.
        task: an algebra task, or `judge`, `choice`, `skip`.
        problem: the question in typed notation; an answer's own row may override it.
        answer: the key; None leaves it to be computed.
        form: the form asked for; None takes the task's default.
        numbers: `real` or `complex`.
        outcome: id of the outcome that it gives evidence for; None takes the topic's.
        options: for `choice`, in the order of the file.
        quiz: the quiz that it belongs to.
        week: the teaching week that it is assigned to, from 1.
        method: the procedure that the course taught for it.
        start: date (ISO) or term from which this version is in force; "" from the beginning.
        correction: this version mends a mistake, and answers given before it are judged by it.
        asked: what is to be given, where that is not the unknown itself.
        keep: which solutions count, an inequality.
        follows: id of the earlier part whose answer stands in the problem.
        template: the problem as written, where `problem` has the earlier part's answer put in.
        wording: the question as its source words it; exports may name it by that.
        same: id of the question that it asks again with other numbers.
        line: where it stands in the items file, from 1.
    """

    id: str
    topic: str
    task: str
    problem: str
    answer: str | None = None
    form: str | None = None
    numbers: Numbers = "real"
    outcome: str | None = None
    options: tuple[Option, ...] = ()
    quiz: str | None = None
    week: int | None = None
    method: str | None = None
    start: str = ""
    correction: bool = False
    asked: str | None = None
    keep: str | None = None
    follows: str | None = None
    template: str | None = None
    wording: str | None = None
    same: str | None = None
    line: int = 0

    @property
    def place(self) -> Literal["task", "judge", "choice", "skip"]:
        """How far its answers are worked on: `task` for the algebra tasks, else the task itself."""
        match self.task:
            case "judge" | "choice" | "skip" as other:
                return other
            case _:
                return "task"

    def request(self, answer: str = "") -> Request:
        """The question with an answer to it, as the stages after this one take it."""
        return Request(
            self.task, self.problem, answer, self.answer, numbers=self.numbers, form=self.form,
            method=self.method, asked=self.asked, keep=self.keep,
        )  # fmt: skip
