"""What sentences ask, as a table: words with a capital for each formula, and how it is built.

The capitals are the kinds of `pipeline.wording.spans.KINDS`; the first rule whose words fit
and that can make its problem decides.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from pipeline.wording import equations, expressions, graphs
from pipeline.wording.spans import Built, Sentence

_Build = Callable[[Sentence], Built | None]


@dataclass(frozen=True, slots=True)
class Rule:
    """Words that a question must hold, and how its problem is made; None where it cannot be."""

    words: re.Pattern[str]
    build: _Build


_WORKED: Final = re.compile(
    r"\b(?:solve|factor|simplify|evaluate|expand|find|determine|how many)\b.*\b[ECXNVF]\b"
)


def _nothing(sentence: Sentence) -> Built | None:
    """A question that is counted and never judged: a drawing, an explanation beside no choice."""
    if "true or false" in sentence.words:
        return None
    worked = _WORKED.search(sentence.words) and "explain how" not in sentence.words
    doubt = "words are asked for beside what could be judged: counted only" if worked else ""
    return Built("skip", "", len(sentence.formulas), doubt)


_NAMED: Final = re.compile(
    r"(?<!-)\b(?:((?:axis|line) of symmetry)|(vertex)|(x-intercepts?)|(y-intercepts?)|(slope)|"
    r"(domain)|(range)|((?<!using the )(?<!use the )(?<!by the )discriminant)|(percent)|(decimal)|"
    r"(m(?:in|ax)imum|greatest value|least value)|"
    r"((?:how many|number of) (?:(?:real|distinct|different|complex) )*(?:solutions|roots|zeros)))"
    r"\b(?!-)(?! (?:of |is |at |form\b)?[NVP]\b)(?! form\b)"
)


def _several(sentence: Sentence) -> Built | None:
    """Several things asked for in one answer, of which no task takes more than one."""
    found = {one.lastindex: one[0] for one in _NAMED.finditer(sentence.words)}
    if len(found) < 2 or set(found) == {3, 4} or not sentence.formulas:
        return None
    named = ", ".join(found.values())
    doubt = (
        f"asks for several things in one answer ({named}): counted, not judged; a question each "
        "would be judged"
    )
    return Built("skip", "", len(sentence.formulas), doubt)


_VERTICAL: Final = (
    r"slope|pass\w*|through|parallel|perpendicular|contain\w*|goes|vertical|horizontal"
)
_TABLE: Final[tuple[tuple[_Build, tuple[str, ...]], ...]] = (
    (_nothing, (
        r"^(?!.*\b(?:solve|for which|for what|find)\b).*(?:sketch|plot|draw|shade)",
        r"^(?!.*\bsolve\b).*(?<!the )(?<!its )(?<!a )(?<!whose )\bgraph",
        "explain|describe|justify|prove|discuss|essay|upload|why|compare(?! N)|interpret|argue",
        "in your own words|show that|give an example|make up",
    )),
    (_several, ("^(?!.*\\bequations? (?:of|for)).*",)),
    (graphs.inverse, ("inverse",)),
    (graphs.difference_quotient, ("difference quotient",)),
    (graphs.average_rate, ("average rate of change",)),
    (graphs.call, ("C",)),
    (graphs.domain_asked, (
        r"domain(?!.*\brange\b)", r"(?:allowed|permitted|possible)\b.*\binputs?",
    )),
    (equations.letter_for_count, (
        r"(?:value|values) of L\b.*\b(?:one|two|no|exactly|only)\b.*\b(?:solutions?|roots?|zeros?)",
        r"(?:value|values) of L\b.*\bperfect[ -]square",
    )),
    (graphs.falls, (
        r"(?:hits?|reach(?:es)?|strikes?|lands?|returns?|falls?)\b.*\bground", "land",
    )),
    (equations.count_asked, (
        r"(?:how many|number(?: and (?:type|kind|nature))? of)"
        r"\b.*\b(?:solutions?|roots?|zeros?|answers?)",
        "(?:nature|types?|kinds?) of (?:the )?(?:solutions?|roots?)", "how many x-intercepts",
        r"how many (?:different |distinct |real )*(?:x-)?(?:values|numbers)\b"
        r".*\b(?:satisfy|make|solve)",
        r"does E have\b.*\b(?:solutions?|roots?)", r"no solutions?\b.*\binfinitely many",
    )),
    (equations.yes_or_no, (
        r"^(?!.*\b(?:solve|simplify|factor|expand|evaluate) [EFNVX])"
        r"(?:\W*(?:is|are|does|can(?! you))\b|.*\b(?:true or false|yes (?:or )?no)\b)",
        r"^\W*(?:check|decide|determine|verify|tell|test|state|say) (?:if|whether|that)\b",
    )),
    (graphs.discriminant, (
        "discriminant", "X (?:(?:for|of|in) (?:the )?(?:quadratic )?(?:equation )?)?E",
    )),
    (graphs.vertex_form, ("vertex form", "in(?:to)? the form [EXF]")),
    (graphs.vertex("axis of symmetry of "), ("(?:axis|line) of symmetry",)),
    (graphs.vertex("axis of symmetry of "), (
        r"(?:at|for) (?:what|which) (?:value of )?L\b.*\b(?:minimum|maximum)",
    )),
    (graphs.extreme, (
        "(?:minimum|maximum|greatest|least|largest|smallest|highest|lowest)"
        "(?: or (?:minimum|maximum))? value",
        "(?:minimum|maximum) of (?:the )?(?:quadratic )?(?:function |parabola )?[EFX]",
        "(?:minimum|maximum) (?:height|area|profit|revenue|cost)",
    )),
    (graphs.coordinate, (r"[xy]-coordinate\b.*\bvertex",)),
    (graphs.vertex(""), (
        "vertex|turning point", "(?:lowest|highest|minimum|maximum) point",
        r"point\b.*\bits (?:minimum|maximum)",
    )),
    (graphs.two_blanks, ("E",)),
    (graphs.first_blank, ("E",)),
    (graphs.square_constant, (
        r"^(?!.*\bfactor).*\b(?:complet\w* (?:the square|a perfect)|perfect[ -]square|square of)\b",
    )),
    (graphs.slope_intercept, (r"^(?!.*\b(?:P|parallel|perpendicular)\b).*\bslope-intercept\b",)),
    (graphs.slope, (
        r"^(?!.*\bequation\b).*\bslope of",
        "(?:find|calculate|compute|determine|what is) the slope", "how steep|steepness",
        r"^(?!.*\bequation).*\bhas (?:a )?slope(?: of| equal to)?\W*$",
    )),
    (graphs.line_asked, (rf"(?:equation|lines?)\b.*\b(?:{_VERTICAL})",)),
    (graphs.slope, ("slope", "rate of change", "gradient")),
    (graphs.intercept, ("[xy]-intercepts?", "both (?:of its )?intercepts", r"cross\w* the y-axis")),
    (equations.solve_for, (
        "subject|isolate|rearrange|in terms of", r"solve\b.*\bL", "express L in terms",
        "L (?:alone|by itself)",
        "(?:write|put|get) (?:it|this|that) (?:as|in|into) (?:the form )?L",
    )),
    (expressions.convert, ("to|as|in|into|using",)),
    (expressions.percent_of, ("N of N",)),
    (expressions.percent_asked, (
        "N is what percent(?:age)? of N", "what percent(?:age)? of N is N",
        "N is N of (?:what|which) number", "N of (?:what|which) number is N",
    )),
    (graphs.undefined, (
        r"[XF]\b.*\b(?:undefined|not defined)", "(?:excluded|restricted) values?",
        r"undefined\b.*\b[XF]",
    )),
    (equations.translate, (
        "translate|phrase|in symbols", "algebraic (?:expression|equation)",
        "write an? (?:equation|inequality|expression)",
    )),
    (expressions.evaluate_at, ("V",)),
    (equations.zeros, ("zeros?|roots?|x-intercepts?", r"cross\w* the x-axis")),
    (expressions.conjugate, (r"conjugate of (?:the )?(?:complex )?(?:number )?[NX]",)),
    (expressions.notation, (
        r"^(?!.*\b(?:simplif|evaluat|comput))"
        r".*\b(?:radical form|(?:rational|fraction\w*) exponents?)",
    )),
    (expressions.simplify, ("condense|compress", "(?:single|one) log(?:arithm)?")),
    (expressions.divide, (r"divid\w*|quotient", "(?:long|synthetic) division")),
    (expressions.factor, (
        r"factor\w*|gcf", "as a product", "square of an?", r"(?:break|split) \w+ up|split",
    )),
    (expressions.expand, (
        r"expand\w*|distribut\w*|foil", "without (?:using )?(?:parenthes[ei]s|brackets)",
        r"(?:remove|clear|eliminate|get rid of)\b.*\b(?:parenthes[ei]s|brackets)",
        "(?:sum|difference) of log(?:arithm)?s", "binomial theorem",
    )),
    (expressions.multiply, (r"multipl\w*|product", "^square X")),
    (expressions.subtract, (r"subtract\w*|difference",)),
    (expressions.add, (r"add\w*|sum",)),
    (expressions.operated, ("perform",)),
    (expressions.simplify, (
        r"simplif\w*|combin\w*|reduc\w*|simplest|rationali[sz]\w*|collect|cancel",
        "lowest terms|complex fraction|radical form",
        r"which\b.*\b(?:equal|equivalent|the same as)\b(?: to)?(?: the)?(?: expression)? [NX]",
        "[NX] is (?:equal|equivalent|the same as)",
    )),
    (equations.solve, (
        r"solve|find|determine|give|state|what|which|enter|type|list|calculate|compute|evaluate",
        r"solutions?|roots?|satisf\w+|values?|identify|obtain|get|true|work|write",
    )),
    (expressions.numeric, (
        "evaluate|compute|calculate|find|what|work|determine|give|value|do|enter|type|operations?",
        "round|estimate|approximate",
        "write",
    )),
    (equations.bare_equation, ("E|V",)),
    (equations.bare_expression, ("X|N",)),
)  # fmt: skip


def _rules() -> Iterator[Rule]:
    for build, patterns in _TABLE:
        joined = "|".join(one if one.startswith("^") else rf"\b(?:{one})\b" for one in patterns)
        yield Rule(re.compile(joined), build)


RULES: Final = tuple(_rules())
