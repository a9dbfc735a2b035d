"""The way of a raw text to the one notation; each change is listed."""

from __future__ import annotations

import html
import re
from typing import Final
from urllib.parse import unquote

from pipeline.reading import marks
from pipeline.reading.characters import plain_characters, refuse_private, repair_mojibake
from pipeline.reading.latex import LATEX, from_latex, looks_like_latex
from pipeline.reading.mathml import MATHML, from_mathml, looks_like_mathml
from pipeline.reading.records import MAX_LENGTH, Unread

_TAG = re.compile(
    r"<\s*(/?)\s*(b|i|em|strong|u|p|div|span|br|sub|sup|font|small|big|tt|code|pre|li|ul|ol|label|"
    r"html|body|h[1-6]|center|table|tbody|tr|td|th|math-field|q|var|nobr|blockquote)"
    r"((?:\s[^<>]*)?)/?\s*>",
    re.IGNORECASE,
)
_FORBIDDEN = re.compile(
    r"<\s*/?\s*(script|img|svg|iframe|object|embed|link|meta|style|form|input|button|video|audio|"
    r"base|applet|textarea|select|marquee|template|xml|frame)\b|<!|<\?|javascript:|<[^<>]*\bon[a-z]+\s*=|"
    r"<\s*a\s+href|<%|^\s*\{\{|\$\{[^}]*\}(?!.*\$)|data:",
    re.IGNORECASE,
)
_NEW_LINE = {"p", "div", "br", "li", "tr", "h1", "h2", "h3", "h4", "h5", "h6", "table", "ul", "ol"}
_ENTITY = re.compile(r"&(?:#\d{1,7}|#[xX][0-9a-fA-F]{1,6}|[A-Za-z][A-Za-z0-9]{1,31});?")
_ESCAPE = re.compile(r"%(?:[2357][0-9A-Fa-f]|[CE][0-9A-Fa-f]%|0A|0D)")
_JSON = re.compile(r"\\u([0-9a-fA-F]{4})")


def _undo_escapes(text: str, changes: list[str]) -> str:
    """Undo one layer of what an export wrapped around the text."""
    if "%" in text and " " not in text and _ESCAPE.search(text):
        text = _from_url(text, changes)
    if "\\u" in text and _JSON.search(text):
        changes.append("JSON escapes decoded")
        text = _JSON.sub(lambda found: chr(int(found[1], 16)), text)
    if "\\n" in text:
        text = re.sub(r"\\n(?![a-z])", "\n", text)
    if "\x0crac" in text or "\x08eta" in text or "\times" in text or "\text" in text:
        changes.append("backslashes eaten by an export were put back")
        text = re.sub("\x0c(?=rac)", r"\\f", text)
        text = re.sub("\t(?=imes|ext)", r"\\t", text)
    if re.search(r"(?<![A-Za-z\\])(?:[dt]?frac|sqrt(?:\[\d+\])?)\{", text):
        text = re.sub(r"(?<![A-Za-z\\])([dt]?frac|sqrt)(?=\{|\[\d+\]\{)", r"\\\1", text)
    return _unquoted(text, changes)


def _from_url(text: str, changes: list[str]) -> str:
    if "%2B" in text.upper() or re.search(r"\+(?:or|and)\+|=\+|\+=", text):
        text = text.replace("+", " ")
    decoded = unquote(text, errors="replace")
    if "\ufffd" not in decoded:
        changes.append("URL escapes decoded")
        return decoded
    return text


def _unquoted(text: str, changes: list[str]) -> str:
    stripped = text.strip()
    if len(stripped) > 3 and stripped.startswith('="') and stripped.endswith('"'):
        stripped = stripped[1:]
    for quote in ('"', "'"):
        inner = stripped[1:-1]
        if len(stripped) > 1 and stripped[0] == stripped[-1] == quote and quote not in inner:
            changes.append("quotation marks set aside")
            return inner
    if stripped.startswith("'") and stripped.count("'") == 1:
        changes.append("leading apostrophe set aside")
        return stripped[1:]
    return text


def _from_html(text: str, changes: list[str]) -> str:
    """Decode entities once and turn the few tags of typed text into notation.

    Raises:
        Unread: the text holds active content or markup that is no typed answer.
    """
    if _FORBIDDEN.search(text):
        raise Unread("markup that cannot be part of an answer")
    if "<" in text and _TAG.search(text):
        changes.append("HTML tags set aside")
        text = _TAG.sub(_tag, text)
    if "&" in text and _ENTITY.search(text):
        decoded = _ENTITY.sub(_entity, text)
        if decoded != text:
            changes.append("HTML entities decoded")
        text = decoded
    return text


def _entity(found: re.Match[str]) -> str:
    character = html.unescape(found[0] if found[0].endswith(";") else found[0] + ";")
    return found[0] if character.startswith("&") and character != "&" else character


def _tag(found: re.Match[str]) -> str:
    closing, name = bool(found[1]), found[2].lower()
    if name == "sup":
        return marks.END_GROUP if closing else "^" + marks.GROUP
    if name == "sub":
        return "" if closing else "_"
    return "\n" if name in _NEW_LINE and not (closing and name == "tr") else ""


_DRAWN: Final = "a fraction drawn over three lines"
TYPESET: Final = frozenset({LATEX, MATHML, _DRAWN})
"""Changes of texts that say how far their fraction bars and roots reach."""

_MARKUP = re.compile(r"[<&\\$%\"'`{\x08\x0c\t]")
_OUTWARD = re.compile(
    r"(?<![\w)])(\])([^\[\]()]*[,;][^\[\]()]*)([\[\]])|(?<![\w)])(?=\[)(\[)([^\[\]()]*[,;][^\[\]()]*)(\[)"
)
_QUOTED = re.compile(r"(?<![A-Za-z\d])(['\"])([^'\"\s][^'\"]{0,30})\1")
_WITHOUT = re.compile(r"(?<![A-Za-z\\])[Rℝ]\s*\\\s*\{([^{}\\]*)\}")
_BLANKS = re.compile(r" {2,}|\t{2,}")
_NEW_LINES = re.compile(r" ?\n[ \n]*")
_BAR = frozenset("-_—–─━")


def normalised(text: str, changes: list[str]) -> str:
    """Return the text in the reader's notation.

    Raises:
        Unread: too long, or characters or markup that cannot be part of an answer.
    """
    if len(text) > MAX_LENGTH:
        raise Unread("too large: more than 2,000 characters")
    refuse_private(text.replace("\x0c", "").replace("\x08", ""))
    text = _with_single_blanks(text.replace("\r\n", "\n").replace("\r", "\n"))
    if not text.isascii():
        text = repair_mojibake(text, changes)
    if _MARKUP.search(text):
        text = _without_markup(text, changes)
    text = _OUTWARD.sub(_inward, text) if "]" in text or "[" in text else text
    lines = text.strip().split("\n")
    if len(lines) == 3 and len(lines[1].strip()) > 1 and set(lines[1].strip()) <= _BAR:
        changes.append(_DRAWN)
        text = marks.fraction(lines[0].strip(), lines[2].strip())
    return _with_single_blanks(plain_characters(text, changes))


def _with_single_blanks(text: str) -> str:
    """Runs of blanks and of new lines become one, so that no pattern has to try their parts."""
    if "  " in text or "\t\t" in text:
        text = _BLANKS.sub(" ", text)
    return _NEW_LINES.sub("\n", text) if "\n" in text else text


def _inward(found: re.Match[str]) -> str:
    """Outward brackets are open ends: ]a, b[ is (a, b)."""
    if found[1]:
        return f"({found[2]}{')' if found[3] == '[' else ']'}"
    return f"[{found[5]})"


def _without_markup(text: str, changes: list[str]) -> str:
    text = _WITHOUT.sub(r"ℝ-{\1}", _undo_escapes(text, changes))
    if looks_like_mathml(text) or "&lt;m" in text:
        if "&lt;m" in text:
            text = text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", '"')
        return from_mathml(text, changes)
    text = _from_html(text, changes)
    text = _QUOTED.sub(r"\2", text)
    if looks_like_latex(text):
        text = from_latex(text, changes)
    return text
