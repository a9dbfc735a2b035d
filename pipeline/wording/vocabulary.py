"""Words of questions: those that change nothing, of one task, for a task, of other languages."""

from __future__ import annotations

import re
import tomllib
from difflib import get_close_matches
from importlib.resources import files
from typing import Final

from pipeline.tasks.catalogue import TASKS

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
_MEANT: Final[dict[str, str]] = {
    " ".join(word.split()): task
    for task, words in _DATA["meant"].items()
    for word in words.split(",")
}
"""Another word of the trade -> the task that it means."""


LISTED_TASKS: Final = (*TASKS, "judge", "choice", "skip")
"""What a question of the list may ask."""


def meant_task(word: str) -> str | None:
    """The task that a word means in the trade; None where the word is not known.

    Args:
        word: a task in any case, with blanks or hyphens, or another word for one.
    """
    plain = re.sub(r"[\s_]+", " ", word.casefold()).strip(" .:")
    hyphened = plain.replace(" ", "-")
    return hyphened if hyphened in LISTED_TASKS else _MEANT.get(plain)


def nearest_task(word: str) -> str | None:
    """The task whose name, or other word, is spelled most like a word; None where none is near."""
    plain = re.sub(r"[\s_-]+", " ", word.casefold()).strip()
    names = {task.replace("-", " "): task for task in LISTED_TASKS} | _MEANT
    near = get_close_matches(plain, names, n=1, cutoff=0.7)
    if near:
        return names[near[0]]
    inside = [
        task
        for name, task in names.items()
        if len(name) > 3 and re.search(rf"\b{re.escape(name)}\b", plain)
    ]
    return inside[0] if inside else None


_OTHERS: Final = tomllib.loads(
    files("pipeline.wording").joinpath("other_languages.toml").read_text(encoding="utf-8")
)
_WORDS: Final = {
    theirs: ours for ours, words in _OTHERS["words"].items() for theirs in words.split()
}
_DROPPED: Final = frozenset(_OTHERS["dropped"].split())
_TELLING: Final = frozenset(word for word in _WORDS if len(word) > 3)
_WORD: Final = re.compile(r"(?<![\d^_(])(?:[ldLD]['’](?=\w)|[^\W\d_]{2,}|ℝ)(?![\^_(])")
_DECIMAL_COMMA: Final = re.compile(r"(?<![(\d,;])(\d+),(\d+)(?![\d,);])")


def in_english(text: str) -> str:
    """A question with the words of other languages in ours; one of ours as it stands.

    It is of another language where one of its words is; numbers have a decimal comma then.
    """
    if not any(one.casefold() in _TELLING for one in _WORD.findall(text)):
        return text

    def ours(found: re.Match[str]) -> str:
        word = found[0].casefold().rstrip("'’")
        return " " if word in _DROPPED else _WORDS.get(word, found[0])

    return _WORD.sub(ours, _DECIMAL_COMMA.sub(r"\1.\2", text))
