"""The pH of a bath as a forecast: a figure, how far it may be off, and what it rests on."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache
from math import hypot

from skeinwright.core.bath.acids import LABEL_SPREAD, AcidDose, AcidKind
from skeinwright.core.bath.charge_balance import Composition, Solved, solve_ph
from skeinwright.core.bath.species import Fibre
from skeinwright.core.bath.waters import ASSUMED_ALKALINITY, CARBON_PER_ALKALINITY, LEAST_CARBON, MOST_CARBON, tap_water
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate, Origin

MODEL_HALF_WIDTH_PH = 0.02
"""90 % half width of the solver itself: how far two activity models lie apart in a dyebath [assumed]."""

SHOW_BOTH_FROM_PH = 0.05
"""Closed and open water are both shown where they differ by more than this."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Bath:
    """A bath as it is filled: its final volume (ml, all acids included), what the water's alkalinity is, its temperature and the acid in it.

    The alkalinity counts for the whole volume; the acids' own water is not taken off, which matters only where vinegar is more than a tenth of the bath.
    """

    volume_ml: float
    temp_c: float = 25.0
    alkalinity: Estimate = ASSUMED_ALKALINITY
    doses: tuple[AcidDose, ...] = ()
    open_to_air: bool = False
    held: float = 0.0
    """Undissociated acid in the fibre over that in the bath; `fibre.held_per_litre`."""


@dataclass(frozen=True, slots=True)
class Guess:
    """One reading of all that is not known exactly; the plain one is the best."""

    alkalinity_mg_l: float
    label: dict[AcidKind, float] = field(default_factory=dict)
    """Strength of an acid over what its label says, by kind."""
    measuring: dict[int, float] = field(default_factory=dict)
    """Amount over what was meant, by place in the doses."""
    carbon: float = CARBON_PER_ALKALINITY
    """Inorganic carbon of closed water over its alkalinity."""
    pk_lean: float = 0.0
    """How far every pK lies off, in half widths."""
    ph_shift: float = 0.0


@dataclass(frozen=True, slots=True)
class PhForecast:
    """The pH of a bath. `closed` and `open` are the figures for water that keeps its carbon dioxide and for water at rest with air."""

    ph: Estimate
    closed: float
    open: float
    ionic_strength_mol_l: float
    status: str
    notes: tuple[str, ...]

    @property
    def shows_both(self) -> bool:
        """True where it matters whether the carbon dioxide has left."""
        return abs(self.closed - self.open) > SHOW_BOTH_FROM_PH


def composition(bath: Bath, guess: Guess | None = None) -> Composition:
    """Everything in the bath, under a guess (the best one if none is given)."""
    guess = guess or best_guess(bath)
    mixed = replace(tap_water(guess.alkalinity_mg_l, open_to_air=bath.open_to_air, carbon=guess.carbon), held=bath.held)
    for place, dose in enumerate(bath.doses):
        factor = guess.label.get(dose.acid.kind, 1.0) * guess.measuring.get(place, 1.0)
        mixed = mixed.plus(dose.acid.in_bath(dose.amount * factor, bath.volume_ml))
    return mixed


def best_guess(bath: Bath) -> Guess:
    """Everything as stated."""
    return Guess(bath.alkalinity.value)


def guesses(bath: Bath, kinds: frozenset[AcidKind]) -> Iterator[tuple[Guess, Guess]]:
    """Pairs of guesses, one unknown at a time at the two ends of its 90 % interval.

    They are alkalinity, carbon dioxide (of closed water), label strength of each of `kinds`, measuring, pK, and the model.
    """
    best = best_guess(bath)
    yield replace(best, alkalinity_mg_l=bath.alkalinity.low), replace(best, alkalinity_mg_l=bath.alkalinity.high)
    if not bath.open_to_air and bath.alkalinity.high > 0:
        yield replace(best, carbon=MOST_CARBON), replace(best, carbon=LEAST_CARBON)
    for kind in sorted(kinds):
        yield replace(best, label={kind: 1 - LABEL_SPREAD[kind]}), replace(best, label={kind: 1 + LABEL_SPREAD[kind]})
    for place, dose in enumerate(bath.doses):
        if dose.amount_spread:
            yield replace(best, measuring={place: 1 - dose.amount_spread}), replace(best, measuring={place: 1 + dose.amount_spread})
    yield replace(best, pk_lean=-1.0), replace(best, pk_lean=1.0)
    yield replace(best, ph_shift=-MODEL_HALF_WIDTH_PH), replace(best, ph_shift=MODEL_HALF_WIDTH_PH)


def spread_over(best: float, pairs: Iterator[tuple[Guess, Guess]], outcome: Callable[[Guess], float]) -> tuple[float, float]:
    """The 90 % interval round `best` when each unknown moves by itself and the moves add as squares, upward and downward apart.

    high = best + sqrt(sum_i max(0, moves of i)^2),  low likewise
    """
    up = down = 0.0
    for pair in pairs:
        moves = [outcome(guess) - best for guess in pair]
        up = hypot(up, max(0.0, *moves))
        down = hypot(down, max(0.0, *(-move for move in moves)))
    return best - down, best + up


def forecast_ph(bath: Bath, *, fibre: Fibre | None = None) -> PhForecast:
    """The pH of a bath with its 90 % interval, for the water as the bath says (closed or open), and the figure for either.

    Raises BadInput where the volume or an amount cannot be. 15 ml of 5 % vinegar in 4 l of water of 120 mg/L, 25 C: 5.15 closed, 5.26 open.
    """
    return _forecast_plain(bath) if fibre is None else _forecast(bath, fibre)


@lru_cache(maxsize=256)
def _forecast_plain(bath: Bath) -> PhForecast:
    return _forecast(bath, None)


def _forecast(bath: Bath, fibre: Fibre | None) -> PhForecast:
    _check(bath)
    solved = _solve(bath, best_guess(bath), fibre)
    kinds = frozenset(dose.acid.kind for dose in bath.doses if dose.amount)
    low, high = spread_over(solved.ph, guesses(bath, kinds), lambda guess: _solve(bath, guess, fibre).ph + guess.ph_shift)
    other = _solve(replace(bath, open_to_air=not bath.open_to_air), best_guess(bath), fibre).ph
    closed, opened = (other, solved.ph) if bath.open_to_air else (solved.ph, other)
    origin = Origin.ASSUMED if bath.alkalinity.origin is Origin.ASSUMED else Origin.COMPUTED
    estimate = Estimate(solved.ph, low, high, "pH", origin, bath.alkalinity.note if origin is Origin.ASSUMED else "")
    return PhForecast(estimate, closed, opened, solved.ionic_strength_mol_l, solved.status, solved.notes)


def _solve(bath: Bath, guess: Guess, fibre: Fibre | None) -> Solved:
    return solve_ph(composition(bath, guess), bath.temp_c, fibre=fibre, pk_lean=guess.pk_lean)


def _check(bath: Bath) -> None:
    if not bath.volume_ml > 0:
        raise BadInput("A bath needs some water.", where="water")
    if bath.alkalinity.low < 0:
        raise BadInput("Alkalinity cannot be less than nothing.", where="alkalinity")
    if any(dose.amount < 0 for dose in bath.doses):
        raise BadInput("An amount of acid cannot be less than nothing.", where="acid")
