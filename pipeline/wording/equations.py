"""Questions about equations: solve, solve for a letter, count solutions, zeros of functions."""

from __future__ import annotations

import re
from typing import Final

from pipeline.wording.spans import (
    LETTER_ABOVE,
    LOGARITHM,
    Built,
    Sentence,
    body_of,
    domain_of,
    is_numeric,
    letters_of,
    one_expression,
    relations_of,
)

_BOUND: Final = re.compile(r"[A-Za-z]\s*(?:[<>]=?|!=)\s*[-\d./() ]+")
_EXPRESSION_ASKED: Final = re.compile(
    r"[EV]\b.*\b(?:what is|find|determine|compute|calculate|evaluate) (?:the )?(?:value of )?X\b|"
    r"\b(?:what is|find|determine|compute|calculate|evaluate) (?:the )?(?:value of )?X\b.*\b[EV]\b"
)

_QUADRATIC: Final = re.compile(
    r"(?P<a>-?\s*(?:\d+|[A-Za-z])?)\s*(?P<x>[A-Za-z])\^2\s*"
    r"(?P<b>[+-]\s*(?:\d*[A-Za-z]??|\([^()]+\)))\s*(?P=x)\s*"
    r"(?P<c>[+-]\s*(?:\d*[A-Za-z]?|\([^()]+\)))\s*=\s*0"
)
_YES: Final = re.compile(r"^(?!.*\btrue\b)|\byes\b")
_SAID_TO_SOLVE: Final = re.compile(
    r"\b[VNP] (?:is |are |lies? )?(?:an? |the |one )*(?:real )?"
    r"(?:solutions?|roots?|zeros?|solves?|satisf\w+|on)\b"
)
_HOLDS: Final = re.compile(
    r"\b(?:true|or|false|yes|no|circle|choose|select|one|for|every|all|any|each|real|positive|numbers?|"
    r"values?|and|of|the|is|always|an?|identity|it|that|statement|this|following|[ELV])\b"
)


def count_asked(sentence: Sentence) -> Built | None:
    """How many solutions an equation or system has."""
    found = sentence.of("EV")
    if "x-intercepts" in sentence.words:
        zero = zeros(sentence)
        return zero and zero._replace(task="number-of-solutions", doubt="")
    kinds = re.search(r"\b(?:types?|nature|kinds?) of", sentence.words)
    doubt = "kinds of solutions are asked for too, which a count does not tell" if kinds else ""
    if found:
        return Built("number-of-solutions", relations_of(sentence), len(found), doubt)
    return None


def letter_for_count(sentence: Sentence) -> Built | None:
    """For which values of a letter a quadratic has so many real solutions: its discriminant."""
    given, asked = sentence.of("EX"), sentence.of("L")
    if len(given) != 1 or not asked:
        return None
    found = _QUADRATIC.fullmatch(given[0].text + (" = 0" if given[0].kind == "X" else ""))
    square = re.search(r"\bperfect[ -]square\b", sentence.words)
    number = re.match("one", "one") if square else re.search(r"\b(one|two|no)\b", sentence.words)
    if found is None or number is None or asked[0].text in (found["x"], found["c"].strip("+- ")):
        return None
    a, b, c = (re.sub(r"^\+", "", found[one].replace(" ", "")) for one in "abc")
    a, b = (one + "1" if one in ("", "-") else one for one in (a, b))
    sign = {"one": "=", "two": ">", "no": "<"}[number[0]]
    squared = f"{b}^2" if b.isalnum() and not b[:-1] else f"({b})^2"
    return Built(
        "solve", f"{squared} - 4({a})({c}) {sign} 0", len(sentence.formulas),
        known="does only exactly one two no perfect square such",
    )  # fmt: skip


def yes_or_no(sentence: Sentence) -> Built | None:
    """Whether something is so: the formulas are no system to solve, and the answer is a word."""
    if not sentence.formulas:
        return None
    if re.match(r"\W*(?:check|verify) that\b", sentence.words):
        return Built("", "", len(sentence.formulas), "a proof is asked for: give a key and `judge`")
    if re.search(r"\bneither\b|\bwhich\b", sentence.words):
        return Built(
            "", "", len(sentence.formulas), "one of several words is asked for: give it options"
        )
    options = ("yes", "no") if _YES.search(sentence.words) else ("true", "false")
    claim = [one.text for one in (*sentence.of("VNP"), *sentence.of("E"))]
    said = len(sentence.of("VNP")) == 1 and _SAID_TO_SOLVE.search(sentence.words)
    if not (said or _holds(sentence)):
        claim = []
    return Built("choice", "; ".join(claim), len(sentence.formulas), options=options)


def _holds(sentence: Sentence) -> bool:
    """Whether all that is said of one equation is that it holds, for every number if any."""
    letters = len(sentence.of("L"))
    return len(sentence.formulas) == 1 + letters and not _HOLDS.sub(" ", sentence.words).strip()


def solve_for(sentence: Sentence) -> Built | None:
    """A formula solved for one of its letters."""
    equations, asked = sentence.of("E"), sentence.of("L")
    if len(equations) != 1 or not asked:
        return None
    letter, text = _for_letter(sentence) or asked[-1].text, equations[0].text
    if (
        letter not in letters_of(text)
        or len(letters_of(text) - {"e", "i"}) < 2
        or re.search("[<>]|!=", text)
    ):
        return None
    used = len(sentence.of("EL")) if "in terms of" in sentence.words else 2
    return Built("solve-for", f"{text} for {letter}", used)


def _for_letter(sentence: Sentence) -> str | None:
    """The letter behind `solve for` or `for`, whatever others stand in the sentence."""
    found = re.search(
        r"\b(?:solve|rearrange|isolate)\b[^L]*?(?:\bE )?\bfor (?=L\b)", sentence.words
    )
    if found is None:
        return None
    before = [
        word for word in sentence.words[: found.end()].split() if len(word) == 1 and word.isupper()
    ]
    return sentence.formulas[len(before)].text


def solve(sentence: Sentence) -> Built | None:
    """An equation, inequality or system solved; logarithm where a letter stands in an exponent."""
    found = sentence.of("EV")
    gap = any(one.blank for one in found)
    if not found or gap or (len(found) > 1 and not sentence.of("E")):
        return None
    text, keep = _with_condition(sentence)
    unknowns = letters_of(text) - {"i", "e"}
    named = [one.text for one in sentence.of("L")]
    several = len(found) == 1 and len(unknowns) > 1 and not sentence.of("C")
    if several and not named:
        letters = ", ".join(sorted(unknowns))
        return Built("solve", text, 1, f"several letters ({letters}), and none is asked for")
    if several and len(set(named)) == 1:
        return Built("solve-for", f"{text} for {named[0]}", 1 + len(named))
    asked = _asked_of(sentence, unknowns, ";" in text)
    used = len(found) + len(named) + bool(asked and asked not in named)
    logs = len(found) == 1 and (LOGARITHM.search(text) or LETTER_ABOVE.search(text))
    task = "logarithm" if logs and not asked else "solve"
    return Built(task, text, used, keep=keep, asked=asked)


def _with_condition(sentence: Sentence) -> tuple[str, str]:
    """The equation, and the inequality beside it that says which of its solutions count."""
    found = sentence.of("EV")
    bounds = [one.text for one in found if _BOUND.fullmatch(one.text)]
    equations = [one.text for one in found if "=" in re.sub("[<>!]=", "", one.text)]
    alone = len(bounds) == len(equations) == 1 and len(found) == 2
    if not alone or letters_of(bounds[0]) != letters_of(equations[0]) - {"i", "e"}:
        return relations_of(sentence), ""
    return equations[0], bounds[0]


def _asked_of(sentence: Sentence, unknowns: set[str], is_system: bool) -> str:
    """A letter of a system, or an expression in the unknowns, that is asked for; "" for neither."""
    if (wanted := _EXPRESSION_ASKED.search(sentence.words)) and len(sentence.of("X")) == 1:
        text = sentence.of("X")[0].text
        return text if letters_of(text) <= unknowns and wanted else ""
    named = {one.text for one in sentence.of("L")} & unknowns
    named |= {word[0] for word in re.findall(r"\b[a-z]-(?:coordinate|value)\b", sentence.words)}
    return named.pop() if is_system and len(named) == 1 and named <= unknowns else ""


def zeros(sentence: Sentence) -> Built | None:
    """Zeros of a function or an expression: the equation that sets it equal to zero."""
    if any(re.search("[<>]", one.text) for one in sentence.of("E")):
        return None
    found = sentence.of("FX") or tuple(
        one for one in sentence.of("E") if re.match(r"\s*y\s*=", one.text)
    )
    if len(found) != 1:
        return None
    points = (
        "points may be typed for intercepts" if re.search("intercept|cross", sentence.words) else ""
    )
    return Built("solve", f"{body_of(found[0])} = 0", 1 + len(sentence.of("C")), points)


def bare_equation(sentence: Sentence) -> Built | None:
    """An equation without a word on what to do."""
    built = solve(sentence)
    doubt = "it does not say what to do; taken for an equation to solve"
    return built._replace(doubt=built.doubt or doubt, verb=False) if built else None


def bare_expression(sentence: Sentence) -> Built | None:
    """An expression without a word on what to do."""
    one = one_expression(sentence)
    if one is None or sentence.of("F"):
        return None
    text = one.text
    if re.fullmatch(r"-?\s*[\d.]+", text):
        return None
    task = "evaluate" if is_numeric(text) else "simplify"
    task = "logarithm" if task == "evaluate" and LOGARITHM.search(text) else task
    doubt = "it does not say what to do with the expression"
    return Built(task, text, 1, doubt, numbers=domain_of(text), verb=False)


def translate(sentence: Sentence) -> Built | None:
    """Words that are to be written as algebra; the algebra itself is not in the question."""
    return None if sentence.of("EXF") else Built(
        "translate", "", len(sentence.formulas),
        "the algebra behind the words has to be written, behind a colon or as the key",
    )  # fmt: skip
