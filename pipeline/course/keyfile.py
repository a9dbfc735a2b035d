"""The pseudonym key: made once, kept by its owner, refused when it protects nobody."""

from __future__ import annotations

import hashlib
import hmac
import os
import secrets
import stat
from importlib.resources import files
from itertools import pairwise
from pathlib import Path

from pipeline.errors import CourseError

KEY_BYTES = 32  # the output length of SHA-256: RFC 2104 section 3 advises no less
_OTHERS = stat.S_IRWXG | stat.S_IRWXO
_FEWEST_DISTINCT = 12  # 32 random bytes practically never have fewer distinct values
_WAY_OUT = (
    "Restore the copy that you kept; only a course without any loaded answers may get a new one."
)


def write_key(path: Path) -> None:
    """Write a fresh random key that only its owner may read.

    Raises:
        CourseError: the file is there already; a key is never overwritten.
    """
    text = files("pipeline.course").joinpath("templates/key_notice.txt").read_text("utf-8")
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError as error:
        raise CourseError(f"{path.name}: the key is there already and stays as it is.") from error
    with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as stream:
        stream.write(text + secrets.token_hex(KEY_BYTES) + "\n")


def read_key(path: Path) -> bytes:
    """Read the key, at least 32 bytes.

    Raises:
        CourseError: missing, empty, too short, not hexadecimal, or so regular that it cannot
            have been drawn at random. The text never shows any part of the key.
    """
    try:
        lines = path.read_text("utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        raise CourseError(
            f"{path.name}: the pseudonym key cannot be read; `[privacy] key_file` says where it "
            f"lies. {_WAY_OUT}"
        ) from error
    written = "".join(line.strip() for line in lines if not line.lstrip().startswith("#"))
    try:
        key = bytes.fromhex(written)
    except ValueError as error:
        raise CourseError(
            f"{path.name}: the key is not hexadecimal; expected {2 * KEY_BYTES} digits 0 to 9 and "
            f"a to f below the comments. {_WAY_OUT}"
        ) from error
    if len(key) < KEY_BYTES:
        size = f"{len(key)} bytes long" if key else "empty"
        raise CourseError(
            f"{path.name}: the key is {size}; expected at least {KEY_BYTES} bytes. {_WAY_OUT}"
        )
    is_run = len({(later - earlier) % 256 for earlier, later in pairwise(key)}) == 1  # 00 01 02 03
    if len(set(key)) < _FEWEST_DISTINCT or is_run:
        raise CourseError(
            f"{path.name}: the key follows a pattern and can be guessed; expected random bytes as "
            f"`lostroot new` writes them. {_WAY_OUT}"
        )
    return key


def key_warnings(path: Path) -> tuple[str, ...]:
    """What is wrong with the rights of the key file, where the system has such rights."""
    if os.name != "posix" or not path.exists() or not path.stat().st_mode & _OTHERS:
        return ()
    return (
        f"{path.name}: other accounts of this computer may read the key; "
        f"`chmod 600 {path.name}` leaves it to you alone.",
    )


def key_fingerprint(key: bytes) -> str:
    """Sixteen hex digits that tell keys apart and give nothing of them away."""
    return hmac.new(key, b"fingerprint|", hashlib.sha256).hexdigest()[:16]
