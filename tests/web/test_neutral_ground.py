"""Every colour of the interface has equal red, green and blue, save the one hazard style; and what is shipped is what it says it is."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import pytest

import skeinwright.web

WEB = Path(skeinwright.web.__file__).parent
SHEETS = sorted((WEB / "static").rglob("*.css"))
HEX = re.compile(r"#([0-9a-fA-F]{3,8})\b")
OTHER = re.compile(r"\b(rgba?|hsla?|hwb|lab|lch|oklab|oklch|color|color-mix)\(", re.IGNORECASE)
NAMES = "red|green|blue|yellow|orange|purple|pink|brown|teal|navy|maroon|olive|lime|aqua|cyan|magenta|gold|crimson|tomato|coral|tan"
NAMED = re.compile(rf"(?<![\w-])({NAMES})(?![\w-])", re.IGNORECASE)


def rules(style: str) -> list[tuple[str, str]]:
    """(selector, declarations) of every innermost rule, without comments."""
    plain = re.sub(r"/\*.*?\*/", "", style, flags=re.DOTALL)
    return [(selector.strip(), body) for selector, body in re.findall(r"([^{}]+)\{([^{}]*)\}", plain)]


def is_neutral(digits: str) -> bool:
    """True where red, green and blue are equal; a fourth pair is opacity."""
    pairs = [one * 2 for one in digits[:3]] if len(digits) in (3, 4) else [digits[at : at + 2] for at in (0, 2, 4)]
    return len({pair.lower() for pair in pairs}) == 1


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.name)
def test_every_colour_in_a_style_sheet_is_a_grey_save_in_the_hazard_style(sheet: Path) -> None:
    read = 0
    for selector, body in rules(sheet.read_text(encoding="utf-8")):
        read += 1
        if selector == ".hazard":
            continue
        for digits in HEX.findall(body):
            assert is_neutral(digits), f"{selector}: #{digits}"
        assert not OTHER.search(body), selector
        assert not NAMED.search(body), selector
    assert read > 2, "nothing was read"


def test_the_hazard_style_is_one_and_is_not_grey() -> None:
    every = [rule for sheet in SHEETS for rule in rules(sheet.read_text(encoding="utf-8"))]
    coloured = [selector for selector, body in every if any(not is_neutral(digits) for digits in HEX.findall(body))]
    assert coloured == [".hazard"]
    assert len(SHEETS) > 2


def test_the_check_itself_sees_a_colour() -> None:
    assert not is_neutral("e4e4e5")
    assert is_neutral("abc"[0] * 3)
    assert not is_neutral("abc")
    assert NAMED.search("color: red;")
    assert not NAMED.search("white-space: nowrap; text-wrap: balance")


DRAWN = [*(WEB / "templates").rglob("*.html"), *(WEB / "static").rglob("*.svg"), *(WEB / "static" / "modules").rglob("*.js")]


@pytest.mark.parametrize("path", DRAWN, ids=lambda path: path.name)
def test_templates_and_modules_name_no_colour_of_their_own(path: Path) -> None:
    for digits in re.findall(r"""["']#([0-9a-fA-F]{3}|[0-9a-fA-F]{6})["']""", path.read_text(encoding="utf-8")):
        assert is_neutral(digits), f"#{digits}"


def test_the_vendored_file_is_the_one_that_its_readme_names() -> None:
    vendor = WEB / "static" / "vendor"
    listed = dict(re.findall(r"^\| (\S+\.js) \|.*\| ([0-9a-f]{64}) \|$", (vendor / "README.md").read_text(encoding="utf-8"), re.MULTILINE))
    assert listed == {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in vendor.glob("*.js")}
    assert listed
