"""The `sql` package as data: one SELECT per file, its table, its comments, its order."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from graphlib import CycleError, TopologicalSorter
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import TypeAlias

import duckdb

from pipeline.errors import InternalError

FOLDERS = {
    "schema": "store",
    "computed": "computed",
    "staging": "staging",
    "marts": "main",
    "judging": "judging",
    "checks": "checks",
}
"""Folder of the `sql` package -> schema of the database."""

ASKED = frozenset({"judging", "checks"})
"""What a step asks for itself and no database stores."""

VIEWS = frozenset({
    "main.answers", "main.tags", "main.answer_changes", "main.doubtful_answers",
    "staging.told_answer", "store.judgment",
})  # fmt: skip
"""Models as large as the answers themselves: kept as views, so that new weights cost nothing."""

_Parsed: TypeAlias = tuple[str | None, int, Sequence[str]]
"""Why a text is no SELECT, or None; its statements; the tables with their schema that it reads."""

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


@cache
def read_models() -> dict[str, Model]:
    """Read every file of the `sql` package, as it was when this program started.

    Returns:
        Models by table name, in order of their paths.

    Raises:
        InternalError: the package holds no models, or a file is not exactly one SELECT.
    """
    root = files("sql")
    found = {
        f"{schema}.{file.name.removesuffix('.sql')}": (f"{folder}/{file.name}", file)
        for folder, schema in FOLDERS.items()
        for file in _sql_files(root, folder)
    }
    if "main.answers" not in found:
        message = (
            f"The folder {root} holds no marts/answers.sql. The program is not installed whole, "
            "or another package named sql stands before ours; install it into an environment of "
            "its own."
        )
        raise InternalError(message)
    texts = [file.read_text(encoding="utf-8") for _, file in found.values()]
    return {
        name: Model(name, path, text, _needs(path, parsed))
        for (name, (path, _)), text, parsed in zip(
            found.items(), texts, _parsed(texts), strict=True
        )
    }


def _sql_files(root: Traversable, folder: str) -> list[Traversable]:
    place = root / folder
    if not place.is_dir():
        return []
    found = (file for file in place.iterdir() if file.name.endswith(".sql"))
    return sorted(found, key=lambda file: file.name)


def _parsed(texts: Sequence[str]) -> Iterator[_Parsed]:
    """Let the database read texts; CTEs carry no schema, so they are not among the tables."""
    with duckdb.connect() as connection:
        rows = connection.execute(
            "select if(tree->>'error' = 'true', coalesce(tree->>'error_message', 'unknown'), "
            "null), json_array_length(tree->'statements'), tree->>'$..schema_name', "
            "tree->>'$..table_name' from (select json_serialize_sql(unnest(?)) as tree)",
            [list(texts)],
        ).fetchall()
    for reason, statements, schemas, tables in rows:
        both = zip(schemas, tables, strict=True)
        yield reason, statements, [f"{schema}.{table}" for schema, table in both if schema]


def _needs(path: str, parsed: _Parsed) -> frozenset[str]:
    reason, statements, tables = parsed
    if reason is not None:
        raise InternalError(f"sql/{path} is not a SELECT that the database can read: {reason}")
    if statements != 1:
        raise InternalError(f"sql/{path} holds {statements} statements, expected one.")
    return frozenset(tables)


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
