"""`skeinwright spread`: dye laid on wet yarn, as a colourway's file says."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from skeinwright.cli.answers import Fifths, rows, show
from skeinwright.cli.files import Beside, read_file, write_file
from skeinwright.cli.options import Facts, Json, Spoons, facts_of, habits_of

if TYPE_CHECKING:
    from skeinwright.services.lay_dye import DyeLaid


def spread(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A .toml file with steps that sprinkle, pour or paint.", show_default=False)],
    quick: Annotated[bool, typer.Option("--quick", help="The quick forecast: seconds less, specks less exact.")] = False,
    seed: Annotated[int, typer.Option(metavar="NUMBER", min=0, help="The seed of where grains fall.")] = 1,
    out: Annotated[Path | None, typer.Option(metavar="FILE.npz", help="Write the skein map: dye on fibre, g/g, of one skein.")] = None,
    picture: Annotated[Path | None, typer.Option(metavar="FILE.png", help="Write a picture of the skein in its pan.")] = None,
    film: Annotated[Path | None, typer.Option(metavar="FILE.webp", help="Write the session as a short loop: .webp, .gif or .png.")] = None,
    coverage: Annotated[str, typer.Option(metavar="SHARE", help="Tell the powder for this share of the face in specks, '8 %'.")] = "",
    per_stitch: Annotated[str, typer.Option(metavar="NUMBER", help="Tell the powder for so many specks a stitch, '1.5'.")] = "",
    spoons: Spoons = "",
    studio: Facts = None,
    json: Json = False,
) -> None:
    """Forecast where sprinkled, poured or painted dye goes on wet yarn."""
    from skeinwright.services.lay_dye import LayRequest, lay_dye

    data = read_file(file, "FILE")
    with facts_of(context, studio) as opened:
        request = LayRequest(
            document=data, name=file.name, swatches=Beside(file.parent), quick=quick, seed=seed, picture=picture is not None,
            film="" if film is None else film.suffix.lstrip(".").lower() or "webp", coverage=coverage, per_stitch=per_stitch,
            habits=habits_of(spoons, opened),
        )  # fmt: skip
        found = lay_dye(request, opened, progress=Fifths().tell)
    if out is not None:
        write_file(out, found.skein.to_npz())
    if picture is not None and found.png is not None:
        write_file(picture, found.png, "--picture")
    if film is not None and found.film is not None:
        write_file(film, found.film, "--film")
    answer = {**found.to_plain(), "out": out, "picture": picture, "film": film}
    show(answer, [] if json else _lines(found), as_json=json)


def _lines(found: DyeLaid) -> list[str]:
    from skeinwright.core.spread.plain import sides_in_words

    plain = found.to_plain()
    pairs = [("Dye on the fibre", _share(plain["on_fibre_fraction"])), ("In the liquor", _share(plain["bath_left_fraction"]))]
    if plain["undissolved_fraction"] > 0.005:
        pairs.append(("Still powder", _share(plain["undissolved_fraction"])))
    pairs.append(("Liquor at the end", f"{plain['liquor_left_ml']:.0f} ml"))
    if plain["front_back"] is not None:
        side, share, of = sides_in_words(plain["front_back"])
        pairs.append((side, f"{share} {of}"))
    if plain["speckle_mm"] is not None:
        likely, side = plain["ranges"], "the side below" if plain["counted_side"] == "below" else "the face"
        pairs.append(("Specks", f"{plain['speckle_mm']:.1f} mm across{_likely(likely, 'speckle_mm')}"))
        pairs.append(("Number", f"{plain['per_gram']:.2g} to a gram{_likely(likely, 'per_gram')}, {plain['per_cm2']:.2g} to a square centimetre"))
        pairs.append(("Coverage", f"{100 * plain['coverage']:.0f} % of {side}{_likely(likely, 'coverage', ' %', 100)}"))
    pairs += [(name, _share(one["on_fibre_fraction"]) + " on the fibre") for name, one in plain["by_dye"].items()]
    return [*rows(pairs), *found.sentences, *(found.powder.sentences if found.powder else ())]


def _likely(ranges: dict[str, list[float]], name: str, unit: str = "", times: float = 1.0) -> str:
    """The interval that holds nine draws in ten, or nothing where it was not worked out (the quick forecast)."""
    if name not in ranges:
        return ""
    low, high = (f"{float(f'{times * value:.2g}'):g}" for value in ranges[name])
    return f" (likely {low} to {high}{unit})"


def _share(value: Any) -> str:
    return f"{100 * value:.0f} %"
