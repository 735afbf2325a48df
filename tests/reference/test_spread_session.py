"""A whole session held against common practice. No source: it is what dyers who speckle in rounds say of it, not a measurement.

Two skeins of superwash wool in a wide pan, vinegar in the soak, three dyes of class half-milling sprinkled in three rounds at 80 C with ten minutes and a
turn after
each, ten minutes more at 88 C (data/three_rounds.toml). Whatever the steps do not say stands at the program's own defaults.
"""

from __future__ import annotations

import tomllib
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from invented_dyes import UNDYED, invented, ladder
from skeinwright.core.colour.difference import ciede2000
from skeinwright.core.colour.mixing import mix
from skeinwright.core.colour.recover import recover
from skeinwright.core.colour.spaces import spectrum_to_lab
from skeinwright.core.colourway.document import read_colourway_document
from skeinwright.core.forecast.dyeing import fit_dyes
from skeinwright.core.spread.events import AddWater, Event, Heat, Session, Sprinkle, Turn, Wait
from skeinwright.core.spread.figures import Figures, figures_of
from skeinwright.core.spread.grid import panel
from skeinwright.core.spread.session import session_of
from skeinwright.core.spread.stepper import Spreading, full

FILE = Path(__file__).parent / "data" / "three_rounds.toml"
PANEL = panel(128, 0.03)
SEEDS = (1, 2, 3)


@cache
def _session() -> Session:
    return session_of(read_colourway_document(tomllib.loads(FILE.read_text())))


@cache
def _run(seed: int) -> Spreading:
    return full(_session(), PANEL, seed)


def _lab(result: Spreading) -> np.ndarray:
    """Colour of both faces, cell by cell, with three invented dyes."""
    rng = np.random.default_rng(4)
    dyes = [ladder(name, invented(rng), (0.1, 0.5, 2)) for name in _session().names]
    models = fit_dyes(dyes, {"Quay Sock": UNDYED})
    layers = np.array([models[name].ks_at(plane.ravel().astype(float)) for name, plane in zip(_session().names, result.dye, strict=True)])
    return spectrum_to_lab(mix(recover(UNDYED).reflectance, layers))


def test_liquor_is_left_and_holds_no_dye() -> None:
    result = _run(1)
    assert result.liquor_left_ml > 200
    assert (result.ledger.on_fibre >= 0.97).all()
    assert result.ledger.error < 5e-6


def test_more_water_afterwards_changes_nothing_visible() -> None:
    after = (AddWater(1900.0), AddWater(950.0), Wait(600.0))
    later = full(replace(_session(), events=(*_session().events, *after)), PANEL, 1)
    change = ciede2000(_lab(_run(1)), _lab(later))
    assert np.percentile(change, 99) < 1.0
    assert change.mean() < 0.3


def _only(round_: int, times: float = 1.0) -> Session:
    """The session with the powder of one round alone (first is 0): the same seed then throws the same grains, whichever round it is."""
    kept: list[Event] = []
    turns = 0
    for event in _session().events:
        if isinstance(event, Sprinkle) and turns == round_:
            kept.append(replace(event, dyes_mg=tuple(times * mg for mg in event.dyes_mg)))
        elif not isinstance(event, Sprinkle):
            kept.append(event)
        turns += isinstance(event, Turn)
    return replace(_session(), events=tuple(kept))


def _figures(result: Spreading, turned: bool) -> Figures:
    """With the side that was sprinkled in front."""
    return figures_of(result.dye.sum(axis=0)[:: -1 if turned else 1], result.grid, _session().laid.half_mg_cm2)


@pytest.mark.parametrize("seed", SEEDS)
def test_later_rounds_are_sharper(seed: int) -> None:
    """The same grains in the third round fall on less water than in the first: more contrast, less on the other side, and narrower at all.

    Sharper is what dyers see, and contrast shows it; the half-width is 8 % less only, as it is that of the largest grains' stains, whatever the water.
    """
    first, last = _first_and_last(seed)
    assert last.contrast > 1.1 * first.contrast
    assert last.front_back < first.front_back / 1.1
    assert last.half_width_mm < first.half_width_mm


@cache
def _first_and_last(seed: int) -> tuple[Figures, Figures]:
    first, last = (_figures(full(_only(round_), PANEL, seed), True) for round_ in (0, 2))
    return first, last


@pytest.mark.parametrize("seed", SEEDS)
def test_the_reverse_has_colour_without_specks(seed: int) -> None:
    """What the first round leaves on the side that lay down: a good deal of dye, at less than a third of the contrast."""
    found = _figures(full(_only(0), PANEL, seed), True)
    assert found.front_back > 0.1
    assert 1.1 * found.back_contrast < found.contrast / 3


@pytest.mark.parametrize("seed", SEEDS)
def test_without_acid_and_smeared_it_takes_softer_and_wider(seed: int) -> None:
    """A third skein, wetted without acid, smeared (rubbed out over 1 cm) with as much powder, left a quarter of an hour and then laid into warm acidified
    water."""
    made = _session()
    powder = [replace(event, smear_cm=1.0) for event in _only(0, 3.0).events if isinstance(event, Sprinkle)]
    events = (*powder, Wait(900.0), AddWater(made.free_ml, made.acid_mmol), Heat(88.0, 1 / 60), Wait(600.0))
    third = replace(made, free_ml=0.0, acid_mmol=0.0, temp_c=20.0, events=events)
    soft, sharp = _figures(full(third, PANEL, seed), False), _figures(full(_only(0, 3.0), PANEL, seed), True)
    assert soft.half_width_mm > 1.1 * sharp.half_width_mm
    assert soft.contrast < sharp.contrast / 1.1
