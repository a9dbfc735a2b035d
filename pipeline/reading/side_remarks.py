"""What stands beside values and is none: methods and checks, values rejected, words without value.

Examples are `3x + 2 (FOIL)`, `x = 3, x = -2 is extraneous`, and phrases such as `3 or more`.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from typing import Final

from pipeline.reading import marks
from pipeline.reading.records import Unread
from pipeline.reading.words import COUNTED, alternation, signs_for_words, word_lists

_BRACKETS: Final = re.compile(r"\s[(\[]([A-Za-z][^()\[\]]{1,80})[)\]]\s*[.!]*$")
_METHOD: Final = re.compile(
    r"[,;]?\s(?:i\s)?(?:(?:checked|found|solved|done)\s)?(?:by|using|via)\s([a-z ]{3,60})[.!]*$",
    re.IGNORECASE,
)
_MEASURED: Final = re.compile(
    r"\b(?:lcd|lcm|gcd|gcf|width|length|height|base)\s*(?:=|is)?\s*\d+(?:\.\d+)?\b", re.IGNORECASE
)
_PLACE: Final = r"-?\d+(?:[./]\d+)?"
_DRAWN: Final = re.compile(
    r"[,;(]?\s*(?:with\s+)?(?:(?:an?|the)\s+)?(?:(?:open|closed|filled|solid|empty|hollow)\s+"
    rf"(?:circle|dot)s?\s+(?:at|on)\s+{_PLACE}(?:\s*(?:,|and|&)\s*{_PLACE})*)\s*\)?",
    re.IGNORECASE,
)
_REASON: Final = re.compile(
    r"^((?:[^A-Za-z]|(?<![A-Za-z])(?:or|and|[A-Za-z])(?![A-Za-z]))*?[\w)\]}%])[\s,;:.(]+"
    r"(?:(?:because|since|cuz)\b(?!.*(?:\b(?:or|and)\b|[,;\n])).*"
    r"|check(?:ing)?\b(?=[^≠]*=)(?:[^A-Za-z≠]|sqrt|\band\b)*)$",
    re.IGNORECASE | re.DOTALL,
)
_KIND: Final = re.compile(
    r"^\s*(?:complex|imaginary)(?:\s(?:roots?|solutions?|numbers?))?\s*[:,]\s*(?=\S)", re.IGNORECASE
)
_UNIT: Final = re.compile(r"(?<![A-Za-z])i(?![A-Za-z])|√-")
_ORDER: Final = re.compile(r"[<>≤≥\[\]]")
_SAID_TWICE: Final = re.compile(
    r"^(\s*(?:[A-Za-z]\s*=)?\s*)([^()\[\]=]{1,40}?)\s*[(\[]([^()\[\]=]{1,40})[)\]]\s*[.!]*$"
)
_LETTERS: Final = re.compile(r"[A-Za-z]{3,}")
_UNDRAWN: Final = str.maketrans({marks.FRACTION: "", marks.OVER: "/", marks.END_FRACTION: ""})
_PLAIN_NUMBER: Final = re.compile(r"-?\d+(?:\.\d+|/[1-9]\d*)?")
_OR_MORE: Final = re.compile(
    r"^\s*(?:([A-Za-z])\s*(?:=|is|can\sbe|must\sbe)\s*)?([-+]?\d[\d./]*)\s+or\s+"
    r"(?:(more|greater|higher|larger|bigger|above)|(?:less|fewer|smaller|lower|below))\s*[.!]*$",
    re.IGNORECASE,
)


@lru_cache(maxsize=1)
def _words() -> tuple[frozenset[str], frozenset[str], frozenset[str]]:
    """Words of any remark, of one on imaginary numbers, and of one on inequalities."""
    lists = word_lists()["remarks"]
    return tuple(frozenset(lists[one]) for one in ("words", "complex", "order"))  # type: ignore[return-value]


def without_side_remarks(text: str, changes: list[str]) -> str:
    """Set aside a method, or a mark of a drawing: `3x + 2 (FOIL)`, `x < 3, open circle at 3`.

    Every word of it has to be known. What speaks of imaginary numbers or of shading is kept where
    the answer itself holds no i or no order, because it then may be part of the answer.
    """
    written = _OR_MORE.sub(_order, text)
    apart = _DRAWN.sub(" ", written)
    written = apart if re.search(r"\d", apart) else written
    kind = _KIND.match(written)
    if kind and _UNIT.search(written, kind.end()):
        written = written[kind.end() :]
    for pattern in (_BRACKETS, _METHOD):
        found = pattern.search(written)
        if found and _is_remark(found[1], written[: found.start()]):
            written = written[: found.start()]
    if written != text:
        changes.append("a remark set aside")
    return written


def without_reason(text: str, changes: list[str]) -> str:
    """Set aside what is given as the reason of a value: `x = 5 because 8 - 3 = 5`.

    A reason that goes on behind "and" or a comma may bring a further value.
    """
    kept = _REASON.sub(r"\1", text)
    if kept != text:
        changes.append("a reason set aside")
    return kept


_DIGIT = r"(?:\d+|zero|one|two|three|four|five|six|seven|eight|nine)"
_POINT = re.compile(rf"\b({_DIGIT})\s+point\s+({_DIGIT}(?:\s+{_DIGIT})*)\b", re.IGNORECASE)


def without_spelled_number(text: str, changes: list[str]) -> str:
    """Set aside a number said again in words, `7 (seven)`, or in digits; read `four point five`.

    Raises:
        Unread: words and digits say different numbers.
    """
    text = _POINT.sub(lambda found: f"{_in_digits(found[1])}.{_in_digits(found[2])}", text)
    found = _SAID_TWICE.match(text)
    if not found or not (_LETTERS.search(found[2]) or _LETTERS.search(found[3])):
        return text
    first, second = (_in_digits(found[n]) for n in (2, 3))
    if not (_PLAIN_NUMBER.fullmatch(first) and _PLAIN_NUMBER.fullmatch(second)):
        return text
    if Fraction(first) != Fraction(second):
        raise Unread("words and digits say different numbers")
    changes.append("a number said again in words set aside")
    return found[1] + first


def _in_digits(text: str) -> str:
    written = signs_for_words(text, []).translate(_UNDRAWN)
    return "".join(written.split())


def _order(found: re.Match[str]) -> str:
    return f"{found[1] or 'x'} {'>=' if found[3] else '<='} {found[2]}"


def _is_remark(remark: str, answer: str) -> bool:
    """Whether every word of a remark is known, and none can change the answer before it."""
    words = re.split(r"[\s,/-]+", _MEASURED.sub(" ", remark).strip(" .!").lower())
    if not answer.strip():
        return False
    plain, imaginary, order = _words()
    known = plain | (imaginary if _UNIT.search(answer) else set())
    known |= order if _ORDER.search(answer) else set()
    return all(word in known for word in words if word)


_PIECES = re.compile(r"([;,\n(]|\b(?:and|or|but|since|because)\b)", re.IGNORECASE)
_REASONS = frozenset({"because", "since"})
_BEHIND = frozenset({"(", ",", ";", "\n", "but"})
_NAMES = re.compile(r"(?i)\b(?:solutions?|roots?|answers?|values?|is|it|an?|the)\b|[\s).!]")
_ONLY_NOT = re.compile(r"\s*(?:[A-Za-z]\s+(?:is\s+)?)?not\b", re.IGNORECASE)
_LABEL = re.compile(r"^\s*(?:[A-Za-z]\s*=)?\s*|[\s).!]+")
_VALUE = r"\s+(?:[A-Za-z]\s*=\s*)?[-+±√\d(]"


_REGION = re.compile(r"[<>≤≥≠∞]|!=")
_RELATION = re.compile(r"[<>≤≥≠]|!=")
_LETTER = re.compile(r"(?<![A-Za-z])[A-Za-z](?![A-Za-z])")


def _without_numbers(region: str, numbers: set[str]) -> str:
    """Write numbers that are taken out of a region with a sign of their own.

    Raises:
        Unread: nothing says which letter the region is about.
    """
    names = set(_LETTER.findall(region))
    if len(names) != 1 or not all(re.fullmatch(r"[-+−]?[\d./]+", number) for number in numbers):
        raise Unread("something is taken out of a region; it is written with ≠")
    (name,) = names
    return " and ".join([region, *(f"{name} != {number}" for number in sorted(numbers))])


@lru_cache(maxsize=1)
def _rejections() -> tuple[re.Pattern[str], re.Pattern[str], re.Pattern[str]]:
    """What stands behind a rejected value, before one, and before one without a separator."""
    data = word_lists()["ignored"]
    after, before = alternation(data["rejected"]), alternation(data["rejecting"])
    return (
        re.compile(rf"(?<![A-Za-z])(?:{after})(?![A-Za-z])", re.IGNORECASE),
        re.compile(rf"(?:{before})(?={_VALUE})", re.IGNORECASE),
        re.compile(rf"(?<=[\d)\ue002])\s+(?=(?:{before}){_VALUE})", re.IGNORECASE),
    )


def without_rejected(text: str, changes: list[str]) -> tuple[str, bool]:
    """Take out values that the text itself rejects, also where they were listed before.

    Returns:
        The text that stays and whether every value was rejected.

    Raises:
        Unread: it says what the answer is not, and nothing else.
    """
    after, before, unseparated = _rejections()
    if not (after.search(text) or before.search(text)):
        return text, False
    pieces = ["", *_PIECES.split(unseparated.sub(", ", text))]
    pairs = list(zip(pieces[::2], pieces[1::2], strict=True))
    kept: list[tuple[str, str]] = []
    dropped: list[str] = []
    named: set[str] = set()
    for separator, piece in pairs:
        if not (after.search(piece) or before.match(piece.strip())):
            kept.append((separator, piece))
            continue
        value = before.sub("", after.sub("", piece))
        dropped.append(value)
        named.add(_LABEL.sub("", value))
        alone = separator == "(" or not _NAMES.sub("", value)
        if not re.search(r"\d", value) and separator.lower() in _BEHIND and alone and kept:
            kept.pop()
    if len(kept) == len(pairs):
        return text, False
    if not any(re.search(r"\w", piece) for _, piece in kept) and _ONLY_NOT.match(text):
        raise Unread("it says only what the answer is not")
    changes.append("a value that the answer itself rejects was taken out")
    kept = [one for one in kept if _LABEL.sub("", one[1]) not in named and one[0] not in _REASONS]
    result = "".join(separator + piece for separator, piece in kept)
    result = re.sub(r"^\s*(?:[;,\n(]|(?:and|or|but)\b)", "", result).strip()
    if _REGION.search(result) and not all(map(_RELATION.search, dropped)):
        result = _without_numbers(result, named)
    return result, not re.search(r"[\dA-Za-z]", result)


_ENDS = re.compile(r"(?:[\w)\]}%π∞\ue002\ue004\ue008])$")
_STARTS = re.compile(r"[\w(\[{√∛∜.$π∞\ue000\ue003\ue005\ue007+\-±]")
_JOINED = re.compile(r"(?:or|and)(?![A-Za-z])", re.IGNORECASE)
_JOINING = re.compile(r"(?<![A-Za-z])(?:or|and)$", re.IGNORECASE)
_LABELLED = re.compile(r"[A-Za-z](?:_?\d)?\s*(?:[=<>≤≥≠~∈]|!=)")
_POINT_BEFORE = re.compile(r"\([^()]*,[^()]*\)$")
_POINT_AFTER = re.compile(r"\([^()]*,")
_LONE_LETTER = re.compile(r"(?<![A-Za-z\d)])[A-Za-z]$")
_CONCLUDES = re.compile(r"(?:so|then|therefore|thus|hence)(?![a-z])")
_RELATION_SIGN = re.compile(r"[=<>≤≥≠]")
_WORD = re.compile(r"(?!sqrt|cbrt|root|abs|pi|oo)[A-Za-z]{2,}")


@lru_cache(maxsize=1)
def _ignored() -> re.Pattern[str]:
    """One or more known words in a row."""
    data = word_lists()["ignored"]
    phrases = alternation([*data["before_and_after"], *data["multiplicity"]])
    end = r"(?![A-Za-z'])(?:\s*(?::(?!=)|=(?!=)))?"
    return re.compile(rf"(?:(?<![A-Za-z\\_])(?:{phrases}){end}\s*)+", re.IGNORECASE)


@lru_cache(maxsize=1)
def _multiplicity() -> re.Pattern[str]:
    phrases = alternation(word_lists()["ignored"]["multiplicity"])
    return re.compile(rf"(?:{phrases})(?![A-Za-z])|{COUNTED.pattern}", re.IGNORECASE)


def _put_aside(found: re.Match[str]) -> str:
    """What stays of words without value: nothing at an end, a sign or a comma between values.

    An arrow stands where a conclusion follows a line of working: `x = ±2, so -2 < x < 2`.
    In brackets behind a value, `√17 (about 4.12)`, they stand for ≈.

    Raises:
        Unread: the words stand between two values, and nothing says how the two go together.
    """
    before, after = found.string[: found.start()].rstrip(), found.string[found.end() :]
    words = found[0].strip().casefold()
    if before.endswith("(") and _ENDS.search(before[:-1].rstrip()) and _STARTS.match(after):
        return "~"
    concludes = _CONCLUDES.match(words) and (
        _POINT_AFTER.match(after) or (_RELATION_SIGN.search(before) and not _LABELLED.match(after))
    )
    if concludes and _STARTS.match(after):
        return " -> "
    if not (_ENDS.search(before) and _STARTS.match(after)):
        return " "
    if _JOINING.search(before) or _JOINED.match(after) or _WORD.match(after):
        return " "
    if _LABELLED.match(after):
        return " , "
    between_points = _POINT_BEFORE.search(before) and _POINT_AFTER.match(after)
    if between_points or (words[-1] in ":=" and not before[-1].isalpha()):
        return " , "
    if _LONE_LETTER.search(before) or words in {"is", "are"}:
        return " = "
    raise Unread(f"the words “{words[:40]}” stand between two values")


def ignored_words(text: str, changes: list[str]) -> tuple[str, bool]:
    """Set known words without value aside; tells whether they spoke of a repeated root.

    Brackets that held nothing else go with them.
    """
    pattern = _multiplicity()
    doubled = pattern.search(text) is not None
    kept = pattern.sub(" ", text) if doubled else text
    kept = _ignored().sub(_put_aside, kept)
    if kept == text:
        return text, False
    kept = re.sub(r"\(\s*[!.,]*\s*\)|\[\s*\]", " ", kept)
    kept = re.sub(r"^\s*[:=,]+(?!=)|[\s:,!-]+$", " ", kept) if kept.strip(" :=,!-") else kept
    changes.append("words without value set aside")
    return kept, doubled
