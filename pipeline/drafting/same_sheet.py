"""Questions of a worksheet and the headers of the sheet with its answers: told to be the same."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace

from pipeline.drafting.sources import SourceQuestion
from pipeline.wording import asked_by

_FEWEST = 3


def joined(
    documents: Sequence[SourceQuestion], shown: Sequence[SourceQuestion]
) -> Iterator[SourceQuestion]:
    """Each question once: as its document words it, called what the export calls it.

    A sheet belongs to a document where most of the numbers that both have stand before the same
    problem, and three at least. What a picture hides in the document, the sheet may show.

    Args:
        documents: questions of Word files, texts and packages.
        shown: questions as exports show them.
    """
    counts = Counter(one.id for one in documents)
    numbered = {one.id: one for one in documents if one.id and counts[one.id] == 1}
    sheets: dict[str, list[SourceQuestion]] = defaultdict(list)
    for one in shown:
        sheets[one.source].append(one)
    called: dict[str, SourceQuestion] = {}
    rest: list[SourceQuestion] = []
    for sheet in sheets.values():
        pairs = {one.id: one for one in sheet if one.id in numbered and not one.quiz}
        alike = sum(_problem(numbered[name]) == _problem(one) for name, one in pairs.items())
        same = pairs if alike >= _FEWEST and 2 * alike > len(pairs) else {}
        called |= same
        rest += [one for one in sheet if one.id not in same]
    for one in documents:
        yield _called(one, called.get(one.id))
    yield from rest


def _called(one: SourceQuestion, shown: SourceQuestion | None) -> SourceQuestion:
    if shown is None:
        return one
    hidden = one.cannot and asked_by(shown.wording, one.instruction, one.topic).problem
    if hidden:
        one = replace(one, wording=shown.wording, cannot="")
    return replace(one, shown_as=shown.shown_as)


def _problem(one: SourceQuestion) -> str:
    """The problem of a question without blanks; its number where there is none to compare."""
    found = asked_by(one.wording, one.instruction, one.topic).problem
    return re.sub(r"\s", "", found) or one.source
