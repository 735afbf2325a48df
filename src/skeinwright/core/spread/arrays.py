"""The arrays of this room."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.floating[Any]]
"""Floating numbers, of single or double precision."""
