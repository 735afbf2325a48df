"""Keep a colour that was read from a photo."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.measure.kept_reading import KeptReading
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.core.shelf.swatch import Lab
from skeinwright.services.studio import Studio

LONGEST_LABEL = 80


@dataclass(frozen=True, kw_only=True, slots=True)
class KeepReading:
    """What was read: in which photo, of what ("swatch", "skein", "knitted", "strand"), "dry" or "wet", its colour and spread, and whose it is."""

    photo: int
    lab: Lab
    spread_de00: float
    what: str = "skein"
    state: str = "dry"
    lot: str = ""
    base: str = ""
    dye: str = ""
    label: str = ""
    document: str = "{}"


def keep_reading(studio: Studio, request: KeepReading) -> tuple[Kept[KeptReading], Change]:
    """The reading as kept, and the change that can be taken back. The newest dry one of a skein is its lot's measured colour.

    Raises NotFound for an unknown photo, lot, base or dye, BadInput for a `what` or `state` that there is not.
    """
    now = studio.now()
    label = " ".join("".join(sign for sign in request.label if sign.isprintable()).split())[:LONGEST_LABEL]
    reading = KeptReading(
        made_at=now,
        photo=request.photo,
        lot=request.lot.strip().upper(),
        base=request.base,
        dye=request.dye,
        what=request.what,
        state=request.state,
        label=label,
        lab=request.lab,
        spread_de00=request.spread_de00,
        document=request.document,
    )
    with studio.store.writing() as writing:
        kept = writing.add_reading(reading, now=now)
        return kept, writing.made[-1]
