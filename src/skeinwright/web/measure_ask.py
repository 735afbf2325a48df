"""What is asked of a photo, as it stands in an address, and back: form, wet or dry, printer, reference, outlines drawn by hand."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any
from urllib.parse import urlencode

from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.describe_reference import HEAD
from skeinwright.services.list_readings import list_readings
from skeinwright.services.measure_kept_photo import STATES, UNCHECKED, MeasureKeptPhoto
from skeinwright.services.measure_photo import FORMS
from skeinwright.services.read_outlines import read_outlines
from skeinwright.services.studio import Studio
from skeinwright.web.security import MAX_BODY_BYTES

PHOTOS = "image/jpeg,image/png,image/webp,image/heic,image/heif"
MOST_BYTES = MAX_BODY_BYTES // 2**20 * 10**6
"""Of a photo, in whole MB of a million: what a request may have beyond that is room for what goes with it."""
FIELDS = ("form", "state", "printer", "reference", "outlines")
SAID_FORMS = {"dyed": "as dyed", "reskeined": "re-skeined", "knitted": "knitted", "strand": "a strand"}
LEAST = 4
"""Patches below which a reference is not used; the core says the same of a whole one."""
WHATS = {"dyed": "skein", "reskeined": "skein", "knitted": "knitted", "strand": "strand"}
"""What a piece in each form is called where it is kept."""


@dataclass(frozen=True, slots=True)
class Asked:
    """The same as typed. `lot` is the lot that the photo was taken for, "" for none."""

    form: str = "dyed"
    state: str = "dry"
    printer: str = ""
    reference: str = ""
    outlines: str = ""
    lot: str = ""

    @property
    def said(self) -> dict[str, str]:
        """As fields of an address, without what is as usual."""
        usual = Asked()
        return {name: getattr(self, name) for name in (*FIELDS, "lot") if getattr(self, name) != getattr(usual, name)}

    @property
    def query(self) -> str:
        """As the end of an address: "?form=knitted", or "" where all is as usual."""
        return f"?{urlencode(self.said)}" if self.said else ""

    @property
    def again(self) -> dict[str, str]:
        """The same for the next photo of the same yarn: outlines belong to one photo."""
        return {name: value for name, value in self.said.items() if name != "outlines"}

    @property
    def again_says(self) -> str:
        """What of it is not as usual, in words; "" where all is."""
        usual = Asked()
        said = [SAID_FORMS[self.form]] if self.form != usual.form else []
        said += [self.state] if self.state != usual.state else []
        said += [f"printer {self.printer}" if self.printer != UNCHECKED else "printer not checked"] if self.printer else []
        said += [f"with the reference of {len(self.reference.splitlines()) - 1} patches"] if self.reference else []
        return ", ".join(said)

    @property
    def begun(self) -> int:
        """How many swatches a reference holds that is still being put together, too few to be used yet; 0 for any other."""
        lines = [line for line in self.reference.splitlines() if line.strip()]
        return len(lines) - 1 if lines and lines[0].replace(" ", "") == HEAD and 1 <= len(lines) - 1 < LEAST else 0

    def request(self, photo: int) -> MeasureKeptPhoto:
        """As the service reads it. Raises BadInput."""
        return MeasureKeptPhoto(
            photo=photo,
            form=self.form,
            state=self.state,
            printer=self.printer,
            reference="" if self.begun else self.reference,
            outlines=read_outlines(self.outlines),
        )


def asked_in(query: Mapping[str, str]) -> Asked:
    """What an address says; what cannot be is as usual. A rectangle typed in `rect` joins the outlines."""
    form, state = query.get("form", ""), query.get("state", "")
    found = Asked(
        form=form if form in FORMS else "dyed",
        state=state if state in STATES else "dry",
        printer=query.get("printer", ""),
        reference=query.get("reference", "").replace("\r\n", "\n").strip(),
        outlines=query.get("outlines", "").strip(),
        lot=query.get("lot", "").strip().upper(),
    )
    return replace(found, outlines="; ".join(one for one in (found.outlines, rectangle(query)) if one))


def rectangle(query: Mapping[str, str]) -> str:
    """The outline of a rectangle typed as left, top, width and height in mm; "" where none was typed. Raises BadInput."""
    typed = [query.get(f"rect_{key}", "").strip().removesuffix("mm").strip() for key in ("x", "y", "w", "h")]
    if not any(typed):
        return ""
    try:
        x, y, w, h = (float(one.replace(",", ".")) for one in typed)
    except ValueError:
        raise BadInput("Give all four of the rectangle in millimetres: from the left, from the top, how wide, how high.", where="rect") from None
    if not (0 < w < 400 and 0 < h < 400 and 0 <= x < 400 and 0 <= y < 400):
        raise BadInput("The rectangle lies on the sheet, in millimetres from its top left corner.", where="rect")
    return f"{x:g},{y:g} {x + w:g},{y:g} {x + w:g},{y + h:g} {x:g},{y + h:g}"


def asked_before(studio: Studio, photo: int) -> Asked:
    """How the photo was read when something of it was last kept; as usual where nothing was."""
    kept = list_readings(studio, photo=photo, limit=1)
    return asked_of(kept[0].thing.details) if kept else Asked()


def asked_of(details: Mapping[str, Any]) -> Asked:
    """The same, out of a kept reading's document."""
    outlines = details.get("outlines") or []
    return Asked(
        form=str(details.get("form", "dyed")),
        state=str(details.get("state", "dry")),
        printer=str(details.get("printer", "")),
        reference=str(details.get("reference", "")),
        outlines="; ".join(" ".join(f"{x:g},{y:g}" for x, y in outline) for outline in outlines),
    )


def last_reference(studio: Studio) -> str:
    """The reference's CSV that was used last in a kept reading, or ""."""
    for kept in list_readings(studio, limit=40):
        reference = kept.thing.details.get("reference")
        if reference:
            return str(reference)
    return ""


def key_of(asked: MeasureKeptPhoto, printers: object) -> str:
    """One key for all that a reading depends on."""
    parts = [asked.photo, asked.form, asked.state, asked.printer, asked.reference, asked.outlines, str(printers)]
    return f"measure:{json.dumps(parts)}"
