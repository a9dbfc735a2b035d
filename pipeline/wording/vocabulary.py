"""Words of questions: those that change nothing, those of one task, other words for a task."""

from __future__ import annotations

import re
import tomllib
from importlib.resources import files
from typing import Final

_DATA: Final = tomllib.loads(
    files("pipeline.wording").joinpath("vocabulary.toml").read_text(encoding="utf-8")
)
FILLERS: Final = frozenset(_DATA["everywhere"].split())
ALTERING: Final = frozenset(_DATA["altering"].split())
SHORT_WORDS: Final = frozenset(_DATA["short"].split())
JOINING_WORDS: Final = frozenset(_DATA["joining"].split())
SAYS: Final = re.compile(rf"\b(?:{'|'.join(_DATA['verbs'].split())})\w*", re.IGNORECASE)
"""Words that say what to do."""
TERMS: Final[dict[str, frozenset[str]]] = {
    task: frozenset(words.split()) for task, words in _DATA["under"].items()
}
"""Task -> words that belong to it and say nothing more, once the task is known."""
MEANT: Final[dict[str, str]] = {
    " ".join(word.split()): task
    for task, words in _DATA["meant"].items()
    for word in words.split(",")
}
"""Another word of the trade -> the task that it means."""
