"""Questions out of lines of text: headings, instructions above a group, numbers, parts, options."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from typing import Final, NamedTuple

from pipeline.drafting.sources import SourceQuestion
from pipeline.reading.budgets import Unread
from pipeline.wording import asked_by, lettered_parts, numbering_of, typed
from pipeline.wording.spans import sentence_of
from pipeline.wording.vocabulary import SAYS

__all__ = ["Line", "questions_in"]

_EXERCISES: Final = re.compile(
    r"^\W*(?:(?:for|in)\s+)?(?:(?:exercises|problems|questions|items|numbers|nos?\.?|#)\s*)?"
    r"#?\d+\s*(?:[-–—]|to|through)\s*#?\d+\s*[,:.)]?\s*", re.IGNORECASE,
)  # fmt: skip
_ANSWER: Final = re.compile(
    r"^\W*(?:ans(?:wer)?|key|correct(?:\s+answer)?|solution)(?:\s+key)?\s*[:=]\s*(?P<key>.+)$",
    re.IGNORECASE,
)
_DIRECTIONS: Final = re.compile(
    r"^\W*(?:name|date|section|class|instructor|score|instructions|directions|good luck|"
    r"(?:spring|summer|fall|autumn|winter) \d{4}|show (?:all )?(?:of )?(?:your )?work|page|total|"
    r"version|points|"
    r"(?:each|every|all) (?:problem|question|exercise|item)s? (?:is|are|has|counts?)"
    r")\b", re.IGNORECASE,
)  # fmt: skip
_GROUP: Final = re.compile(
    r"\b(?:each|every|all|last|next|remaining|rest|other|following|these) (?:of (?:the|these) )?"
    r"(?:problems?|questions?|exercises?|items?|ones?|two|three|four|five|six|seven|eight|nine|ten|"
    r"\d+)\b|\bdirections\b", re.IGNORECASE,
)  # fmt: skip
"""What a line speaks of that stands for several questions."""
_BOXES: Final = re.compile(r"\s*[\u2610\u25a1\u25a2\u25cb\u25ef]\s*(?=\S)")
"""Boxes and circles to tick, each before an option."""
_GOES_ON: Final = re.compile(r"(?:and|or|then|with|if|but|where|such|using|for|by|of)\b")
_PART: Final = re.compile(r"^\W*part\s+(?:[ivx]+|\d+|[a-h])\b", re.IGNORECASE)
_EXTRA: Final = re.compile(
    r"^\W*(?P<id>bonus|extra credit|challenge)(?:\s+(?:question|problem))?\s*[:.–-]\s*",
    re.IGNORECASE,
)
_ENDS_OPEN: Final = re.compile(
    r"\b(?:find|determine|state|give|write|identify|compute|evaluate|calculate|solve|simplify)\W*$",
    re.IGNORECASE,
)
_CHOOSE: Final = re.compile(
    r"\bwhich (?:one )?of (?:the following|these)\b|\b(?:choose|select|tick|circle|pick)\b",
    re.IGNORECASE,
)
_MARKDOWN: Final = re.compile(r"^#{1,6}\s+|^\*\*(?=[^*]+\*\*\s*$)|^\s*[-*•]\s+(?=\S)")
_STARRED: Final = re.compile(r"^\s*\*\s*(?=[A-Ha-h][.)])")


class Line(NamedTuple):
    """One line: its text, whether it is a heading by its style, why it cannot be taken whole."""

    text: str
    heading: bool = False
    cannot: str = ""


@dataclass(slots=True)
class _State:
    """What holds for the lines below."""

    topic: str = ""
    instruction: str = ""
    number: str = ""
    stem: str = ""
    found: list[SourceQuestion] = field(default_factory=list)
    letters: list[tuple[str, str, bool, str]] = field(default_factory=list)


def questions_in(lines: Iterable[Line], source: str) -> list[SourceQuestion]:
    """Questions of a text.

    Args:
        lines: in reading order.
        source: the file, as messages call it.
    """
    state = _State()
    for line in lines:
        _take(line, state, source)
    _end_letters(state, source)
    return state.found


def _take(line: Line, state: _State, source: str) -> None:
    starred = _STARRED.match(line.text) is not None
    text = _STARRED.sub("", line.text)
    heading = line.heading or text.lstrip().startswith("#") or text.startswith("**")
    text = _plain(_MARKDOWN.sub("", text).replace("**", ""))
    if not text and not line.cannot:
        return
    if answer := _ANSWER.match(text):
        _give_key(state, answer["key"].strip(), source)
        return
    if _ticked(state, line.text):
        return
    if heading and not line.cannot and _is_topic(text):
        _end_letters(state, source)
        _begin_topic(state, numbering_of(text).rest or text)
        return
    extra = _EXTRA.match(text)
    number, rest = (extra["id"], text[extra.end() :]) if extra else numbering_of(text)
    front, inside = lettered_parts(text)
    if inside and not front:
        state.letters += [(letter, part, False, line.cannot) for letter, part in inside]
        return
    if re.fullmatch(r"[A-Ha-h]", number):
        state.letters.append((number, rest, starred, line.cannot))
        return
    _end_letters(state, source)
    if inside:
        _take(line._replace(text=front), state, source)
        state.letters += [(letter, part, False, "") for letter, part in inside]
    elif number:
        _number(state, number, rest, line.cannot, source)
    elif heading:
        _begin_topic(state, text)
    else:
        _unnumbered(state, text, line.cannot, source)


def _ticked(state: _State, text: str) -> bool:
    """Take a line of boxes to tick as the options of the question above."""
    if not state.number or state.letters or len(_BOXES.findall(text)) < 2:
        return False
    front, *ticked = map(_plain, _BOXES.split(text))
    if front:
        _more(state, front)
    pairs = zip("abcdefgh", ticked, strict=False)
    state.letters = [(letter, part, False, "") for letter, part in pairs]
    return True


def _is_topic(text: str) -> bool:
    """Whether a heading names a topic, numbered or lettered as it may be, and asks for nothing."""
    rest = numbering_of(text).rest
    return not asked_by(rest).task and not _PART.match(text)


def _begin_topic(state: _State, text: str) -> None:
    state.topic, state.instruction, state.number, state.stem = text.strip(" :."), "", "", ""


def _plain(text: str) -> str:
    try:
        return typed(text)
    except Unread:
        return text.strip()


def _number(state: _State, number: str, rest: str, cannot: str, source: str) -> None:
    state.number, state.stem = number, rest
    state.found.append(_question(state, number, rest, cannot, source))


def _question(
    state: _State, number: str, text: str, cannot: str, source: str, above: str = ""
) -> SourceQuestion:
    instruction = above or state.instruction
    return SourceQuestion(text, source, number, instruction, state.topic, cannot=cannot)


def _unnumbered(state: _State, text: str, cannot: str, source: str) -> None:
    """A heading, an instruction for what is below, a question of its own, or more of the last."""
    without = _EXERCISES.sub("", text)
    formulas = [
        one for one in sentence_of(without).formulas
        if one.kind != "L" and not re.fullmatch(r"[-\d.]+", one.text)
    ]  # fmt: skip
    if cannot and state.number:
        state.found[-1] = replace(state.found[-1], cannot=cannot)
    elif cannot:
        state.found.append(_question(state, "", text, cannot, source))
    elif _PART.match(text) or (not formulas and _GROUP.search(text) and not SAYS.search(text)):
        state.instruction = state.number = state.stem = ""
    elif _DIRECTIONS.match(text) and not formulas:
        return
    elif _is_title(text, bool(formulas)):
        _begin_topic(state, text)
    elif _is_instruction(without) and not (state.number and _GOES_ON.match(text)):
        state.instruction, state.number, state.stem = without, "", ""
    elif state.number and (_GOES_ON.match(text) or not SAYS.match(text)):
        _more(state, text)
    elif formulas or SAYS.search(text):
        state.number, state.stem = "", text
        state.found.append(_question(state, "", text, "", source))


def _is_title(text: str, formulas: bool) -> bool:
    """Whether a line names a topic: a few words, no sentence, and none that says what to do."""
    if formulas or len(text.split()) > 8 or re.search(r"[.?!]$", text):
        return False
    return re.match(r"[A-Za-z]+ing\b", text) is not None or not SAYS.search(text)


def _is_heading(letter: str, text: str) -> bool:
    """Whether a lettered line that no other follows, `B. Quadratic Equations`, names a topic."""
    formulas = bool(sentence_of(text).formulas)
    return letter.isupper() and text[:1].isupper() and _is_title(text, formulas)


def _is_instruction(text: str) -> bool:
    """Whether a line says what to do, and holds nothing to do it with."""
    formulas = sentence_of(text).formulas
    group = re.search(r"\b(?:each|every|following|these|all)\b", text, re.IGNORECASE)
    asks = SAYS.search(text) is not None
    bare = all(one.kind in "LC" or not re.search(r"\d", one.text) for one in formulas)
    short = all(one.kind == "L" for one in formulas) and len(text.split()) <= 12
    return asks and ((group is not None and bare) or short)


def _more(state: _State, text: str) -> None:
    last = state.found[-1]
    if _says_nothing_more(last, text):
        return
    between = "; " if _ends_in_relation(last.wording) and _relation_alone(text) else " "
    state.found[-1] = replace(last, wording=f"{last.wording}{between}{text}".strip())


def _says_nothing_more(last: SourceQuestion, text: str) -> bool:
    """Whether a line beside a question that is whole without it only brings unknown words."""
    alone = asked_by(last.wording, last.instruction, last.topic)
    if not alone.task or not alone.verb or alone.doubt or _relation_alone(text):
        return False
    both = asked_by(f"{last.wording} {text}", last.instruction, last.topic)
    return not both.task or replace(both, doubt="") == alone


def _relation_alone(text: str) -> bool:
    """Whether a line holds an equation or inequality and no word: one more of a system."""
    return re.fullmatch("[EV]", sentence_of(text).words) is not None


def _ends_in_relation(text: str) -> bool:
    return sentence_of(text).words.endswith(("E", "V")) and not re.search(r"[.,;:]\s*$", text)


def _give_key(state: _State, key: str, source: str) -> None:
    options = [text for _, text, _, _ in state.letters]
    letters = [letter.casefold() for letter, _, _, _ in state.letters]
    _end_letters(state, source)
    if not state.found:
        return
    letter = key.strip("(). ").casefold()
    if letter in letters and state.found[-1].options:
        key = options[letters.index(letter)]
    state.found[-1] = replace(state.found[-1], key=key)


def _end_letters(state: _State, source: str) -> None:
    """Lettered lines were the options of the question above, or its parts."""
    letters, state.letters = state.letters, []
    if not letters:
        return
    if len(letters) == 1 and _is_heading(*letters[0][:2]):
        _begin_topic(state, letters[0][1])
        return
    if state.found and state.stem and _are_options(state.stem, letters):
        starred = [text for _, text, is_right, _ in letters if is_right]
        state.found[-1] = replace(
            state.found[-1],
            options=tuple(text for _, text, _, _ in letters),
            key=starred[0] if len(starred) == 1 else state.found[-1].key,
        )
        return
    state.found += _parts(state, letters, source)


def _parts(
    state: _State, letters: list[tuple[str, str, bool, str]], source: str
) -> Iterator[SourceQuestion]:
    """Parts are questions of their own; the line above them says what they share."""
    stem = state.stem
    if state.number and state.found and state.found[-1].id == state.number:
        state.found.pop()
    for letter, text, _, cannot in letters:
        name = f"{state.number}{letter.lower()}" if state.number else letter
        yield _question(state, name, text, cannot, source, stem)


def _are_options(stem: str, letters: list[tuple[str, str, bool, str]]) -> bool:
    """Whether lettered lines answer a question that is whole without them."""
    if len(letters) < 2 or letters[0][0].casefold() != "a" or _ENDS_OPEN.search(stem):
        return False
    if any(starred for _, _, starred, _ in letters) or _CHOOSE.search(stem):
        return True
    whole = asked_by(stem)
    says = any(SAYS.match(text) for _, text, _, _ in letters)
    asks = whole.verb or re.search(r"(?:\b(?:is|are|equals?|equal to)|[=?])\W*$", stem) is not None
    return bool(whole.task) and asks and whole.problem != "" and not says
