"""Questions by their id, or by their text where an export shows the text in its place."""

from __future__ import annotations

import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterable
from functools import cached_property

from pipeline.course import ALGEBRA_TASKS, Item

__all__ = ["Questions", "compact_problem"]

_NUMBERING = re.compile(
    r"^\W*(?:(?:question|problem|exercise|item|q|no)\W{0,2})?\d+\W*[.):]\s*", re.I
)
_INSTRUCTIONS = re.compile(
    r"\b(?:solve|find|all|the|solutions?|roots?|of|equation|inequality|for\s+[a-z]\b|for|by|using|factor(?:ing)?|"
    r"completely|expand|multiply|out|simplify|evaluate|compute|calculate|what|is|are|give|"
    r"expression|following|quadratic|formula|completing|square|exact|value|values|your|answer|in|"
    r"form|simplest|real|numbers?|discriminant|vertex|parabola|determine|please|each|and|solve)\b",
    re.I,
)
_SIGNS = str.maketrans({"−": "-", "–": "-", "×": "*", "·": "*", "⋅": "*", "÷": "/", "$": None})
_SUPERSCRIPTS = re.compile(r"[⁰¹²³⁴-⁹]+")


def compact_problem(text: str) -> str:
    """A question's mathematics without numbering, instructions, blanks and typographic signs."""
    text = _SUPERSCRIPTS.sub(lambda m: "^" + unicodedata.normalize("NFKC", m[0]), text)
    text = unicodedata.normalize("NFKC", text).translate(_SIGNS)
    text = _NUMBERING.sub("", text)
    text = re.sub(r"\\[()\[\]]|\*(?=[a-z(])|\*\*", lambda m: "^" if m[0] == "**" else "", text)
    text = _INSTRUCTIONS.sub(" ", text)
    return re.sub(r"\s+|[.:,?;]+\s*$|^\s*[:,]+", "", text).strip(":.?,").casefold()


class Questions:
    """Looks items up by what an export calls them."""

    def __init__(self, items: Iterable[Item]) -> None:
        self._items = tuple(items)
        self._found: dict[str, str | None] = {}

    @cached_property
    def ids(self) -> frozenset[str]:
        """All item ids."""
        return frozenset(item.id for item in self._items)

    @cached_property
    def _by_folded(self) -> dict[str, set[str]]:
        found = defaultdict(set)
        for name in self.ids:
            found[name.casefold()].add(name)
        return found

    @cached_property
    def _by_problem(self) -> dict[str, dict[str, str]]:
        """Compact problem -> item id -> its task."""
        found: dict[str, dict[str, str]] = defaultdict(dict)
        for item in self._items:
            for text in (item.problem, item.wording):
                if text and (compact := compact_problem(text)):
                    found[compact][item.id] = item.task
        return found

    def find(self, text: str) -> str | None:
        """Id of the one item that a text names; None when none does, or several.

        Args:
            text: an id, in any case, or the question's text, with or without instructions.
        """
        if text not in self._found:
            self._found[text] = self._look_up(text.strip())
        return self._found[text]

    def _look_up(self, text: str) -> str | None:
        if text in self.ids:
            return text
        folded = self._by_folded.get(text.casefold(), set())
        if len(folded) == 1:
            return next(iter(folded))
        named = self._by_problem.get(compact_problem(text), {})
        if len(named) > 1:
            said = [task for task in ALGEBRA_TASKS if task.split("-")[0] in text.casefold()]
            named = {name: task for name, task in named.items() if task in said}
        return next(iter(named)) if len(named) == 1 else None

    def named(self, text: str) -> str:
        """Id of the item that a text names, else the text itself: a question that no item lists."""
        return self.find(text) or text.strip()
