"""Which columns of a wide file speak of which question, told by their headers."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, replace

from pipeline.ingest.columns import OTHER, meanings, standard_field
from pipeline.ingest.facts import PERCENT
from pipeline.ingest.header import DOUBLED, HeaderRow
from pipeline.ingest.questions import WORTH, WORTH_OF_SCORE, Questions
from pipeline.ingest.tries_and_boxes import without_ordinal

# What a column of a wide file can say of the whole row.
WIDE_FIELDS = ("student", "answered_at", "attempt", "section", "term", "quiz", "setting",
               "supervised", "calculator")  # fmt: skip
# What may stand in a column of its own beside a question of a wide file: `q1`, `q1 score`.
ANSWER_FIELDS = ("score", "points", "work", "problem", "attempt", "answered_at", "count")
IN_FILE = "its number, and the name of the file"
BESIDE_IT, BY_NUMBER = "the question named beside it", "its number"
UNLISTED = "not among the items: stored unjudged"
BARE_WORTH = re.compile(r"\d+\.\d+(?: \(\d+\))?")
_RUNS = re.compile(
    r"\d{1,3}|(?<![^\W_])(?=[IVX])X{0,3}(?:IX|IV|V?I{0,3})(?![^\W_])(?=[\W_]*$|[.):]|\W+[^\W\d_]{3})"
)
_ROMAN = {"I": 1, "V": 5, "X": 10}
_NUMBERED = re.compile(
    r"^(?:q|quest\w*|problem\w*|item|exercise|task|frage|aufgabe|pregunta|ejercicio|exercice)"
    r"\W*\d+\s?[a-h]?$",
    re.I,
)
_PARTING = re.compile(r"\s*[-–—:|/,_#\[({]\s*|\s+")
_TAIL = re.compile(r"([^\W\d_][^=^*√]*?)\s*[\])}]?\s*")
"""Words behind another header in the header of a companion."""
_LEAST_WORD = re.compile(r"[^\W\d_]{3}")
_MATHEMATICS = re.compile(r"[=^²√]|\d\s?[xyz]\b")


@dataclass(frozen=True, slots=True)
class NamedColumn:
    """A column whose header names a question.

    Args:
        item: the question's id.
        rest: what the header says besides.
        why: how the question is told.
    """

    item: str
    rest: str
    why: str

    @property
    def says(self) -> str | None:
        """The field, or `other`, that the words besides mean most; None for the answer itself."""
        best = max(self._meanings, key=lambda name: self._meanings[name], default=None)
        return best if best in (*ANSWER_FIELDS, OTHER) else None

    @property
    def says_answer(self) -> bool:
        """Whether the words besides name an answer: `Q1 response`."""
        return self._meanings.get("answer", 0) >= max([0.5, *self._meanings.values()])

    @property
    def _meanings(self) -> dict[str, float]:
        """Of several rows of names, the lowest says what stands below it."""
        lowest = self.rest.rpartition(": ")[2].strip() or self.rest.strip()
        # With a number behind it a standard name is a word like others: `Problem 1` asks.
        return meanings(f"{lowest} 1") if lowest else {}

    @property
    def has_other_words(self) -> bool:
        """Whether words stand beside the question that speak of no answer and no try."""
        words = without_ordinal(DOUBLED.sub("", self.rest))
        return bool(words) and not {"answer", "attempt", "item"} & meanings(f"{words} 1").keys()


def named_columns(
    names: Sequence[str], cells: Callable[[int], Collection[str]], questions: Questions
) -> dict[str, NamedColumn]:
    """Columns that speak of questions of the course.

    Args:
        names: of the columns.
        cells: place -> the distinct texts that stand there.
        questions: of the course.
    """
    found: dict[str, NamedColumn] = {}
    beside = companions(names)
    for name in names:
        bare, again = _parted(name)
        if not bare or standard_field(bare) in WIDE_FIELDS:
            continue
        item, rest = questions.find_in(bare)
        if item:
            by_id = bare in questions.ids or item.casefold() in bare.casefold()
            why = "its id" if by_id else "its text"
            why = IN_FILE if questions.in_this_file(bare) else why
            found[name] = NamedColumn(item, f"{rest} {again}", why)
    found = _numbered_alike(names, questions, found) | found
    found = _families(names, cells, questions, found) | found
    told = {name: found[stem] for name, (stem, _) in beside.items()
            if stem in found and found.get(name, found[stem]).item == found[stem].item}  # fmt: skip
    return found | {name: replace(one, rest=beside[name][1]) for name, one in told.items()}


def companions(names: Sequence[str]) -> dict[str, tuple[str, str]]:
    """Headers that are another one and words behind it, such as `Solve x^2 = 6x - points`.

    Returns:
        Header -> the longest other header that it begins with, and the words.
    """
    asking = {name for name in names if holds_mathematics(name) or any(map(str.isdigit, name))}
    found: dict[str, tuple[str, str]] = {}
    for name in names:
        for parting in _PARTING.finditer(name):
            tail = _TAIL.fullmatch(name, parting.end())
            words = tail[1] if tail and name[: parting.start()] in asking else ""
            if words and (meanings(words) or _LEAST_WORD.search(words)):
                found[name] = name[: parting.start()], words
    return found


def _parted(name: str) -> tuple[str, str]:
    """A header without its points possible, and what parts it from others of its name."""
    again = DOUBLED.search(name)
    bare = name[: again.start()] if again else name
    return WORTH.sub("", bare), again[0] if again else ""


def _numbered_alike(
    names: Sequence[str], questions: Questions, known: Collection[str]
) -> dict[str, NamedColumn]:
    """Headers such as `5.1`, `5.2` whose several numbers are those of listed questions."""
    alike: dict[str, list[str]] = defaultdict(list)
    for name in names:
        if name not in known and len(re.findall(r"\d+", name)) > 1:
            alike[re.sub(r"\d+", " ", name).strip()].append(name)
    return {
        name: NamedColumn(item, words, BY_NUMBER)
        for words, found in alike.items()
        if len(found) > 1
        for name, item in questions.counted_by(found).items()
    }


def _families(
    names: Sequence[str],
    cells: Callable[[int], Collection[str]],
    questions: Questions,
    known: Collection[str],
) -> dict[str, NamedColumn]:
    """Headers that are alike but for a number count the questions: `Box 1`, `Box 2`.

    `Response 1` and `Score 1` belong to the question that `Question 1` holds in its cells, else to
    the one item that is number 1.
    """
    families, members = _families_of(names, known)
    alone = {place: text for mine in members.values() for place in mine
             for text in cells(place) if len(cells(place)) == 1}  # fmt: skip
    asking = {words for mine in members.values() for place, words in mine.items()
              if place in alone and questions.find(alone[place])}  # fmt: skip
    found: dict[str, NamedColumn] = {}
    for number, mine in members.items():
        # Where one column of a kind holds questions, so do the others, listed or not.
        told = {
            place: questions.named(alone[place])
            for place, words in mine.items()
            if place in alone and words in asking
        }
        items = set(told.values()) or {questions.by_number.get(number)} - {None}
        for item in items if len(items) == 1 else ():
            found |= {
                names[place]: NamedColumn(str(item), words, BESIDE_IT if told else BY_NUMBER)
                for place, words in mine.items()
                if place not in told and (told or _counts(families[words], questions))
            }
    return found


def _families_of(
    names: Sequence[str], known: Collection[str]
) -> tuple[dict[str, dict[int, int]], dict[int, dict[int, str]]]:
    """Words -> number -> place, and number -> place -> words of its largest family."""
    families: dict[str, dict[int, int]] = defaultdict(dict)
    fronts: dict[str, set[int]] = defaultdict(set)
    front_of: dict[str, str] = {}
    for place, name in enumerate(names):
        for words, number, front in () if name in known else _without_numbers(name):
            families[words].setdefault(number, place)
            fronts[front].add(number)
            front_of[words] = front
    members: dict[int, dict[int, str]] = defaultdict(dict)
    done: set[int] = set()
    # `Task 9 - 1st root` is of the many that begin with `Task`, not of those with `Task 9 -`.
    for words in sorted(
        families, key=lambda one: (-len(fronts[front_of[one]]), -len(families[one]))
    ):
        for number, place in families[words].items():
            if place not in done:
                members[number][place] = words
                done.add(place)
    return families, members


def _without_numbers(name: str) -> Iterator[tuple[str, int, str]]:
    """Each number of a header, the words that stand around it, and those before it."""
    bare, again = _parted(name)
    runs = [run for run in _RUNS.finditer(bare) if run[0]]
    if len({run[0] for run in runs}) == 1 < len(runs):  # in two languages
        words = f"{_RUNS.sub(' ', bare)}{again}".strip()
        yield words, _number_of(runs[0][0]), bare[: runs[0].start()]
    for run in runs:
        rest = f"{bare[: run.start()]} {bare[run.end() :]}{again}"
        yield rest.strip(), _number_of(run[0]), bare[: run.start()]


def _counts(numbers: Collection[int], questions: Questions) -> bool:
    """Whether headers of one wording number the questions: no `Total (max 10)` alone does."""
    known = questions.by_number.keys()
    return len(set(numbers) & known) >= min(2, len(known)) if known else False


def _number_of(run: str) -> int:
    return int(run) if run.isdecimal() else _arabic(run)


def _arabic(roman: str) -> int:
    values = [_ROMAN[letter] for letter in roman]
    pairs = zip(values, [*values[1:], 0], strict=True)
    return sum(-one if one < following else one for one, following in pairs)


def worth_of(header: str, of_score: bool = False) -> str:
    """The points possible that a header says, such as 2 of `Q1 (/2)` or `2.0`; "" for none.

    Args:
        header: of answers, or of their scores.
        of_score: whether scores stand under it, so that it may end in them: `Mark/2.00`.
    """
    if BARE_WORTH.fullmatch(header):
        return header.partition(" ")[0]
    if of_score and PERCENT.search(header):
        return "100"
    return _single({*_worths(header), *(WORTH_OF_SCORE.findall(header) if of_score else ())})


def worth_in(question: str) -> str:
    """The points possible that a question's text says, such as 2 of `Solve x = 1 (2 pts)`."""
    return _single(_worths(question))


def _worths(text: str) -> set[str]:
    return {one for pair in WORTH.findall(text) for one in pair if one}


def _single(found: set[str]) -> str:
    return found.pop().replace(",", ".") if len(found) == 1 else ""


def unlisted(name: str) -> bool:
    """Whether a header is that of a question, though of none that is known."""
    return bool(_NUMBERED.match(name)) or holds_mathematics(name)


def holds_mathematics(name: str) -> bool:
    """Whether a header shows the text of a question rather than its id."""
    return bool(_MATHEMATICS.search(name))


def question_headers(
    row: HeaderRow, below: list[list[str]], questions: Questions, taken: set[str]
) -> dict[str, str]:
    """Columns of answers by their headers alone, in a file whose cells are not looked at.

    Args:
        row: the column names.
        below: cells of rows under them, for questions that stand in a column beside the answer.
        questions: of the course.
        taken: headers that say something of the whole row.

    Returns:
        Header -> item; nothing when no item of the course is among them.
    """

    def cells(place: int) -> Collection[str]:
        return {cells[place] for cells in below if place < len(cells) and cells[place]}

    found = named_columns(row.names, cells, questions)
    named = {name: one for name, one in found.items() if one.says is None and name not in taken}
    # Beside `Q1` alone, `Q1 zzz` may hold anything, such as remarks: only tries and boxes go in.
    plain = {one.item for one in named.values() if not one.has_other_words}
    named = {name: one for name, one in named.items()
             if not (one.has_other_words and one.item in plain)}  # fmt: skip
    if not named:
        return {}
    beside = companions(row.names)
    others = [
        name
        for place, name in enumerate(row.names)
        if name and name not in found and name not in taken and name not in beside
        and unlisted(name)
        and not any(map(questions.find, cells(place)))
        and not (len(below) > 1 and len(cells(place)) == 1)
    ]  # fmt: skip
    return {name: one.item for name, one in named.items()} | {name: name for name in others}
