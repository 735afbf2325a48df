"""run.py: what it says when something is missing, when it sets up again, and what it asks of the program."""

from __future__ import annotations

import ast
import importlib.util
import json
import os
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]


def _load() -> ModuleType:
    spec = importlib.util.spec_from_file_location("skeinwright_run", ROOT / "run.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


run = _load()


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    """A folder with the two files that decide what is installed."""
    (tmp_path / "pyproject.toml").write_text("[project]\nname = 'x'\n")
    (tmp_path / "requirements.lock").write_text("x==1\n")
    return tmp_path


def _pretend_set_up(root: Path, *, test: bool = False) -> Path:
    venv: Path = run.folder(root)
    python = run.venv_python(venv)
    python.parent.mkdir(parents=True)
    python.touch()
    run.write_stamp(venv, {"hash": run.fingerprint(root), "python": "{}.{}".format(*sys.version_info[:2]), "test": test})
    return venv


def test_it_can_be_read_by_python_3_6() -> None:
    ast.parse((ROOT / "run.py").read_text(encoding="utf-8"), feature_version=(3, 6))


def test_it_uses_only_the_standard_library() -> None:
    tree = ast.parse((ROOT / "run.py").read_text(encoding="utf-8"))
    named = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    named |= {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) and node.module}
    assert {name.split(".")[0] for name in named} <= sys.stdlib_module_names


@pytest.mark.parametrize(
    ("version", "enough"),
    [((3, 6, 15), False), ((3, 8, 1), False), ((3, 10, 14), False), ((3, 11, 0), True), ((3, 14, 2), True), ((2, 7, 18), False)],
)
def test_an_old_python_is_told_which_one_is_needed(version: tuple[int, int, int], enough: bool) -> None:
    sentence = run.version_sentence(version)
    assert (sentence == "") is enough
    if not enough:
        assert sentence.startswith(f"Skeinwright needs Python 3.11 or newer; this is {version[0]}.{version[1]}")


@pytest.mark.parametrize("lacking", ["venv", "ensurepip"])
def test_a_missing_module_is_named_with_the_package_to_install(lacking: str) -> None:
    sentence = run.venv_sentence(lambda name: None if name == lacking else object())
    assert lacking in sentence
    assert "python3-venv" in sentence
    assert run.venv_sentence(lambda name: object()) == ""


def test_no_network_gets_one_sentence() -> None:
    output = (
        "WARNING: Retrying (Retry(total=1, connect=None)) after connection broken by 'NewConnectionError(...: "
        "Failed to establish a new connection: [Errno -3] Temporary failure in name resolution')'\n"
        "ERROR: Could not find a version that satisfies the requirement setuptools>=77 (from versions: none)\n"
    )
    sentence = run.install_sentence(output, "setup.log")
    assert "no network" in sentence
    assert "\n" not in sentence


def test_a_full_disk_and_any_other_failure_get_one_sentence() -> None:
    assert "disk is full" in run.install_sentence("ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device\n", "setup.log")
    other = run.install_sentence("Collecting x\nERROR: No matching distribution found for x==9\n", "setup.log")
    assert "No matching distribution found for x==9" in other
    assert "setup.log" in other


def test_the_python_of_a_virtual_environment_on_each_system() -> None:
    assert run.venv_python(Path("v"), windows=True).parts == ("v", "Scripts", "python.exe")
    assert run.venv_python(Path("v"), windows=False).parts == ("v", "bin", "python")


@pytest.mark.parametrize("name", ["pyproject.toml", "requirements.lock"])
def test_the_fingerprint_changes_with_each_file_that_decides(checkout: Path, name: str) -> None:
    before = run.fingerprint(checkout)
    assert run.fingerprint(checkout) == before
    (checkout / name).write_text("changed\n")
    assert run.fingerprint(checkout) != before


def test_a_moved_checkout_is_set_up_again(checkout: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    for name in ("pyproject.toml", "requirements.lock"):
        (elsewhere / name).write_bytes((checkout / name).read_bytes())
    assert run.fingerprint(elsewhere) != run.fingerprint(checkout)


def test_ready_only_with_a_finished_stamp_that_fits(checkout: Path) -> None:
    wanted = run.fingerprint(checkout)
    assert not run.is_ready(run.folder(checkout), wanted, False)
    venv = _pretend_set_up(checkout)
    assert run.is_ready(venv, wanted, False)
    assert not run.is_ready(venv, wanted, True)
    assert not run.is_ready(venv, "another", False)
    assert not run.is_ready(venv, wanted, False, (3, 99, 0))
    run.venv_python(venv).unlink()
    assert not run.is_ready(venv, wanted, False)


def test_a_broken_stamp_counts_as_none(checkout: Path) -> None:
    venv = _pretend_set_up(checkout)
    for text in ("", "{", "[1]"):
        (venv / "skeinwright.json").write_text(text)
        assert run.read_stamp(venv) == {}


def test_an_interrupted_set_up_is_redone_from_the_start(checkout: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    calls: list[str] = []

    def build(venv: Path) -> None:
        calls.append("build")
        python = run.venv_python(venv)
        python.parent.mkdir(parents=True, exist_ok=True)
        python.touch()
        (venv / "unfinished").unlink(missing_ok=True)

    def interrupted(venv: Path, root: Path, test: bool) -> None:
        calls.append("install")
        raise KeyboardInterrupt

    monkeypatch.setattr(run, "build_venv", build)
    monkeypatch.setattr(run, "install", interrupted)
    with pytest.raises(KeyboardInterrupt):
        run.set_up(checkout)
    assert run.read_stamp(run.folder(checkout)) == {}
    assert run.must_rebuild(run.folder(checkout))
    monkeypatch.setattr(run, "install", lambda venv, root, test: calls.append("install"))
    python = run.set_up(checkout)
    assert calls == ["build", "install", "build", "install"]
    assert python == run.venv_python(run.folder(checkout))
    run.set_up(checkout)
    assert calls == ["build", "install", "build", "install"]


def test_what_was_installed_for_testing_stays_so_when_the_lock_changes(checkout: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _pretend_set_up(checkout, test=True)
    (checkout / "requirements.lock").write_text("x==2\n")
    asked: list[bool] = []
    monkeypatch.setattr(run, "must_rebuild", lambda venv: False)
    monkeypatch.setattr(run, "install", lambda venv, root, test: asked.append(test))
    run.set_up(checkout)
    assert asked == [True]


def test_progress_names_the_package_and_counts() -> None:
    assert run.progress("Collecting numpy==2.4.6 (from skeinwright==0.1.0)", 3, 30) == ("Fetching 4 of about 30: numpy", 4)
    assert run.progress("Collecting sqlalchemy>=2.0", 40, 30) == ("Fetching 30 of about 30: sqlalchemy", 41)
    assert run.progress("  Downloading numpy.whl (16 MB)", 4, 30) == (None, 4)
    assert run.progress("Installing collected packages: a, b", 4, 30) == ("Installing", 4)


@pytest.mark.parametrize(
    ("arguments", "asked"),
    [
        ([], ["open"]),
        (["--no-browser", "--port", "9000"], ["open", "--no-browser", "--port", "9000"]),
        (["--version"], ["--version"]),
        (["amounts", "--fibre", "300 g"], ["amounts", "--fibre", "300 g"]),
    ],
)
def test_what_the_program_is_asked(arguments: list[str], asked: list[str]) -> None:
    assert run.command_line(arguments) == asked


def test_proofs_are_found_by_name(tmp_path: Path) -> None:
    (tmp_path / "proofs").mkdir()
    for name in ("b_side.py", "a.py"):
        (tmp_path / "proofs" / name).write_text('if __name__ == "__main__":\n    pass\n')
    (tmp_path / "proofs" / "shared.py").touch()
    assert [path.stem for path in run.proofs(tmp_path, None)] == ["a", "b_side"]
    assert [path.stem for path in run.proofs(tmp_path, "b-side")] == ["b_side"]
    with pytest.raises(run.CannotStart, match=r"no proof called c: choose one of a, b_side"):
        run.proofs(tmp_path, "c")


def test_help_needs_no_set_up_and_stays_off_stdout(tmp_path: Path) -> None:
    (tmp_path / "run.py").write_bytes((ROOT / "run.py").read_bytes())
    for name in ("pyproject.toml", "requirements.lock"):
        (tmp_path / name).write_bytes((ROOT / name).read_bytes())
    done = subprocess.run([sys.executable, str(tmp_path / "run.py"), "--help"], capture_output=True, text=True, check=False)
    assert done.returncode == 0
    assert done.stdout == ""
    assert "run.py test" in done.stderr
    assert not (tmp_path / ".venv").exists()


def test_a_checkout_that_is_not_whole_gets_a_sentence_and_exit_2(tmp_path: Path) -> None:
    (tmp_path / "run.py").write_bytes((ROOT / "run.py").read_bytes())
    done = subprocess.run([sys.executable, str(tmp_path / "run.py")], capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert done.stdout == ""
    assert len(done.stderr.strip().splitlines()) == 1
    assert "pyproject.toml" in done.stderr


@pytest.mark.skipif(os.name == "nt", reason="there the program is a child, not the same process")
def test_the_exit_code_is_the_programs_own(checkout: Path) -> None:
    (checkout / "run.py").write_bytes((ROOT / "run.py").read_bytes())
    venv = run.folder(checkout)
    python = run.venv_python(venv)
    python.parent.mkdir(parents=True)
    python.write_text('#!/bin/sh\necho "$@"\nexit 3\n')
    python.chmod(0o755)
    stamp = {"hash": run.fingerprint(checkout), "python": "{}.{}".format(*sys.version_info[:2]), "test": False}
    (venv / "skeinwright.json").write_text(json.dumps(stamp))
    done = subprocess.run([sys.executable, str(checkout / "run.py"), "amounts", "--json"], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (3, "-m skeinwright amounts --json\n", "")


def test_the_lock_holds_pins_and_no_addresses() -> None:
    lines = (ROOT / "requirements.lock").read_text(encoding="utf-8").splitlines()
    assert all("==" in line for line in lines)
    assert not any(sign in line for line in lines for sign in ("://", "--", " @ "))


def test_the_program_is_told_how_it_was_called() -> None:
    assert run.called("run.py", windows=False) == "python3 run.py"
    assert run.called("../wool room/run.py", windows=False) == 'python3 "../wool room/run.py"'
    assert run.called("run.py", windows=True) == "py run.py"
