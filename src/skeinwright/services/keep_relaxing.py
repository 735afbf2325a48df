"""Keep what washing does to a base, as measured: both factors on the shelf's base, with their spread among the dyer's own tests."""

from __future__ import annotations

from dataclasses import replace

from skeinwright.core.shelf.calibration import calibration_from
from skeinwright.core.shelf.items import Base, Item
from skeinwright.core.shelf.kept import Change, Kept
from skeinwright.core.yarn.relaxation import LENGTH, WIDTH
from skeinwright.services.studio import Studio
from skeinwright.services.work_out_relaxing import RelaxingRequest, RelaxingSheet, work_out_relaxing

TEST = "Washing, wet and dry"
"""What the test is called where tests are listed."""


def keep_relaxing(studio: Studio, base: int | str, request: RelaxingRequest) -> tuple[Kept[Item], tuple[Change, ...], RelaxingSheet]:
    """The base as kept, the changes that can be taken back, and what was found. A pair that is not said leaves the base's value as it is.

    Raises BadInput, ManyBadInputs (`where` the field) or NotFound; then nothing is changed.
    """
    found = work_out_relaxing(request)
    with studio.store.writing() as writing:
        kept = writing.item("base", base)
        assert isinstance(kept.thing, Base)
        now, thing = studio.now(), kept.thing
        for quantity, one in ((LENGTH, found.length), (WIDTH, found.width)):
            if one is not None:
                value = round(one.value, 3)
                thing = replace(thing, **{quantity: value})  # type: ignore[arg-type]
                exact = replace(one, value=value)
                writing.add_calibration(calibration_from(exact, test=TEST, of_kind="base", of=thing.name, quantity=quantity, made_on=now.date()), now=now)
        saved = writing.replace_item("base", kept.id, thing, revision=kept.revision, now=now)
        return saved, tuple(writing.made), found
