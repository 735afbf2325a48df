"""A colourway and its forecast as the page shows them: sentences with their values as fields, pictures by address, figures in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from skeinwright.core.colour.eye import spread_in_words
from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.colourway.reading import MISSING, sentence, sentence_parts
from skeinwright.core.colourway.words import WORDS, Slot
from skeinwright.core.forecast.main_colours import LEAST_SHARE
from skeinwright.core.lot.sketch import Problem
from skeinwright.core.picture.describe import WET_WORDS, colour_words, colours_in_words, describe, describe_map
from skeinwright.core.safety.cautions import CAUTIONS, Caution
from skeinwright.core.spread.said_steps import DEEP
from skeinwright.services.draw_skein import VIEW_WORDS
from skeinwright.services.forecast_colourway import ColourwaySheet, OnBase
from skeinwright.services.map_colourway import QUICK_LEAVES_OUT, MappedColourway
from skeinwright.web.recipe_view import hex_of, look_text
from skeinwright.web.recipe_view import picture_url as skein_url
from skeinwright.web.wet_view import SeenWet, seen_wet

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from skeinwright.core.forecast.main_colours import MainColour

LABELS = {
    "to": "temperature",
    "what": "of what",
    "over": "where",
    "leave": "water left",
    "round": "once round",
    "leftover": "which liquor",
    "volume": "water",
    "depth": "depth of shade",
    "times": "how often",
    "lumps": "lumps, grains wide",
}
"""What a slot is called beside a field, where its key is not the word."""
AT_THE_STEP, ONCE = ("powder", "powder heat"), "powder draught"
"""Cautions that stand beside their step: each time, and at the first such step."""
NUDGED = frozenset(("mass", "volume", "amount", "dose", "length", "time", "temperature", "rate", "count", "strength"))
WRAPPED = frozenset(("recipe", "text", "blend"))
LONG = 26
LISTS = {
    "dye": "known-dyes",
    "solution": "known-solutions",
    "blend": "known-blends",
    "acid": "known-acids",
    "auxiliary": "known-auxiliaries",
    "leftover": "known-leftovers",
    "vessel": "known-vessels",
    "recipe": "known-recipes",
    "place": "known-places",
}


@dataclass(frozen=True, slots=True)
class Part:
    """A piece of a step's sentence: plain words, or a field where `name` is given."""

    text: str
    name: str = ""
    id: str = ""
    label: str = ""
    hint: str = ""
    list_id: str = ""
    nudge: bool = False
    wrong: bool = False
    is_long: bool = False
    """True where the text is given room to wrap."""

    @property
    def size(self) -> int:
        """Characters that the field has room for, for browsers that cannot fit it to its content."""
        return min(max(len(self.text), len(self.hint), 2), 40)


@dataclass(frozen=True, slots=True)
class StepRow:
    """One step as it is edited: its sentence, the fields not in it, and its place in time."""

    number: int
    do: str
    parts: tuple[Part, ...]
    also: tuple[Part, ...]
    hidden: tuple[tuple[str, str], ...]
    also_open: bool
    sentence: str

    @property
    def at(self) -> int:
        """Its place from 0, as the form counts."""
        return self.number - 1

    @property
    def also_words(self) -> str:
        """What the folded fields are."""
        return ", ".join(part.label for part in self.also)


@dataclass(frozen=True, slots=True)
class StepTold:
    """What is told beside a step while it is edited."""

    number: int
    when: str
    problems: tuple[str, ...]
    wrong_slots: tuple[str, ...]
    notes: tuple[str, ...]
    hazards: tuple[Caution, ...]
    stops: bool
    """True for the last step that is forecast, where a later one is not."""


@dataclass(frozen=True, slots=True)
class Ranged:
    """A main colour of an uneven skein: its name, how it may be off in words, and three colours as hex: one end, the forecast, the other end."""

    words: str
    spread: str
    low: tuple[str, str]
    middle: str
    high: tuple[str, str]


@dataclass(frozen=True, slots=True)
class Seen:
    """A base's picture: addresses, the words below it, and what it could also be."""

    place: int
    base: str
    picture: str
    strip: str
    alt: str
    colour: str
    spread: str
    notes: tuple[str, ...]
    """What has to stand right below the picture."""
    limits: tuple[str, ...]
    """What else limits the forecast."""
    rests_on: str
    edges: tuple[tuple[str, str], ...]
    is_known: bool
    key: str = ""
    """Of the map, where dye does not lie evenly; `how` it was forecast."""
    how: str = ""
    wet: SeenWet | None = None
    """The colour dry and wet, where the base is evenly dyed."""
    main: tuple[Ranged, ...] = ()
    """The main colours of an uneven skein, each with its edges: they take the place of `edges`."""


def step_rows(steps: Sequence[Step], problems: Iterable[Problem] = ()) -> list[StepRow]:
    """All steps as they are edited."""
    wrong: dict[int, set[str]] = {}
    for problem in problems:
        wrong.setdefault(problem.step, set()).add(problem.slot)
    return [_row(number, step, wrong.get(number, set())) for number, step in enumerate(steps, start=1)]


def _row(number: int, step: Step, wrong: set[str]) -> StepRow:
    word = WORDS.get(step.do)
    slots = {slot.key: slot for slot in word.slots} if word is not None else {}
    parts = [Part(text) if key is None else _field(number, step, slots[key], wrong, text) for text, key in sentence_parts(step)]
    shown = {part.name for part in parts}
    also = [_field(number, step, slot, wrong, "") for slot in slots.values() if f"s.{number - 1}.{slot.key}" not in shown]
    return StepRow(
        number,
        step.do,
        tuple(parts),
        tuple(also),
        tuple((f"s.{number - 1}.{key}", value) for key, value in step.said.items() if key not in slots),
        any(part.text or part.wrong for part in also),
        sentence(step),
    )


def _field(number: int, step: Step, slot: Slot, wrong: set[str], shown: str) -> Part:
    typed = step.get(slot.key)
    return Part(
        typed,
        f"s.{number - 1}.{slot.key}",
        f"s-{number - 1}-{slot.key}",
        LABELS.get(slot.key, slot.key),
        "" if typed else shown or MISSING,
        LISTS.get(slot.kind, ""),
        slot.kind in NUDGED,
        slot.key in wrong,
        slot.kind in WRAPPED and len(typed) > LONG,
    )


def steps_told(sheet: ColourwaySheet) -> list[StepTold]:
    """What is told beside each step."""
    told: list[StepTold] = []
    for planned in sheet.plan:
        mine = [problem for problem in sheet.problems if problem.step == planned.number]
        written = sheet.colourway.steps[planned.number - 1]
        shown = AT_THE_STEP if any(one.hazards for one in told) else (*AT_THE_STEP, ONCE)
        hazards = tuple(CAUTIONS[key] for key in planned.cautions if key in shown and written.do == planned.step.do)
        notes = () if planned.number in sheet.left_out else planned.notes
        told.append(
            StepTold(
                planned.number,
                _clock(planned.start_min) if planned.number not in sheet.left_out else "",
                tuple(dict.fromkeys(problem.sentence for problem in mine)),
                tuple(problem.slot for problem in mine),
                notes,
                hazards,
                sheet.stopped_at == planned.number + 1,
            )
        )
    return told


def _clock(minutes: float | None) -> str:
    return "" if minutes is None else f"{int(minutes) // 60}:{int(minutes) % 60:02d}"


VIEWS = ("in the pan", *(word for word in ("laid open", *VIEW_WORDS) if word in VIEW_WORDS))
"""The views of the page, as the yarn goes: from the pan to the needle."""
RESKEINED = "re-skeined"
IN_MARGIN = (QUICK_LEAVES_OUT, DEEP)
"""Notes on a map that limit it as a whole; the others stand right below the picture."""


def views_of(colourway: Colourway) -> list[str]:
    """The views that this colourway has: re-skeined only where a step winds it anew."""
    views = list(dict.fromkeys(VIEWS))
    if any(step.do == "re-skein" for step in colourway.steps):
        views.insert(views.index("twisted") + 1, RESKEINED)
    return views


def seen(sheet: ColourwaySheet, view: str, size: str) -> list[Seen]:
    """The picture of each base in one view."""
    stands = (*_stands(sheet), *((WET_WORDS,) if view == "in the pan" else ()))
    return [_seen(place, one, view, size, stands) for place, one in enumerate(sheet.bases)]


def _stands(sheet: ColourwaySheet) -> tuple[str, ...]:
    """What the picture leaves out."""
    said = []
    if sheet.stopped_at is not None:
        after = f"As it is after step {sheet.stopped_at - 1}: what follows is not forecast yet."
        said.append(after if sheet.stopped_at > 1 else "Undyed: no step is forecast yet.")
    if sheet.left_out:
        numbers = ", ".join(str(number) for number in sorted(sheet.left_out))
        said.append(f"Without step {numbers}, which cannot be read yet.")
    return tuple(said)


def _seen(place: int, one: OnBase, view: str, size: str, stands: tuple[str, ...]) -> Seen:
    forecast, name = one.forecast, one.base.name
    known = forecast.lab is not None and forecast.spread_de00 is not None
    lab = forecast.lab.values if forecast.lab is not None else (93.0, 0.0, 8.0)
    spread = spread_in_words(forecast.spread_de00) if forecast.spread_de00 is not None else "its colour is not known"
    if one.laid is not None and one.laid.is_patterned:
        return _seen_laid(place, one, one.laid, view, size, stands, spread)
    return Seen(
        place,
        name or "a base of assumed colour",
        picture_url(one, view, size),
        picture_url(one, "strand", size),
        describe(view, one.look, lab, base=name) if known else f"{name or 'Yarn'}, drawn hatched: its colour is not known.",
        colour_words(lab) if known else "colour not known",
        spread,
        stands if known else (*stands, *forecast.notes),
        forecast.notes if known else (),
        forecast.rests_on,
        tuple((hex_of(edge.srgb), edge.words) for edge in forecast.edges),
        known,
        wet=seen_wet(one),
    )


def _seen_laid(place: int, one: OnBase, laid: MappedColourway, view: str, size: str, stands: tuple[str, ...], spread: str) -> Seen:
    """A skein on which dye does not lie evenly: its colours in words, and the spread of those places that are coloured."""
    from skeinwright.core.forecast.mapped_colour import sampled_amounts, sampled_labs

    colours = laid.look_up(sampled_amounts(laid.skein))
    labs = sampled_labs(colours)
    forecast, name = one.forecast, one.base.name
    known = forecast.lab is not None and forecast.spread_de00 is not None
    how = {"quick": "quick forecast", "full": "full forecast"}.get(laid.how, "forecast")
    told = f"each colour {spread}" if known else "some of its colours are not known"
    return Seen(
        place,
        name or "a base of assumed colour",
        laid_url(laid, view, size),
        skein_url(laid.look, _mean_srgb(colours), view="strand", size="large"),
        describe_map(view, laid.look, labs, base=name, extra="" if not laid.as_it_lies else "Dye is shown where it lies, before it strikes."),
        _with_specks(colours_in_words(labs), one),
        f"{told}; {how}",
        (*stands, *(_capital(note) for note in laid.notes if note not in IN_MARGIN)) if known else (*stands, *forecast.notes),
        (*forecast.notes, *(note for note in laid.notes if note in IN_MARGIN)),
        forecast.rests_on,
        tuple((hex_of(edge.srgb), edge.words) for edge in forecast.edges),
        True,
        laid.key,
        laid.how,
        main=tuple(_ranged(main) for main in one.main if len(main.forecast.edges) == 2),
    )


def _with_specks(words: str, one: OnBase) -> str:
    """The colours of the skein; where too little of it is coloured to be among them, the colour of its specks as well."""
    specks = [main.words for main in one.main if main.share < LEAST_SHARE and main.words not in words]
    return f"{words}, with specks of {' and '.join(specks)}" if specks else words


def _capital(note: str) -> str:
    return note[:1].upper() + note[1:]


def _ranged(main: MainColour) -> Ranged:
    forecast = main.forecast
    low, high = ((hex_of(edge.srgb), edge.words.removeprefix("could be ").removesuffix(" as this").removeprefix("as ")) for edge in forecast.edges)
    spread = spread_in_words(forecast.spread_de00) if forecast.spread_de00 is not None else ""
    return Ranged(main.words, spread, low, hex_of(forecast.srgb or (128, 128, 128)), high)


def _mean_srgb(colours: NDArray[np.float64]) -> tuple[int, int, int]:
    """The colour of the whole skein from far away, of places (n, 3) in linear sRGB."""
    import numpy as np

    from skeinwright.core.colour.spaces import linear_to_srgb

    red, green, blue = (round(255 * float(value)) for value in np.clip(linear_to_srgb(colours.mean(axis=0)), 0.0, 1.0))
    return red, green, blue


def laid_url(laid: MappedColourway, view: str, size: str) -> str:
    """Where a map's picture is drawn."""
    return f"/pictures/laid/{laid.key}.png?{urlencode({'view': view, 'size': size})}"


def picture_url(one: OnBase, view: str, size: str) -> str:
    """Where the picture of a base in its forecast colour is drawn."""
    look, srgb = one.look, one.forecast.srgb
    if view == "in the pan" and one.laid is not None:
        return laid_url(one.laid, view, size)
    return f"/pictures/skein.png?{urlencode({'look': look_text(look), 'colour': hex_of(srgb)[1:] if srgb else 'none', 'view': view, 'size': size})}"


def view_of(word: str, views: Sequence[str] = VIEWS) -> str:
    """A view that exists; "twisted" for any other word."""
    return word if word in views else VIEW_WORDS[0]
