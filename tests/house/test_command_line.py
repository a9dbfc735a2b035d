"""The command line: help with an example, one-line errors, documented exit codes, no traceback."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from pipeline.cli import main
from pipeline.errors import ExitCode

COMMANDS = ("demo", "new", "check", "run", "explain", "patterns", "tag", "show", "forget", "synth")


def run(*arguments: str, text: str = "") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "pipeline.cli", *arguments],
        input=text,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_with_an_example(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as stopped:
        main([command, "--help"])
    shown = capsys.readouterr().out

    assert stopped.value.code == 0
    assert f"example: lostroot {command}" in re.sub(r"\s+", " ", shown)


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (["run", "no-such-folder"], ExitCode.WRONG_USE),
        (["check", "no-such-folder"], ExitCode.WRONG_USE),
        (["tag", "no-such-folder"], ExitCode.WRONG_USE),
        (["patterns", "no-such-pattern"], ExitCode.WRONG_USE),
        (
            ["explain", "--task", "juggle", "--problem", "x = 1", "--answer", "1"],
            ExitCode.WRONG_USE,
        ),
    ],
)
def test_wrong_use_gives_one_line_and_its_code(
    arguments: list[str],
    code: ExitCode,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    monkeypatch.chdir(tmp_path)
    status = main(arguments)
    said = capsys.readouterr()

    assert status == code
    assert said.err.startswith("lostroot: ")
    assert "Traceback" not in said.err
    assert not list(tmp_path.iterdir()), "wrong use writes nothing"


def test_a_new_course_is_never_written_over_an_old_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["new", str(tmp_path / "course")]) == ExitCode.DONE
    key = (tmp_path / "course" / "pseudonym.key").read_bytes()

    assert main(["new", str(tmp_path / "course")]) == ExitCode.WRONG_USE
    assert (tmp_path / "course" / "pseudonym.key").read_bytes() == key
    assert "course" in capsys.readouterr().err


def test_json_lines_keep_their_order_and_go_on_after_a_bad_one() -> None:
    lines = [
        json.dumps({"task": "solve", "problem": "x^2 + 10x = 11", "answer": "-1, -9"}),
        "not json",
        json.dumps({"task": "solve", "problem": "x^2 + 10x = 11", "answer": "1, -11"}),
    ]
    done = run("explain", "--jsonl", text="\n".join(lines) + "\n")
    records = [json.loads(line) for line in done.stdout.splitlines()]

    assert done.returncode == ExitCode.DONE
    assert [record.get("verdict") for record in records] == ["wrong", None, "right"]
    assert list(records[1]) == ["error"]


def test_it_asks_for_what_is_missing() -> None:
    done = run("explain", text="x^2 + 10x = 11\n-1, -9\n")

    assert done.returncode == ExitCode.DONE
    assert "half-not-squared" in done.stdout


def test_control_codes_of_an_answer_never_reach_the_terminal() -> None:
    done = run("explain", "--problem", "x^2 = 4", "--answer", "\x1b[31m2\x1b]0;title\x07")

    assert "\x1b" not in done.stdout + done.stderr
    assert "\x07" not in done.stdout + done.stderr


def test_explain_starts_without_the_heavy_libraries() -> None:
    script = (
        "import sys; from pipeline.cli import main; "
        "main(['explain','--problem','x^2 + 10x = 11','--answer','-1, -9']); "
        "print(sorted({'pandas','altair','scipy','sympy','duckdb'} & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )

    assert done.stdout.splitlines()[-1] == "[]"
