"""Fingerprints: sixteen hex digits that tell texts, and the program's own files, from others."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable


def fingerprint(*texts: str) -> str:
    """Sixteen hex digits over some texts in their order."""
    return fingerprint_of_bytes("\0".join(texts).encode())


def fingerprint_of_bytes(content: bytes) -> str:
    """Sixteen hex digits over what a file holds."""
    return hashlib.sha256(content).hexdigest()[:16]


@cache
def source_texts(*folders: str) -> tuple[str, ...]:
    """Texts of the files of some folders of the program, such as `pipeline/exact`, by name."""
    return tuple(
        f"{name}\n{text}" for folder in folders for name, text in sorted(_sources(_found(folder)))
    )


def _found(folder: str) -> Traversable:
    package, *rest = folder.split("/")
    return files(package).joinpath(*rest)


def _sources(folder: Traversable, prefix: str = "") -> Iterator[tuple[str, str]]:
    for entry in folder.iterdir():
        name = f"{prefix}/{entry.name}"
        if entry.is_dir() and entry.name != "__pycache__":
            yield from _sources(entry, name)
        elif entry.is_file() and not entry.name.endswith((".pyc", ".md")):
            yield name, entry.read_text(encoding="utf-8")
