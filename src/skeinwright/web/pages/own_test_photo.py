"""Reading one of the dyer's own tests in a photo: pieces or glasses are pointed at, and their colours fill the test's fields."""

from __future__ import annotations

from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response

from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.make_own_test import asked_of, own_test
from skeinwright.services.pick_in_photo import RADIUS_SHARE
from skeinwright.services.read_test_photo import WHITE, At, PhotoFields, PhotoOfTest, read_test_photo
from skeinwright.web.page import render, studio_of
from skeinwright.web.picking import share
from skeinwright.web.recipe_view import hex_of


def show(request: Request) -> Response:
    """The photo with its places, or, for a script, only what was read."""
    test, query, photo = own_test(str(request.path_params["key"])), request.query_params, int(request.path_params["photo"])
    asked = asked_of(test.key)
    said = {key: value for key, value in query.items() if key in asked}
    at: dict[str, At] = {}
    for place in (WHITE, *(one.key for one in test.places)):
        x, y = (share(query.get(f"at.{place}.{axis}", "")) for axis in ("x", "y"))
        if x is not None and y is not None:
            at[place] = (x, y)
    read: PhotoFields | None = None
    wrong = ""
    try:
        read = read_test_photo(studio_of(request), PhotoOfTest(key=test.key, photo=photo, at=at, said=said))
    except BadInput as error:
        wrong = error.sentence
    labels = {WHITE: "White paper"} | {one.key: one.label for one in test.places}
    context = {
        "test": test,
        "photo": photo,
        "said": said,
        "at": {f"{place}.{axis}": f"{100 * value:.1f}" for place, both in at.items() for axis, value in zip("xy", both, strict=True)},
        "places": [(WHITE, labels[WHITE], True), *((one.key, one.label, one.need) for one in test.places)],
        "radius_share": RADIUS_SHARE,
        "read": read,
        "wrong": wrong,
        "colours": [(labels[place], hex_of(rgb)) for place, rgb in read.colours.items()] if read else [],
        "filled": [(asked[field].label, value) for field, value in read.fields.items()] if read else [],
        "back": f"/tests/{test.key}?{urlencode(said)}#form",
        "take_over": f"/tests/{test.key}?{urlencode({**said, **(read.fields if read else {})})}#form",
    }
    return render(request, "tests/picked.html" if request.headers.get("hx-request") else "tests/photo.html", context)
