"""Texts that are no answer by their whole look: dates, error cells, formulas, choice letters."""

from __future__ import annotations

import re

from pipeline.reading.budgets import Unread
from pipeline.reading.records import ReadingContext

_MONTH = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|"
    r"sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"
)
_REFUSED: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(pattern, re.IGNORECASE), reason)
    for pattern, reason in (
        (rf"\d{{1,4}}[-/ .]{_MONTH}(?:[-/ .,]+\d{{2,4}})?", "a date made by a spreadsheet"),
        (rf"{_MONTH}[-/ .]\d{{1,4}}(?:[-/ .,]+\d{{2,4}})?", "a date made by a spreadsheet"),
        (r"\d{4}-\d{1,2}-\d{1,2}(?:[ T].*)?", "a date"),
        (r"\d{1,2}/\d{1,2}/(?:19|20)\d\d(?: .*)?", "a date"),
        (r"\d{1,2}:\d\d:\d\d.*", "a time of day"),
        (
            r"#(?:DIV/0|N/A|VALUE|REF|NAME|NUM|NULL|ERROR|SPILL|CALC)[!?]?",
            "an error of a spreadsheet",
        ),
        (r"\(?[a-e]\s*[).]|[A-E]|option\s+[a-e]|choice\s+[a-e]|answer\s+[a-e]", "a choice letter"),
        (r"\([a-e]\)", "a choice letter"),
        (r"[+-]?0[xbo][0-9a-f]+", "a number in a programming notation"),
        (r"true", "a truth value"),
        (r"=\s*(?!sqrt|abs|cbrt|root)[A-Za-z]{2,}\s*\(.*\)", "a formula of a spreadsheet"),
        (r"(?:math|syntax|domain|stack|ma|dimension)\s*error", "an error of a calculator"),
        (r"(?:err(?:or)?)\s*:?\s*(?:domain|syntax|divide by 0)?", "an error of a calculator"),
    )
)


def refuse_non_answers(text: str, context: ReadingContext) -> None:
    """Refuse a text that cannot be an answer.

    Raises:
        Unread: the text is a date, an error cell, a formula or the letter of a choice.
    """
    for pattern, reason in _REFUSED:
        euler = text == "e" and context.functions
        if pattern.fullmatch(text) and text.strip("().") not in context.letters and not euler:
            raise Unread(reason)
