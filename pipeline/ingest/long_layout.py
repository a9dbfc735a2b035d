"""A table with a row per answer: which column holds what, told by the cells of all columns."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain, permutations
from typing import ClassVar, TypeAlias

from pipeline.course import ExportMap
from pipeline.ingest.column_facts import Column
from pipeline.ingest.columns import meanings, standard_field
from pipeline.ingest.header import HeaderRow, numbered_columns, stacked
from pipeline.ingest.layout import SIGNS, Judge, Layout
from pipeline.ingest.marker import JUDGED_ROWS, Marked, Marker
from pipeline.ingest.proposal import LEAST, Proposal
from pipeline.ingest.questions import BETWEEN_NUMBERS, Questions
from pipeline.ingest.sample import SampledRow, is_data, naming_columns
from pipeline.ingest.tries_and_boxes import AnswerColumns, joined, ordinal, without_ordinal

_JUDGED_ROWS = 2 * JUDGED_ROWS
_FIRST_JUDGED = 24
_MANY = 300
_TELLS = 0.5
_ALL_THE_SAME = 0.4
"""What speaks for tries where they count from 1, whatever the column is called."""
_TELLING_ROWS = 8
_LEAST_RIGHT, _BOX_RIGHT = 0.1, 0.2
_NAMED_ANSWER = 0.6
_MOST_NUMBERED = 12
_NUMERIC, _AGREES, _MANY_ROWS = 0.8, 0.7, 20
_KEY_FILLED, _NEARLY_ALL, _FEW_OF_ALL = 0.8, 0.8, 0.02
_MARKS = (
    "right and wrong in yes and no, or in percent (as `score` in the map they are read; in other "
    "words, with the one for right as `right`)"
)
_TAKEN_OFF, _NO_MARK = "numbers that go with wrong answers, such as points taken off", "–"
_FILL_DOWN = (
    "{!r} is empty in most rows, as where an id stands in a student's first row alone: fill it "
    "down in the file, so that each row has it"
)
# What a column may say of one try, where each try has columns of its own.
_OF_TRIES = ("answered_at", "score", "points", "work", "problem")


def long_tables(
    rows: Sequence[SampledRow], questions: Questions, marker: Marker
) -> Iterator[LongTable]:
    """The table taken as long, once for each column that may hold its questions."""
    named = naming_columns(rows, questions.find)
    found: list[_Named] = [((at,), share, {}) for at, share in named.items()]
    if max(named.values(), default=0) < _NEARLY_ALL:
        pairs = permutations(_numbered_columns(rows, questions), 2)
        found += [(pair, 1.0, {}) for pair in pairs
                  if _share_of(rows, pair, questions) > _NEARLY_ALL]  # fmt: skip
    # Where ids are bare numbers, so may be points: what is counted in words is tried as well.
    bare = all(row[place].isdecimal() for place in named for _, row in rows[1:] if place < len(row))
    found += _named_by(questions.counted_by, rows, _single(rows), questions) if bare else ()
    yield from _tables(rows, found, questions, marker)


def tables_by_place(
    rows: Sequence[SampledRow], questions: Questions, marker: Marker
) -> Iterator[LongTable]:
    """The table taken as long, where numbers are places in the list, or in a quiz named there."""
    columns = chain(_single(rows), permutations(_numbered_columns(rows, questions), 2))
    found = _named_by(questions.placed_by, rows, columns, questions)
    yield from _tables(rows, [*found], questions, marker)


_Named: TypeAlias = tuple[tuple[int, ...], float, dict[str, str]]
"""Places of the columns that name the questions, share of cells that do, what these call them."""


def _tables(
    rows: Sequence[SampledRow],
    found: Sequence[_Named],
    questions: Questions,
    marker: Marker,
) -> Iterator[LongTable]:
    for places, share, names in found:
        called = questions.called(names) if names else questions
        header = _header_above(rows, places, called)
        if header and not (header.goes_by_number and len(found) > 1):
            width = len(header.names)
            below = [cells for line, cells in rows if line > header.line and len(cells) <= width]
            if any(len(cells) > max(places) for cells in below):
                yield LongTable(header, below, (places, share), called, marker)


def _name_in(row: Sequence[str], places: Sequence[int]) -> str:
    return BETWEEN_NUMBERS.join(row[place] for place in places)


def _share_of(rows: Sequence[SampledRow], pair: tuple[int, ...], questions: Questions) -> float:
    """Share of rows in which columns name a question together: worksheet 4 and problem 6."""
    texts = (_name_in(row, pair) for _, row in rows if max(pair) < len(row))
    return sum(bool(questions.find(text)) for text in texts) / len(rows)


def _single(rows: Sequence[SampledRow]) -> list[tuple[int, ...]]:
    """Every column alone."""
    return [(at,) for at in range(max((len(cells) for _, cells in rows), default=0))]


def _named_by(
    number: Callable[[Collection[str]], dict[str, str]],
    rows: Sequence[SampledRow],
    columns: Iterable[tuple[int, ...]],
    questions: Questions,
) -> Iterator[_Named]:
    """Columns whose cells number the questions of the list, such as `Task 3` for `q03`."""
    for places in columns:
        cells = [_name_in(row, places) for _, row in rows if max(places) < len(row)]
        texts = {text for text, times in Counter(cells).items() if times > 1 and text}
        if len(texts) <= len(questions.ids) and (names := number(texts)):
            yield places, 1.0, names


def _numbered_columns(rows: Sequence[SampledRow], questions: Questions) -> list[int]:
    """Columns of few numbers, or of numbered names, that may be parts of ids; none if many are.

    A table of answers has few columns of numbers; a sheet of scores has hundreds.
    """
    width = max((len(cells) for _, cells in rows), default=0)
    cells = {at: [row[at] for _, row in rows if at < len(row)] for at in range(width)}
    numbered = [at for at in cells
                if 2 * sum(questions.is_part(text) for text in cells[at]) > len(rows)
                and len(set(cells[at])) <= 2 * len(questions.ids)]  # fmt: skip
    return numbered if len(numbered) <= _MOST_NUMBERED else []


def _header_above(
    rows: Sequence[SampledRow], places: Sequence[int], questions: Questions
) -> HeaderRow | None:
    """The row of names above the first row that names a question; None where there is none.

    Columns of a file that begins with such a row go by number.
    """
    place = places[-1]
    first = next(
        at
        for at, (_, cells) in enumerate(rows)
        if max(places) < len(cells) and questions.find(_name_in(cells, places))
    )
    if not first:
        return numbered_columns(max(len(cells) for _, cells in rows))
    above = [row for row in rows[:first] if place < len(row[1]) and row[1][place]]
    fitting = [row for row in above if not is_data(row[1], rows, row[0])]
    if not fitting:
        return None
    most = max(sum(map(bool, cells)) for _, cells in fitting)

    def rank(row: SampledRow) -> tuple[bool, int, int]:
        line, cells = row
        filled = [cell for cell in cells if cell]
        return 2 * len(filled) > most, sum(bool(meanings(one)) for one in filled), -line

    return stacked([max(fitting, key=rank)])


class LongTable(Layout):
    """A table of answers."""

    asked: ClassVar[Mapping[str, str]] = {
        **Layout.asked,
        "attempt": "tries",
        "score": "points",
        "points": "points",
    }
    like_students = "its values come again with other questions, as students do"

    def __init__(
        self,
        header: HeaderRow,
        below: Sequence[Sequence[str]],
        item: tuple[Sequence[int], float],
        questions: Questions,
        marker: Marker,
    ) -> None:
        super().__init__(header, below, questions, marker)
        parts = [self.every[place] for place in item[0]]
        self._parts_of_item = parts if len(parts) > 1 else []
        whole = " ".join(one.name for one in parts)
        self.item = self._joined(parts, whole, BETWEEN_NUMBERS) if len(parts) > 1 else parts[0]
        self._items = [questions.find(text) or text for text in self.item.texts]
        self._rows = [row for row, one in enumerate(self._items) if one]
        self._kinds = len({self._items[row] for row in self._rows})
        self._first = _FIRST_JUDGED if len(header.names) < _MANY else _FIRST_JUDGED // 4
        self._structures: dict[int, float | None] = {}
        why = f"{item[1]:.0%} of its cells name a question of the list"
        self.why("item", self.item, why)

    def proposal(self, base: ExportMap) -> Proposal | None:
        """The best map of the table; None without a column of answers.

        Args:
            base: what is known of the file: its name, its sheet.
        """
        judges = {**self.of_rows(), "answer": self._answer, "work": self._work,
                  "problem": self._problem}  # fmt: skip
        parts = [one.place for one in self._parts_of_item]
        first = self.assigned(judges, {"item": self.item.place}, parts)
        if "answer" not in first:
            return None
        if {"student", "section"} <= first.keys():
            students, sections = (self.every[first[name]] for name in ("student", "section"))
            if not self.few_of_student(students, sections):
                del first["section"]
        answers = self._answer_columns(first)
        first["answer"] = answers.columns[0].place
        used = [*parts, *(one.place for one in answers.columns)]
        whose = self.every[first["student"]] if "student" in first else None
        numbers: dict[str, Judge] = {
            "attempt": lambda one: self._attempt(one, first),
            "score": lambda one: self._score(one, answers.columns, whose),
        }
        if "student" not in first:
            numbers["count"] = self._count
        second = self.assigned(numbers, first, used)
        chosen = self.assigned({"points": lambda one: self._points(one, second)}, second, used)
        if self._is_key(answers.columns[0]) and self._left(chosen):
            return None
        return self._proposal(base, chosen, answers)

    def _proposal(
        self, base: ExportMap, chosen: Mapping[str, int], answers: AnswerColumns
    ) -> Proposal:
        fields: dict[str, tuple[str, ...]] = {
            name: self.headers_of(place) for name, place in chosen.items()
        }
        fields["answer"] = tuple(one.name for one in answers.columns)
        tries = {one.name: number for number, one in enumerate(answers.columns, 1)}
        beside = dict(self._beside(fields, tries)) if answers.tries else {}
        said = {header: (name, "") for name, headers in fields.items() for header in headers}
        said |= {header: (what, "named like its sibling") for header, what in beside.items()}
        chosen_map = replace(
            base,
            layout="long",
            columns=fields,
            questions=self.questions.names,
            tries=tries if answers.tries else {},
            beside=beside,
        )
        doubts = (
            f"{self.item.name!r} and {one.name!r} name different questions in one row. "
            "Decide by a map with one of them as `item`"
            for one in self._contradicting(self.columns)
        )
        return self.proposed(chosen_map, said, answers.marked, doubts)

    def _contradicting(self, columns: Sequence[Column]) -> Iterator[Column]:
        """Columns that name other questions than those that the rows are taken for."""
        for one in columns:
            otherwise = {name: one.says(name) for name in meanings(one.name) if name != "problem"}
            if max(otherwise, key=otherwise.__getitem__, default="item") != "item":
                continue  # a class `P3` is no question 3
            if one is self.item or one.share(self.questions.find_worded) < _NEARLY_ALL:
                continue
            pairs = zip(self._items, map(self.questions.find_worded, one.texts), strict=True)
            differing = sum(item != other for item, other in pairs if item and other)
            if differing > _FEW_OF_ALL * one.filled:
                yield one

    def refusal(self, found: Proposal) -> str | None:
        """Why a map is not one that could be meant; None for one that could."""
        fields = found.map.columns
        if why := self._no_student(fields):
            return why
        if count := next(filter(_is_a_sum, self._parts_of_item), None):
            return f"{count.name!r} counts points, and is no number of a question"
        few = found.right < max(2, _LEAST_RIGHT * found.judged)
        bare = self.item.share(str.isdecimal) == 1 and self.item.says("item") < _NEARLY_ALL
        if few and self.header.goes_by_number:
            return "no row names the columns, and hardly an answer to the questions is right"
        if (self.questions.names or bare or len(fields["item"]) > 1) and few:
            return (
                f"{self.item.name!r} goes by numbers, and hardly an answer is right for the "
                "questions of these numbers, so they may be others"
            )
        if bare and (quiz := next(filter(self._names_other_quiz, self.columns), None)):
            return (
                f"{self.item.name!r} goes by numbers, and {quiz.name!r} names another quiz than "
                "the list has for the questions of these numbers"
            )
        if found.judged > _TELLING_ROWS and 5 * found.answers < found.judged:
            return f"hardly a cell of {fields['answer'][0]!r} reads as an answer to its question"
        return None

    def _names_other_quiz(self, one: Column) -> bool:
        """Whether a column names quizzes of the list, and others than the questions are in."""
        if not self._names_quizzes(one):
            return False
        rows = [(self._items[row], one.texts[row]) for row in self._rows if one.texts[row]]
        other = sum(item not in self.questions.of_quiz(quiz) for item, quiz in rows)
        return 5 * other > len(rows)

    def _no_student(self, fields: Mapping[str, Sequence[str]]) -> str | None:
        """Why no column can be that of the students, where one has to be."""
        if "student" not in fields:
            told = "count" in fields
            return None if told else self._not_filled_down() or "no column tells the students apart"
        student = self.of_students(fields["student"])
        if why := self.headless(student):
            return why
        if 2 * student.filled <= self.height:
            return _FILL_DOWN.format(student.name)
        if self._is_another_each_time(student):
            return (
                f"{student.name!r} has another value in nearly every row, so that each answer "
                "would be another student; the column of the student's id is missing"
            )
        return None

    def answered(self, found: Proposal) -> Iterator[tuple[str, str, str]]:
        """What each answer's question is called, its id, and the answer."""
        texts = [self.column(name).texts for name in found.map.columns["answer"]]
        whole = texts[0] if found.map.tries else map(joined, zip(*texts, strict=True))
        return zip(self.item.texts, self._items, whole, strict=True)

    def _not_filled_down(self) -> str | None:
        """Whether ids stand in the first row of each student alone."""
        sparse = (
            one
            for one in self.columns
            if one.place != self.item.place
            and one.texts[0]
            and 2 * one.filled <= self.height
            and len(one.counts) == one.filled > 1
        )
        if (first := next(sparse, None)) is None:
            return None
        return _FILL_DOWN.format(first.name)

    def _is_another_each_time(self, column: Column) -> bool:
        distinct = len(column.counts)
        return (
            len(self._rows) >= _TELLING_ROWS
            and self._kinds > 1
            and distinct > 0.9 * column.filled
            and distinct > 1.5 * len(self._rows) / self._kinds
        )

    # what speaks for each field, from 0 to about 1

    def student(self, one: Column) -> float:
        """Ids of records, one for each row, are those of students where nothing else is."""
        found = super().student(one)
        return min(found, LEAST + 0.01) if self._is_another_each_time(one) else found

    def structure(self, one: Column) -> float | None:
        """Seldom twice with one question, with many questions."""
        if one.place not in self._structures:
            cannot = self.names_questions(one) > 0.5
            cannot = cannot or (len(one.counts) == 1 and not one.says("student"))
            self._structures[one.place] = None if cannot else self._pairs_up(one)
        return self._structures[one.place]

    def _pairs_up(self, one: Column) -> float:
        pairs = {(one.texts[row], self._items[row]) for row in self._rows if one.texts[row]}
        if len(one.counts) < 2 or not pairs:
            return 0.0
        rows = sum(bool(one.texts[row]) for row in self._rows)
        return len(pairs) / rows * len(pairs) / len(one.counts) / self._kinds

    def _answer(self, one: Column) -> float:
        if one.dates > 0.5 or one.addresses > 0.5:
            return 0.0
        name = one.says("answer")
        if self._is_key(one):  # where nothing else is the answer, all typed the same
            return _ALL_THE_SAME * (name >= _NAMED_ANSWER > one.says_other)
        marked = self._marked(one, self._first)
        if marked.right or name:
            marked = self._marked(one, _JUDGED_ROWS)
        if not marked.right and (name < 0.3 or self.names_questions(one) > 0.9):
            return 0.0
        right = marked.right and "right answers to the questions stand in it"
        self.why("answer", one, right, name and "its name")
        values = min(1.0, 1.5 * marked.rightness) + 0.2 * marked.readable
        return values + 0.3 * name - 0.4 * one.says_other

    def _attempt(self, one: Column, taken: Mapping[str, int]) -> float:
        """Small numbers that count from 1 wherever a student meets a question again."""
        name = one.says("attempt")
        if not one.tries or one.filled < 0.9 * len(self._rows):
            return 0.0
        students = self.every[taken["student"]].texts if "student" in taken else self._items
        tries: dict[tuple[str, str], list[int]] = defaultdict(list)
        for row in self._rows:
            if one.texts[row]:
                tries[students[row], self._items[row]].append(one.tries[one.texts[row]])
        several = [found for found in tries.values() if len(found) > 1]
        apart = sum(len(set(found)) == len(found) for found in several) / max(1, len(several))
        if several and apart < 0.5:
            return 0.0
        from_one = sum(min(found) == 1 for found in tries.values()) / max(1, len(tries))
        tells = bool(several) and apart > 0.9 and from_one > 0.8
        self.why(
            "attempt",
            one,
            tells and "it counts from 1 for each student and question",
            name and "its name",
        )
        return 0.6 * tells + 0.5 * name - 0.4 * one.says_other

    def _score(self, one: Column, answers: Sequence[Column], whose: Column | None) -> float:
        """What goes with the verdicts, and is not the same for all answers of a question."""
        name, possible = one.says("score"), one.says("points")
        constant = self._is_constant(one) and (len(one.counts) > 1 or possible > name)
        own = standard_field(one.name) == "score"  # else shares are of whatever
        told = one.numbers >= _NUMERIC or (own and one.is_flag)
        if not told or constant or (one.is_percentage and not own):
            return 0.0
        agrees = self._agreement(one, answers)
        if agrees < -_TELLS:  # of errors, or taken off
            return 0.0
        agrees = max(0.0, agrees)
        if whose and agrees < _AGREES and self._is_total(whose, one):
            return 0.0
        self.why(
            "score", one, agrees > 0.3 and "right answers have more of it", name and "its name"
        )
        parted = one.share(lambda text: "/" in text)  # `2/3` says more than its percentage
        return (0.6 + 0.5 * parted) * agrees + 0.5 * name - 0.45 * one.says_other * (1 - agrees)

    def _agreement(self, one: Column, answers: Sequence[Column]) -> float:
        """How far marks go with right and wrong, of the first answer or of all boxes joined."""
        whole = map(joined, zip(*(each.texts for each in answers), strict=True))
        pairs = [[*zip(self._items, texts, strict=True)] for texts in (answers[0].texts, whole)]
        alone = len(one.counts) == 1  # it stands beside some answers, and nothing beside others
        texts = [text or _NO_MARK for text in one.texts] if alone else one.texts
        told = {} if alone else one.verdicts
        values = [told or self.marker.rightness(each, texts) for each in pairs]
        return max(map(self.marker.agreement, pairs, (texts, texts), values), key=abs)

    def _is_total(self, whose: Column, one: Column) -> bool:
        """Whether nearly each student has one text of a column over several answers."""
        several = [student for student, times in whose.counts.items() if times > 1]
        return len(several) > 1 and self.few_of_student(whose, one) and len(one.counts) > 1

    def _points(self, one: Column, taken: Mapping[str, int]) -> float:
        """One value for each question that no earned points go beyond, and full marks reach."""
        values = one.values.values()
        if one.numbers < 0.95 or not self._is_constant(one) or min(values) < 0 or not any(values):
            return 0.0
        name = one.says("points")
        bounds = "score" in taken and self._bounded(self.every[taken["score"]], one)
        self.why(
            "points",
            one,
            "one value for each question",
            bounds and "no earned points above it",
            name and "its name",
        )
        other = max(one.says_other, one.says("item"))  # questions are numbered from 1, too
        return 0.45 * bounds + 0.5 * name - 0.45 * other

    def _bounded(self, earned: Column, possible: Column) -> bool:
        rows = zip(earned.texts, possible.texts, strict=True)
        both = [
            (earned.values[got], possible.values[most])
            for got, most in rows
            if got in earned.values and most in possible.values
        ]
        return all(got <= most for got, most in both) and any(got == most for got, most in both)

    def _count(self, one: Column) -> float:
        name = one.says("count")
        if not name or one.numbers < 0.95:
            return 0.0
        self.why("count", one, "whole numbers, and its name")
        whole = all(value >= 1 and value == int(value) for value in one.values.values())
        return 0.5 + 0.4 * name if whole else 0.0

    def _work(self, one: Column) -> float:
        name = one.says("work")
        lines = one.share(lambda text: "\n" in text or " | " in text)
        self.why("work", one, lines > 0.2 and "lines of working", name and "its name")
        return 0.3 + 0.5 * name + 0.2 * lines if name else 0.0

    def _problem(self, one: Column) -> float:
        name = one.says("problem")
        if not name or self.names_questions(one) > 0.5:
            return 0.0
        self.why("problem", one, "its name, and mathematics in its cells")
        mathematics = one.share(lambda text: any(sign in text for sign in SIGNS))
        return 0.4 + 0.4 * name if mathematics > 0.5 else 0.0

    # relations between columns

    def _is_constant(self, one: Column) -> bool:
        """Whether a column says the same wherever one question stands."""
        seen: dict[str, str] = {}
        texts = ((self._items[row], one.texts[row]) for row in self._rows)
        return all(seen.setdefault(item, text) == text for item, text in texts if text)

    def _tells_questions(self, one: Column) -> bool:
        """Whether a column has several texts, and one wherever a question stands."""
        return len(one.counts) > 1 and self._is_constant(one)

    def _is_key(self, one: Column) -> bool:
        """Whether it says the same in every row of a question, as a key does, over many rows."""
        rows = len(self._rows)
        whole = one.filled > _KEY_FILLED * rows  # a later try stands in some rows alone
        return rows > 3 and rows >= 2 * self._kinds and whole and self._is_constant(one)

    def _left(self, chosen: Mapping[str, int]) -> list[Column]:
        """Columns that may hold the answers, where those taken for them may be the key."""
        free = [one for one in self.columns if one.place not in chosen.values()]
        return [one for one in free if not self._is_constant(one) and one.says_other <= 0.5]

    def _marked(self, one: Column, most: int) -> Marked:
        return self.marker.sampled(zip(self._items, one.texts, strict=True), most)

    def _answer_columns(self, taken: Mapping[str, int]) -> AnswerColumns:
        """The answers alone, with their other boxes, or with further tries beside them."""
        answer = self.every[taken["answer"]]
        free = [one for one in self.columns if one.place not in taken.values()
                and one.dates < 0.5 and not self._is_key(one)]  # fmt: skip
        stem = without_ordinal(answer.name)
        alike = [one for one in free if without_ordinal(one.name) == stem
                 and not self.header.goes_by_number]  # fmt: skip
        others = [one for one in free if one.says("answer") or one in alike
                  or self._completes(answer, one)]  # fmt: skip
        every = sorted(
            [answer, *others],
            key=lambda one: (ordinal(one.name), one.name.casefold(), one.place),
        )
        found = AnswerColumns(every, self._items, self.marker)
        told = found.tell()
        if told or (told is None and len(alike) + 1 < len(every)):
            # Other answers of every kind are shown beside the one: only siblings are tries.
            found.columns = [one for one in every if one is answer or one in alike]
        said = "one of the boxes: " + ("right when joined" if told is False else "like its sibling")
        if len(found.columns) > 1:
            for one in found.columns:
                self.why("answer", one, "a try: holds whole answers" if told else said)
        found.decide(otherwise=False)
        return found

    def _completes(self, answer: Column, one: Column) -> bool:
        """Whether answers are right together with what another column says, and not without."""
        pairs = list(zip(self._items, answer.texts, one.texts, strict=True))
        both = [cells for cells in pairs if all(cells)][:_JUDGED_ROWS]
        alone = self.marker.marked((item, first) for item, first, _ in both)
        whole = self.marker.marked((item, joined(texts)) for item, *texts in both)
        return whole.right > 1 and whole.rightness > _BOX_RIGHT > 2 * alone.rightness

    def _beside(
        self, fields: dict[str, tuple[str, ...]], tries: Mapping[str, int]
    ) -> Iterator[tuple[str, str]]:
        """What other columns say of the later tries, named as those of the first one are.

        The fields come to mean the first try.
        """
        for name in _OF_TRIES:
            for header in fields.get(name, ()):
                stem = without_ordinal(header)
                alike = [one.name for one in self.columns if without_ordinal(one.name) == stem]
                first, *later = sorted(alike, key=ordinal)
                fields[name] = (first,)
                for one in later:
                    if ordinal(one) in tries.values():
                        yield one, f"{name} of try {ordinal(one)}"

    def unread(self, fields: Mapping[str, Sequence[str]], used: Collection[str]) -> dict[str, str]:
        """Besides what any table has: columns that count the tries at a question."""
        found = super().unread(fields, used)
        free = [one for one in self.columns if one.name not in used]
        found |= {one.name: "other questions" for one in self._contradicting(free)}
        if "score" not in fields:
            answers = [self.column(name) for name in fields["answer"]]
            for one in free:
                told = one.is_percentage or one.is_flag or not one.values
                agrees = self._agreement(one, answers)
                if abs(agrees) > (_TELLS if told else _AGREES) and not self._tells_questions(one):
                    found[one.name] = _MARKS if told or agrees > 0 else _TAKEN_OFF
        if "attempt" not in fields and "student" in fields:
            taken = {"student": self.of_students(fields["student"]).place}
            found |= {one.name: "tries" for one in free if self._attempt(one, taken) > _TELLS}
        return found

    def other_answers(self, free: Sequence[Column]) -> Iterator[Column]:
        """Other columns that hold answers to the questions of their rows, or are named for them."""
        for one in free:
            if one.says_other > 0.5 or one.dates > 0.5 or self._is_key(one):
                continue
            if len(one.counts) == one.filled > _MANY_ROWS and one.share(str.isdecimal) == 1:
                continue  # a number of each row, as records have
            if one.numbers > 0.95 and one.says("answered_at") > 0:  # how long it took
                continue
            if one.says("answer") > _NAMED_ANSWER and one.filled:
                yield one
                continue
            if one.numbers > 0.95 and not one.says("answer"):
                continue
            marked = self._marked(one, self._first)
            if marked.right >= 2 and marked.rightness > 0.15:
                yield one


def _is_a_sum(one: Column) -> bool:
    """Whether a header speaks of points rather than of questions."""
    return max(one.says("score"), one.says("points"), one.says_other) > one.says("item")
