"""`skeinwright yarn`, `knit`, `stripes`: a yarn's counts, how a painted skein knits up, and self-striping windings."""

from __future__ import annotations

from typing import Annotated

import typer

from skeinwright.cli.answers import rows, show, understood
from skeinwright.cli.options import Json


def yarn(
    mass: Annotated[str, typer.Option(metavar="MASS", help="What a skein weighs: '100 g'.")],
    length: Annotated[str, typer.Option(metavar="LENGTH", help="How far it runs: '400 m', '437 yd'.")],
    json: Json = False,
) -> None:
    """The counts of a yarn from its put-up, and the names that fit its thickness."""
    from skeinwright.services.describe_yarn import YarnRequest, describe_yarn

    found = describe_yarn(YarnRequest(mass=mass, length=length))
    pairs = [
        *understood(found.inputs),
        ("Count", f"{found.tex:.0f} tex, Nm {found.nm:.3g}"),
        ("Runs", f"{found.m_per_100g:.0f} m in 100 g, {found.yd_per_lb:.0f} yd to the pound"),
        ("Names", ", ".join(found.categories) or "none fits"),
        ("Looks", f"{found.visual_mm:.1f} mm thick, {found.wraps_per_inch:.0f} wraps to the inch"),
    ]
    show(found.to_plain(), [] if json else rows(pairs), as_json=json)


def knit(
    gauge: Annotated[str, typer.Option(metavar="GAUGE", help="'30 sts/10cm', or with rows '30 sts x 42 rows/10cm'.")],
    stitches: Annotated[int, typer.Option(metavar="NUMBER", min=1, max=5000, help="Stitches in a round, or in a row with --flat.")],
    round_: Annotated[str, typer.Option("--round", metavar="LENGTH", help="Once round of the dried skein: '1.5 m'.")],
    flat: Annotated[bool, typer.Option("--flat", help="Knitted to and fro.")] = False,
    ravelled: Annotated[str, typer.Option(metavar="LENGTH", help="What --ravelled-stitches of your swatch gave when ravelled; better than the gauge.")] = "",
    ravelled_stitches: Annotated[int, typer.Option(metavar="NUMBER", min=1, help="How many stitches were ravelled; 20 if not said.")] = 20,
    json: Json = False,
) -> None:
    """How a skein painted across its loop knits up: stacking, drifting, flashing or scattering."""
    from skeinwright.services.knit_up import KnitRequest, knit_up

    request = KnitRequest(gauge=gauge, stitches=stitches, round=round_, flat=flat, ravelled=ravelled, ravelled_stitches=ravelled_stitches)
    found = knit_up(request)
    pairs = [
        ("Gauge", gauge),
        ("Stitches", f"{stitches}{' to and fro' if flat else ' in the round'}"),
        ("Once round", found.inputs["round"]),
        ("Stitch length", f"{found.stitch_mm:.1f} mm"),
        ("Stitches per repeat", f"{found.stitches_per_repeat:.1f}"),
        ("Shift", f"{found.shift_per_round:+.1f} stitches {'in two rows' if flat else 'a round'}"),
        ("Verdict", found.verdict),
        ("Over 1 % either way", ", ".join(f"{name} {100 * share:.0f} %" for name, share in found.verdict_band.items())),
        ("In words", found.sentence),
    ]
    show(found.to_plain(), [] if json else rows(pairs), as_json=json)


def stripes(
    stripe: Annotated[list[str], typer.Option(metavar="'NAME=ROWS'", help="A stripe and its rows or rounds: 'Kelp=10 rows'; repeated in order.")],
    stitches: Annotated[int, typer.Option(metavar="NUMBER", min=1, max=5000, help="Stitches in a round or row.")],
    length: Annotated[str, typer.Option(metavar="LENGTH", help="How far one skein runs before dyeing: '400 m'.")],
    gauge: Annotated[str, typer.Option(metavar="GAUGE", help="'30 sts/10cm'; not needed with --ravelled.")] = "",
    kept: Annotated[str, typer.Option(metavar="'PER CENT'", help="Length left after washing; 95 % is assumed.")] = "",
    waste: Annotated[str, typer.Option(metavar="'PER CENT'", help="Added to each stripe; 3 % if not said.")] = "3 %",
    span: Annotated[str, typer.Option(metavar="LENGTH", help="How far apart pegs may stand; 2 m if not said.")] = "2 m",
    winder: Annotated[str, typer.Option(metavar="LENGTH", help="The winder's round, to be told if the dried one differs.")] = "",
    dried: Annotated[str, typer.Option(metavar="LENGTH", help="Once round of the dried skein.")] = "",
    ravelled: Annotated[str, typer.Option(metavar="LENGTH", help="What --ravelled-stitches of your swatch gave when ravelled; better than the gauge.")] = "",
    ravelled_stitches: Annotated[int, typer.Option(metavar="NUMBER", min=1, help="How many stitches were ravelled; 20 if not said.")] = 20,
    json: Json = False,
) -> None:
    """Plan a self-striping skein: the length of each colour, the pegs, repeats and what is left over."""
    from skeinwright.services.lay_stripes import StripesRequest, lay_stripes

    request = StripesRequest(
        stripes=stripe, gauge=gauge, ravelled=ravelled, ravelled_stitches=ravelled_stitches, stitches=stitches, length=length,
        kept=kept, waste=waste, span=span, winder=winder, dried=dried,
    )  # fmt: skip
    found = lay_stripes(request)
    pairs = [
        (one.name or "Stripe", f"{one.rows:g} rows: wind {one.length_mm / 1000:.2f} m, {one.times} between pegs {one.peg_mm / 10:.1f} cm apart")
        for one in found.plan.stripes
    ]
    pairs += [
        ("Loop", f"{found.plan.loop_mm / 1000:.2f} m as wound"),
        ("Repeats", f"{found.plan.repeats:.2f} in a skein; {found.plan.left_over_mm / 1000:.1f} m left over"),
    ]
    show(found.to_plain(), [] if json else rows(pairs), as_json=json)
