"""The checks that read the code without running it, as part of the one test run: style, types, and who may import whom."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
CHECKS = {
    "ruff": ["-m", "ruff", "check", "--no-cache", "."],
    "mypy": ["-m", "mypy", "--no-error-summary", "--no-incremental"],
    "import contracts": ["-c", "from importlinter.cli import lint_imports_command; lint_imports_command()", "--no-cache"],
}


@pytest.mark.parametrize("name", CHECKS)
def test_the_code_passes(name: str) -> None:
    done = subprocess.run([sys.executable, *CHECKS[name]], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, f"{name} found:\n{done.stdout}\n{done.stderr}"
