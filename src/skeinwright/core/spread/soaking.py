"""Yarn that holds less than it could and meets water again: it drinks until it is soaked, before any of the water stands free."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.spread import events as ev
from skeinwright.core.spread.events import Event
from skeinwright.core.spread.field import FREE
from skeinwright.core.spread.state import Pan


def drink(pan: Pan) -> None:
    """Free water into both halves alike, with its share of the dye and acid in it, at once [assumed: wet wool drinks within a step].

    The halves hold the same all over, so liquor that is poured on a band of squeezed yarn is drunk by all of it [assumed].
    """
    full_cm = pan.session.parameters.yarn.held_g_g * pan.half_mg_cm2 / 1000
    if pan.free_cm <= 0 or pan.held_cm >= full_cm:
        return
    free_ml = pan.free_cm * pan.session.laid.floor_cm2
    lies_cm2 = pan.session.laid.area_cm2 * pan.session.parameters.yarn.half_mg_cm2 / pan.half_mg_cm2
    drunk_ml = min(free_ml, 2 * (full_cm - pan.held_cm) * lies_cm2)
    _let_in(pan, drunk_ml / free_ml)
    pan.held_cm += drunk_ml / 2 / lies_cm2
    pan.free_cm = 0.0 if drunk_ml >= free_ml else pan.free_cm - drunk_ml / pan.session.laid.floor_cm2


def leave_behind(pan: Pan) -> None:
    """What free water that has steamed away leaves of dye and acid: it lies in the yarn, in both halves alike."""
    _let_in(pan, 1.0)


def _let_in(pan: Pan, share: float) -> None:
    for values in (pan.field.liquor[:, FREE], pan.field.acid[FREE]):
        into = values * values.dtype.type(share)
        values -= into
        halves = pan.field.liquor[:, 1:] if values.ndim == 3 else pan.field.acid[1:]
        halves += into[..., None, :, :] / 2


@dataclass(slots=True)
class Level:
    """The pan's water as it is poured in and off, ml: free, held by the yarn, and what the yarn can hold. What steams away is not followed here."""

    free_ml: float
    held_ml: float
    full_ml: float

    def follow(self, event: Event, fibre_g: float) -> None:
        """What `event` does to it."""
        if isinstance(event, ev.PourOff):
            self.free_ml = max(0.0, self.free_ml - event.volume_ml)
        elif isinstance(event, ev.Squeeze):
            self.free_ml, self.held_ml = 0.0, min(self.held_ml, event.leave_g_g * fibre_g)
        elif isinstance(event, ev.Rinse):
            self.free_ml, self.held_ml = 0.0, self.full_ml
        elif isinstance(event, ev.Withdraw):
            self.free_ml = 0.0
        elif isinstance(event, ev.AddWater | ev.Pour | ev.Kettle | ev.Bath):
            self._in(event.volume_ml)
        elif isinstance(event, ev.Ice):
            self._in(event.mass_g)

    def _in(self, volume_ml: float) -> None:
        drunk = min(volume_ml, max(0.0, self.full_ml - self.held_ml))
        self.held_ml += drunk
        self.free_ml += volume_ml - drunk
