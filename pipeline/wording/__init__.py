"""What a question asks, told from its words: task, problem, form, method, number domain."""

from __future__ import annotations

from pipeline.wording.ask import Asked, asked_by
from pipeline.wording.numbering import lettered_parts, numbering_of
from pipeline.wording.spans import letters_of, sentence_of
from pipeline.wording.typed import roots_typed, typed
from pipeline.wording.vocabulary import nearest_task

__all__ = [
    "Asked",
    "asked_by",
    "lettered_parts",
    "letters_of",
    "nearest_task",
    "numbering_of",
    "roots_typed",
    "sentence_of",
    "typed",
]
