"""The washed skein of a kept colourway on one of its bases, ready to be drawn knitted; kept in memory while nothing that it rests on changes."""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, replace
from threading import Lock
from typing import TYPE_CHECKING

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.services.map_colourway import MappedColourway, map_colourway
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.picture.light import Floats
    from skeinwright.core.picture.look import StrandLook
    from skeinwright.core.spread.skein_map import SkeinMap
    from skeinwright.core.spread.yarn_path import YarnPath

MOST = 6
"""Skeins kept, the least used forgotten first: about 2 MB each."""
EVEN = 0.01
"""Places of a skein whose linear colours differ by less look alike."""


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class KnitSkein:
    """Colours of the relaxed map's cells (2, rows, cells, 3), the strand's look after washing, the yarn's way through it, and what that rests on."""

    key: str
    """The same for the same skein: what is drawn of it can be kept under it."""
    colours: Floats
    look: StrandLook
    path: YarnPath
    is_even: bool
    """True where the whole skein has one colour: it knits up alike at any stitch count."""
    not_drawn_from_step: int | None
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]


_kept: OrderedDict[str, KnitSkein] = OrderedDict()
_lock = Lock()


def skein_to_knit(studio: Studio, colourway: Colourway, base: str) -> KnitSkein:
    """The skein on the base of that name ("": the colourway's own or its first), from the map that its page shows. Raises BadInput where it cannot be drawn."""
    mapped = map_colourway(studio, colourway, base=base)
    return _remembered(f"map {mapped.key} {mapped.base!r}", lambda: _of_map(mapped, studio.seed))


def _remembered(key: str, make: Callable[[], KnitSkein]) -> KnitSkein:
    with _lock:
        if key in _kept:
            _kept.move_to_end(key)
            return _kept[key]
    made = replace(make(), key=hashlib.sha256(key.encode()).hexdigest()[:24])
    with _lock:
        _kept[key] = made
        while len(_kept) > MOST:
            _kept.popitem(last=False)
    return made


def _of_map(mapped: MappedColourway, seed: int) -> KnitSkein:
    skein, look, washed = mapped.relaxed()
    return _knit_skein(skein, mapped.colours(skein), look, seed, mapped.stopped_at, (*mapped.notes,), (*mapped.assumed, *washed))


def _knit_skein(
    skein: SkeinMap, colours: Floats, look: StrandLook, seed: int, stopped_at: int | None, warnings: tuple[str, ...], assumed: tuple[str, ...]
) -> KnitSkein:
    from skeinwright.core.spread.yarn_path import path_of

    spread = colours.max(axis=(0, 1, 2)) - colours.min(axis=(0, 1, 2))
    return KnitSkein(
        key="",
        colours=colours,
        look=look,
        path=path_of(skein, seed=seed),
        is_even=bool(spread.max() < EVEN),
        not_drawn_from_step=stopped_at,
        warnings=tuple(dict.fromkeys(warnings)),
        assumed=tuple(dict.fromkeys(assumed)),
    )
