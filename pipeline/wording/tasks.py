"""The task behind a word that is none: other words of the trade, then the nearest spelling."""

from __future__ import annotations

import re
from difflib import get_close_matches
from typing import Final

from pipeline.tasks.catalogue import TASKS
from pipeline.wording.vocabulary import MEANT

LISTED_TASKS: Final = (*TASKS, "judge", "choice", "skip")
"""What a question of the list may ask."""


def meant_task(word: str) -> str | None:
    """The task that a word means in the trade; None where the word is not known.

    Args:
        word: a task in any case, with blanks or hyphens, or another word for one.
    """
    plain = re.sub(r"[\s_]+", " ", word.casefold()).strip(" .:")
    hyphened = plain.replace(" ", "-")
    return hyphened if hyphened in LISTED_TASKS else MEANT.get(plain)


def nearest_task(word: str) -> str | None:
    """The task whose name, or other word, is spelled most like a word; None where none is near."""
    plain = re.sub(r"[\s_-]+", " ", word.casefold()).strip()
    names = {task.replace("-", " "): task for task in LISTED_TASKS} | MEANT
    near = get_close_matches(plain, names, n=1, cutoff=0.7)
    if near:
        return names[near[0]]
    inside = [
        task
        for name, task in names.items()
        if len(name) > 3 and re.search(rf"\b{re.escape(name)}\b", plain)
    ]
    return inside[0] if inside else None
