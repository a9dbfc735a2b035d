"""Answers that a spreadsheet program has changed: 1/2 became 2-Jan, and what was typed is lost."""

from __future__ import annotations

import re
from typing import Any

import pandas as pd

from pipeline.ingest.distinct import per_distinct
from pipeline.tables import DATE_CELL, FORMATTED_CELL, FORMULA_CELL, NUMBER_CELL

_MONTH = "(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)"
_DATE = re.compile(
    rf"\d{{1,2}}[-.] ?{_MONTH}\.?(?:[- ]\d\d(?:\d\d)?)?|{_MONTH}[-.] ?\d\d(?:\d\d)?"
    r"|\d{1,2}/\d{1,2}/(?:19|20)\d\d|(?:19|20)\d\d-\d\d-\d\d(?:[T ]00:00(?::00)?)?",
    re.I,
)
_ERROR = re.compile(r"#(?:DIV/0!|N/A|NAME\?|NULL!|NUM!|REF!|VALUE!|SPILL!|CALC!|#+)", re.I)
_AGAIN = "export again with this column as text, or as CSV that no spreadsheet program has saved"
DATE_REASON = f"a spreadsheet program turned this answer into a date: {_AGAIN}"
ERROR_REASON = f"a spreadsheet program turned this answer into an error: {_AGAIN}"
FORMULA_REASON = f"a spreadsheet program took this answer for a formula: {_AGAIN}"
FORMATTED_REASON = (
    f"a spreadsheet program turned this answer into a number of another form: {_AGAIN}"
)
_MARKED = {FORMATTED_CELL: FORMATTED_REASON, DATE_CELL: DATE_REASON, FORMULA_CELL: FORMULA_REASON}


def damaged_texts(texts: pd.Series[Any]) -> pd.Series[Any]:
    """Why a text is not what was typed; missing where nothing is wrong with it.

    Args:
        texts: cells, with the marks of `pipeline.tables.rows` where they come from one.
    """
    return per_distinct(texts, _damage)


def _damage(text: str) -> str | None:
    if text[:1] in _MARKED:
        return _MARKED[text[0]]
    bare = text.removeprefix(NUMBER_CELL).strip()
    if _DATE.fullmatch(bare):
        return DATE_REASON
    return ERROR_REASON if _ERROR.fullmatch(bare) else None
