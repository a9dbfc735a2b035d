"""Operations that a problem says in words: divided by, percent of."""

from __future__ import annotations

import re
from typing import Final

__all__ = ["with_signs"]

_BY: Final = re.compile(
    r"^\s*(?:divide\s+)?(?P<above>.+?)\s+(?:is\s+)?(?:divided\s+)?by\s+(?P<below>.+?)[\s.?]*$",
    re.IGNORECASE,
)
_PERCENT_OF: Final = re.compile(
    r"^\s*(?:what\s+is\s+)?(?P<rate>\d+(?:\.\d+)?|\.\d+)\s*(?:%|percent)\s+of\s+"
    r"(?P<whole>\d+(?:\.\d+)?|\.\d+)[\s.?]*$",
    re.IGNORECASE,
)


def with_signs(text: str, task: str) -> str:
    """Return `A by B` of a division as a quotient, `15% of 240` of an evaluation as a product."""
    if task == "divide":
        return _BY.sub(r"(\g<above>) / (\g<below>)", text)
    return _PERCENT_OF.sub(r"\g<rate>/100 * \g<whole>", text) if task == "evaluate" else text
