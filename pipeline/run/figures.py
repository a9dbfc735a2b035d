"""The figures of a course: worked out where what they rest on has changed, else left alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

import pandas as pd

from pipeline.fingerprints import fingerprint, source_texts
from pipeline.warehouse import Warehouse

_NOTES = "store.counted_from"
_PROGRAM = "program"
_FILLED = ("store.share", "store.shared_printed")
"""Stored tables that the figures themselves fill."""


def work_out_figures(
    warehouse: Warehouse,
    compute: Callable[[Callable[[str], pd.DataFrame]], dict[str, pd.DataFrame]],
) -> None:
    """Fill the schema `computed` and the shares.

    An export under another name, or with known or rejected rows alone, changes nothing that
    figures rest on: they stand in the database already.

    Args:
        warehouse: the database that is being built, its staging tables made.
        compute: works the figures out from tables that it asks for by name.
    """
    if _stand(warehouse):
        return
    read: dict[str, pd.DataFrame] = {}

    def asked(name: str) -> pd.DataFrame:
        if name not in read:
            read[name] = warehouse.frame(name)
        return read[name].copy(deep=False)

    tables = compute(asked)
    with warehouse.at_once():
        for name, frame in tables.items():
            warehouse.put(name, frame)
        notes = pd.DataFrame(_contents(warehouse, read), columns=["table", "content"])
        warehouse.put(_NOTES, notes)


def _stand(warehouse: Warehouse) -> bool:
    """Whether all that figures were last worked out from is as it was."""
    before = warehouse.frame(_NOTES)
    known = dict(zip(before["table"], before["content"], strict=True))
    names = [name for name in known if name != _PROGRAM]
    return bool(known) and known == dict(_contents(warehouse, names))


def _contents(warehouse: Warehouse, names: Iterable[str]) -> Iterator[tuple[str, str]]:
    """What was read, and what is stored beneath it.

    Staging tables count by their text: they hold sums, whose last digits differ from run to run.
    """
    beneath = _beneath(warehouse, names)
    texts = [warehouse.models[name].text for name in sorted(beneath)]
    texts += source_texts(*(f"pipeline/{name}" for name in ("statistics", "tagging", "patterns")))
    yield _PROGRAM, fingerprint(*texts)
    for name in sorted(beneath):
        stored = name.startswith("store.") and name not in _FILLED
        yield name, warehouse.content(name) if stored else ""


def _beneath(warehouse: Warehouse, names: Iterable[str]) -> set[str]:
    found: set[str] = set()
    waiting = list(names)
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting.extend(warehouse.models[name].needs)
    return found
