"""What is asked of functions that are given: a value, a combination, an inverse, a solution."""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable
from dataclasses import replace
from typing import Any, Final, NamedTuple

from pipeline.errors import CannotBeWorked
from pipeline.exact.polynomials import Polynomial, fraction_of
from pipeline.exact.trees import (
    Letter,
    Negation,
    Node,
    Numeral,
    Power,
    Product,
    Quotient,
    Relation,
    Sum,
    children,
    letters,
    replaced,
)
from pipeline.exact.values import Number, Point
from pipeline.procedures.functions import (
    Called,
    Combination,
    Composition,
    Function,
    Inverse,
    InverseOfFormula,
    Joined,
    Operation,
    combine_functions,
    compose,
    find_value,
    invert,
    invert_formula,
    join_values,
    read_calls,
    with_bodies,
)
from pipeline.procedures.parts import Part, over, stand_in
from pipeline.procedures.questions import Definition, definition, expression, plain_text
from pipeline.procedures.rewriting.regrouping import as_seen
from pipeline.procedures.rewriting.working import MOST_NODES, evaluate, size_of, work_out
from pipeline.procedures.solving_for import ways_to_isolate
from pipeline.procedures.walk import Place, Plan, Walk, right_ending
from pipeline.reading.judge import RightAnswer
from pipeline.reading.problems import Notation, Problem, lone_letters
from pipeline.records import Numbers
from pipeline.tasks import solve
from pipeline.tasks.task import Asked, Task, right_of_run

_ONE: Final = Polynomial.constant(1)
_INVERSE = re.compile(r"^([A-Za-z])\s*\^?\s*[({\ue003]?\s*-\s*1\s*[)}\ue004]?\s*\(\s*\w\s*\)$")
_ASKS_INVERSE: Final = re.compile(r"inverse|\^\s*[({]?\s*[-−]\s*1|⁻¹", re.IGNORECASE)
_INVERSE_NAME: Final = re.compile(
    r"^([\s$]*)(?:(?:the\s+)?inverse(?:\s+(?:function|of\s+[fgh]))?|"
    r"[fgh]\s*(?:\^?\s*[({]?\s*[-−]\s*1\s*[)}]?|⁻¹)|[fgh]\s*_?\s*inv(?:erse)?)"
    r"\s*(?:\(\s*[A-Za-z]\s*\))?\s*(?:=|:|\bis\b)\s*",
    re.IGNORECASE,
)
_COMPOSED = re.compile(r"^\(\s*([A-Za-z])\s*(?:o|∘|of)\s*([A-Za-z])\s*\)\s*\((.+)\)$")
_COMBINED = re.compile(r"^\(\s*([A-Za-z])\s*([-+*/·]?)\s*([A-Za-z])\s*\)\s*\((.+)\)$")
_CALLED: Final = re.compile(r"(?<![A-Za-z])([A-Za-z])\(")
_SIGNS: Final[dict[str, Operation]] = {"+": "+", "-": "-", "/": "/"}
_DEFINED: Final = re.compile(r"(?<![A-Za-z\\])([fgh])\s*\([^()=]*\)\s*=")
_Known = dict[str, Definition]


class Input(NamedTuple):
    """body = value, to be solved for the letter by a procedure of its own."""

    body: Node
    letter: str
    value: Node
    procedure: Callable[[Walk, Any], Hashable]
    start: Any


def start_solving(body: Node, letter: str, value: Node) -> Node | None:
    """Decide to set the function equal to the value that is given."""
    return None


def solve_for_input(step: Walk, start: Input) -> Hashable:
    """Find what was put in from what came out."""
    early = step.do(start_solving, Place.FUNCTION, start.body, start.letter, start.value)
    return start.procedure(step, start.start) if early is None else early


def _plans(problem: Problem) -> list[Plan]:
    """Read `f(x) = 2x^2 - 3; f(4)` and its like; the last part says what is asked.

    Raises:
        CannotBeWorked: the problem is not written so.
    """
    parts = [part.strip() for part in re.split(r";|,(?=\s*[A-Za-z(])", plain_text(problem.text))]
    known: _Known = {}
    for part in parts[:-1]:
        found = definition(part)
        if found is None:
            raise CannotBeWorked(f"a function is given like `f(x) = 2x + 1`, not {part!r}")
        known[found.name] = found
    if not known:
        raise CannotBeWorked("a function problem is written like `f(x) = 2x^2 - 3; f(4)`")
    return _plans_for(re.sub(r"^(?:find|solve)\s+", "", parts[-1]).rstrip(".?"), known)


def _plans_for(asked: str, known: _Known) -> list[Plan]:
    inverse = _INVERSE.match(asked)
    if inverse:
        return _inverse(known, inverse[1])
    composed = _COMPOSED.match(asked)
    if composed:
        return _composed(known, composed[1], composed[2], expression(composed[3]))
    combined = _COMBINED.match(asked)
    if combined and {combined[1], combined[3]} <= known.keys():
        first, second = _body(known, combined[1]), _body(known, combined[3])
        letter, argument = known[combined[1]].letter, _part(expression(combined[4]))
        operation = _SIGNS.get(combined[2], "*")
        start = Combination(first, second, operation, letter, argument)
        return [Plan("combination", combine_functions, start)]
    unknown = set(_CALLED.findall(asked)) - known.keys() - _letters_of(known)
    if unknown:
        raise CannotBeWorked(f"the function {min(unknown)} is not given")
    if asked.count("=") == 1:
        return _solved(asked, known)
    return _values(read_calls(asked, known), known)


def _letters_of(known: _Known) -> frozenset[str]:
    """The letters of functions, which may stand before a bracket as factors."""
    return frozenset().union(*({one.letter} | letters(one.body) for one in known.values()))


def _solved(asked: str, known: _Known) -> list[Plan]:
    """Read f(x) = 10, and leave the equation to the procedures that solve such."""
    sides = tuple(with_bodies(read_calls(side, known), known) for side in asked.split("="))
    relation = Relation(sides, ("=",))
    names = letters(relation)
    if len(names) != 1:
        raise CannotBeWorked("an equation in one letter is solved")
    (letter,) = names
    body, value = sides if letters(sides[0]) else sides[::-1]
    equation = Problem(asked, "solve", relation, letter, (relation,), names)
    return [
        Plan(plan.name, solve_for_input, Input(body, letter, value, plan.procedure, plan.start))
        for plan in solve.plans(equation)
    ]


def _values(asked: Called, known: _Known) -> list[Plan]:
    """The ways to what is asked: by functions as wholes, and by the expression written out."""
    written = _written_out(asked, known)
    try:
        structured = _structured(asked, known)
    except CannotBeWorked:
        structured = []
    return [*structured, *written]


def _structured(asked: Called, known: _Known) -> list[Plan]:
    match asked.frame:
        case Letter(name) if name in asked.calls:
            function, inner = asked.calls[name]
            nested = inner.frame.name if isinstance(inner.frame, Letter) else ""
            if nested in inner.calls:
                deep = inner.calls[nested]
                return _composed(known, function, deep[0], with_bodies(deep[1], known))
            argument = _part(with_bodies(inner, known))
            start = Function(_body(known, function), known[function].letter, argument)
            return [Plan("value", find_value, start)]
    frame, below = asked.frame, (_ONE, _ONE)
    match frame:
        case Quotient(Sum() as above, under):
            frame, below = above, _part(under)
    pair = _pair(frame)
    if pair is None or not {pair[0], pair[1]} <= asked.calls.keys():
        raise CannotBeWorked("more than two values are joined")
    if below[0].letters & asked.calls.keys():
        raise CannotBeWorked("a value below the line")
    one, two = (_function(known, *asked.calls[name]) for name in pair[:2])
    return [Plan("joined", join_values, Joined(one, two, pair[2], below))]


def _function(known: _Known, name: str, inner: Called) -> Function:
    return Function(_body(known, name), known[name].letter, _part(with_bodies(inner, known)))


def _pair(frame: Node) -> tuple[str, str, Operation] | None:
    match frame:
        case Sum((Letter(one), Negation(Letter(two)))):
            return one, two, "-"
        case Sum((Letter(one), Letter(two))):
            return one, two, "+"
        case Product((Letter(one), Letter(two))):
            return one, two, "*"
        case Quotient(Letter(one), Letter(two)):
            return one, two, "/"
    return None


def _written_out(asked: Called, known: _Known) -> list[Plan]:
    """Put the arguments in, and work the expression out as any other."""
    tree = with_bodies(asked, known)
    if size_of(tree) > MOST_NODES:
        return []
    if isinstance(asked.frame, Letter) and asked.frame.name in asked.calls and not letters(tree):
        name, inner = asked.calls[asked.frame.name]
        argument = with_bodies(inner, known)
        if not inner.calls:
            start = (known[name].body, ((known[name].letter, argument),), "evaluate")
            return [Plan("written-out", evaluate, start)]
    place = "expand" if letters(tree) else "evaluate"
    return [Plan("written-out", work_out, (as_seen(tree), place))]


def _composed(known: _Known, outer: str, inner: str, argument: Node) -> list[Plan]:
    letter = known[outer].letter if outer in known else ""
    start = Composition(_body(known, outer), _body(known, inner), letter, _part(argument))
    frame = Called(Letter("A"), {"A": (outer, Called(Letter("A"), {
        "A": (inner, Called(argument, {}))}))})  # fmt: skip
    return [Plan("composition", compose, start), *_written_out(frame, known)]


def _inverse(known: _Known, name: str) -> list[Plan]:
    if name not in known:
        raise CannotBeWorked(f"the function {name} is not given")
    body, letter = known[name].body, known[name].letter
    above, below = fraction_of(body) or (Polynomial.letter(stand_in(body).name), _ONE)
    parts = above.collected(letter)
    if len(parts) == 2 and letter not in below.letters:
        constant, slope = (over((part, _ONE), (below, _ONE)) for part in parts)
        whole = Plan("inverse", invert, Inverse(slope, constant, letter))
        return [whole, *_inverse_of_bracket(body, letter)]
    if _has_even_power(body, letter):
        raise CannotBeWorked("an even power has no inverse unless its domain is given")
    other = next(one for one in "yzw" if one not in letters(body))
    turned = replaced(body, ((letter, Letter(other)),))
    return [
        Plan("inverse", invert_formula, InverseOfFormula((above, below), letter, formula))
        for _, formula in ways_to_isolate(Letter(letter), turned, other)
    ]


def _has_even_power(node: Node, letter: str) -> bool:
    match node:
        case Power(base, Numeral(exponent)) if exponent % 2 == 0 and letter in letters(base):
            return True
    return any(_has_even_power(part, letter) for part in children(node))


def _inverse_of_bracket(body: Node, letter: str) -> list[Plan]:
    match body:
        case Quotient(Sum() as inside, below) if not letters(below):
            factor = over((_ONE, _ONE), _part(below))
        case Product((before, Sum() as inside)) if not letters(before):
            factor = _part(before)
        case _:
            return []
    constant, slope = ((part, _ONE) for part in _part(inside)[0].collected(letter))
    return [Plan("inverse", invert, Inverse(slope, constant, letter, factor))]


def _body(known: _Known, name: str) -> Part:
    if name not in known:
        raise CannotBeWorked(f"the function {name} is not given")
    return _part(known[name].body)


def _part(node: Node) -> Part:
    found = fraction_of(node)
    if found is None:
        raise CannotBeWorked("the function is no quotient of polynomials")
    return found


def _right(problem: Problem, numbers: Numbers) -> RightAnswer:
    """The value of a function is as well told by the point of its graph."""
    plans = _plans(problem)
    answer = right_of_run(plans, numbers)
    start = next(one.start for one in plans if right_ending(one) is not None)
    if not isinstance(start, Function) or not isinstance(answer.value, Number):
        return answer
    above, below = start.argument
    if not (above.is_constant and below.is_constant):
        return answer
    put_in = Number.exactly(above.constant_term / below.constant_term)
    return replace(answer, also=(*answer.also, Point((put_in, answer.value))))


def _letters_of_answers(text: str) -> frozenset[str]:
    return lone_letters(text) - set(_DEFINED.findall(text))


def _without_name(answer: str, asked: Asked) -> str:
    """Take off the name of an inverse, `f-1(x) =`."""
    return _INVERSE_NAME.sub(r"\1", answer) if _ASKS_INVERSE.search(asked.text) else answer


FUNCTION: Final = Task(
    "function",
    "a value, composition, combination, inverse, or where it has a value",
    "functions, then what is asked, joined by `;`: `f(g(2))`, `f^-1(x)`, `f(x) = 10`",
    "f(x) = 2x + 1; f(4)",
    "9",
    _plans,
    _right,
    notation=Notation(letters=_letters_of_answers, functions=True),
    form="worked-out",
    rewritten=_without_name,
    lines_of="solve-for",
    follows=lambda start: isinstance(start, Inverse | InverseOfFormula),
    of_inverse=True,
)
