"""`skeinwright base`: a base of the shelf laid open, what washing does to it, its reach in a pan, and self-striping windings of it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated, Any

import typer

from skeinwright.cli.answers import rows, show
from skeinwright.cli.files import read_file, write_file
from skeinwright.cli.options import Json, StudioFile
from skeinwright.cli.parts import parts_of
from skeinwright.core.foundations.errors import BadInput

base = typer.Typer(name="base", help="A base of the shelf: laid open, washed, in the pan, in stripes.", rich_markup_mode=None)
Name = Annotated[str, typer.Argument(metavar="NAME", help="The base's name on the shelf.", show_default=False)]
_STRIPE = re.compile(r"\s*(?:undyed|(?P<dye>.+?)\s+(?P<depth>[\d.,]+\s*%))\s*=\s*(?P<rows>[\d.,]+)\s*(?:rows?|rounds?|rnds?)?\s*", re.IGNORECASE)


@base.command("show")
def show_(
    context: typer.Context,
    name: Name,
    beside: Annotated[list[str] | None, typer.Option(metavar="NAME", help="Another base, to be told why they differ; up to three.")] = None,
    label: Annotated[str, typer.Option(metavar="WORDS", help="What a label says: '8 ply'.")] = "",
    weighed: Annotated[str, typer.Option(metavar="MASS", help="A weight, to be told what it would be in other rooms.")] = "",
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Lay a base open: counts, build, washing, marks."""
    from skeinwright.services.describe_base import BaseRequest, describe_base

    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        found = describe_base(opened, BaseRequest(base=name, beside=tuple(beside or ()), label=label, weighed=weighed))
    for where, sentence in found.wrong.items():
        raise BadInput(sentence, where=f"--{where}")
    counts, build = found.counts, found.build
    pairs = [
        ("Count", f"{counts.tex:.0f} tex, Nm {counts.nm:.3g}, {counts.m_per_100g:.0f} m in 100 g, {counts.yd_per_lb:.0f} yd to the pound"),
        ("Names", ", ".join(found.names) or "none fits"),
        ("Build", f"{build.plies} plies at {build.angle_deg:.0f} degrees, {build.visual_mm:.2f} mm to the eye, core {build.core_mm:.2f} mm"),
        ("While wet", f"{100 * build.wet_length:.0f} % of its dry length ({100 * build.wet_low:.0f}-{100 * build.wet_high:.0f} %), as its fibres swell"),
        ("Washing", "; ".join(f"{word} {_of(one)}" for word, one in (("length", found.relaxing.length), ("thickness", found.relaxing.width)))),
        ("A 4 mm mark", f"falls on {found.marks.strands:.1f} strands, pieces {found.marks.length_mm:.1f} mm long, {found.marks_after.length_mm:.1f} mm washed"),
    ]
    if found.label is not None:
        pairs += [("Label", found.label.as_thickness), ("", found.label.as_count)]
    if weighed:
        pairs.append(("Dampness", found.regain.sentence))
    pairs += [(other.thing.name, sentence) for other, told in found.beside for sentence in told.sentences]
    show(found.to_plain(), [] if json else rows(pairs), as_json=json)


def _of(one: Any) -> str:
    from skeinwright.core.foundations.estimate import Origin

    digits = 0 if one.origin is Origin.ASSUMED else 1  # a guess of practice is known to a whole per cent at best
    return f"{100 * one.value:.{digits}f} % ({100 * one.low:.{digits}f}-{100 * one.high:.{digits}f} %, {one.origin.value})"


@base.command("washed")
def washed(
    context: typer.Context,
    name: Name,
    wet_length: Annotated[str, typer.Option(metavar="LENGTH", help="Between two threads on one strand, wet and straight.")] = "",
    dry_length: Annotated[str, typer.Option(metavar="LENGTH", help="The same, washed and dried.")] = "",
    wet_wraps: Annotated[str, typer.Option(metavar="NUMBER", help="Wraps over a stretch of ruler, wet.")] = "",
    dry_wraps: Annotated[str, typer.Option(metavar="NUMBER", help="Wraps over the same stretch, dry.")] = "",
    wet_width: Annotated[str, typer.Option(metavar="LENGTH", help="The strand's thickness in a photo, wet, in place of wraps.")] = "",
    dry_width: Annotated[str, typer.Option(metavar="LENGTH", help="Its thickness in a photo, dry.")] = "",
    until_dry: Annotated[bool, typer.Option("--until-dry", help="Keep the wet readings until the dry ones come.")] = False,
    keep: Annotated[bool, typer.Option("--keep", help="Keep what is found on the base.")] = False,
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Work out what washing does to a base, from a strand measured wet and dry."""
    from skeinwright.services.get_from_shelf import get_from_shelf
    from skeinwright.services.keep_relaxing import keep_relaxing
    from skeinwright.services.keep_wet_strand import keep_wet_strand
    from skeinwright.services.work_out_relaxing import RelaxingRequest, work_out_relaxing

    asked = RelaxingRequest(wet_length=wet_length, dry_length=dry_length, wet_wraps=wet_wraps, dry_wraps=dry_wraps, wet_width=wet_width, dry_width=dry_width)
    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        if until_dry:
            made = keep_wet_strand(opened, name, asked)
            show({"inputs": {"base": name}, "kept": [one.sentence for one in made]}, [one.sentence for one in made], as_json=json)
            return
        get_from_shelf(opened, "base", name)
        found = keep_relaxing(opened, name, asked)[2] if keep else work_out_relaxing(asked)
    pairs = [(word, _of(one)) for word, one in (("Length kept", found.length), ("Thickness", found.width)) if one is not None]
    show({**found.to_plain(), "kept": keep}, [] if json else rows([*pairs, ("Kept", "yes" if keep else "no: add --keep")]), as_json=json)


@base.command("reach")
def reach(
    context: typer.Context,
    name: Name,
    vessel: Annotated[str, typer.Option(metavar="NAME", help="A pan of the shelf; 50 x 30 cm if not said.")] = "",
    width: Annotated[str, typer.Option(metavar="LENGTH", help="How wide each limb is laid; 10 cm if not said.")] = "",
    goal: Annotated[str, typer.Option(metavar="'PER CENT'", help="The share of the yarn's surface to reach.")] = "50 %",
    seen: Annotated[str, typer.Option(metavar="'PER CENT'", help="How much of what is seen in the pan is covered.")] = "30 %",
    one_side: Annotated[bool, typer.Option("--one-side", help="Dye on one side only.")] = False,
    shuffles: Annotated[int, typer.Option(metavar="NUMBER", min=1, max=20, help="How often it is opened up anew and dyed, in all.")] = 1,
    out: Annotated[Path | None, typer.Option(metavar="FILE", help="Also draw the skein in its pan, as PNG.")] = None,
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Tell how much of a base's yarn one pass reaches in a pan."""
    from skeinwright.services.draw_pan import draw_pan
    from skeinwright.services.reach_in_pan import ReachRequest, reach_in_pan

    asked = ReachRequest(base=name, vessel=vessel, width=width, goal=goal, seen=seen, turned=not one_side, shuffles=str(shuffles))
    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        found = reach_in_pan(opened, asked)
        if out is not None:
            write_file(out, draw_pan(opened, asked))
    show(found.to_plain(), [] if json else list(found.sentences), as_json=json)


@base.command("stripes")
def stripes(
    context: typer.Context,
    name: Name,
    stripe: Annotated[list[str], typer.Option(metavar="'DYE DEPTH=ROWS'", help="'Kelp 1 %=8' or 'undyed=2'; repeated, in order.")],
    gauge: Annotated[str, typer.Option(metavar="GAUGE", help="'30 sts/10cm'.")] = "",
    ravelled: Annotated[str, typer.Option(metavar="LENGTH", help="What 20 stitches of your swatch gave when ravelled, in place of the gauge.")] = "",
    stitches: Annotated[int, typer.Option(metavar="NUMBER", min=4, max=1000, help="Stitches in a round or row.")] = 64,
    waste: Annotated[str, typer.Option(metavar="'PER CENT'", help="Added to each stripe.")] = "3 %",
    span: Annotated[str, typer.Option(metavar="LENGTH", help="How far apart pegs may stand.")] = "2 m",
    sheet: Annotated[Path | None, typer.Option(metavar="FILE.pdf", help="Write the winding sheet, to print.")] = None,
    keep: Annotated[str, typer.Option(metavar="NAME", help="Keep it as a colourway of this name.")] = "",
    studio: StudioFile = None,
    json: Json = False,
) -> None:
    """Plan a self-striping skein on a base of the shelf, and keep it as a colourway."""
    from skeinwright.services.keep_stripes import keep_stripes
    from skeinwright.services.make_winding_sheet import make_winding_sheet
    from skeinwright.services.plan_stripes import Band, StripePlanRequest, plan_stripes

    bands = []
    for said in stripe:
        found = _STRIPE.fullmatch(said)
        if found is None:
            raise BadInput("Write each stripe as 'Kelp 1 %=8' or 'undyed=2'.", where="--stripe", text=said)
        bands.append(Band(dye=found["dye"] or "", depth=found["depth"] or "", rows=found["rows"]))
    asked = StripePlanRequest(base=name, bands=bands, gauge=gauge, ravelled=ravelled, stitches=str(stitches), waste=waste, span=span)
    with parts_of(context).open_studio(studio, must_exist=True) as opened:
        planned = plan_stripes(opened, asked)
        if sheet is not None:
            write_file(sheet, make_winding_sheet(opened, asked), "--sheet")
        kept = keep_stripes(opened, keep, asked)[0].thing.name if keep else None
    plan = planned.sheet.plan
    pairs = [
        (one.name, f"{one.rows:g} rows: wind {one.length_mm / 1000:.2f} m, {one.times} between pegs {one.peg_mm / 10:.1f} cm apart") for one in plan.stripes
    ]
    pairs += [("Loop", f"{plan.loop_mm / 1000:.2f} m as wound"), ("Repeats", f"{plan.repeats:.2f} in a skein; {plan.left_over_mm / 1000:.1f} m left over")]
    show({**planned.to_plain(), "kept": kept}, [] if json else rows(pairs), as_json=json)


@base.command("strand")
def strand(
    photo: Annotated[Path, typer.Argument(metavar="PHOTO", help="A photo close up: one strand beside a ruler.", show_default=False)],
    ruler: Annotated[str, typer.Option(metavar="'X,Y X,Y'", help="Two marks of the ruler, in % of the photo from its left and top.")],
    along: Annotated[str, typer.Option(metavar="'X,Y X,Y'", help="Two places along the middle of the strand.")],
    length: Annotated[str, typer.Option(metavar="LENGTH", help="What lies between the two marks.")] = "1 cm",
    json: Json = False,
) -> None:
    """Measure how thick a strand is in a photo."""
    from skeinwright.services.measure_strand import StrandInPhoto, measure_strand
    from skeinwright.services.read_outlines import read_points

    pairs = []
    for typed, where in ((ruler, "--ruler"), (along, "--along")):
        points = tuple((x / 100, y / 100) for x, y in read_points(typed, where))
        if len(points) != 2:
            raise BadInput("Give two places, each as two numbers: '25,10 75,10'.", where=where, text=typed)
        pairs.append((points[0], points[1]))
    found = measure_strand(StrandInPhoto(photo=read_file(photo, "PHOTO"), ruler=pairs[0], strand=pairs[1], length=length))
    said = f"{found.width_mm:.2f} mm ({found.low_mm:.2f} to {found.high_mm:.2f}), uneven by {found.uneven_mm:.2f} mm"
    show({**found.to_plain(), "inputs": {"photo": str(photo), "length": length}}, [said], as_json=json)
