"""The built wheel holds what the program needs, judged on the wheel and not on the tree."""

from __future__ import annotations

import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parents[2]
PACKAGES = {"pipeline", "reports", "sql", "synthetic_data"}


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> zipfile.ZipFile:
    if not (TOP / "sql").is_dir():
        return _installed_as_archive(tmp_path_factory.mktemp("installed"))
    target = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(target)]
    subprocess.run([*command, str(TOP)], check=True, capture_output=True)
    (built,) = target.glob("*.whl")
    return zipfile.ZipFile(built)


def _installed_as_archive(place: Path) -> zipfile.ZipFile:
    """Where the sources are gone, the installed copy is what the wheel held."""
    from importlib.metadata import files

    archive = zipfile.ZipFile(place / "installed.zip", "w")
    for entry in files("lostroot") or []:
        if entry.suffix != ".pyc" and not str(entry).startswith(".."):
            archive.write(entry.locate(), str(entry))
    return archive


def test_the_wheel_has_four_packages_and_its_metadata(wheel: zipfile.ZipFile) -> None:
    tops = {name.split("/")[0] for name in wheel.namelist()}

    assert {top for top in tops if not top.endswith(".dist-info")} == PACKAGES


def test_every_query_and_data_file_ships(wheel: zipfile.ZipFile) -> None:
    if not (TOP / "sql").is_dir():
        assert any(name.endswith(".sql") for name in wheel.namelist())
        return
    listed = subprocess.run(
        ["git", "ls-files", *sorted(PACKAGES)], cwd=TOP, capture_output=True, text=True, check=True
    )
    shipped = set(wheel.namelist())

    assert {line for line in listed.stdout.splitlines() if line not in shipped} == set()


def test_the_command_is_named_lostroot(wheel: zipfile.ZipFile) -> None:
    (entry,) = [name for name in wheel.namelist() if name.endswith("entry_points.txt")]

    assert "lostroot = pipeline.cli:main" in wheel.read(entry).decode()


def test_every_dependency_is_pinned() -> None:
    project = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))
    pins = (TOP / "constraints.txt").read_text(encoding="utf-8").lower().replace("_", "-")
    wanted = project["project"]["dependencies"] + project["dependency-groups"]["dev"]
    names = [item.split(">")[0].strip().lower().replace("_", "-") for item in wanted]

    assert [name for name in names if f"{name}==" not in pins] == []


def test_constraints_name_no_host() -> None:
    text = (TOP / "constraints.txt").read_text(encoding="utf-8")

    assert "://" not in text
    assert "@" not in text
