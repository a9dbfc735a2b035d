"""Imports go one way: a stage sees those before it, never those after."""

from __future__ import annotations

import ast
from functools import cache
from graphlib import TopologicalSorter
from importlib import import_module
from pathlib import Path

from pipeline.run.rules import JUDGES

STAGES = (
    "pipeline.errors",
    "pipeline.exact",
    "pipeline.records",
    "pipeline.reading",
    "pipeline.procedures",
    "pipeline.tasks",
    "pipeline.patterns",
    "pipeline.tagging",
    "pipeline.discovery",
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
    "reports": {
        "pipeline.procedures",
        "pipeline.tasks",
        "pipeline.patterns",
        "pipeline.tagging",
        "pipeline.ingest",
    },
    "pipeline.statistics": {"pipeline.reading", "pipeline.procedures", "pipeline.patterns"},
    "synthetic_data": {
        "pipeline.procedures",
        "pipeline.tasks",
        "pipeline.patterns",
        "pipeline.tagging",
    },
}
"""Besides the order: pages only draw, statistics know no algebra, planted truth is made apart."""


def sources(package: str) -> list[Path]:
    folder = Path(str(import_module(package).__file__)).parent
    return sorted(folder.rglob("*.py"))


def module_name(path: Path, package: str) -> str:
    root = Path(str(import_module(package).__file__)).parent.parent
    parts = path.relative_to(root).with_suffix("").parts
    return ".".join(part for part in parts if part != "__init__")


@cache
def nodes_of(path: Path) -> list[ast.AST]:
    return list(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))


@cache
def imported(path: Path) -> frozenset[str]:
    names: set[str] = set()
    for node in nodes_of(path):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            names.add(node.module)
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return frozenset(names)


def stage_of(name: str) -> str | None:
    found = [stage for stage in STAGES if name == stage or name.startswith(stage + ".")]
    return max(found, key=len) if found else None


ALL = [
    (package, path)
    for package in ("pipeline", "reports", "synthetic_data", "sql")
    for path in sources(package)
]


def test_no_module_imports_a_later_stage() -> None:
    guilty = []
    for package, path in ALL:
        own = stage_of(module_name(path, package))
        for stage in {stage_of(name) for name in imported(path)} - {None} if own else ():
            if STAGES.index(str(stage)) > STAGES.index(str(own)):
                guilty.append(f"{path} imports {stage}")

    assert guilty == []


def test_modules_keep_their_distance() -> None:
    guilty = []
    for package, path in ALL:
        banned = NEVER.get(stage_of(module_name(path, package)) or "", set())
        guilty += [
            f"{path} imports {one}" for one in banned & {stage_of(n) for n in imported(path)}
        ]

    assert guilty == []


def test_no_modules_import_each_other_in_a_circle() -> None:
    """Imports inside functions count as well; a package is what its modules import."""
    modules = {module_name(path, package): path for package, path in ALL}
    graph = {
        name: {
            one for one in imported(path) if one in modules and not f"{name}.".startswith(f"{one}.")
        }
        for name, path in modules.items()
    }
    TopologicalSorter(graph).prepare()  # raises CycleError, which names the modules


def test_whatever_the_judging_of_an_answer_imports_counts_as_a_change_of_the_rules() -> None:
    tagging = [path for _, path in ALL if path.parent.name == "tagging"]
    stages = {stage_of(name) for path in tagging for name in imported(path)} - {None}

    assert stages <= {f"pipeline.{one}" for one in (*JUDGES, "errors", "records")}


def test_only_the_command_line_prints_or_exits() -> None:
    guilty = []
    for package, path in ALL:
        if module_name(path, package) == "pipeline.cli":
            continue
        for node in nodes_of(path):
            if isinstance(node, ast.Call):
                name = ast.unparse(node.func)
                if name in {"print", "exit", "quit", "sys.exit", "os._exit"}:
                    guilty.append(f"{path.name}:{node.lineno} {name}")

    assert guilty == []


def test_nothing_evaluates_text() -> None:
    banned = {"eval", "exec", "sympify", "parse_expr", "parse_latex", "literal_eval", "S"}
    guilty = []
    for _, path in ALL:
        for node in nodes_of(path):
            if isinstance(node, ast.Call):
                name = ast.unparse(node.func).removeprefix("sympy.").removeprefix("sp.")
                if name in banned:
                    guilty.append(f"{path.name}:{node.lineno} {name}")

    assert guilty == []
