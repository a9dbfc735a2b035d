from __future__ import annotations

from collections.abc import Callable

import pandas as pd
import pytest

from pipeline.ingest.dates import NumericOrder, parse_times

SPRING = "2026-spring"


def one(text: str, order: str | None = None, zone: str = "UTC") -> str | None:
    found = parse_times(pd.Series([text], dtype=object), order, zone).iloc[0]
    return None if pd.isna(found) else found.isoformat()


@pytest.mark.parametrize(
    "text",
    ["", "soon", "2026", "2026-02-30", "2026-13-01", "20260203", "45000", "2/30/2026", "13/13/2026",
     "2026-02-03 25:00", "2/3/2026 13:05 PM", "2/3/2026 0:05 AM", "1026-02-03", "2/3", "10:30"],
)  # fmt: skip
def test_what_is_no_date_stays_out(text: str):
    assert one(text, "MDY") is None


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # ISO 8601 with offsets: RFC 3339 section 5.8 has the first and the third as examples.
        ("1990-12-31T15:59:50-08:00", "1990-12-31T23:59:50"),
        ("2026-02-03", "2026-02-03T00:00:00"),
        ("1996-12-19T16:39:57-08:00", "1996-12-20T00:39:57"),
        ("2026-02-03 10:05", "2026-02-03T10:05:00"),
        ("2026-02-03T10:05:07.25Z", "2026-02-03T10:05:07.250000"),
        ("2026-02-03 10:05:07 UTC", "2026-02-03T10:05:07"),
        ("2/13/2026", "2026-02-13T00:00:00"),
        ("2/3/26 1:05 PM", "2026-02-03T13:05:00"),
        ("12/31/2026 12:05 a.m.", "2026-12-31T00:05:00"),
        ("2026/2/3 13:05", "2026-02-03T13:05:00"),
        ("Feb 3, 2026 1:05 PM", "2026-02-03T13:05:00"),
        ("February 3, 2026 at 1:05 PM", "2026-02-03T13:05:00"),
        ("Tue, Feb 3, 2026 13:05", "2026-02-03T13:05:00"),
        ("3 Feb 2026", "2026-02-03T00:00:00"),
    ],
)
def test_a_time_is_read(text: str, expected: str):
    assert expected == one(text, "MDY")


@pytest.mark.parametrize(
    ("text", "expected"),
    [("1790000000", "2026-09-21T14:13:20"), ("1790000000000", "2026-09-21T14:13:20"),
     ("05-Nov-26", "2026-11-05T00:00:00"), ("2019123456", None)],
)  # fmt: skip
def test_seconds_since_1970_and_short_years_are_read(text: str, expected: str | None):
    """POSIX.1-2017, 4.16: seconds since the Epoch; 2,019,123,456 would lie beyond 2030."""
    assert one(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [("2026-09-17 kl. 09:36", "2026-09-17T09:36:00"), ("17. 9. 2026 17:33", "2026-09-17T17:33:00"),
     ("16.9.2026 klo 15.55", "2026-09-16T15:55:00"), ("13/11/2026 à 13h41", "2026-11-13T13:41:00"),
     ("2026. 09. 14. 10:13:00", "2026-09-14T10:13:00"),
     ("17/09/2026 04:41 p. m.", "2026-09-17T16:41:00"),
     ("22.10.2026 um 9:05 Uhr", "2026-10-22T09:05:00"),
     ("2026/09/15 02:59:57 PM GMT-5", "2026-09-15T19:59:57"),
     ("15 sept. 2026 à 11 h 08", "2026-09-15T11:08:00"),
     ("17. 9. soon 2026", None), ("3 / 4 / 5", None), ("2026/09/15 some words here 9:05", None)],
)  # fmt: skip
def test_times_as_people_write_them_are_read(text: str, expected: str | None):
    """Source of the forms: common practice of spreadsheets and forms in several languages."""
    assert one(text, "DMY") == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [("12. März 2026 14:05", "2026-03-12T14:05:00"), ("3 févr. 2026 à 9:05", "2026-02-03T09:05:00"),
     ("jueves, 12 de marzo de 2026", "2026-03-12T00:00:00"),
     ("12 мая 2026 г.", "2026-05-12T00:00:00"),
     ("12 Μαρτίου 2026", "2026-03-12T00:00:00"), ("2026. március 12.", "2026-03-12T00:00:00"),
     ("12. Mai 2026, 14:05 Uhr", "2026-05-12T14:05:00"), ("30. Februar 2026", None),
     ("12 Blumen 2026", None), ("12 x 26", None), ("12 listopada 2026", None)],
)  # fmt: skip
def test_months_of_other_languages_are_read(text: str, expected: str | None):
    """CLDR, months of calendars; listopad is November to Poles and October to Croats."""
    assert one(text) == expected


def test_other_months_tell_the_language_of_one_that_means_two():
    texts = pd.Series(["12 listopada 2026", "3 grudnia 2026", "4 stycznia 2026"], dtype=object)

    assert list(parse_times(texts, None, "UTC").dt.month) == [11, 12, 1]


def test_day_first_is_read_where_declared():
    assert one("3/2/2026", "DMY") == "2026-02-03T00:00:00"
    assert one("3/2/2026", None) is None


def test_clock_changes_of_the_zone_are_kept():
    """US clocks of 2026 change on March 8 and November 1 (15 U.S.C. 260a)."""
    zone = "America/Chicago"

    assert one("2026-03-07 12:00", zone=zone) == "2026-03-07T18:00:00"
    assert one("2026-03-08 12:00", zone=zone) == "2026-03-08T17:00:00"
    assert one("2026-03-08 02:30", zone=zone) == "2026-03-08T08:00:00"
    assert one("2026-11-01 01:30", zone=zone) == "2026-11-01T06:30:00"


def test_the_order_is_told_only_by_evidence():
    def order(*texts: str) -> str | None:
        seen = NumericOrder()
        seen.see(pd.Series(texts, dtype=object))
        return seen.order

    assert order("3/4/2026", "3/13/2026") == "MDY"
    assert order("3/4/2026", "13/3/2026") == "DMY"
    assert order("3/4/2026") is None
    assert order("3/13/2026", "13/3/2026") is None
    assert order("13/13/2026", "2026-03-13") is None


def export(*times: str) -> str:
    rows = [f"a{number},root-1,2,{time}" for number, time in enumerate(times)]
    return "\n".join(["student,item,answer,answered_at", *rows, ""])


def test_dates_that_do_not_tell_their_order_stop_the_file(load_of: Callable):
    loaded = load_of({"a.csv": export("2/3/2026", "3/2/2026")})

    assert "dates such as 2/3/2026 in column" in loaded.errors["exports/a.csv"]
    assert "do not tell day from month" in loaded.errors["exports/a.csv"]
    assert 'Say date_order = "MDY" or "DMY"' in loaded.errors["exports/a.csv"]
    assert loaded.responses.empty


def test_dates_in_both_orders_stop_the_file_and_are_called_so(load_of: Callable):
    loaded = load_of({"a.csv": export("2/18/2026", "25/2/2026")})

    assert "have day and month in both orders" in loaded.errors["exports/a.csv"]


def test_a_date_of_two_numbers_above_12_is_one_bad_row_and_no_bad_file(load_of: Callable):
    loaded = load_of({"a.csv": export("2026-02-03", "13/13/2026", "2026-02-04")})

    assert not loaded.errors
    assert len(loaded.responses) == 2
    assert loaded.rejected["value"].tolist() == ["13/13/2026"]


def test_the_terms_tell_the_order_where_the_dates_do_not(load_of: Callable):
    loaded = load_of({"a.csv": export("1/12/2026", "2/12/2026")})

    assert loaded.responses["answered_on"].dt.month.tolist() == [1, 2]


def test_weeks_come_from_the_calendar_and_days_from_the_courses_zone(load_of: Callable):
    loaded = load_of(
        {
            "a.csv": export(
                "2026-01-19T05:30:00Z", "2026-01-19T06:30:00Z", "2026-03-17", "2026-07-04", ""
            )
        }
    )
    weeks, terms = (
        loaded.responses[name].astype(object).where(loaded.responses[name].notna(), None).tolist()
        for name in ("answered_week", "term")
    )

    assert weeks == [1, 2, 9, None, None]
    assert terms == [SPRING, SPRING, SPRING, None, SPRING]
    assert "outside every term" in loaded.notes
    assert "1 (first in line 5)" in loaded.notes


def test_a_file_may_say_term_and_date_for_all_its_rows(load_of: Callable):
    settings = """
        [[terms]]
        id = "s"
        first_day = 2026-01-12
        weeks = 15
        [[terms]]
        id = "f"
        first_day = 2026-08-24
        weeks = 15
        [[exports]]
        files = ["*"]
        term = "f"
        date = 2026-09-01
    """
    loaded = load_of({"a.csv": "student,item,answer\na,root-1,2\n"}, settings=settings)
    row = loaded.responses.iloc[0]

    assert (row["term"], row["answered_week"], row["term_given"]) == ("f", 2, "f")


def test_terms_are_worked_out_from_the_answers(load_of: Callable):
    loaded = load_of({"a.csv": export("2026-01-14", "2026-05-31", "2026-09-01")}, settings="")

    assert loaded.responses["term"].tolist() == ["Spring 2026", "Spring 2026", "Fall 2026"]
    assert loaded.responses["answered_week"].tolist() == [1, 20, 1]


def test_answers_without_any_date_make_one_term(load_of: Callable):
    loaded = load_of({"a.csv": "student,item,answer\na,root-1,2\n"}, settings="")

    assert loaded.responses["term"].tolist() == ["all answers"]
    assert loaded.responses["answered_week"].isna().all()


def test_named_terms_are_kept_where_none_is_declared(load_of: Callable):
    text = (
        "student,item,answer,term,answered_at\na,root-1,2,T1,2026-02-04\nb,root-1,2,T1,2026-02-11\n"
    )
    loaded = load_of({"a.csv": text}, settings="")

    assert loaded.responses["term"].tolist() == ["T1", "T1"]
    assert loaded.responses["answered_week"].tolist() == [1, 2]


@pytest.mark.parametrize(
    "texts",
    [
        ["2026-02-03 10:05", "", "2026-11-01 01:30"],
        ["2026-02-03T10:05:07", "2026-03-08T02:30:00"],
        ["2026-02-03", "2026-02-28"],
        ["2026-02-03", "2026-02-30", "2026-2-3", "soon"],
        ["2026-02-03", "2026-02-03 10:05", "2/13/2026"],
        ["", ""],
    ],
)
def test_a_column_is_read_as_its_cells_are(texts: list[str]):
    zone = "America/Chicago"
    column = parse_times(pd.Series(texts, dtype=object), "MDY", zone)

    assert [None if pd.isna(time) else time.isoformat() for time in column] == [
        one(text, "MDY", zone) for text in texts
    ]


@pytest.mark.parametrize(
    "texts",
    [
        ["2026-02-03T10:05:00Z", "2026-12-31 23:59:59Z", ""],
        ["2026-02-03T10:05Z", "1970-01-01T00:00Z", "2026-02-30T10:05Z"],
        ["2026-02-03T10:05Z", "2026-2-03T10:05:0Z"],
        ["2026-02-03Z", "2026-02-04Z"],
        ["2026-02-03T10:05:00Z", "2026-02-03T10:05:00ZZ"],
        ["2026-02-03T10:05:00", "2026-02-03T10:05:00Z"],
    ],
)
def test_a_column_of_one_form_is_read_as_its_times_are_one_by_one(texts: list[str]):
    zone = "America/Chicago"
    together = parse_times(pd.Series(texts, dtype=object), None, zone)
    mixed = [parse_times(pd.Series([text, "Feb 3, 2026"]), None, zone)[0] for text in texts]

    assert [str(time) for time in together] == [str(time) for time in mixed]
