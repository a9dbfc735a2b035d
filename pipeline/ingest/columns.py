"""What the trade calls the columns of an export: headers told by their words."""

from __future__ import annotations

import re
import unicodedata

from pipeline.course import EXPORT_FIELDS

__all__ = ["EXPORT_FIELDS", "SYNONYMS", "field_of", "header_words", "is_totals", "standard_field"]

# Source of the words: common practice in college grade books and quiz exports.
# Within a field the earlier word is the better one when a file has several.
SYNONYMS: dict[str, tuple[str, ...]] = {
    "student": (
        "student", "student id", "student number", "student no", "student nr", "student identifier",
        "student code", "sis id", "sis user id", "sis login id",
        "username", "user name", "user id", "login", "login id", "login name", "user",
        "student email", "email", "e mail", "email address", "e mail address", "learner",
        "id number", "id", "student name", "full name", "name",
    ),
    "item": (
        "item", "item id", "question id", "question number", "question no", "question",
        "problem id", "problem number", "exercise", "exercise id", "item number", "question name",
    ),
    "answer": (
        "answer", "response", "student answer", "student response", "given answer",
        "answer given", "submitted answer", "typed answer", "answer text", "response text", "reply",
    ),
    "answered_at": (
        "answered at", "submitted at", "submission time", "time submitted", "submitted",
        "timestamp", "time stamp", "submission date", "date submitted", "answered", "answer time",
        "completed at", "finished at", "end time", "date time", "date and time", "date", "time",
        "completed", "finished", "submitted on", "completed on", "finished on",
    ),
    "attempt": (
        "attempt", "attempt number", "attempt no", "try", "try number", "submission number",
    ),
    "section": ("section", "class section", "section id", "class", "course section", "group"),
    "term": ("term", "semester", "quarter", "academic term"),
    "quiz": (
        "quiz", "quiz name", "quiz title", "assignment", "assignment name", "assessment",
        "assessment name", "test", "test name", "homework",
    ),
    "setting": ("setting", "kind of quiz", "quiz type", "assessment type"),
    "supervised": ("supervised", "proctored"),
    "calculator": ("calculator", "calculator allowed"),
    "score": (
        "score", "points earned", "earned points", "points scored", "mark", "earned", "grade",
    ),
    "points": (
        "points", "points possible", "possible points", "max points", "maximum points", "max score",
        "maximum score", "out of", "possible", "max mark", "maximum mark",
    ),
    "work": ("work", "working", "shown work", "work shown", "steps", "scratch work"),
    "problem": ("problem", "problem text", "question text", "problem shown", "prompt"),
    "count": ("count", "number of answers", "number of students", "frequency", "times given"),
    "seconds": (),
    "source_place": (),
}  # fmt: skip
_FIELD_OF = {word: field for field, words in SYNONYMS.items() for word in words}
_TOTALS = re.compile(
    r"(grand |overall |class |column |question |section )?"
    r"(totals?|averages?|means?|medians?|sums?|count|maximum|max|minimum|min|"
    r"standard deviation|std dev|percent correct|number correct|points possible|"
    r"possible points|out of|answer key|key)( score| points| possible| \(%\))?"
)


def header_words(header: str) -> str:
    """A header in lower case, its words parted by single blanks."""
    folded = unicodedata.normalize("NFKC", header).casefold()
    return " ".join(re.findall(r"[^\W_]+", folded))


def standard_field(header: str) -> str | None:
    """The field whose own name the header is, `Answered At` included; else None."""
    name = header_words(header).replace(" ", "_")
    return name if name in EXPORT_FIELDS else None


def field_of(header: str) -> str | None:
    """The field that the trade means by a header; None when the words are not among ours."""
    return standard_field(header) or _FIELD_OF.get(header_words(header))


def is_totals(text: str, more: tuple[str, ...] = ()) -> bool:
    """Whether the first text of a row says that it sums up a column and is no student."""
    word = text.strip().rstrip(":").casefold()
    return bool(_TOTALS.fullmatch(word)) or word in {one.casefold() for one in more}
