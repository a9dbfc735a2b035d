"""Outcomes out of a CASE package: the statements that a course's outcomes may cite.

Source: 1EdTech CASE 1.1, `CFPackage`: a `CFDocument` and `CFItems`, of which identifier,
fullStatement, uri and lastChangeDateTime are required. Identifiers are UUIDs of any version of
RFC 4122; in practice those of version 5 occur beside those of version 4.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, BinaryIO, NoReturn

from pipeline.errors import InputError
from pipeline.standards.json_reading import JsonRecords, mapping, text

_UUID = re.compile(r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}", re.I)


@dataclass(frozen=True, slots=True)
class CaseItem:
    """One statement of a framework.

    Args:
        identifier: its UUID, in lower case.
        code: what people call it (humanCodingScheme); "" for nothing.
        statement: what a student can do, in full.
        uri: its address.
    """

    identifier: str
    code: str
    statement: str
    uri: str = ""


def read_case_package(stream: BinaryIO, name: str) -> tuple[CaseItem, ...]:
    """All statements of a package, in its order.

    Raises:
        InputError: no JSON, no CFPackage, or an item without what is required of it.
    """
    package: Mapping[str, Any] = {}
    for record in JsonRecords(stream, name, frozenset()):
        package = package or mapping(record.value)
    if not mapping(package.get("CFDocument")) or not isinstance(package.get("CFItems"), list):
        raise InputError(
            f"{name}:1:1: no CASE package; expected an object with CFDocument and CFItems "
            "(CASE 1.1, CFPackage). Export the framework as a CFPackage."
        )
    items = map(mapping, package["CFItems"])
    return tuple(_item(one, place, name) for place, one in enumerate(items, 1))


def _item(one: Mapping[str, Any], place: int, name: str) -> CaseItem:
    identifier, statement = text(one.get("identifier")), text(one.get("fullStatement"))
    if not _UUID.fullmatch(identifier):
        _refuse(name, place, f"identifier {identifier!r}; expected a UUID (RFC 4122)")
    if not statement:
        _refuse(name, place, "no fullStatement; expected what a student can do")
    return CaseItem(
        identifier.lower(), text(one.get("humanCodingScheme")), statement, text(one.get("uri"))
    )


def _refuse(name: str, place: int, what: str) -> NoReturn:
    raise InputError(f"{name}:1:1: CFItem {place} has {what}. Export the framework again.")


def cited(items: tuple[CaseItem, ...]) -> dict[str, CaseItem]:
    """Statements by every way to cite them: identifier, address, and a code of one alone."""
    codes = Counter(one.code for one in items)
    found: dict[str, CaseItem] = {}
    for one in items:
        found |= {one.identifier: one, one.uri: one}
        if one.code and codes[one.code] == 1:
            found.setdefault(one.code, one)
    found.pop("", None)
    return found
