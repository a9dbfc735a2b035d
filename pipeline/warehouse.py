"""The course's database: its tables, made from the `sql` package.

A run builds beside the last good file and swaps by rename, so that a run that is killed at any
moment leaves the last good file as it was; see `pipeline.database_file`.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import duckdb
import pandas as pd

from pipeline.database_file import leave_no_old_bytes, opened_beside, opened_for_reading
from pipeline.errors import InternalError
from pipeline.models import ASKED, VIEWS, Model, ordered, read_models


class Warehouse:
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
        listed = (
            "select schema_name || '.' || table_name from duckdb_tables() union all "
            "select schema_name || '.' || view_name from duckdb_views() where not internal"
        )
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
            made = model.schema in {"staging", "main"} and not model.is_filled
            if made and (model.name in late) == computed:
                self._make(model)

    def _make(self, model: Model) -> None:
        if model.name in self._shaped & VIEWS:
            return
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

    def _known(self, name: str) -> str:
        full = name if "." in name else f"main.{name}"
        if full not in self.models:
            raise InternalError(f"The database has no table {full}.")
        return full

    def _with_column(self, name: str, column: str) -> str:
        known = self._known(name)
        if column not in self.models[known].column_comments:
            raise InternalError(f"{known} has no column {column}.")
        return known

    def part(
        self, name: str, columns: Sequence[str], where: tuple[str, str] | None = None
    ) -> pd.DataFrame:
        """Read some columns of a table, its rows in no particular order.

        Args:
            name: table with its schema.
            columns: which.
            where: a column and the value that it is to hold; None reads all rows.
        """
        known = self._known(name)
        wanted = ", ".join(f'"{column}"' for column in columns if self._with_column(name, column))
        statement = f"select {wanted} from {known}"  # noqa: S608
        if where is None:
            return self._connection.execute(statement).fetchdf()
        self._with_column(name, where[0])
        return self._connection.execute(f'{statement} where "{where[0]}" = ?', [where[1]]).fetchdf()

    def distinct(self, name: str, column: str) -> list[object]:
        """The different values of a column, sorted; a missing one is none."""
        known = self._with_column(name, column)
        statement = (
            f'select distinct "{column}" from {known} where "{column}" is not null order by 1'  # noqa: S608
        )
        return [row[0] for row in self._connection.execute(statement).fetchall()]

    def spans(self, name: str, by: str, column: str) -> dict[str, tuple[Any, Any]]:
        """Text of one column -> least and greatest value of another one, where both are there."""
        known = self._with_column(name, by)
        self._with_column(name, column)
        statement = (
            f'select "{by}", min("{column}"), max("{column}") from {known} '  # noqa: S608
            f'where "{by}" is not null and "{column}" is not null group by 1 order by 1'
        )
        rows = self._connection.execute(statement).fetchall()
        return {text: (least, greatest) for text, least, greatest in rows}

    def content(self, name: str) -> str:
        """Tell a table's rows, in any order, from others: their number and a sum over them."""
        known = self._known(name)
        statement = f"select count(*), sum(hash(row)::hugeint) from {known} as row"  # noqa: S608
        count, total = self._connection.execute(statement).fetchall()[0]
        return f"{count} {total}"

    def select(self, name: str, column: str, values: Sequence[str | int]) -> pd.DataFrame:
        """Read the rows of a table that hold one of some values in a column."""
        known = self._with_column(name, column)
        if not values:
            return self._connection.execute(f"select * from {known} limit 0").fetchdf()  # noqa: S608
        statement = f'select * from {known} where "{column}" in (select unnest(?)) order by all'  # noqa: S608
        return self._connection.execute(statement, [list(values)]).fetchdf()

    def remove(self, name: str, column: str, values: Sequence[str | int]) -> None:
        """Delete the rows of a declared table that hold one of some values in a column."""
        known = self._with_column(name, column)
        if values:
            statement = f'delete from {known} where "{column}" in (select unnest(?))'  # noqa: S608
            self._connection.execute(statement, [list(values)])

    def matching(self, name: str, frame: pd.DataFrame) -> pd.DataFrame:
        """Read the rows of a table that agree with one of some rows in all columns of these.

        Args:
            name: table with its schema.
            frame: the rows; a missing value agrees with a missing value.
        """
        if not len(frame):
            return self._connection.execute(f"select * from {self._known(name)} limit 0").fetchdf()  # noqa: S608
        return self._with_incoming(frame, f"select * from {self._agreeing(name, frame)}")  # noqa: S608

    def remove_matching(self, name: str, frame: pd.DataFrame) -> None:
        """Delete the rows of a declared table that `matching` would read."""
        if len(frame):
            self._with_incoming(frame, f"delete from {self._agreeing(name, frame)}")  # noqa: S608

    def _agreeing(self, name: str, frame: pd.DataFrame) -> str:
        known = self._known(name)
        same = " and ".join(
            f'cast(kept."{column}" as varchar) is not distinct from cast(one."{column}" as varchar)'
            for column in frame.columns
            if self._with_column(name, column)
        )
        return f"{known} as kept where exists (select 1 from incoming as one where {same})"  # noqa: S608

    def _with_incoming(self, frame: pd.DataFrame, statement: str) -> pd.DataFrame:
        self._connection.register("incoming", frame.drop_duplicates())
        try:
            return self._connection.execute(statement).fetchdf()
        finally:
            self._connection.unregister("incoming")

    def copy_tables(
        self, path: Path, names: Sequence[str], without: dict[str, tuple[str, Sequence[str | int]]]
    ) -> None:
        """Fill tables from another database, so that what is left out never reaches this file.

        Args:
            path: the other database, of the same shape.
            names: tables with their schema.
            without: table -> column and the values whose rows are left out.
        """
        run = self._connection.execute
        run(f"attach '{str(path).replace(chr(39), chr(39) * 2)}' as earlier (read_only)")
        try:
            for name in names:
                known = self._known(name)
                statement = f"insert into {known} by name select * from earlier.{known}"  # noqa: S608
                if name in without:
                    column, values = without[name]
                    self._with_column(name, column)
                    where = f'where not coalesce(list_contains(?, "{column}"), false)'
                    run(f"{statement} {where}", [list(values)])
                else:
                    run(statement)
        finally:
            run("detach earlier")

    def text_columns(self) -> list[tuple[str, str, str]]:
        """Schema, table and name of every column that can hold text, as DuckDB lists them."""
        return self._connection.execute(
            "select schema_name, table_name, column_name from duckdb_columns() "
            "where not internal and (data_type like '%VARCHAR%' or data_type = 'JSON') order by all"
        ).fetchall()

    def holding(
        self, texts: Sequence[str], names: Callable[[str], bool] | None = None, bare: str = ""
    ) -> list[str]:
        """Name every column of every table and view in which one of some texts occurs.

        Args:
            texts: as they stand.
            names: whether a further text is one of them, too.
            bare: letters and digits of what `names` looks for; asked is of what holds these.
        """
        sought = "|".join(map(re.escape, texts))
        found = []
        for schema, table, column in self.text_columns():
            told = (
                f'select t from (select distinct cast("{column}" as varchar) as t '  # noqa: S608
                f'from "{schema}"."{table}") where '
            )
            hit = f"{told} regexp_matches(t, ?) limit 1"
            near = (
                rf"{told} contains(regexp_replace(lower(t), '[^\pL\pN]', '', 'g'), ?) "
                r"or regexp_matches(t, '[<&]|[^\x00-\x7f]')"
            )
            run = self._connection.execute
            if run(hit, [sought]).fetchone() or (
                names and any(names(t) for (t,) in run(near, [bare]).fetchall())
            ):
                found.append(f"{schema}.{table}.{column}")
        return found


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
