"""The habits of the house that a machine can hold: no path of one machine and no registry's host anywhere, docstrings, no drawer for oddments."""

from __future__ import annotations

import ast
import os
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "skeinwright"
CACHES = {"__pycache__", ".pytest_cache", ".hypothesis", ".mypy_cache", ".ruff_cache", ".import_linter_cache"}
NOT_OURS = CACHES | {".git", ".venv", "node_modules", "build", "dist", "out"}
REGISTRIES = tuple("".join(pieces) for pieces in (("py", "pi.org"), ("pytho", "nhosted.org"), ("npm", "js.org"), ("npm", "js.com"), ("deb.", "debian.org")))
"""Hosts that serve packages: where a package comes from is the installer's matter. Put together from pieces, so that this file does not find itself."""
SOMEBODYS_MACHINE = re.compile(r"(?<![\w.~-])/(?:home|Users|root|mnt|work|shared)/\w|[A-Z]:\\Users\\\w")
"""An absolute path that exists on one machine only."""


def _texts() -> Iterator[tuple[Path, str]]:
    """Every text file of the project that a person may read."""
    for folder, folders, names in os.walk(ROOT):
        folders[:] = [name for name in folders if name not in NOT_OURS and not name.endswith(".egg-info")]
        for name in names:
            path = Path(folder) / name
            try:
                yield path, path.read_text(encoding="utf-8")
            except UnicodeDecodeError:
                continue


def _modules() -> list[Path]:
    return sorted(SOURCE.rglob("*.py"))


def test_no_file_names_the_host_of_a_registry() -> None:
    found = [f"{path.relative_to(ROOT)}: {word}" for path, text in _texts() for word in REGISTRIES if word in text.lower()]
    assert found == []


def test_no_file_holds_a_path_of_one_machine() -> None:
    found = [f"{path.relative_to(ROOT)}: {match[0]}" for path, text in _texts() for match in SOMEBODYS_MACHINE.finditer(text)]
    assert found == []


@pytest.mark.parametrize(("text", "is_path"), [("/ho" + "me/anna/x", True), ("see /wo" + "rk/x.", True), ("frame/work/flow", False), ("a/home/b", False)])
def test_a_path_of_one_machine_is_recognised(text: str, is_path: bool) -> None:
    assert bool(SOMEBODYS_MACHINE.search(text)) is is_path


def test_the_search_sees_the_files_it_should() -> None:
    seen = {path.relative_to(ROOT).as_posix() for path, _ in _texts()}
    assert {"pyproject.toml", "run.py", "requirements.lock", ".ci/run", "src/skeinwright/cli/app.py", "docs/conventions.md"} <= seen


def test_every_module_says_what_it_is_for() -> None:
    written = [path for path in _modules() if path.stat().st_size]
    silent = [path.relative_to(ROOT).as_posix() for path in written if ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) is None]
    assert silent == []


def test_no_module_is_a_drawer_for_oddments() -> None:
    named = {path.stem for path in _modules()} | {path.parent.name for path in _modules()}
    assert not named & {"utils", "util", "helpers", "misc", "common"}


def test_services_are_one_verb_a_file() -> None:
    """A file of the services that is not one of the few shared ones has a public function of the file's own name."""
    shared = {"__init__", "studio", "jobs"}
    odd = []
    for path in sorted((SOURCE / "services").glob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        functions = {node.name for node in tree.body if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)}
        if path.stem not in shared and not path.stem.startswith("_") and path.stem.rstrip("_") not in functions:
            odd.append(path.name)
    assert odd == []


def test_every_service_is_listed_by_the_folder_alone() -> None:
    """No service hides in a folder below: the folder is the list of what the tool does."""
    assert [path.name for path in (SOURCE / "services").iterdir() if path.is_dir() and path.name != "__pycache__"] == []
