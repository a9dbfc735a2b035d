"""How much of a file is taken at most. What goes beyond is refused by name, never cut."""

from __future__ import annotations

__all__ = [
    "ARCHIVE_BYTES",
    "ARCHIVE_MEMBERS",
    "ARCHIVE_RATIO",
]

ARCHIVE_MEMBERS = 100_000
"""Members of an archive; a class's results may be a file a student and question."""

ARCHIVE_BYTES = 8 << 30
"""Bytes of all members of an archive together, unpacked."""

ARCHIVE_RATIO = 200
"""Unpacked bytes to a packed one, for an archive as a whole; tables of answers reach about 30."""
