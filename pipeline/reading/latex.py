"""LaTeX and names of AsciiMath, as typed into answers, rewritten to the one grammar.

No macro is ever expanded.
"""

from __future__ import annotations

import re
import tomllib
from importlib.resources import files

from pipeline.reading import marks
from pipeline.reading.records import MAX_DEPTH, Unread

LATEX = "LaTeX rewritten as plain notation"
"""The change that a text went through."""

_LOOKS = re.compile(r"\\[A-Za-z()\[\]{}$%#&,;:!|\\ ]|[\^_]\s*\{|\$[^$]*\$|\d\{,\}\d")

_DATA = tomllib.loads(files("pipeline.reading").joinpath("latex.toml").read_text(encoding="utf-8"))
_SYMBOLS: dict[str, str] = _DATA["symbols"]
_GREEK, _FUNCTIONS, _IGNORED, _WRAPPERS, _TEXTS = (
    frozenset(_DATA["words"][kind])
    for kind in ("greek", "functions", "ignored", "wrappers", "texts")
)
_SPACING = ",;:! >"
_ESCAPED = {"{": "{", "}": "}", "$": "$", "%": "%", "#": "#", "&": "&", "_": "_", "|": "|"}
_WITHOUT = re.compile(r"(?<![A-Za-z])[Rℝ]\s*\\(?=\s*[\[({])")
"""The number line without something: this backslash is no command."""
_OVER = re.compile(r"\\over(?![A-Za-z])")
_WORD_OF_TEXT = re.compile(r"[A-Za-z]{1,3}\.?")


def looks_like_latex(text: str) -> bool:
    """Whether a text has a command, a math span or a braced exponent."""
    return ("\\" in text or "{" in text or "$" in text) and _LOOKS.search(text) is not None


def from_latex(text: str, changes: list[str]) -> str:
    """Rewrite LaTeX to the one grammar.

    Raises:
        Unread: an unknown command, unbalanced braces, or too many levels.
    """
    if "\\begin" not in text:
        text = re.sub(r"\\\\(?=[A-Za-z]{2}|[{}$])", r"\\", text)
    text = _WITHOUT.sub(r"ℝ \\setminus ", text)
    text = re.sub(r"(?<=\d)\{,\}(?=\d)", ",", text)
    text = re.sub(r"(?<=\{) *\d(?: \d)+ *(?=\})", lambda found: found[0].replace(" ", ""), text)
    changes.append(LATEX)
    return _Translator(_without_delimiters(text)).all()


def _without_delimiters(text: str) -> str:
    text = re.sub(r"\\[()\[\]]", " ", text) if re.search(r"\\[(\[]", text) else text
    bare = re.sub(r"\\\$", "", text)
    if bare.count("$") % 2 == 0:
        text = re.sub(r"(?<!\\)\${1,2}", " ", text)
    return text


class _Translator:
    """A single pass over the text; each method returns what it rewrote."""

    def __init__(self, text: str) -> None:
        self.text, self.place, self.depth = text, 0, 0

    def all(self) -> str:
        result = self.until("")
        if self.place < len(self.text):
            raise Unread("a brace is closed that was never opened")
        return result

    def until(self, stop: str) -> str:
        """Translate up to a closing brace or bracket, or to the end."""
        self.depth += 1
        if self.depth > MAX_DEPTH:
            raise Unread("too many levels of brackets")
        pieces: list[str] = []
        while self.place < len(self.text) and self.text[self.place] not in (stop or "}"):
            if _OVER.match(self.text, self.place):
                self.place += 5
                pieces = [marks.fraction("".join(pieces), self.until(stop))]
                break
            pieces.append(self.piece(pieces))
        self.depth -= 1
        return "".join(pieces)

    def piece(self, before: list[str]) -> str:
        character = self.text[self.place]
        if character == "\\":
            return self.command(before)
        self.place += 1
        if character == "{":
            return self.braces()
        if character in "^_":
            return self.script(character)
        if character == "~":
            return " "
        return "" if character == "&" else character

    def braces(self) -> str:
        inner = self.until("}")
        self.close("}")
        return marks.group(inner) if inner.strip() else ""

    def close(self, bracket: str) -> None:
        if self.place >= len(self.text):
            raise Unread("a brace is never closed")
        self.place += 1

    def script(self, character: str) -> str:
        self.blanks()
        if character == "_":
            return "_" + self.argument()
        if self.place < len(self.text) and self.text[self.place] in "{\\":
            inner = self.argument()
            if inner.strip() in {"°", "'"}:
                return inner
            return "^" + marks.group(inner)
        return "^"

    def blanks(self) -> None:
        while self.place < len(self.text) and self.text[self.place] in " \n":
            self.place += 1

    def argument(self) -> str:
        """Return the next argument: a group, a command or one character (TeX's one-token rule)."""
        self.blanks()
        if self.place >= len(self.text):
            raise Unread("a LaTeX command lacks its argument")
        character = self.text[self.place]
        if character == "{":
            self.place += 1
            inner = self.until("}")
            self.close("}")
            return inner
        if character == "\\":
            return self.command([])
        self.place += 1
        return character

    def raw_argument(self) -> str:
        """Return the text between braces untranslated."""
        self.blanks()
        end = self.text.find("}", self.place)
        if self.place >= len(self.text) or self.text[self.place] != "{" or end < 0:
            raise Unread("a LaTeX command lacks its argument")
        inner = self.text[self.place + 1 : end]
        if "{" in inner or "\\" in inner:
            return self.argument()
        self.place = end + 1
        return inner

    def name(self) -> str:
        self.place += 1
        found = re.compile(r"[A-Za-z]+|.|\n|$").match(self.text, self.place)
        word = found[0] if found else ""
        self.place += len(word)
        return word

    def command(self, before: list[str]) -> str:
        word = self.name()
        if word in _SYMBOLS:
            return _SYMBOLS[word] if word not in {"pi", "in"} else f" {_SYMBOLS[word]} "
        if not word or word in _SPACING or word in _IGNORED:
            if word in {"left", "right"} and self.text[self.place : self.place + 1] == ".":
                self.place += 1
            return " " if word in _SPACING else ""
        if word in _ESCAPED:
            return _ESCAPED[word]
        if word in _GREEK or word in _FUNCTIONS:
            return f" {word} "
        if word == "\\":
            return "\n"
        return self.structure(word, before)

    def structure(self, word: str, before: list[str]) -> str:  # noqa: PLR0911, C901 - one a kind
        if word in {"frac", "dfrac", "tfrac", "cfrac", "sfrac", "nicefrac"}:
            return marks.fraction(self.argument(), self.argument())
        if word == "sqrt":
            return self.square_root()
        if word in _TEXTS:
            return self.upright(word)
        if word in _WRAPPERS:
            return self.wrapped(word)
        if word in {"overline", "bar"}:
            digits = self.argument()
            if not digits.isdigit():
                raise Unread("a bar over something other than decimals")
            return marks.repeating(digits)
        if word in {"cancel", "bcancel", "xcancel", "phantom", "label", "tag", "hspace", "vspace"}:
            self.raw_argument()
            return ""
        if word in {"begin", "end"}:
            return self.environment()
        if word in {"mathbb", "Bbb"}:
            return {"R": "ℝ", "C": "ℂ"}.get(self.argument().strip(), "?")
        if word in {"not"}:
            return self.negated()
        raise Unread(f"unknown LaTeX command \\{word}")

    def negated(self) -> str:
        sign = self.argument().strip()
        if sign not in {"=", "∈"}:
            raise Unread("unknown LaTeX command \\not")
        return "!=" if sign == "=" else "∉"

    def square_root(self) -> str:
        self.blanks()
        index = "2"
        if self.text[self.place : self.place + 1].isdigit():
            return "√"
        if self.text[self.place : self.place + 1] == "[":
            self.place += 1
            index = self.until("]")
            self.close("]")
        return marks.root(self.argument(), index)

    def upright(self, word: str) -> str:
        inner = self.raw_argument().replace("~", " ").strip()
        if inner in {"i", "e"}:
            return inner
        if word != "text" and _WORD_OF_TEXT.fullmatch(inner) and inner not in {"or", "and", "no"}:
            return marks.roman(inner)
        return f" {inner} "

    def wrapped(self, word: str) -> str:
        if word in {"color", "textcolor"}:
            self.raw_argument()
            if word == "color":
                return ""
        return marks.group(self.argument())

    def environment(self) -> str:
        kind = self.raw_argument().strip("*")
        if kind not in {"array", "cases", "aligned", "align", "equation", "gathered", "split"}:
            raise Unread(f"unknown LaTeX environment {kind}")
        if kind == "array" and self.text[self.place : self.place + 1] == "{":
            self.raw_argument()
        return "\n"


_ANY = re.compile(
    r"(?<![A-Za-z])text\(|(?<![A-Za-z])(?:RR|uu|nn|lt|gt|le|ge|ne|in)(?![A-Za-z])|\dxx\d|\d xx "
)
_SIGNS = {"lt": "<", "gt": ">", "le": "<=", "ge": ">=", "ne": "!="}
_RULES: tuple[tuple[re.Pattern[str], str], ...] = (
    (re.compile(r"(?<![A-Za-z\\])text\(([^()]*)\)"), r" \1 "),
    (re.compile(r"(?<![A-Za-z])RR(?![A-Za-z])"), "ℝ"),
    (re.compile(r"(?<=[A-Za-z])\s+in\s+(?=[{(\[ℝ])"), " ∈ "),
    (re.compile(r"(?<=[)\]}])\s*uu\s*(?=[(\[{])"), " ∪ "),
    (re.compile(r"(?<=[)\]}])\s*nn\s*(?=[(\[{])"), " ∩ "),
    (re.compile(r"(?<=\d)\s*xx\s*(?=\d)"), " * "),
)
_MEMBER = re.compile(r"^\s*([A-Za-z])\s*(?: [EeЄє]|[ϵε€])\s*[Rℝ]\s*\.?\s*$")
_RELATION = re.compile(
    r"(?:(?<=[\d)\]])|(?<=(?<![A-Za-z])[A-Za-z]))\s+(lt|gt|le|ge|ne)\s+(?=[-+\d(√]|[A-Za-z](?![A-Za-z]))"
)


def from_asciimath(text: str, changes: list[str]) -> str:
    """Put signs in place of the names that AsciiMath gives them."""
    member = _MEMBER.sub(r"\1 ∈ ℝ", text)
    if member != text:
        changes.append("a letter read as the sign of membership")
        return member
    if not _ANY.search(text):
        return text
    written = text
    for pattern, sign in _RULES:
        written = pattern.sub(sign, written)
    written = _RELATION.sub(lambda found: f" {_SIGNS[found[1]]} ", written)
    if written != text:
        changes.append("AsciiMath names read as signs")
    return written
