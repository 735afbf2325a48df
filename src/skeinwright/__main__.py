"""`python -m skeinwright` is the command line."""

from __future__ import annotations

import sys

from skeinwright.wiring import main

if __name__ == "__main__":
    sys.exit(main())
