"""The double-click starters and the check script: they can be run, and they say what is missing."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SHELL_STARTERS = ("start-linux.sh", "start-macos.command")
posix = pytest.mark.skipif(os.name == "nt", reason="shell scripts")


@posix
@pytest.mark.parametrize("name", [*SHELL_STARTERS, ".ci/run"])
def test_they_may_be_run_and_can_be_read_by_the_shell(name: str) -> None:
    path = ROOT / name
    assert os.access(path, os.X_OK)
    shell = path.read_text(encoding="utf-8").splitlines()[0].removeprefix("#!")
    subprocess.run([shell, "-n", str(path)], check=True)


@posix
@pytest.mark.parametrize("name", SHELL_STARTERS)
def test_without_python_they_say_what_to_install(name: str, tmp_path: Path) -> None:
    for tool in ("dirname", "sh"):
        found = shutil.which(tool)
        assert found is not None
        (tmp_path / tool).symlink_to(found)
    done = subprocess.run(["/bin/sh", str(ROOT / name)], env={"PATH": str(tmp_path)}, capture_output=True, text=True, stdin=subprocess.DEVNULL, check=False)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("Skeinwright needs Python 3.11 or newer")


@posix
@pytest.mark.parametrize("name", SHELL_STARTERS)
def test_an_old_python_is_passed_over_and_a_new_one_starts_run_py(name: str, tmp_path: Path) -> None:
    tools, place = tmp_path / "tools", tmp_path / "with a space"
    tools.mkdir()
    place.mkdir()
    dirname = shutil.which("dirname")
    assert dirname is not None
    (tools / "dirname").symlink_to(dirname)
    (tools / "python3.12").write_text("#!/bin/sh\nexit 1\n")
    (tools / "python3").write_text(f'#!/bin/sh\nexec "{sys.executable}" "$@"\n')
    for tool in ("python3.12", "python3"):
        (tools / tool).chmod(0o755)
    shutil.copy(ROOT / name, place / name)
    (place / "run.py").write_text("import os, sys\nprint(os.getcwd(), sys.argv[1:])\n")
    done = subprocess.run(["/bin/sh", str(place / name), "--no-browser"], env={"PATH": str(tools)}, capture_output=True, text=True, check=True)
    assert done.stdout == f"{place} ['--no-browser']\n"


def test_the_windows_starter_has_windows_line_ends_and_asks_for_the_version() -> None:
    content = (ROOT / "start-windows.bat").read_bytes()
    assert content.count(b"\r\n") == content.count(b"\n")
    assert b"py -3 run.py %*" in content
    assert b"(3, 11)" in content


def test_the_check_script_ends_with_the_one_command() -> None:
    lines = (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    assert lines[-1] == 'exec python3 run.py test "$@"'
    assert "set -euo pipefail" in lines
