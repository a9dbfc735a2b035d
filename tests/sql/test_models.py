"""The sql package as data: one SELECT a file, its order, and a comment on every column."""

from __future__ import annotations

import re
from pathlib import Path

import duckdb
import pytest

from pipeline.errors import InternalError
from pipeline.models import Model, ordered, read_models
from pipeline.warehouse import building

CONTRACT = {
    "answers": "response term week section topic item problem student attempt answered_at answer "
    "read_as verdict score quiz setting file line answered_week",
    "tags": "response pattern faults share",
    "error_by_topic_week": "term week topic pattern students opportunities expected_errors rate "
    "rate_low rate_high rate_note setting",
    "pattern_prevalence": "term pattern rate rate_low rate_high persistence opportunities",
    "item_statistics": "term item students difficulty item_rest cannot_show",
    "outcome_results": "term section outcome students share share_low share_high too_little "
    "target bar",
    "term_comparison": "term_before term_after kind subject difference difference_low "
    "difference_high p_adjusted",
    "lesson_effect": "lesson pattern before after control_change difference difference_low "
    "difference_high",
    "rejected_rows": "file line column value reason",
    "disagreements": "response verdict score",
    "unexplained_answers": "item problem read_as answers",
}
"""Views and columns that people outside rely on."""


@pytest.fixture(scope="module")
def models() -> dict[str, Model]:
    return read_models()


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[str]]:
    """Columns of every table of an empty database, as the database itself names them."""
    path = tmp_path_factory.mktemp("empty") / "course.duckdb"
    with building(path) as warehouse:
        warehouse.build(computed=False)
        warehouse.build(computed=True)
        assert warehouse.check() == []
    connection = duckdb.connect(str(path), read_only=True)
    rows = connection.execute(
        "select schema_name || '.' || table_name, column_name from duckdb_columns() order by all"
    ).fetchall()
    connection.close()
    columns: dict[str, list[str]] = {}
    for table, column in rows:
        columns.setdefault(table, []).append(column)
    return columns


def test_every_stored_and_page_column_is_described(
    models: dict[str, Model], built: dict[str, list[str]]
) -> None:
    """The comments of a file name exactly the columns that the file makes."""
    for name, model in models.items():
        if model.schema in {"store", "computed", "main"}:
            assert set(model.column_comments) == set(built[name]), model.path


def test_the_database_carries_the_comments(tmp_path: Path) -> None:
    with building(tmp_path / "course.duckdb") as warehouse:
        warehouse.build(computed=False)
        warehouse.build(computed=True)
    connection = duckdb.connect(str(tmp_path / "course.duckdb"), read_only=True)
    silent = connection.execute(
        "select table_name, column_name from duckdb_columns() where comment is null "
        "and schema_name in ('main', 'store', 'computed') and not internal"
    ).fetchall()
    connection.close()

    assert silent == []


@pytest.mark.parametrize("view", CONTRACT)
def test_the_contract_is_kept(view: str, built: dict[str, list[str]]) -> None:
    assert set(CONTRACT[view].split()) <= set(built[f"main.{view}"])


def test_no_page_table_names_a_student(built: dict[str, list[str]]) -> None:
    """No column of a page table holds a pseudonym, a typed answer or working."""
    private = {"student", "answer", "work", "response", "line"}
    for name, columns in built.items():
        if name.startswith("main.own_"):
            assert not private & set(columns), name


def test_a_model_selects_named_columns(models: dict[str, Model]) -> None:
    for model in models.values():
        assert not re.search(r"select\s+\*|\w\.\*", model.text), model.path


def test_what_a_model_reads_is_what_the_database_says(models: dict[str, Model]) -> None:
    # Source: DuckDB's own parser, by `json_serialize_sql`.
    with duckdb.connect() as connection:
        for model in models.values():
            ((schemas, tables),) = connection.execute(
                "select tree->>'$..schema_name', tree->>'$..table_name' "
                "from (select json_serialize_sql(?) as tree)",
                [model.text],
            ).fetchall()
            both = zip(schemas, tables, strict=True)
            assert model.needs == {f"{a}.{b}" for a, b in both if a}, model.path


def test_each_comes_after_what_it_reads(models: dict[str, Model]) -> None:
    order = [model.name for model in ordered(models.values())]
    place = {name: at for at, name in enumerate(order)}

    assert all(place[need] < place[m.name] for m in models.values() for need in m.needs)


def test_a_circle_is_refused_with_its_files() -> None:
    one = Model("main.one", "marts/one.sql", "", frozenset({"main.two"}))
    two = Model("main.two", "marts/two.sql", "", frozenset({"main.one"}))

    with pytest.raises(InternalError, match=r"marts/one\.sql"):
        ordered([one, two])


def test_a_table_that_no_file_makes_is_refused() -> None:
    lost = Model("main.one", "marts/one.sql", "", frozenset({"store.nowhere"}))

    with pytest.raises(InternalError, match=r"store\.nowhere"):
        ordered([lost])


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("select 1 as a; select 2 as b", "2 statements"),
        ("drop table x", "not a SELECT"),
        ("select from where", "not a SELECT"),
    ],
)
def test_only_one_select_a_file(
    text: str, complaint: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "marts").mkdir()
    (tmp_path / "marts" / "answers.sql").write_text(text, encoding="utf-8")
    monkeypatch.setattr("pipeline.models.files", lambda _package: tmp_path)

    with pytest.raises(InternalError, match=complaint):
        read_models.__wrapped__()


def test_a_package_without_its_sql_says_where_it_looked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("pipeline.models.files", lambda _package: tmp_path)

    with pytest.raises(InternalError, match=re.escape(str(tmp_path))):
        read_models.__wrapped__()
