"""What is stored already, so that every later row can be told new, known or in conflict."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

import numpy as np
import numpy.typing as npt

__all__ = ["KnownResponses"]

_Keys = npt.NDArray[np.int64]
_MARKS = 1 << 25


class _SortedKeys:
    """A growing set of keys as a few sorted runs, each at least twice as long as the next.

    A Python set of ten million keys takes ten times the memory; one sorted array would be copied
    for every batch. A mark at the lower bits of each key tells most new ones without a search.
    """

    def __init__(self, keys: _Keys) -> None:
        first = np.unique(np.asarray(keys, dtype=np.int64))
        self._runs = [first]
        self._kept = list(self._runs)
        self._marked = np.zeros(_MARKS, dtype=bool)
        self._marked[first % _MARKS] = True

    def held_before(self, keys: _Keys) -> npt.NDArray[np.bool_]:
        return self.hold(keys, self._kept)

    def hold(self, keys: _Keys, runs: list[_Keys] | None = None) -> npt.NDArray[np.bool_]:
        found = np.zeros(len(keys), dtype=bool)
        perhaps = np.flatnonzero(self._marked[keys % _MARKS])
        # In their order, the keys meet each run from its begin to its end, not here and there.
        perhaps = perhaps[np.argsort(keys[perhaps])]
        for run in self._runs if runs is None else runs:
            found[perhaps] |= _within(run, keys[perhaps])
        return found

    def add(self, keys: _Keys) -> None:
        self._marked[keys % _MARKS] = True  # marks stay when keys are taken back; a search tells
        self._runs.append(np.sort(keys))
        while len(self._runs) > 1 and len(self._runs[-2]) < 2 * len(self._runs[-1]):
            last = self._runs.pop()
            # Two sorted runs: a stable sort merges them in one pass.
            merged = np.concatenate([self._runs[-1], last])
            merged.sort(kind="stable")
            self._runs[-1] = merged

    def keep(self) -> None:
        self._kept = list(self._runs)

    def roll_back(self) -> None:
        self._runs = list(self._kept)


def _within(ordered: _Keys, keys: _Keys) -> npt.NDArray[np.bool_]:
    if not len(ordered):
        return np.zeros(len(keys), dtype=bool)
    places = np.searchsorted(ordered, keys).clip(max=len(ordered) - 1)
    found: npt.NDArray[np.bool_] = ordered[places] == keys
    return found


@dataclass
class KnownResponses:
    """What the database that is being built holds; grows while files are loaded.

    Args:
        keys: `response` of every stored response.
        slots: `slot` of every stored response.
        erased: tombstones of students whose rows must not come back.
        students: pseudonyms that are stored.
        met: ids that files of this load brought, as `bare` gives them; in memory alone.
        files: file -> sha256 of every file loaded.
        first_answers: term -> first and last local date, for courses that declare no terms.
        addresses: question -> the address by whose end exports told it.
    """

    keys: _Keys
    slots: _Keys
    erased: frozenset[str] = frozenset()
    students: frozenset[str] = frozenset()
    met: set[str] = field(default_factory=set, repr=False)
    files: Mapping[str, str] = field(default_factory=dict)
    first_answers: Mapping[str, tuple[date, date]] = field(default_factory=dict)
    addresses: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._keys = _SortedKeys(self.keys)
        self._slots = _SortedKeys(self.slots)
        self.files = dict(self.files)

    @classmethod
    def empty(cls) -> KnownResponses:
        """Nothing is stored."""
        return cls(np.empty(0, dtype=np.int64), np.empty(0, dtype=np.int64))

    def holds(self, keys: _Keys) -> npt.NDArray[np.bool_]:
        """Which of these responses are stored."""
        return self._keys.hold(keys)

    def held_before(self, keys: _Keys) -> npt.NDArray[np.bool_]:
        """Which of these responses were stored before the file that is being loaded."""
        return self._keys.held_before(keys)

    def fills(self, slots: _Keys) -> npt.NDArray[np.bool_]:
        """Which of these slots hold a response."""
        return self._slots.hold(slots)

    def add(self, keys: _Keys, slots: _Keys) -> None:
        """Remember responses that were just handed over."""
        self._keys.add(keys)
        self._slots.add(slots)

    def add_file(self, name: str, sha256: str) -> None:
        """Remember a file that was loaded whole, and keep what was added for it."""
        self.files = {**self.files, name: sha256}
        self._keys.keep()
        self._slots.keep()

    def roll_back(self) -> None:
        """Forget what was added since the last whole file."""
        self._keys.roll_back()
        self._slots.roll_back()

    def first_name(self, sha256: str) -> str | None:
        """Name under which the same bytes were loaded before."""
        return next((name for name, digest in self.files.items() if digest == sha256), None)
