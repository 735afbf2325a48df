"""What the yarn pages and their commands ask: a base laid open and measured, a colourway knitted, stripes planned and kept, the reach in a pan."""

from __future__ import annotations

from math import exp
from types import MappingProxyType

import pytest

from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, NotFound
from skeinwright.core.foundations.estimate import Origin
from skeinwright.core.shelf.items import Base
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.describe_base import BaseRequest, describe_base
from skeinwright.services.draw_knitted import KnittedPicture, draw_knitted
from skeinwright.services.draw_pan import draw_pan
from skeinwright.services.get_from_shelf import get_from_shelf
from skeinwright.services.keep_relaxing import TEST, keep_relaxing
from skeinwright.services.keep_stripes import keep_stripes
from skeinwright.services.keep_swatch import keep_swatch
from skeinwright.services.keep_wet_strand import keep_wet_strand, wet_waiting
from skeinwright.services.knit_colourway import KnittingRequest, knit_colourway
from skeinwright.services.list_calibrations import list_calibrations
from skeinwright.services.make_winding_sheet import make_winding_sheet
from skeinwright.services.plan_stripes import Band, StripePlanRequest, plan_stripes
from skeinwright.services.reach_in_pan import ReachRequest, reach_in_pan
from skeinwright.services.save_colourway import save_colourway
from skeinwright.services.set_up_studio import set_up_studio
from skeinwright.services.skein_to_knit import skein_to_knit
from skeinwright.services.studio import Studio
from skeinwright.services.undo_change import undo_change
from skeinwright.services.work_out_relaxing import RelaxingRequest


@pytest.fixture
def demo(studio: Studio) -> Studio:
    """The invented studio, with a base on which washing changes nothing, so that hand calculations hold."""
    set_up_studio(studio, demo=True)
    said = {"name": "Stone", "fibres": "wool", "skein_g": "100 g", "length_mm": "400 m", "round_mm": "1.5 m", "plies": "4", "twist": "high"}
    add_to_shelf(studio, "base", {**said, "relax_length": "100 %", "relax_width": "100 %"})
    return studio


def painted(studio: Studio, name: str = "Two Shores", base: str = "Stone") -> int:
    steps = [
        ("lay in", {"width": "12 cm"}),
        ("paint", {"dye": "Kelp", "amount": "0.6 g", "over": "0-75 cm"}),
        ("paint", {"dye": "Gorse", "amount": "0.4 g", "over": "75-150 cm"}),
        ("steam", {"time": "30 min"}),
    ]
    made = tuple(Step(do, MappingProxyType(said)) for do, said in steps)
    return save_colourway(studio, Colourway(name=name, steps=made, fibre="100 g", bases=(base,)))[0].id


def test_a_base_in_every_unit(demo: Studio) -> None:
    """100 g in 400 m: 250 tex, Nm 4, 1984.22 yd/lb (definitions); R = tan^2(alpha/2) at the plies' slope; regain offered for the blend as weighed."""
    found = describe_base(demo, BaseRequest(base="quay sock", beside=("Heron Two",), label="8 ply", weighed="115 g"))
    assert (found.counts.tex, found.counts.nm) == (pytest.approx(250.0), pytest.approx(4.0))
    assert found.counts.yd_per_lb == pytest.approx(1984.22, abs=0.01)
    assert found.label is not None
    assert not found.label.fits
    assert found.regain.sentence.startswith("Weighed as it is, 115 g")
    assert [other.thing.name for other, _ in found.beside] == ["Heron Two"]
    assert found.relaxing.length.origin is Origin.ASSUMED
    assert found.to_plain()["marks"]["per_gram"] == 1.0
    # 75 % wool that grows by 8-14-17 % and 25 % nylon by 1.9-2-2.6 % (source: morton-hearle) on a slope of 30 degrees: sqrt(1 + tan^2 a - g^2 tan^2 a)
    wet = found.to_plain()["wet_length"]
    assert [wet["low"], wet["value"], wet["high"]] == pytest.approx([0.9512, 0.9606, 0.9775], abs=1e-3)
    assert not found.build.twist_known
    wrong = describe_base(demo, BaseRequest(base="Quay Sock", label="many", weighed="heavy")).wrong
    assert set(wrong) == {"label", "weighed"}
    with pytest.raises(NotFound):
        describe_base(demo, BaseRequest(base="Nowhere"))


def test_washing_is_measured_kept_and_taken_back(demo: Studio) -> None:
    """1 m wet and 94 cm dry, 22 and 20 wraps: 0.94 and 1.1; their spread goes with them to the base page; Undo takes both tests and the base back."""
    asked = RelaxingRequest(wet_length="1 m", dry_length="94 cm", wet_wraps="22", dry_wraps="20")
    kept, changes, _ = keep_relaxing(demo, "Quay Sock", asked)
    assert isinstance(kept.thing, Base)
    assert (kept.thing.relax_length, kept.thing.relax_width) == (0.94, 1.1)
    tests = list_calibrations(demo, of_kind="base", of="Quay Sock")
    assert {one.thing.quantity for one in tests} == {"relax_length", "relax_width"}
    assert {one.thing.test for one in tests} == {TEST}
    sheet = describe_base(demo, BaseRequest(base="Quay Sock"))
    assert sheet.relaxing.length.origin is Origin.MEASURED
    assert sheet.relaxing.length.low < 0.94 < sheet.relaxing.length.high
    assert sheet.relaxing.width.high - sheet.relaxing.width.low > 0.05, "half a wrap in twenty is the larger doubt"
    for change in reversed(changes):
        undo_change(demo, change.id)
    back = get_from_shelf(demo, "base", "Quay Sock").thing
    assert isinstance(back, Base)
    assert back.relax_length is None
    assert not list_calibrations(demo, of_kind="base", of="Quay Sock")


def test_one_pair_leaves_the_other_as_it_was(demo: Studio) -> None:
    kept, _, found = keep_relaxing(demo, "Quay Sock", RelaxingRequest(wet_width="1.20 mm", dry_width="1.32 mm"))
    assert isinstance(kept.thing, Base)
    assert found.length is None
    assert (kept.thing.relax_length, kept.thing.relax_width) == (None, 1.1)


def test_a_measurement_that_cannot_be_is_told_at_its_field(demo: Studio) -> None:
    for asked, where in (
        ({}, "wet_length"),
        ({"wet_length": "1 m"}, "dry_length"),
        ({"dry_wraps": "20"}, "wet_wraps"),
        ({"wet_length": "1 m", "dry_length": "10 cm"}, "dry_length"),
        ({"wet_wraps": "50", "dry_wraps": "10"}, "dry_wraps"),
        ({"wet_length": "a lot", "dry_length": "1 m"}, "wet_length"),
    ):
        with pytest.raises(BadInput) as told:
            keep_relaxing(demo, "Quay Sock", RelaxingRequest(**asked))
        assert told.value.where == where
        assert not list_calibrations(demo, of_kind="base", of="Quay Sock")


def test_the_wet_half_waits_for_the_dry_half(demo: Studio) -> None:
    keep_wet_strand(demo, "Quay Sock", RelaxingRequest(wet_length="1 m", wet_wraps="22"))
    kept = [one.thing for one in list_calibrations(demo, of_kind="base", of="Quay Sock")]
    assert wet_waiting(kept) == {"wet_length": "1 m", "wet_wraps": "22"}
    keep_relaxing(demo, "Quay Sock", RelaxingRequest(wet_length="1 m", dry_length="95 cm"))
    kept = [one.thing for one in list_calibrations(demo, of_kind="base", of="Quay Sock")]
    assert wet_waiting(kept) == {"wet_wraps": "22"}
    with pytest.raises(BadInput, match="wet strand"):
        keep_wet_strand(demo, "Quay Sock", RelaxingRequest(dry_length="95 cm"))


def test_a_colourway_knits_up_as_worked_out_by_hand(demo: Studio) -> None:
    """1.5 m round that keeps its length, 30 sts/10 cm (Munden: 13.667 mm): q 109.756; 110 stitches shift by +0.244 and stack, 64 scatter.

    A panel of 64 stitches and 10 rows takes 64 x 10 x 13.667 mm = 8.75 m, and for its edges 7.5 widths of 64/3 mm and 30 cm."""
    number = painted(demo)
    found = knit_colourway(demo, KnittingRequest(colourway=number, gauge="30 sts/10cm", stitches="110", step="1"))
    assert found.chosen.stitches_per_repeat == pytest.approx(109.756, abs=1e-3)
    assert found.chosen.shift == pytest.approx(0.244, abs=1e-3)
    assert found.chosen.verdict == "stacks"
    assert [one.stitches for one in found.strips] == list(range(107, 114))
    assert not found.warnings, "the length is measured, so there is nothing to warn of"
    panel = knit_colourway(demo, KnittingRequest(colourway="two shores", ravelled="273.34 mm", piece="panel", stitches="64", rows="10"))
    assert panel.stitch_measured
    assert panel.piece.yarn_mm == pytest.approx(8747.0, abs=1.0)
    assert panel.piece.edges_mm == pytest.approx(7.5 * 640 / 3.0 + 300.0, rel=1e-3)
    assert panel.piece.mass_g == pytest.approx(100.0 * (8747.0 + 1900.0) / 400_000.0, rel=1e-3)
    assert panel.flat


def test_a_kept_swatch_counts_until_a_gauge_is_typed(demo: Studio) -> None:
    """20 stitches that gave 27.4 cm: 13.7 mm each; the gauge 22 sts/10 cm is 18.636 mm (Munden's table)."""
    number = painted(demo)
    kept, change = keep_swatch(demo, "Stone", "27.4 cm")
    assert kept.thing.low < 13.7 < kept.thing.high
    found = knit_colourway(demo, KnittingRequest(colourway=number))
    assert (found.stitch_mm, found.stitch_measured) == (pytest.approx(13.7), True)
    assert knit_colourway(demo, KnittingRequest(colourway=number, gauge="22 sts/10cm")).stitch_mm == pytest.approx(18.636, abs=1e-3)
    planned = plan_stripes(demo, StripePlanRequest(base="Stone", bands=[Band(dye="Kelp", depth="1 %", rows="10")], waste="0 %"))
    assert planned.sheet.plan.loop_mm == pytest.approx(64 * 10 * 13.7)
    undo_change(demo, change.id)
    assert not knit_colourway(demo, KnittingRequest(colourway=number)).stitch_measured
    with pytest.raises(BadInput, match="no hand knitting"):
        keep_swatch(demo, "Stone", "27.4 m")
    with pytest.raises(BadInput, match="whole number"):
        keep_swatch(demo, "Stone", "27.4 cm", "some")


def test_a_piece_that_has_to_fit_is_as_large_at_any_gauge(demo: Studio) -> None:
    """64 stitches at 30 in 10 cm are 21.3 cm round (division); a thicker yarn takes fewer. What is typed is kept."""
    number = painted(demo)
    fine, thick = (knit_colourway(demo, KnittingRequest(colourway=number, gauge=gauge)) for gauge in ("30 sts/10cm", "20 sts/10cm"))
    assert (fine.chosen.stitches, thick.chosen.stitches) == (64, 44)
    assert fine.piece.wide_mm == pytest.approx(thick.piece.wide_mm, rel=0.06)
    assert "44 stitches: a sock of 21 cm round, until you say how many." in thick.assumed
    assert fine.piece.pair_skeins == 1
    typed = knit_colourway(demo, KnittingRequest(colourway=number, gauge="20 sts/10cm", stitches="64"))
    assert typed.chosen.stitches == 64
    assert typed.piece.pair_skeins == 2
    assert not any("until you say how many" in one for one in typed.assumed)


def test_what_is_not_measured_is_said(demo: Studio) -> None:
    number = painted(demo, base="Quay Sock")
    found = knit_colourway(demo, KnittingRequest(colourway=number, gauge="30 sts/10cm", stitches="105", step="1"))
    assert any("not measured yet (92 to 99 % kept)" in sentence for sentence in found.of_length)


def test_knitting_that_cannot_be_read_is_told_at_its_field(demo: Studio) -> None:
    number = painted(demo)
    for asked, where in (
        ({"gauge": "tight"}, "gauge"),
        ({"stitches": "9"}, "stitches"),
        ({"step": "x"}, "step"),
        ({"alternate": "99"}, "alternate"),
        ({"ravelled": "2 km"}, "ravelled"),
        ({"base": "Nowhere"}, "base"),
        ({"piece": "tent"}, "piece"),
    ):
        with pytest.raises(BadInput) as told:
            knit_colourway(demo, KnittingRequest(colourway=number, **asked))  # type: ignore[arg-type]
        assert told.value.where == where


def test_pictures_of_knitting(demo: Studio) -> None:
    number = painted(demo)
    skein = skein_to_knit(demo, _colourway(demo, number), "Stone")
    assert not skein.is_even
    assert skein.path.round_mm == pytest.approx(1500.0, rel=1e-3)
    pictures = [draw_knitted(demo, KnittedPicture(colourway=number, base="Stone", what=what, stitches=40, rows=20)) for what in ("strip", "patch", "piece")]
    assert all(one.startswith(b"\x89PNG") for one in pictures)
    again = draw_knitted(demo, KnittedPicture(colourway=number, base="Stone", what="piece", stitches=40, rows=20))
    assert again == pictures[2]
    with pytest.raises(BadInput):
        draw_knitted(demo, KnittedPicture(colourway=number, what="tower"))


def _colourway(studio: Studio, number: int) -> Colourway:
    from skeinwright.services.get_colourway import get_colourway

    return get_colourway(studio, number).thing


STRIPES = StripePlanRequest(
    base="Stone",
    bands=[Band(dye="Kelp", depth="1 %", rows="10"), Band(dye="", depth="", rows="2"), Band(dye="Gorse", depth="2 %", rows="8")],
    gauge="30 sts/10cm",
    waste="0 %",
)


def test_stripes_are_kept_as_painted_bands(demo: Studio) -> None:
    """Ten rounds of 64 stitches are 8.747 m (Munden), so the loop is 2 x 8.747 m and Kelp lies on the first half of it: 1 % of 50 g is 0.5 g,
    50 ml of a 1 % solution; Gorse on the last 0.4: 2 % of 40 g is 80 ml. Half of each goes on one side, half on the other when it has been turned."""
    planned = plan_stripes(demo, STRIPES)
    assert planned.sheet.plan.loop_mm == pytest.approx(2 * 8746.7, abs=1.0)
    assert planned.bands[1].srgb is not None
    kept, change = keep_stripes(demo, "Harbour Lights", STRIPES)
    assert change is not None
    steps = kept.thing.steps
    assert steps[0].do == "re-skein"
    turned = [step.do for step in steps].index("turn")
    for side in (steps[:turned], steps[turned:]):
        painted_on = {step.get("solution"): (step.get("amount"), step.get("over")) for step in side if step.do == "paint"}
        assert painted_on == {"Kelp 1 %": ("25.0 ml", "0.0-874.7 cm"), "Gorse 1 %": ("40.0 ml", "1049.6-1749.3 cm")}
    knitted = knit_colourway(demo, KnittingRequest(colourway=kept.id, gauge="30 sts/10cm", stitches="64"))
    assert knitted.chosen.seen == "stripes"
    assert knitted.chosen.rounds_per_repeat == pytest.approx(20.0, abs=0.01)
    skein = skein_to_knit(demo, kept.thing, "Stone")
    assert skein.path.round_mm == pytest.approx(17_493.0, rel=1e-3)
    white = skein.colours[:, :, int(0.53 * skein.colours.shape[2]) : int(0.57 * skein.colours.shape[2])].mean(axis=(0, 1, 2))
    assert white.min() > 0.5, "the two undyed rounds stay white"
    for low, high in ((0.1, 0.4), (0.7, 0.9)):
        upper, under = (face[:, int(low * face.shape[1]) : int(high * face.shape[1])].mean(axis=(0, 1)) for face in skein.colours)
        assert abs(upper - under).max() < 0.05, "both sides were painted: every stripe comes out alike"


def test_a_kept_self_striping_skein_is_mapped_on_the_long_loop(demo: Studio) -> None:
    """Every view reads one map of the whole loop: dye stands in its own band alone, and the steps' grams are on the yarn or in the liquor."""
    from skeinwright.services.draw_laid import draw_laid
    from skeinwright.services.map_colourway import map_colourway

    kept, _ = keep_stripes(demo, "Harbour Lights", STRIPES)
    laid = map_colourway(demo, kept.thing, base="Stone")
    assert laid.how == "quick"
    assert laid.stopped_at is None
    assert laid.skein.round_mm == pytest.approx(17_493.0, rel=1e-3)
    assert laid.skein.cells <= 4096
    assert any("places of 4.3 mm" in sentence for sentence in laid.notes), "coarser along, and said so"
    cells = laid.skein.cells
    kelp, gorse = (laid.skein.dye[laid.skein.names.index(name)].mean(axis=(0, 1)) for name in ("Kelp", "Gorse"))
    assert kelp[: int(0.49 * cells)].sum() > 0.97 * kelp.sum()
    assert gorse[int(0.61 * cells) : int(0.99 * cells)].sum() > 0.95 * gorse.sum()
    assert laid.run is not None
    assert laid.skein.mean()["Kelp"] * 100.0 == pytest.approx(0.5, rel=0.05), "0.5 g of Kelp on 100 g of yarn"
    for view in ("in the pan", "laid open", "re-skeined"):
        assert draw_laid(demo, laid.key, view=view, size="thumb").startswith(b"\x89PNG")


def test_dye_painted_by_weight_is_taken_as_dissolved(demo: Studio) -> None:
    """A dye without a solution on the shelf: 1 g in 100 ml (common practice), said among what is assumed; half of the dye reaches each side."""
    from skeinwright.services.map_colourway import map_colourway

    kept, _ = keep_stripes(
        demo, "Two Grams", StripePlanRequest(base="Stone", bands=[Band(dye="Ember", depth="1 %", rows="8"), STRIPES.bands[1]], gauge="30 sts/10cm")
    )
    laid = map_colourway(demo, kept.thing, base="Stone")
    assert any("1 g in 100 ml" in sentence for sentence in laid.assumed)
    upper, under = laid.skein.dye[0].mean(axis=(1, 2))
    assert upper == pytest.approx(under, rel=0.15)


def test_a_winding_sheet_is_a_page(demo: Studio) -> None:
    made = make_winding_sheet(demo, STRIPES)
    assert made.startswith(b"%PDF")
    assert made == make_winding_sheet(demo, STRIPES)


def test_a_stripe_that_cannot_be_is_told_at_its_field(demo: Studio) -> None:
    for band, where in (
        (Band(dye="Nothing", depth="1 %", rows="8"), "dye.0"),
        (Band(dye="Kelp", depth="70 %", rows="8"), "depth.0"),
        (Band(dye="Kelp", depth="1 %", rows="none"), "rows.0"),
        (Band(dye="Kelp", depth="1 %", rows="0"), "rows.0"),
    ):
        with pytest.raises(BadInput) as told:
            plan_stripes(demo, StripePlanRequest(base="Stone", bands=[band], gauge="30 sts/10cm"))
        assert told.value.where == where
        with pytest.raises((BadInput, ManyBadInputs)):
            plan_stripes(demo, StripePlanRequest(base="Nowhere", bands=[band], gauge=""))


def test_the_reach_in_a_pan_by_hand(demo: Studio) -> None:
    """400 m on 1.5 m are 266.7 strands. A limb is laid as wide as the pan has room for; E = (1 - e^-mu)/mu."""
    found = reach_in_pan(demo, ReachRequest(base="Stone", vessel="Long pan", width="6 cm", goal="40 %", shuffles="2"))
    mu = 400_000.0 / 1500.0 * found.strand_mm / found.lay.breadth_mm
    share = (1.0 - exp(-mu)) / mu
    assert found.reach.mu == pytest.approx(mu)
    assert found.reached == pytest.approx(1.0 - (1.0 - share) ** 2)
    assert found.reached_range[0] < found.reached < found.reached_range[1]
    assert found.covered[0] == pytest.approx(0.30 * found.reached)
    one = reach_in_pan(demo, ReachRequest(base="Stone", vessel="Long pan", width="6 cm", turned=False))
    assert one.reached == pytest.approx(share / 2.0)
    wide = reach_in_pan(demo, ReachRequest(base="Stone", vessel="Long pan", width="90 cm"))
    assert wide.warnings
    assert wide.lay.breadth_mm <= wide.widest_mm + 1e-9
    assert draw_pan(demo, ReachRequest(base="Stone", vessel="Long pan", width="6 cm")).startswith(b"\x89PNG")


def test_a_reach_that_cannot_be_read_is_told_at_its_field(demo: Studio) -> None:
    for asked, where in (
        ({"width": "3 m"}, "width"),
        ({"goal": "120 %"}, "goal"),
        ({"base": "Nowhere"}, "base"),
        ({"vessel": "Nowhere"}, "vessel"),
        ({"shuffles": "99"}, "shuffles"),
    ):
        with pytest.raises(BadInput) as told:
            reach_in_pan(demo, ReachRequest(**asked))  # type: ignore[arg-type]
        assert told.value.where == where
