"""Words of French, German and Spanish questions in ours; questions of ours stay as they are."""

from __future__ import annotations

import pytest

from pipeline.wording.vocabulary import in_english


@pytest.mark.parametrize(
    "text",
    ["Expand la + le + de.", "Solve 3x + de = el for d.", "Find die and d' where x = 1,5",
     "Multiply (1,2) by 3", "Solve es + um = 2"],
)  # fmt: skip
def test_letters_that_spell_an_article_stay_in_a_question_of_ours(text: str) -> None:
    assert in_english(text) == text


@pytest.mark.parametrize(
    ("text", "ours"),
    [
        ("Résous l'équation 2,5x = 10.", "solve equation 2.5x = 10."),
        ("Löse die Gleichung x^2 = 4", "solve equation x^2 = 4"),
        ("Resuelve el sistema x = 1", "solve system x = 1"),
        ("Calcula f(1,2)", "evaluate f(1,2)"),
    ],
)
def test_words_of_another_language_come_in_ours(text: str, ours: str) -> None:
    assert " ".join(in_english(text).split()) == ours
