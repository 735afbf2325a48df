"""A session that rests on the dyer's own tests: its D, its strike and its grains are what the tests found."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.shelf.calibration import Calibration
from skeinwright.core.shelf.items import Base, Dye, Vessel
from skeinwright.core.spread.derive import kinds_of, of_class, site_rate
from skeinwright.core.spread.events import Session, Sprinkle
from skeinwright.core.spread.session import ALL_ASSUMED, session_of
from skeinwright.core.spread.tested import STILL_ASSUMED, with_tests
from skeinwright.core.spread.water import dye_movement

BASE = Base(name="Quay Sock", fibres=(("wool", 0.75), ("nylon", 0.25)), skein_g=100, length_mm=400_000, round_mm=1500, superwash=True)
PAN = Vessel(name="Wide pan", shape="rectangle", length_mm=500, width_mm=300, height_mm=100, lid=False)
SHELF = (Dye(name="Kelp", dye_class="half-milling"), Dye(name="Ember", dye_class="levelling"))
DAY = date(2026, 11, 1)


def found(quantity: str, kind: str, of: str, value: float, low: float | None = None, high: float | None = None, day: date = DAY) -> Calibration:
    return Calibration("t", kind, of, quantity, value, 0.8 * value if low is None else low, 1.25 * value if high is None else high, "", day)


def powder_of(dye: str, grain: float, sd: float, stain: float) -> list[Calibration]:
    return [found("footprint_mm", "dye", dye, stain), found("grain_mm", "dye", dye, grain), found("grain_sd", "dye", dye, sd)]


def a_session(*sprinkles: Step) -> Session:
    start = (Step("add acid", {"acid": "vinegar 5 %", "amount": "30 ml"}), Step("lay in", {"width": "14 cm"}), Step("heat", {"to": "85 C"}))
    steps = (*start, *(sprinkles or (Step("sprinkle", {"dye": "Kelp", "amount": "0.2 g"}),)), Step("wait", {"time": "5 min"}))
    return session_of(Colourway(name="Test", steps=steps, fibre="100 g", own_base=BASE, own_vessel=PAN, water_volume="400 ml"), shelf=SHELF)


def along_and_across(session: Session) -> tuple[float, float]:
    """D (cm2/s) of a middling dye in soaked yarn at 85 C with no free water."""
    yarn = session.parameters.yarn
    moves = dye_movement(of_class("", "half-milling", kinds_of(BASE)), 85.0, 0.0, yarn.soaked_cm, yarn, session.parameters.pan)
    return moves.along[1], moves.across[1]


def test_d_is_the_strike_times_the_length_squared() -> None:
    """By hand: 0.04 /s x (0.06 cm)^2 = 1.44e-4 cm2/s along; across 0.04 x (0.03 cm)^2 = 3.6e-5. The length that dye goes is then the test's."""
    tests = [
        found("spread_length_mm", "base", "quay sock", 0.6),
        found("spread_across_mm", "base", "Quay Sock", 0.3),
        found("strike_85_per_s", "base", "Quay Sock", 0.04),
    ]
    session = a_session()
    session = replace(session, parameters=replace(session.parameters, yarn=replace(session.parameters.yarn, held_g_g=6.0)))  # 2.5 mm of water and more in it
    own = with_tests(session, tests, base=BASE)
    assert along_and_across(own) == (pytest.approx(1.44e-4, rel=1e-6), pytest.approx(3.6e-5, rel=1e-6))
    assert len(own.notes) - len(session.notes) == 2
    assert all("your test of 2026-11-01" in note for note in own.notes[-2:])
    assert "1.4e-04 (" in own.notes[-1]
    assert (STILL_ASSUMED in own.assumed, ALL_ASSUMED in own.assumed) == (True, False)


def test_a_length_alone_keeps_the_strike_and_a_bound_only_holds_back() -> None:
    """A photo of a finished piece tells the length and neither D nor k: with k as it was, the length is what the photo says."""
    session = a_session()
    own = with_tests(session, [found("spread_length_mm", "base", "Quay Sock", 0.6)], base=BASE)
    assert own.dyes == session.dyes
    far, usual = along_and_across(own)[0], along_and_across(session)[0]
    yarn = session.parameters.yarn
    dye, phi = of_class("", "half-milling", kinds_of(BASE)), sites_at_own_ph()
    for d in (far, usual):
        assert d > 0
    soaked = min(1.0, yarn.soaked_cm / 0.25) ** 2
    assert (far / soaked / (dye.strike_per_s(85) * site_rate(phi, yarn.phi0, yarn.phi_half))) ** 0.5 == pytest.approx(0.06, rel=0.01)
    wide, tight = (with_tests(session, [found("spread_length_mm", "base", "Quay Sock", 0.2, 0.0, high)], base=BASE) for high in (4.0, 0.2))
    assert along_and_across(wide)[0] == pytest.approx(usual), "dye that goes no further than 4 mm may go as far as was assumed"
    assert along_and_across(tight)[0] < usual
    assert "at most 0.2 mm" in tight.notes[-1]


def sites_at_own_ph() -> float:
    """phi of wool at a half-milling dye's own pH 4.5 in 0.02 eq/L of anions: 7 % (core/bath's Donnan, checked in its own tests)."""
    from skeinwright.core.bath.fibre import WOOL_SITES_MOL_KG, donnan

    return donnan(10**-4.5, 0.02, WOOL_SITES_MOL_KG).filled


def test_every_dye_strikes_faster_by_the_same_factor() -> None:
    session = a_session(Step("sprinkle", {"dye": "Kelp", "amount": "0.1 g"}), Step("sprinkle", {"dye": "Ember", "amount": "0.1 g"}))
    own = with_tests(session, [found("strike_85_per_s", "base", "Quay Sock", 0.05), found("strike_85_per_s", "base", "Quay Sock", 0.9)], base=BASE)
    middling = of_class("", "half-milling", kinds_of(BASE)).strike_per_s(85) * site_rate(sites_at_own_ph())
    for before, after in zip(session.dyes, own.dyes, strict=True):
        for temp in (50.0, 85.0, 97.0):
            assert after.strike_per_s(temp) / before.strike_per_s(temp) == pytest.approx(0.05 / middling, rel=1e-6)


def test_grains_are_those_of_the_powder_there_is_most_of() -> None:
    session = a_session(
        Step("sprinkle", {"dye": "Kelp", "amount": "0.3 g"}),
        Step("sprinkle", {"dye": "Ember", "amount": "0.1 g"}),
        Step("sprinkle", {"dye": "Kelp", "amount": "0.1 g", "grain": "0.3 mm"}),
    )
    own = with_tests(session, powder_of("Kelp", 0.08, 1.4, 0.24), base=BASE)
    powder = own.parameters.powder
    assert (powder.grain_mm, powder.grain_sd, powder.footprint) == (0.08, 1.4, pytest.approx(3.0))
    assert [one.grain_mm for one in own.events if isinstance(one, Sprinkle)] == [None, session.parameters.powder.grain_mm, 0.3]
    assert "Ember has none" in own.notes[-1]
    both = with_tests(session, [*powder_of("Kelp", 0.08, 1.4, 0.24), *powder_of("ember", 0.2, 1.5, 0.4)], base=BASE)
    assert [one.grain_mm for one in both.events if isinstance(one, Sprinkle)] == [None, 0.2, 0.3]


def test_what_is_of_other_things_changes_nothing() -> None:
    session = a_session()
    others = [*powder_of("Ember", 0.1, 1.4, 0.3), found("strike_85_per_s", "base", "Other", 0.05), found("evaporation_factor", "vessel", "Other", 2)]
    assert with_tests(session, others, base=BASE, vessel="Wide pan") is session
    steams = with_tests(session, [found("evaporation_factor", "vessel", "wide pan", 2)], base=None, vessel="Wide pan")
    assert steams.parameters.pan.evaporation == 2
