"""Questions as a source holds them, before anybody has told what they ask."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SourceQuestion:
    """One question of a source.

    Args:
        wording: in typed notation, its number left out.
        source: the file, and where in it, for messages.
        id: the number or name that it has there; "" where it has none.
        instruction: a sentence above a group that says what to do.
        topic: the heading above it, or the quiz.
        quiz: the quiz that it belongs to.
        options: of a choice, as shown.
        key: the right answer that the source gives; "" where it gives none.
        cannot: why nobody but a person can take it; "" where it can be tried.
        shown_as: how an export names it, where that is more than its wording.
    """

    wording: str
    source: str
    id: str = ""
    instruction: str = ""
    topic: str = ""
    quiz: str = ""
    options: tuple[str, ...] = ()
    key: str = ""
    cannot: str = ""
    shown_as: str = ""
