"""Rows of a database by what they hold: found, copied without some, searched for a text."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import duckdb
import pandas as pd

from pipeline.errors import InternalError
from pipeline.models import Model


class StoredRows:
    """What can be done with single rows; the part of `Warehouse` that erasing rests on."""

    _connection: duckdb.DuckDBPyConnection
    models: dict[str, Model]

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
