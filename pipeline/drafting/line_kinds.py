"""What a line of a worksheet is, by its words: title, instruction, options, more of a question."""

from __future__ import annotations

import re
from typing import Final

from pipeline.reading.records import Unread
from pipeline.wording import asked_by, numbering_of, typed
from pipeline.wording.spans import sentence_of
from pipeline.wording.vocabulary import SAYS

EXERCISES: Final = re.compile(
    r"^\W*(?:(?:for|in)\s+)?(?:(?P<named>exercises|problems|questions|items|numbers|nos?\.?|#)\s*)?"
    r"#?\d+\s*(?:[-–—]|to|through|(?(named)(?:and|&)|(?!)))\s*#?\d+\s*[,:.)]?\s*", re.IGNORECASE,
)  # fmt: skip
ANSWER: Final = re.compile(
    r"^\W*(?:ans(?:wer)?|key|correct(?:\s+answer)?|solution)(?:\s+key)?\s*[:=]\s*(?P<key>.+)$",
    re.IGNORECASE,
)
KEYS: Final = re.compile(
    r"\W*(?:answer key|key|answers?|solutions?|answers and solutions)\W*", re.IGNORECASE
)
"""A heading above the answers to all questions."""
DIRECTIONS: Final = re.compile(
    r"^\W*(?:name|date|section|class|instructor|score|instructions|directions|good luck|"
    r"(?:spring|summer|fall|autumn|winter) \d{4}|show (?:all )?(?:of )?(?:your )?work|page|total|"
    r"version|points|no calculators?|(?:time(?: limit)?:?\s*)?\d+ min(?:ute)?s?|"
    r"(?:each|every|all) (?:problem|question|exercise|item)s? (?:is|are|has|counts?)"
    r")\b", re.IGNORECASE,
)  # fmt: skip
GROUP: Final = re.compile(
    r"\b(?:each|every|all|last|next|remaining|rest|other|following|these) (?:of (?:the|these) )?"
    r"(?:problems?|questions?|exercises?|items?|ones?|two|three|four|five|six|seven|eight|nine|ten|"
    r"\d+)\b|\bdirections\b", re.IGNORECASE,
)  # fmt: skip
"""What a line speaks of that stands for several questions."""
BOXES: Final = re.compile(r"\s*[\u2610\u25a1\u25a2\u25cb\u25ef]\s*(?=\S)")
"""Boxes and circles to tick, each before an option."""
GOES_ON: Final = re.compile(r"(?:and|or|then|with|if|but|where|such|using|for|by|of)\b")
ENDS_STORY: Final = re.compile(
    r"(?:find|determine|calculate|compute|what|how|when|write)\b"
    r"(?!.*\b(?:each|every|following|these|all|exercises?|problems?|equations?|expressions?)\b)",
    re.IGNORECASE,
)
"""A sentence that asks for something which was told of before, and for no group of questions."""
PART: Final = re.compile(
    r"^\W*(?:part|(?:section|unit|lesson|module|chapter|topic)(?=\s+\w+\s*[-–—:.]))\s+"
    r"(?:[ivx]+|\d+|[a-h])\b\W*(?P<title>.*)", re.IGNORECASE,
)  # fmt: skip
"""A part of a sheet, and what it is about."""
EXTRA: Final = re.compile(
    r"^\W*(?P<id>bonus|extra credit|challenge)(?:\s+(?:question|problem))?\s*[:.–-]\s*",
    re.IGNORECASE,
)
_OF_A_SET: Final = re.compile(
    r"^(?:quiz|test|exam|worksheet|homework|review|week)\s+\w+\s*[-–—:.]\s*(?=\D)", re.IGNORECASE
)
"""The number of a sheet before what it is about: `Quiz 3 - Factoring`."""
ENDS_OPEN: Final = re.compile(
    r"\b(?:find|determine|state|give|write|identify|compute|evaluate|calculate|solve|simplify)\W*$",
    re.IGNORECASE,
)
CHOOSE: Final = re.compile(
    r"\bwhich (?:(?:one )?of (?:the following|these)|one|equation|expression|statement|inequality|"
    r"graph|function|line)\b|\b(?:choose|select|tick|circle|pick)\b",
    re.IGNORECASE,
)
FILLED_IN: Final = re.compile(
    r"\b(?:name|date|class|section|score|student id)\s*:?\s*_{2,}(?:\s*/\s*\d+)?", re.IGNORECASE
)
"""Places on a sheet that a student fills in."""
MARKDOWN: Final = re.compile(r"^#{1,6}\s+|^\*{1,2}(?=[^*]+\*{1,2}\s*$)|^\s*[-*•]\s+(?=\S)")
STARRED: Final = re.compile(r"^\s*\*\s*(?=[A-Ha-h][.)])")


def is_topic(text: str) -> bool:
    """Whether a heading names a topic, numbered or lettered as it may be, and asks for nothing."""
    rest = numbering_of(text).rest
    told = text.rstrip().endswith((".", ":")) and is_instruction(rest)
    return not asked_by(rest).task and not PART.match(text) and not told


def plain(text: str) -> str:
    """A line in typed notation; as it stands where it cannot be read."""
    try:
        return typed(text)
    except Unread:
        return text.strip()


def is_title(text: str, formulas: bool) -> bool:
    """Whether a line names a topic: a few words, no sentence, and none that says what to do."""
    text = _OF_A_SET.sub("", text)
    formulas = formulas and bool(sentence_of(text).formulas)
    if formulas or len(text.split()) > 8 or re.search(r"[.?!]$", text):
        return False
    return re.match(r"[A-Za-z]+ing\b", text) is not None or not SAYS.search(text)


def is_heading(letter: str, text: str) -> bool:
    """Whether a lettered line that no other follows, `B. Quadratic Equations`, names a topic."""
    formulas = bool(sentence_of(text).formulas)
    return letter.isupper() and text[:1].isupper() and is_title(text, formulas)


def is_instruction(text: str) -> bool:
    """Whether a line says what to do, and holds nothing to do it with."""
    formulas = sentence_of(text).formulas
    group = re.search(r"\b(?:each|every|following|these|all)\b", text, re.IGNORECASE)
    asks = SAYS.search(text) is not None
    bare = all(one.kind in "LC" or not re.search(r"\d", one.text) for one in formulas)
    short = all(one.kind == "L" for one in formulas) and len(text.split()) <= 12
    return asks and ((group is not None and bare) or short)


def relation_alone(text: str) -> bool:
    """Whether a line holds an equation or inequality and no word: one more of a system."""
    return re.fullmatch("[EV]", sentence_of(text).words) is not None


def ends_in_relation(text: str) -> bool:
    """Whether a question ends in an equation or inequality, so that one more may follow."""
    return sentence_of(text).words.endswith(("E", "V")) and not re.search(r"[.,;:]\s*$", text)


def are_options(stem: str, letters: list[tuple[str, str, bool, str]]) -> bool:
    """Whether lettered lines answer a question that is whole without them."""
    if len(letters) < 2 or letters[0][0].casefold() != "a" or ENDS_OPEN.search(stem):
        return False
    if any(starred for _, _, starred, _ in letters) or CHOOSE.search(stem):
        return True
    whole = asked_by(stem)
    says = any(SAYS.match(text) for _, text, _, _ in letters)
    asks = (
        whole.verb
        or re.search(r"(?:\b(?:is|are|equals?|equal to|then)|[=?])\W*$", stem) is not None
    )
    return bool(whole.task) and asks and whole.problem != "" and not says
