from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pandas as pd

from pipeline.course import Quiz
from pipeline.ingest import settle_responses
from pipeline.ingest.settle import SETTLED_COLUMNS

VERSIONS = """\
item,topic,task,problem,answer,quiz,week,from
q,roots,solve,x = 1,1,Quiz 1,,
q,roots,solve,x = 2,2,Quiz 1,7,2026-02-01
q,roots,judge,,3,Quiz 2,,f
"""
TERMS = """
[[terms]]
id = "s"
first_day = 2026-01-12
weeks = 15
[[terms]]
id = "f"
first_day = 2026-08-24
weeks = 15
[[quizzes]]
id = "Quiz 1"
week = 4
setting = "exam"
calculator = false
"""


def plain(column: pd.Series) -> list:
    return column.astype(object).where(column.notna(), None).tolist()


def test_an_answer_is_judged_by_the_version_of_its_day(load_of: Callable):
    text = "student,item,answer,answered_at,term\n" + "".join(
        f"a{number},q,1,{day},{term}\n"
        for number, (day, term) in enumerate(
            [("2026-01-31", ""), ("2026-02-01", ""), ("2026-08-24", ""), ("", "s"), ("", "f")]
        )
    )
    rows = load_of({"a.csv": text}, items=VERSIONS, settings=TERMS).responses

    assert plain(rows["problem"]) == ["x = 1", "x = 2", "", "x = 1", ""]
    assert plain(rows["key"]) == ["1", "2", "3", "1", "3"]
    assert plain(rows["place"]) == ["task", "task", "judge", "task", "judge"]
    assert plain(rows["item_from"]) == ["", "2026-02-01", "f", "", "f"]
    assert plain(rows["week"]) == [4, 7, None, 4, None]
    assert plain(rows["setting"]) == ["exam", "exam", "quiz", "exam", "quiz"]
    assert plain(rows["calculator"]) == [False, False, None, False, None]


def test_a_question_that_no_item_lists_keeps_its_own_problem(load_of: Callable):
    text = "student,item,answer,problem\na,new,1,x = 5\nb,new,1,\n"
    rows = load_of({"a.csv": text}).responses

    assert plain(rows["place"]) == ["unlisted", "unlisted"]
    assert plain(rows["problem"]) == ["x = 5", None]
    assert rows[["topic", "task", "key", "week"]].isna().all(axis=None)


def test_a_key_does_not_follow_other_numbers(load_of: Callable):
    items = "item,topic,task,problem,answer\nq,roots,solve,x + 1 = 3,2\nj,words,judge,say,24\n"
    text = "student,item,answer,problem\na,q,2,x + 1 = 4\nb,q,2,x + 1 = 3\nc,j,24,say it\n"
    rows = load_of({"a.csv": text}, items=items).responses

    assert plain(rows["key"]) == [None, "2", "24"]
    assert plain(rows["problem"]) == ["x + 1 = 4", "x + 1 = 3", "say it"]


def test_the_quiz_is_the_rows_then_the_files_then_the_items(load_of: Callable):
    settings = '[[exports]]\nfiles = ["b.csv"]\nquiz = "Final"\nsetting = "exam"\n'
    rows = load_of(
        {
            "a.csv": "student,item,answer,quiz,setting\na,root-1,2,Extra,homework\na,root-1,2,,\n",
            "b.csv": "student,item,answer\na,root-1,2\n",
        },
        settings=settings,
    ).responses

    assert plain(rows["quiz"]) == ["Extra", "Quiz 1", "Final"]
    assert plain(rows["setting"]) == ["practice", "quiz", "exam"]
    assert plain(rows["week"]) == [2, 2, 2]


def test_stored_answers_settle_anew_without_their_files(course_of: Callable, load_course: Callable):
    course = course_of({"a.csv": "student,item,answer,problem\na,root-1,2,\na,bonus,2,x = 2\n"})
    stored = load_course(course).responses
    item = replace(course.items[0], id="bonus", topic="extra", problem="", quiz="Quiz 9", week=None)
    changed = replace(course, items=(*course.items, item), quizzes=(Quiz("Quiz 9", 3),))
    again = settle_responses(changed, stored)

    assert list(again.columns) == list(stored.columns)
    assert plain(again["place"]) == ["task", "task"]
    assert plain(again["topic"]) == ["roots", "extra"]
    assert plain(again["problem"]) == ["x^2 = 4", "x = 2"]
    assert plain(again["week"]) == [2, 3]
    same = settle_responses(course, stored)
    for name in SETTLED_COLUMNS:
        assert plain(same[name]) == plain(stored[name]), name


def test_essays_are_counted_without_their_text(load_of: Callable):
    text = "student,item,answer,work\na,graph-1,all my thoughts,and steps\n"
    rows = load_of({"a.csv": text}).responses

    assert rows[["answer", "work"]].isna().all(axis=None)
    assert rows["place"].tolist() == ["skip"]


def test_scores_in_their_usual_forms(load_of: Callable):
    values = ["1", "0.5", "8/10", "80%", "-", "", "Not graded", "good"]
    text = "student,item,answer,score\n" + "".join(
        f"a{n},root-1,2,{value}\n" for n, value in enumerate(values)
    )
    loaded = load_of({"a.csv": text})

    assert plain(loaded.responses["score"]) == [1, 0.5, 8, 0.8, None, None, None, None]
    assert plain(loaded.responses["points"]) == [None, None, 10, 1, None, None, None, None]
    assert "scores that are no numbers, kept as no score: 1 (first in line 9)" in loaded.notes


def test_scores_in_words_are_shares_of_the_points(load_of: Callable):
    values = ["correct,2", "WRONG,2", "TRUE,", "falsch,3", "50%,4", "yes,2", "correct answer,2"]
    text = "student,item,answer,score,points\n" + "".join(
        f"a{n},root-1,2,{value}\n" for n, value in enumerate(values)
    )
    loaded = load_of({"a.csv": text})

    assert plain(loaded.responses["score"]) == [2, 0, 1, 0, 2, None, None]
    assert plain(loaded.responses["points"]) == [2, 2, 1, 3, 4, 2, 2]
    assert "scores that are no numbers, kept as no score: 2 (first in line 7)" in loaded.notes


def test_text_goes_when_a_question_becomes_an_essay(course_of: Callable, load_course: Callable):
    course = course_of({"a.csv": "student,item,answer,work\na,root-1,2,steps\na,quad-1,3,steps\n"})
    stored = load_course(course).responses
    items = tuple(
        replace(item, task="skip") if item.id == "root-1" else item for item in course.items
    )
    again = settle_responses(replace(course, items=items), stored)

    assert plain(again["answer"]) == [None, "3"]
    assert plain(again["work"]) == [None, "steps"]
