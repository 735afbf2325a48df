"""The page of licences names every package that the studio rests on, and every file that is shipped for others."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "docs" / "licences.md").read_text(encoding="utf-8")


def _proof() -> ModuleType:
    spec = importlib.util.spec_from_file_location("skeinwright_licences", ROOT / "proofs" / "licences.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_every_package_that_the_studio_needs_is_named() -> None:
    proof = _proof()
    missing = [package for package in proof.closure(proof.needs("skeinwright")) if f"| {package} | " not in PAGE]
    assert missing == []


def test_every_pin_is_named() -> None:
    """The lock also holds what only other systems need; those packages are named in the text."""
    pins = {line.split("==")[0] for line in (ROOT / "requirements.lock").read_text(encoding="utf-8").splitlines()}
    assert sorted(pin for pin in pins if pin not in PAGE) == []


def test_what_is_shipped_for_others_has_its_licence_beside_it() -> None:
    static = ROOT / "src" / "skeinwright" / "web" / "static"
    assert "SIL OPEN FONT LICENSE" in (static / "fonts" / "OFL.txt").read_text(encoding="utf-8")
    sheets = ROOT / "src" / "skeinwright" / "files" / "sheets"
    assert "SIL OPEN FONT LICENSE" in (sheets / "AtkinsonHyperlegibleNext-OFL.txt").read_text(encoding="utf-8")
    assert "Zero-Clause BSD" in (static / "vendor" / "htmx.LICENSE").read_text(encoding="utf-8")
    assert [name for name in ("htmx", "Atkinson Hyperlegible,", "Atkinson Hyperlegible Next,", "colour-science") if name not in PAGE] == []


def test_every_font_that_is_shipped_is_named() -> None:
    """A font file's name begins with the name of its family, written together."""
    named = PAGE.replace(" ", "").replace("-", "").casefold()
    fonts = [path for path in (ROOT / "src").rglob("*") if path.suffix in (".ttf", ".otf", ".woff", ".woff2")]
    families = {re.split(r"[_\d]|-latin", path.name)[0].replace("-", "").casefold() for path in fonts}
    assert families
    assert sorted(family for family in families if f"|{family}," not in named) == []


def test_the_projects_own_licence_is_mit() -> None:
    assert (ROOT / "LICENSE").read_text(encoding="utf-8").startswith("MIT License")
