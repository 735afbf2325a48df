"""The pH of a bath before and after the fibre has drunk its acid, and the acid for a pH after it has."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from math import hypot

from skeinwright.core.bath.acids import AcidAsBought
from skeinwright.core.bath.charge_balance import Solved, solve_ph
from skeinwright.core.bath.fibre import Sponge, fibre_in_bath, held_per_litre
from skeinwright.core.bath.ph import Bath, PhForecast, best_guess, composition, forecast_ph
from skeinwright.core.bath.species import FAMILIES, Conditions
from skeinwright.core.bath.target import AcidForPh, acid_for_ph, amount_for
from skeinwright.core.foundations.estimate import Estimate, Origin

PK_SPREAD = 0.15
WATER_SPREAD = (0.75, 1.5)
UNDISSOCIATED_SPREAD = (0.3, 3.0)
SITES_SPREAD = (0.96, 1.04)
"""90 % ends of what is assumed of the fibre, as factors (the pK as a half width)."""

STRIP_HALF_WIDTH = 0.5
"""A pH strip, 90 % [common practice]."""
METER_HALF_WIDTH = 0.1
"""A pH meter that was set on the day, 90 % [common practice]."""
TEST_BEFORE_THE_DYE = "Test the pH before the dye goes in: a strip cannot be read in coloured liquor."


@dataclass(frozen=True, slots=True)
class AcidUptake:
    """A bath with fibre: pH as mixed, pH once the fibre has its share, and the acid on the fibre (mmol): bound to its sites, and held undissociated."""

    before: PhForecast
    after: PhForecast
    bound_mmol: Estimate
    held_mmol: float


def acid_uptake(bath: Bath, sponges: tuple[Sponge, ...]) -> AcidUptake:
    """The pH of `bath` before and after `sponges` come to rest in it, and what they took.

    The interval after uptake adds what is assumed of the fibre (its pK, its water, its sites, what undissociated acid it holds) to that of the bath.
    100 g of wool at pH 4.5 in a bath of 0.02 eq/L of anions bind 5 to 7 mmol.
    """
    before = forecast_ph(bath)
    wet = replace(bath, held=held_per_litre(sponges, bath.volume_ml))
    after = forecast_ph(wet, fibre=fibre_in_bath(sponges, bath.volume_ml))
    solved = _solved(bath, sponges)
    bound = _bound_mmol(bath, sponges, solved)
    ph_moves, bound_moves = _moves(bath, sponges, solved.ph, bound)
    estimate = after.ph
    low, high = solved.ph - hypot(estimate.value - estimate.low, ph_moves[0]), solved.ph + hypot(estimate.high - estimate.value, ph_moves[1])
    after = replace(after, ph=replace(estimate, low=low, high=high, origin=Origin.ASSUMED))
    amount = Estimate(bound, bound - bound_moves[0], bound + bound_moves[1], "mmol", Origin.ASSUMED)
    return AcidUptake(before, after, amount, _held_mmol(wet, solved))


def acid_for_ph_after(bath: Bath, acid: AcidAsBought, target_ph: float, sponges: tuple[Sponge, ...]) -> AcidForPh:
    """The acid that leaves `bath` at `target_ph` once `sponges` have taken their share. Raises BadInput where it is out of reach."""
    wet = replace(bath, held=held_per_litre(sponges, bath.volume_ml))
    found = acid_for_ph(wet, acid, target_ph, fibre=fibre_in_bath(sponges, bath.volume_ml))
    best = found.amount
    down = up = 0.0
    for pair in _variants(sponges):
        amounts = [_amount(wet, acid, target_ph, one) for one in pair]
        moves = [amount - best.value for amount in amounts if amount is not None] or [0.0]
        down, up = hypot(down, max(0.0, *(-move for move in moves))), hypot(up, max(0.0, *moves))
    low, high = best.value - hypot(best.value - best.low, down), best.value + hypot(best.high - best.value, up)
    return replace(found, amount=replace(best, low=max(0.0, low), high=high))


def _amount(wet: Bath, acid: AcidAsBought, target_ph: float, sponges: tuple[Sponge, ...]) -> float | None:
    varied = replace(wet, held=held_per_litre(sponges, wet.volume_ml))
    return amount_for(varied, acid, target_ph, best_guess(varied), fibre_in_bath(sponges, wet.volume_ml))


@dataclass(frozen=True, slots=True)
class PhError:
    """By how much the bath's pH is off the model's (pH units, to add to it), with its interval, and what to say."""

    offset: Estimate
    sentence: str


def ph_error(forecast: PhForecast, measured_ph: float, half_width: float = STRIP_HALF_WIDTH) -> PhError:
    """The model corrected by a reading: the two weighed by how sure each is.

        offset = (measured - model) s_m^2/(s_m^2 + s_r^2),   half width = s_m s_r/sqrt(s_m^2 + s_r^2)

    s_m is the model's half width, s_r the reading's: a strip (0.5) moves a sure model little; a meter (0.1) moves one that rests on assumed water all the way.
    """
    model = forecast.ph
    off = measured_ph - model.value
    s_m = max(model.high - model.value, 1e-6) if off > 0 else max(model.value - model.low, 1e-6)
    weight = s_m**2 / (s_m**2 + half_width**2)
    left = s_m * half_width / (s_m**2 + half_width**2) ** 0.5
    sentence = TEST_BEFORE_THE_DYE
    if abs(off) > 2 * hypot(s_m, half_width):
        sentence += f" {measured_ph:.1f} and {model.value:.1f} are further apart than either should be off: look again at acid, water and strip."
    return PhError(Estimate(off * weight, off * weight - left, off * weight + left, "pH", Origin.MEASURED), sentence)


def _solved(bath: Bath, sponges: tuple[Sponge, ...]) -> Solved:
    mixed = replace(composition(bath), held=held_per_litre(sponges, bath.volume_ml))
    return solve_ph(mixed, bath.temp_c, fibre=fibre_in_bath(sponges, bath.volume_ml))


def _bound_mmol(bath: Bath, sponges: tuple[Sponge, ...], solved: Solved) -> float:
    hydrogen = Conditions.at(bath.temp_c, solved.ionic_strength_mol_l).hydrogen_mol_l(solved.ph)
    return sum(one.bound_mol_kg(hydrogen, solved.anions_eq_l) * one.fibre_g for one in sponges)


def _held_mmol(wet: Bath, solved: Solved) -> float:
    conditions, mixed = Conditions.at(wet.temp_c, solved.ionic_strength_mol_l), composition(wet)
    dissolved = sum(getattr(mixed, name) * conditions.shares(FAMILIES[name], solved.ph, wet.held)[0] for name in ("acetate", "citrate"))
    return float(dissolved * wet.held * wet.volume_ml)


def _variants(sponges: tuple[Sponge, ...]) -> Iterator[tuple[tuple[Sponge, ...], tuple[Sponge, ...]]]:
    def changed(make: Callable[[Sponge], Sponge]) -> tuple[Sponge, ...]:
        return tuple(make(one) for one in sponges)

    yield changed(lambda s: replace(s, internal_pk=s.internal_pk - PK_SPREAD)), changed(lambda s: replace(s, internal_pk=s.internal_pk + PK_SPREAD))
    low, high = WATER_SPREAD
    yield (
        changed(lambda s: replace(s, internal_water_l_kg=s.internal_water_l_kg * low)),
        changed(lambda s: replace(s, internal_water_l_kg=s.internal_water_l_kg * high)),
    )
    few, many = SITES_SPREAD
    yield changed(lambda s: replace(s, sites_mol_kg=s.sites_mol_kg * few)), changed(lambda s: replace(s, sites_mol_kg=s.sites_mol_kg * many))
    less, more = UNDISSOCIATED_SPREAD
    yield (
        changed(lambda s: replace(s, undissociated_l_kg=s.undissociated_l_kg * less)),
        changed(lambda s: replace(s, undissociated_l_kg=s.undissociated_l_kg * more)),
    )


def _moves(bath: Bath, sponges: tuple[Sponge, ...], ph: float, bound: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """How far pH and bound acid move down and up when each assumption about the fibre goes to its ends."""
    downs, ups = [0.0, 0.0], [0.0, 0.0]
    for pair in _variants(sponges):
        ends = [(_solved(bath, one), one) for one in pair]
        for place, moves in enumerate(([s.ph - ph for s, _ in ends], [_bound_mmol(bath, one, s) - bound for s, one in ends])):
            downs[place] = hypot(downs[place], max(0.0, *(-move for move in moves)))
            ups[place] = hypot(ups[place], max(0.0, *moves))
    return (downs[0], ups[0]), (downs[1], ups[1])
