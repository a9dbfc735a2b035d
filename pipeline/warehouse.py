"""The course's database: its tables, made from the `sql` package.

A run builds beside the last good file and swaps by rename, so that a run that is killed at any
moment leaves the last good file as it was; see `pipeline.database_file`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import duckdb
import pandas as pd

from pipeline.database_file import leave_no_old_bytes, opened_beside, opened_for_reading
from pipeline.errors import InternalError
from pipeline.models import ASKED, VIEWS, Model, ordered, read_models
from pipeline.stored_rows import StoredRows


class Warehouse(StoredRows):
    """One open database file.

    Args:
        connection: an open connection; `building` and `reading` make one.
    """

    def __init__(self, connection: duckdb.DuckDBPyConnection) -> None:
        self._connection = connection
        self.models = dict(read_models())
        self._shaped: set[str] = set()

    def frame(self, name: str) -> pd.DataFrame:
        """Read one whole table.

        Args:
            name: table, in schema `main` unless it names another: `own_headline`, `store.share`.

        Returns:
            Its rows, sorted by all columns from left to right that can be sorted.

        Raises:
            InternalError: no such table.
        """
        known = self._known(name)
        cursor = self._connection.execute(f"select * from {known} order by all")  # noqa: S608
        return cursor.fetchdf()

    def asked(self, name: str) -> pd.DataFrame:
        """Ask what no table holds: the rows of one file's SELECT as of now, sorted like `frame`."""
        text = self.models[self._known(name)].text
        return self._connection.execute(f"select * from ({text}) order by all").fetchdf()  # noqa: S608

    def fingerprint(self) -> str:
        """Tell a finished database, as it stands in its file, from any other."""
        rows = self._connection.execute("select path from duckdb_databases()").fetchall()
        path = next(one for (one,) in rows if one)
        with Path(path).open("rb") as stream:
            return hashlib.file_digest(stream, "sha256").hexdigest()

    def columns(self, name: str) -> dict[str, str]:
        """Say what each column of a table holds."""
        return self.models[self._known(name)].column_comments

    def sql_file(self, name: str) -> str:
        """Name the file that made a table, such as `sql/marts/own_headline.sql`."""
        return f"sql/{self.models[self._known(name)].path}"

    def make_all(self) -> None:
        """Make every table of a new database, from nothing."""
        with self.at_once():
            for model in ordered(m for m in self.models.values() if m.schema not in ASKED):
                self._make(model)

    def keep_shapes(self) -> None:
        """Fill tables that stand, from here on, instead of making them anew with all comments.

        For a file whose tables were made from the same texts by the same library.
        """
        self._shaped = self._standing()

    def _standing(self) -> set[str]:
        listed = "select schema_name || '.' || table_name from duckdb_tables()"
        return {name for (name,) in self._connection.execute(listed).fetchall()}

    def put(self, name: str, frame: pd.DataFrame, *, replace: bool = True) -> int:
        """Write a frame into a declared table, by column name.

        Args:
            name: table with its schema.
            frame: its rows; columns that are missing are null.
            replace: whether the rows take the place of those that stand.

        Returns:
            The number of rows written.

        Raises:
            InternalError: the frame has columns that the table has not.
        """
        known = self._known(name)
        declared = self.models[known].column_comments
        unknown = [column for column in frame.columns if column not in declared]
        if unknown:
            raise InternalError(f"{known} has no columns {unknown}; it has {list(declared)}.")
        if replace:
            self._connection.execute(f"delete from {known}")  # noqa: S608
        if len(frame):
            self._connection.register("incoming", frame)
            self._connection.execute(f"insert into {known} by name select * from incoming")  # noqa: S608
            self._connection.unregister("incoming")
        return len(frame)

    @contextmanager
    def at_once(self) -> Iterator[None]:
        """Write what the body writes as one transaction: the disk is waited for once."""
        self._connection.begin()
        try:
            yield
        except BaseException:
            self._connection.rollback()
            raise
        self._connection.commit()

    def holds(self, name: str) -> bool:
        """Whether a declared table has been made in this file."""
        return self._known(name) in self._standing()

    def make(self, name: str) -> None:
        """Make one table anew from its file."""
        self._make(self.models[self._known(name)])

    def build(self, *, computed: bool) -> None:
        """Make staging tables and marts anew, in the order that their texts imply.

        Args:
            computed: False makes those that need no statistics, True the rest.
        """
        if not computed and not self._shaped:  # an earlier version may have had others
            self._connection.execute("drop schema if exists staging cascade")
        late = {"store.share"}  # which the statistics fill, though it stands among what is stored
        for model in ordered(m for m in self.models.values() if m.schema not in ASKED):
            if model.schema == "computed" or model.needs & late or model.schema == "main":
                late.add(model.name)
            if model.schema in {"staging", "main"} and (model.name in late) == computed:
                self._make(model)

    def _make(self, model: Model) -> None:
        if model.name in self._shaped:
            filled = f"insert into {model.name} by name {model.text}"
            self._connection.execute(f"truncate {model.name}; {filled}")
            return
        kind = "view" if model.name in VIEWS else "table"
        said = [f"{kind} {model.name} is {_quoted(model.comment)}"]
        if model.schema != "staging":
            said += [
                f'column {model.name}."{column}" is {_quoted(comment)}'
                for column, comment in model.column_comments.items()
            ]
        self._connection.execute(f"create schema if not exists {model.schema}")
        self._connection.execute(f"create or replace {kind} {model.name} as {model.text}")
        self._connection.execute("".join(f"comment on {one};" for one in said))

    def leave_no_old_bytes(self) -> None:
        """At the end of `building`: keep nothing in the file of what was replaced."""
        leave_no_old_bytes(self._connection)

    def check(self) -> list[str]:
        """Run every check.

        Returns:
            The promises that are broken, each with the number of rows that break it.
        """
        broken = []
        for model in self.models.values():
            if model.schema == "checks":
                rows = self._connection.execute(model.text).fetchall()
                if rows:
                    broken.append(f"{model.comment} Broken by {len(rows)}, first {rows[0]}.")
        return broken


def _quoted(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


@contextmanager
def reading(path: Path) -> Iterator[Warehouse]:
    """Open a finished database for reading.

    Args:
        path: the file.

    Raises:
        CourseError: there is no such file, another program holds it, or it is damaged.
    """
    with opened_for_reading(path) as connection:
        yield Warehouse(connection)


@contextmanager
def building(path: Path, *, afresh: bool = False) -> Iterator[Warehouse]:
    """Open a copy beside the database for writing and put it in place when all went well.

    Args:
        path: the database to be; it is not touched before the end.
        afresh: start with empty tables instead of from a copy.

    Raises:
        CourseError: the file that stands is damaged, or the disk is full or cannot be written.
    """
    begin = _new() if afresh or not path.exists() else None
    with opened_beside(path, begin) as connection:
        warehouse = Warehouse(connection)
        if begin:
            warehouse.keep_shapes()
        yield warehouse


@cache  # their comments alone take longer than to fill the tables of a small course
def _new() -> bytes:
    """A database that holds every table, made from nothing."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "new.duckdb"
        with opened_beside(path, b"") as connection:
            Warehouse(connection).make_all()
        return path.read_bytes()
