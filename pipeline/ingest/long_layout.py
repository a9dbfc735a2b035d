"""A table with a row per answer: which column holds what, told by the cells of all columns."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from itertools import permutations

from pipeline.course import ExportMap, Item
from pipeline.ingest.column_facts import Column, agreement, group_score, ranked, reasons
from pipeline.ingest.columns import meanings, standard_field
from pipeline.ingest.header import HeaderRow, stacked
from pipeline.ingest.marker import Marked, Marker
from pipeline.ingest.proposal import NOT_USED, ColumnRemark, Proposal, assigned, named_students
from pipeline.ingest.questions import Questions
from pipeline.ingest.sample import SampledRow, is_data, naming_columns

__all__ = ["LongTable", "long_tables"]

_JUDGED_ROWS = 400
_FIRST_JUDGED = 24
_MANY = 300
_NEAR = 0.12
"""Two columns whose scores are no farther apart can both be meant."""
_TELLING_ROWS = 8
_SIGNS = "=^+*/"


def long_tables(
    rows: Sequence[SampledRow], questions: Questions, marker: Marker, items: Sequence[Item]
) -> Iterator[LongTable]:
    """The table taken as long, once for each column that may hold its questions."""
    quizzes = frozenset(one.quiz.casefold() for one in items if one.quiz)
    for place, share in naming_columns(rows, questions.find).items():
        if header := _header_above(rows, place, questions):
            width = len(header.names)
            below = [cells for line, cells in rows if line > header.line and len(cells) <= width]
            if any(len(cells) > place for cells in below):
                yield LongTable(header, below, (place, share), questions, marker, quizzes)


def _header_above(rows: Sequence[SampledRow], place: int, questions: Questions) -> HeaderRow | None:
    """The row of names above the first row that names a question; None where there is none."""
    first = next(
        at
        for at, (_, cells) in enumerate(rows)
        if place < len(cells) and questions.find(cells[place])
    )
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


class LongTable:
    """A table of answers, its columns measured against each other row by row."""

    def __init__(
        self,
        header: HeaderRow,
        below: Sequence[Sequence[str]],
        item: tuple[int, float],
        questions: Questions,
        marker: Marker,
        quizzes: frozenset[str],
    ) -> None:
        self.header = header
        self._questions = questions
        self._marker = marker
        self._quizzes = quizzes
        width = len(header.names)
        texts = zip(*((*cells, *[""] * (width - len(cells))) for cells in below), strict=True)
        self.columns = [
            Column(place, header.names[place], cells) for place, cells in enumerate(texts)
        ]
        self.item = self.columns[item[0]]
        self._items = [questions.find(text) or text for text in self.item.texts]
        self._rows = [row for row, one in enumerate(self._items) if one]
        self._kinds = len({self._items[row] for row in self._rows})
        self._rank = ranked(self.columns)
        self._first = _FIRST_JUDGED if width < _MANY else _FIRST_JUDGED // 4
        self._structures: dict[int, float] = {}
        why = f"{item[1]:.0%} of its cells name a question of the list"
        self._why = {("item", self.item.place): why}

    def proposal(self, base: ExportMap) -> Proposal | None:
        """The best map of the table; None without a column of answers.

        Args:
            base: what is known of the file: its name, its sheet.
        """
        first = self._assigned(
            {
                "student": self._student,
                "answer": self._answer,
                "answered_at": self._answered_at,
                "section": lambda one: self._group("section", one),
                "term": lambda one: self._group("term", one),
                "quiz": self._quiz,
                "setting": self._setting,
                "supervised": lambda one: self._flag("supervised", one),
                "calculator": lambda one: self._flag("calculator", one),
                "work": self._work,
                "problem": self._problem,
            },
            {"item": self.item.place},
        )
        if "answer" not in first:
            return None
        if {"student", "section"} <= first.keys() and not self._groups_people(first):
            del first["section"]
        numbers: dict[str, Callable[[Column], float]] = {
            "attempt": lambda one: self._attempt(one, first),
            "score": lambda one: self._score(one, first),
        }
        if "student" not in first:
            numbers["count"] = self._count
        second = self._assigned(numbers, first)
        chosen = self._assigned({"points": lambda one: self._points(one, second)}, second)
        boxes, marked = self._boxes(chosen["answer"], set(chosen.values()))
        fields: dict[str, tuple[str, ...]] = {
            name: (self.header.names[place],) for name, place in chosen.items()
        }
        fields["answer"] = tuple(self.header.names[place] for place in boxes)
        places = set(chosen.values()) | set(boxes)
        others = [one.name for one in self.columns if one.place not in places]
        left_out = tuple(name for name in others if standard_field(name))
        return Proposal(
            map=replace(base, layout="long", columns=fields, left_out=left_out),
            header=self.header,
            remarks=tuple(self._remarks(fields)),
            right=marked.right,
            answers=marked.read,
            judged=marked.seen,
            doubts=tuple(self._doubts(chosen, fields)),
            cautions=tuple(self._cautions(fields, self.other_answers(places))),
        )

    def refusal(self, found: Proposal) -> str | None:
        """Why a map is not one that could be meant; None for one that could."""
        fields = found.map.columns
        if "student" not in fields and "count" not in fields:
            return "no column tells the students apart"
        if "student" in fields:
            student = self.columns[self.header.names.index(fields["student"][0])]
            if self._is_another_each_time(student):
                return (
                    f"{student.name!r} has another value in nearly every row, so that each answer "
                    "would be another student; the column of the student's id is missing"
                )
        if found.judged > _TELLING_ROWS and 5 * found.answers < found.judged:
            return f"hardly a cell of {fields['answer'][0]!r} reads as an answer to its question"
        return None

    def _is_another_each_time(self, column: Column) -> bool:
        distinct = len(column.counts)
        return (
            len(self._rows) >= _TELLING_ROWS
            and self._kinds > 1
            and distinct > 0.9 * column.filled
            and distinct > 1.5 * len(self._rows) / self._kinds
        )

    def _assigned(
        self, judges: Mapping[str, Callable[[Column], float]], taken: Mapping[str, int]
    ) -> dict[str, int]:
        gone = set(taken.values())
        free = [one for one in self.columns if one.name and one.filled and one.place not in gone]
        free.sort(key=lambda one: -one.says("answer"))  # what may be judged is limited
        scores = {
            (name, one.place): judge(one) - 1e-6 * self._rank[one.name]
            for one in free
            for name, judge in judges.items()
        }
        return {**taken, **assigned(scores)}

    # what speaks for each field, from 0 to about 1

    def _student(self, one: Column) -> float:
        if one.dates > 0.5 or one.is_machine or self._names_questions(one) > 0.5:
            return 0.0
        name = one.says("student")
        if len(one.counts) == 1 and not name:
            return 0.0
        if one.place not in self._structures:
            self._structures[one.place] = self._structure(one)
        structure = self._structures[one.place]
        self._why["student", one.place] = reasons(
            structure > 0.3 and "its values come again with other questions, as students do",
            name and "its name",
        )
        return 0.55 * structure + one.person_score

    def _structure(self, one: Column) -> float:
        """How much like a student's id: seldom twice with one question, with many questions."""
        pairs = {(one.texts[row], self._items[row]) for row in self._rows if one.texts[row]}
        if len(one.counts) < 2 or not pairs:
            return 0.0
        rows = sum(bool(one.texts[row]) for row in self._rows)
        return len(pairs) / rows * len(pairs) / len(one.counts) / self._kinds

    def _answer(self, one: Column) -> float:
        if one.dates > 0.5 or one.addresses > 0.5 or self._is_key(one):
            return 0.0
        name = one.says("answer")
        marked = self._marked(one, self._first)
        if marked.right or name:
            marked = self._marked(one, _JUDGED_ROWS)
        if not marked.right and (name < 0.3 or self._names_questions(one) > 0.9):
            return 0.0
        self._why["answer", one.place] = reasons(
            marked.right and "right answers to the questions stand in it", name and "its name"
        )
        values = min(1.0, 1.5 * marked.rightness) + 0.2 * marked.readable
        return values + 0.3 * name - 0.4 * one.says_other

    def _answered_at(self, one: Column) -> float:
        if not one.date_score:
            return 0.0
        late = float(one.times.mean()) >= self._latest
        self._why["answered_at", one.place] = reasons(
            "its values are dates",
            late and "no other is later",
            one.says("answered_at") and "its name",
        )
        return one.date_score + 0.15 * late

    @cached_property
    def _latest(self) -> float:
        dated = [float(one.times.mean()) for one in self.columns if one.dates >= 0.8]
        return max(dated, default=0.0)

    def _attempt(self, one: Column, taken: Mapping[str, int]) -> float:
        """Small numbers that count from 1 wherever a student meets a question again."""
        name = one.says("attempt")
        if not one.tries or one.filled < 0.9 * len(self._rows):
            return 0.0
        students = self.columns[taken["student"]].texts if "student" in taken else self._items
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
        self._why["attempt", one.place] = reasons(
            tells and "it counts from 1 for each student and question", name and "its name"
        )
        return 0.6 * tells + 0.5 * name - 0.4 * one.says_other

    def _score(self, one: Column, taken: Mapping[str, int]) -> float:
        """Numbers that go with the verdicts, and are not the same for all answers of a question."""
        name, possible = one.says("score"), one.says("points")
        constant = self._is_constant(one)
        if one.numbers < 0.8 or (constant and (len(one.counts) > 1 or possible > name)):
            return 0.0
        answers = self.columns[taken["answer"]].texts
        rows = [row for row in self._rows if one.texts[row] in one.values][:_JUDGED_ROWS]
        agrees = agreement(
            [self._marker.is_right(self._items[row], answers[row]) for row in rows],
            [one.values[one.texts[row]] for row in rows],
        )
        self._why["score", one.place] = reasons(
            agrees > 0.3 and "right answers have more of it", name and "its name"
        )
        return 0.6 * max(0.0, agrees) + 0.5 * name - 0.45 * one.says_other

    def _points(self, one: Column, taken: Mapping[str, int]) -> float:
        """One value for each question that no earned points go beyond, and full marks reach."""
        least = min(one.values.values(), default=0)
        if one.numbers < 0.95 or not self._is_constant(one) or least <= 0:
            return 0.0
        name = one.says("points")
        bounds = "score" in taken and self._bounded(self.columns[taken["score"]], one)
        self._why["points", one.place] = reasons(
            "one value for each question",
            bounds and "no earned points above it",
            name and "its name",
        )
        return 0.45 * bounds + 0.5 * name - 0.45 * one.says_other

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
        self._why["count", one.place] = "whole numbers, and its name"
        whole = all(value >= 1 and value == int(value) for value in one.values.values())
        return 0.5 + 0.4 * name if whole else 0.0

    def _group(self, field: str, one: Column) -> float:
        if self._names_questions(one) > 0.5:
            return 0.0
        self._why[field, one.place] = "its name, and few different texts"
        return group_score(field, one, len(self._rows))

    def _groups_people(self, taken: Mapping[str, int]) -> bool:
        """Whether nearly every student has one class section, as with no seconds or weeks."""
        sections: dict[str, set[str]] = defaultdict(set)
        student, section = (self.columns[taken[name]].texts for name in ("student", "section"))
        for one, text in zip(student, section, strict=True):
            if text:
                sections[one].add(text)
        return sum(len(found) > 1 for found in sections.values()) <= len(sections) / 5

    def _quiz(self, one: Column) -> float:
        if one.share(lambda text: text.casefold() in self._quizzes) > 0.8:
            self._why["quiz", one.place] = "it holds names of quizzes that the questions have"
            return 0.9
        return self._group("quiz", one) if one.numbers < 0.9 or one.says("quiz") > 0.6 else 0.0

    def _setting(self, one: Column) -> float:
        name = one.says("setting")
        if one.known_settings < 0.8 or not (name or len(one.counts) > 1):
            return 0.0
        self._why["setting", one.place] = "it says practice, quiz or exam"
        return 0.4 + 0.4 * name

    def _flag(self, field: str, one: Column) -> float:
        if not one.says(field) or not one.is_flag:
            return 0.0
        self._why[field, one.place] = "its name, and yes or no in its cells"
        return 0.4 + 0.5 * one.says(field)

    def _work(self, one: Column) -> float:
        name = one.says("work")
        lines = one.share(lambda text: "\n" in text or " | " in text)
        self._why["work", one.place] = reasons(
            lines > 0.2 and "lines of working", name and "its name"
        )
        return 0.3 + 0.5 * name + 0.2 * lines if name else 0.0

    def _problem(self, one: Column) -> float:
        name = one.says("problem")
        if not name or self._names_questions(one) > 0.5:
            return 0.0
        self._why["problem", one.place] = "its name, and mathematics in its cells"
        mathematics = one.share(lambda text: any(sign in text for sign in _SIGNS))
        return 0.4 + 0.4 * name if mathematics > 0.5 else 0.0

    # relations between columns

    def _names_questions(self, one: Column) -> float:
        return one.share(self._questions.find)

    def _is_constant(self, one: Column) -> bool:
        """Whether a column says the same wherever one question stands."""
        seen: dict[str, str] = {}
        texts = ((self._items[row], one.texts[row]) for row in self._rows)
        return all(seen.setdefault(item, text) == text for item, text in texts if text)

    def _is_key(self, one: Column) -> bool:
        """Whether it says the same in every row of a question, as a key does, over many rows."""
        rows = len(self._rows)
        return rows > 3 and rows >= 2 * self._kinds and self._is_constant(one)

    def _marked(self, one: Column, most: int) -> Marked:
        rows = [row for row in self._rows if one.texts[row]]
        step = max(1, len(rows) // most)
        return self._marker.marked(
            (self._items[row], one.texts[row]) for row in rows[::step][:most]
        )

    def _boxes(self, best: int, taken: set[int]) -> tuple[list[int], Marked]:
        """The columns that together make one answer, as often right joined as none is alone."""
        answer = self.columns[best]
        alone = self._marked(answer, _JUDGED_ROWS)
        others = [one for one in self.columns
                  if one.place not in taken and one.filled and one.says("answer")
                  and one.dates < 0.5 and not self._is_key(one)]  # fmt: skip
        if not others:
            return [best], alone
        named = sorted([answer, *others], key=lambda one: (one.name.casefold(), one.place))
        orders = list(permutations(named)) if len(named) <= 3 else [tuple(named)]
        joined = {order: self._marked(_joined(order), _JUDGED_ROWS) for order in orders}
        order = max(orders, key=lambda one: joined[one].right)
        single = max(self._marked(one, _JUDGED_ROWS).right for one in named)
        numbered = not single and not joined[order].right and _differ_by_number(named)
        if joined[order].right <= single and not numbered:
            return [best], alone
        for one in named:
            why = "like its sibling by name" if numbered else "right more often when joined"
            self._why["answer", one.place] = f"one of the boxes: {why}"
        return [one.place for one in order], joined[order]

    def other_answers(self, taken: set[int]) -> list[str]:
        """Other columns that hold right answers to the questions of their rows."""
        found = []
        for one in self.columns:
            if one.place in taken or one.says_other > 0.5 or one.dates > 0.5 or self._is_key(one):
                continue
            if one.numbers > 0.95 and not one.says("answer"):
                continue
            marked = self._marked(one, self._first)
            if marked.right >= 2 and marked.rightness > 0.15:
                found.append(one.name)
        return found

    # what is said

    def _doubts(
        self, chosen: Mapping[str, int], fields: Mapping[str, tuple[str, ...]]
    ) -> Iterator[str]:
        if "student" not in chosen:
            return
        mine = self.columns[chosen["student"]]
        least = self._student(mine) - _NEAR
        for one in self.columns:
            if one.place in chosen.values() or not one.name or not one.filled:
                continue
            if self._student(one) > least and not _same_groups(mine, one):
                rest = [f"{name} = {list(headers)!r}"
                        for name, headers in fields.items() if name != "student"]  # fmt: skip
                yield (
                    f"{mine.name!r} and {one.name!r} can both be the student. Decide by a map: "
                    f"[[exports]] columns = {{ student = {mine.name!r}, {', '.join(rest)} }}"
                )

    def _cautions(self, fields: Mapping[str, tuple[str, ...]], answers: list[str]) -> Iterator[str]:
        if caution := named_students(fields.get("student", ("",))[0]):
            yield caution
        if "student" in fields and "section" not in fields:
            used = [header for headers in fields.values() for header in headers]
            yield from self._sections([*fields["student"], *used])
        for header in answers:
            yield (
                f"{header!r} holds answers, too, and is left out: put it in the place of "
                f"{fields['answer'][0]!r} in the map, or under `left_out` to leave it out on "
                "purpose"
            )

    def _sections(self, taken: Collection[str]) -> Iterator[str]:
        """What to know of columns that say one of few things of each student, as sections do."""
        students = self.columns[self.header.names.index(next(iter(taken)))]
        for one in self.columns:
            few = 1 < len(one.counts) <= len(students.counts) / 3
            if one.name in taken or not few or one.says_other or one.is_flag or one.dates > 0.5:
                continue
            pairs = {pair for pair in zip(students.texts, one.texts, strict=True) if all(pair)}
            if len(pairs) == len({student for student, _ in pairs}) and one.numbers < 0.5:
                yield (
                    f"{one.name!r} is not used and may be the class section, since it says one of "
                    f"{len(one.counts)} things of each student: put section = {one.name!r} into "
                    "the columns of the map, or the name under `left_out`"
                )

    def _remarks(self, fields: Mapping[str, tuple[str, ...]]) -> Iterator[ColumnRemark]:
        meant = {header: name for name, headers in fields.items() for header in headers}
        for one in self.columns:
            if one.name:
                taken = meant.get(one.name, NOT_USED)
                yield ColumnRemark(one.name, taken, self._why.get((taken, one.place), ""))


def _joined(boxes: Sequence[Column]) -> Column:
    rows = zip(*(one.texts for one in boxes), strict=True)
    return Column(-1, "", ["; ".join(filter(None, cells)) for cells in rows])


def _differ_by_number(columns: Sequence[Column]) -> bool:
    """Whether headers are alike but for a number, as those of boxes are."""
    return len({"".join(filter(str.isalpha, one.name.casefold())) for one in columns}) == 1


def _same_groups(one: Column, other: Column) -> bool:
    """Whether two columns tell the same people apart, all but a few."""
    pairs = {pair for pair in zip(one.texts, other.texts, strict=True) if all(pair)}
    return len(pairs) <= 1.05 * min(len(one.counts), len(other.counts))
