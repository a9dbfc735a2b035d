"""Published data on children seen four times: wheezing at ages 7, 8, 9 and 10.

Agresti, Categorical Data Analysis, 2nd ed., Table 11.9 (Ware and others, 1984): 537 children, also
`ohio` in R's geepack; counts from memory. Each child stands for a student with four answers.
"""

from __future__ import annotations

import numpy as np
import pandas as pd

NO_SMOKE = (237, 10, 15, 4, 16, 2, 7, 3, 24, 3, 3, 2, 6, 2, 5, 11)
SMOKE = (118, 6, 8, 2, 11, 1, 6, 4, 7, 3, 3, 1, 4, 2, 4, 7)
"""Children by pattern of four yes and no, in binary order, by the mother's smoking."""


def children() -> pd.DataFrame:
    """One row per child and age: student, question (0 to 3), shown (0 or 1)."""
    patterns = [p for counts in (NO_SMOKE, SMOKE) for p in np.repeat(np.arange(16), counts)]
    bits = (np.array(patterns)[:, None] >> np.array([3, 2, 1, 0])) & 1
    students = len(bits)
    return pd.DataFrame(
        {
            "pattern": "wheeze",
            "student": np.repeat(np.arange(students), 4),
            "question": np.tile(np.arange(4), students),
            "shown": bits.ravel().astype(float),
        }
    )
