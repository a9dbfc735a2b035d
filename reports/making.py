"""The files of an edition, and what each was made from.

A table beside the edition, which is never passed on, holds file -> fingerprint of what it was made
from, and of what is in it. What would be made from the same is taken over from the edition that
stands, if its file is as it was written.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import Any

from pipeline.fingerprints import fingerprint, fingerprint_of_bytes, source_texts

_LIBRARIES = ("altair", "jinja2", "pandas", "python-docx", "vl-convert-python", "xlsxwriter")
"""Libraries whose next version may write another file from the same."""


@dataclass
class Making:
    """An edition in the making.

    Args:
        folder: where its files go.
        before: the edition that stands, if there is one.
        table: the table of the edition that stands, later of this one.
        inputs: fingerprint of all that this edition is made from.
        files: file -> fingerprints of what it was made from and of what is in it.
    """

    folder: Path
    before: Path
    table: Path
    inputs: str
    files: dict[str, list[str]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._told = _told(self.table)

    @property
    def stands(self) -> bool:
        """Whether the edition that stands was made from just this, and is as it was written."""
        made = self._told["files"]
        if self._told["inputs"] != self.inputs or any(
            self._as_before(name, inputs) is None for name, (inputs, _) in made.items()
        ):
            return False
        self.files = made
        return True

    def write(self, name: str, make: Callable[[], bytes], inputs: str = "") -> bytes:
        """Write one file.

        Args:
            name: its path in the edition.
            make: makes what is in it.
            inputs: fingerprint of all that `make` rests on; without one it is made anew.

        Returns:
            What is in it.
        """
        content = self._as_before(name, inputs) if inputs else None
        content = make() if content is None else content
        path = self.folder / name
        path.write_bytes(content)
        self.files[name] = [inputs, fingerprint_of_bytes(content)]
        return content

    def keep_table(self) -> None:
        """Write the table, once the edition is in place; only its owner may read it."""
        self.table.touch(mode=0o600)
        self.table.write_text(json.dumps({"inputs": self.inputs, "files": self.files}), "utf-8")

    def _as_before(self, name: str, inputs: str) -> bytes | None:
        made = self._told["files"].get(name)
        if made is None or made[0] != inputs:
            return None
        try:
            content = (self.before / name).read_bytes()
        except OSError:
            return None
        return content if fingerprint_of_bytes(content) == made[1] else None


def _told(table: Path) -> dict[str, Any]:
    try:
        found: dict[str, Any] = json.loads(table.read_text("utf-8"))
    except (OSError, ValueError):
        return {"inputs": None, "files": {}}
    return found


def drawn_from(*inputs: str) -> str:
    """Fingerprint of some texts, and of the program that draws, its libraries included."""
    return fingerprint(_program(), *inputs)


@cache
def _program() -> str:
    sources = source_texts("reports", "pipeline/exact", "pipeline/reading")
    return fingerprint(*map(version, _LIBRARIES), *sources)
