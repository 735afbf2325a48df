"""Pictures whose colours reach beyond sRGB: they are brought to the primaries of Display P3 instead, so that no strong colour is cut off.

Many phones save such pictures. The profile is made here: matrix and curve (ICC.1:2001-04), primaries 0.680 0.320, 0.265 0.690, 0.150 0.060 and white D65,
adapted to D50 by Bradford's matrix, the curve that of sRGB. Sources: smpte-eg432, icc1.
"""

from __future__ import annotations

import struct
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

_P3_XY = ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060))
_SRGB_XY = ((0.640, 0.330), (0.300, 0.600), (0.150, 0.060))
_WHITE_XY = (0.3127, 0.3290)
_D50 = (0.9642, 1.0, 0.8249)
_BRADFORD = ((0.8951, 0.2664, -0.1614), (-0.7502, 1.7135, 0.0367), (0.0389, -0.0685, 1.0296))
_STEPS = 1024


def p3_to_srgb() -> Array:
    """The matrix (3, 3) from linear P3 to linear sRGB; white stays white, and strong colours get values outside 0-1."""
    import numpy as np

    return np.linalg.inv(_to_xyz(_SRGB_XY)) @ _to_xyz(_P3_XY)


@cache
def p3_profile() -> bytes:
    """Display P3 as an ICC profile."""
    import numpy as np

    bradford = np.array(_BRADFORD)
    gain = (bradford @ np.array(_D50)) / (bradford @ _white())
    columns = (np.linalg.inv(bradford) @ (gain[:, None] * bradford) @ _to_xyz(_P3_XY)).T
    steps = np.arange(_STEPS) / (_STEPS - 1)
    curve = np.where(steps <= 0.04045, steps / 12.92, ((steps + 0.055) / 1.055) ** 2.4)
    tone = b"curv" + bytes(4) + struct.pack(">I", _STEPS) + np.rint(curve * 65535).astype(">u2").tobytes()
    name = b"Wide gamut P3\0"
    tags = {
        b"desc": b"desc" + bytes(4) + struct.pack(">I", len(name)) + name + bytes(78),
        b"cprt": b"text" + bytes(4) + b"No copyright\0",
        b"wtpt": _xyz(_D50),
        **{tag: _xyz(tuple(float(value) for value in column)) for tag, column in zip((b"rXYZ", b"gXYZ", b"bXYZ"), columns, strict=True)},
        **dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), tone),
    }
    table, body, start = b"", b"", 132 + 12 * len(tags)
    for tag, content in tags.items():
        table += tag + struct.pack(">II", start + len(body), len(content))
        body += content + bytes(-len(content) % 4)
    head = struct.pack(">I4sI4s4s4s6H4s", start + len(body), bytes(4), 0x02400000, b"mntr", b"RGB ", b"XYZ ", 2026, 1, 1, 0, 0, 0, b"acsp")
    return head + bytes(28) + _s15(*_D50) + bytes(48) + struct.pack(">I", len(tags)) + table + body


def _white() -> Array:
    import numpy as np

    x, y = _WHITE_XY
    return np.array([x / y, 1.0, (1 - x - y) / y])


def _to_xyz(primaries: tuple[tuple[float, float], ...]) -> Array:
    """Columns of XYZ of red, green and blue, scaled so that their sum is the white."""
    import numpy as np

    columns = np.array([[x / y, 1.0, (1 - x - y) / y] for x, y in primaries]).T
    matrix: Array = columns * np.linalg.solve(columns, _white())
    return matrix


def _s15(*values: float) -> bytes:
    return b"".join(struct.pack(">i", round(value * 65536)) for value in values)


def _xyz(values: tuple[float, ...]) -> bytes:
    return b"XYZ " + bytes(4) + _s15(*values)
