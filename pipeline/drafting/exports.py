"""Questions out of exports: headers of wide sheets, and cells of long ones, that ask something."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from itertools import islice
from pathlib import Path, PurePosixPath

from pipeline.drafting.sources import SourceQuestion
from pipeline.errors import InputError
from pipeline.ingest.columns import field_of
from pipeline.ingest.export_files import exports_in
from pipeline.ingest.question_headers import companions
from pipeline.ingest.questions import WORTH
from pipeline.tables import TableFile, open_source, plain_text, table_sources
from pipeline.wording import asked_by, lettered_parts, numbering_of
from pipeline.wording.vocabulary import SAYS

_FEW_WORDS = 3
_HEADER_ROWS, _SAMPLED_ROWS, _MOST_COLUMNS = 12, 2_000, 2_000
_COULD_ASK = re.compile(r"\w.*[\s=^(√]", re.DOTALL)
_BARE_WORTH = re.compile(r"\s+[\[(]\s*\d+(?:\.\d+)?\s*[\])]\s*$")
"""Points possible without a word: where every question ends so, else it may be a factor."""


def questions_of_exports(folder: Path) -> tuple[list[SourceQuestion], list[str]]:
    """Questions whose text stands in the exports of a course folder, and what was not searched.

    Files that cannot be read are passed over; loading them says why.
    """
    found: list[SourceQuestion] = []
    left: list[str] = []
    for name, path in exports_in(folder):
        try:
            for source in table_sources(path, name):
                table = open_source(source)
                for sheet in table.sheets or (None,):
                    rows, width = _sampled(table, sheet)
                    found += _questions_of(rows, source.name)
                    if width > _MOST_COLUMNS:
                        left.append(
                            f"{source.name}: {width:,} columns; questions were looked for in the "
                            f"first {_MOST_COLUMNS:,} alone. Split the file for the others."
                        )
        except InputError:
            continue
    return found, left


def _sampled(table: TableFile, sheet: str | None) -> tuple[_Rows, int]:
    """The first rows, cut to the first columns, and how many columns there are."""
    rows: _Rows = []
    width = 0
    for line, cells in islice(table.rows(sheet), _SAMPLED_ROWS):
        if isinstance(cells, list):
            width = max(width, len(cells))
            rows.append((line, [plain_text(cell).strip() for cell in cells[:_MOST_COLUMNS]]))
    return rows, width


def _questions_of(rows: _Rows, name: str) -> Iterator[SourceQuestion]:
    quiz = PurePosixPath(name).stem
    found = _of_column(rows) or _of_header(rows)
    are_worths = len(found) > 1 and all(_BARE_WORTH.search(text) for _, text, _ in found)
    for line, text, group in found:
        number = numbering_of(text)
        bare = _BARE_WORTH.sub("", number.rest) if are_worths else number.rest
        stem, options = lettered_parts(WORTH.sub("", bare))
        yield SourceQuestion(
            stem,
            f"{name}, line {line}",
            number.id,
            options=tuple(one.rest for one in options),
            topic=group or quiz,
            quiz=group,
            shown_as=text,
        )


_Rows = list[tuple[int, list[str]]]
_Found = list[tuple[int, str, str]]
"""Line, text, and the quiz that the row names."""


def _of_header(rows: _Rows) -> _Found:
    """Cells of the one row, among the first, that hold questions.

    Where most of these are numbered, so is every other one, whatever it asks.
    """
    best: list[str] = []
    found: _Found = []
    for line, cells in rows[:_HEADER_ROWS]:
        beside = companions(cells)
        asking = [cell for cell in cells if cell not in beside and _asks(cell)]
        if len(asking) > len(best) and not any(field_of(cell) == "answer" for cell in cells):
            best = asking
            numbered = 2 * sum(map(_is_numbered, asking)) > len(asking)
            shown = (cell for cell in cells if cell in asking
                     or (numbered and cell not in beside and _is_numbered(cell)))  # fmt: skip
            found = [(line, cell, "") for cell in dict.fromkeys(shown)]
    return found


def _is_numbered(text: str) -> bool:
    return numbering_of(text).id != "" and len(text.split()) > _FEW_WORDS


def _of_column(rows: _Rows) -> _Found:
    """Distinct cells of the columns in which most cells hold questions, under another name.

    Where most columns of one text hold a question, so does every other such column of several
    words, whatever it asks.
    """
    width = max((len(cells) for _, cells in rows), default=0)
    columns = [
        [(line, cells[place], cells) for line, cells in rows if place < len(cells) and cells[place]]
        for place in range(width)
    ]
    texts = [[text for _, text, _ in column] for column in columns]
    asking = [_holds_questions(one) for one in texts]
    alone = [len(set(one[1:])) == 1 and len(one[1].split()) > _FEW_WORDS for one in texts]
    told = sum(ask and lone for ask, lone in zip(asking, alone, strict=True))
    every = told > 1 and 2 * told > sum(alone)
    found: dict[str, tuple[int, str, str]] = {}
    for column, asks, lone in zip(columns, asking, alone, strict=True):
        if not (asks or (every and lone)):
            continue
        quiz = _place_of("quiz", column[0][2])
        for line, text, cells in column[1:]:
            if text not in found and (lone or _asks(text)):
                group = cells[quiz] if quiz is not None and quiz < len(cells) else ""
                found[text] = (line, text, group)
    return list(found.values())


def _holds_questions(column: list[str]) -> bool:
    """Whether most cells below the first ask something, and that one does not."""
    sample = Counter(column[1:60])
    asking = sum(count for text, count in sample.items() if _asks(text))
    return len(column) > 3 and 10 * asking >= 7 * sum(sample.values()) and not _asks(column[0])


def _place_of(field: str, names: list[str]) -> int | None:
    return next((place for place, name in enumerate(names) if field_of(name) == field), None)


def _asks(text: str) -> bool:
    """Whether a text says what to do with a formula; a bare equation may be somebody's answer."""
    if len(text) < 6 or not _COULD_ASK.search(text) or not SAYS.search(text):
        return False
    asked = asked_by(lettered_parts(WORTH.sub("", numbering_of(text).rest))[0])
    return bool(asked.task and asked.verb and (asked.problem or asked.task == "skip"))
