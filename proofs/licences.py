"""Reads the licence of every package that Skeinwright rests on from the installed packages, and writes the tables in docs/licences.md.

`python3 run.py prove licences` rewrites the tables; with `--check` it only says whether they are up to date.
"""

from __future__ import annotations

import re
import sys
from importlib import metadata
from pathlib import Path

PAGE = Path(__file__).resolve().parents[1] / "docs" / "licences.md"
OPEN, CLOSE = "<!-- made by proofs/licences.py: {} -->", "<!-- end: {} -->"


def name_of(requirement: str) -> str:
    """The package's name in a requirement, as packages are compared (PEP 503)."""
    return re.sub(r"[-_.]+", "-", re.split(r"[ <>=!~;\[(]", requirement, maxsplit=1)[0]).lower()


def needs(package: str, extra: str = "") -> set[str]:
    """What a package asks for here: always, and for one extra. Requirements for other systems are left out because they are not installed."""
    found = set()
    for requirement in metadata.requires(package) or []:
        marker = requirement.partition(";")[2]
        asked = re.search(r"extra\s*==\s*['\"]([^'\"]+)['\"]", marker)
        if asked is None or asked.group(1) == extra:
            found.add(name_of(requirement))
    return found


def closure(first: set[str]) -> set[str]:
    """`first` and all that they need in turn, as far as it is installed."""
    seen: set[str] = set()
    open_ = set(first)
    while open_:
        package = open_.pop()
        try:
            further = needs(package)
        except metadata.PackageNotFoundError:
            continue
        seen.add(package)
        open_ |= further - seen
    return seen


def licence_of(package: str) -> str:
    """The licence as the package's own metadata states it."""
    facts = metadata.metadata(package)
    expression = facts.get("License-Expression")
    if expression:
        return str(expression)
    classifiers = [line.rpartition(" :: ")[2] for line in facts.get_all("Classifier") or [] if line.startswith("License :: ")]
    named = [line for line in classifiers if line != "OSI Approved"]
    if named:
        return "; ".join(named)
    lines = (facts.get("License") or "").strip().splitlines()
    return lines[0][:60] if lines else "not stated in its metadata"


def table(packages: set[str]) -> str:
    """One line a package: name, release and licence."""
    lines = ["| package | release | licence, as its metadata says |", "|---|---|---|"]
    lines += [f"| {package} | {metadata.version(package)} | {licence_of(package)} |" for package in sorted(packages)]
    return "\n".join(lines)


def tables() -> dict[str, str]:
    """The two tables of the page: what the studio needs, and what only the tests need."""
    studio = closure(needs("skeinwright"))
    return {"studio": table(studio), "tests": table(closure(needs("skeinwright", "test")) - studio)}


def page_with(text: str, made: dict[str, str]) -> str:
    """The page with each table put between its two marks."""
    for name, body in made.items():
        start, end = OPEN.format(name), CLOSE.format(name)
        before, found, rest = text.partition(start)
        _, closed, after = rest.partition(end)
        if not (found and closed):
            raise SystemExit(f"docs/licences.md lacks the marks for the table '{name}'.")
        text = f"{before}{start}\n{body}\n{end}{after}"
    return text


def main(arguments: list[str]) -> int:
    """Write the page, or check it; 0 where it is up to date."""
    old = PAGE.read_text(encoding="utf-8")
    new = page_with(old, tables())
    if "--check" in arguments:
        print("docs/licences.md is up to date." if new == old else "docs/licences.md is out of date: run 'python3 run.py prove licences'.")
        return int(new != old)
    PAGE.write_text(new, encoding="utf-8")
    print(f"Written: {PAGE.name}.")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
