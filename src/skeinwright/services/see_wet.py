"""How a base looks while it is wet: the colour to compare a skein in the pot or on the rack with."""

from __future__ import annotations

from typing import TYPE_CHECKING

from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.forecast.dyeing import BaseForecast
    from skeinwright.core.forecast.wet_look import WetLook
    from skeinwright.core.shelf.swatch import Lab


def see_wet(studio: Studio, dry: BaseForecast) -> WetLook | None:
    """The forecast's colour wet, with the m that the dyer found of its base, or the assumed one; None where there is no forecast."""
    import numpy as np

    from skeinwright.core.forecast.wet_look import wet_look, wetness_of

    with studio.store.reading() as reading:
        tests = [kept.thing for kept in reading.calibrations(of_kind="base", of=dry.base)]
    wetness, said = wetness_of(tests, dry.base)
    return wet_look(dry, wetness, said, rng=np.random.default_rng(studio.seed))


def dried(studio: Studio, wet: Lab, base: str) -> tuple[Lab, float, str]:
    """What a colour that was read wet will be once the yarn is dry (D65, 10 degree), the 90 % radius that m adds, and what m rests on."""
    import numpy as np

    from skeinwright.core.colour.difference import ciede2000
    from skeinwright.core.colour.recover import recover
    from skeinwright.core.colour.spaces import spectrum_to_lab
    from skeinwright.core.colour.wet import dry_r
    from skeinwright.core.forecast.dyeing import as_lab
    from skeinwright.core.forecast.wet_look import wetness_of

    with studio.store.reading() as reading:
        tests = [kept.thing for kept in reading.calibrations(of_kind="base", of=base)]
    wetness, said = wetness_of(tests, base)
    spectrum = recover(wet).reflectance
    middle = spectrum_to_lab(dry_r(spectrum, wetness.m))
    ends = [spectrum_to_lab(dry_r(spectrum, wetness.m * float(np.exp(way * 1.645 * wetness.log_sd)))) for way in (-1, 1)]
    return as_lab(middle), float(max(ciede2000(middle, end) for end in ends)), said
