"""Try a kept colourway with other values of any two of its water, acid, heat, grain and times: a patch of yarn for every pair. Nothing is kept."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import BrokenExecutor, Future, wait
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from skeinwright.core.colourway.colourway import Colourway
from skeinwright.core.colourway.factors import FEWEST, MOST, Factor, check_value, factor_named, factors_of, with_value
from skeinwright.core.colourway.words import is_even
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, first_of
from skeinwright.services.get_colourway import get_colourway
from skeinwright.services.get_settings import get_settings
from skeinwright.services.map_colourway import MappedColourway, map_colourway
from skeinwright.services.shelf_for_lot import shelf_for_lot
from skeinwright.services.studio import Studio

if TYPE_CHECKING:
    from skeinwright.core.foundations.quantities import Habits
    from skeinwright.core.lot.on_shelf import OnShelf
    from skeinwright.core.picture.light import Pixels
    from skeinwright.core.shelf.items import Base
    from skeinwright.core.spread.events import Session
    from skeinwright.core.spread.patch import Patch

Tell = Callable[[float, str], None]
LOOK_EVERY_S = 0.25
"""How often it is told how far the work is, and asked whether it should end."""
EVEN = "Dye lies the same all over this colourway, so there are no specks to compare: the pot beside its steps shows what acid and heat do."
LOST = "A worker was lost on the way: the memory was full, or it was ended from outside. Close other programs or try fewer values, and begin again."
FIELDS = ("down", "across")


@dataclass(frozen=True, kw_only=True, slots=True)
class WhatIfRequest:
    """As typed: the keys of two factors ("water", "temperature 6") and two to five values of each; without values, those that are proposed."""

    colourway: int | str
    down: str
    across: str
    down_values: tuple[str, ...] = ()
    across_values: tuple[str, ...] = ()
    base: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Tried:
    """One pair of values: its patch and picture, or why it cannot be; `refused`: why a lot of it would not be started (hot vinegar under powder, ...)."""

    down: str
    across: str
    as_it_is: bool
    patch: Patch | None = None
    pixels: Pixels | None = None
    problem: str = ""
    refused: tuple[str, ...] = ()

    @property
    def sentences(self) -> tuple[str, ...]:
        """What is told under the picture."""
        return (self.problem,) if self.patch is None else self.patch.sentences


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class WhatIf:
    """The grid: `rows` follow the values of `down`, places in a row those of `across`."""

    name: str
    revision: int
    base: Base
    down: Factor
    across: Factor
    rows: tuple[tuple[Tried, ...], ...]
    seed: int
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object."""
        return {
            "inputs": {"colourway": self.name, "base": self.base.name, "down": self.down.key, "across": self.across.key, "seed": self.seed},
            "patches": [_plain(one) for row in self.rows for one in row],
            "warnings": list(self.warnings),
            "assumed": list(self.assumed),
        }


def _plain(one: Tried) -> dict[str, Any]:
    said = {"down": one.down, "across": one.across, "as_it_is": one.as_it_is, "problem": one.problem or None}
    told = {"sentences": list(one.sentences), "refused": list(one.refused)}
    return {**said, **told, **({} if one.patch is None else one.patch.to_plain())}


@dataclass(frozen=True, slots=True)
class Asked:
    """A request that was read: what is tried, and with which values."""

    colourway: Colourway
    revision: int
    down: Factor
    across: Factor
    down_values: tuple[str, ...]
    across_values: tuple[str, ...]


def read_what_if(studio: Studio, request: WhatIfRequest, *, fewest: int = FEWEST) -> Asked:
    """The request with its factors and values, `fewest` of each at least.

    Raises ManyBadInputs, each problem at "down", "across", "down 2", "across 1", ...; BadInput for an even bath; or NotFound.
    """
    kept, habits = get_colourway(studio, request.colourway), get_settings(studio).habits()
    colourway = kept.thing
    if is_even(step.do for step in colourway.steps):
        raise BadInput(EVEN, where="colourway")
    factors, problems, found = factors_of(colourway, habits=habits), list[BadInput](), list[tuple[Factor, tuple[str, ...]]]()
    for field, key, typed in zip(FIELDS, (request.down, request.across), (request.down_values, request.across_values), strict=True):
        try:
            factor = factor_named(factors, key, where=field)
            found.append((factor, _values(colourway, factor, typed, fewest, habits, field, problems)))
        except BadInput as error:
            problems.append(error)
    if len(found) == len(FIELDS) and set(found[0][0].places) & set(found[1][0].places):
        problems.append(BadInput("Both ways try the same value: choose another for one of them.", where="across"))
    if problems:
        raise ManyBadInputs(tuple(problems))
    (down, down_values), (across, across_values) = found
    return Asked(colourway, kept.revision, down, across, down_values, across_values)


def try_what_if(studio: Studio, request: WhatIfRequest, *, tell: Tell | None = None) -> WhatIf:
    """A full forecast of a patch of 5 cm for every pair, the same grains in each, by the studio's workers; the same whatever they are and how many.

    `tell` hears how far it is and may raise to end it: then nothing more is begun. Raises as `read_what_if`, and BadInput where the base cannot be.
    """
    asked = read_what_if(studio, request)
    laid = map_colourway(studio, asked.colourway, base=request.base)
    pairs = [(down, across) for down in asked.down_values for across in asked.across_values]
    with studio.store.reading() as reading:
        shelf = shelf_for_lot(reading, asked.colourway.water)
    written = [_session(studio, asked, pair, laid.base, shelf) for pair in pairs]
    patches = _run(studio, [session for session, _ in written], tell)
    drawn = [_drawn(asked, pair, found, laid, studio.seed) for pair, found in zip(pairs, patches, strict=True)]
    cells = [replace(one, refused=refused) for one, (_, refused) in zip(drawn, written, strict=True)]
    across = len(asked.across_values)
    return WhatIf(
        name=asked.colourway.name,
        revision=asked.revision,
        base=laid.base,
        down=asked.down,
        across=asked.across,
        rows=tuple(tuple(cells[start : start + across]) for start in range(0, len(cells), across)),
        seed=studio.seed,
        warnings=_warnings(laid, patches),
        assumed=laid.assumed,
    )


def _warnings(laid: MappedColourway, patches: list[Patch | str]) -> tuple[str, ...]:
    """The map's notes that hold for the patches too; and where an uneven ground is left out of them."""
    found = [note for note in laid.notes if not any(words in note for words in ("Quick forecast", "is shown where it lies", "place by place"))]
    names = {name for one in patches if not isinstance(one, str) for name in one.names}
    if names and set(laid.skein.names) - names:
        found.append(f"What {laid.colourway.over} left on the yarn is not in these pictures: they show the new dye alone.")
    return tuple(found)


def _values(colourway: Colourway, factor: Factor, typed: tuple[str, ...], fewest: int, habits: Habits, field: str, problems: list[BadInput]) -> tuple[str, ...]:
    """The values that were typed, each once, or those proposed; what is wrong with them goes to `problems`."""
    values = [one.strip() for one in typed]
    if not any(values):
        return factor.proposed
    for place, value in enumerate(values):
        if value:
            try:
                check_value(colourway, factor, value, habits=habits, where=f"{field} {place + 1}")
            except BadInput as error:
                problems.append(error)
    found = tuple(dict.fromkeys(value for value in values if value))
    if not fewest <= len(found) <= MOST:
        problems.append(BadInput(f"Give {FEWEST} to {MOST} different values; there {'is' if len(found) == 1 else 'are'} {len(found)}.", where=field))
    return found


def _session(studio: Studio, asked: Asked, pair: tuple[str, str], base: Base, plain: OnShelf) -> tuple[Session | str, tuple[str, ...]]:
    """The session of a pair, or the sentence that says why it cannot be; and why no lot of it would be started."""
    from skeinwright.core.lot.on_skein import covered, readable, session_on
    from skeinwright.core.lot.plan import with_own
    from skeinwright.core.lot.sketch import sketch_of

    tried = with_value(with_value(asked.colourway, asked.down, pair[0]), asked.across, pair[1])
    sketch = sketch_of(tried, plain, today=studio.now().date())
    mine = {number + 1 for number, _ in (*asked.down.places, *asked.across.places)}
    problem = next((one for one in sketch.problems if one.step in mine), None)
    if problem is not None:
        return f"This cannot be: {problem.sentence}", ()
    read = readable(tried, sketch)
    try:
        return session_on(replace(read, steps=covered(read.steps)[0]), base, with_own(tried, plain), {})[0], sketch.draft.refused
    except (BadInput, ManyBadInputs) as error:
        first = first_of(error)
        return f"This cannot be: {first.sentence}", ()


def _run(studio: Studio, sessions: list[Session | str], tell: Tell | None) -> list[Patch | str]:
    """Every session by the workers; the answers in the order of the questions, whichever comes back first."""
    from skeinwright.core.spread.patch import run_patch

    with studio.workers() as workers:
        begun: list[Future[Patch] | str] = [one if isinstance(one, str) else workers.submit(run_patch, one, studio.seed) for one in sessions]
        open_ = {one for one in begun if not isinstance(one, str)}
        count = len(open_)
        try:
            while open_:
                _, open_ = wait(open_, timeout=LOOK_EVERY_S)
                if tell is not None:
                    tell((count - len(open_)) / max(count, 1), f"{count - len(open_)} of {count} pictures.")
        except BaseException:
            for one in open_:
                one.cancel()
            raise
        try:
            return [one if isinstance(one, str) else one.result() for one in begun]
        except BrokenExecutor as error:
            raise BadInput(LOST, where="down") from error


def _drawn(asked: Asked, pair: tuple[str, str], found: Patch | str, laid: MappedColourway, seed: int) -> Tried:
    import numpy as np

    from skeinwright.core.picture.patch import patch_pixels
    from skeinwright.core.spread.patch import CELL_CM

    as_it_is = pair == (asked.down.said, asked.across.said)
    if isinstance(found, str):
        return Tried(*pair, as_it_is, problem=found)
    planes = [found.dye[found.names.index(name)] if name in found.names else np.zeros(found.dye.shape[1:], np.float32) for name in laid.skein.names]
    strand_mm = 10 * found.strand_cm
    pixels = patch_pixels(np.stack(planes), laid.look_up, cell_mm=10 * CELL_CM, strand_mm=strand_mm, plies=laid.look.lobes, seed=seed)
    return Tried(*pair, as_it_is, found, pixels)
