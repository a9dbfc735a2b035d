"""read = stored + duplicates + rejected, whatever the files hold and however often they load."""

from __future__ import annotations

import csv
import hashlib
import io
import tempfile
from collections.abc import Callable, Iterable
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from pipeline.errors import InternalError
from pipeline.ingest import KnownResponses, load_exports, settle_terms
from pipeline.ingest.answer_keys import _mixed, answer_keys

HEADER = ["student", "item", "answer", "answered_at", "attempt", "count"]
cells = st.one_of(
    st.sampled_from(["", "2", "-2, 2", "2-Jan", " ", "x\ny", 'say "2"', "±√3", "1/2"]),
    st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=6),
)
rows = st.tuples(
    st.sampled_from(["", "ann", "Ann ", "bob", "cy"]),
    st.sampled_from(["", "root-1", "quad-1", "graph-1", "bonus"]),
    cells,
    st.sampled_from(["", "2026-02-03", "2026-02-03 10:00", "2027-01-01", "soon"]),
    st.sampled_from(["", "", "1", "2", "zero"]),
    st.sampled_from(["", "", "", "7"]),
)
tables = st.lists(st.one_of(rows, rows, rows, st.lists(cells, min_size=1, max_size=8)), max_size=18)


def as_csv(table: Iterable[Iterable[str]]) -> bytes:
    stream = io.StringIO(newline="")
    csv.writer(stream).writerows([HEADER, *table])
    return stream.getvalue().encode()


def totals(loaded) -> tuple[int, int, int, int]:
    names = ["rows_read", "stored", "duplicates", "rejected"]
    return tuple(int(loaded.sources[name].sum()) for name in names)


@pytest.mark.thorough
@settings(
    max_examples=25,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@example(first=[], second=[["MAX"]])  # a word of totals alone is a broken row of a long file
@given(first=tables, second=tables)
def test_every_row_ends_in_one_place_and_a_second_load_adds_nothing(
    build_course: Callable, load_course: Callable, first: list, second: list
):
    with tempfile.TemporaryDirectory() as place:
        exports = {"a.csv": as_csv(first), "b.csv": as_csv(second)}
        course = build_course(Path(place) / "c", exports)
        known = KnownResponses.empty()
        loaded = load_course(course, known)
        read, stored, duplicates, rejected = totals(loaded)

        assert not loaded.errors
        assert read == stored + duplicates + rejected
        filled = [row for row in (*first, *second) if any(row)]
        assert read == len(filled)
        assert loaded.responses["response"].is_unique
        places = pd.concat(
            [frame[["file", "line"]] for frame in (loaded.responses, loaded.duplicates,
                                                   loaded.rejected) if len(frame)]
            or [pd.DataFrame({"file": [], "line": []})]
        )  # fmt: skip
        assert not places.duplicated().any()

        # Same files: nothing to do. Other names, other order, grown by nothing: only duplicates.
        assert load_course(course, known).sources.empty
        folder = course.folder / "exports"
        (folder / "a.csv").rename(folder / "c.csv")
        (folder / "b.csv").write_bytes((folder / "b.csv").read_bytes() + b"\r\n")
        again = load_course(course, known)
        assert again.responses.empty
        assert totals(again)[1:3] == (0, stored + duplicates)
        assert totals(again)[3] == rejected


def test_a_grown_export_adds_its_new_rows_alone(course_of: Callable, load_course: Callable):
    text = "student,item,answer,answered_at\nann,root-1,2,2026-02-03 10:00\n"
    course = course_of({"a.csv": text})
    known = KnownResponses.empty()
    load_course(course, known)
    grown = text + "ann,root-1,-2,2026-02-03 10:05\nbob,root-1,2,2026-02-03 10:00\n"
    (course.folder / "exports" / "a.csv").write_text(grown)
    loaded = load_course(course, known)

    assert loaded.responses["line"].tolist() == [3, 4]
    assert loaded.duplicates["line"].tolist() == [2]


def test_the_same_export_under_another_name_is_read_by_its_first_map(
    course_of: Callable, load_course: Callable
):
    settings_text = """
        [[exports]]
        files = ["week5.csv"]
        quiz = "Special"
        columns = { student = "Login", item = "Exercise", answer = "Typed" }
    """
    text = "Login,Exercise,Typed\nann,root-1,2\n"
    course = course_of({"week5.csv": text}, settings=settings_text)
    known = KnownResponses.empty()
    first = load_course(course, known)
    (course.folder / "exports" / "copy.csv").write_text(text)
    second = load_course(course, known)

    assert len(first.responses) == 1
    assert not second.errors
    assert second.duplicates["response"].tolist() == first.responses["response"].tolist()


def test_known_keys_may_come_from_a_database(course_of: Callable, load_course: Callable):
    course = course_of({"a.csv": "student,item,answer,attempt\nann,root-1,2,1\nann,quad-1,2,1\n"})
    stored = load_course(course).responses
    known = KnownResponses(
        stored["response"].to_numpy()[:1], stored["slot"].to_numpy()[:1],
        first_answers={"Spring 2026": (date(2026, 1, 5), date(2026, 1, 9))},
    )  # fmt: skip
    (course.folder / "exports" / "b.csv").write_text(
        "student,item,answer,attempt\nann,root-1,-2,1\n"
    )
    loaded = load_course(course, known)

    assert len(loaded.duplicates) == 1
    assert len(loaded.responses) == 1
    assert "another answer" in loaded.rejected["reason"][0]


@pytest.mark.parametrize("column", ["attempt", "answered_at", "neither"])
def test_what_makes_two_answers_one(load_of: Callable, column: str):
    """Attempt where there is one, else the time, else the answer itself."""
    values = {"attempt": ("1", "1", "2"), "answered_at": ("2026-02-03", "2026-02-03", "2026-02-04")}
    pairs = values.get(column, ("", "", ""))
    name = column if column in values else "work"
    text = f"student,item,answer,{name}\n" + "".join(f"ann,root-1,2,{one}\n" for one in pairs)
    loaded = load_of({"a.csv": text})

    stored = 1 if column == "neither" else 2
    assert (len(loaded.responses), len(loaded.duplicates)) == (stored, 3 - stored)


def test_a_student_who_takes_the_course_again_fills_new_slots(load_of: Callable):
    text = (
        "student,item,answer,attempt,answered_at\n"
        "ann,root-1,2,1,2026-02-03\nann,root-1,-2,1,2026-09-03\n"
    )
    loaded = load_of({"a.csv": text})

    assert len(loaded.responses) == 2
    assert loaded.rejected.empty


def test_the_same_question_in_two_quizzes_is_two_answers(load_of: Callable):
    text = "student,item,answer,attempt,quiz\nann,root-1,2,1,Quiz 1\nann,root-1,2,1,Final\n"

    assert len(load_of({"a.csv": text}).responses) == 2


def test_counted_answers_conflict_only_with_another_count(load_of: Callable):
    text = "student,item,answer,count\n,root-1,2,14\n,root-1,3,4\n,root-1,2,14\n,root-1,2,15\n"
    loaded = load_of({"a.csv": text})

    assert loaded.responses["count"].tolist() == [14, 4]
    assert loaded.responses["student"].isna().all()
    assert loaded.duplicates["line"].tolist() == [4]
    assert loaded.rejected["line"].tolist() == [5]


def test_no_try_stands_behind_the_first_try_of_another_file(load_of: Callable):
    """Its own first try is refused, so that it would follow an answer it did not follow."""
    head = "student,item,answer,attempt\n"
    first = f"{head}ann,root-1,2,1\nbob,root-1,2,1\ncy,root-1,2,1\n"
    later = (
        f"{head}ann,root-1,3,1\nann,root-1,4,2\nann,quad-1,4,2\nbob,root-1,2,1\nbob,root-1,5,2\n"
    )
    loaded = load_of({"a.csv": first, "b.csv": later})

    assert loaded.rejected["line"].tolist() == [2, 3]
    assert loaded.duplicates["line"].tolist() == [5]
    new = loaded.responses[3:]
    assert list(zip(new["item"], new["answer"], strict=True)) == [("quad-1", "4"), ("root-1", "5")]


def test_more_rows_than_one_batch_are_drawn_in_batches(
    course_of: Callable, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr("pipeline.ingest.raw_answers.BATCH_ROWS", 500)
    text = "student,item,answer\n" + "".join(f"s{n},root-1,{n % 7}\n" for n in range(1_201))
    course = course_of({"a.csv": text})
    known = KnownResponses.empty()
    loaded = next(load_exports(settle_terms(course, known), known))
    with pytest.raises(InternalError, match="not all drawn"):
        loaded.source_file()
    sizes = [len(batch.responses) for batch in loaded.batches()]

    assert sizes == [500, 500, 201]
    assert loaded.source_file()["stored"][0] == 1_201


@pytest.mark.parametrize("in_memory", [1 << 21, 300])
def test_known_keys_are_found_however_they_came_and_can_be_taken_back(
    monkeypatch: pytest.MonkeyPatch, in_memory: int
):
    monkeypatch.setattr("pipeline.ingest.known._IN_MEMORY", in_memory)
    rng = np.random.default_rng(5)
    everything = rng.choice(10**9, 5_000, replace=False).astype(np.int64)
    known = KnownResponses(everything[:1_000], everything[:1_000])
    for part in np.array_split(everything[1_000:4_000], 17):
        known.add(part, part)

    assert known.holds(everything).tolist() == [True] * 4_000 + [False] * 1_000
    known.roll_back()
    assert known.holds(everything).tolist() == [True] * 1_000 + [False] * 4_000
    known.add(everything[4_000:], everything[4_000:])
    known.add_file("exports/a.csv", "00")
    known.roll_back()
    assert known.fills(everything[4_000:]).all()


def test_keys_rest_on_published_functions():
    """BLAKE2b of "abc": RFC 7693 appendix A. First output of SplitMix64 from 0: from memory."""
    digest = hashlib.blake2b(b"abc").hexdigest()

    assert digest.startswith("ba80a53f981c4d0d6a2797b69f12f6e94c212f14685ac4b74b12bb6fdbffa2d1")
    mixed = _mixed(np.zeros(1, np.uint64), np.zeros(1, np.uint64))
    assert int(mixed[0]) == 0xE220A8397B1DCDAF


def test_keys_never_change():
    """Keys are stored: another value here would double every answer of every course."""
    frame = pd.DataFrame(
        {
            "student": ["00" * 16, "00" * 16, None],
            "item": ["q1", "q1", "q1"],
            "term_given": [None, "spring", None],
            "quiz_other": [None, None, "Final"],
            "problem_given": [None, None, "x = 2"],
            "answer": ["x = 2", "", "2"],
            "section": [None, "A", "A"],
            "attempt": pd.array([1, None, None], dtype="Int64"),
            "count": pd.array([1, 1, 14], dtype="Int64"),
            "answered_at": pd.to_datetime(["2026-02-03 10:00", None, None]),
            "answered_on": pd.to_datetime(["2026-02-03", None, None]),
        }
    )
    slots, keys = answer_keys(frame)

    assert keys.tolist() == [4485749969817808423, 6846843199417110989, 7748742873083090420]
    assert slots[1] == keys[1]
    assert (keys >= 0).all()
    assert keys[0] != slots[0]
