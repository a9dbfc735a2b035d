"""Pseudonyms: keyed digests in place of student ids, before anything is stored.

HMAC-SHA-256 (RFC 2104, FIPS 180-4) over `student|issuer|id`, cut to 128 bits. Without the key a
pseudonym can neither be undone nor checked against a list of ids.

An export that was replaced by its pseudonymized copy holds `pseudonym:RULES:PSEUDONYM` in place of
ids. RULES tells under which key and rules of identity it was made; under others it is refused. A
tombstone is keyed apart from the pseudonym, so that it says nothing of a pseudonym seen elsewhere.
The file of tombstones is obeyed by every load, with or without a database.
"""

from __future__ import annotations

import hmac
import re
import unicodedata
from collections.abc import Callable, Iterable, Set
from fnmatch import translate
from pathlib import Path
from typing import Any

import pandas as pd

from pipeline.course import Privacy
from pipeline.errors import CourseError
from pipeline.ingest.distinct import per_distinct, per_pair
from pipeline.ingest.withheld import bare
from pipeline.standards.xapi import mailbox_identity
from pipeline.storage import written_whole
from pipeline.tables import plain_text

PSEUDONYM_DIGITS = 32  # hex digits, 128 bits
_RULES_DIGITS = 8
_SOURCE_DIGITS = 16
_COPIED = re.compile(rf"pseudonym:([0-9a-f]{{{_RULES_DIGITS}}}):([0-9a-f]{{{PSEUDONYM_DIGITS}}})")


def normal_id(text: str, *, fold_case: bool) -> str:
    """An id as it is keyed: NFC, outer blanks and a guarding apostrophe gone, case folded.

    A `mailto:` address is the digest under which xAPI statements may hold it, too.
    """
    bare = unicodedata.normalize("NFC", plain_text(text)).strip()
    bare = bare.removeprefix("'").strip()
    if bare[:7].casefold() == "mailto:":
        bare = mailbox_identity(bare)
    return unicodedata.normalize("NFC", bare.casefold()) if fold_case else bare


def own_name(normal: str) -> str:
    """What a student would type of a normal id: of an address, the account's name at its end."""
    return re.split(r"[/#]", normal)[-1] if "://" in normal else normal


class Pseudonyms:
    """Turns ids into pseudonyms; remembers those of one load, never writes them anywhere."""

    def __init__(self, key: bytes, privacy: Privacy) -> None:
        self._key = key
        self._privacy = privacy
        self._known: dict[tuple[str, str], str] = {}
        globs = (normal_id(one, fold_case=privacy.fold_case) for one in privacy.test_accounts)
        self._rules = self._keyed(
            f"rules|{privacy.issuer}|{privacy.fold_case}|{privacy.link_terms}", _RULES_DIGITS
        )
        self._tests = re.compile("|".join(translate(one) for one in globs if one) or r"(?!)")

    def normal(self, text: str) -> str:
        """The id as this course's rules have it."""
        return normal_id(text, fold_case=self._privacy.fold_case)

    def is_test_account(self, normal: str) -> bool:
        """Whether the course says that no student is behind this id."""
        return bool(self._tests.match(normal))

    def of(self, normal: str, term: str = "") -> str:
        """Pseudonym of a normal id, 32 hex digits.

        Args:
            normal: what `normal` returned, not empty.
            term: enters only where the course keeps terms from being linked.
        """
        scope = "" if self._privacy.link_terms else term
        found = self._known.get((normal, scope))
        if found is None:
            copied = _COPIED.fullmatch(normal)
            found = copied[2] if copied else self._digest(normal, scope)
            self._known[normal, scope] = found
        return found

    def of_source(self, text: str) -> str:
        """Keyed digest, 16 hex digits, of what a source calls a statement or an attempt.

        Either name may hold a person's.
        """
        return self._keyed(f"source|{text}", _SOURCE_DIGITS)

    def _digest(self, normal: str, scope: str) -> str:
        domain = f"student in {scope.replace('|', '/')}" if scope else "student"
        return self._keyed(f"{domain}|{self._privacy.issuer}|{normal}", PSEUDONYM_DIGITS)

    def _keyed(self, message: str, digits: int) -> str:
        return hmac.digest(self._key, message.encode(), "sha256").hex()[:digits]

    def is_one_of(
        self, text: str, stored: frozenset[str], erased: frozenset[str], terms: Iterable[str]
    ) -> bool:
        """Whether a text is the id of a student who is stored, erased, or was met in this load.

        Args:
            text: as typed.
            stored: pseudonyms.
            erased: tombstones.
            terms: ids of the terms, where each has pseudonyms of its own.
        """
        normal = self.normal(text)
        scopes = [""] if self._privacy.link_terms else ["", *terms]
        return self._is_erased(normal, erased) or any(
            (normal, scope) in self._known or (stored and self._digest(normal, scope) in stored)
            for scope in scopes
        )

    def marked(self, pseudonym: str) -> str:
        """What a pseudonymized copy holds in place of an id."""
        return f"pseudonym:{self._rules}:{pseudonym}"

    def is_foreign(self, normal: str) -> bool:
        """Whether a copy holds a pseudonym made under another key or other rules of identity."""
        copied = _COPIED.fullmatch(normal)
        return copied is not None and copied[1] != self._rules

    def tombstone(self, normal: str) -> str:
        """What is kept of an erased student: told again by id, or by the pseudonym in a copy."""
        if copied := _COPIED.fullmatch(normal):
            return self._keyed(f"erased pseudonym|{copied[2]}", PSEUDONYM_DIGITS)
        return self._keyed(f"erased|{self._privacy.issuer}|{normal}", PSEUDONYM_DIGITS)

    def stone_as_typed(self, normal: str) -> str:
        """What tells an erased id where others typed it with other signs in between.

        It tells no row's student: two ids may differ by a sign.
        """
        return self._keyed(
            f"erased as typed|{self._privacy.issuer}|{bare(normal)}", PSEUDONYM_DIGITS
        )

    def _is_erased(self, normal: str, stones: Set[str]) -> bool:
        return bool(stones) and not stones.isdisjoint(
            {self.tombstone(normal), self.stone_as_typed(normal)}
        )

    def among(self, stones: Set[str]) -> Callable[[str], bool]:
        """Tells of a text whether it is the id of one of some erased students."""
        return lambda text: self._is_erased(self.normal(text), stones)

    @property
    def erasing_rules(self) -> str:
        """Tells under which key and rules of identity tombstones were made."""
        privacy = self._privacy
        return self._keyed(f"erasing|{privacy.issuer}|{privacy.fold_case}", _RULES_DIGITS)

    def all_of(self, normals: pd.Series[Any], terms: pd.Series[Any] | None) -> pd.Series[Any]:
        """Pseudonyms of a column, missing for an empty id; each is worked out once.

        Args:
            normals: normal ids.
            terms: of each row; None where the terms of a student may be linked.
        """
        if terms is None:
            return per_distinct(normals, lambda normal: self.of(normal) if normal else None)
        return per_pair(
            normals, terms, lambda normal, term: self.of(normal, term or "") if normal else None
        )


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
    text = (
        _NOTICE + f"rules {pseudonyms.erasing_rules}\n" + "".join(f"{s}\n" for s in sorted(every))
    )
    with written_whole(folder / TOMBSTONE_FILE, for_owner=True) as fresh:
        fresh.write_text(text, encoding="utf-8", newline="\n")
    return every
