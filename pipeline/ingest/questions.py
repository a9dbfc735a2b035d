"""Questions by their id, or by their text where an export shows the text in its place."""

from __future__ import annotations

import re
import unicodedata
from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from functools import cached_property
from html import unescape

from pipeline.course import Item
from pipeline.errors import UnreadableProblem
from pipeline.ingest.columns import sets_of_questions
from pipeline.ingest.facts import OUT_OF, POINTS
from pipeline.reading.problems import read_as
from pipeline.reading.records import Unread
from pipeline.tasks.catalogue import TASKS
from pipeline.wording import numbering_of, roots_typed, sentence_of, typed

_QUESTION_WORD = (
    r"(?:question|quest|problem|exercise|item|task|frage|aufgabe|aufg|pregunta|ejercicio|problema|"
    r"exercice|probl[eè]me|number|no|nr|q|p|ex)"
)
_ASKS = re.compile(_QUESTION_WORD)
WORTH = re.compile(
    rf"[\[(]\s*(?:{POINTS}\.?\s*)?{OUT_OF}(\d+(?:[.,]\d+)?)\s*(?:{POINTS}\.?)?\s*[\])]"
    rf"|(?:[\[(]|[,:;]|\s[-–—])\s*(\d+(?:[.,]\d+)?)\s*{POINTS}\b\.?\s*[\])]?"
    r"|[\[(]\s*(\d+(?:[.,]\d+)?)\s+p\.?\s*[\])]\s*$",
    re.I,
)
"""What a header says of the points possible: `(/2)`, `(max 3)`, `[2 pts]`; `Q1 pts` says none."""
WORTH_OF_SCORE = re.compile(rf"[^\W\d_]\.?(?:\s*/\s*|\s+{OUT_OF})(\d+(?:[.,]\d+)?)\s*$", re.I)
"""The same at the end of a header of scores, such as `pts /4` or `Mark/2.00`."""
_TAGS = re.compile(r"<sup>\s*(\w+)\s*</sup>|</?[a-z][^<>]*>", re.I)
_MATHEMATICAL = re.compile(r"[=^+*/<>²³√−–-]|\d\s*[a-z]\b|[a-z]\s*\(|\(.*\)", re.I)
_ALGEBRA = re.compile(
    r"[a-z].*[=^+*/<>²³√−–-]|[=^+*/<>²³√−–-].*[a-z]|[\d)]\s*[+*/^-]\s*[-−(]*\d|"
    r"(?:sqrt|cbrt|root|abs|log|ln|√).*\d",
    re.I | re.S,
)
_LEAD = re.compile(r"^.*[^\W\d_]{2}.*?[:?]\s+(?=\S)", re.S)
"""Words before a question, such as `CK6-2:` or `True or false?`, in any language."""
_BRACKETED = re.compile(
    r"^.*?[\[{«“„\"]\s*(.+?)\s*[\]}»”“\"]\s*$"
    r"|^\S*\d\S*\s+\((?=.*(?:[=<>≤≥]|[^\W\d_]{3}))(.+)\)\s*$",
    re.S,
)
"""A question that stands in brackets or quotes behind its name."""
_TYPESET = re.compile(r"\\\((.+?)\\\)|\$(.+?)\$", re.S)
_LEAST_WORDED = 12
_LONGEST_READ = 300
_PARTS = re.compile(r"(\s*(?:: | [-–—/|] |\n|\t|[()\[\]{};|_]|, )\s*)")
_MOST_PARTS, _LEAST_FORMULA = 12, 4
_JOINS = (*"+*^=<>≤≥",)
_GOES_ON = re.compile(r"[+*^=<>≤≥√]\s*$|(?<![^\W_])\d+$")
_GAP = "…"
_ENDS, _BEGINS = re.compile(r"[\d)\]+*/^=<>≤≥√±|∫-]"), re.compile(r"[\d(+*/^=<>≤≥√±|!'%-]")
"""Signs before and behind a formula that make it a part of a longer one."""
_SPEAKS = re.compile(rf"[\d+*^=<>≤≥√±(\[{{]|(?:sqrt|cbrt|abs|lo?g|ln|exp|sin|cos|tan)\s*{_GAP}")
_A_WORD, _LETTERS = re.compile(r"[^\W\d_]{2,}"), re.compile(r"[^\W\d_]")
_ALONE = re.compile(r"(?<![^\W_])[^\W\d_](?![^\W_])")
_AROUND = " :.-–—_/|,;()[]#"
_MANY, _PAIR = 4, 2
_SIGNS = str.maketrans(
    {"−": "-", "–": "-", "×": "*", "·": "*", "⋅": "*", "÷": "/", "$": None, ";": ","}
)
_TOKENS = re.compile(r"[^\W\d_]+|\d+")
_COUNTED = re.compile(rf"{_QUESTION_WORD}\W{{0,3}}0*(\d+[a-h]?|[ivx]{{1,6}}|[^\W\d_])\W*", re.I)
_LOOSE_ID = re.compile(r"[\w\s.:;#()\[\]–-]{2,40}")
BETWEEN_NUMBERS = "#"
"""What joins an id out of two columns, such as worksheet 4 and problem 6."""
_NUMBERED_ID = re.compile(rf"[^\W\d_]{{2}}.*|.*{BETWEEN_NUMBERS}.*")
"""An id by the look of it: `4 and 1`, `5.2` may be anything."""
_PLACE = re.compile(r"(.*\d)(?:\W+|\W*[^\W\d_]+\W*)(\d{1,3}[a-h]?)")
"""An id that says a set of questions and a number in it: `hw4-1`, `4.1`, `quiz 2 q3`."""
_STEM = re.compile(r"([^\W\d_]+\d+)[\W_]")
_DAY = re.compile(r"\d{4}\D?\d\d\D?\d\d|\d\d\D\d\d\D\d{4}|(?<!\d)20\d\d(?!\d)")
_NUMBERED = re.compile(r"(?:[^\W\d_]+\W{0,3}){0,3}\d[\d.:-]{0,7}[a-h]?")
_PLACED = re.compile(r"(\D*)(\d{1,3})(\D*)")
_SUPERSCRIPTS = re.compile(r"[⁰¹²³⁴-⁹]+")


def compact_problem(text: str) -> str:
    """A question's mathematics without instructions, blanks and typographic signs."""
    text = _in_plain_signs(text)
    return re.sub(r"\s+|[.:,?;]+\s*$|^\s*[:,?]+", "", text).strip(":.?,").casefold()


def _in_plain_signs(text: str) -> str:
    """Mathematics without tags and typographic signs."""
    text = _TAGS.sub(lambda m: f"^{m[1]}" if m[1] else " ", text)
    text = _SUPERSCRIPTS.sub(lambda m: "^" + unicodedata.normalize("NFKC", m[0]), text)
    text = roots_typed(unicodedata.normalize("NFKC", text).translate(_SIGNS))
    return re.sub(r"\\[()\[\]]|\*(?=\s*[a-z(])|\*\*", lambda m: "^" if m[0] == "**" else "", text)


def _without(part: str, text: str) -> str:
    """A text with a gap for a formula that stands in it whole, and goes on on neither side."""
    for found in re.finditer(r"\s*".join(map(re.escape, part)), text):
        before, after = text[: found.start()], text[found.end() :]
        bound = _ENDS.search(before.rstrip()[-1:]) or _BEGINS.match(after.lstrip())
        if not (bound or before[-1:].isalnum() or after[:1].isalnum()):
            return f"{before} {_GAP} {after}"
    return text


def _tokens(text: str) -> tuple[str, ...]:
    """An id in letters and numbers: `HW 1-03` and `hw1.3` are one."""
    return tuple(one.lstrip("0") or "0" for one in _TOKENS.findall(text.casefold()))


def _holds(words: tuple[str, ...], part: tuple[str, ...]) -> bool:
    return any(words[at : at + len(part)] == part for at in range(len(words)))


def _numbers_of(name: str) -> tuple[int, ...]:
    return tuple(map(int, re.findall(r"\d+", name)))


def _numbered_alike(texts: Collection[str]) -> Callable[[int], str] | None:
    """How texts are built around one number each; None where they are not built alike."""
    parts = [_PLACED.fullmatch(text) for text in texts]
    told = [part.groups() for part in parts if part]
    if len(told) < len(texts) or len({(before, behind) for before, _, behind in told}) != 1:
        return None
    before, _, behind = told[0]
    width = max(len(number) if number.startswith("0") else 1 for _, number, _ in told)
    return lambda number: f"{before}{number:0{width}}{behind}"


def _in_sets(named: Iterable[tuple[str, str | None]]) -> Mapping[str, dict[str, str]]:
    """Set, and "" for all -> place in it, from 1 -> id, of ids with the name of their set."""
    ids: dict[str, dict[str, None]] = defaultdict(dict)
    for item, name in named:
        ids[""][item] = None
        ids[name or ""][item] = None
    return {name: {str(place): one for place, one in enumerate(own, 1)}
            for name, own in ids.items()}  # fmt: skip


def _numbered(texts: Collection[str], sets: Mapping[str, Mapping[str, str]]) -> dict[str, str]:
    """Names by a number of a set behind words that all have, and a place in it."""
    fronts = {re.split(r"\d", text, maxsplit=1)[0] for text in texts}
    numbers = {_numbers_of(name): own for name, own in sets.items() if name}
    front = fronts.pop() if fronts else ""
    if fronts or len(numbers) < len(sets) - ("" in sets) or {*map(len, numbers)} != {1}:
        return {}
    return _built_of(texts, {f"{front}{number[0]}": own for number, own in numbers.items()})


def _built_of(texts: Collection[str], sets: Mapping[str, Mapping[str, str]]) -> dict[str, str]:
    """Names of all questions of sets, each the set's name and its place in it, as some texts are.

    Args:
        texts: all begin with the name of a set, and go on alike but for a number.
        sets: what texts call a set -> place in it -> id.
    """
    longest = sorted(sets, key=len, reverse=True)
    begun = {text: [name for name in longest if text.casefold().startswith(name.casefold())]
             for text in texts}  # fmt: skip
    if not sets or not all(begun.values()):
        return {}
    built = _numbered_alike([text[len(names[0]) :] for text, names in begun.items()])
    if built is None:
        return {}
    names = {f"{name}{built(int(place))}": item
             for name, own in sets.items() for place, item in own.items()}  # fmt: skip
    folded = {name.casefold(): item for name, item in names.items()}
    told_by = {text: folded.get(text.casefold(), "") for text in texts}
    return names | told_by if all(told_by.values()) else {}


def _of_one_set(text: str, name: str) -> bool:
    """Whether an id that is told by its numbers may speak of the set of a listed one.

    `Week 5 Problem 2` is wk5.2 and `Quiz 5 #2` is not; words in one of the two alone say
    nothing.
    """
    said, listed = (
        [one for one in re.findall(r"[^\W\d_]+", words.casefold()) if not _ASKS.fullmatch(one)]
        for words in (text, name)
    )
    return not listed or all(any(_means_alike(one, other) for other in listed) for one in said)


def _means_alike(one: str, other: str) -> bool:
    """Whether one word abbreviates the other, or both stand for sets of one kind."""
    if _abbreviates(one, other) or _abbreviates(other, one):
        return True
    return any(
        all(any(_abbreviates(word, whole) for whole in words) for word in (one, other))
        for words in sets_of_questions().values()
    )


def _abbreviates(short: str, word: str) -> bool:
    """Whether a word is the other without some of its letters, not the first: wk for week."""
    left = iter(word)
    return short[0] == word[0] and all(letter in left for letter in short)


def _loosely_written(name: str) -> str:
    """An expression for an id, whatever stands between its letters and numbers."""
    parts = re.split(r"([\s._:#–-]+|(?<=\d)(?=[^\W\d_])|(?<=[^\W\d_])(?=\d))", name)
    between = r"[\s._:#–-]{1,2}"
    return "".join(
        re.escape(part) if not at % 2 else between if part else r"[\s._:#–-]{0,2}0*"
        for at, part in enumerate(parts)
    )


def _as_typed(text: str) -> str:
    """A sentence with its mathematics in typed notation, in lower case."""
    try:
        return _in_plain_signs(typed(text)).casefold()
    except Unread:
        return _in_plain_signs(text).casefold()


def _told_apart(named: dict[str, str], text: str) -> str | None:
    """The one of some items that a text means: by the verb of the task, then by the number."""
    if len(named) > 1:
        said = [name for name, task in TASKS.items() if task.is_said_in(text)]
        named = {name: task for name, task in named.items() if task in said}
    if len(named) > 1 and (numbered := numbering_of(text).id):
        number = _tokens(numbered)[-1:]
        named = {name: task for name, task in named.items() if _tokens(name)[-1:] == number}
    return next(iter(named)) if len(named) == 1 else None


def _as_read(text: str) -> object:
    """What stands in a problem, however it is written; None where it cannot be read."""
    if not text or len(text) > _LONGEST_READ:
        return None
    try:
        read = read_as(text)
    except UnreadableProblem:
        return None
    return read.tree, read.relations, read.substitutions


class Questions:
    """Looks items up by what an export calls them."""

    def __init__(self, items: Iterable[Item], in_file: Mapping[str, str] | None = None) -> None:
        self._items = tuple(items)
        self._in_file = in_file or {}
        self.names: Mapping[str, str] = {}
        """What an export calls questions -> their ids, where these are no names of their own."""
        self._found: dict[str, str | None] = {}
        self._found_in: dict[str, tuple[str | None, str]] = {}

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
    def _by_tokens(self) -> dict[tuple[str, ...], set[str]]:
        found = defaultdict(set)
        for name in self.ids:
            found[_tokens(name)].add(name)
        return found

    @cached_property
    def _by_numbers(self) -> dict[tuple[int, ...], str]:
        """Numbers -> the one item whose id holds them and no other; `wk6.1` is number 6, 1."""
        found = defaultdict(set)
        for name in self.ids:
            if (numbers := _numbers_of(name)) and not re.search(r"\d[a-z]$", name):
                found[numbers].add(name)
        return {numbers: names.pop() for numbers, names in found.items() if len(names) == 1}

    @cached_property
    def by_number(self) -> dict[int, str]:
        """Number -> the one item whose id holds it and no other; `Q3` is number 3."""
        alone = {one[0]: name for one, name in self._by_numbers.items() if len(one) == 1}
        return alone | {int(n): name for n, name in self._in_file.items() if n.isdecimal()}

    @cached_property
    def _by_problem(self) -> dict[str, dict[str, str]]:
        """Compact problem -> item id -> its task."""
        found: dict[str, dict[str, str]] = defaultdict(dict)
        for item in self._items:
            for text in filter(None, (item.problem, item.wording)):
                if compact := compact_problem(text):
                    found[compact][item.id] = item.task
        return found

    def find(self, text: str) -> str | None:
        """Id of the one item that a text names; None when none does, or several.

        Args:
            text: an id, in any case, or the question's text, with or without instructions.
        """
        if text not in self._found:
            self._found[text] = self._look_up((unescape(text) if "&" in text else text).strip())
        return self._found[text]

    def find_worded(self, text: str) -> str | None:
        """The same of a cell; a bare number can be an answer, or points, as well."""
        return None if text.isdecimal() else self.find(text)

    def _look_up(self, text: str) -> str | None:
        if text in self.ids:
            return text
        counted = _COUNTED.fullmatch(text)
        for name in (text.rstrip(".:)"), counted[1] if counted else ""):
            folded = self._by_folded.get(name.casefold(), set())
            if len(folded) == 1:
                return next(iter(folded))
        if item := (counted and self.in_this_file(text)) or self._behind_quiz(text):
            return item
        if _LOOSE_ID.fullmatch(text):
            named = self._by_tokens.get(tokens := _tokens(text), set())
            if len(named) == 1 and len(tokens) > 1 and not all(map(str.isdecimal, tokens)):
                return next(iter(named))
            numbers = _numbers_of(text)
            if len(numbers) > 1 and _NUMBERED_ID.fullmatch(text) and numbers in self._by_numbers:
                name = self._by_numbers[numbers]
                return name if _of_one_set(text, name) else None
        return self._strictly(text) or self._loosely(text) or self._ending(text)

    def _behind_quiz(self, text: str) -> str | None:
        """The one of a quiz whose id stands beside the quiz, such as `Ember / q3`."""
        folded = text.casefold()
        for quiz, own in self._sets.items():
            before, named, after = folded.partition(quiz.casefold() or " ")
            name = before.strip(_AROUND) or after.strip(_AROUND)
            if named and not (before.strip(_AROUND) and after.strip(_AROUND)):
                for item in self._by_folded.get(name, set()) & {*own.values()}:
                    return item
        return None

    def _strictly(self, text: str) -> str | None:
        """By the whole text, its numbering left out or not."""
        if not _MATHEMATICAL.search(text):
            return self._by_text(text, text) if " " in text else None
        return self._by_text(text, text) or self._by_text(numbering_of(text).rest, text)

    def _loosely(self, text: str) -> str | None:
        """By the mathematics alone, whatever words and numbering stand around it."""
        if not _MATHEMATICAL.search(text):
            return None
        dressed = text, _LEAD.sub("", text, count=1), _BRACKETED.sub(r"\1\2", text)
        return next(filter(None, map(self._around, dict.fromkeys(dressed))), None)

    def _around(self, text: str) -> str | None:
        """The one question whose mathematics a text holds whole, in words of any language.

        Nothing else may stand there that speaks of numbers or signs, nor of another letter than
        the one that the question asks for.
        """
        plain = _as_typed(numbering_of(WORTH.sub(" ", text)).rest)
        is_question = _TYPESET.search(text) or _A_WORD.search(plain)  # else it may be an answer
        squeezed = plain.replace(" ", "")
        named: dict[str, str] = {}
        for item, parts, letter in self._formulas if is_question else ():
            rest = plain
            for part in parts if all(part in squeezed for part in parts) else ():
                rest = _without(part, rest)
            letters = set(_LETTERS.findall(" ".join(parts)))
            alone = set(_ALONE.findall(rest)) & letters
            meant = letter in alone if letter else not alone or len(letters) == 1
            if rest.count(_GAP) == len(parts) and not _SPEAKS.search(rest) and meant:
                named[item.id] = item.task
        return _told_apart(named, text)

    @cached_property
    def _formulas(self) -> list[tuple[Item, list[str], str]]:
        """Item, formulas without blanks, and letter asked for of questions with mathematics."""
        found = []
        for item in self._items:
            told = sentence_of(_as_typed(item.problem or "")).formulas
            parts = [one.text.replace(" ", "") for one in told if one.kind != "L"]
            letter = next((one.text for one in told if one.kind == "L"), "")
            if parts and _ALGEBRA.search(parts[0]) and len("".join(parts)) >= _LEAST_FORMULA:
                found.append((item, parts, letter))
        return found

    def _ending(self, text: str) -> str | None:
        """The one question in words that a text ends in, behind words of its own."""
        shown = compact_problem(text)
        named = {item: name for problem, item, name in self._worded if shown.endswith(problem)}
        return _told_apart(named, text)

    @cached_property
    def _worded(self) -> list[tuple[str, str, str]]:
        """Problem without blanks, id and task of the questions whose problem is words."""
        said = ((compact_problem(one.problem), one.id, one.task) for one in self._items
                if one.problem and _as_read(one.problem) is None)  # fmt: skip
        return [one for one in said if len(one[0]) > _LEAST_WORDED]

    def _by_text(self, bare: str, text: str) -> str | None:
        """The one item whose problem a text is."""
        return _told_apart(self._by_problem.get(compact_problem(bare), {}), text)

    def find_in(self, header: str) -> tuple[str | None, str]:
        """The item that a part of a header names, and what the header says besides.

        `Q3 (points)` names Q3 and says `points`; an id that is a bare number of up to three digits
        needs a word for question in front of it.
        """
        if header not in self._found_in:
            self._found_in[header] = self._look_in(header)
        return self._found_in[header]

    def contradiction(self, header: str) -> tuple[str, str] | None:
        """The item whose id a header has, and another one whose text it shows; None without."""
        named = {one[1] for one in self._ids_in.finditer(header.casefold()) if one[1]}
        items = {item for name in named if (item := self.find(name))}
        if len(items) != 1 or not _MATHEMATICAL.search(header):
            return None
        item = items.pop()
        start, end = next(self._ids_in.finditer(header.casefold())).span()
        shown = self.find((header[:start] + header[end:]).strip(_AROUND))
        return (item, shown) if shown and shown != item else None

    def _look_in(self, header: str) -> tuple[str | None, str]:
        if header in self.names:
            return self.names[header], ""
        if self.contradiction(header):
            return None, header
        if header.strip() in self.ids or (item := self._strictly(header.strip())):
            return self.find(header), ""
        if item := self.in_this_file(header.strip()):
            return item, ""
        upper, _, lower = header.rpartition(": ")
        if item := self.find(upper):
            return item, lower
        folded = header.casefold()
        ids = {one for found in self._ids_in.finditer(folded) for one in found.groups() if one}
        items = {self.find(name) for name in ids} - {None}
        if len(items) == 1:
            item, rest = items.pop(), self._ids_in.sub(" ", folded)
            return item, "" if self.find(rest.strip(_AROUND)) == item else rest
        parts = [part for part in _PARTS.split(header) if part and part.strip()][:_MOST_PARTS]
        for size in range(len(parts) - 1, 0, -1):
            for start in range(len(parts) - size + 1):
                before, after = "".join(parts[:start]), "".join(parts[start + size :])
                joined = "".join(parts[start : start + size]).strip(" :-–—_/|,;")
                goes_on = _GOES_ON.search(before) or after.lstrip()[:1] in _JOINS
                if not goes_on and (item := self.find(joined)):
                    return item, " ".join(parts[:start] + parts[start + size :])
        item = self.find(header)
        return item, " ".join(_A_WORD.findall(header)) if item else header

    @cached_property
    def _ids_in(self) -> re.Pattern[str]:
        """Ids as parts of a longer header, the longest first."""
        names = sorted(self._by_folded, key=len, reverse=True)
        bare = [re.escape(name) for name in names if re.fullmatch(r"\d{1,3}", name)]
        others = [_loosely_written(n) for n in names if not re.fullmatch(r"\d{1,3}|[^\W\d_]", n)]
        whole = rf"(?<![^\W_])({'|'.join(others) or '(?!)'})(?![^\W_])"
        number = rf"(?<![^\W_]){_QUESTION_WORD}\W{{0,2}}0*({'|'.join(bare) or '(?!)'})(?!\d)"
        return re.compile(f"{whole}|{number}")

    def called(self, names: Mapping[str, str]) -> Questions:
        """The same questions under further names.

        Args:
            names: what an export calls a question -> its id.
        """
        if not names:
            return self
        other = Questions(self._items, self._in_file)
        other.names = names
        other._found.update(names)
        return other

    def in_file(self, *names: str | None) -> Questions:
        """The same questions where a file's name, or its sheet's, says the rest of their ids.

        `Q1`, or 1, is `hw4-1` in `HW4.csv`, and `4.1` where 4 is the one number of the name.

        Args:
            names: of the file and the sheet; None for no sheet.
        """
        label = " ".join(filter(None, names))
        words, numbers = _tokens(label), _numbers_of(_DAY.sub(" ", label))
        found: dict[tuple[str, ...], dict[str, str]] = defaultdict(dict)
        # Where all ids have the same words, one number says as much as it does with them.
        alike = len({re.sub(r"[\d\W]", "", name) for name in self.ids}) == 1 == len(numbers)
        for name in self.ids:
            if told := _PLACE.fullmatch(name):
                stem = _tokens(told[1])
                said = _holds(words, stem) and not all(map(str.isdecimal, stem))
                if said or (alike and _numbers_of(told[1]) == numbers):
                    found[stem]["".join(_tokens(told[2]))] = name
        longest = max(map(len, found), default=0)
        told_by = [one for stem, one in found.items() if len(stem) == longest]
        return Questions(self._items, told_by[0]) if len(told_by) == 1 else self

    def in_order(self) -> Questions:
        """The same questions where a number alone is a place in the list, from 1."""
        return Questions(self._items, self._sets[""])

    @cached_property
    def _sets(self) -> Mapping[str, dict[str, str]]:
        """Quiz, and "" for the whole list -> place in it, from 1 -> id."""
        return _in_sets((one.id, one.quiz) for one in self._items)

    @cached_property
    def _stems(self) -> Mapping[str, dict[str, str]]:
        """The same of what ids begin with, such as W1 of `W1-eq`, in a list without quizzes."""
        stems = [(one.id, _STEM.match(one.id)) for one in self._items if len(self._sets) == 1]
        return _in_sets((name, stem[1]) for name, stem in stems if stem)

    def sets(self) -> Iterator[Questions]:
        """The questions of each quiz, or of what ids begin with, alone."""
        for name, own in {**self._sets, **self._stems}.items():
            if name:
                yield Questions(one for one in self._items if one.id in own.values())

    def in_other_quizzes(self, items: Collection[str]) -> Iterator[dict[str, str]]:
        """What questions of one quiz stand for in each of the others: those at the same places."""
        every = {**self._stems, **self._sets}.values()
        mine = min((own for own in every if set(items) <= set(own.values())), key=len, default={})
        places = {item: place for place, item in mine.items() if item in items}
        for other in every:
            if other is not mine and set(places.values()) <= other.keys():
                yield {item: other[place] for item, place in places.items()}

    def is_part(self, text: str) -> bool:
        """Whether a text may be a part of a question's name, such as worksheet 4 or problem 6."""
        return bool(_NUMBERED.fullmatch(text)) or text in self._sets

    def of_quiz(self, name: str) -> Collection[str]:
        """Ids of the questions that the list has in a quiz; none for another text."""
        folded = name.strip().casefold()
        return next((own.values() for quiz, own in self._sets.items()
                     if quiz and quiz.casefold() == folded), ())  # fmt: skip

    def begins_with_quiz(self, text: str) -> bool:
        """Whether a text names a quiz of the list first, and then a number."""
        return any(quiz and text.casefold().startswith(quiz.casefold())
                   and _PLACED.fullmatch(text[len(quiz) :]) for quiz in self._sets)  # fmt: skip

    def placed_by(self, texts: Collection[str]) -> dict[str, str]:
        """What a file that names some questions by their place in the list would name each by.

        The place is one in a quiz where the texts name that before it, or its number.

        Args:
            texts: such as `Problem 3`, `Quiz 2 - Q1`, or `2.1` for the first of Quiz 2 or W2.

        Returns:
            Name -> id; nothing where the texts are not built alike or go beyond the list.
        """
        quizzes = {name: own for name, own in self._sets.items() if name}
        by_name = _built_of(texts, quizzes)
        numbered = _numbered(texts, quizzes or self._stems)
        return by_name or numbered or _built_of(texts, {"": self._sets[""]})

    def in_this_file(self, text: str) -> str | None:
        """The item that a number alone means in a file whose name says the rest of its id."""
        counted = _COUNTED.fullmatch(text)
        return self._in_file.get("".join(_tokens(counted[1] if counted else text)))

    def counted_by(self, texts: Collection[str]) -> dict[str, str]:
        """Names such as `Task 3` or `6-1`, alike but for numbers, if they number listed questions.

        Returns:
            Name -> the id with these numbers; nothing where the list lacks one. Single bare
            numbers, which may be anything, have to be all those of the list.
        """
        bare = all(not re.search(r"[^\W\d]|#", text) for text in texts)
        if bare and 1 < len(texts) == sum(map(bool, map(self.in_this_file, texts))):
            return {text: str(self.in_this_file(text)) for text in texts}
        alone, pairs = {}, defaultdict[str, dict[str, str]](dict)
        for numbers, name in self._by_numbers.items():
            if len(numbers) == 1:
                alone[str(numbers[0])] = name
            elif len(numbers) == _PAIR:
                pairs[str(numbers[0])][str(numbers[1])] = name
        if found := _numbered(texts, pairs):
            return found
        several = len(texts) >= _MANY and len(texts) == len(alone)
        return _built_of(texts, {"": alone}) if several or not bare else {}

    def named(self, text: str) -> str:
        """Id of the item that a text names, else the text itself: a question that no item lists.

        Where nothing else tells, as of a question in a picture, its number does.
        """
        number = numbering_of(text)
        told = number.id in self.ids and not _ALGEBRA.search(number.rest)
        return self.find(text) or self.in_this_file(text) or (number.id if told else text.strip())
