"""A test of the dyer's own: how far colour spreads before it strikes, from a photo of a speckled piece. It goes to the base."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate
from skeinwright.core.shelf.calibration import SPREAD_ACROSS, SPREAD_LENGTH, Calibration, calibration_from
from skeinwright.core.shelf.field import ask
from skeinwright.services._sheet_photo import read_sheet_photo
from skeinwright.services._typed import Typed
from skeinwright.services.keep_test import Tested, keep_test
from skeinwright.services.measure_footprint import WIDTH_OF_BLUR
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.measure.reading import PhotoReading
    from skeinwright.core.spread.arrays import Array

LEAST_PX = 160
NOT_SAID = "not said"


@dataclass(frozen=True, kw_only=True, slots=True)
class SpeckledPiece:
    """As typed: the base, the dye of the specks, a photo of the piece (its number), and how it was made."""

    base: str = ask("Which base", "choice", need=True)
    dye: str = ask("Which dye", "choice", default="")
    photo: str = ask("Photo", "text", default="")
    made: str = ask("How it was made", "text", default="", help="Water, acid and heat, for your own memory: '1.5 mm of water, acid in the yarn, 80 °C'.")


def measure_spread_length(studio: Studio, tested: SpeckledPiece) -> Tested:
    """The spread length along and across the strands, with spreads. Raises ManyBadInputs or BadInput with `where` the field, or NotFound."""
    from skeinwright.core.spread.calibrate import spread_length
    from skeinwright.core.spread.own_powder import own_powder
    from skeinwright.core.spread.parameters import PowderParameters

    with studio.store.reading() as reading:
        typed = Typed(tested, reading.settings().habits())
        base = reading.item("base", tested.base).thing
        known = (
            [] if tested.dye in ("", NOT_SAID) else [kept.thing for kept in reading.calibrations(of_kind="dye", of=reading.item("dye", tested.dye).thing.name)]
        )
    if len(typed.said["made"]) > 200:
        typed.wrong("made", "Say it in 200 characters at most.")
    typed.check()
    read, assumed = read_sheet_photo(studio, typed.said["photo"])
    ks, px_cm = _pattern(read)
    powder, own = own_powder(PowderParameters(), known)
    scale = (read.scale[0] * read.scale[1]) ** 0.5
    blur = read.blur.width_mm * scale / WIDTH_OF_BLUR if read.blur is not None else 0.1
    found = spread_length(ks, px_cm, grain_mm=powder.grain_mm, grain_sd=powder.grain_sd, footprint=powder.footprint, blur_mm=blur)
    today = studio.now().date()
    note = "; ".join(one for one in (typed.said["made"], tested.dye if known else "", "an upper bound" if found.sharp else "") if one)
    kept = [
        calibration_from(one, test="spread-length", of_kind="base", of=base.name, quantity=quantity, made_on=today, note=note)
        for one, quantity in ((found.along_mm, SPREAD_LENGTH), (found.across_mm, SPREAD_ACROSS))
    ]
    sentences = (
        f"On {base.name} dye went {_mm(found.along_mm)} along the strands and {_mm(found.across_mm)} across them before it struck.",
        *found.sentences,
        "Two more photos of other places, averaged, would halve what one photo leaves open.",
    )
    return keep_test(studio, kept, sentences=sentences, assumed=("Before the test: 0.5 mm (0.13 to 1.9).", _powder_says(own), *assumed))


def _mm(one: Estimate) -> str:
    return f"{one.value:.2g} mm ({one.low:.2g} to {one.high:.2g})"


def _powder_says(own: Calibration | None) -> str:
    if own is None:
        return "Grains of 0.12 mm with stains 2.5 radii wide are assumed: the footprint test comes first, where it can."
    return f"The powder's footprint is your own, of {own.made_on.isoformat()}."


def _pattern(read: PhotoReading) -> tuple[Array, float]:
    """(K/S, pixel in cm) of the largest upright rectangle about the middle of the first piece, in the channel where it varies most."""
    import numpy as np

    assert read.window is not None
    assert read.flat is not None
    assert read.correction is not None
    mask = read.pieces[0].piece.mask
    rows, columns = np.nonzero(mask)
    top, bottom, left, right = rows.min(), rows.max() + 1, columns.min(), columns.max() + 1
    for share in np.arange(0.98, 0.3, -0.04):
        dy, dx = int((1 - share) / 2 * (bottom - top)), int((1 - share) / 2 * (right - left))
        cut = np.s_[top + dy : bottom - dy, left + dx : right - dx]
        if mask[cut].mean() > 0.995:
            break
    else:
        raise BadInput("The piece has no even part to read: lay it flat, as a rectangle without gaps.", where="photo")
    if min(mask[cut].shape) < LEAST_PX:
        raise BadInput("The piece is too small in this photo: at least 2 by 2 cm, better 5 by 5, without gaps.", where="photo")
    colour = np.clip(read.correction.apply(np.asarray(read.window[cut], dtype=float).reshape(-1, 3)), 0.02, 1.0).reshape(*mask[cut].shape, 3)
    ks = (1 - colour) ** 2 / (2 * colour)
    channel = int(np.argmax(ks.reshape(-1, 3).std(axis=0)))
    return np.asarray(ks[..., channel]), float((read.scale[0] * read.scale[1]) ** 0.5 / read.flat.px_per_mm / 10)
