"""Problem texts of a course: equations, inequalities, systems, expressions."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import Final, Literal, cast, get_args

from pipeline.errors import BudgetExceeded, UnreadableProblem
from pipeline.exact.trees import Call, Letter, Node, Numeral, Relation, letters
from pipeline.reading import marks
from pipeline.reading.calls import lets_answers_call
from pipeline.reading.constants import means_euler, with_euler
from pipeline.reading.items import expression_of, relation_of
from pipeline.reading.labels import without_label
from pipeline.reading.letter_products import letters_of_problem_apart, with_index
from pipeline.reading.normalise import normalised
from pipeline.reading.records import AnswerKind, Notes, ReadingContext, Unread
from pipeline.reading.splitting import split_at
from pipeline.reading.tokens import Token, tokens_of
from pipeline.reading.words import signs_for_words

Extreme = Literal["largest", "smallest"]
Joined = Literal["sum", "product"]
_ALL_OF: Final = frozenset({";", "\n", ",", "and", "&"})
_LONE_LETTER: Final = re.compile(r"(?<![A-Za-z\\])[A-Za-z](?![A-Za-z(])")
_ALONE: Final = re.compile(r"(?<![A-Za-z\\])[A-Za-z](?![A-Za-z])")
_I_BEFORE_LETTER: Final = re.compile(
    rf"(?<![A-Za-z\\])i\s*[{marks.APART}*·+−-]?\s*\d*[{marks.APART}*·]?\s*[A-HJ-Za-hj-z](?![A-Za-z])"
)
_COMPLEX: Final = re.compile(r"\d\s*[+−-]\s*\d*\s*i(?![A-Za-z])")
_LONE_I: Final = re.compile(r"(?<![A-Za-z\\])i(?![A-Za-z])")

_STORY: Final = re.compile(
    r"(?:;(?=\s*(?:keep|asked)\b)|[;,.](?=\s*choose\b))\s*(keep|asked|choose)(?:\s+from)?:?\s+",
    re.IGNORECASE,
)
_FOR = re.compile(
    rf",?\s*\b(?:solve\s+)?for\s+([A-Za-zα-ω](?:_{marks.GROUP}?\w{marks.END_GROUP}?)?)"
    r"(,\s*(?:(?:where|with|if)\s+)?[A-Za-z]\s*(?:>=?|≥)\s*0)?\s*[.?]?\s*$",
    re.IGNORECASE,
)
_FACTORIAL = re.compile(r"[\w)\]]\s*!(?!=)")
_AT = re.compile(
    r",?\s*(?:\bat\b|\bwhen\b|\bif\b|\bwhere\b|\bfor\b|\bgiven\b|@)\s*(?=[A-Za-z]\s*=)",
    re.IGNORECASE,
)
_COMMAND = re.compile(
    r"^\s*(?:please\s+)?(?:solve(?:\s+(?:for\s+[A-Za-z]\s*:|the\s+(?:equation|inequality|system)))?|"
    r"(?:find\s+|write\s+)?(?:the\s+)?(?:complex\s+)?conjugate\s+of|"
    r"(?:find\s+)?(?:the\s+)?(?:vertex|axis\s+of\s+symmetry|(?:max|min)imum(?:\s+value)?)\s+(?:of|for)|"
    r"simplify|expand|factor(?:\s+completely)?|evaluate|compute|find(?:\s+the\s+\w+(?:\s+of)?)?|"
    r"multiply|calculate|condense|combine)(?:\s*:\s*|\s+(?=[^a-z]|[a-z]{1,4}(?![a-z])))",
    re.IGNORECASE,
)


def _as_it_is(text: str) -> str:
    return text


@dataclass(frozen=True, slots=True)
class Notation:
    """How the problems of a task are written, and what that tells the reader of its answers.

    Args:
        algebra: what is read of a text as the course wrote it.
        signs: what is read of a text in the reader's notation: signs in place of words.
        letters: the letters of answers, where a problem is points, several functions and the
            like, which its procedures read; None where the text is one expression or relation.
        kind: the kind of the answers; None where the right answer tells it.
        functions: whether logarithms and other named functions may stand in it.
        solves: whether a lone letter is an unknown, and a story may say what counts and is asked.
        i_is_letter: whether i is a letter wherever it stands.
        named: whether `y = ...` is told by its right side.
        of_lone_logarithm: the task that a lone logarithm of a number is a problem of instead.
    """

    algebra: Callable[[str], str] = _as_it_is
    signs: Callable[[str], str] = _as_it_is
    letters: Callable[[str], frozenset[str]] | None = None
    kind: AnswerKind | None = None
    functions: bool = False
    solves: bool = False
    i_is_letter: bool = False
    named: bool = False
    of_lone_logarithm: str = ""


PLAIN: Final = Notation()
"""Expressions, equations and inequalities."""


@dataclass(frozen=True, slots=True)
class Problem:
    """A problem as read.

    Args:
        text: the text, untouched.
        task: the task it was read for; `logarithm` for a lone one of a number, whatever was given.
        tree: the expression, or the first relation; zero where only the text is kept.
        letter: the unknown; empty when no letter occurs.
        relations: every equation or inequality, in order; empty for an expression.
        letters: all letters.
        substitutions: letter and number of `2x^2 at x=5`.
        name: the letter on the left of `y = …` or `f(x) = …`; empty without one.
        asked: of a word problem, what is to be given; empty where it is the unknown.
        joined: whether the sum or the product of the solutions is to be given; empty for neither.
        keep: of a word problem, which solutions count; None where all do.
        either: whether the relations are joined by "or", so that one of them holding is enough.
        offered: numbers to choose from, behind `choose from`; empty where none are offered.
        has_i: whether an i stands in it, the imaginary unit or a letter.
        notation: how it is written.
    """

    text: str
    task: str
    tree: Node
    letter: str
    relations: tuple[Relation, ...]
    letters: frozenset[str]
    substitutions: tuple[tuple[str, Node], ...] = ()
    name: str = ""
    asked: tuple[Node, ...] = ()
    joined: Joined | Literal[""] = ""
    keep: Relation | Extreme | None = None
    either: bool = False
    offered: tuple[Node, ...] = ()
    has_i: bool = False
    notation: Notation = PLAIN

    @property
    def is_system(self) -> bool:
        """Whether there are several relations."""
        return len(self.relations) > 1

    @property
    def is_inequality(self) -> bool:
        """Whether a relation sign other than `=` occurs."""
        return any(sign != "=" for relation in self.relations for sign in relation.signs)

    @property
    def context(self) -> ReadingContext:
        """What the problem tells the reader of its answers: letters, i as one, functions."""
        return ReadingContext(
            letters=self.letters,
            kind=self.notation.kind,
            i_is_letter="i" in self.letters,
            has_i=self.has_i,
            functions=self.notation.functions
            or any(map(lets_answers_call, self.relations or (self.tree,))),
        )


@lru_cache(maxsize=4096)
def read_as(text: str, task: str = "", notation: Notation = PLAIN) -> Problem:
    """Read a problem.

    Args:
        text: plain, Unicode or LaTeX text: an equation or inequality in any letter, a system
            joined by `;`, `… for y`, an expression, `y = …`, or `2x^2 at x=5`.
        task: the task that the course gave.
        notation: how its problems are written.

    Raises:
        UnreadableProblem: the text lies outside the grammar; the message says where and why.
    """
    if notation.letters is not None:
        given = notation.letters(text)
        return Problem(text, task, Numeral(Fraction(0)), "", (), given, notation=notation)
    try:
        equation, *story = _STORY.split(text) if notation.solves else [text]
        found = replace(_read(notation.algebra(equation), task, notation), text=text)
        for name, part in zip(story[::2], story[1::2], strict=True):
            found = _with_story(found, name.casefold(), part)
        return found
    except (Unread, BudgetExceeded, RecursionError) as error:
        raise UnreadableProblem(
            f"the problem “{text[:80]}” cannot be read: {error}; write it like `x^2 - 4x = 2`"
        ) from error


def _with_story(problem: Problem, name: str, part: str) -> Problem:
    """Add what a word problem keeps, asks or offers."""
    word = part.strip(" .").casefold()
    if name == "asked" and word in get_args(Joined):
        return replace(problem, joined=cast("Joined", word))
    if name == "keep" and word in get_args(Extreme):
        return replace(problem, keep=cast("Extreme", word))
    if name == "keep":
        read = _read(part, problem.task, problem.notation)
        if not read.relations:
            raise Unread("what is kept is said by an inequality, or by `largest` or `smallest`")
        return replace(problem, keep=read.relations[0])
    listed = tuple(_read(one, problem.task, problem.notation).tree for one in part.split(","))
    return replace(problem, asked=listed) if name == "asked" else replace(problem, offered=listed)


def lone_letters(text: str) -> frozenset[str]:
    """Return the letters that stand alone."""
    return frozenset(_LONE_LETTER.findall(text))


def _read(text: str, task: str, notation: Notation) -> Problem:
    if _FACTORIAL.search(text):
        raise Unread("factorials are not read")
    plain = _COMMAND.sub("", notation.signs(normalised(text, [])).strip())
    plain = with_index(plain)
    told = _FOR.search(plain)
    plain = plain[: told.start()] + (told[2] or "") if told else plain
    asked = re.sub(r"[^\w]", "", told[1]) if told else ""
    one_unknown = notation.solves and not asked
    plain = letters_of_problem_apart(plain, notation.functions, one_unknown, asked)
    parts = _AT.split(plain, maxsplit=1)
    uses_i = _uses_i_as_letter(parts[0], notation.i_is_letter, asked)
    notes = Notes(
        ReadingContext(i_is_letter=uses_i, functions=notation.functions),
        frozenset({"plus-minus-typed"}),
    )
    values = _substitutions(parts[1], notes) if len(parts) > 1 else ()
    sides, either = _parts(signs_for_words(parts[0], []), notes)
    relations = tuple(side for side in sides if isinstance(side, Relation))
    if not sides:
        raise Unread("nothing is there")
    if len(sides) > 1 and len(relations) != len(sides):
        raise Unread("several expressions")
    found = _built(text, task, notation, sides[0], relations, values, asked)
    return replace(found, either=either, has_i=_LONE_I.search(plain) is not None)


def _parts(text: str, notes: Notes) -> tuple[list[Node], bool]:
    """Read what stands between separators, and tell whether these are "or"."""
    tokens: list[Token] = without_label(tokens_of(text.strip(" .?")), None)
    if notes.context.functions or means_euler(tokens):
        tokens = with_euler(tokens)
    either = len(split_at(tokens, frozenset({"or"}))) > 1
    found: list[Node] = []
    for item in split_at(tokens, frozenset({"or"}) if either else _ALL_OF):
        relation = relation_of(item.tokens, notes)
        found.append(expression_of(item.tokens, notes) if relation is None else relation)
    return found, either


def _uses_i_as_letter(text: str, always: bool, asked: str) -> bool:
    """Whether i is a letter and no imaginary unit.

    It is where it is asked for, the only letter of a relation, in a formula of three letters,
    beside j, and before another letter: in a + bi it stands last, as in 3 + 2i.
    """
    found = set(_ALONE.findall(text))
    if asked == "i" or "i" not in found:
        return asked == "i"
    formula = asked and len(found) > 2
    unknown = found == {"i"} and re.search("[=<>≤≥]", text)
    before = _I_BEFORE_LETTER.search(text) and not _COMPLEX.search(text)
    letter = formula or unknown or always or "j" in found or before
    return bool(letter) and not re.search(r"i\^2\s*=\s*-1", text)


def _substitutions(text: str, notes: Notes) -> tuple[tuple[str, Node], ...]:
    found: list[tuple[str, Node]] = []
    for side in _parts(text, notes)[0]:
        if not isinstance(side, Relation) or not isinstance(side.sides[0], Letter):
            raise Unread("a value is given as `x = 5`")
        found.append((side.sides[0].name, side.sides[1]))
    return tuple(found)


def _built(
    text: str,
    task: str,
    notation: Notation,
    first: Node,
    relations: tuple[Relation, ...],
    values: tuple[tuple[str, Node], ...],
    asked: str,
) -> Problem:
    names = frozenset().union(*(letters(part) for part in (relations or (first,))))
    name = ""
    if not names and isinstance(first, Call) and first.name in ("log", "ln"):
        task = notation.of_lone_logarithm or task
    if notation.named and len(relations) == 1 and relations[0].signs == ("=",):
        left, right = relations[0].sides
        name = getattr(left, "name", "")
        if name and name not in letters(right):
            first, relations = right, ()
    letter = _unknown(letters(first) if name and not relations else names, asked)
    return Problem(text, task, first, letter, relations, names, values, name, notation=notation)


def _unknown(names: frozenset[str], asked: str) -> str:
    """The unknown: the letter asked for, x where it occurs, else the last letter by convention."""
    if asked:
        return asked
    if "x" in names or not names:
        return "x" if names else ""
    return max(names)
