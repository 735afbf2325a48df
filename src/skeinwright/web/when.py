"""When something was done, as it is said at the stove: now, ten minutes ago, or by the clock."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from skeinwright.core.foundations.errors import BadInput

_CLOCK = re.compile(r"(\d{1,2})[:.h](\d{2})(?::\d{2})?")


def clock_time(said: str, now: datetime) -> datetime | None:
    """The last moment before `now` at which the clock showed "9:40"; None where nothing was said. Raises BadInput."""
    if not said.strip():
        return None
    found = _CLOCK.fullmatch(said.strip())
    if found is None or int(found[1]) > 23 or int(found[2]) > 59:
        raise BadInput(f"'{said.strip()[:20]}' is not a time by the clock; write it as 9:40 or 14:05.", where="at")
    at = now.replace(hour=int(found[1]), minute=int(found[2]), second=0, microsecond=0)
    return at if at <= now else at - timedelta(days=1)


def minutes_ago(minutes: str, at: str, now: datetime) -> float:
    """How long ago it was: `minutes` where they were tapped, else by the clock, else 0. Raises BadInput."""
    if minutes.strip():
        if not minutes.strip().isdigit():
            raise BadInput("Say how many minutes ago it was as a whole number.", where="minutes")
        return float(minutes)
    moment = clock_time(at, now)
    return 0.0 if moment is None else (now - moment).total_seconds() / 60
