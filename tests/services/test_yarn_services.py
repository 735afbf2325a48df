"""Bases explained, and measured, through the services."""

from __future__ import annotations

import pytest

from skeinwright.core.foundations.errors import BadInput, NotFound
from skeinwright.core.foundations.estimate import Origin
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.draw_picture import PictureRequest
from skeinwright.services.draw_strips import draw_strips
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
    assert found.length is not None
    assert found.width is not None
    assert found.length.value == pytest.approx(0.94)
    assert found.width.value == pytest.approx(1.1)
    assert found.length.origin is Origin.MEASURED
    assert found.factors is not None
    assert found.factors.equivalent_diameter == pytest.approx((0.94 * 1.1) ** 0.5)
    with pytest.raises(BadInput, match="dry_length"):
        work_out_relaxing(RelaxingRequest(wet_length="1 m", dry_length="", wet_wraps="22", dry_wraps="20"))


COLOURWAY = b"""
name = "Two Shores"
[base]
wool = 1.0
skein = "100 g"
length = "400 m"
round = "1.5 m"
plies = 4
twist = "high"
relax_length = "100 %"
relax_width = "100 %"
[[dye]]
name = "Kelp"
swatches = "swatches.csv"
[[step]]
do = "paint"
dye = "kelp"
amount = "0.4 g"
over = "0-70 cm"
"""


def test_strips_come_with_their_verdicts() -> None:
    """110 stitches at 30 in 10 cm stack on 1.5 m round, 64 scatter (worked out by hand in the notes on pooling); a name in small letters is the same dye."""
    swatches = {"swatches.csv": b"dye,depth_pct,L,a,b\nKelp,1,42,-16,8\n"}
    request = PictureRequest(document=COLOURWAY, swatches=swatches, gauge="30 sts/10cm")
    found = draw_strips(request, (64, 110))
    assert [one.verdict for one in found.each] == ["scatters", "stacks"]
    assert found.png.startswith(b"\x89PNG")
    assert "64 stitches: Colours scatter" in found.words
    with pytest.raises(BadInput, match="stitch counts"):
        draw_strips(request, ())
