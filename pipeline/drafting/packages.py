"""Questions out of QTI items and packages of them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import partial
from io import BytesIO
from pathlib import Path
from typing import BinaryIO, cast

from pipeline.course.standard_files import read_standard_files
from pipeline.drafting.sources import SourceQuestion
from pipeline.standards import Interaction, QtiItem, read_qti_items, read_qti_package
from pipeline.tables import Source, archive_members
from pipeline.wording import numbering_of


def questions_of_package(path: Path, name: str) -> tuple[list[SourceQuestion], list[str]]:
    """Questions of a zipped package, and what of it could not be read.

    Raises:
        InputError: no archive, or a broken manifest.
    """
    members = archive_members(Source(path, name))
    package = read_qti_package(
        [(one.name.removeprefix(f"{name}/"), partial(_opened, one)) for one in members], name
    )
    title = path.stem
    found = [one for item in package.items for one in _questions(item, title)]
    return found, list(package.not_read)


def questions_of_items(path: Path, name: str) -> list[SourceQuestion]:
    """Questions of a single QTI file.

    Raises:
        InputError: broken, or of another kind.
    """
    with path.open("rb") as stream:
        return [one for item in read_qti_items(stream, name) for one in _questions(item, "")]


def questions_of_standards(folder: Path) -> list[SourceQuestion]:
    """Questions of the packages that lie in the folder `standards` of a course folder.

    Raises:
        CourseError: a file of that folder is broken.
    """
    items = {id(item): item for item in read_standard_files(folder).packages.values()}
    return [one for item in items.values() for one in _questions(item, "")]


def _opened(one: Source) -> BinaryIO:
    with one.opened() as stream:
        return cast("BinaryIO", BytesIO(stream.read()))


def _questions(item: QtiItem, title: str) -> Iterator[SourceQuestion]:
    """One question for each place where a student answers."""
    body = re.sub(r"\s*_{4,}\s*$", "", item.body.strip())
    number = numbering_of(body)
    base = SourceQuestion(number.rest, f"{item.file}, line {item.line}", topic=title or item.title)
    if not item.interactions:
        yield _named(base, item.identifier, cannot="it holds no place where a student answers")
        return
    several = len(item.interactions) > 1
    for one in item.interactions:
        name = f"{item.identifier}:{one.response}" if several else item.identifier
        yield _of_interaction(base, name, item, one, several)


def _named(base: SourceQuestion, name: str, cannot: str) -> SourceQuestion:
    return SourceQuestion(base.wording, base.source, name, topic=base.topic, cannot=cannot)


def _of_interaction(
    base: SourceQuestion, name: str, item: QtiItem, one: Interaction, several: bool
) -> SourceQuestion:
    if item.templates:
        return _named(base, name, "each candidate gets numbers of its own: take the problem from "
                      "a column of the export")  # fmt: skip
    if one.kind in ("several", "other"):
        return _named(base, name, f"answers of the kind {one.name} are not judged")
    if several:
        return _named(base, name, "one of several places of one question: write what it asks for")
    keys = one.key_texts
    return SourceQuestion(
        base.wording,
        base.source,
        name,
        topic=base.topic,
        options=tuple(option.text for option in one.options) if one.kind == "choice" else (),
        key=keys[0] if len(keys) == 1 else "",
    )
