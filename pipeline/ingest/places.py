"""Numbers of questions as places in the list, or in a quiz of it, where the answers say so.

Long and wide tables are judged alike: strictly where a map is worked out, and again in each file
that is read by it, so that the same numbers over other questions are not taken for these.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain, product

import pandas as pd

from pipeline.course import Course, ExportMap
from pipeline.errors import InputError
from pipeline.ingest.distinct import per_distinct, plain
from pipeline.ingest.export_files import OpenedExport
from pipeline.ingest.forms import renames_questions
from pipeline.ingest.header import DOUBLED, HeaderRow, naming_depth, stacked
from pipeline.ingest.long_layout import LongTable, tables_by_place
from pipeline.ingest.marker import Marked, Marker
from pipeline.ingest.proposal import ColumnRemark, Proposal
from pipeline.ingest.questions import BETWEEN_NUMBERS, Questions
from pipeline.ingest.raw_answers import raw_batches
from pipeline.ingest.sample import SampledRow, naming_columns
from pipeline.ingest.wide_layout import WideTable, wide_tables
from pipeline.tables import plain_text

_PAIR, _SEVERAL, _MOST_HEADERS = 2, 4, 10
_RIGHT_IN_ORDER = 0.3
"""Share of right answers from which on their questions stand in the order of the list."""
_MOST_MARKED, _FEW_MARKED, _LEAST_RIGHT = 400, 8, 0.15
_DIGITS, _FRONT = re.compile(r"\d+"), re.compile(r"\d")
_WORD = re.compile(r"[^\W\d_]{3}")
_BY_PLACE = "its place in the list, since the answers to each question fit"
_NUMBER, _ANSWER = "number of the question", "answer of the row"


def maps_by_place(
    course: Course, rows: Sequence[SampledRow], base: ExportMap, marker: Marker
) -> Iterator[Proposal]:
    """Maps that take numbers for places in the list, where the answers to each question fit.

    The places may be those in one quiz of the list, which nothing but the answers tells.

    Args:
        course: its list of questions, in order.
        rows: of the table.
        base: what is known of the file.
        marker: judges answers.
    """
    listed = Questions(course.items)
    for questions in (listed, *listed.sets()):
        tables: Iterator[tuple[LongTable | WideTable, Sequence[str]]] = chain(
            ((table, ()) for table in tables_by_place(rows, questions, marker)),
            ((table, ()) for table in wide_tables(rows, _placed(questions, rows), marker)),
            _of_quiz_and_number(rows, questions, marker),
        )
        for table, numbers in tables:
            found = table.proposal(base)
            if (
                found is None
                or table.refusal(found)
                or _leaves_answers(found, questions.ids, questions is listed)
            ):
                continue
            if called := _fitting(table, found, questions, marker):
                told = (replace(one, why=_BY_PLACE) if one.header in called else one
                        for one in found.remarks)  # fmt: skip
                known = table.questions.names
                known = {} if known.keys().isdisjoint({*called, *table.header.names}) else known
                names = {**known, **found.map.questions} or called
                kept = replace(found.map, questions=names)
                found = replace(found, map=kept, remarks=tuple(told))
                yield _as_wide(found, numbers) if numbers else found


def _leaves_answers(found: Proposal, ids: Collection[str], whole: bool) -> bool:
    """Whether a map reads some columns of one wording alone, as those of a list's first quiz.

    Of a whole list, `Test 3 total` may be left beside `Test 3 Q1`, and a question that it lacks.
    """
    said = found.map.questions
    fronts = {_FRONT.split(header)[0] for header, item in said.items() if item in ids}
    others = [one for one in found.unused if not (whole and _WORD.search(_FRONT.split(one)[-1]))]
    others += [one for one, item in said.items() if not whole and item not in ids]
    return any(_FRONT.split(one)[0] in fronts for one in others if _FRONT.search(one))


def _fitting(
    table: LongTable | WideTable, found: Proposal, questions: Questions, marker: Marker
) -> dict[str, str]:
    """What the file calls each question -> its id, where each was answered rightly by someone."""
    answered = [one for one in table.answered(found) if one[1] in questions.ids and one[2]]
    fits = _fit(_by_question(marker, ((item, text) for _, item, text in answered)), len(answered))
    return {name: item for name, item, _ in answered} if fits else {}


def _fit(marked: Mapping[str, Marked], answers: int) -> bool:
    told = len(marked) >= _SEVERAL and all(one.right for one in marked.values())
    return told and Marked.sum_of(marked.values()).right > _RIGHT_IN_ORDER * answers


def _by_question(marker: Marker, pairs: Iterable[tuple[str, str]]) -> dict[str, Marked]:
    texts: dict[str, list[str]] = defaultdict(list)
    for item, text in pairs:
        texts[item].append(text)
    return {item: marker.marked((item, text) for text in own) for item, own in texts.items()}


def _placed(questions: Questions, rows: Sequence[SampledRow]) -> Questions:
    """The same questions under their places in the list, or in the quizzes that headers name."""
    ordered = questions.in_order()
    for at in range(min(_MOST_HEADERS, len(rows))):
        alike: dict[str, set[str]] = defaultdict(set)
        for name in stacked(rows[at : at + naming_depth(rows, at)]).names:
            of_both = len(_DIGITS.findall(name)) == _PAIR and not DOUBLED.search(name)
            if of_both or questions.begins_with_quiz(name):
                alike[_DIGITS.sub("9", name)].add(name)
        for names in alike.values():
            if len(names) >= _SEVERAL and (called := questions.placed_by(names)):
                return ordered.called(called)
    return ordered


def _of_quiz_and_number(
    rows: Sequence[SampledRow], questions: Questions, marker: Marker
) -> Iterator[tuple[LongTable, tuple[str, ...]]]:
    """Tables whose rows name a quiz and whose headers a place in it, with a row for each answer.

    With each come the headers that are places.
    """
    sets = naming_columns(rows, lambda text: next(iter(questions.of_quiz(text)), None))
    for line, cells in rows[:_MOST_HEADERS] if sets else ():
        below = [[*own, *[""] * (len(cells) - len(own))] for at, own in rows if at > line]
        alike: dict[str, list[int]] = defaultdict(list)
        for at, name in enumerate(cells):
            alike[_DIGITS.sub("9", name)].append(at)
        for place, numbers in product(sets, alike.values()):
            kept = [at for at in range(len(cells)) if at not in numbers]
            if len(numbers) < 2 or place not in kept:
                continue
            each = [[*(own[at] for at in kept), cells[number], own[number]]
                    for own in below for number in numbers if own[number]]  # fmt: skip
            item = (kept.index(place), len(kept))
            named = {BETWEEN_NUMBERS.join(row[at] for at in item) for row in each}
            if named and all(map(questions.begins_with_quiz, named)):
                called = questions.called(questions.placed_by(named))
                header = HeaderRow(line, (*(cells[at] for at in kept), _NUMBER, _ANSWER))
                table = LongTable(header, each, (item, 1.0), called, marker)
                yield table, tuple(cells[at] for at in numbers)


def _as_wide(found: Proposal, numbers: Sequence[str]) -> Proposal:
    """The map of a table with a row for each answer as that of the file, which is wide."""
    columns = {name: tuple(one for one in headers if one not in (_NUMBER, _ANSWER))
               for name, headers in found.map.columns.items() if name != "answer"}  # fmt: skip
    remarks = [one for one in found.remarks if one.header not in (_NUMBER, _ANSWER)]
    remarks += [ColumnRemark(one, "answers to this place in the quiz", _BY_PLACE)
                for one in numbers]  # fmt: skip
    chosen = replace(found.map, layout="wide", columns=columns)
    return replace(found, map=chosen, remarks=tuple(remarks))


def questions_instead(course: Course, questions: Questions, opened: OpenedExport) -> dict[str, str]:
    """Which questions the names of a map mean in this file, where they are not those of the map.

    The same numbers may be the places in another quiz, where the answers to each question fit that
    one alone.

    Args:
        course: its right answers tell.
        questions: of the course, as the file's name lets them be called.
        opened: the file, and the map that it is read by.

    Returns:
        Id that the map says -> id; nothing where the answers fit the map.

    Raises:
        InputError: hardly an answer is right, or none to many of the questions.
    """
    chosen = opened.plan.map
    several = len(set(chosen.questions.values())) > 1
    if chosen.files or not (several and renames_questions(chosen, questions)):
        return {}
    some = _first_answers(questions, opened)
    marker = Marker(course.items, decimal_comma=course.reading.decimal_comma)
    marked = _by_question(marker, some)
    whole = Marked.sum_of(marked.values())
    many = [one.right for one in marked.values() if one.seen >= _FEW_MARKED]
    few = whole.seen < _FEW_MARKED
    if not few and whole.rightness >= _LEAST_RIGHT and many.count(0) * _SEVERAL <= len(many):
        return {}
    elsewhere = [(told, _by_question(marker, ((told[item], text) for item, text in some)))
                 for told in questions.in_other_quizzes(marked)]  # fmt: skip
    # Few answers tell nothing, unless more of them are right in another quiz.
    if few and all(Marked.sum_of(one.values()).right <= whole.right for _, one in elsewhere):
        return {}
    fitting = [told for told, one in elsewhere if _fit(one, len(some))]
    if len(fitting) == 1:
        return fitting[0]
    name = opened.table.name
    raise InputError(
        f"{name}: {whole.right} of {whole.seen} answers are right for the questions that the map "
        f"in line {chosen.line} of the settings takes their numbers for, and none to "
        f"{many.count(0)} of {len(many)} questions, so they may be others. If they are these, say "
        f"files = [{name.removeprefix('exports/')!r}] in the map; else `lostroot check DIR "
        "--write` gives this file's numbers their questions in a map of its own."
    )


def _first_answers(questions: Questions, opened: OpenedExport) -> list[tuple[str, str]]:
    """Questions of the list that the first rows of a file answer, and the answers, some of each."""
    called = questions.called(opened.plan.names)
    raw = next(raw_batches(opened.table, opened.plan)).answers
    items = per_distinct(raw["item"], lambda text: called.named(plain_text(text)))
    pairs = pd.DataFrame(
        {"item": plain(items), "answer": plain(per_distinct(raw["answer"], plain_text))}
    )
    pairs = pairs[pairs["item"].isin(questions.ids) & (pairs["answer"] != "")]
    most = max(_FEW_MARKED, _MOST_MARKED // max(1, pairs["item"].nunique()))
    return [*pairs.groupby("item").head(most).itertuples(index=False, name=None)]
