"""What the dyer's own tests have found, put into a session in place of what is assumed of its powder, its strike and its spreading.

The tests of strike and of spread length do not say which dye they were made with: it is taken for a middling one (half-milling), and what it is off that
holds for every dye on the yarn alike [assumed]. The spread length is taken for one of soaked yarn at 85 C without free water to carry dye [assumed].
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from skeinwright.core.bath.classes import REFERENCE_ANIONS_EQ_L, USUAL_FOR_UNKNOWN, dye_class
from skeinwright.core.bath.fibre import WOOL_SITES_MOL_KG, donnan
from skeinwright.core.foundations.estimate import Estimate, Origin
from skeinwright.core.shelf.calibration import EVAPORATION, SPREAD_ACROSS, SPREAD_LENGTH, STRIKE_85, Calibration, newest
from skeinwright.core.shelf.items import Base
from skeinwright.core.spread.calibrate import STRIKE_85_RANGE, diffusion_from
from skeinwright.core.spread.derive import kinds_of, of_class, site_rate
from skeinwright.core.spread.events import Session, Sprinkle
from skeinwright.core.spread.own_powder import own_powder
from skeinwright.core.spread.parameters import STRIKE_85_PER_S, DyeParameters, PowderParameters, YarnParameters
from skeinwright.core.spread.session import ALL_ASSUMED

STILL_ASSUMED = "How dye spreads on wet yarn is assumed but for what your tests say; each was of one dye, and is taken to hold for the others."
ALONG, ACROSS = 0.9, 0.6
"""Of `water.movement`: D in soaked yarn along the strands over anisotropy x D in water, and across them over D in water."""
LEAST_ANISOTROPY, MOST_ANISOTROPY = 1.0, 16.0
TEST_C = 85.0


def with_tests(session: Session, calibrations: Iterable[Calibration], *, base: Base | None, vessel: str = "") -> Session:
    """`session` with the newest of `calibrations` (newest first) of its dyes, of `base` and of `vessel`; what was used is told in `notes`, with its day.

        grain, its scatter and its stain: of the dye with most powder; another dye's sprinkle keeps its own tested grain, or the assumed one
        k -> f k of every dye at every temperature,  f = k_tested/(k g)_middling at 85 C
        D_along = lambda_along^2 k g,  D_across/D_along = (lambda_across/lambda_along)^2    (`calibrate.diffusion_from`)

    `STILL_ASSUMED` takes the place of the sentence that nothing is tested. Without a test that counts: `session` itself.
    """
    known = _Known(calibrations)
    found = _powder(session, known)
    if base is not None and base.name:
        found = _yarn(found, known.of("base", base.name), base, known)
    steam = newest(known.of("vessel", vessel), EVAPORATION) if vessel else None
    if steam is not None:
        pan = replace(found.parameters.pan, evaporation=steam.value)
        found = replace(found, parameters=replace(found.parameters, pan=pan))
        known.say(f"steam off {steam.of}, {_figure(steam.estimate)} times still air's", steam)
    if not known.said:
        return session
    assumed = tuple(STILL_ASSUMED if one == ALL_ASSUMED else one for one in session.assumed)
    return replace(found, assumed=assumed, notes=(*found.notes, *known.said))


@dataclass
class _Known:
    """Calibrations, and the sentences about those that were used."""

    calibrations: Iterable[Calibration]
    said: list[str] = field(default_factory=list)
    by_thing: Mapping[tuple[str, str], list[Calibration]] = field(init=False)

    def __post_init__(self) -> None:
        found: dict[tuple[str, str], list[Calibration]] = {}
        for one in self.calibrations:
            found.setdefault((one.of_kind, one.of.strip().casefold()), []).append(one)
        self.by_thing = found

    def of(self, kind: str, name: str) -> list[Calibration]:
        return self.by_thing.get((kind, name.strip().casefold()), [])

    def say(self, what: str, *tests: Calibration) -> None:
        days = " and ".join(dict.fromkeys(one.made_on.isoformat() for one in tests))
        self.said.append(f"Rests on your test of {days}: {what}.")


def _powder(session: Session, known: _Known) -> Session:
    """Grains and stains as tested, of the tested dye with the most powder; sprinkles of other dyes say their own grain."""
    usual = session.parameters.powder
    own = {name: (powder, test) for name in session.names for powder, test in (own_powder(usual, known.of("dye", name)),) if test is not None}
    sprinkled = [0.0] * len(session.names)
    for event in session.events:
        if isinstance(event, Sprinkle):
            sprinkled = [one + more for one, more in zip(sprinkled, event.dyes_mg, strict=True)]
    weights = {name: mg for name, mg in zip(session.names, sprinkled, strict=True) if mg > 0 and name in own}
    if not weights:
        return session
    most = max(weights, key=lambda name: weights[name])
    powder, test = own[most]
    assert test is not None
    grains = {name: own[name][0].grain_mm if name in own else usual.grain_mm for name in session.names}
    events = tuple(_sprinkle(one, session.names, grains, powder) if isinstance(one, Sprinkle) else one for one in session.events)
    said = f"grains of {most}, {powder.grain_mm:.2g} mm with stains {powder.footprint:.2g} radii wide"
    others = [name for name, mg in zip(session.names, sprinkled, strict=True) if mg > 0 and name not in own]
    known.say(said + (f"; {', '.join(others)} has none, so {usual.grain_mm:g} mm is assumed" if others else ""), test)
    return replace(session, events=events, parameters=replace(session.parameters, powder=powder))


def _sprinkle(event: Sprinkle, names: tuple[str, ...], grains: Mapping[str, float], powder: PowderParameters) -> Sprinkle:
    """A mixture falls as its heaviest dye does; a grain that a step or a blend says stands."""
    heaviest = max(zip(event.dyes_mg, names, strict=True))[1]
    return event if event.grain_mm is not None or grains[heaviest] == powder.grain_mm else replace(event, grain_mm=grains[heaviest])


def _yarn(session: Session, of_base: list[Calibration], base: Base, known: _Known) -> Session:
    """Strike and spreading as tested on this base."""
    strike, along, across = (newest(of_base, quantity) for quantity in (STRIKE_85, SPREAD_LENGTH, SPREAD_ACROSS))
    if strike is None and along is None:
        return session
    yarn = session.parameters.yarn
    middling = of_class("", USUAL_FOR_UNKNOWN, kinds_of(base), yarn.held_g_g)
    rate = _rate(middling) if strike is None else strike.estimate
    if strike is not None:
        factor = strike.value / _rate(middling).value
        session = replace(session, dyes=tuple(replace(dye, strikes=_faster(dye, factor)) for dye in session.dyes))
        known.say(f"strike on {base.name}, {100 * strike.value:.2g} % ({100 * strike.low:.2g} to {100 * strike.high:.2g} %) in a second at 85 °C", strike)
    if along is not None and along.high > 0:
        yarn, said = _spreading(yarn, middling, rate, along, across)
        session = replace(session, parameters=replace(session.parameters, yarn=yarn))
        known.say(f"{said} of {base.name}", *((along,) if strike is None else (along, strike)))
    return session


def _rate(middling: DyeParameters) -> Estimate:
    """k g at 85 C where nothing was tested: a middling dye at its own pH, as uncertain as the strike of any dye is [assumed]."""
    filled = donnan(10 ** -dye_class(USUAL_FOR_UNKNOWN).own_ph, REFERENCE_ANIONS_EQ_L, WOOL_SITES_MOL_KG).filled
    value = middling.strike_per_s(TEST_C) * site_rate(filled)
    low, high = (value * end / STRIKE_85_PER_S for end in STRIKE_85_RANGE)
    return Estimate(value, low, high, "1/s", Origin.ASSUMED)


def _faster(dye: DyeParameters, factor: float) -> tuple[tuple[float, float], ...]:
    """The dye's strikes at 85 C and as it has them, times `factor`."""
    table = dye.strikes or tuple((temp, dye.strike_per_s(temp)) for temp in (20.0, 100.0))
    return tuple((temp, factor * k) for temp, k in table)


def _spreading(yarn: YarnParameters, middling: DyeParameters, rate: Estimate, along: Calibration, across: Calibration | None) -> tuple[YarnParameters, str]:
    """Yarn whose D is lambda^2 k g, and a sentence with D and its spread. A length that is only an upper bound never makes dye spread further."""
    in_water = middling.diffusion_cm2_s(TEST_C)
    usual = ALONG * yarn.anisotropy * in_water * yarn.spreading
    if along.low <= 0:
        most = rate.value * (along.high / 10) ** 2
        spreading = yarn.spreading * min(1.0, most / usual)
        return replace(yarn, spreading=spreading), f"spreading along the strands, at most {along.high:.2g} mm before dye strikes,"
    found = diffusion_from(rate, along.estimate)
    anisotropy = yarn.anisotropy
    if across is not None and across.low > 0:
        anisotropy = min(max(ACROSS / ALONG * (along.value / across.value) ** 2, LEAST_ANISOTROPY), MOST_ANISOTROPY)
    spreading = found.value / (ALONG * anisotropy * in_water)
    said = f"spreading along the strands, {found.value:.1e} ({found.low:.1e} to {found.high:.1e}) cm²/s at 85 °C,"
    return replace(yarn, anisotropy=anisotropy, spreading=spreading), said


def _figure(one: Estimate) -> str:
    return f"{one.value:.2g} ({one.low:.2g} to {one.high:.2g})"
