"""What a task is stands in its declaration: no other module asks a task for its name."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import pipeline
from pipeline.tasks.catalogue import TASKS

ROOT = Path(str(pipeline.__file__)).parents[1]
MAY_NAME = {
    "pipeline/tasks": "the declarations",
    "pipeline/patterns": "examples are of a task",
    "pipeline/wording": "says which task the words of a question ask for: names are what it gives",
    "pipeline/drafting": "lays out the columns of each kind of question, as its words were read",
    "pipeline/course/items.py": "corrects tasks that the words of a question do not ask for",
    "pipeline/course/new.py": "writes an example",
    "pipeline/records.py": "comes before the tasks, and joins the parts of a question's text",
    "pipeline/cli_commands.py": "takes one where a request names none",
    "reports": "may not see the tasks: words of pages are those of pages",
    "synthetic_data": "may not see the tasks: its truth is made apart",
}
"""Folders and files that name tasks, and why."""


def sources() -> Iterator[Path]:
    for folder in ("pipeline", "reports", "synthetic_data"):
        for path in sorted((ROOT / folder).rglob("*.py")):
            place = path.relative_to(ROOT).as_posix()
            if not any(place == known or place.startswith(f"{known}/") for known in MAY_NAME):
                yield path


def named_in(text: str) -> list[str]:
    """Names of tasks that a task is compared with, or that stand where one is given."""
    found: list[ast.AST] = []
    for node in ast.walk(ast.parse(text)):
        match node:
            case ast.Compare(left, _, others):
                sides = [left, *others]
                found += sides if any(_is_task(one) for one in sides) else []
            case ast.Call(ast.Attribute(asked, "startswith" | "endswith"), given):
                found += given if _is_task(asked) else []
            case ast.Call(ast.Name("read_problem" | "read_as" | "Request" | "Problem"), given):
                found += given
            case ast.keyword("task", given):
                found.append(given)
    constants = (one for part in found for one in ast.walk(part) if isinstance(one, ast.Constant))
    return [str(one.value) for one in constants if one.value in TASKS]


def _is_task(node: ast.AST) -> bool:
    return (isinstance(node, ast.Name) and node.id == "task") or (
        isinstance(node, ast.Attribute) and node.attr == "task"
    )


def test_no_module_asks_a_task_for_its_name() -> None:
    named = {path.name: named_in(path.read_text(encoding="utf-8")) for path in sources()}

    assert len(named) > 100
    assert {name: found for name, found in named.items() if found} == {}


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ('if task == "solve": pass', ["solve"]),
        ('if problem.task in ("line", "slope"): pass', ["line", "slope"]),
        ('read_problem(text, "simplify")', ["simplify"]),
        ('replace(problem, task="solve-for")', ["solve-for"]),
        ('if request.task.startswith("solve"): pass', ["solve"]),
        ('frame["line"] == 3', []),
        ('if task in TASKS: pass', []),
        ('if place == "domain": pass', []),
    ],
)  # fmt: skip
def test_a_name_is_found_where_a_task_is_asked_for(text: str, named: list[str]) -> None:
    assert named_in(text) == named


@pytest.mark.parametrize("place", MAY_NAME)
def test_what_may_name_tasks_is_there(place: str) -> None:
    assert (ROOT / place).exists()
