"""`skeinwright overdye`: three overdyes for the skein in a photo."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from skeinwright.cli.answers import REFUSED, rows, show
from skeinwright.cli.colour_options import BaseName, Dyes, Fibre, Seed, facts_from, text_of
from skeinwright.cli.files import read_file
from skeinwright.cli.options import Facts, Json, facts_of
from skeinwright.core.foundations.errors import BadInput, PhotoRefused

if TYPE_CHECKING:
    from skeinwright.services.find_overdyes import FoundOverdye, OverdyesFound


def overdye(
    context: typer.Context,
    photo: Annotated[Path, typer.Argument(metavar="PHOTO", help="The skein's photo: JPEG, PNG, WebP or HEIC, on the photo sheet or with --frame.")],
    dyes: Dyes = None,
    target: Annotated[str, typer.Option(metavar="L,a,b or #RRGGBB", help="The colour to come near; whatever is near and dark enough if not said.")] = "",
    allow: Annotated[list[str] | None, typer.Option("--with", metavar="NAME", help="A dye that may be used; may be repeated. All if not said.")] = None,
    max_dyes: Annotated[int, typer.Option(metavar="NUMBER", min=1, max=3, help="The most dyes in one overdye, 1 to 3.")] = 2,
    deepest: Annotated[str, typer.Option(metavar="PER CENT", help="The most of any one dye; 4 % if not said.")] = "",
    base: BaseName = "",
    fibre: Fibre = "",
    piece: Annotated[int, typer.Option(metavar="NUMBER", min=1, help="Which piece of yarn in the photo, from the left.")] = 1,
    reference: Annotated[Path | None, typer.Option(metavar="FILE.csv", help="A reference of known values that lies on the sheet.")] = None,
    frame: Annotated[str, typer.Option(metavar="'X,Y X,Y'", help="No sheet: two corners round the yarn, in % of the photo; colours are relative.")] = "",
    white: Annotated[str, typer.Option(metavar="X,Y", help="With --frame: something white, in per cent of the photo.")] = "",
    pictures: Annotated[Path | None, typer.Option(metavar="FOLDER", help="Where to write the skein and its overdyes as pictures (JPEG).")] = None,
    seed: Seed = 1,
    studio: Facts = None,
    json: Json = False,
) -> None:
    """Find three overdyes for an ugly skein, each shown on its own picture. A photo that cannot be trusted is refused, with exit 3."""
    from skeinwright.services.find_overdyes import FindOverdyes, find_overdyes
    from skeinwright.services.read_skein import ReadSkein, read_skein

    with facts_of(context, studio) as opened:
        facts = facts_from(dyes, opened, "")
    asked = ReadSkein(photo=read_file(photo, "PHOTO"), frame=frame, white=white, reference=text_of(reference, "--reference") if reference else "", seed=seed)
    try:
        reading = read_skein(asked)
        found = find_overdyes(
            facts,
            FindOverdyes(
                reading=reading,
                piece=piece - 1,
                target=target,
                dyes=allow or (),
                max_dyes=max_dyes,
                deepest=deepest,
                base=base,
                fibre=fibre,
                seed=seed,
            ),
        )
    except PhotoRefused as refused:
        if json:
            show({"verdict": "refuse", "messages": [refused.sentence], "overdyes": [], "inputs": {"photo": str(photo)}}, [], as_json=True)
        else:
            print(f"Refused: {refused.sentence}", file=sys.stderr)
        raise typer.Exit(REFUSED) from None
    written = _written(found, pictures)
    inputs = {"photo": str(photo), "target": target or "near and dark enough", "base": base, "fibre": fibre, "max_dyes": max_dyes, "piece": piece}
    answer = {"verdict": reading.verdict.value, **found.to_plain(), "pictures": written, "inputs": inputs}
    show(answer, [] if json else _lines(found, written), as_json=json)


def _written(found: OverdyesFound, folder: Path | None) -> list[str]:
    if folder is None:
        return []
    if not folder.is_dir():
        raise BadInput(f"{folder} is not a folder. Make it first, or choose another.", where="--pictures")
    made = []
    for name, data in (("skein.jpg", found.picture), *((f"overdye-{number}.jpg", one.picture) for number, one in enumerate(found.shown, 1))):
        place = folder / name
        if place.exists():
            raise BadInput(f"{place} is there already, and nothing of yours is written over: choose another folder.", where="--pictures")
        made.append((place, data))
    for place, data in made:
        place.write_bytes(data)
    return [str(place) for place, _ in made]


def _lines(found: OverdyesFound, written: list[str]) -> list[str]:
    colours = zip(found.colours, found.shares, found.spreads_de00, strict=True)
    skein = [f"{100 * share:.0f} % {_lab(lab.values)} ±{spread:.1f}" for lab, share, spread in colours]
    pairs = [("The skein", "; ".join(skein)), ("", f"resting on {found.rests_on}")]
    for number, one in enumerate(found.shown, 1):
        pairs += _said(number, one, wished=found.target is not None)
    return [*rows(pairs), *found.warnings, *(f"Written: {place}" for place in written), "Lab is D65, 2 degree; ± holds 90 % (CIEDE2000)."]


def _said(number: int, one: FoundOverdye, *, wished: bool) -> list[tuple[str, str]]:
    from skeinwright.core.forecast.dye_facts import said_doses

    amounts = ", ".join(f"{dose.amount:g} {dose.unit} {dose.dye}" for dose in one.amounts)
    spread = "" if one.spread_de00 is None else f" ±{one.spread_de00:.1f}"
    far = f"{one.away_de00:.1f} from the target" if wished else f"{one.away_de00:.1f} from what it is"
    cost = "" if one.cost_minor is None else f"; dye for 100 g costs {one.cost_minor / 100:.2f}"
    doses = f"{said_doses(one.doses)}{f' ({amounts})' if amounts else ''}"
    return [(f"{number}. {one.why}", doses), ("", f"{_lab(one.mean.values)}{spread}, {far}; its colours then part by {one.uneven_de00:.1f}{cost}")]


def _lab(lab: tuple[float, float, float]) -> str:
    return ", ".join(f"{value:.1f}" for value in lab)
