"""A typed answer to its readings."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from pipeline.errors import BudgetExceeded
from pipeline.exact.polynomials import polynomial_of
from pipeline.exact.regions import WHOLE_LINE
from pipeline.exact.trees import letters
from pipeline.exact.values import (
    Equation,
    Expression,
    Region,
    Roots,
    Statement,
    StatementCode,
    Value,
    members_of,
    value_key,
)
from pipeline.reading.assemble import values_of_tokens
from pipeline.reading.brackets import balanced, with_lone_bar
from pipeline.reading.calls import has_calls
from pipeline.reading.characters import harmless, is_picture
from pipeline.reading.commas import comma_variants
from pipeline.reading.constants import with_euler
from pipeline.reading.conventions import BY_NAME, WIDE_EXPONENTS, WITH_BRACKETS
from pipeline.reading.counts import agrees, beside_count, count_of, how_many, with_solution
from pipeline.reading.latex import from_asciimath
from pipeline.reading.letter_products import spelled_apart
from pipeline.reading.normalise import TYPESET, normalised
from pipeline.reading.records import (
    MAX_READINGS,
    NO_CONTEXT,
    Notes,
    ReadAnswer,
    Reading,
    ReadingContext,
    Unread,
)
from pipeline.reading.relations import OTHER_SIDE
from pipeline.reading.side_remarks import (
    ignored_words,
    without_reason,
    without_rejected,
    without_side_remarks,
    without_spelled_number,
)
from pipeline.reading.source import value_of_source
from pipeline.reading.statements import stated
from pipeline.reading.tokens import Token, tokens_of
from pipeline.reading.translations import in_letters_of_problem, without_definitions
from pipeline.reading.words import (
    needs_words,
    ranges_in_words,
    refuse_non_answers,
    refuse_prose,
    says_real,
    signs_for_words,
    with_last_repeating,
)

_EMPTY = Statement(StatementCode.EMPTY)


def read_answer(text: str, context: ReadingContext = NO_CONTEXT) -> ReadAnswer:
    """Read what a student typed.

    Args:
        text: the answer, untouched; any text at all.
        context: what the question tells about its answer.

    Returns:
        Every legitimate reading, or the reason why there is none; never raises.
    """
    changes: list[str] = []
    try:
        readings = _readings(text, context, changes)
        if context.translated:
            readings = in_letters_of_problem(readings, context)
        reason = None if readings else "no reading"
    except Unread as error:
        readings, reason = (), harmless(str(error))
    except (BudgetExceeded, RecursionError):
        readings, reason = (), "too large"
    except (ArithmeticError, ValueError) as error:
        readings, reason = (), f"no value: {error}"
    return ReadAnswer(text, readings, reason, tuple(dict.fromkeys(changes)))


def _readings(text: str, context: ReadingContext, changes: list[str]) -> tuple[Reading, ...]:
    source = value_of_source(text)
    if source is not None:
        return (Reading(source),)
    plain = normalised(text, changes)
    plain = spelled_apart(plain, context)
    plain = from_asciimath(plain, changes)
    if context.translated:
        plain = without_definitions(plain, context, changes)
    stripped = plain.strip()
    refuse_prose(stripped)
    if not stripped or not stripped.strip("\ue003\ue004 "):
        if any(is_picture(character) for character in text):
            raise Unread("nothing but a picture")
        return (Reading(_EMPTY),)
    if len(stripped) > 1 or stripped not in context.letters:
        refuse_non_answers(stripped, context)
    counted = count_of(stripped) if context.kind == "count" else None
    if counted is not None:
        return (Reading(counted),)
    statement = _statement(stripped) or _beside_count(stripped, context, changes)
    if statement:
        return statement
    if context.kind == "count":
        return with_solution(_in_notation(stripped, context, changes), stripped, context)
    return _in_notation(stripped, context, changes)


def _beside_count(text: str, context: ReadingContext, changes: list[str]) -> tuple[Reading, ...]:
    """Read an answer beside which stands how many solutions there are, where the two agree.

    `-2, 2 real solutions` may tell a number, and may have it among the solutions.
    """
    parted = beside_count(text)
    if parted is None:
        return ()
    value, count = parted
    try:
        readings = _in_notation(value, context, changes)
        if context.kind != "number":
            readings = tuple(one for one in readings if agrees(count, one.value))
            if readings and isinstance(count, Statement):
                return (Reading(count), *readings)
            if readings and text[len(value) :].lstrip(" ,;")[:1].isdigit():
                return (*readings, *_in_notation(text, context, changes))
    except Unread:
        return ()
    return readings


def _statement(text: str) -> tuple[Reading, ...]:
    return stated(text.replace("\ue003", " ").replace("\ue004", " "))


def _in_notation(text: str, context: ReadingContext, changes: list[str]) -> tuple[Reading, ...]:
    remarks: list[str] = []
    typed, typeset = text, not TYPESET.isdisjoint(changes)
    if needs_words(text):
        text, none_left = _without_words(text, context, changes, remarks)
        if none_left:
            return (Reading(Statement(StatementCode.NO_SOLUTION), ("every value was rejected",)),)
        statement = () if says_real(typed) else _statement(text)
        if not text or (statement and statement[0].value == _EMPTY):
            raise Unread("words without a value")
        if statement:
            return statement
    found: dict[str, Reading] = {}
    failure: Unread | None = None
    variants = comma_variants(text, context, changes)
    if text.count("(") != text.count(")"):
        variants = variants[:1]  # `(2,5` is no 2.5
    for variant, convention in [*variants, *with_last_repeating(text, typed)]:
        try:
            for reading in _of_variant(variant, convention, context, remarks, typeset):
                side = reading.convention if reading.convention == OTHER_SIDE else ""
                found.setdefault(_identity(reading.value) + side, reading)
        except Unread as error:
            failure = failure or error
    if not found and failure is not None:
        raise failure
    return tuple(found.values())[:MAX_READINGS]


def _without_words(
    text: str, context: ReadingContext, changes: list[str], remarks: list[str]
) -> tuple[str, bool]:
    text = without_spelled_number(text, changes)
    alone = context.kind in {"roots", "region"} and "=" not in text
    if alone and how_many(ranges_in_words(text, context.kind, [])) is not None:
        raise Unread("how many solutions there are, but not which")
    text = ranges_in_words(without_side_remarks(text, changes), context.kind, changes)
    text, none_left = without_rejected(text, changes)
    if none_left or _statement(text):
        return text, none_left
    text = without_reason(text, changes)
    text, doubled = ignored_words(signs_for_words(text, changes), changes)
    if doubled:
        remarks.append("said to be a repeated root")
    return text.strip(), False


def _identity(value: Value) -> str:
    """Cheap text that tells readings apart: the key where it is exact, else what was typed."""
    kind = type(value).__name__
    count = len(value.members) if isinstance(value, Roots) else 0
    if isinstance(value, Expression) and polynomial_of(value.tree) is None:
        return repr(value.tree)
    if any(member.surd is None for member in members_of(value)):
        return f"{kind} {members_of(value)}"
    return f"{kind}{count} {value_key(value)}"


def _of_variant(
    text: str, convention: str, context: ReadingContext, remarks: list[str], typeset: bool
) -> Iterator[Reading]:
    """Yield the readings of a text; what was typeset says how far its bars and roots reach."""
    tokens = balanced(tokens_of(text, context.letters), context.kind)
    tokens = with_lone_bar(tokens)
    if context.functions and "e" not in context.letters:
        tokens = with_euler(tokens)
    notes = Notes(context)
    values = values_of_tokens(tokens, notes)
    typed = "plus-minus-typed" in notes.met and _has_letters(values[0][0])
    typed = typed and not _before_root(tokens)
    flips = [name for name in notes.met if name in BY_NAME and name != "ratio"]
    if not context.letter_exponents:
        flips = [name for name in flips if name not in WIDE_EXPONENTS]
    if typeset:
        flips = [name for name in flips if name not in WITH_BRACKETS]
    if typed:
        flipped = Notes(context, frozenset({"plus-minus-typed"}))
        values, notes = values_of_tokens(tokens, flipped), flipped
        flips = [name for name in flips if name != "plus-minus-typed"]
    for typed_value, name in values:
        value = _plain_statement(typed_value)
        if not context.functions and has_calls(value):
            raise Unread("a function that the question does not use")
        yield Reading(value, _remarks(notes, remarks, name or convention), name or convention)
    for name in flips[:4]:
        other = Notes(context, frozenset({name, "plus-minus-typed"} if typed else {name}))
        found = list(_otherwise(tokens, other, name, remarks))
        yield from found
        if found and name in WITH_BRACKETS:
            yield from _with_more_brackets(tokens, notes, other, name, remarks)


def _otherwise(
    tokens: list[Token], notes: Notes, name: str, remarks: list[str]
) -> Iterator[Reading]:
    """Yield what is read the other way, unless it cannot be or something is divided by zero."""
    try:
        value = _plain_statement(values_of_tokens(tokens, notes)[0][0])
        _identity(value)
    except (Unread, ZeroDivisionError):
        return
    yield Reading(value, _remarks(notes, remarks, name), name)


def _with_more_brackets(
    tokens: list[Token], notes: Notes, flipped: Notes, name: str, remarks: list[str]
) -> Iterator[Reading]:
    """Widen further what one missing pair of brackets opened: `x+1/2x` for (x + 1)/(2x)."""
    for further in flipped.met:
        wide = further not in WIDE_EXPONENTS or notes.context.letter_exponents
        if further in WITH_BRACKETS and further != name and wide:
            both = Notes(notes.context, flipped.flipped | {further})
            yield from _otherwise(tokens, both, name, remarks)


def _before_root(tokens: list[Token]) -> bool:
    """Whether `+-` stands before a root, where it is plus-minus also among letters."""
    pairs = pairwise(tokens)
    return any(a.kind in {"+-", "-+"} and b.kind in {"function", "√"} for a, b in pairs)


def _plain_statement(value: Value) -> Value:
    """The whole number line and the empty set are statements, however they were written."""
    if value == WHOLE_LINE:
        return Statement(StatementCode.ALL_REAL)
    if isinstance(value, Region) and not value.parts:
        return Statement(StatementCode.NO_SOLUTION)
    return value


def _has_letters(value: Value) -> bool:
    if isinstance(value, Equation | Expression):
        return True
    return isinstance(value, Roots) and any(letters(member.tree) for member in value.members)


def _remarks(notes: Notes, remarks: list[str], convention: str) -> tuple[str, ...]:
    named = BY_NAME.get(convention)
    told = [named.remark] if named is not None and named.remark else []
    return tuple(dict.fromkeys([*told, *remarks, *notes.remarks]))
