"""The `sql` package as data: one SELECT per file, its table, its comments, its order."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from functools import cache
from graphlib import CycleError, TopologicalSorter
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any

from pipeline.errors import InternalError

__all__ = ["FOLDERS", "VIEWS", "Model", "ordered", "read_models"]

FOLDERS = {
    "schema": "store",
    "computed": "computed",
    "staging": "staging",
    "marts": "main",
    "checks": "checks",
}
"""Folder of the `sql` package -> schema of the database; a check is never stored."""

VIEWS = frozenset({"main.answers", "main.tags", "main.answer_changes", "main.doubtful_answers"})
"""Models as large as the answers themselves: kept as views, so that new weights cost nothing."""

_COMMENTED = re.compile(r"(?:^|\s|\.)\"?(\w+)\"?,?[ \t]+--[ \t]*(.+?)\s*$")


@dataclass(frozen=True, slots=True)
class Model:
    """One file of the `sql` package.

    Args:
        name: table with its schema, such as `main.answers`.
        path: file inside the package, such as `marts/answers.sql`.
        text: the SELECT.
        needs: tables that it reads, with their schema.
    """

    name: str
    path: str
    text: str
    needs: frozenset[str] = field(default=frozenset())

    @property
    def schema(self) -> str:
        """Schema of the table."""
        return self.name.split(".")[0]

    @property
    def table(self) -> str:
        """Name of the table without its schema."""
        return self.name.split(".")[1]

    @property
    def comment(self) -> str:
        """The first line, which says what a row is."""
        return self.text.splitlines()[0].removeprefix("--").strip()

    @property
    def column_comments(self) -> dict[str, str]:
        """What is said of each column, at the end of the line that names it."""
        return _column_comments(self.text)


@cache
def _column_comments(text: str) -> dict[str, str]:
    found = (_COMMENTED.search(line) for line in text.splitlines()[1:])
    return {match[1]: match[2] for match in found if match}


def read_models(parse: Callable[[str], dict[str, Any]]) -> dict[str, Model]:
    """Read every file of the `sql` package.

    Args:
        parse: the database's own serialization of one SELECT, as nested dicts.

    Returns:
        Models by table name, in order of their paths.

    Raises:
        InternalError: the package holds no models, or a file is not exactly one SELECT.
    """
    root = files("sql")
    models = {
        f"{schema}.{file.name.removesuffix('.sql')}": (f"{folder}/{file.name}", file)
        for folder, schema in FOLDERS.items()
        for file in _sql_files(root, folder)
    }
    if "main.answers" not in models:
        message = (
            f"The folder {root} holds no marts/answers.sql. The program is not installed whole, "
            "or another package named sql stands before ours; install it into an environment of "
            "its own."
        )
        raise InternalError(message)
    return {name: _model(name, path, file, parse) for name, (path, file) in models.items()}


def _sql_files(root: Traversable, folder: str) -> list[Traversable]:
    place = root / folder
    if not place.is_dir():
        return []
    found = (file for file in place.iterdir() if file.name.endswith(".sql"))
    return sorted(found, key=lambda file: file.name)


def _model(
    name: str, path: str, file: Traversable, parse: Callable[[str], dict[str, Any]]
) -> Model:
    text = file.read_text(encoding="utf-8")
    return Model(name, path, text, _needs(path, parse(text)))


def _needs(path: str, tree: dict[str, Any]) -> frozenset[str]:
    if tree.get("error"):
        reason = tree.get("error_message", "unknown")
        raise InternalError(f"sql/{path} is not a SELECT that the database can read: {reason}")
    if len(tree["statements"]) != 1:
        raise InternalError(f"sql/{path} holds {len(tree['statements'])} statements, expected one.")
    return frozenset(_tables(tree))


def _tables(node: Any) -> Iterator[str]:
    """Name every schema-qualified table of a serialized SELECT; CTEs carry no schema."""
    if isinstance(node, dict):
        if node.get("type") == "BASE_TABLE" and node.get("schema_name"):
            yield f"{node['schema_name']}.{node['table_name']}"
        for value in node.values():
            yield from _tables(value)
    elif isinstance(node, list):
        for value in node:
            yield from _tables(value)


def ordered(models: Iterable[Model]) -> list[Model]:
    """Sort models so that each comes after those that it reads.

    Args:
        models: any models; tables outside of them are taken to exist.

    Raises:
        InternalError: models read each other in a circle, or a table that no file makes.
    """
    by_name = {model.name: model for model in models}
    for model in by_name.values():
        unknown = {need for need in model.needs if need not in by_name}
        if unknown:
            raise InternalError(f"sql/{model.path} reads {sorted(unknown)}, which no file makes.")
    sorter = TopologicalSorter({m.name: sorted(m.needs) for m in by_name.values()})
    try:
        return [by_name[name] for name in sorter.static_order()]
    except CycleError as circle:
        names = ", ".join(f"sql/{by_name[name].path}" for name in circle.args[1])
        raise InternalError(f"These files read each other in a circle: {names}") from circle
