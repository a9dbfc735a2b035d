"""A table with a row per student: which columns answer which question, told by header and cells."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import islice, permutations

from pipeline.course import ExportMap
from pipeline.ingest.column_facts import Column, agreement, group_score, ranked, reasons
from pipeline.ingest.columns import OTHER, header_words, is_totals, meanings, standard_field
from pipeline.ingest.header import MOST_STACKED, HeaderRow, stacked
from pipeline.ingest.marker import Marked, Marker
from pipeline.ingest.proposal import NOT_USED, ColumnRemark, Proposal, assigned, named_students
from pipeline.ingest.question_headers import (
    UNLISTED,
    WIDE_FIELDS,
    NamedColumn,
    named_columns,
    unlisted,
)
from pipeline.ingest.questions import Questions
from pipeline.ingest.sample import SampledRow, is_data, naming_columns
from pipeline.wording import numbering_of

__all__ = ["WideTable", "wide_tables"]

_SEARCHED_ROWS = 60
_SEARCHED_CELLS = 300_000
_MOST_HEADERS = 3
_JUDGED_ROWS = 200
_TELLING_ROWS = 6
_MOST_TRIES = 20
"""From here on, numbers of a column are no tries but, say, seconds."""
_TRY = re.compile(r"\b(?:try|attempt|versuch|intento|essai|tentative)", re.I)
_SECOND = re.compile(
    r"\b(?:2(?:nd|\.|º|e|ème)?|second\w*|zweite\w*|segund\w*|deuxi\w*|again|retry|b|y)\b", re.I
)
_THIRD = re.compile(r"\b(?:3(?:rd|\.|º|e|ème)?|third|dritte\w*|tercer\w*|troisi\w*|c|z)\b", re.I)
_DOUBLED = re.compile(r" \(\d+\)$")
_WORTH = re.compile(r"\d+")


@dataclass(slots=True)
class _Group:
    """The columns of one question.

    Args:
        item: the question's id.
        answers: columns of answers, in the order of tries or boxes.
        tries: whether these are tries, not boxes; None while nothing tells.
        order: of the boxes that is right most often.
        said: columns about an answer, the field, and the number of the try.
        beside: header -> field and number of the try.
        marked: how the answers stand.
        why: what told tries from boxes.
    """

    item: str
    answers: list[Column] = field(default_factory=list)
    tries: bool | None = None
    order: tuple[int, ...] = ()
    said: list[tuple[Column, str, int]] = field(default_factory=list)
    beside: dict[str, tuple[str, int | None]] = field(default_factory=dict)
    marked: Marked = field(default_factory=Marked)
    why: str = ""

    def which(self, number: int | None) -> str:
        """What to add where the answer has tries."""
        return f" try {number}" if self.tries and number else ""


def wide_tables(
    rows: Sequence[SampledRow], questions: Questions, marker: Marker
) -> Iterator[WideTable]:
    """The table taken as wide, under each of the rows that name most questions."""
    width = max((len(cells) for _, cells in rows), default=1)
    searched = range(min(len(rows), _SEARCHED_ROWS, max(3, _SEARCHED_CELLS // width)))
    worded = partial(_named, questions)
    told = {place for place, share in naming_columns(rows, worded).items() if share > 0.5}
    named = {at: _questions_in(rows[at], questions) for at in searched
             if not _is_answer_row(rows[at], told, worded)}  # fmt: skip
    ordered = (at for at, count in Counter(named).most_common()
               if count and not _is_like_those_below(rows[at], rows, questions))  # fmt: skip
    for at in list(islice(ordered, _MOST_HEADERS)) or list(named)[:1]:
        for depth in range(1, MOST_STACKED + 1):
            lower = rows[at + 1 : at + depth]
            if depth > 1 and (len(lower) < depth - 1 or not _goes_on_naming(lower[-1], rows)):
                break
            header = stacked([rows[at], *lower])
            below = [cells for line, cells in rows
                     if line > header.line and len(cells) <= len(header.names)]  # fmt: skip
            if below:
                yield WideTable(header, below, questions, marker)


def _named(questions: Questions, text: str) -> str | None:
    """The question that a cell names; a bare number can be an answer, or points, as well."""
    return None if text.isdecimal() else questions.find(text)


def _is_answer_row(
    row: SampledRow, told: Collection[int], find: Callable[[str], str | None]
) -> bool:
    """Whether a row names a question where the rows below do: then it holds an answer to it."""
    return any(find(row[1][place]) for place in told if place < len(row[1]))


def _questions_in(row: SampledRow, questions: Questions) -> int:
    return len(named_columns(row[1], lambda _: (), questions))


def _is_like_those_below(row: SampledRow, rows: Sequence[SampledRow], questions: Questions) -> bool:
    """Whether what a row says comes again further down, as answers, points and sections do.

    Ids of questions are let be: those that are bare numbers can be answers, too. So is a row that
    comes again as a whole, and one such cell of many.
    """
    line, cells = row
    if sum(cells == other for _, other in rows) > 1:
        return False
    telling = [place for place, cell in enumerate(cells) if cell and cell not in questions.ids]
    # Cells merged downwards stand in the next rows of names, too.
    below = [other for at, other in rows if at > line][MOST_STACKED - 1 :]
    again = sum(
        any(place < len(other) and other[place] == cells[place] for other in below)
        for place in telling
    )
    people = any(Column(0, "", [cells[place]]).addresses for place in telling)
    return people or 5 * again > len(telling)


def _goes_on_naming(row: SampledRow, rows: Sequence[SampledRow]) -> bool:
    """Whether a row below the names of questions goes on naming, such as `Response, Points`."""
    line, cells = row
    filled = [cell for cell in cells if cell]
    amounts = sum(cell[0].isdigit() or cell[0] in "-+" for cell in filled)
    if not filled or 2 * amounts > len(filled) or is_totals(filled[0]):
        return False
    times = Counter(filled)
    worded = sum(bool(meanings(cell)) or times[cell] > 1 or cell[0] == "{" for cell in filled)
    return 2 * worded > len(filled) and (max(times.values()) > 1 or not is_data(cells, rows, line))


class WideTable:
    """A table of students, its columns measured against the questions that they answer."""

    def __init__(
        self,
        header: HeaderRow,
        below: Sequence[Sequence[str]],
        questions: Questions,
        marker: Marker,
    ) -> None:
        self.header = header
        self._questions = questions
        self._worded = partial(_named, questions)
        self._marker = marker
        width = len(header.names)
        self._height = len(below)
        texts = zip(*((*cells, *[""] * (width - len(cells))) for cells in below), strict=True)
        self._by_place = {
            place: Column(place, header.names[place], cells)
            for place, cells in enumerate(texts)
            if header.names[place]
        }
        self.columns = list(self._by_place.values())
        self._rank = ranked(self.columns)
        self._named = named_columns(header.names, self._cells, questions)
        self._why = {name: one.why for name, one in self._named.items()}
        numbered = sum(bool(numbering_of(name).id) for name in self._named)
        self._is_numbered = 2 * numbered > len(self._named)

    def proposal(self, base: ExportMap) -> Proposal | None:
        """The best map of the table; None when no column answers a question of the course.

        Args:
            base: what is known of the file: its name, its sheet.
        """
        groups = self._groups()
        if not groups:
            return None
        used = {one.name for group in groups for one in group.answers}
        used |= {name for group in groups for name in group.beside}
        fields = self._fields(used)
        taken = used | {header for headers in fields.values() for header in headers}
        others = [one.name for one in self.columns if self._is_unlisted(one, taken)]
        taken |= set(others)
        return Proposal(
            map=replace(
                base,
                layout="wide",
                columns=fields,
                questions=_questions(groups) | {name: name for name in others},
                tries=_tries(groups),
                beside=_beside(groups),
                left_out=self._standard_names(taken),
            ),
            header=self.header,
            remarks=tuple(self._remarks(groups, fields, others)),
            right=sum(group.marked.right for group in groups),
            answers=sum(group.marked.read for group in groups),
            judged=sum(group.marked.seen for group in groups),
            doubts=tuple(self._doubts(fields, used)),
            cautions=tuple(filter(None, [named_students(fields.get("student", ("",))[0])])),
        )

    def refusal(self, found: Proposal) -> str | None:
        """Why a map is not one that could be meant; None for one that could."""
        if "student" not in found.map.columns:
            return "no column tells the students apart"
        taken = {*found.map.questions, *found.map.beside}
        taken |= {header for headers in found.map.columns.values() for header in headers}
        for one in self.columns:
            if one.name in taken or len(one.counts) < 2:
                continue
            # Bare numbers may be marks where right answers stand under the questions.
            if one.share(self._worded if found.right else self._questions.find) > 0.5:
                return (
                    f"the cells of {one.name!r} name questions of the list, so this is a row per "
                    "answer, and the row of column names for that is not there"
                )
        cells = sum(one.filled for one in self.columns if one.name in found.map.questions)
        if found.answers == 0 and cells > _TELLING_ROWS and found.judged:
            return "hardly a cell under the questions reads as an answer to them"
        return None

    # questions

    def _groups(self) -> list[_Group]:
        members: dict[str, list[tuple[Column, NamedColumn]]] = defaultdict(list)
        for one in self.columns:
            if (named := self._named.get(one.name)) and one.filled:
                members[named.item].append((one, named))
        about = self._told_alike(members)
        groups = [group for item, found in members.items()
                  if (group := self._group(item, found, about))]  # fmt: skip
        marks = {one.name: self._mark(group.item, one.texts)
                 for group in groups for one in group.answers}  # fmt: skip
        several = [group for group in groups if len(group.answers) > 1]
        for group in several:
            self._tell_boxes(group, marks)
        votes = Counter(group.tries for group in several if group.tries is not None)
        worded = any(_TRY.search(one.name) for group in several for one in group.answers)
        majority = votes[True] > votes[False] if votes else worded
        for group in groups:
            self._settle(group, marks, majority)
        self._take_neighbours(groups)
        return groups

    def _cells(self, place: int) -> Collection[str]:
        return self._by_place[place].counts

    def _told_alike(
        self, members: Mapping[str, list[tuple[Column, NamedColumn]]]
    ) -> dict[str, str | None]:
        """Header -> what it says of the answer, as most headers with the same words beside do.

        Of headers that stand there several times, under merged cells, each place is one by itself.
        """
        votes: dict[tuple[str, str], Counter[str | None]] = defaultdict(Counter)
        words: dict[str, tuple[str, str]] = {}
        for item, found in members.items():
            for one, named in found:
                others = [other for other, _ in found if other is not one]
                doubled = _DOUBLED.search(one.name)
                beside = header_words(_WORTH.sub("", named.rest))
                words[one.name] = beside, doubled[0] if doubled else ""
                votes[words[one.name]][self._about(one, named, others, item)] += 1
        return {name: votes[said].most_common(1)[0][0] for name, said in words.items()}

    def _group(
        self,
        item: str,
        found: list[tuple[Column, NamedColumn]],
        about: Mapping[str, str | None],
    ) -> _Group | None:
        """Answers and what stands beside them, told from the values first."""
        group = _Group(item)
        numbers = {one.name: _number(named.rest) for one, named in found}
        for one, _ in found:
            said = about[one.name]
            if said is None:
                group.answers.append(one)
            elif said != OTHER:
                group.said.append((one, said, numbers[one.name]))
        group.answers.sort(key=lambda one: (numbers[one.name], one.name.casefold(), one.place))
        return group if group.answers else None

    def _about(
        self, one: Column, named: NamedColumn, others: list[Column], item: str
    ) -> str | None:
        """The field that a column of a question is, `other`, or None for one of answers."""
        best = named.says
        if not others or best in (OTHER, "work", "problem"):
            return best
        if one.dates > 0.8:
            return "answered_at" if best == "answered_at" else OTHER
        if _TRY.search(named.rest):
            return None
        rightness = self._mark(item, one.texts).rightness
        if one.numbers < 0.9 or min(one.values.values()) < 0:
            return OTHER if one.is_flag and not rightness else None
        if best not in (None, "score", "points", "attempt") and rightness < 0.2:
            return OTHER
        agrees = max(self._agreement(one, other, item) for other in others)
        told = agrees > 0.7 and rightness < 0.2
        if best == "points" and len(one.counts) == 1 and not agrees:
            return "points"
        if best in ("score", "points") or (told and one.filled >= _TELLING_ROWS):
            return "score"
        return None

    def _tell_boxes(self, group: _Group, marks: Mapping[str, Marked]) -> None:
        """Columns are tries where each holds whole answers, boxes where they are right joined."""
        rows = zip(*(one.texts for one in group.answers), strict=True)
        several = [cells for cells in rows if sum(map(bool, cells)) > 1]
        alone = self._mark(group.item, [text for cells in several for text in cells])
        boxes = tuple(range(len(group.answers)))
        orders = list(permutations(boxes)) if len(boxes) <= 3 else [boxes]
        joined = {
            order: self._mark(
                group.item, [_joined([cells[at] for at in order]) for cells in several]
            )
            for order in orders
        }
        group.order = max(joined, key=lambda one: (joined[one].right, [-at for at in one]))
        if alone.right and alone.rightness >= joined[group.order].rightness / 3:
            group.tries = True
        elif joined[group.order].right:
            group.tries = False
        elif any(marks[one.name].right for one in group.answers[1:]):
            group.tries = True

    def _settle(self, group: _Group, marks: Mapping[str, Marked], majority: bool) -> None:
        """Lay down what the columns of a question are, and how the answers stand by that."""
        if len(group.answers) == 1:
            only = group.answers[0].name
            group.marked, group.why = marks[only], self._why[only]
        else:
            by = "" if group.tries is not None else ", as in other questions or by the names"
            group.tries = majority if group.tries is None else group.tries
            if group.tries:
                found = [marks[one.name] for one in group.answers]
                group.why = f"a try: each of these columns holds whole answers{by}"
            else:
                group.answers = [group.answers[at] for at in group.order]
                rows = zip(*(one.texts for one in group.answers), strict=True)
                found = [self._mark(group.item, [_joined(cells) for cells in rows])]
                group.why = "one of the boxes of this question" + (by or ": right when joined")
            group.marked = Marked.sum_of(found)
        for one, about, number in group.said:
            own = number if group.tries else None
            if (about, own) not in group.beside.values():
                group.beside[one.name] = (about, own)

    def _take_neighbours(self, groups: list[_Group]) -> None:
        """Columns right of the answers that say how these were marked, such as `Points (3)`.

        They are taken where most answers have such a neighbour, or where their numbers go with
        the verdicts.
        """
        taken = {one.name for group in groups for one in group.answers}
        taken |= {name for group in groups for name in group.beside}
        found: list[tuple[_Group, Column, int | None, bool]] = []
        for group in groups:
            last = max(group.answers, key=lambda one: one.place)
            for number, answer in enumerate(group.answers, 1):
                own = number if group.tries else None
                one = self._by_place.get(answer.place + 1)
                if one is None or one.name in taken or one.numbers < 0.9:
                    continue
                if ("score", own) in group.beside.values() or not (group.tries or answer is last):
                    continue
                said = meanings(_DOUBLED.sub("", one.name))
                named = said.get("score", 0) + said.get("points", 0) - said.get(OTHER, 0)
                told = self._agreement(one, answer, group.item) > 0.8
                if named >= 0.5 or (told and one.filled >= _TELLING_ROWS):
                    found.append((group, one, own, told))
        answers = sum(len(group.answers) if group.tries else 1 for group in groups)
        every = len(found) > 1 and 2 * len(found) > answers
        for group, one, own, told in found:
            if told or every:
                group.beside[one.name] = ("score", own)

    def _mark(self, item: str, texts: Sequence[str]) -> Marked:
        filled = [text for text in texts if text]
        return self._marker.marked((item, text) for text in filled[:_JUDGED_ROWS])

    def _agreement(self, one: Column, answer: Column, item: str) -> float:
        rows = zip(one.texts, answer.texts, strict=True)
        pairs = [(text, typed) for text, typed in rows if text in one.values and typed]
        return agreement(
            [self._marker.is_right(item, typed) for _, typed in pairs[:_JUDGED_ROWS]],
            [one.values[text] for text, _ in pairs[:_JUDGED_ROWS]],
        )

    def _is_unlisted(self, one: Column, taken: Collection[str]) -> bool:
        """Whether a column holds answers to a question that no item lists."""
        if one.name in taken or one.name in self._named or not one.filled or one.dates > 0.5:
            return False
        if standard_field(one.name) or one.share(self._worded) >= 0.5:
            return False
        if len(one.counts) == 1 and one.filled >= _TELLING_ROWS:
            return False
        about = meanings(one.name.rpartition(": ")[2])
        if any(about.get(name, 0) >= 0.5 for name in ("score", "points")):
            return False
        return unlisted(one.name) or (self._is_numbered and bool(numbering_of(one.name).id))

    # what is said of the whole row

    def _fields(self, used: set[str]) -> dict[str, tuple[str, ...]]:
        scores = {
            (name, one.place): self._row_score(name, one) - 1e-6 * self._rank[one.name]
            for one in self.columns
            if one.name not in used and one.filled
            for name in WIDE_FIELDS
        }
        found = assigned(scores)
        return {name: (self._by_place[place].name,) for name, place in found.items()}

    def _row_score(self, name: str, one: Column) -> float:
        if name == "student":
            return self._student(one)
        if name == "answered_at":
            if one.date_score:
                self._why[one.name] = reasons("its values are dates", one.says(name) and "its name")
            return one.date_score
        if name == "attempt":
            small = max(one.tries.values(), default=_MOST_TRIES) < _MOST_TRIES
            return 0.3 + 0.5 * one.says(name) if small and one.says(name) > 0.6 else 0.0
        return group_score(name, one, self._height)

    def _student(self, one: Column) -> float:
        if one.dates > 0.5 or one.is_machine or one.filled < 0.5 * self._height:
            return 0.0
        name = one.says("student")
        apart = len(one.counts) / one.filled
        if not name and (apart < 0.95 or one.filled < 2):
            return 0.0
        score = 0.5 * apart + one.person_score
        short = one.numbers > 0.9 and one.share(lambda text: len(text) > 3) < 0.9
        self._why[one.name] = reasons(
            apart > 0.9 and "another value in each row", name and "its name"
        )
        return score - 0.3 * (short and not name)

    def _doubts(self, fields: Mapping[str, tuple[str, ...]], used: set[str]) -> Iterator[str]:
        if "student" not in fields:
            return
        mine = next(one for one in self.columns if one.name == fields["student"][0])
        for one in self.columns:
            if one is mine or one.name in used or not one.filled or one.looks_coded < 0.9:
                continue
            near = self._student(one) > self._student(mine) - 0.05
            if near and len(one.counts) != len(mine.counts):
                yield (
                    f"{mine.name!r} and {one.name!r} can both be the student. Decide by a map: "
                    f'[[exports]] layout = "wide" columns = {{ student = {mine.name!r} }}'
                )

    def _standard_names(self, taken: Collection[str]) -> tuple[str, ...]:
        """Columns that have the name of a field and are not used for it."""
        return tuple(
            one.name
            for one in self.columns
            if one.name not in taken and standard_field(one.name) in WIDE_FIELDS
        )

    def _remarks(
        self,
        groups: Sequence[_Group],
        fields: Mapping[str, tuple[str, ...]],
        others: Sequence[str],
    ) -> Iterator[ColumnRemark]:
        said = {header: (name, self._why.get(header, "its name, and few different texts"))
                for name, headers in fields.items() for header in headers}  # fmt: skip
        for group in groups:
            for number, one in enumerate(group.answers, 1):
                said[one.name] = (f"answers to {group.item}{group.which(number)}", group.why)
            for header, (what, own) in group.beside.items():
                told = "told by its values and its place beside the answer"
                said[header] = (f"{what} of {group.item}{group.which(own)}", told)
        said |= {header: (f"answers to {header}", UNLISTED) for header in others}
        for one in self.columns:
            yield ColumnRemark(one.name, *said.get(one.name, (NOT_USED, "")))


def _questions(groups: Sequence[_Group]) -> dict[str, str]:
    return {one.name: group.item for group in groups for one in group.answers}


def _tries(groups: Sequence[_Group]) -> dict[str, int]:
    return {
        one.name: number
        for group in groups
        if group.tries
        for number, one in enumerate(group.answers, 1)
    }


def _beside(groups: Sequence[_Group]) -> dict[str, str]:
    return {
        header: f"{what} of {group.item}{group.which(number)}"
        for group in groups
        for header, (what, number) in group.beside.items()
    }


def _joined(cells: Sequence[str]) -> str:
    return "; ".join(filter(None, cells))


def _number(rest: str) -> int:
    """Which box or try the words beside a question say, from 1."""
    if _THIRD.search(rest):
        return 3
    return 2 if _SECOND.search(rest) else 1
