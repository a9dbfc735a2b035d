"""A student-level extract for research, with random codes that rest on nothing about a person.

A pseudonym is worked out from an id; 34 CFR 99.31(b)(2) wants record codes that are not. So codes
are drawn at random and kept in a table of their own, which never leaves the institution.
"""

from __future__ import annotations

import secrets
import shutil
from collections.abc import Iterable
from pathlib import Path

import pandas as pd

from pipeline.course import Course
from pipeline.errors import CourseError
from pipeline.storage import written_whole
from pipeline.tables.rows import guarded
from pipeline.warehouse import Warehouse

RELEASE = "release"
CODES = "release-codes.csv"
_CODE_BYTES = 8
_ANSWER = ["code", "term", "week", "topic", "item", "setting", "attempt", "first_try", "verdict"]
_TAG = ["code", "term", "item", "setting", "attempt", "pattern", "share"]
_READ_ME = """\
Answers of single students under random codes, for research.

answers.csv   one row per answer: verdict, no typed text, no score, no time, no class section
tags.csv      possible reasons of wrong answers; the shares of one answer sum to 1

Left out: questions that fewer than {limit} students answered in a term, and mere counts.

Before you pass this on: codes instead of names do not by themselves make data anonymous. Somebody
who knows a few answers of a student can find the rest. Whether this may be released, to whom, and
under which agreement is for your institution's policy, its review board and local law to say.
Several releases are to be judged together. Never pass on {codes}, pseudonym.key or the database.
"""


def is_released(folder: Path) -> bool:
    """Whether a course folder holds an extract."""
    return (folder / RELEASE).exists() or (folder / CODES).exists()


def write_release(course: Course, warehouse: Warehouse) -> None:
    """Write the extract anew; a student keeps the code of earlier ones.

    Args:
        course: its limit holds for every question.
        warehouse: the finished database.

    Raises:
        CourseError: folder or table of codes cannot be written.
    """
    answers = warehouse.frame("answers")
    answers = answers[answers["student"].notna() & (answers["count"] == 1)]
    codes = _codes(course.folder, answers["student"].unique())
    asked = answers.groupby(["term", "item"], dropna=False)["student"].transform("nunique")
    kept = answers[(asked >= course.privacy.limit) & (answers["place"] != "unlisted")]
    kept = kept.assign(code=kept["student"].map(codes))
    tags = warehouse.frame("tags")[["response", "pattern", "share"]]
    tags = tags.merge(kept[["response", *_TAG[:-2]]], on="response")
    text = _READ_ME.format(limit=course.privacy.limit, codes=CODES)
    try:
        _swap(course.folder / RELEASE, kept[_ANSWER], tags[_TAG], text)
    except OSError as error:
        raise CourseError(f"{RELEASE}: cannot be written ({error.strerror}).") from error


def _codes(folder: Path, students: Iterable[str]) -> dict[str, str]:
    """Codes of the students who are stored now; those of erased ones are dropped."""
    path = folder / CODES
    known: dict[str, str] = {}
    if path.exists():
        table = pd.read_csv(path, dtype=str)
        known = dict(zip(table["student"], table["code"], strict=True))
    codes = {student: known.get(student) or secrets.token_hex(_CODE_BYTES) for student in students}
    table = pd.DataFrame(sorted(codes.items()), columns=["student", "code"])
    with written_whole(path, for_owner=True) as fresh:
        table.to_csv(fresh, index=False, lineterminator="\n")
    return codes


def _swap(folder: Path, answers: pd.DataFrame, tags: pd.DataFrame, text: str) -> Path:
    fresh = folder.with_name(f".{folder.name}-new")
    shutil.rmtree(fresh, ignore_errors=True)
    fresh.mkdir(parents=True, mode=0o700)
    # Sorted by random code, so that the order of rows tells nothing of the order of ids.
    for name, frame, columns in (("answers", answers, _ANSWER), ("tags", tags, _TAG)):
        guarded(frame.sort_values(columns)).to_csv(fresh / f"{name}.csv", index=False)
    (fresh / "README.txt").write_text(text, encoding="utf-8")
    for path in fresh.iterdir():
        path.chmod(0o600)
    shutil.rmtree(folder, ignore_errors=True)
    fresh.rename(folder)
    return folder
