"""Film a session: its moments in order, and all of them as a short loop."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.draw_laid import SIZES, known, laid_pixels
from skeinwright.services.map_colourway import MappedColourway
from skeinwright.services.studio import Studio

VIEW = "in the pan"
MOST_IN_LOOP = 32


@dataclass(frozen=True, slots=True)
class Moment:
    """One frame: when it is, how warm the pan is, and which step was going on, in words."""

    number: int
    time_s: float
    warmth: str
    step: int | None
    sentence: str

    @property
    def says(self) -> str:
        """ "12 min with the yarn in, 80 C, step 5: Sprinkle ..."; the steps' own clock also has what comes before, and what the hands take."""
        minutes = f"{self.time_s / 60:.0f} min with the yarn in, {self.warmth}"
        return f"{minutes}, step {self.step}: {self.sentence}" if self.step is not None else minutes


def moments_of(laid: MappedColourway) -> tuple[Moment, ...]:
    """The film of a full forecast, in order; empty where there is none."""
    from skeinwright.core.colourway.steps import sentence

    if laid.run is None or laid.session is None:
        return ()
    numbers = laid.session.steps
    found = []
    for place, frame in enumerate(laid.run.film):
        step = numbers[frame.event] if frame.event < len(numbers) else None
        said = sentence(laid.colourway.steps[step - 1]) if step is not None else ""
        found.append(Moment(place, frame.time_s, frame.what, step, said))
    return tuple(found)


def film_session(studio: Studio, key: str, *, form: str = "webp", view: str = VIEW) -> bytes:
    """The session of the full forecast of that key as a loop: "webp", "png" or "gif". Raises NotFound where it is forgotten, BadInput without a film."""
    return loop_of(known(key), form, view=view, seed=studio.seed)


def loop_of(laid: MappedColourway, form: str, *, view: str, seed: int) -> bytes:
    """The loop of a map that has a film. Raises BadInput."""
    from skeinwright.files.pictures import loop_bytes

    count = 0 if laid.run is None else len(laid.run.film)
    if not count:
        raise BadInput("Only the full forecast of a session in which time passes has a film.", where="film")
    some = sorted({round(place * (count - 1) / max(1, MOST_IN_LOOP - 1)) for place in range(MOST_IN_LOOP)})
    return loop_bytes([laid_pixels(laid, view=view, size=SIZES["film"], seed=seed, frame=place) for place in some], form)
