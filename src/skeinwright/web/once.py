"""A form that is sent twice is done once: each form that is drawn carries a key of its own, and what is sent with it is known again.

A double tap, or a request that is sent again because the network lost its answer, brings the same key and the same words: the services find what
they wrote the first time. Other words under the same key (a page gone back to and filled in anew) are another request.
"""

from __future__ import annotations

import hashlib
import json
import secrets

from starlette.datastructures import FormData

from skeinwright.web.headers import FIELD

KEY = "key"
_NOT_SAID = (KEY, FIELD, "seen", "keep")
"""Fields that the page fills in by itself: they may differ when the same request comes again."""


def fresh_key() -> str:
    """A key for one form, as random as a token: 96 bits."""
    return secrets.token_urlsafe(12)


def key_of(form: FormData, *more: str) -> str:
    """The key of this request: of the form's key, all that was said in it, and `more`; "" where the form carries none."""
    key = form.get(KEY, "")
    if not isinstance(key, str) or not key.strip():
        return ""
    said = [(name, value) for name, value in form.multi_items() if isinstance(value, str) and name not in _NOT_SAID]
    return hashlib.sha256(json.dumps([key.strip(), said, more]).encode()).hexdigest()[:32]


def key_of_file(key: str, data: bytes) -> str:
    """The key of one file among those of a request; "" where the request has none."""
    return f"{key}-{hashlib.sha256(data).hexdigest()[:16]}" if key else ""
