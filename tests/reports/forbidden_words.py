"""The words that no page may use."""

from __future__ import annotations

import re

# Words that promise more than answers can tell, or that grade people.
FORBIDDEN = (
    "mastery",
    "mastered",
    "insight",
    "insights",
    "recommended",
    "recommendation",
    "at risk",
    "at-risk",
    "on track",
    "on-track",
    "struggling",
    "weak students",
    "cheating",
)


def forbidden_words(text: str) -> list[str]:
    """Return the forbidden words that a text uses, in the order of `FORBIDDEN`."""
    return [word for word in FORBIDDEN if re.search(rf"\b{re.escape(word)}\b", text, re.IGNORECASE)]
