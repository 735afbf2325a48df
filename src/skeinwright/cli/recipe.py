"""`skeinwright recipe`: what the dyes can reach, a mixing triangle, what can be used up."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from skeinwright.cli.answers import show
from skeinwright.cli.colour_options import BaseLab, BaseName, Dyes, LiquorRatio, Over, facts_from, ground_from, yarn_from
from skeinwright.cli.files import write_file
from skeinwright.cli.options import Facts, Json, StudioFile, facts_of, habits_of
from skeinwright.cli.parts import parts_of
from skeinwright.core.foundations.errors import BadInput

if TYPE_CHECKING:
    from skeinwright.services.reach_of_shelf import Chip

recipe = typer.Typer(name="recipe", help="Recipes: what the dyes can reach, mixed, used up, corrected, kept.", rich_markup_mode=None)
LIGHT: dict[str, Any] = {"illuminant": "D65", "observer": 10, "warnings": [], "assumed": []}


@recipe.command("reach")
def reach(
    context: typer.Context,
    dyes: Dyes = None,
    base_lab: BaseLab = "",
    base: BaseName = "",
    over: Over = "",
    without: Annotated[list[str] | None, typer.Option(metavar="NAME", help="A dye to leave out; may be repeated.")] = None,
    apart: Annotated[float, typer.Option(metavar="LAB", min=3, max=40, help="One colour is given for each cube of so many Lab units; 8 if not said.")] = 8.0,
    liquor_ratio: LiquorRatio = "",
    studio: Facts = None,
    json: Json = False,
) -> None:
    """What the dyes can reach on a ground: a recipe for every colour that looks different, light first."""
    from skeinwright.services.forecast_chips import forecast_chips
    from skeinwright.services.reach_of_shelf import reach_of_shelf
    from skeinwright.services.say_bath import say_bath

    with facts_of(context, studio) as opened:
        facts = facts_from(dyes, opened, base_lab)
        ground, said = ground_from(facts, opened, base_lab, base, over)
        yarn = yarn_from(opened, base, liquor_ratio)
    left_out = {facts.name(name, where="--without") for name in without or ()}
    names = tuple(sorted(dye.name for dye in facts.known if dye.name not in left_out))
    chips = reach_of_shelf(facts, ground, names=names, apart=apart, liquor=liquor_ratio, yarn=yarn)
    sure = forecast_chips(facts, ground, chips, liquor=liquor_ratio, yarn=yarn)
    bath = say_bath(facts, liquor_ratio, yarn)
    inputs = {"base": said, "dyes": list(names), "apart": apart, **_ratio(liquor_ratio)}
    answer = {"inputs": inputs, **LIGHT, "colours": [_plain(chip, spread) for chip, spread in zip(chips, sure, strict=True)], "assumed": [*facts.assumed, bath]}
    show(answer, [] if json else [f"{len(chips)} colours.", *map(_line, answer["colours"])], as_json=json)


@recipe.command("triangle")
def triangle(
    context: typer.Context,
    dye: Annotated[list[str], typer.Option(metavar="NAME", help="A corner: three of them, top, left, right.")],
    depth: Annotated[str, typer.Option(metavar="'PER CENT'", help="Depth of shade: one, or one for each corner; 1 % if not said.")] = "1 %",
    parts: Annotated[int, typer.Option(metavar="NUMBER", min=1, max=20, help="Parts in all; 4 if not said.")] = 4,
    out: Annotated[Path | None, typer.Option(metavar="FILE.pdf", help="Write the poster as PDF too.")] = None,
    paper: Annotated[str, typer.Option(metavar="a4|a3", help="The poster's paper; a4 if not said.")] = "a4",
    dyes: Dyes = None,
    base_lab: BaseLab = "",
    base: BaseName = "",
    over: Over = "",
    liquor_ratio: LiquorRatio = "",
    studio: Facts = None,
    json: Json = False,
) -> None:
    """A mixing triangle: every mixture of three dyes at one depth or at each corner's, row by row from the first corner, and its poster."""
    from skeinwright.services.forecast_chips import forecast_chips
    from skeinwright.services.mixing_triangle import corner_depths, mixing_triangle, parts_at
    from skeinwright.services.print_triangle import Poster, print_triangle
    from skeinwright.services.say_bath import say_bath

    depths = corner_depths(depth, where="--depth")
    with facts_of(context, studio) as opened:
        facts = facts_from(dyes, opened, base_lab)
        ground, said = ground_from(facts, opened, base_lab, base, over)
        yarn = yarn_from(opened, base, liquor_ratio)
    rows = mixing_triangle(facts, dye, depths, ground, steps=parts, liquor=liquor_ratio, yarn=yarn)
    names = [facts.name(name) for name in dye]
    bath = say_bath(facts, liquor_ratio, yarn, dict(zip(names, depths, strict=True)))
    places = [(list(parts_at(parts, row, place)), chip) for row, chips in enumerate(rows) for place, chip in enumerate(chips)]
    sure = forecast_chips(facts, ground, [chip for _, chip in places], liquor=liquor_ratio, yarn=yarn)
    cells = [{"parts": shares, **_plain(chip, spread)} for (shares, chip), spread in zip(places, sure, strict=True)]
    answer = {
        "inputs": {"base": said, "dyes": dye, "depths": list(depths), "parts": parts, **_ratio(liquor_ratio)},
        **LIGHT,
        "mixtures": cells,
        "assumed": [*facts.assumed, bath],
    }
    if out is not None:
        by_name = {one.name: one for one in facts.known}
        corners = [by_name[name] for name in names]
        poster = Poster(dyes=corners, depths=depths, steps=parts, base=ground.name, over=over, paper=paper, liquor=liquor_ratio)
        write_file(out, print_triangle(poster, rows), "--out")
        answer |= {"out": str(out)}
    lines = [f"{':'.join(map(str, cell['parts']))}  {_line(cell)}" for cell in cells]
    show(answer, [] if json else [*lines, *([f"Written to {out}."] if out else [])], as_json=json)


@recipe.command("use-up")
def use_up(
    context: typer.Context,
    base: BaseName = "",
    over: Over = "",
    fibre: Annotated[list[str] | None, typer.Option(metavar="MASS", help="A weight of fibre to try; may be repeated; 100 g and 200 g if not said.")] = None,
    below: Annotated[str, typer.Option(metavar="MASS", help="A jar with less than this is nearly gone; 3 g if not said.")] = "3 g",
    liquor_ratio: LiquorRatio = "",
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """What can be dyed today from nearly empty jars and leftovers."""
    from skeinwright.core.foundations.quantities import parse, parse_fibre
    from skeinwright.services.find_base_ground import find_base_ground
    from skeinwright.services.use_up import use_up as used_up

    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        habits = habits_of("", opened)
        ground = find_base_ground(opened, base, over)
        weights = [parse_fibre(one, skein_g=ground.base.skein_g, where="--fibre", habits=habits).total_g for one in fibre or ("100 g", "200 g")]
        gone_g = parse("mass", below, where="--below", habits=habits).value
        found = used_up(opened, ground.ground, fibre_g=weights, nearly_gone_g=gone_g, liquor=liquor_ratio, yarn=ground.base)
    pots = [{"fibre_g": pot.fibre_g, "takes_g": pot.takes_g, **_plain(pot.chip, pot.forecast.spread_de00 or 0.0)} for pot in found.pots]
    inputs = {"base": base, "over": over, "fibre_g": weights, **_ratio(liquor_ratio)}
    answer = {"inputs": inputs, **LIGHT, "left_g": found.left_g, "pots": pots, "warnings": found.notes, "assumed": [found.bath] if pots else []}
    none = "Nothing that is left makes a colour on this much fibre." if found.left_g else "No jar is nearly gone, and nothing is left over; see --below."
    lines = [f"{pot['fibre_g']:g} g: {_line(pot)}" for pot in pots] or [none]
    show(answer, [] if json else lines, as_json=json)


def _ratio(liquor_ratio: str) -> dict[str, float]:
    """The liquor ratio as an input, where it is not the swatches'."""
    from skeinwright.core.forecast.liquor_scale import liquor_ratio_of

    ratio = liquor_ratio_of(liquor_ratio)
    return {} if ratio is None else {"liquor_ratio": ratio}


def _plain(chip: Chip, spread_de00: float) -> dict[str, Any]:
    from skeinwright.core.colour.spaces import srgb_to_hex
    from skeinwright.core.forecast.dye_facts import in_pct, lab_list

    shown = {"srgb": list(chip.srgb), "hex": srgb_to_hex(chip.srgb), "clipped": chip.clipped}
    return {"doses": in_pct(chip.doses), "lab": lab_list(chip.lab), "spread_de00": round(spread_de00, 2), **shown}


def _line(plain: dict[str, Any]) -> str:
    return f"{plain['hex']}  {_doses(plain['doses'])}, likely within {plain['spread_de00']:.1f}"


def _doses(doses: dict[str, float]) -> str:
    from skeinwright.core.foundations.say import say

    return ", ".join(f"{say('fraction', pct / 100)} {name}" for name, pct in doses.items()) or "no dye"


def doses_of(said: list[str]) -> list[str]:
    """The doses that were given. Raises BadInput where there are none."""
    if not said:
        raise BadInput("No dose was given. Write one as --dose 'Kelp=0.5 %'.", where="--dose")
    return said
