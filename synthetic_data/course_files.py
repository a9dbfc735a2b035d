"""The items file and `course.toml` of the invented course."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import timedelta
from typing import Any

import tomlkit

from synthetic_data.calendar import CLINICS, COLLEGE, TERMS, TIME_ZONE, Term
from synthetic_data.question_bank import PLACES
from synthetic_data.questions import Question
from synthetic_data.roster import TEST_ACCOUNT

_COLUMNS = (
    "item", "topic", "task", "problem", "answer", "form", "numbers", "options", "quiz", "week",
    "method", "from", "asked", "keep",
)  # fmt: skip

# id, statement, target, bar, topics
_OUTCOMES = (
    ("solve-linear", "Solve linear equations and work with fractions.", 0.75, 0.7,
     ("linear-equations", "fractions")),
    ("rewrite", "Expand, factor and simplify expressions.", 0.7, 0.7,
     ("expanding", "exponents", "radicals", "factoring")),
    ("solve-quadratic", "Solve quadratic equations by a fitting method.", 0.65, 0.6,
     ("square-root-property", "quadratic-formula", "zero-product", "perfect-squares",
      "completing-the-square")),
    ("describe-quadratic", "Tell from an equation how its parabola lies.", 0.65, 0.6,
     ("discriminant", "complex-numbers", "vertex")),
)  # fmt: skip

_NEEDS = {
    "exponents": ("expanding",),
    "radicals": ("exponents",),
    "square-root-property": ("radicals", "linear-equations"),
    "discriminant": ("expanding",),
    "quadratic-formula": ("discriminant", "radicals", "fractions"),
    "factoring": ("expanding",),
    "zero-product": ("factoring", "linear-equations"),
    "perfect-squares": ("expanding", "fractions"),
    "completing-the-square": ("perfect-squares", "square-root-property"),
    "complex-numbers": ("quadratic-formula", "square-root-property"),
    "vertex": ("completing-the-square",),
}


def item_rows(questions: Iterable[Question]) -> list[list[str]]:
    """The items file with its headings; a changed question has a row for each version."""
    rows = [list(_COLUMNS)]
    for question in questions:
        if question.listed:
            rows.append(_item_row(question, ""))
            if question.later:
                rows.append(_item_row(question.later, TERMS[1].id))
    return rows


def _item_row(question: Question, start: str) -> list[str]:
    patterns = {
        answer.spellings[0]: f" => {pattern}"
        for pattern, (answer, *_) in question.problems[0].wrong.items()
        if question.options and hasattr(answer, "spellings")
    }
    facts = {
        "item": question.id,
        "topic": question.topic,
        "task": question.kind,
        "problem": question.problems[0].text,
        "answer": question.answer,
        "form": question.form,
        "numbers": question.numbers,
        "options": " | ".join(text + patterns.get(text, "") for text in question.options),
        "quiz": question.quiz,
        "week": str(question.week),
        "method": question.method,
        "from": start,
        "asked": question.asked,
        "keep": question.keep,
    }
    return [facts[column] for column in _COLUMNS]


def course_settings(questions: Iterable[Question], exports: Iterable[dict[str, Any]]) -> str:
    """The text of `course.toml`.

    Args:
        questions: of the course, for its quizzes.
        exports: one table for each map of `[[exports]]`.
    """
    document = tomlkit.document()
    document.add(tomlkit.comment("An invented course; no such college, no such students."))
    document["title"] = f"College Algebra, {COLLEGE}"
    document["time_zone"] = TIME_ZONE
    tables = {
        "terms": map(_term, TERMS),
        "topics": _topics(),
        "outcomes": _outcomes(),
        "lessons": _lessons(),
        "quizzes": _quizzes(questions),
        "exports": exports,
    }
    for name, blocks in tables.items():
        array = tomlkit.aot()
        for block in blocks:
            array.append(tomlkit.item(block))
        if array:
            document[name] = array
    document["privacy"] = {"issuer": COLLEGE, "test_accounts": [TEST_ACCOUNT]}
    return tomlkit.dumps(document)


def _term(term: Term) -> dict[str, Any]:
    last_off = term.week_off + timedelta(days=6)
    return {
        "id": term.id,
        "title": term.title,
        "first_day": term.first_day,
        "weeks": term.weeks,
        "breaks": [[term.week_off.isoformat(), last_off.isoformat()]],
    }


def _topics() -> Iterator[dict[str, Any]]:
    outcome_of = {topic: name for name, *_, topics in _OUTCOMES for topic in topics}
    for place in PLACES.values():
        yield {
            "id": place.topic,
            "title": place.topic.replace("-", " ").capitalize(),
            "first_week": place.week,
            "outcome": outcome_of[place.topic],
            "needs": list(_NEEDS.get(place.topic, ())),
        }


def _outcomes() -> Iterator[dict[str, Any]]:
    for name, statement, target, bar, _ in _OUTCOMES:
        yield {
            "id": name,
            "statement": statement,
            "target": target,
            "bar": bar,
            "evidence": ["exam", "quiz"],
            "fewest": 3,
        }


def _lessons() -> Iterator[dict[str, Any]]:
    """An introduction for each topic in its first week, and the clinics."""
    for term in TERMS:
        for place in PLACES.values():
            title = place.topic.replace("-", " ").capitalize()
            yield {"date": term.monday(place.week), "title": title, "topics": [place.topic]}
        for clinic in CLINICS:
            yield {
                "date": term.monday(clinic.week),
                "title": clinic.title,
                "topics": list(clinic.topics),
                "patterns": list(clinic.patterns),
            }


def _quizzes(questions: Iterable[Question]) -> Iterator[dict[str, Any]]:
    seen = {question.quiz: question for question in questions}
    for name, question in seen.items():
        facts: dict[str, Any] = {"id": name, "week": question.week, "setting": question.setting}
        if question.setting == "exam":
            facts |= {"supervised": True, "calculator": False}
        yield facts
