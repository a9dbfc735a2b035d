"""Imports go one way: a stage sees those before it, never those after."""

from __future__ import annotations

import ast
from importlib import import_module
from pathlib import Path

import pytest

STAGES = (
    "pipeline.errors",
    "pipeline.exact",
    "pipeline.records",
    "pipeline.reading",
    "pipeline.procedures",
    "pipeline.patterns",
    "pipeline.tagging",
    "pipeline.wording",
    "pipeline.tables",
    "pipeline.standards",
    "pipeline.course",
    "pipeline.ingest",
    "pipeline.drafting",
    "pipeline.check",
    "pipeline.warehouse",
    "pipeline.statistics",
    "pipeline.explain",
    "pipeline.run",
    "pipeline.student",
    "reports",
    "synthetic_data",
    "pipeline.cli_commands",
    "pipeline.cli",
)
"""The flow; `errors` and `records` are the shared vocabulary, the last ones conduct or present."""

NEVER = {
    "reports": {"pipeline.procedures", "pipeline.patterns", "pipeline.tagging", "pipeline.ingest"},
    "pipeline.statistics": {"pipeline.reading", "pipeline.procedures", "pipeline.patterns"},
    "synthetic_data": {"pipeline.procedures", "pipeline.patterns", "pipeline.tagging"},
}
"""Besides the order: pages only draw, statistics know no algebra, planted truth is made apart."""


def sources(package: str) -> list[Path]:
    folder = Path(str(import_module(package).__file__)).parent
    return sorted(folder.rglob("*.py"))


def module_name(path: Path, package: str) -> str:
    root = Path(str(import_module(package).__file__)).parent.parent
    parts = path.relative_to(root).with_suffix("").parts
    return ".".join(part for part in parts if part != "__init__")


def imported(path: Path) -> set[str]:
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            names.add(node.module)
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return names


def stage_of(name: str) -> str | None:
    found = [stage for stage in STAGES if name == stage or name.startswith(stage + ".")]
    return max(found, key=len) if found else None


ALL = [
    (package, path)
    for package in ("pipeline", "reports", "synthetic_data", "sql")
    for path in sources(package)
]


@pytest.mark.parametrize(("package", "path"), ALL, ids=lambda value: getattr(value, "name", value))
def test_a_module_imports_no_later_stage(package: str, path: Path) -> None:
    own = stage_of(module_name(path, package))
    if own is None:
        return
    later = {
        stage
        for name in imported(path)
        if (stage := stage_of(name)) and STAGES.index(stage) > STAGES.index(own)
    }

    assert later == set(), f"{path} imports {later}"


@pytest.mark.parametrize(("package", "path"), ALL, ids=lambda value: getattr(value, "name", value))
def test_a_module_keeps_its_distance(package: str, path: Path) -> None:
    own = stage_of(module_name(path, package)) or ""
    banned = {stage for name in imported(path) if (stage := stage_of(name))} & NEVER.get(own, set())

    assert banned == set(), f"{path} imports {banned}"


def test_only_the_command_line_prints_or_exits() -> None:
    guilty = []
    for package, path in ALL:
        if module_name(path, package) == "pipeline.cli":
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                name = ast.unparse(node.func)
                if name in {"print", "exit", "quit", "sys.exit", "os._exit"}:
                    guilty.append(f"{path.name}:{node.lineno} {name}")

    assert guilty == []


def test_nothing_evaluates_text() -> None:
    banned = {"eval", "exec", "sympify", "parse_expr", "parse_latex", "literal_eval", "S"}
    guilty = []
    for _, path in ALL:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                name = ast.unparse(node.func).removeprefix("sympy.").removeprefix("sp.")
                if name in banned:
                    guilty.append(f"{path.name}:{node.lineno} {name}")

    assert guilty == []
