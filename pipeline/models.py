"""The `sql` package as data: one SELECT per file, its table, its comments, its order."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cache
from graphlib import CycleError, TopologicalSorter
from importlib.resources import files
from importlib.resources.abc import Traversable

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
    "staging.judged", "staging.opportunity", "staging.practice_step", "staging.shared_part",
    "staging.told_answer", "store.judgment",
})  # fmt: skip
"""Models as large as the answers themselves: kept as views, so that to fill them costs nothing."""

_TABLE = re.compile(rf"--.*|'[^']*'|\b((?:{'|'.join(FOLDERS.values())})\.\w+)")
"""A comment, a text, or a table with its schema, which alone is kept; CTEs carry no schema."""
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
    def is_filled(self) -> bool:
        """Whether Python fills it: its SELECT names columns alone, and holds no row."""
        return self.text.endswith("where false\n")

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
    with duckdb.connect() as connection:
        return {
            name: _model(name, path, file.read_text(encoding="utf-8"), connection)
            for name, (path, file) in found.items()
        }


def _sql_files(root: Traversable, folder: str) -> list[Traversable]:
    place = root / folder
    if not place.is_dir():
        return []
    found = (file for file in place.iterdir() if file.name.endswith(".sql"))
    return sorted(found, key=lambda file: file.name)


def _model(name: str, path: str, text: str, connection: duckdb.DuckDBPyConnection) -> Model:
    try:
        kinds = [one.type for one in connection.extract_statements(text)]
    except duckdb.ParserException as error:
        raise InternalError(f"sql/{path} is not a SELECT: {error}") from error
    if len(kinds) != 1:
        raise InternalError(f"sql/{path} holds {len(kinds)} statements, expected one.")
    if kinds != [duckdb.StatementType.SELECT]:
        raise InternalError(f"sql/{path} is not a SELECT: it is {kinds[0].name}.")
    return Model(name, path, text, frozenset(filter(None, _TABLE.findall(text))))


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
