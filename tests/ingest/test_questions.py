from __future__ import annotations

import pytest

from pipeline.course import Item
from pipeline.ingest.columns import OTHER, is_totals, meanings, standard_field
from pipeline.ingest.questions import Questions

ITEMS = [
    Item("quad-1", "t", "solve", "x^2 - 6x + 8 = 0"),
    Item("fact-1", "t", "factor", "x^2 - 6x + 8"),
    Item("exp-1", "t", "expand", "(x + 1)^2"),
    Item("fact-2", "t", "factor", "x^2 + 2x"),
    Item("simp-2", "t", "simplify", "x^2 + 2x"),
    Item("Q7", "t", "judge", "", "24"),
    Item("CK6-2", "t", "simplify", "sqrt(50)"),
    Item("true-1", "t", "judge", "-(a - b) = b - a", "true"),
]


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("quad-1", "quad-1"),
        (" QUAD-1 ", "quad-1"),
        ("x^2 - 6x + 8 = 0", "quad-1"),
        ("1. Solve: x² – 6x + 8 = 0.", "quad-1"),
        ("Q3) Find all solutions of the equation x^2-6x+8=0", "quad-1"),
        ("Solve for x: $x^2 - 6x + 8 = 0$", "quad-1"),
        ("Factor completely: x^2 - 6x + 8", "fact-1"),
        ("Multiply out (x+1)²", "exp-1"),
        ("Factor x^2 + 2x", "fact-2"),
        ("Simplify x^2 + 2x", "simp-2"),
        ("CK6-2: Simplify sqrt(50)", "CK6-2"),
        ("P3. ¿Verdadero o falso? -(a - b) = b - a", "true-1"),
        ("Q1 - Vrai ou faux : -(a - b) = b - a", "true-1"),
    ],
)
def test_a_question_is_found_by_id_or_text(text: str, item: str):
    assert item == Questions(ITEMS).find(text)


@pytest.mark.parametrize(
    "text",
    ["", "quad", "quad-10", "https://quiz.example/items/quad-1",
     "x^2 - 6x + 8 = 1", "3x^2 - 6x + 8 = 0", "x^2 + 2x", "Solve x^2 + 2x",
     "Total", "x^2 - 6x", "Question 7", "¿Verdadero o falso? a - b = b - a", "CK6-2: sqrt(51)"],
)  # fmt: skip
def test_a_doubtful_text_names_no_question(text: str):
    assert Questions(ITEMS).find(text) is None


def test_an_id_that_differs_only_in_case_from_two_is_doubtful():
    items = [Item("a", "t", "skip", ""), Item("A", "t", "skip", "")]

    assert Questions(items).find("a") == "a"
    assert Questions([*items, Item("ab", "t", "skip", "")]).find("AB") == "ab"


@pytest.mark.parametrize(
    "word", ["Total", "totals:", "Average", "Class average", "POINTS POSSIBLE"]
)
def test_a_row_of_totals_is_known_by_its_word(word: str):
    assert is_totals(word)


@pytest.mark.parametrize("word", ["", "Totaro", "Meansby", "A. Count", "Max Planck", "total7"])
def test_a_student_is_no_total(word: str):
    assert not is_totals(word)


def test_headers_are_told_by_their_words():
    assert standard_field("Answered At") == "answered_at"
    assert standard_field("Student ID") is None
    assert meanings("answered_at") == {"answered_at": 1.0}


@pytest.mark.parametrize(
    ("header", "field"),
    [
        ("Student ID", "student"),
        ("e-mail address", "student"),
        ("studentNumber", "student"),
        ("Matrikelnummer", "student"),
        ("Número de matrícula", "student"),
        ("Submission Time", "answered_at"),
        ("Abgabezeitpunkt", "answered_at"),
        ("Points possible", "points"),
        ("Points earned", "score"),
        ("Mögliche Punkte", "points"),
        ("Réponse de l'élève", "answer"),
        ("Correct answer", OTHER),
        ("Time spent", OTHER),
        ("IP address", OTHER),
    ],
)
def test_a_header_means_most_what_its_words_say(header: str, field: str):
    found = meanings(header)

    assert max(found, key=lambda name: found[name]) == field


@pytest.mark.parametrize("header", ["Phone number 7b", "xq", "Z", "3", "Überraschung"])
def test_words_of_no_column_mean_none(header: str):
    assert set(meanings(header)) <= {OTHER}


FORMULAS = [
    Item("area", "t", "solve-for", "A = h(a + b)/2 for h"),
    Item("arc", "t", "vertex", "y = x^2 - 8x + 10"),
    Item("at", "t", "evaluate", "3x^2 - 2x for x = -4"),
    Item("root", "t", "simplify", "sqrt(72)"),
    Item("line", "t", "solve", "5x + 1 = 9"),
]


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("Ricavare h da A = h(a + b)/2", "area"),
        ("12. Despeje h en A = h(a + b)/2", "area"),
        ("Lös ut h ur A = h(a + b)/2", "area"),
        ("Vertice di y = x^2 - 8x + 10", "arc"),
        ("Scheitel von y = x² − 8x + 10 bestimmen (2 P.)", "arc"),
        ("Oblicz 3x^2 - 2x dla x = -4", "at"),
        ("Vereinfache √72", "root"),
        ("Ricavare a da A = h(a + b)/2", None),  # another letter is asked for
        ("Ricavare h da A = h(a + b)/2 + 1", None),
        ("Vertice di 2y = x^2 - 8x + 10", None),
        ("Vertice di y = x^2 - 8x + 100", None),
        ("Oblicz 3x^2 - 2x dla x = 4", None),
        ("Oblicz 3x^2 - 2x dla x = -4 i x = 2", None),
        ("Radix: sqrt(72) + 1", None),
        ("Kerroin 2 sqrt(72)", None),
        ("Ratkaise 3,5x + 1 = 9", None),  # of another list's 5x + 1 = 9
        ("Laske ln sqrt(72)", None),
        ("Ratkaise 5x + 1 = 9 tai 3", None),
        ("Ratkaise yhtälö 5x + 1 = 9", "line"),
    ],
)
def test_the_algebra_of_one_question_in_words_of_any_language_is_that_question(
    text: str, item: str | None
):
    questions = Questions(FORMULAS)

    assert questions.find(text) == item
    assert questions.find_in(text)[0] == item
