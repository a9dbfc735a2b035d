"""A table with a row per student: which columns answer which question, told by header and cells."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import chain

from pipeline.course import ExportMap
from pipeline.ingest.column_facts import Column
from pipeline.ingest.columns import OTHER, header_words, meanings, standard_field
from pipeline.ingest.header import DOUBLED, HeaderRow, naming_depth, searched_rows, stacked
from pipeline.ingest.layout import SIGNS, Judge, Layout
from pipeline.ingest.marker import Marked, Marker
from pipeline.ingest.proposal import Proposal
from pipeline.ingest.question_headers import (
    BARE_WORTH,
    BY_NUMBER,
    UNLISTED,
    WIDE_FIELDS,
    NamedColumn,
    companions,
    named_columns,
    unlisted,
)
from pipeline.ingest.questions import Questions
from pipeline.ingest.sample import SampledRow, is_data, naming_columns
from pipeline.ingest.tries_and_boxes import AnswerColumns, joined, ordinal
from pipeline.wording import numbering_of

_MOST_HEADERS = 3
_TELLING_ROWS = 6
_LEAST_RIGHT = 0.1
_LEAST_READABLE = 0.5
_APART, _AGREES, _HALF = 0.95, 0.7, 0.5
_MOST_TRIES = 20
"""From here on, numbers of a column are no tries but, say, seconds."""
_ASKS_AS_WELL = (None, "work", "problem")
"""What the words of a question may speak for, too: `Work out`, `Problem`."""
_TRY = re.compile(r"\b(?:try|attempt|versuch|intento|essai|tentative)", re.I)
_DIGITS = re.compile(r"\d+")


@dataclass(slots=True)
class _Group:
    """The columns of one question.

    Args:
        item: the question's id.
        answers: columns of answers, in the order of tries or boxes.
        about_it: columns about an answer, the field, and the number of the try.
        beside: header -> field and number of the try.
        why: what told tries from boxes.
    """

    item: str
    answers: AnswerColumns
    about_it: list[tuple[Column, str, int]] = field(default_factory=list)
    beside: dict[str, tuple[str, int | None]] = field(default_factory=dict)
    why: str = ""

    def which(self, number: int | None) -> str:
        """What to add where the answer has tries."""
        return f" try {number}" if self.answers.tries and number else ""

    @property
    def tries(self) -> dict[str, int]:
        """Header -> number of the try; none of boxes."""
        numbered = {one.name: number for number, one in enumerate(self.answers.columns, 1)}
        return numbered if self.answers.tries else {}

    @property
    def about(self) -> dict[str, str]:
        """Header -> what it says of the answer, as a map puts it."""
        return {header: f"{what} of {self.item}{self.which(number)}"
                for header, (what, number) in self.beside.items()}  # fmt: skip

    @property
    def said(self) -> dict[str, tuple[str, str]]:
        """Header -> what it was taken for, and why."""
        whose = {one.name: self.which(self.tries.get(one.name)) for one in self.answers.columns}
        answers = {name: (f"answers to {self.item}{own}", self.why) for name, own in whose.items()}
        told = "told by its values and its place beside the answer"
        return answers | {header: (what, told) for header, what in self.about.items()}


def wide_tables(
    rows: Sequence[SampledRow], questions: Questions, marker: Marker
) -> Iterator[WideTable]:
    """The table taken as wide, under each of the rows that name most questions."""
    searched = range(min(len(rows), searched_rows(rows)))
    worded = questions.find_worded
    asked = {place for place, share in naming_columns(rows, worded).items() if share > 0.5}
    headers: dict[int, HeaderRow] = {}
    told: dict[int, tuple[int, int, int]] = {}
    known: dict[int, Collection[str]] = {}
    for at in reversed(searched):  # a title above the names is none of them, unless it tells more
        if not _is_answer_row(rows[at], asked, worded):
            header = stacked(rows[at : at + naming_depth(rows, at)])
            found = named_columns(header.names, lambda _: (), questions)
            by_number = [name for name, one in found.items() if one.why == BY_NUMBER]
            # Names of columns name one question after another; points name a few over and over.
            distinct = len({one.item for one in found.values()})
            tells = distinct, len(found), sum(map(bool, header.names))
            if tells > told.get(header.line, (-1, 0, 0)):
                headers[header.line], told[header.line] = header, tells
                worths = filter(BARE_WORTH.fullmatch, header.names)
                known[header.line] = {*questions.ids, *by_number, *worths}
    named = {line: counts[:2] for line, counts in sorted(told.items()) if counts[1]}
    ordered = [line for line in sorted(named, key=lambda line: named[line], reverse=True)
               if not is_data(_as_written(headers[line]), rows, line, known[line])]  # fmt: skip
    for line in ordered[:_MOST_HEADERS] or list(headers)[:1]:
        header = headers[line]
        below = [cells for at, cells in rows
                 if at > line and len(cells) <= len(header.names)]  # fmt: skip
        if below:
            yield WideTable(header, below, questions, marker)


def _as_written(header: HeaderRow) -> Sequence[str]:
    """The cells of the row of names, by which it is told when it comes again."""
    return header.cells if header.rows == 1 else header.names


def _is_answer_row(
    row: SampledRow, told: Collection[int], find: Callable[[str], str | None]
) -> bool:
    """Whether a row names a question where the rows below do: then it holds an answer to it."""
    return any(find(row[1][place]) for place in told if place < len(row[1]))


class WideTable(Layout):
    """A table of students."""

    near, own = 0.05, WIDE_FIELDS
    like_students = "another value in each row"

    def __init__(
        self,
        header: HeaderRow,
        below: Sequence[Sequence[str]],
        questions: Questions,
        marker: Marker,
    ) -> None:
        super().__init__(header, below, questions, marker)
        self._named = named_columns(header.names, lambda at: self.every[at].counts, questions)
        self._worded = questions.find_worded
        self._companions = companions(header.names)
        numbered = sum(bool(numbering_of(name).id) for name in self._named)
        self._is_numbered = 2 * numbered > len(self._named)
        self._open: Column | None = None

    def proposal(self, base: ExportMap) -> Proposal | None:
        """The best map of the table; None when no column answers a question of the course.

        Args:
            base: what is known of the file: its name, its sheet.
        """
        groups = self._groups()
        if not groups:
            return None
        said = {header: told for group in groups for header, told in group.said.items()}
        places = {one.place for one in self.columns if one.name in said}
        judges: dict[str, Judge] = {**self.of_rows(), "attempt": self._attempt}
        chosen = self.assigned(judges, {}, places)
        fields = {name: self.headers_of(place) for name, place in chosen.items()}
        said |= {header: (name, "") for name, headers in fields.items() for header in headers}
        others = [one.name for one in self.columns if self._is_unlisted(one, said)]
        said |= {header: (f"answers to {header}", UNLISTED) for header in others}
        chosen_map = replace(
            base,
            layout="wide",
            columns=fields,
            questions={one.name: group.item for group in groups for one in group.answers.columns}
            | {name: self._called(name) for name in others},
            tries=dict(chain.from_iterable(group.tries.items() for group in groups)),
            beside=dict(chain.from_iterable(group.about.items() for group in groups))
            | dict(self._beside_unlisted(others)),
        )
        doubts = (
            *self._open_columns(),
            *self._kinds_of_rows(fields, said),
            *self._contradictions(),
        )
        told = {what for group in groups for what, _ in group.beside.values()}
        marked = Marked.sum_of(group.answers.marked for group in groups)
        return self.proposed(chosen_map, said, marked, doubts, told)

    def refusal(self, found: Proposal) -> str | None:
        """Why a map is not one that could be meant; None for one that could."""
        if "student" not in found.map.columns:
            return "no column tells the students apart"
        if why := self.headless(self.of_students(found.map.columns["student"])):
            return why
        taken = {*found.map.questions, *found.map.beside}
        taken |= {header for headers in found.map.columns.values() for header in headers}
        for one in self.columns:
            if one.name in taken or len(one.counts) < 2:
                continue
            # Bare numbers may be marks where right answers stand under the questions.
            if one.share(self._worded if found.right else self.questions.find) > 0.5:
                return (
                    f"the cells of {one.name!r} name questions of the list, so this is a row per "
                    "answer, and the row of column names for that is not there"
                )
        cells = sum(one.filled for one in self.columns if one.name in found.map.questions)
        if found.answers == 0 and cells > _TELLING_ROWS and found.judged:
            return "hardly a cell under the questions reads as an answer to them"
        by_number = [name for name in found.map.questions
                     if name not in self._named or self._named[name].why == BY_NUMBER]  # fmt: skip
        few = found.right < max(1, _LEAST_RIGHT * found.judged) and found.judged
        enough = found.judged > _TELLING_ROWS or len(by_number) == len(found.map.questions)
        if few and enough and 2 * len(by_number) > len(found.map.questions):
            return (
                f"headers such as {by_number[0]!r} go by numbers, and hardly an answer under them "
                "is right for the questions of these numbers, so they may be others"
            )
        return None

    def answered(self, found: Proposal) -> Iterator[tuple[str, str, str]]:
        """What each answer's question is called, its id, and the answer."""
        boxes: dict[tuple[str, int | None], list[Column]] = defaultdict(list)
        for header, item in found.map.questions.items():
            boxes[item, found.map.tries.get(header)].append(self.column(header))
        for (item, _), columns in boxes.items():
            for texts in zip(*(one.texts for one in columns), strict=True):
                yield from ((one.name, item, joined(texts)) for one in columns)

    def _open_columns(self) -> Iterator[str]:
        if self._open is not None:
            name, item = self._open.name, self._named[self._open.name].item
            yield (
                f"{name!r} stands beside other answers to {item}, and nothing tells whether it is "
                "another try, a box of one answer, or points. Decide by a map: [[exports]] "
                f'layout = "wide", and {name!r} under `tries`, `questions` or `beside`'
            )

    def _kinds_of_rows(
        self, fields: Mapping[str, Sequence[str]], used: Collection[str]
    ) -> Iterator[str]:
        """What tells the rows of one student apart, where nothing says what it is."""
        students = self.of_students(fields["student"]) if "student" in fields else None
        if students is None or {"attempt", "answered_at", "quiz"} & fields.keys():
            return
        held, texts = "", []
        for text in students.texts:  # an id may stand in the first of its rows alone
            held = text or held
            texts.append(held)
        rows = Counter(filter(None, texts))
        if 2 * sum(several > 1 for several in rows.values()) <= len(rows):
            return
        for one in self.columns:
            pairs = {pair for pair in zip(texts, one.texts, strict=True) if all(pair)}
            few = one.name not in used and 1 < len(one.counts) < _MOST_TRIES
            if few and len(pairs) == one.filled >= _APART * self.height:
                yield (
                    f"{one.name!r} says another thing in each row of a student, and nothing tells "
                    "whether rows are tries, or hold points. Give answers and points columns of "
                    f"their own in the file, or decide by a map with {one.name!r} as `attempt`"
                )

    def _contradictions(self) -> Iterator[str]:
        for one in self.columns:
            if told := self.questions.contradiction(one.name):
                yield (
                    f"{one.name!r} has the id {told[0]!r} and the text of {told[1]!r}. Decide by "
                    f'a map: [[exports]] layout = "wide", and {one.name!r} under `questions`'
                )

    # questions

    def _groups(self) -> list[_Group]:
        members: dict[str, list[tuple[Column, NamedColumn]]] = defaultdict(list)
        for one in self.columns:
            if named := self._named.get(one.name):
                members[named.item].append((one, named))
        about = self._told_alike(members)
        groups = [group for item, found in members.items()
                  if (group := self._group(item, found, about))]  # fmt: skip
        told = {group.item: group.answers.tell() for group in groups}
        votes = Counter(one for one in told.values() if one is not None)
        several = [one for group in groups for one in group.answers.columns[1:]]
        worded = any(_TRY.search(one.name) for one in several)
        if several and not votes and not worded:
            self._open = several[0]
        majority = votes[True] > votes[False] if votes else worded
        for group in groups:
            self._settle(group, majority)
        self._take_neighbours(groups)
        return groups

    def _told_alike(
        self, members: Mapping[str, list[tuple[Column, NamedColumn]]]
    ) -> dict[str, str | None]:
        """Header -> what it says of the answer, as most headers with the same words beside do."""
        votes: dict[str, Counter[str | None]] = defaultdict(Counter)
        words: dict[str, str] = {}
        for found in members.values():
            for one, named in found:
                others = [other for other, _ in found if other is not one]
                words[one.name] = _family(named.rest)
                votes[words[one.name]][self._about(one, named, others)] += 1
        return {name: votes[said].most_common(1)[0][0] for name, said in words.items()}

    def _group(
        self,
        item: str,
        found: list[tuple[Column, NamedColumn]],
        about: Mapping[str, str | None],
    ) -> _Group | None:
        """Answers and what stands beside them, told from the values first."""
        numbers = {one.name: ordinal(named.rest) for one, named in found}
        answers = [one for one, _ in found if about[one.name] is None]
        # Answers that read as nothing, as those to a question without a key, are answers still.
        answers = answers or [one for one, named in found if named.says in _ASKS_AS_WELL
                              and one.name not in self._companions]  # fmt: skip
        answers.sort(key=lambda one: (numbers[one.name], one.name.casefold(), one.place))
        if not answers:
            return None
        group = _Group(item, AnswerColumns(answers, [item] * self.height, self.marker))
        group.why = self._named[answers[0].name].why
        for one, _ in found:
            said = about[one.name]
            if said not in (None, OTHER):
                group.about_it.append((one, str(said), numbers[one.name]))
        return group

    def _about(self, one: Column, named: NamedColumn, others: list[Column]) -> str | None:
        """The field that a column of a question is, `other`, or None for one of answers."""
        best = named.says
        if named.says_answer:
            return None
        if not others or best in (OTHER, "work", "problem"):
            return best
        if one.dates > 0.8:
            return "answered_at" if best == "answered_at" else OTHER
        if self._is_key(one, others):
            return OTHER
        beside = (self._named[other.name] for other in others if other.name in self._named)
        answered = any(other.says_answer for other in beside)
        unlike = best is None and named.has_other_words and answered
        if best not in ("score", "points") and _TRY.search(named.rest):
            return None
        marked = self._marked(named.item, one)
        rightness = marked.rightness
        if one.numbers < 0.9 or min(one.values.values()) < 0:
            # Remarks are words that read as no answer; they may be about a person.
            remarks = marked.seen > 0 and marked.readable < _LEAST_READABLE and not marked.right
            return OTHER if unlike or remarks or (one.is_flag and not rightness) else None
        shares = one.is_percentage and bool(named.rest.strip())
        if shares or (best not in (None, "score", "points", "attempt") and rightness < 0.2):
            return OTHER
        told = self._about_in_numbers(one, named, others, rightness)
        return OTHER if told is None and unlike else told

    def _is_key(self, one: Column, others: list[Column]) -> bool:
        """Whether a column shows every student the same text beside what each of them answered."""
        same = len(one.counts) == 1 and one.filled == self.height >= _TELLING_ROWS
        return same and not one.numbers and any(len(other.counts) > 1 for other in others)

    def _about_in_numbers(
        self, one: Column, named: NamedColumn, others: list[Column], rightness: float
    ) -> str | None:
        best, item = named.says, named.item
        agrees = max(self._agreement(one, other, item) for other in others)
        same = len(one.counts) == 1 and not agrees
        if same and (best == "points" or (one.filled >= _TELLING_ROWS and not rightness)):
            return "points"
        if best is None and named.has_other_words and agrees < _AGREES and not rightness:
            right = (self._marked(item, other).rightness for other in others)
            if any(share > _LEAST_RIGHT for share in right):
                return OTHER  # such as seconds, in whatever words
        told = agrees > _AGREES and rightness < 0.2
        if best in ("score", "points") or (told and one.filled >= _TELLING_ROWS):
            return "score"
        return None

    def _marked(self, item: str, one: Column) -> Marked:
        return self.marker.sampled((item, text) for text in one.texts)

    def _settle(self, group: _Group, majority: bool) -> None:
        """Lay down what the columns of a question are, and how the answers stand by that."""
        answers = group.answers
        if len(answers.columns) > 1:
            by = ", as in other questions or by the names" if answers.tries is None else ""
            answers.decide(majority)
            if answers.tries:
                group.why = f"a try: each of these columns holds whole answers{by}"
            else:
                group.why = "one of the boxes of this question" + (by or ": right when joined")
        else:
            answers.decide(majority)
        for one, about, number in group.about_it:
            own = number if answers.tries else None
            if (about, own) not in group.beside.values():
                group.beside[one.name] = (about, own)

    def _take_neighbours(self, groups: list[_Group]) -> None:
        """Columns right of the answers that say how these were marked, such as `Points (3)`.

        Those of one wording are taken where the words say so, or where the numbers of most of
        them go with the verdicts.
        """
        taken = {one.name for group in groups for one in group.answers.columns}
        taken |= {name for group in groups for name in group.beside}
        found: dict[str, list[tuple[_Group, Column, int | None, bool]]] = defaultdict(list)
        for group in groups:
            columns = group.answers.columns
            last = max(columns, key=lambda one: one.place)
            for number, answer in enumerate(columns, 1):
                own = number if group.answers.tries else None
                one = self.every[answer.place + 1] if answer.place + 1 < len(self.every) else None
                if one is None or not one.name or one.name in taken or one.numbers < 0.9:
                    continue
                if one.is_percentage:
                    continue
                if ("score", own) in group.beside.values() or not (own or answer is last):
                    continue
                both = sum(map(all, zip(one.texts, answer.texts, strict=True)))
                if one.says_other > _HALF or 2 * both < one.filled:
                    continue  # such as the total of a row
                told = both >= _TELLING_ROWS and self._agreement(one, answer, group.item) > 0.8
                found[_family(DOUBLED.sub("", one.name))].append((group, one, own, told))
        answers = sum(len(one.answers.columns) if one.answers.tries else 1 for one in groups)
        for words, pairs in found.items():
            said = meanings(words) if words else {}
            named = said.get("score", 0) + said.get("points", 0) - said.get(OTHER, 0) >= 0.5
            most = 2 * sum(told for *_, told in pairs) > len(pairs)
            for group, one, own, told in pairs:
                if told or most or (named and len(pairs) > 1 and 2 * len(pairs) > answers):
                    group.beside[one.name] = ("score", own)

    def _agreement(self, one: Column, answer: Column, item: str) -> float:
        pairs = ((item if typed else "", typed) for typed in answer.texts)
        return self.marker.agreement(pairs, one.texts, one.values)

    def _is_unlisted(self, one: Column, taken: Collection[str]) -> bool:
        """Whether a column holds answers to a question that no item lists."""
        if one.name in taken or one.name in self._named or one.dates > 0.5:
            return False
        if one.name in self._companions:
            return False
        if standard_field(one.name) or one.share(self._worded) >= 0.5:
            return False
        if len(one.counts) == 1 and one.filled >= _TELLING_ROWS:
            return False
        about = meanings(one.name.rpartition(": ")[2])
        if any(about.get(name, 0) >= 0.5 for name in ("score", "points")):
            return False
        return unlisted(one.name) or (self._is_numbered and bool(numbering_of(one.name).id))

    def _called(self, name: str) -> str:
        """What an unlisted question is called: by its number, where all others have their ids so.

        A question that hides in a picture is so the one of that number, once it is in the list.
        """
        alike = [numbering_of(other).id == one.item for other, one in self._named.items()]
        own = numbering_of(name).id
        return own if own and len(alike) > 1 and all(alike) else name

    def _beside_unlisted(self, asked: Collection[str]) -> Iterator[tuple[str, str]]:
        """Points beside questions that no item lists: possible where all rows have the same."""
        for one in self.columns:
            stem, tail = self._companions.get(one.name, ("", ""))
            if stem in asked and one.numbers > 0.9 and {"score", "points"} & meanings(tail).keys():
                yield one.name, f"{'score' if len(one.counts) > 1 else 'points'} of {stem}"

    # what is said of the whole row

    def structure(self, one: Column) -> float | None:
        """Another value in each row, or for each try; short numbers are as well marks."""
        apart = len(one.counts) / one.filled
        for tries in self.columns if apart < _APART else ():
            if tries is not one and self._attempt(tries):
                pairs = {pair for pair in zip(one.texts, tries.texts, strict=True) if pair[0]}
                apart = max(apart, len(pairs) / one.filled)
        if one.filled < 0.5 * self.height:
            return None
        if not one.says("student"):
            short = one.numbers > 0.9 and one.share(lambda text: len(text) > 3) < 0.9
            return None if apart < _APART or one.filled < 2 else apart - 0.5 * short
        return apart

    def _attempt(self, one: Column) -> float:
        small = max(one.tries.values(), default=_MOST_TRIES) < _MOST_TRIES
        return 0.3 + 0.5 * one.says("attempt") if small and one.says("attempt") > 0.6 else 0.0

    def other_answers(self, free: Sequence[Column]) -> Iterator[Column]:
        """Columns under a question's name, or one like theirs, that are not taken for anything."""
        taken = {one.name for one in self.columns if one not in free}
        kinds = Counter(_DIGITS.sub("", name) for name in {*self._named, *taken})
        for one in free:
            told = self._named.get(one.name)
            if told:
                others = [other for other in self.columns if other is not one
                          and other.name in self._named
                          and self._named[other.name].item == told.item]  # fmt: skip
                asks = not one.is_flag and self._about(one, told, others) is None
            else:
                alike = one.name != (kind := _DIGITS.sub("", one.name)) and kinds[kind] > 1
                named = one.name not in self._companions and (alike or unlisted(one.name))
                asks = named or self._is_answered(one)
            if not asks or one.dates > 0.5 or self.names_questions(one) > 0.5:
                continue
            marked = self._marked(told.item, one) if told else Marked()
            if not marked.seen or marked.readable >= _LEAST_READABLE:
                yield one

    def _is_answered(self, one: Column) -> bool:
        """Whether mathematics stands in a column that no question of the list is named for."""
        if (
            one.says("score")
            or one.share(lambda text: any(sign in text for sign in SIGNS)) < _LEAST_READABLE
        ):
            return False
        items = [named.item for named in self._named.values()][:1]
        return any(self._marked(item, one).readable >= _LEAST_READABLE for item in items)


def _family(rest: str) -> str:
    """The words of a header without numbers of points or questions; a doubled name stays apart."""
    doubled = DOUBLED.search(rest)
    words = header_words(_DIGITS.sub("", DOUBLED.sub("", rest)))
    return f"{words}{doubled[0]}" if doubled else words
