"""The file of erased students: keyed digests that every load obeys, with or without a database."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable
from pathlib import Path

from pipeline.errors import CourseError
from pipeline.ingest.pseudonyms import PSEUDONYM_DIGITS, Pseudonyms

TOMBSTONE_FILE = "erased-students.txt"
_NOTICE = """\
# Students who were erased from this course. Keep this file: every later load obeys it.
# Each line is a keyed digest: it tells an erased id when an export brings it again, and no name.
"""
_STONE = re.compile(rf"[0-9a-f]{{{PSEUDONYM_DIGITS}}}")


def read_tombstones(folder: Path, pseudonyms: Pseudonyms) -> frozenset[str]:
    """Tombstones of a course folder; none when nobody was erased.

    Raises:
        CourseError: the file is damaged, or was written under another key or other rules of
            identity, so that it could not be obeyed.
    """
    path = folder / TOMBSTONE_FILE
    if not path.exists():
        return frozenset()
    lines = [line.strip() for line in path.read_text(encoding="utf-8").splitlines()]
    lines = [line for line in lines if line and not line.startswith("#")]
    rules, stones = (lines[0] if lines else ""), lines[1:]
    if not rules.startswith("rules ") or not all(_STONE.fullmatch(stone) for stone in stones):
        raise CourseError(
            f"{TOMBSTONE_FILE}: damaged; expected a line `rules ...` and digests of "
            f"{PSEUDONYM_DIGITS} digits below it. Restore the copy that you kept."
        )
    if rules != f"rules {pseudonyms.erasing_rules}":
        raise CourseError(
            f"{TOMBSTONE_FILE}: {len(stones)} erasures were made under another key, or another "
            "`issuer` or `fold_case` in [privacy], and could not be obeyed: erased students would "
            "come back. Put key and settings back. Or first take the rows of these students out of "
            f"all exports, which `lostroot forget` named, and then move {TOMBSTONE_FILE} away."
        )
    return frozenset(stones)


def add_tombstones(folder: Path, pseudonyms: Pseudonyms, stones: Iterable[str]) -> frozenset[str]:
    """Write further tombstones beside those that stand; the file is whole at every moment.

    Returns:
        All of them.
    """
    every = read_tombstones(folder, pseudonyms) | set(stones)
    path = folder / TOMBSTONE_FILE
    fresh = path.with_name(path.name + ".new")
    text = (
        _NOTICE + f"rules {pseudonyms.erasing_rules}\n" + "".join(f"{s}\n" for s in sorted(every))
    )
    fresh.unlink(missing_ok=True)
    handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as stream:
        stream.write(text)
        stream.flush()
        os.fsync(stream.fileno())
    os.replace(fresh, path)
    return every
