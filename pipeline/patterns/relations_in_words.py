"""Errors about what words say of two quantities: which is larger, equal, at least."""

from __future__ import annotations

from pipeline.exact.trees import Letter, Node, Numeral, Sum, letters
from pipeline.patterns.registry import instead_of, pattern
from pipeline.procedures.rewriting.evaluating import replaced
from pipeline.procedures.rewriting.terms import difference, number, signed
from pipeline.procedures.walk import Choices
from pipeline.reading.inequalities import FLIPPED
from pipeline.tasks.translate import Sentence, put_sentence

_SKILL = "translating words"
_STRICT = {"<": "<=", "<=": "<", ">": ">=", ">=": ">"}
_AT_LEAST = "translate | 5 more than twice a number is at least 17: 2x + 5 >= 17"
_APPLES = "translate | five times as many apples A as pears P: A = 5P"
_STUDENTS = "translate | six times as many students S as professors P: S = 6P"


@pattern(
    "comparison-reversed",
    skill=_SKILL,
    source="Clement 1982; Clement, Lochhead and Monk 1981",
    shows=(
        f"{_APPLES} | 5A = P",
        f"{_STUDENTS} | 6S = P",
        f"{_STUDENTS} | P/S = 6",
        "translate | there are 4 more dogs D than cats C: D = C + 4 | D + 4 = C",
    ),
    silent=(
        f"{_APPLES} | A = 5P",
        f"{_APPLES} | P = A/5",
        f"{_APPLES} | A/P = 5",
        f"{_STUDENTS} | 6P - S = 0",
        f"{_STUDENTS} | S = P + 6",
        "translate | there are 4 more dogs D than cats C: D = C + 4 | D - 4 = C",
        "translate | there are 4 more dogs D than cats C: D = C + 4 | D - C = 4",
    ),
)
@instead_of(put_sentence)
def comparison_reversed(sentence: Sentence) -> Sentence | None:
    """Puts the number beside the wrong letter, as if the letters were labels of things."""
    names = sorted(frozenset().union(*map(letters, sentence.sides)))
    if not sentence.signs or len(names) != 2:
        return None
    first, second = map(Letter, names)
    swapped = ((names[0], second), (names[1], first))
    return Sentence(tuple(replaced(side, swapped) for side in sentence.sides), sentence.signs)


@pattern(
    "one-side-given-for-equation",
    skill=_SKILL,
    source="common practice",
    shows=(
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | 2x - 5",
        f"{_AT_LEAST} | 2x + 5",
    ),
    silent=(
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | 2x = 16",
        "translate | 5 less than twice a number is 11: 2x - 5 = 11 | 8",
        f"{_AT_LEAST} | 2x >= 12",
    ),
)
@instead_of(put_sentence)
def one_side_given_for_equation(sentence: Sentence) -> Choices | None:
    """Gives one quantity where the words say that two are equal, or how they compare."""
    if not sentence.signs:
        return None
    return Choices(Sentence((side,)) for side in sentence.sides if letters(side))


@pattern(
    "equation-made-of-expression",
    skill=_SKILL,
    source="Scofield 2003, as quoted in a review of errors (expressions taken for equations)",
    shows=(
        "translate | three less than a number: x - 3 | x - 3 = 0",
        "translate | twice the sum of a number and 3: 2(x + 3) | 2(x + 3) = 0",
    ),
    silent=(
        "translate | three less than a number: x - 3 | y = x - 3",
        "translate | three less than a number: x - 3 | x - 3 = n",
        "translate | twice the sum of a number and 3: 2(x + 3) | 2(x + 3) = 2x + 6",
    ),
)
@instead_of(put_sentence)
def equation_made_of_expression(sentence: Sentence) -> Sentence | None:
    """Sets an expression equal to zero where the words state no equation."""
    return None if sentence.signs else Sentence((*sentence.sides, number(0)), ("=",))


@pattern(
    "less-than-written-as-inequality",
    skill=_SKILL,
    source="OpenStax Prealgebra 2e, 2.2 (less than and is less than); common practice",
    shows=(
        "translate | three less than a number: x - 3 | 3 < x",
        "translate | three less than a number: x - 3 | x < 3",
        "translate | seven more than a number: x + 7 | x > 7",
    ),
    silent=(
        "translate | three less than a number: x - 3 | x - 3",
        "translate | seven more than a number: x + 7 | 7 + x",
    ),
)
@instead_of(put_sentence)
def less_than_written_as_inequality(sentence: Sentence) -> Choices | None:
    """Writes an inequality sign where the words take so much less, or more, than a number."""
    if sentence.signs or not isinstance(sentence.sides[0], Sum) or len(_terms(sentence)) != 2:
        return None
    first, second = (signed(term)[1] for term in _terms(sentence))
    return Choices(Sentence((first, second), (sign,)) for sign in "<>")


def _terms(sentence: Sentence) -> tuple[Node, ...]:
    side = sentence.sides[0]
    return side.terms if isinstance(side, Sum) else (side,)


@pattern(
    "is-less-than-written-as-difference",
    skill=_SKILL,
    source="OpenStax Prealgebra 2e, 2.2 (less than and is less than); common practice",
    shows=(
        "translate | 12 is less than a number: 12 < x | x - 12",
        "translate | a number is greater than 9: n > 9 | n + 9",
    ),
    silent=(
        "translate | 12 is less than a number: 12 < x | x > 12",
        "translate | a number is greater than 9: n > 9 | 9 < y",
    ),
)
@instead_of(put_sentence)
def is_less_than_written_as_difference(sentence: Sentence) -> Choices | None:
    """Subtracts or adds where the words compare two numbers."""
    if len(sentence.signs) != 1 or sentence.is_equation:
        return None
    first, second = sentence.sides
    simple = all(isinstance(side, Letter | Numeral) for side in sentence.sides)
    found = (difference(first, second), difference(second, first), Sum((first, second)))
    return Choices(Sentence((one,)) for one in found) if simple else None


@pattern(
    "inequality-sign-turned",
    skill=_SKILL,
    source="OpenStax Elementary Algebra 2e, 2.7 (at least and at most); common practice",
    shows=(
        f"{_AT_LEAST} | 2x + 5 <= 17",
        "translate | a number is no more than 9: n <= 9 | n >= 9",
    ),
    silent=(
        f"{_AT_LEAST} | 17 <= 2x + 5",
        f"{_AT_LEAST} | 2x + 5 > 17",
        "translate | a number is no more than 9: n <= 9 | 9 >= x",
    ),
)
@instead_of(put_sentence)
def inequality_sign_turned(sentence: Sentence) -> Sentence | None:
    """Turns an inequality sign round, as at most for at least."""
    turned = tuple(FLIPPED[sign] for sign in sentence.signs)
    return Sentence(sentence.sides, turned) if turned != sentence.signs else None


@pattern(
    "inequality-strictness-mistaken",
    skill=_SKILL,
    source="OpenStax Elementary Algebra 2e, 2.7 (at least and more than); common practice",
    shows=(
        f"{_AT_LEAST} | 2x + 5 > 17",
        "translate | a number is no more than 9: n <= 9 | n < 9",
    ),
    silent=(
        f"{_AT_LEAST} | x >= 6",
        "translate | a number is no more than 9: n <= 9 | n > 9",
    ),
)
@instead_of(put_sentence)
def inequality_strictness_mistaken(sentence: Sentence) -> Sentence | None:
    """Counts the limit in where the words leave it out, or leaves it out where they count it in."""
    turned = tuple(_STRICT.get(sign, sign) for sign in sentence.signs)
    return Sentence(sentence.sides, turned) if turned != sentence.signs else None


@pattern(
    "inequality-written-as-equation",
    skill=_SKILL,
    source="common practice",
    shows=(
        f"{_AT_LEAST} | 2x + 5 = 17",
        "translate | a number is no more than 9: n <= 9 | n = 9",
    ),
    silent=(
        f"{_AT_LEAST} | 2x + 5 >= 17",
        "translate | a number is no more than 9: n <= 9 | n < 9",
    ),
)
@instead_of(put_sentence)
def inequality_written_as_equation(sentence: Sentence) -> Sentence | None:
    """Writes an equals sign where the words say at least, at most, more or less."""
    if len(sentence.signs) != 1 or sentence.is_equation:
        return None
    return Sentence(sentence.sides, ("=",))
