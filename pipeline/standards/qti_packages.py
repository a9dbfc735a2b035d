"""Questions out of a QTI package: its items, the names that its tests use, outcomes they serve.

Source: 1EdTech Content Packaging 1.1.4 and QTI 3.0 packaging: `imsmanifest.xml` lists resources
with their files, dependencies and metadata; `curriculumStandardsMetadata` links to CASE outcomes.
"""

from __future__ import annotations

import posixpath
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from typing import BinaryIO
from urllib.parse import unquote

from pipeline.errors import InputError
from pipeline.standards.qti_items import items_of
from pipeline.standards.qti_records import QtiItem
from pipeline.standards.xml_reading import Element, attribute, document, local_name, text_of

_MANIFEST = "imsmanifest.xml"
_ITEM_ROOTS = ("assessmentItem", "questestinterop", "item")
_TEST_ROOT = "assessmentTest"

Member = tuple[str, Callable[[], BinaryIO]]
"""A file of a package: its name inside, and how to open it."""


@dataclass(frozen=True, slots=True)
class QtiPackage:
    """What a package holds.

    Args:
        items: in the order of the manifest, else of the names.
        not_read: files that should hold items and could not be read, a sentence each.
    """

    items: tuple[QtiItem, ...]
    not_read: tuple[str, ...] = ()

    def named(self) -> dict[str, QtiItem]:
        """Items by every name that a result may use: their own, and those of tests."""
        found: dict[str, QtiItem] = {}
        for item in self.items:
            for name in (item.identifier, *item.named):
                found.setdefault(name, item)
        return found


@dataclass(slots=True)
class _Found:
    """What was read, by file inside the package."""

    items: dict[str, tuple[QtiItem, ...]] = field(default_factory=dict)
    references: dict[str, list[str]] = field(default_factory=dict)
    outcomes: dict[str, tuple[str, ...]] = field(default_factory=dict)
    order: list[str] = field(default_factory=list)
    not_read: list[str] = field(default_factory=list)


def read_qti_package(members: Iterable[Member], name: str) -> QtiPackage:
    """All questions of a package, or of a folder's XML files; other files are passed over.

    Args:
        members: files by their name inside, in any order.
        name: of the package, as messages call it.

    Raises:
        InputError: the manifest itself is broken.
    """
    found = _Found()
    for inside, opened in members:
        if inside.lower().endswith(".xml"):
            _read_member(inside, opened, f"{name}/{inside}", found)
    ordered = sorted(found.items, key=lambda one: (_place(found.order, one), one))
    items = [
        replace(item, named=tuple(found.references.get(inside, ())),
                outcomes=found.outcomes.get(inside, ()))
        for inside in ordered
        for item in found.items[inside]
    ]  # fmt: skip
    return QtiPackage(tuple(items), tuple(found.not_read))


def _place(order: list[str], inside: str) -> int:
    return order.index(inside) if inside in order else len(order)


def _read_member(inside: str, opened: Callable[[], BinaryIO], name: str, found: _Found) -> None:
    try:
        with opened() as stream:
            root = document(stream, name)
        kind = local_name(root)
        if kind == "manifest":
            _read_manifest(root, posixpath.dirname(inside), found)
        elif kind == _TEST_ROOT:
            _read_references(root, posixpath.dirname(inside), found)
        elif kind in _ITEM_ROOTS:
            found.items[inside] = items_of(root, name)
    except InputError as error:
        if posixpath.basename(inside) == _MANIFEST:
            raise
        found.not_read.append(str(error))


def _read_references(test: Element, folder: str, found: _Found) -> None:
    """Names that a test refers to its items by; results use these."""
    for one in test.iter():
        if local_name(one) == "assessmentItemRef":
            target = _inside(folder, attribute(one, "href"))
            found.references.setdefault(target, []).append(attribute(one, "identifier"))


def _read_manifest(manifest: Element, folder: str, found: _Found) -> None:
    for resource in manifest.iter():
        if local_name(resource) != "resource":
            continue
        target = _inside(folder, attribute(resource, "href"))
        if target:
            found.order.append(target)
            found.outcomes[target] = tuple(_outcomes(resource))


def _outcomes(resource: Element) -> list[str]:
    """GUIDs of `labelledGUID`, of any version of RFC 4122; the item's address where none is."""
    named = []
    for one in resource.iter():
        if local_name(one) == "labelledGUID":
            parts = {local_name(part): text_of(part).strip() for part in one}
            uri = parts.get("caseItemURI", "")
            guid = parts.get("GUID") or uri.rstrip("/").rpartition("/")[2]
            if guid and guid not in named:
                named.append(guid.lower())
    return named


def _inside(folder: str, href: str) -> str:
    """A file of the package that an address names; "" for one that leads out of it."""
    path = posixpath.normpath(posixpath.join(folder, unquote(href.partition("#")[0])))
    return "" if not href or path.startswith(("..", "/")) or ":" in path else path
