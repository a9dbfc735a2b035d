"""The course folder: questions, calendar and settings, read into frozen records."""

from __future__ import annotations

from pipeline.course.exports import EXPORT_FIELDS, SETTINGS, ExportMap
from pipeline.course.keyfile import key_fingerprint, key_warnings, read_key
from pipeline.course.new import new_course, next_term
from pipeline.course.read import own_patterns, read_course
from pipeline.course.records import (
    Break,
    Course,
    Item,
    Lesson,
    Option,
    Outcome,
    OwnPattern,
    Privacy,
    Quiz,
    ReadingSettings,
    Term,
    Topic,
)

__all__ = [
    "EXPORT_FIELDS",
    "SETTINGS",
    "Break",
    "Course",
    "ExportMap",
    "Item",
    "Lesson",
    "Option",
    "Outcome",
    "OwnPattern",
    "Privacy",
    "Quiz",
    "ReadingSettings",
    "Term",
    "Topic",
    "key_fingerprint",
    "key_warnings",
    "new_course",
    "next_term",
    "own_patterns",
    "read_course",
    "read_key",
]
