"""Two folders change names in one step, where the system can do that.

Source: renameat2(2) of Linux, `RENAME_EXCHANGE`; renamex_np(2) of macOS, `RENAME_SWAP`.
"""

from __future__ import annotations

import ctypes
import os
import sys
from pathlib import Path

_HERE = -100
"""`AT_FDCWD` of Linux: paths are relative to the working folder, as everywhere."""
_EXCHANGE = 2
"""`RENAME_EXCHANGE` and `RENAME_SWAP` are the same number."""


def exchanged(first: Path, second: Path) -> bool:
    """Let two paths that exist change names, so that at no moment either is missing.

    Returns:
        Whether it was done; False where system or file system cannot, and nothing has changed.
    """
    try:
        libc = ctypes.CDLL(None, use_errno=True)
        if sys.platform == "darwin":
            done = libc.renamex_np(os.fsencode(first), os.fsencode(second), _EXCHANGE)
        else:
            paths = (os.fsencode(first), _HERE, os.fsencode(second))
            done = libc.renameat2(_HERE, *paths, _EXCHANGE)
    except (OSError, AttributeError, TypeError):
        return False  # no such function in this system's library, or no such library
    return bool(done == 0)
