"""Characters of all keyboards brought to one alphabet; every change is listed.

Superscripts and vulgar fractions are expanded before Unicode's compatibility folding (NFKC), which
would turn x² into x2 and 2½ into 21/2 (Unicode Standard Annex #15).
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from pipeline.reading import marks
from pipeline.reading.records import Unread

_MINUS = "−‐‑‒–—―﹣-➖˗⁃"
_TIMES = "×⋅·∙•✕✖∗*✗⨯✱"
_DIVIDE = "∕⁄/➗"
_SPACES = "\u00a0\u1680\u202f\u205f\u3000\t" + "".join(map(chr, range(0x2000, 0x200B)))
_DELETED = (
    "\u200b\u200c\u200d\u200e\u200f\u2060\ufeff\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068"
    "\u2069\u2061\u00ad\ufe0e\ufe0f\u180e"
)
_SIGNS = {
    "≤": "<=", "⩽": "<=", "≦": "<=", "≥": ">=", "⩾": ">=", "≧": ">=", "≠": "!=", "≯": "<=",
    "≮": ">=", "≈": "~", "≅": "~", "≃": "~", "∼": "~", "≐": "~", "≔": "=", "≡": "=", "＝": "=",
    "∨": " or ", "∧": " and ", "⋁": " or ", "⋀": " and ", "⋃": "∪", "⋂": "∩",
    "⌀": "∅", "∖": "\\", "∣": "|", "｜": "|", "❘": "|", "ǀ": "|", "…": "...", "⋯": "...",
    "“": '"', "”": '"', "„": '"', "‘": "'", "’": "'", "′": "'", "`": "'", "´": "'", "ʹ": "'",
    "″": '"', "⟹": " => ", "⇒": " => ", "→": " -> ", "⟶": " -> ", "∴": " ", "✓": " ", "✔": " ",
    "⁢": "*", "⁣": ",", "⁤": "+", "➕": "+", "﹢": "+", "∶": ":", "∕": "/", "∝": "∝",
    "⟨": "(", "⟩": ")", "〈": "(", "〉": ")", "❨": "(", "❩": ")", "、": ",", "،": ",", "؛": ";",
    "。": ".", "٫": ".", "٬": ",", "º": "°", "˚": "°", "﹤": "<", "﹥": ">", "﹦": "=",
    "ˆ": "^", "˄": "^", "⌃": "^", "↑": "^", "˖": "+", "꞊": "=", "𝜋": "π", "ϕ": "φ", "µ": "μ",
}  # fmt: skip
_TABLE: dict[int, str] = {}
for _characters, _plain in ((_MINUS, "-"), (_TIMES, "*"), (_DIVIDE, "/"), (_SPACES, " ")):
    _TABLE.update({ord(character): _plain for character in _characters if character != _plain})
_TABLE.update({ord(character): "" for character in _DELETED})
_TABLE.update({ord(character): plain for character, plain in _SIGNS.items()})
_TABLE[ord("∛")] = f"{marks.INDEX}3{marks.END_INDEX}"
_TABLE[ord("∜")] = f"{marks.INDEX}4{marks.END_INDEX}"

_RAISED = dict(zip("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻⁽⁾ⁿⁱˣᵃᵇ", "0123456789+-()nixab", strict=True))
_RAISED_RUN = re.compile(f"[{''.join(_RAISED)}]+(?:[⁄/⸍ᐟ][{''.join(_RAISED)}]+)?")
_RAISED_INDEX = re.compile("(?<![A-Za-z)])([²³⁴⁵⁶⁷⁸⁹ⁿ])√")
_LOWERED = str.maketrans("₀₁₂₃₄₅₆₇₈₉₊₋", "0123456789+-")
_LOWERED_RUN = re.compile("[₀-₉₊₋]+(?:,[₀-₉]+)*")
_LOWERED_BEFORE_DIGIT = re.compile("[₀-₉](?=[0-9])")
_VULGAR = {
    chr(code): marks.fraction(*unicodedata.normalize("NFKC", chr(code)).split("⁄"))
    for code in (*range(0xBC, 0xBF), *range(0x2150, 0x215F), 0x2189)
}
_VULGAR_RUN = re.compile(f"[{''.join(_VULGAR)}]")
_SLASH_FRACTION = re.compile(r"(\d+)⁄(\d+)")
_LOOK_ALIKES = {"х": "x", "Х": "X", "χ": "x", "у": "y", "а": "a", "с": "c", "і": "i", "е": "e"}
_OVERLINED = re.compile("((?:[0-9][\u0304\u0305])+)")
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ue000-\uf8ff]")
_EMOJI = re.compile("[\u2600-\u26ff\u2700-\u2712\u2717-\u27bf\U0001f300-\U0001faff]+")
_KEPT = "÷√∞∪∩∅∈∉±∓°πℝℂ≪≫£€¥¢∄∀⊂⊆∝∎"


@lru_cache(maxsize=1)
def _mojibake() -> dict[str, str]:
    table = {}
    for character in "±√−²³½¼¾×÷≤≥≠∞–—’‘“”∅·°π∪≈ö":
        encoded = character.encode("utf-8")
        for codec in ("cp1252", "latin-1"):
            try:
                table[encoded.decode(codec)] = character
            except UnicodeDecodeError:
                mixed = "".join(_cp1252(byte) for byte in encoded)
                table[mixed] = character
    return table


def _cp1252(byte: int) -> str:
    try:
        return bytes([byte]).decode("cp1252")
    except UnicodeDecodeError:
        return chr(byte)


@lru_cache(maxsize=1)
def _mojibake_run() -> re.Pattern[str]:
    names = sorted(_mojibake(), key=len, reverse=True)
    return re.compile("|".join(re.escape(name) for name in names))


def repair_mojibake(text: str, changes: list[str]) -> str:
    """Mend UTF-8 that was decoded as Windows-1252: `Â±` for ±, `âˆš` for √."""
    if not any(lead in text for lead in "ÂÃâÏ"):
        return text
    mended = _mojibake_run().sub(lambda found: _mojibake()[found[0]], text)
    if mended != text:
        changes.append("characters damaged by an export were mended")
    return mended


def plain_characters(text: str, changes: list[str]) -> str:
    """Return the text in the reader's alphabet.

    Raises:
        Unread: a control character, a lone surrogate or a private character occurs.
    """
    if text.isascii():
        if _CONTROL.search(text):
            raise Unread("a control character cannot be part of an answer")
        return text.replace("\t", " ").replace("`", "'")
    return _fold(text, changes)


def refuse_private(text: str) -> None:
    """Refuse characters that only this program may write.

    Raises:
        Unread: a control or private character or a lone surrogate occurs.
    """
    if _CONTROL.search(text):
        raise Unread("a control character cannot be part of an answer")


def _fold(text: str, changes: list[str]) -> str:
    typed = text
    text = unicodedata.normalize("NFC", text)
    text = _OVERLINED.sub(lambda found: marks.repeating(re.sub(r"\D", "", found[1])), text)
    text = _SLASH_FRACTION.sub(lambda found: marks.fraction(found[1], found[2]), text)
    text = _RAISED_INDEX.sub(_index, text)
    text = _RAISED_RUN.sub(_power, text)
    text = _LOWERED_BEFORE_DIGIT.sub(r"\g<0> ", text)
    text = _LOWERED_RUN.sub(lambda found: "_" + found[0].translate(_LOWERED), text)
    text = _VULGAR_RUN.sub(lambda found: _VULGAR[found[0]], text)
    text = text.replace("⅟", "1/")
    folded = "".join(_one(character) for character in text.translate(_TABLE))
    folded = folded.translate(_TABLE)
    for stranger, letter in _LOOK_ALIKES.items():
        if stranger in folded and not re.search(f"[а-яіА-Я]{{2,}}|[α-ω]{stranger}", folded):
            folded = folded.replace(stranger, letter)
            changes.append(f"look-alike letter read as {letter}")
    folded = _EMOJI.sub(" ", folded)
    if folded != typed:
        changes.append("typographic characters replaced")
    return folded


def is_picture(character: str) -> bool:
    """Whether a character is an emoji, a check mark or the like."""
    return character in "✓✔∴" or _EMOJI.match(character) is not None


def _index(found: re.Match[str]) -> str:
    return f"{marks.INDEX}{_RAISED[found[1]]}{marks.END_INDEX}"


def _power(found: re.Match[str]) -> str:
    inner = "".join(_RAISED.get(character, "/") for character in found[0])
    before = found.string[: found.start()].rstrip()
    if before.endswith(("/", "⁄")) or (inner.startswith("-") and not _is_base(before)):
        return inner
    return "^" + marks.group(inner)


def _is_base(before: str) -> bool:
    """Whether text ends in something that can have an exponent; else a raised minus is a sign."""
    last = before[-1:]
    return last.isalnum() or last > "\ue000" or (last != "" and last in ")]}|π∞")


def _one(character: str) -> str:
    if character.isascii() or character in _KEPT or marks.FIRST <= character <= marks.LAST:
        return character
    if character.isdigit():
        return str(unicodedata.digit(character))
    if character.isdecimal():
        return str(unicodedata.decimal(character))
    return unicodedata.normalize("NFKC", character)


_UNSAFE = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})


def harmless(text: str, limit: int = 200) -> str:
    r"""Return text that a terminal prints as it stands, on one line.

    Control and formatting characters, among them escape sequences and direction marks, become
    `\x1b`-like escapes; a longer text ends in an ellipsis.

    Args:
        text: anything that was typed.
        limit: most characters of the text that are shown.
    """
    shown = "".join(_shown(character) for character in text[:limit])
    return shown + ("…" if len(text) > limit else "")


def _shown(character: str) -> str:
    if unicodedata.category(character) in _UNSAFE:
        return (
            character.encode("ascii", "backslashreplace").decode()
            if (not character.isascii())
            else f"\\x{ord(character):02x}"
        )
    return character
