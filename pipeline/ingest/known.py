"""What is stored already, so that every later row can be told new, known or in conflict."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import InitVar, dataclass, field
from datetime import date
from tempfile import TemporaryFile

import numpy as np
import numpy.typing as npt
import pandas as pd

_Keys = npt.NDArray[np.int64]
_MARKS = 1 << 25
_IN_MEMORY = 1 << 21
"""Keys of a run, of eight bytes each, from which on it lies on the disk."""


class _OnDisk:
    """A sorted run of keys in a file without a name, which goes with the process."""

    def __init__(self, run: _Keys) -> None:
        self._file = TemporaryFile()  # noqa: SIM115 - open as long as the run is asked
        run.tofile(self._file)

    def read(self) -> _Keys:
        self._file.seek(0)
        return np.fromfile(self._file, dtype=np.int64)

    def __del__(self) -> None:
        self._file.close()


class _SortedKeys:
    """A growing set of keys as a few sorted runs, each at least twice as long as the next.

    A Python set of ten million keys takes ten times the memory; one sorted array would be copied
    for every batch. A mark at the lower bits of each key tells most new ones without a search.
    Long runs lie on the disk, so that memory does not grow with what is loaded.
    """

    def __init__(self, keys: _Keys) -> None:
        self._runs: list[_Keys | _OnDisk] = []
        self._marked = np.zeros(_MARKS, dtype=bool)
        self.add(np.asarray(keys, dtype=np.int64))
        self.keep()

    def held_before(self, keys: _Keys) -> npt.NDArray[np.bool_]:
        return self.hold(keys, self._kept)

    def hold(
        self, keys: _Keys, runs: Sequence[_Keys | _OnDisk] | None = None
    ) -> npt.NDArray[np.bool_]:
        found = np.zeros(len(keys), dtype=bool)
        perhaps = np.flatnonzero(self._marked[keys % _MARKS])
        # In their order, the keys meet each run from its begin to its end, not here and there.
        perhaps = perhaps[np.argsort(keys[perhaps])]
        for run in (self._runs if runs is None else runs) if len(perhaps) else ():
            ordered = run.read() if isinstance(run, _OnDisk) else run
            found[perhaps] |= _within(ordered, keys[perhaps])
        return found

    def add(self, keys: _Keys) -> None:
        self._marked[keys % _MARKS] = True  # marks stay when keys are taken back; a search tells
        last = np.sort(keys)
        while self._runs and isinstance(before := self._runs[-1], np.ndarray):
            if len(before) >= 2 * len(last):
                break
            # Two sorted runs: a stable sort merges them in one pass.
            self._runs.pop()
            last = np.concatenate([before, last])
            last.sort(kind="stable")
        self._runs.append(_OnDisk(last) if len(last) >= _IN_MEMORY else last)

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
        matching: stored answers of the students and questions of some rows.
    """

    keys: InitVar[_Keys]
    slots: InitVar[_Keys]
    erased: frozenset[str] = frozenset()
    students: frozenset[str] = frozenset()
    met: set[str] = field(default_factory=set, repr=False)
    files: Mapping[str, str] = field(default_factory=dict)
    first_answers: Mapping[str, tuple[date, date]] = field(default_factory=dict)
    addresses: Mapping[str, str] = field(default_factory=dict)
    matching: Callable[[pd.DataFrame], pd.DataFrame] | None = field(default=None, repr=False)

    def __post_init__(self, keys: _Keys, slots: _Keys) -> None:
        self._keys = _SortedKeys(keys)
        self._slots = _SortedKeys(slots)
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
