"""Pictures of skeins: one look in one colour, and a kept colourway as its list shows it."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.picture.look import StrandLook
from skeinwright.services.draw_chip import draw_chip
from skeinwright.services.draw_colourway import draw_colourway
from skeinwright.services.draw_skein import SkeinPicture, draw_skein
from skeinwright.web.page import studio_of
from skeinwright.web.pages.pictures import answer

FOR_A_DAY = "private, max-age=86400"


def skein(request: Request) -> Response:
    """Drawn from its address alone, so a browser may keep it."""
    query = request.query_params
    look, srgb = _look(query.get("look", "")), _colour(query.get("colour", ""))
    asked = SkeinPicture(look=look, srgb=srgb, view=query.get("view", "twisted"), size=query.get("size", "large"))
    made = answer(request, draw_skein(studio_of(request), asked))
    made.headers["Cache-Control"] = FOR_A_DAY
    return made


def chip(request: Request) -> Response:
    """A few strands in one colour; like `skein`, from its address alone."""
    query = request.query_params
    srgb = _colour(query.get("colour", ""))
    if srgb is None:
        raise BadInput("A chip has a colour.", where="colour")
    made = answer(request, draw_chip(studio_of(request), _look(query.get("look", "")), srgb))
    made.headers["Cache-Control"] = FOR_A_DAY
    return made


def colourway(request: Request) -> Response:
    """A kept colourway on its first base; it follows the shelf, so a browser asks again."""
    return answer(request, draw_colourway(studio_of(request), int(request.path_params["id"])))


def _look(text: str) -> StrandLook:
    try:
        plies, angle_deg, diameter_mm, halo = (float(part) for part in text.split("_"))
        return StrandLook(int(plies), angle_deg, diameter_mm, halo)
    except (ValueError, OverflowError):
        raise BadInput("A look is four numbers: plies, angle, thickness and hair.", where="look", text=text) from None


def _colour(text: str) -> tuple[int, int, int] | None:
    if text == "none":
        return None
    try:
        red, green, blue = bytes.fromhex(text)
    except ValueError:
        raise BadInput("A colour is six hexadecimal digits, or none.", where="colour", text=text) from None
    return red, green, blue
