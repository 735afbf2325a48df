"""The end of the bath: what a lot's pots still hold, to keep as liquor on the shelf, or to neutralise for the drain."""

from __future__ import annotations

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput, Conflict, ManyBadInputs, first_of
from skeinwright.core.foundations.say import say
from skeinwright.core.lot.traces import say_grams, say_grams_range
from skeinwright.core.safety.drain import drain_limits
from skeinwright.services.estimate_liquor import LiquorLeft, estimate_liquor
from skeinwright.services.get_lot import get_lot
from skeinwright.services.get_settings import get_settings
from skeinwright.services.keep_liquor import KeepLiquor, keep_liquor, name_for
from skeinwright.web.act import text
from skeinwright.web.colourway_margin import Line
from skeinwright.web.leftover_depth import depth_shown
from skeinwright.web.notes import note_of
from skeinwright.web.page import go, render, studio_of

KINDS = (
    ("law", "Businesses in the United States may not send liquor below pH 5.0 to a public sewer (40 CFR 403.5(b)); not verified against today's text."),
    ("standard", "None is known to us for liquor of so small a dye room; your works may name one of its own."),
    ("advice", "No storm drain; with a septic tank, ask. Your local code and licensed practice go first."),
    ("practice", "Use it up before you pour it: a leftover on the shelf is offered to the next pot."),
)


def show(request: Request) -> Response:
    """What each pot holds."""
    return _page(request)


def keep(request: Request, form: FormData) -> Response:
    """Puts one pot's liquor on the shelf."""
    wanted = KeepLiquor(lot=request.path_params["code"], vessel=text(form, "vessel"), name=text(form, "name"))
    try:
        kept, change = keep_liquor(studio_of(request), wanted)
    except (BadInput, ManyBadInputs, Conflict) as error:
        said = error.sentence if isinstance(error, Conflict) else first_of(error).sentence
        return _page(request, wrong={wanted.vessel: said}, typed={wanted.vessel: wanted.name}, status=422)
    return go(request, str(request.app.url_path_for("shelf_edit", kind="leftover", id=kept.id)), note_of(change))


def _page(request: Request, *, wrong: dict[str, str] | None = None, typed: dict[str, str] | None = None, status: int = 200) -> Response:
    studio = studio_of(request)
    lot = get_lot(studio, request.path_params["code"]).lot
    left = estimate_liquor(studio, lot.code)
    pots = [
        {
            "vessel": one.vessel,
            "why": one.why,
            "lines": _lines(one),
            "depth": depth_shown(studio, {name: grams.value for name, grams in one.dyes_g.items()}, request.query_params.get("fibre", ""), ends=one.dyes_g),
            "name": (typed or {}).get(one.vessel) or name_for(lot.code, one.vessel, len(left)),
            "drain": "" if one.drain is None else one.drain.sentence,
            "soda": "" if one.drain is None or one.drain.bicarbonate_g.value <= 0 else _soda(one),
            "assumed": one.assumed,
            "wrong": (wrong or {}).get(one.vessel, ""),
        }
        for one in left
    ]
    context = {"code": lot.code, "pots": pots, "limits": drain_limits(get_settings(studio)).said, "kinds": KINDS}
    return render(request, "lots/liquor.html", context, status=status)


def _lines(one: LiquorLeft) -> list[Line]:
    if one.volume_ml is None or one.ph is None:
        return []
    volume, ph = one.volume_ml, one.ph
    found = [Line("Liquor", say("volume", volume.value, digits=2), f"{say('volume', volume.low, digits=2)} to {say('volume', volume.high, digits=2)}")]
    found += [Line(name, say_grams(grams.value), f"{say_grams_range(grams)} still in it") for name, grams in one.dyes_g.items()]
    return [*found, Line("pH", f"{ph.value:.1f}", f"{ph.low:.1f} to {ph.high:.1f}")]


def _soda(one: LiquorLeft) -> str:
    assert one.drain is not None
    grams = one.drain.bicarbonate_g
    return f"Baking soda: {grams.value:.2g} g ({grams.low:.2g} to {grams.high:.2g} g, assumed)."
