"""Times of answers: ISO 8601 as it stands, day and month told apart only on evidence."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
import pandas as pd

from pipeline.ingest.month_names import with_month_numbers

DateOrder = Literal["MDY", "DMY", "YMD"]
_ISO = (
    r"\d{4}-\d\d-\d\d(?:[T ]\d\d:\d\d(?::\d\d(?:[.,]\d{1,9})?)?"
    r"(?P<offset> ?(?:Z|UTC|GMT|[+-]\d\d(?::?\d\d)?))?)?"
)
_CLOCK = (
    r"(?:[,T ]+(\d{1,2})[:.h](\d\d)(?:[:.](\d\d)(?:\.\d+)?)?\s*([AaPp])?\.?(?:[Mm]\.?)?"
    r"(?:Uhr|hod\.?|h|klo)?)?"
)
_NUMERIC = rf"(\d{{1,2}})[/.\-](\d{{1,2}})[/.\-](\d{{4}}|\d\d){_CLOCK}"
# No language writes the month first and parts days, or hours, by dots. Source: CLDR, by a test.
_DOTTED = r"^\d{1,2}\.\d{1,2}\.\d|\d[,T ]+\d{1,2}\.\d\d(?!\d)"
_WITHIN = re.compile(r"(?<![\d/.-])\d{1,2}([/.-])\d{1,2}\1(?:20)?\d\d(?![\d/])")
_YEAR_FIRST = rf"(\d{{4}})[/.\-](\d{{1,2}})[/.\-](\d{{1,2}}){_CLOCK}"
EPOCH = r"1[4-8]\d{8}(?:\d{3})?"
"""Seconds or milliseconds since 1970 of the years 2014 to 2030."""
COMPACT = (
    r"(20\d\d)(0[1-9]|1[0-2])(0[1-9]|[12]\d|3[01])"
    r"T?([01]\d|2[0-3])([0-5]\d)([0-5]\d)?(Z|[+-]\d\d(?::?\d\d)?)?"
)
"""Day and time in the basic form of ISO 8601, its T left out or not, such as 20260203T140512."""
BASIC_DAY = r"(20\d\d)(0[1-9]|1[0-2])(0[1-9]|[12]\d|3[01])"
"""A day in the basic form of ISO 8601, which a number or an id may look like as well."""
_SPOKEN = re.compile(
    r"(?P<date>\d{1,4}(?P<sep>[/.-]) ?\d{1,2}(?P=sep) ?\d{1,4}|"
    r"\d{1,2} \d{1,2} 20\d\d|\d{1,2}\.? (?:de )?[^\W\d_]{3,12}\.? (?:de )?\d{4})\.?"
    r"(?:[, T]+(?:[^\W\d_]{1,5}\.? ){0,2}(?P<hour>\d{1,2}) ?[:.h] ?(?P<minute>\d\d)"
    r"(?:[:.](?P<second>\d\d))?(?: ?(?P<half>[ap])\.? ?m\.?)?"
    r"(?: ?(?:Uhr|hod\.?|hrs?|h|klo))?(?: ?(?:GMT|UTC)(?P<zone>[+-]\d{1,2})(?::00)?)?)?",
    re.IGNORECASE,
)
"""Blanks within a date, a word before the hour, `10 h 03`, `a. m.`, `GMT-5`, in any language."""
_EARLIEST, _LATEST = pd.Timestamp("1990-01-01"), pd.Timestamp("2100-01-01")


@dataclass(slots=True)
class NumericOrder:
    """Evidence for the order of day and month in the numeric dates of one column."""

    month_first: int = 0
    day_first: int = 0
    numeric: int = 0

    def see(self, texts: pd.Series[Any]) -> None:
        """Count dates whose first or second number can be no month, or whose dots say it."""
        tidied = _tidied(texts)
        dotted = texts.str.contains(_DOTTED) | tidied.str.contains(_DOTTED)
        parts = tidied.str.extract(f"^{_NUMERIC}$")[[0, 1]].dropna().astype("int64")
        self.numeric += int((parts[[0, 1]].min(axis=1) <= 12).sum())
        self.month_first += int(((parts[1] > 12) & (parts[0] <= 12)).sum())
        first = (parts[0] > 12) | dotted[parts.index]
        self.day_first += int((first & (parts[1] <= 12)).sum())

    def see_title(self, text: str) -> None:
        """Count the dates of a line above the column names, which one program wrote with them."""
        found = pd.Series([one[0] for one in _WITHIN.finditer(text)], dtype="str")
        numeric = self.numeric
        self.see(found)
        self.numeric = numeric

    @property
    def order(self) -> DateOrder | None:
        """The one order that the evidence leaves; None when there is none, or for both."""
        if bool(self.month_first) == bool(self.day_first):
            return None
        return "MDY" if self.month_first else "DMY"


def parse_times(texts: pd.Series[Any], order: DateOrder | None, zone: str) -> pd.Series[Any]:
    """Read times.

    Args:
        texts: trimmed, "" where there is none.
        order: of day and month where a date is all numbers and does not begin with the year.
        zone: of times that name no offset. One that an autumn clock change makes double counts as
            the earlier; one that spring left out counts as the first that exists.

    Returns:
        UTC without zone, datetime64[us]; missing where there was none or it cannot be read.
    """
    utc, plain = _all_utc(texts), _all_alike(texts)
    if utc is None and plain is None:
        texts = _tidied(texts)
        utc, plain = _all_utc(texts), _all_alike(texts)
    if utc is not None:
        return utc.where((utc >= _EARLIEST) & (utc < _LATEST))
    local = _empty(texts) if plain is None else plain
    result = _empty(texts)
    if plain is None:
        _parse_each(texts, order, local, result)
    local = local.where((local >= _EARLIEST) & (local < _LATEST))
    first = np.ones(int(local.notna().sum()), dtype=bool)
    named = local.dropna().dt.tz_localize(zone, ambiguous=first, nonexistent="shift_forward")
    result.loc[named.index] = _utc(named)
    return result.where((result >= _EARLIEST) & (result < _LATEST))


def _tidied(texts: pd.Series[Any]) -> pd.Series[Any]:
    """Times as a program would write them; what is none of the form stays as it is."""
    told = {
        text: _as_written(found)
        for text in texts.drop_duplicates()
        if isinstance(text, str) and (found := _SPOKEN.fullmatch(text))
    }
    # `Series.replace` compares each of many texts with all rows.
    return pd.Series([told.get(text, text) for text in texts], texts.index, dtype=texts.dtype)


def _as_written(found: re.Match[str]) -> str:
    day = found["date"].replace(" ", "") if found["sep"] else found["date"]
    day = re.sub(r"(?<=\d) (?=\d)", "/", day)
    if found["hour"] is None:
        return day
    clock = f"{int(found['hour']):02}:{found['minute']}"
    clock += f":{found['second']}" if found["second"] else ""
    if found["zone"] and re.match(r"\d{4}", day):
        hour = int(found["hour"]) % 12 + 12 * (found["half"] in "pP") if found["half"] else None
        clock = clock if hour is None else f"{hour:02}{clock[2:]}"
        year, month, date = re.split(r"\D", day)
        return f"{year}-{month:0>2}-{date:0>2} {clock}{found['zone'][0]}{found['zone'][1:]:0>2}"
    return f"{day} {clock}" + (f" {found['half'].upper()}M" if found["half"] else "")


def _empty(texts: pd.Series[Any]) -> pd.Series[Any]:
    return pd.Series(pd.NaT, index=texts.index, dtype="datetime64[us]")


def _all_alike(texts: pd.Series[Any]) -> pd.Series[Any] | None:
    """Local times of a column that is written in one plain ISO form throughout; else None."""
    there = texts != ""
    sample = texts[there].iloc[0] if there.any() else ""
    found = re.fullmatch(r"\d{4}-\d\d-\d\d(?:([T ])\d\d:\d\d(:\d\d)?)?", sample)
    if not found:
        return None
    clock = f"{found[1]}%H:%M{':%S' if found[2] else ''}" if found[1] else ""
    times = pd.to_datetime(texts.where(there), format=f"%Y-%m-%d{clock}", errors="coerce")
    if (times.isna() == there).any():
        return None
    return times.astype("datetime64[us]")


def _all_utc(texts: pd.Series[Any]) -> pd.Series[Any] | None:
    """Times of a column that is written in one plain ISO form with a Z throughout; else None."""
    bare = texts.str.removesuffix("Z")
    sizes = set(bare[texts != ""].str.len())
    clocked = len(sizes) == 1 and sizes <= {16, 19}  # a date alone takes no Z
    ended = texts.str.endswith("Z") | (texts == "")
    return _all_alike(bare) if clocked and ended.all() else None


def _parse_each(
    texts: pd.Series[Any], order: DateOrder | None, local: pd.Series[Any], result: pd.Series[Any]
) -> None:
    """Fill in local times of texts without offset, and UTC of those with one."""
    texts = texts.str.replace(f"^{COMPACT}$", _extended, regex=True)
    parts = texts.str.extract(f"^(?P<whole>{_ISO})$")
    iso, offset = parts["whole"].notna(), parts["offset"]
    if (there := iso & offset.notna()).any():
        clean = texts[there].str.replace(r" ?(?:UTC|GMT)$", "Z", regex=True)
        clean = clean.str.replace(",", ".").str.replace(r" (?=[Z+-])", "", regex=True)
        result[there] = _utc(pd.to_datetime(clean, format="ISO8601", utc=True, errors="coerce"))
    if (there := iso & offset.isna()).any():
        clean = texts[there].str.replace(",", ".")
        local[there] = pd.to_datetime(clean, format="ISO8601", errors="coerce")
    epoch = texts.str.fullmatch(EPOCH)
    if epoch.any():
        seconds = pd.to_timedelta(texts[epoch].str[:10].astype("int64"), unit="s")
        result[epoch] = pd.Timestamp(0) + seconds
    rest = texts[~iso & ~epoch & (texts != "")]
    if len(rest):
        local.loc[rest.index] = _other_forms(rest, order)


def _extended(found: re.Match[str]) -> str:
    """The extended form of ISO 8601 of a compact time."""
    year, month, day, hour, minute, second, offset = found.groups()
    return f"{year}-{month}-{day}T{hour}:{minute}:{second or '00'}{offset or ''}"


def extended_days(texts: pd.Series[Any]) -> pd.Series[Any]:
    """Days such as 20260203 in the extended form: in a column of times they are no numbers."""
    return texts.str.replace(f"^{BASIC_DAY}$", r"\1-\2-\3", regex=True)


def local_days(times: pd.Series[Any], zone: str) -> pd.Series[Any]:
    """Calendar days, in a zone, of UTC times."""
    local = times.dt.tz_localize("UTC").dt.tz_convert(zone).dt.tz_localize(None)
    days: pd.Series[Any] = local.dt.normalize().astype("datetime64[us]")
    return days


def _utc(times: pd.Series[Any]) -> pd.Series[Any]:
    naive: pd.Series[Any] = times.dt.tz_convert("UTC").dt.tz_localize(None)
    return naive.astype("datetime64[us]")


def _other_forms(texts: pd.Series[Any], order: DateOrder | None) -> pd.Series[Any]:
    found = _assembled(texts, _YEAR_FIRST, (0, 1, 2))
    if order in ("MDY", "DMY"):
        places = (2, 0, 1) if order == "MDY" else (2, 1, 0)
        found = found.fillna(_assembled(texts, _NUMERIC, places))
    left = texts[found.isna()]
    numbers = with_month_numbers(left.unique())
    return found.fillna(
        _assembled(left.map(numbers).dropna().astype("str"), _YEAR_FIRST, (0, 1, 2))
    )


def _assembled(texts: pd.Series[Any], form: str, places: Iterable[int]) -> pd.Series[Any]:
    """Times from the numbers that a form finds; `places` of year, month and day in it."""
    parts = texts.str.extract(f"^{form}$").dropna(subset=[0])
    if not len(parts):
        return _empty(texts)
    year, month, day = (pd.to_numeric(parts[place]) for place in places)
    year = year.where((year >= 100) | year.isna(), year + 2000)
    hour = pd.to_numeric(parts[3]).fillna(0)
    half = parts[6].str.lower()
    bad_hour = half.notna() & ((hour < 1) | (hour > 12))
    hour = (hour % 12).where(half.notna(), hour) + 12 * (half == "p")
    known = pd.DataFrame(
        {
            "year": year,
            "month": month,
            "day": day,
            "hour": hour,
            "minute": pd.to_numeric(parts[4]).fillna(0),
            "second": pd.to_numeric(parts[5]).fillna(0),
        }
    )[year.notna() & ~bad_hour]
    known = known[(known["hour"] < 24) & (known["minute"] < 60) & (known["second"] < 60)]
    times = pd.to_datetime(known, errors="coerce").astype("datetime64[us]")
    return times.reindex(texts.index)
