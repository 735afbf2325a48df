"""Work one of the dyer's own tests out and keep it: the one door for page and command."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields
from typing import Any, cast

from skeinwright.core.foundations.errors import BadInput, NotFound
from skeinwright.core.learn.own_tests import OWN_TESTS, OwnTest
from skeinwright.core.shelf.field import Ask
from skeinwright.services.keep_test import Tested
from skeinwright.services.measure_alkalinity import TestedWater, measure_alkalinity
from skeinwright.services.measure_evaporation import WeighedPot, measure_evaporation
from skeinwright.services.measure_footprint import SprinkledPaper, measure_footprint
from skeinwright.services.measure_liquor import SampledLiquor, measure_liquor
from skeinwright.services.measure_nylon import NylonPieces, measure_nylon
from skeinwright.services.measure_spread_length import SpeckledPiece, measure_spread_length
from skeinwright.services.measure_strand_strike import LiftedStrands, measure_strand_strike
from skeinwright.services.measure_strike import TestedPair, measure_strike
from skeinwright.services.measure_wet import WetAndDry, measure_wet
from skeinwright.services.studio import Studio

_MADE: dict[str, tuple[type, Callable[[Studio, Any], Tested]]] = {
    "alkalinity": (TestedWater, measure_alkalinity),
    "liquor": (SampledLiquor, measure_liquor),
    "superwash": (TestedPair, measure_strike),
    "nylon": (NylonPieces, measure_nylon),
    "strike": (LiftedStrands, measure_strand_strike),
    "evaporation": (WeighedPot, measure_evaporation),
    "footprint": (SprinkledPaper, measure_footprint),
    "spread-length": (SpeckledPiece, measure_spread_length),
    "wet": (WetAndDry, measure_wet),
}


def make_own_test(studio: Studio, key: str, said: Mapping[str, str]) -> Tested:
    """The test of this key with what was said, by field; what is not said has its usual value.

    Raises NotFound for an unknown test, BadInput or ManyBadInputs with `where` the fields, and then keeps nothing.
    """
    test, asked = own_test(key), asked_of(key)
    for name in said:
        if name not in asked:
            near = difflib.get_close_matches(name, asked, n=1)
            hint = f"Did you mean '{near[0]}'?" if near else f"There are {', '.join(asked)}."
            raise BadInput(f"This test asks for no '{name[:40]}'. {hint}", where=name[:40])
    for field, kind in test.picks:
        if asked[field].need and not said.get(field, "").strip():
            raise BadInput(f"{asked[field].label}? Name one that is on the shelf.", where=field)
        if said.get(field, "").strip():
            _check_is_there(studio, kind, said[field], field)
    made, work = _MADE[key]
    return work(studio, made(**(dict.fromkeys(asked, "") | usual(key) | dict(said))))


def own_test(key: str) -> OwnTest:
    """The test. Raises NotFound."""
    if key not in OWN_TESTS:
        raise NotFound(f"There is no test '{key[:40]}'; there are {', '.join(OWN_TESTS)}.")
    return OWN_TESTS[key]


def asked_of(key: str) -> dict[str, Ask]:
    """The fields of a test, in the order in which they are asked."""
    own_test(key)
    return {one.name: cast(Ask, one.metadata["ask"]) for one in fields(_MADE[key][0])}


def usual(key: str) -> dict[str, str]:
    """What stands in each field before anything is typed."""
    own_test(key)
    return {one.name: str(one.default) for one in fields(_MADE[key][0]) if one.default is not MISSING}


def _check_is_there(studio: Studio, kind: str, name: str, field: str) -> None:
    with studio.store.reading() as reading:
        try:
            reading.item(kind, name)
        except NotFound as error:
            raise BadInput(error.sentence, where=field, text=name) from error
