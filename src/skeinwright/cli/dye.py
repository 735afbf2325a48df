"""`skeinwright dye fit`: how well the swatches of each dye fit together."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from skeinwright.cli.answers import show
from skeinwright.cli.colour_options import BaseLab, Seed, text_of
from skeinwright.cli.options import Json

if TYPE_CHECKING:
    from skeinwright.services.fit_dyes import DyesFit

dye = typer.Typer(name="dye", help="Dyes from their swatches: fit them.", rich_markup_mode=None)


@dye.callback()
def root() -> None:
    """Dyes from their swatches: fit them."""


@dye.command("fit")
def fit(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The table of swatches: CSV, or an instrument's CGATS text or CxF3 XML.")],
    base_lab: BaseLab = "",
    seed: Seed = 1,
    json: Json = False,
) -> None:
    """Fit each dye to its swatches, and say how far each swatch lies from the fit and from what the others foretell."""
    from skeinwright.services.fit_dyes import fit_dyes

    found = fit_dyes(text_of(file, "FILE"), base_lab=base_lab, seed=seed)
    show(found.to_plain(), [] if json else _lines(found), as_json=json)


def _lines(found: DyesFit) -> list[str]:
    lines = []
    for name, one in found.dyes.items():
        lines.append(f"{name}: at 1 % within {one.spread_de00:.1f} (CIEDE2000, 90 %), spectrum {'guessed from Lab' if one.guessed else 'measured'}")
        for index, depth in enumerate(one.depths):
            alone = f"; from the others alone {one.leave_one_out_de00[index]:.1f}" if one.leave_one_out_de00 else ""
            lines.append(f"  {100 * depth:.3g} %: off by {one.residual_de00[index]:.1f}{alone}")
    return lines
