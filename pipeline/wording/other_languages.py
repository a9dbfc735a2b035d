"""Questions in French, German and Spanish: their words in ours, word by word."""

from __future__ import annotations

import re
import tomllib
from importlib.resources import files
from typing import Final

_DATA: Final = tomllib.loads(
    files("pipeline.wording").joinpath("other_languages.toml").read_text(encoding="utf-8")
)
_WORDS: Final = {theirs: ours for ours, words in _DATA["words"].items() for theirs in words.split()}
_DROPPED: Final = frozenset(_DATA["dropped"].split())
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
