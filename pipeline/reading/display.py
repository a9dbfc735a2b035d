"""Raw text made harmless for a terminal: no control code, no direction override, no surrogate."""

from __future__ import annotations

import unicodedata

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
