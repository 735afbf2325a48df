"""What relaxing never changes: marks per gram, coverage, dye per gram, mass."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Origin
from skeinwright.core.shelf.items import Base
from skeinwright.core.yarn.count import tex_from_put_up
from skeinwright.core.yarn.relaxation import CLASSES, mark_factors, measured_relaxation, relaxation_of

KEPT, GROWN = st.floats(0.6, 1.1), st.floats(0.8, 1.6)


@settings(deadline=None, max_examples=100)
@given(KEPT, GROWN, st.floats(10.0, 500.0), st.floats(1e4, 1e6), st.integers(1, 10_000), st.floats(0.01, 50.0), st.floats(0.1, 3.0))
def test_conserved(kept: float, grown: float, mass_g: float, length_mm: float, marks: int, mark_mm2: float, strand_mm: float) -> None:
    """Worked out on the yarn itself: a cylinder of length L and diameter D that carries marks of known area, before and after."""
    factors = mark_factors(kept, grown)
    surface, surface_after = length_mm * strand_mm, length_mm * kept * strand_mm * grown
    per_surface, per_surface_after = marks / surface, marks / surface * factors.per_surface
    assert per_surface_after * surface_after == pytest.approx(per_surface * surface, rel=1e-12)
    assert marks / mass_g * factors.per_gram == marks / mass_g
    covered, covered_after = marks * mark_mm2 / surface, marks * mark_mm2 * factors.area / surface_after
    assert covered_after == pytest.approx(covered * factors.coverage, rel=1e-12)
    tex = tex_from_put_up(mass_g, length_mm)
    assert tex * factors.tex * length_mm * kept == pytest.approx(tex * length_mm, rel=1e-12)
    assert factors.packing * surface_after * strand_mm * grown == pytest.approx(surface * strand_mm, rel=1e-12)


@settings(deadline=None, max_examples=60)
@given(st.floats(200.0, 3000.0), st.floats(0.75, 1.0), st.floats(10.0, 40.0), st.floats(1.0, 1.4))
def test_a_measured_pair_comes_back(wet_mm: float, kept: float, dry_wraps: float, grown: float) -> None:
    found = measured_relaxation(wet_mm, wet_mm * kept, dry_wraps * grown, dry_wraps)
    assert found.length.value == pytest.approx(kept, rel=1e-9)
    assert found.width.value == pytest.approx(grown, rel=1e-9)
    assert found.length.low < found.length.value < found.length.high
    assert found.length.origin is Origin.MEASURED


@pytest.mark.parametrize("twist", ["soft", "medium", "high", "180 turns per metre"])
@pytest.mark.parametrize("plies", [None, 1, 2, 4, 8])
def test_every_base_has_a_class_until_it_is_measured(twist: str, plies: int | None) -> None:
    base = Base(name="Drift", fibres=(("wool", 1.0),), skein_g=100.0, length_mm=400_000.0, plies=plies, twist=twist)
    found = relaxation_of(base)
    assert found.words in CLASSES
    assert found.length.origin is found.width.origin is Origin.ASSUMED
    assert len(found.assumed) == 3
    measured = relaxation_of(Base(name="Drift", fibres=(("wool", 1.0),), skein_g=100.0, length_mm=4e5, relax_length=0.93, relax_width=1.1))
    assert measured.length.value == 0.93
    assert len(measured.assumed) == 1


def test_a_slip_is_refused() -> None:
    with pytest.raises(BadInput, match="misread"):
        measured_relaxation(1000.0, 100.0, 20.0, 18.0)
