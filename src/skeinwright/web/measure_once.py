"""What is kept of a photo is kept once, however often its form is sent: the second request is led to where the first one went."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from threading import Lock

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from skeinwright.web.once import key_of
from skeinwright.web.page import go, studio_of

MOST = 200
_went: OrderedDict[str, str] = OrderedDict()
_lock = Lock()


def once(request: Request, form: FormData, act: Callable[[], Response]) -> Response:
    """The answer of `act`, or the place to which the same form led before. An answer that leads nowhere (something was wrong) is not remembered."""
    key = f"{studio_of(request).path}:{request.url.path}:{key_of(form)}" if key_of(form) else ""
    with _lock:  # both taps of a double tap are here at once
        if key and key in _went:
            return go(request, _went[key])
        answer = act()
        place = answer.headers.get("location") or answer.headers.get("hx-redirect")
        if key and place:
            _went[key] = place
            while len(_went) > MOST:
                _went.popitem(last=False)
    return answer
