"""Bases explained, and measured, through the services."""

from __future__ import annotations

import pytest

from skeinwright.core.foundations.errors import BadInput, NotFound
from skeinwright.core.foundations.estimate import Origin
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.explain_bases import explain_bases
from skeinwright.services.studio import Studio
from skeinwright.services.work_out_relaxing import RelaxingRequest, work_out_relaxing


def test_two_bases_of_the_shelf(studio: Studio) -> None:
    for name, length in (("Quay Sock", "400 m"), ("Fell Two", "200 m")):
        add_to_shelf(studio, "base", {"name": name, "fibres": "100 % wool", "skein_g": "100 g", "length_mm": length})
    assert any("Quay Sock's strand is thinner" in sentence for sentence in explain_bases(studio, "Quay Sock", "Fell Two").sentences)
    with pytest.raises(NotFound):
        explain_bases(studio, "Quay Sock", "Nowhere")


def test_a_measured_base() -> None:
    found = work_out_relaxing(RelaxingRequest(wet_length="1 m", dry_length="94 cm", wet_wraps="22", dry_wraps="20"))
    assert found.length.value == pytest.approx(0.94)
    assert found.width.value == pytest.approx(1.1)
    assert found.length.origin is Origin.MEASURED
    with pytest.raises(BadInput, match="dry length"):
        work_out_relaxing(RelaxingRequest(wet_length="1 m", dry_length="", wet_wraps="22", dry_wraps="20"))
