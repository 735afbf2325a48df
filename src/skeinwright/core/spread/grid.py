"""The plane that dye spreads in: rows across the strands, columns along them."""

from __future__ import annotations

from dataclasses import dataclass

PANEL_CELLS = 512
PANEL_DX_CM = 0.01
"""A panel of 512 x 512 cells of 0.1 mm is 5.12 cm square: fine enough for grains (specks need 0.2 mm or less)."""
SKEIN_DX_CM = 0.075
"""Cell length along the strands of a whole skein."""
SKEIN_MAX_COLUMNS = 4096


@dataclass(frozen=True, slots=True)
class Grid:
    """`rows` x `columns` cells of `dy_cm` (across) x `dx_cm` (along the strands); the long axis closes on itself where `round_the_loop`."""

    rows: int
    columns: int
    dx_cm: float
    dy_cm: float
    round_the_loop: bool = False

    @property
    def shape(self) -> tuple[int, int]:
        """(rows, columns)."""
        return self.rows, self.columns

    @property
    def cell_cm2(self) -> float:
        """Area of one cell."""
        return self.dx_cm * self.dy_cm

    @property
    def area_cm2(self) -> float:
        """Area of the whole grid: rows columns dx dy."""
        return self.rows * self.columns * self.cell_cm2

    @property
    def length_cm(self) -> float:
        """How far it reaches along the strands."""
        return self.columns * self.dx_cm

    @property
    def width_cm(self) -> float:
        """How far it reaches across."""
        return self.rows * self.dy_cm


def panel(cells: int = PANEL_CELLS, dx_cm: float = PANEL_DX_CM) -> Grid:
    """A square patch out of the laid yarn; its edges turn dye back, as the same yarn beyond them would on average."""
    return Grid(cells, cells, dx_cm, dx_cm)


def skein_grid(round_cm: float, width_cm: float, strands: float, dx_cm: float = SKEIN_DX_CM) -> Grid:
    """A whole skein laid flat: one row for each strand of a face (half of the strands), periodic round the loop."""
    rows = max(4, round(strands / 2))
    columns = max(16, min(SKEIN_MAX_COLUMNS, round(round_cm / dx_cm)))
    return Grid(rows, columns, round_cm / columns, width_cm / rows, True)
