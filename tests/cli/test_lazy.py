"""What a simple command loads: a sum must not pay for arrays, the database, the web or the printer."""

from __future__ import annotations

import subprocess
import sys

import pytest

HEAVY = ("numpy", "scipy", "sqlalchemy", "alembic", "starlette", "uvicorn", "jinja2", "rich", "PIL", "typst", "pi_heif", "cv2", "numba")
PROGRAM = """
import sys
from skeinwright.wiring import main
sys.argv = ["skeinwright", *sys.argv[1:]]
code = main()
print(code, [name for name in %r if name in sys.modules], file=sys.stderr)
"""


@pytest.mark.parametrize(
    "arguments",
    [
        ["amounts", "--fibre", "300 g", "--depth", "3 %"],
        ["amounts", "--fibre", "300 g", "--depth", "3 %", "--json"],
        ["amounts", "--fibre", "300", "--depth", "3 %"],
        ["amounts", "--help"],
        ["bath", "--water", "4 L", "--vinegar", "15 ml"],
        ["--help"],
    ],
)
def test_a_simple_command_loads_nothing_heavy(arguments: list[str]) -> None:
    done = subprocess.run([sys.executable, "-c", PROGRAM % (HEAVY,), *arguments], capture_output=True, text=True, check=True)
    assert done.stderr.splitlines()[-1].endswith(" []"), done.stderr
