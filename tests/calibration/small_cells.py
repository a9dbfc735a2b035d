"""How often two gaps in every row and column protect small cells, and how often our choice does.

python -m tests.calibration.small_cells
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pipeline.statistics.disclosure import audit, protect, ranges, two_way

LIMIT = 5
TABLES = 300


def random_table(generator: np.random.Generator) -> NDArray[np.int64]:
    small = generator.integers(1, LIMIT, (6, 6))
    large = generator.integers(LIMIT, 40, (6, 6))
    table: NDArray[np.int64] = np.where(generator.random((6, 6)) < 0.2, small, large)
    return table


def rule_of_two(table: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Hide the smallest further cell until each row and column with a gap has two."""
    hidden = table < LIMIT
    while True:
        lone = [
            (axis, at)
            for axis in (0, 1)
            for at in range(6)
            if np.take(hidden, at, axis=axis).sum() == 1
        ]
        if not lone:
            return hidden
        axis, at = lone[0]
        line = np.where(np.take(hidden, at, axis=axis), 999, np.take(table, at, axis=axis))
        place = int(line.argmin())
        hidden[(at, place) if axis == 0 else (place, at)] = True


def main() -> None:
    generator = np.random.default_rng(4)
    exact = narrow = ours = tables = 0
    for _ in range(TABLES):
        table = random_table(generator)
        linked = two_way(table, LIMIT)
        if not linked.targets:
            continue
        tables += 1
        hidden = np.zeros(linked.size, dtype=bool)
        hidden[:36] = rule_of_two(table).ravel()
        low, high = ranges(linked, hidden, [target.row for target in linked.targets])
        exact += bool((high - low < 0.5).any())
        narrow += bool((high - low < LIMIT - 0.5).any())
        chosen = protect(linked)
        ours += chosen is not None and audit(linked, chosen, whole=True).passed
    print(f"{tables} tables of 6 x 6, limit {LIMIT}")
    print(f"two gaps a line: a small cell known exactly in {exact / tables:.1%}")
    print(f"two gaps a line: a range narrower than {LIMIT} in {narrow / tables:.1%}")
    print(f"integer program: audit passed in {ours / tables:.1%}")


if __name__ == "__main__":
    main()
