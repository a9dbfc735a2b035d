"""Columns and rows beside the answers: told by their values, and never taken for answers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pandas as pd
import pytest

from pipeline.check import check_course
from pipeline.check.item_set import BlindSpots
from pipeline.course import ExportMap, read_course
from pipeline.errors import ExitCode, InputError
from pipeline.ingest.dates import parse_times
from pipeline.ingest.propose import propose_map
from pipeline.ingest.question_headers import companions
from pipeline.ingest.tries_and_boxes import ordinal
from tests.ingest.test_messy_tables import CODES, FACT, QUAD, ROOT, as_csv, proposed

RIGHT = {"2, -2", "-2, 2", "±2", "2, 4", "4, 2"}


def marks(texts: tuple[str, ...], worth: int = 1) -> list[str]:
    return [str(worth * (text in RIGHT)) for text in texts]


@pytest.mark.parametrize(
    ("header", "stem"),
    [
        ("Solve x^2 = 4 - points", "Solve x^2 = 4"),
        ("Solve x^2 = 4 [score]", "Solve x^2 = 4"),
        ("Solve x^2 = 4 (zeit)", "Solve x^2 = 4"),
        ("Solve x^2 = 4: remark", "Solve x^2 = 4"),
        ("Solve x^2 = 4 - 2x", None),
        ("Solve x^2 = 49", None),
        ("Solve x^2 = 4 (2)", None),
        ("Solve x^2 = 4 - x^3 points", None),
    ],
)
def test_a_header_and_words_behind_it_are_a_companion(header: str, stem: str | None):
    found = companions(["Code", "Solve x^2 = 4", header])

    assert found.get(header, (None,))[0] == stem


@pytest.mark.parametrize("tails", [(" - points", " - remark"), (" [pts]", " [zzz]")])
def test_companions_belong_to_their_question(
    course_of: Callable, load_course: Callable, tails: tuple[str, str]
):
    texts = ("Solve x^2 = 4", "Which root of x^2 = 9 is positive?", "Solve x^2 - 6x + 8 = 0")
    names = [f"{text}{tail}" for text in texts for tail in ("", *tails)]
    rows = [[code, root, one, "sign", code[1:], "1", "", quad, two, ""]
            for code, root, one, quad, two in
            zip(CODES, ROOT, marks(ROOT), QUAD, marks(QUAD), strict=True)]  # fmt: skip
    found, loaded = proposed(course_of, load_course, [["Code", *names], *rows])

    assert found.questions == {texts[0]: "root-1", texts[1]: texts[1], texts[2]: "quad-1"}
    assert {found.beside[f"{text}{tails[0]}"] for text in (texts[0], texts[2])} == {
        "score of root-1", "score of quad-1",
    }  # fmt: skip
    scores = loaded.responses.groupby("item")["score"].sum()
    assert scores[["root-1", "quad-1"]].tolist() == [4.0, 4.0]
    listed = loaded.responses["item"].isin(["root-1", "quad-1"])
    assert loaded.responses[listed]["points"].isna().all()  # what was earned is not the possible


def test_nothing_is_drafted_from_an_export_that_cannot_be_used(course_of: Callable):
    """Nobody's answers: every row is one word, so no column tells the students apart."""
    text = "Solve 3x - 4 = 11"
    folder = course_of({"a.csv": as_csv([["Kind", text], *(["a", "5"] for _ in CODES)])}).folder
    before = read_course(folder).items
    report = check_course(folder, write=True, untaggable=lambda *_: None, unseen=lambda _: NONE)

    assert report.exit_code == ExitCode.BAD_INPUT
    assert read_course(folder).items == before
    rows = [[code, "5"] for code in CODES]
    (folder / "exports" / "b.csv").write_text(as_csv([["Code", text], *rows]))
    report = check_course(folder, write=True, untaggable=lambda *_: None, unseen=lambda _: NONE)
    assert [item.problem for item in read_course(folder).items][-1] == "3x - 4 = 11"


NONE = BlindSpots()


@pytest.mark.parametrize("text", ["root-1: x^2 - 6x + 8 = 0", "x^2 - 6x + 8 = 0 (root-1)"])
def test_an_id_and_another_text_in_one_header_are_asked_about(course_of: Callable, text: str):
    rows = zip(CODES, QUAD, FACT, strict=True)
    course = course_of({"a.csv": as_csv([["Code", text, "fact-1"], *rows])})

    with pytest.raises(InputError, match="has the id 'root-1' and the text of 'quad-1'"):
        propose_map(course, "exports/a.csv")


@pytest.mark.parametrize("same", [True, False])
def test_ids_and_texts_of_rows_that_contradict_each_other_are_asked_about(
    course_of: Callable, same: bool
):
    texts = {"root-1": "Solve x^2 = 4", "quad-1": "Solve x^2 - 6x + 8 = 0"}
    shown = texts if same else dict(zip(texts, reversed(texts.values()), strict=True))
    rows = [[code, item, shown[item], text]
            for item, given in (("root-1", ROOT), ("quad-1", QUAD))
            for code, text in zip(CODES, given, strict=True)]  # fmt: skip
    course = course_of({"a.csv": as_csv([["Code", "Task", "Wording", "Typed"], *rows])})
    if same:
        assert propose_map(course, "exports/a.csv").map.columns["answer"] == ("Typed",)
    else:
        with pytest.raises(InputError, match="name different questions"):
            propose_map(course, "exports/a.csv")


@pytest.mark.parametrize("word", ["mögliche Zähler", "zzz", ""])
def test_a_row_of_points_is_told_by_its_numbers(
    course_of: Callable, load_course: Callable, word: str
):
    names = ["Code", "root-1", "root-1 pts", "quad-1", "quad-1 pts", "all"]
    rows = [[code, root, one, quad, two, "1"] for code, root, one, quad, two in
            zip(CODES, ROOT, marks(ROOT, 2), QUAD, marks(QUAD), strict=True)]  # fmt: skip
    _, loaded = proposed(course_of, load_course, [names, [word, "", "2", "", "3", "5"], *rows])

    assert loaded.responses.groupby("item")["points"].unique().map(list).to_dict() == {
        "root-1": [2.0], "quad-1": [3.0],
    }  # fmt: skip
    assert loaded.responses["student"].nunique() == len(CODES)


@pytest.mark.parametrize(
    "first", [["zzz", "", "0.5", "", "0.4", "1"], ["k99", "", "2", "", "3", "5"]]
)
def test_a_row_of_means_or_of_a_student_is_no_row_of_points(
    course_of: Callable, load_course: Callable, first: list[str]
):
    names = ["Code", "root-1", "root-1 pts", "quad-1", "quad-1 pts", "all"]
    rows = [[code, root, one, quad, two, "1"] for code, root, one, quad, two in
            zip(CODES, ROOT, marks(ROOT, 2), QUAD, marks(QUAD), strict=True)]  # fmt: skip
    _, loaded = proposed(course_of, load_course, [names, first, *rows])

    assert loaded.responses["points"].isna().all()


def test_a_row_a_try_is_no_row_a_student(course_of: Callable, load_course: Callable):
    rows = [[code, number, text, "0.0" if text in RIGHT else "1.0", quad]
            for code, root, again, quad in zip(CODES, ROOT, ROOT[::-1], QUAD, strict=True)
            for number, text in (("1", root), ("2", again))]  # fmt: skip
    _, loaded = proposed(
        course_of, load_course, [["Code", "attempt", "root-1", "1.0", "quad-1"], *rows]
    )

    assert loaded.responses["student"].nunique() == len(CODES)
    assert sorted(loaded.responses["attempt"].unique()) == [1, 2]


@pytest.mark.parametrize(
    "sign",
    [
        "-",
        "--",
        "–",
        " — ",
        "abs",
        "Absent",
        "no answer",
        "(Not answered)",
        "[blank]",
        "<no response>",
    ],
)
def test_a_dash_alone_is_a_blank_answer_and_counted(
    course_of: Callable, load_course: Callable, sign: str
):
    rows = [[code, sign if at < 3 else root, "-1"]
            for at, (code, root) in enumerate(zip(CODES, ROOT, strict=True))]  # fmt: skip
    course = course_of({"a.csv": as_csv([["student", "root-1", "quad-1"], *rows])})
    loaded = load_course(course)

    blank = loaded.responses[loaded.responses["answer"] == ""]
    assert blank["item"].tolist() == ["root-1"] * 3
    assert "answers of a dash, or `absent`, taken as blank: 3" in loaded.notes
    again = load_course(course)
    assert again.responses["response"].tolist() == loaded.responses["response"].tolist()


@pytest.mark.parametrize(
    ("name", "sign", "scored"),
    [("Grade (%)", "", False), ("Grade", " %", False), ("Grade", "", True)],
)
def test_a_percentage_is_no_number_of_points(
    course_of: Callable, load_course: Callable, name: str, sign: str, scored: bool
):
    rows = [[code, item, text, f"{100 * int(one)}{sign}"]
            for item, texts in (("root-1", ROOT), ("quad-1", QUAD))
            for code, text, one in zip(CODES, texts, marks(texts), strict=True)]  # fmt: skip
    found, _ = proposed(course_of, load_course, [["Code", "Question", "Reply", name], *rows])

    assert ("score" in found.columns) is scored


@pytest.mark.parametrize(("header", "number"), [
    ("Answer 12", 12), ("answer 4", 4), ("Answer", 1), ("2nd answer", 2), ("Points (max 10)", 1),
    ("Answer (3)", 3), ("Answer 100", 1),
])  # fmt: skip
def test_a_header_counts_its_try(header: str, number: int):
    assert ordinal(header) == number


# Source: ISO 8601-1:2019, 5.4.2, basic format.
@pytest.mark.parametrize(("text", "time"), [
    ("20260203T140512", "2026-02-03 14:05:12"), ("20260203140512", "2026-02-03 14:05:12"),
    ("20260203T1405Z", "2026-02-03 14:05:00"), ("20260203", None),
    ("20260203T140512+0200", "2026-02-03 12:05:12"), ("20261303", None), ("20260203T2505", None),
])  # fmt: skip
def test_times_without_signs_between_are_read(text: str, time: str | None):
    found = parse_times(pd.Series([text], dtype="str"), None, "UTC").iloc[0]

    assert (pd.isna(found) and time is None) or found == pd.Timestamp(str(time))


def test_tables_under_one_another_say_what_stands_above_the_second(
    course_of: Callable, load_course: Callable
):
    """A caption is no student; with it alone in a row, nobody can tell whom it is for."""
    names = ["Student", "root-1", "pt", "quad-1", "pt"]
    rows = [[code, root, one, quad, two] for code, root, one, quad, two in
            zip(CODES, ROOT, marks(ROOT), QUAD, marks(QUAD), strict=True)]  # fmt: skip
    course = course_of(
        {"a.csv": as_csv([["Section 1"], names, *rows[:4], ["Section 2"], names, *rows[4:]])}
    )
    check_course(course.folder, write=True, untaggable=lambda *_: None, unseen=lambda _: NONE)
    loaded = load_course(read_course(course.folder))

    assert loaded.responses["student"].nunique() == len(CODES)
    assert loaded.responses.groupby("item")["score"].sum().tolist() == [4.0, 4.0]
    assert loaded.rejected[["line", "needs_look"]].values.tolist() == [[7, True]]


def test_a_map_takes_more_than_nine_tries(course_of: Callable, load_course: Callable):
    headers = [f"{kind} {number}" for number in range(1, 13) for kind in ("Try", "Pts")]
    settings = "\n".join([
        '[[exports]]', 'layout = "wide"', 'columns = { student = "Code" }', "[exports.questions]",
        *(f'"Try {n}" = "root-1"' for n in range(1, 13)), "[exports.tries]",
        *(f'"Try {n}" = {n}' for n in range(1, 13)), "[exports.beside]",
        *(f'"Pts {n}" = "score of root-1 try {n}"' for n in range(1, 13)),
    ])  # fmt: skip
    rows = [[code, *(cell for n in range(12) for cell in (str(n), str(n)))] for code in CODES]
    course = course_of({"a.csv": as_csv([["Code", *headers], *rows])}, settings=settings)
    loaded = load_course(course)

    last = loaded.responses[loaded.responses["attempt"] == 12]
    assert last["answer"].tolist() == ["11"] * len(CODES)
    assert last["score"].tolist() == [11.0] * len(CODES)


@pytest.mark.parametrize(
    "names",
    [
        [["Student", "root-1", "", "", "quad-1", "", ""], ["", *["reply", "mark", "note"] * 2]],
        [["Student", "Part one", "", "", "", "", ""], ["", "root-1", "", "", "quad-1", "", ""],
         ["", *["reply", "mark", "note"] * 2]],
    ],
)  # fmt: skip
def test_rows_of_names_go_on_where_they_name_parts_alone(
    course_of: Callable, load_course: Callable, names: list[list[str]]
):
    rows = [[code, root, one, "see me", quad, two, "sign"] for code, root, one, quad, two in
            zip(CODES, ROOT, marks(ROOT), QUAD, marks(QUAD), strict=True)]  # fmt: skip
    found, loaded = proposed(course_of, load_course, [*names, *rows])

    assert sorted(found.beside.values()) == ["score of quad-1", "score of root-1"]
    assert loaded.responses["line"].nunique() == len(CODES)
    assert loaded.responses.groupby("item")["score"].sum().tolist() == [4.0, 4.0]


def test_a_row_of_answers_without_its_student_names_nothing(
    course_of: Callable, load_course: Callable
):
    rows = [[code, *texts] for code, *texts in zip(CODES, ROOT, QUAD, FACT, strict=True)]
    lost = ["", "x = 2 or -2", "x=2, x=4", "(x - 2)(x - 4)"]
    _, loaded = proposed(
        course_of, load_course, [["Code", "root-1", "quad-1", "fact-1"], lost, *rows]
    )

    assert loaded.responses["line"].min() == 3
    assert loaded.rejected["line"].tolist() == [2, 2, 2]


@pytest.mark.parametrize(("name", "sign"), [
    ("Score (%)", ""), ("Score %", ""), ("Score", "%"), ("Score", " %"), ("Score", "yes"),
])  # fmt: skip
def test_scores_under_their_own_name_may_be_percents(
    course_of: Callable, load_course: Callable, name: str, sign: str
):
    words = {"1": "yes", "0": "no"} if sign == "yes" else {"1": f"100{sign}", "0": f"0{sign}"}
    rows = [[code, "root-1", text, words[one]]
            for code, text, one in zip(CODES, ROOT, marks(ROOT), strict=True)]  # fmt: skip
    _, loaded = proposed(course_of, load_course, [["Code", "Question", "Reply", name], *rows])

    found = loaded.responses
    assert (found["score"] / found["points"]).sum() == sum(map(int, marks(ROOT)))


def test_scores_in_words_are_read_by_the_word_for_right(course_of: Callable, load_course: Callable):
    rows = [[code, "root-1", text, "Giusta " if int(one) else "errata"]
            for code, text, one in zip(CODES, ROOT, marks(ROOT), strict=True)]  # fmt: skip
    course = course_of({"a.csv": as_csv([["student", "item", "answer", "score"], *rows])})
    said = ExportMap(columns={"score": ("score",)}, right=("giusta",))

    unsaid = load_course(course)
    assert unsaid.responses["score"].notna().sum() == 0
    assert "under `right`" in unsaid.left_out["score"]
    told = load_course(replace(course, exports=(said,)))
    assert told.responses["score"].sum() == sum(map(int, marks(ROOT)))
    assert told.left_out == {}


@pytest.mark.parametrize(("words", "asked"), [
    (("giusta", "errata"), True), (("helt", "inte"), True), (("a", "b"), True),
    (("seen", "seen"), False),
])  # fmt: skip
def test_no_map_that_is_worked_out_hides_scores_for_ever(
    course_of: Callable, words: tuple[str, str], asked: bool
):
    """Words under the name of a score are not read: a person says which one is for right."""
    rows = [[code, "root-1", text, words[not int(one)]]
            for code, text, one in zip(CODES, ROOT, marks(ROOT), strict=True)]  # fmt: skip
    course = course_of({"a.csv": as_csv([["Code", "Question", "Reply", "Score"], *rows])})

    if asked:
        with pytest.raises(InputError, match="'Score' cannot be read as its name says"):
            propose_map(course, "exports/a.csv")
    else:
        assert propose_map(course, "exports/a.csv").map.left_out == ("Score",)


def test_three_words_that_go_with_right_answers_are_said(
    course_of: Callable, load_course: Callable
):
    wrong = ("hibás", "részben")
    rows = [[code, "root-1", text, "teljes" if int(one) else wrong[at % 2]]
            for at, (code, text, one) in
            enumerate(zip(CODES, ROOT, marks(ROOT), strict=True))]  # fmt: skip
    _, loaded = proposed(course_of, load_course, [["Code", "Question", "Reply", "Zkr"], *rows])

    assert "right and wrong" in loaded.left_out["Zkr"]


@pytest.mark.parametrize(("name", "right", "wrong", "what"), [
    ("Strafpunten", "0", "2", "points taken off"), ("Correct", "X", "", "right and wrong"),
    ("Zzz", "", "o", "right and wrong"), ("Points", "2", "0", None),
])  # fmt: skip
def test_marks_of_wrong_answers_are_no_scores(
    course_of: Callable, load_course: Callable, name: str, right: str, wrong: str, what: str | None
):
    """Nor is a mark read that stands beside some answers, with nothing beside the others."""
    rows = [[code, item, text, right if int(one) else wrong]
            for item, texts in (("root-1", ROOT), ("quad-1", QUAD))
            for code, text, one in zip(CODES, texts, marks(texts), strict=True)]  # fmt: skip
    found, loaded = proposed(course_of, load_course, [["Code", "Question", "Reply", name], *rows])

    assert ("score" in found.columns) is (what is None)
    assert what is None or what in loaded.left_out[name]
