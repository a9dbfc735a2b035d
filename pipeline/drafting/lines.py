"""Questions out of lines of text: headings, instructions above a group, numbers, parts, options."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from typing import Final, NamedTuple

from pipeline.drafting.line_kinds import (
    ANSWER,
    BOXES,
    DIRECTIONS,
    ENDS_STORY,
    EXERCISES,
    EXTRA,
    FILLED_IN,
    GOES_ON,
    GROUP,
    KEYS,
    MARKDOWN,
    PART,
    STARRED,
    are_options,
    ends_in_relation,
    is_heading,
    is_instruction,
    is_title,
    is_topic,
    plain,
    relation_alone,
)
from pipeline.wording import asked_by, lettered_parts, numbering_of
from pipeline.wording.spans import sentence_of
from pipeline.wording.vocabulary import SAYS


@dataclass(frozen=True, slots=True)
class SourceQuestion:
    """One question of a source.

    Args:
        wording: in typed notation, its number left out.
        source: the file, and where in it, for messages.
        id: the number or name that it has there; "" where it has none.
        instruction: a sentence above a group that says what to do.
        topic: the heading above it, or the quiz.
        quiz: the quiz that it belongs to.
        options: of a choice, as shown.
        key: the right answer that the source gives; "" where it gives none.
        cannot: why nobody but a person can take it; "" where it can be tried.
        shown_as: how an export names it, where that is more than its wording.
    """

    wording: str
    source: str
    id: str = ""
    instruction: str = ""
    topic: str = ""
    quiz: str = ""
    options: tuple[str, ...] = ()
    key: str = ""
    cannot: str = ""
    shown_as: str = ""


_TOLD: Final = 8
"""From how many words on a question without a task is a story that may go on."""

_TITLE: Final = 8
"""Up to how many words the title of a part is a topic."""


_ROW: Final = re.compile(r"\|(.+)\|")
_RULE: Final = re.compile(r":?-+:?")
"""A row of a table in Markdown, and a cell of the rule below the names of its columns."""


class Line(NamedTuple):
    """One line: its text, whether it is a heading by its style, why it cannot be taken whole."""

    text: str
    heading: bool = False
    cannot: str = ""


@dataclass(slots=True)
class _State:
    """What holds for the lines below; `keys` where they are the answers to the questions above."""

    topic: str = ""
    instruction: str = ""
    number: str = ""
    stem: str = ""
    keys: bool = False
    found: list[SourceQuestion] = field(default_factory=list)
    letters: list[tuple[str, str, bool, str]] = field(default_factory=list)


def questions_in(lines: Iterable[Line], source: str) -> list[SourceQuestion]:
    """Questions of a text.

    Args:
        lines: in reading order.
        source: the file, as messages call it.
    """
    state = _State()
    for line in _without_tables(lines):
        _take(line, state, source)
    _end_letters(state, source)
    return state.found


def _without_tables(lines: Iterable[Line]) -> Iterator[Line]:
    """Rows of a table in Markdown as lines, a number in the first cell as that of the question."""
    above: list[Line] = []
    inside = False
    for line in lines:
        row = _ROW.fullmatch(line.text.strip())
        cells = [cell.strip() for cell in row[1].split("|")] if row else []
        if cells and all(map(_RULE.fullmatch, cells)):
            above, inside = [], True  # above it are the names of the columns
            continue
        inside = inside and bool(cells)
        if inside:
            cells[0] = f"{cells[0]}." if cells[0].isdecimal() else cells[0]
        yield from above
        above = [line._replace(text=" ".join(filter(None, cells))) if inside else line]
    yield from above


def _take(line: Line, state: _State, source: str) -> None:
    starred = STARRED.match(line.text) is not None
    text = STARRED.sub("", line.text)
    heading = line.heading or text.lstrip().startswith("#") or text.startswith("**")
    text = plain(FILLED_IN.sub("", MARKDOWN.sub("", text).replace("**", "")))
    if not text and not line.cannot:
        return
    if _told_above(state, line.text, text, source):
        return
    if heading and not line.cannot and is_topic(text):
        _end_letters(state, source)
        _begin_topic(state, numbering_of(text).rest or text)
        return
    extra = EXTRA.match(text)
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
        first = numbering_of(rest)
        parted = first.id in ("a", "A")
        _number(state, number, "" if parted else rest, line.cannot, source)
        if parted:
            state.letters.append((first.id, first.rest, starred, line.cannot))
    elif heading and is_topic(text):
        _begin_topic(state, text)
    else:
        _unnumbered(state, text, line.cannot, source)


def _told_above(state: _State, raw: str, text: str, source: str) -> bool:
    """Take a line that says something of the questions above: a key, all keys, boxes to tick."""
    if answer := ANSWER.match(text):
        _give_key(state, answer["key"].strip(), source)
        return True
    if state.found and KEYS.fullmatch(text):
        _end_letters(state, source)
        state.keys = True
        return True
    return _ticked(state, raw)


def _ticked(state: _State, text: str) -> bool:
    """Take a line of boxes to tick as the options of the question above."""
    if not state.number or state.letters or len(BOXES.findall(text)) < 2:
        return False
    front, *ticked = map(plain, BOXES.split(text))
    if front:
        _more(state, front)
    pairs = zip("abcdefgh", ticked, strict=False)
    state.letters = [(letter, part, False, "") for letter, part in pairs]
    return True


def _begin_topic(state: _State, text: str) -> None:
    state.topic, state.instruction, state.number, state.stem = text.strip(" :."), "", "", ""


def _begin_part(state: _State, title: str, formulas: bool) -> None:
    """Begin a part of the sheet; a title that says what to do says it of the questions below."""
    state.instruction = state.number = state.stem = ""
    if formulas or not title:
        return
    if len(title.split()) <= _TITLE and ". " not in title:
        _begin_topic(state, title)
    if is_instruction(title):
        state.instruction = title


def _number(state: _State, number: str, rest: str, cannot: str, source: str) -> None:
    if state.keys:
        same = [place for place, one in enumerate(state.found) if one.id == number]
        for place in same[:1]:
            state.found[place] = replace(state.found[place], key=rest)
        return
    state.number, state.stem = number, rest
    state.found.append(_question(state, number, rest, cannot, source))


def _question(
    state: _State, number: str, text: str, cannot: str, source: str, above: str = ""
) -> SourceQuestion:
    instruction = above or state.instruction
    return SourceQuestion(text, source, number, instruction, state.topic, cannot=cannot)


def _unnumbered(state: _State, text: str, cannot: str, source: str) -> None:
    """A heading, an instruction for what is below, a question of its own, or more of the last."""
    without = EXERCISES.sub("", text)
    formulas = [
        one for one in sentence_of(without).formulas
        if one.kind != "L" and re.search(r"[^\s\w.-]|\w\s*-", one.text)
    ]  # fmt: skip
    tells = is_instruction(without) or (without != text and SAYS.match(without))
    if cannot and state.number:
        state.found[-1] = replace(state.found[-1], cannot=cannot)
    elif cannot:
        state.found.append(_question(state, "", text, cannot, source))
    elif part := PART.match(text):
        _begin_part(state, part["title"], bool(formulas))
    elif not formulas and GROUP.search(text) and not SAYS.search(text):
        state.instruction = state.number = state.stem = ""
    elif DIRECTIONS.match(text) and not formulas:
        return
    elif is_title(text, bool(formulas)):
        _begin_topic(state, text)
    elif tells and not (state.number and _goes_on(state, text)):
        state.instruction, state.number, state.stem = without, "", ""
    elif state.number and (_goes_on(state, text) or not SAYS.match(text)):
        _more(state, text)
    elif formulas or SAYS.search(text):
        state.number, state.stem = "", text
        state.found.append(_question(state, "", text, "", source))


def _goes_on(state: _State, text: str) -> bool:
    """Whether a line that says what to do ends the question above, as `Find its width.` does."""
    last = state.found[-1]
    told = len(last.wording.split()) > _TOLD and not last.cannot
    waits = told and not asked_by(last.wording, last.instruction, last.topic).task
    return GOES_ON.match(text) is not None or (waits and ENDS_STORY.match(text) is not None)


def _more(state: _State, text: str) -> None:
    last = state.found[-1]
    if _says_nothing_more(last, text):
        return
    between = "; " if ends_in_relation(last.wording) and relation_alone(text) else " "
    state.found[-1] = replace(last, wording=f"{last.wording}{between}{text}".strip())


def _says_nothing_more(last: SourceQuestion, text: str) -> bool:
    """Whether a line beside a question that is whole without it only brings unknown words."""
    alone = asked_by(last.wording, last.instruction, last.topic)
    if not alone.task or not alone.verb or alone.doubt or relation_alone(text):
        return False
    both = asked_by(f"{last.wording} {text}", last.instruction, last.topic)
    return not both.task or replace(both, doubt="") == alone


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
    if len(letters) == 1 and is_heading(*letters[0][:2]):
        _begin_topic(state, letters[0][1])
        return
    if state.found and state.stem and are_options(state.stem, letters):
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
