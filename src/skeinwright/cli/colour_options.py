"""Options that the colour commands share, and where their dyes come from: a table of swatches or a studio."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from skeinwright.cli.files import read_file
from skeinwright.core.foundations.errors import BadInput

if TYPE_CHECKING:
    from skeinwright.core.forecast.dye_facts import DyeFacts
    from skeinwright.core.forecast.ground import Ground
    from skeinwright.core.shelf.items import Base
    from skeinwright.services.studio import Studio

Dyes = Annotated[
    Path | None, typer.Option(metavar="FILE.csv", help="The table of swatches: dye, depth_pct, and L,a,b or hex or R400 to R700. Needed without --studio.")
]
BaseLab = Annotated[str, typer.Option(metavar="L,a,b", help="The undyed base's Lab, as --base-lab=92,0,8.")]
BaseName = Annotated[str, typer.Option(metavar="NAME", help="The base's name, in the table or on the studio's shelf.")]
Over = Annotated[str, typer.Option(metavar="LOT", help="An earlier lot that the new colour lies over; needs --studio.")]
Fibre = Annotated[str, typer.Option(metavar="MASS", help="The fibre's weight: amounts are then rounded to what can be weighed, and forecast again.")]
LiquorRatio = Annotated[str, typer.Option(metavar="RATIO", help="The bath's liquor ratio, as 60:1; 30:1 if not said.")]
Seed = Annotated[int, typer.Option(metavar="NUMBER", min=0, help="The seed of the draws that the spread is taken from.")]


def text_of(path: Path, where: str) -> str:
    """The text of a file that was named. Raises BadInput where it cannot be read as text."""
    try:
        return read_file(path, where).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadInput(f"{path} is not text in UTF-8: save it as UTF-8 and try again.", where=where) from error


def facts_from(dyes: Path | None, studio: Studio | None, base_lab: str) -> DyeFacts:
    """The dyes of the table, or of the studio's shelf. Raises BadInput where neither was named."""
    if dyes is not None:
        from skeinwright.services.read_dye_table import read_dye_table

        return read_dye_table(text_of(dyes, "--dyes"), base_lab=base_lab)
    if studio is None:
        raise BadInput("Give a table of swatches, or a studio with --studio.", where="--dyes")
    from skeinwright.services.gather_dyes import gather_dyes

    return gather_dyes(studio)


def ground_from(facts: DyeFacts, studio: Studio | None, base_lab: str, base: str, over: str) -> tuple[Ground, str]:
    """The ground: undyed yarn, or, with a studio, what an earlier lot left on the base; and what it is in words. Raises BadInput."""
    if not over.strip():
        return facts.ground(base_lab, base)
    if studio is None:
        raise BadInput("An earlier lot is looked up in a studio: name it with --studio.", where="--over")
    if base_lab.strip():
        raise BadInput("Give the ground once: as --base-lab or as --over.", where="--over")
    from skeinwright.services.find_base_ground import find_base_ground

    found = find_base_ground(studio, base, over)
    return found.ground, f"{found.base.name} over lot {over.strip().upper()}"


def yarn_from(studio: Studio | None, base: str, liquor_ratio: str) -> Base | None:
    """The base on the studio's shelf whose fibres take up from a bath of another liquor ratio; None (plain wool) where none is named."""
    if studio is None or not base.strip() or not liquor_ratio.strip():
        return None
    from skeinwright.services.find_base_ground import find_base_ground

    return find_base_ground(studio, base).base
