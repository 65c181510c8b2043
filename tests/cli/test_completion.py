"""Completion in the shell, as the README sets it up."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[2]


def ask(instruction: str, **more: str) -> str:
    environment = {**os.environ, "PYTHONPATH": str(CHECKOUT / "compiler"), "_BENCHLEAF_COMPLETE": instruction, **more}
    code = "import sys; sys.argv[0] = 'benchleaf'; from benchleaf.__main__ import run; run()"
    return subprocess.run([sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=False).stdout


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_a_script_for_the_shell_is_printed(shell: str) -> None:
    script = ask(f"{shell}_source")
    assert "benchleaf" in script
    assert f"_BENCHLEAF_COMPLETE={shell}_complete" in script
    found = shutil.which(shell)
    if found is not None:  # bash is everywhere that the tests run; the others where they are
        assert subprocess.run([found, "-n"], input=script, capture_output=True, text=True, check=False).returncode == 0
    assert shutil.which("bash") is not None


def test_commands_options_and_choices_are_completed() -> None:
    assert ask("bash_complete", COMP_WORDS="benchleaf che", COMP_CWORD="1").split() == ["plain,check"]
    assert "plain,--fresh" in ask("bash_complete", COMP_WORDS="benchleaf build --", COMP_CWORD="2").split()
    assert ask("bash_complete", COMP_WORDS="benchleaf check --diagnostics s", COMP_CWORD="3").split() == ["plain,sarif"]
