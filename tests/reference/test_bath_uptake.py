"""How much dye goes on at rest: algebra of the isotherms, the one published exhaustion, and the signs that textbooks give."""

from __future__ import annotations

import numpy as np
import pytest

from skeinwright.core.bath.acids import VINEGAR
from skeinwright.core.bath.classes import CLASSES, REFERENCE_ANIONS_EQ_L
from skeinwright.core.bath.fibre import WOOL_SITES_MOL_KG, donnan
from skeinwright.core.bath.isotherm import crowding, dual_mode, exhaustion_at_rest, nernst_exhaustion, partition
from skeinwright.core.bath.pot_run import AddAcid, AddDye, AddWater, DyeInPot, FibreInPot, LayIn, PotRun
from skeinwright.core.bath.process import process
from skeinwright.core.bath.waters import stated_alkalinity


@pytest.mark.parametrize(("kp", "ratio", "share"), [(200, 20, 0.9091), (200, 40, 0.8333), (200, 5, 0.9756), (570, 30, 0.95)])
def test_nernst(kp: float, ratio: float, share: float) -> None:
    """E = Kp/(Kp + L): algebra."""
    assert nernst_exhaustion(kp, ratio) == pytest.approx(share, abs=1e-4)


@pytest.mark.parametrize(("dose", "share"), [(1, 0.9517), (10, 0.9440), (40, 0.8904), (80, 0.6729), (1e-9, 0.9524)])
def test_langmuir_in_a_finite_bath(dose: float, share: float) -> None:
    """S 60 g/kg, b 10 L/g, L 30: the quadratic's positive root, worked out apart; for a trace S b/(S b + L)."""
    assert exhaustion_at_rest(dose, 30, 600, 60, 0.0) == pytest.approx(share, abs=1e-4)


@pytest.mark.parametrize("share", [0.0, 0.1, 0.9])
def test_the_root_is_on_the_isotherm(share: float) -> None:
    """q(c) + L c = q0, put back into the law."""
    for dose in (0.5, 20, 100):
        on = exhaustion_at_rest(dose, 30, 800, 60, share) * dose
        assert dual_mode((dose - on) / 30, 800, 60, share) == pytest.approx(on, rel=1e-9)


def filled(ph: float, anions: float = REFERENCE_ANIONS_EQ_L) -> float:
    return donnan(10**-ph, anions, WOOL_SITES_MOL_KG).filled


@pytest.mark.parametrize("name", [name for name in CLASSES if name != "1:1 premetallised"])
def test_a_class_has_the_partition_it_says(name: str) -> None:
    """At its own and the other pH, 95 C, in 0.02 eq/L: the law goes through both figures of the table (assumed ones)."""
    one = CLASSES[name]
    for ph, kp in ((one.own_ph, one.kp_own.value), (one.other_ph, one.kp_other)):
        found = partition(one.ionic, one.neutral, filled(ph), one.sulphonates, REFERENCE_ANIONS_EQ_L, 95.0)
        assert float(found) == pytest.approx(kp, rel=1e-9)


def test_heat_of_dyeing() -> None:
    """van 't Hoff, -20 kJ/mol: 40 C over 95 C is exp(20000/8.314 (1/313.15 - 1/368.15)) = 3.15."""
    hot, cold = (float(partition(1e4, 10, 0.1, 1, 0.02, temp)) for temp in (95.0, 40.0))
    assert cold / hot == pytest.approx(np.exp(20000 / 8.314462618 * (1 / 313.15 - 1 / 368.15)), rel=1e-9)


def test_what_glaubers_salt_does() -> None:
    """Broadbent (2001), p. 244-246: it holds levelling dyes back below pH 4.5, and drives milling dyes on at pH 6. Signs only; the sizes are assumed."""

    def kp(name: str, ph: float, anions: float) -> float:
        one = CLASSES[name]
        return float(partition(one.ionic, one.neutral, filled(ph, anions), one.sulphonates, anions, 95.0))

    assert kp("levelling", 3.0, 0.1) < kp("levelling", 3.0, 0.02)
    assert kp("milling", 6.0, 0.1) > kp("milling", 6.0, 0.02)


def test_dyes_crowd_each_other() -> None:
    """Langmuir for two dyes that share sites: each alone gives q, both together fill no more than the sites."""
    c, kp, top = np.full((1, 2, 1), 10.0), np.full((1, 2, 1), 1e4), np.full((1, 2, 1), 60.0)
    crowd = crowding(c, kp, top, 0.0)
    together = (kp * c / crowd).sum()
    assert together == pytest.approx(60, rel=2e-3)
    assert dual_mode(10.0, 1e4, 60.0, 0.0) == pytest.approx(60, rel=2e-3)


def buffered(dye: str, depth: float, ratio: float) -> PotRun:
    """The published lab profile on 100 g of wool, in an acetate buffer of 0.09 mol/l near pH 4.2.

    23 C 10 min; 1 C/min to 60, 10 min; 1 C/min to 90, 30 min.
    """
    minute = 60.0
    points = ((0, 23), (10, 23), (47, 60), (57, 60), (87, 90), (117, 90))
    litres = ratio / 10
    return PotRun(
        fibres=(FibreInPot(base="wool", kind="wool", mass_g=100),),
        dyes=(DyeInPot(name="Kelp", dye_class=dye),),
        events=(
            AddWater(at_s=0, volume_ml=1000 * litres),
            AddAcid(at_s=0, acid=VINEGAR, amount=105 * litres),
            AddDye(at_s=0, grams=(("Kelp", 100 * depth),)),
            LayIn(at_s=0),
        ),
        programme=tuple((minute * time, temp) for time, temp in points),
        alkalinity=stated_alkalinity(1000),
    )


def test_levelling_dyes_by_a_published_profile() -> None:
    """Four mono- and disulphonated levelling dyes (CI Acid Red 1, Yellow 17, Blue 45, Black 1), 3 %, 30:1, acetate buffer of pH 4.0-4.5: 95 % or more went on.

    Trade press (rangudhyog, id 333, read). The class's partition was set so that this comes out: it is an anchor, and no proof of the rest.
    """
    course = process(buffered("levelling", 0.03, 30))
    assert 4.0 <= course.ph.centre[0] <= 4.5
    assert course.ph.centre[-1] <= 4.5
    assert course.uptake["Kelp"].centre[-1] >= 0.95


def blend(depth: float) -> dict[str, float]:
    run = PotRun(
        fibres=(FibreInPot(base="sock", kind="wool", mass_g=75), FibreInPot(base="sock", kind="nylon", mass_g=25)),
        dyes=(DyeInPot(name="Kelp", dye_class="half-milling"),),
        events=(
            AddWater(at_s=0, volume_ml=2000),
            AddAcid(at_s=0, acid=VINEGAR, amount=60),
            AddDye(at_s=0, grams=(("Kelp", 100 * depth),)),
            LayIn(at_s=0),
        ),
        programme=((0, 40), (3000, 90), (8000, 95), (20000, 95)),
        alkalinity=stated_alkalinity(50),
    )
    found = process(run).by_fibre[0]
    return {"wool": float(found[0]), "nylon": float(found[1])}


def test_nylon_is_darker_in_pale_shades_and_wool_in_deep_ones() -> None:
    """The cross-over of wool/nylon dyeing, half a per cent and three on 25 % nylon: Shore, Blends Dyeing (from memory), so the sign alone."""
    pale, deep = blend(0.005), blend(0.03)
    assert pale["nylon"] > pale["wool"]
    assert deep["wool"] > deep["nylon"]
    trace = blend(0.001)
    assert trace["nylon"] / trace["wool"] > pale["nylon"] / pale["wool"]
