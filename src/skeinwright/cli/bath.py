"""`skeinwright bath`: the pH of a bath, and the acid for a pH."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from skeinwright.cli.answers import rows, show, understood
from skeinwright.cli.options import Facts, Json, Spoons, facts_of, habits_of

if TYPE_CHECKING:
    from skeinwright.services.studio import Studio
    from skeinwright.services.work_out_bath import BathFigures


def bath(
    context: typer.Context,
    water: Annotated[str, typer.Option(metavar="VOLUME", help="The final volume of the bath: '4 l'.")],
    vinegar: Annotated[str, typer.Option(metavar="VOLUME", help="Vinegar in it: '15 ml', '2 tbsp'.")] = "",
    vinegar_strength: Annotated[str, typer.Option(metavar="PER CENT", help="Grams of acetic acid in 100 ml, as the label says; 5 % if not said.")] = "",
    citric: Annotated[str, typer.Option(metavar="MASS", help="Anhydrous citric acid in it: '1 g'.")] = "",
    ammonium_sulphate: Annotated[str, typer.Option(metavar="MASS", help="Ammonium sulphate in it: '8 g'.")] = "",
    alkalinity: Annotated[str, typer.Option(metavar="FIGURE", help="The water's alkalinity, mg/L as calcium carbonate or another unit; 120 if not said.")] = "",
    temp: Annotated[str, typer.Option(metavar="TEMPERATURE", help="Temperature, C if no unit is said; 25 C if not said.")] = "",
    open: Annotated[bool, typer.Option("--open", help="The carbon dioxide has left, as from a simmering pot.")] = False,
    wool: Annotated[str, typer.Option(metavar="MASS", help="Yarn that goes in, nylon and all: '100 g'. It takes up acid.")] = "",
    superwash: Annotated[bool, typer.Option("--superwash", help="The yarn is superwash: it takes up the same acid, only faster.")] = False,
    nylon: Annotated[str, typer.Option(metavar="SHARE", help="Share of nylon in the yarn: 0.25 or '25 %'.")] = "",
    target_ph: Annotated[str, typer.Option(metavar="PH", help="The pH to reach, with yarn after it has taken its acid: '4.5'. Say with which acid.")] = "",
    acid: Annotated[str, typer.Option(metavar="ACID", help="The acid to reach it with: vinegar, citric or ammonium-sulphate.")] = "",
    spoons: Spoons = "",
    studio: Facts = None,
    json: Json = False,
) -> None:
    """Work out the pH of a bath before and after yarn has taken its acid, or the acid that brings it to a pH, in this water."""
    from skeinwright.services.work_out_bath import BathRequest, work_out_bath

    with facts_of(context, studio) as opened:
        habits = habits_of(spoons, opened)
        alkalinity = alkalinity or _alkalinity_of(opened)
    request = BathRequest(
        water=water,
        vinegar=vinegar,
        vinegar_strength=vinegar_strength,
        citric=citric,
        ammonium_sulphate=ammonium_sulphate,
        alkalinity=alkalinity,
        temp=temp,
        open=open,
        wool=wool,
        superwash=superwash,
        nylon=nylon,
        target_ph=target_ph,
        acid=acid,
        habits=habits,
    )
    found = work_out_bath(request)
    show(found.to_plain(), [] if json else _lines(found), as_json=json)


def _alkalinity_of(studio: Studio | None) -> str:
    """The alkalinity of the studio's water in words, where it has one water and knows its figure; else nothing, and the usual one is assumed."""
    if studio is None:
        return ""
    from skeinwright.core.foundations.quantities import write
    from skeinwright.core.shelf.items import Water
    from skeinwright.services.list_shelf import list_shelf

    known = [kept.thing.alkalinity_mg_l for kept in list_shelf(studio, "water") if isinstance(kept.thing, Water)]
    return write("alkalinity", known[0], "mg/L") if len(known) == 1 and known[0] is not None else ""


def _lines(found: BathFigures) -> list[str]:
    from skeinwright.core.foundations.quantities import say

    ph = found.ph
    pairs = understood(found.inputs)
    if found.acid is not None:
        amount = found.acid.amount
        plain = say("volume" if amount.unit == "ml" else "mass", amount.value)
        pairs.append(("To add", f"{plain}, {found.spoons}" if found.spoons else plain))
    pairs.append(("pH", f"{ph.value:.2f} (90 %: {ph.low:.2f} to {ph.high:.2f})"))
    if found.uptake is not None:
        after, bound = found.uptake.after.ph, found.uptake.bound_mmol
        pairs.append(("pH after uptake", f"{after.value:.2f} (90 %: {after.low:.2f} to {after.high:.2f})"))
        pairs.append(("Acid on the yarn", f"{bound.value:.2g} mmol ({bound.low:.2g} to {bound.high:.2g})"))
    return rows(pairs)
