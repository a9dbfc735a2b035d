"""What the README shows is what the program says."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from pipeline.cli import main

README = Path(__file__).resolve().parents[2] / "README.md"


def test_the_explained_answer_is_the_real_output(capsys: pytest.CaptureFixture[str]) -> None:
    (block,) = re.findall(r"```\n\$ lostroot (explain .*?)```", README.read_text("utf-8"), re.S)
    command, _, shown = block.partition("\n")
    status = main(shlex.split(command))

    assert status == 0
    assert capsys.readouterr().out.strip() == shown.strip()


def test_every_command_has_a_row(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["--help"])
    offered = set(re.findall(r"^    (\w+) ", capsys.readouterr().out, re.M))
    described = set(re.findall(r"^\| `lostroot (\w+)", README.read_text("utf-8"), re.M))

    assert described == offered
