"""The rules by which a pot goes from one moment to the next, for all draws at once."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import ceil, exp, log

import numpy as np

from skeinwright.core.bath.acids import AcidAsBought
from skeinwright.core.bath.charge_balance_many import SolvedMany, SpongeMany, Totals
from skeinwright.core.bath.constants import co2_dissolved_mol_l
from skeinwright.core.bath.draws import Drawn
from skeinwright.core.bath.engine import Engine, engine
from skeinwright.core.bath.fibre import WOOL_SITES_MOL_KG
from skeinwright.core.bath.heat import evaporation_kg_s, hot_pot
from skeinwright.core.bath.isotherm import Array, counted_anions_eq_l, partition
from skeinwright.core.bath.jar import behind_many
from skeinwright.core.bath.kinetics import (
    FIBRE_RADIUS_M,
    OFF_RATE,
    ON_RATE,
    Going,
    Rates,
    film_m,
    pieces,
    relative_rate,
    supply_l_kg_s,
    water_diffusion_m2_s,
)
from skeinwright.core.bath.pot_run import AddAcid, AddDye, AddSalt, AddWater, Event, LayIn, PhReading, PotRun, PourOff
from skeinwright.core.bath.species import FAMILIES
from skeinwright.core.bath.water_properties import boiling_point_c
from skeinwright.core.bath.waters import MG_L_PER_EQ_L

SUB_STEP_S = 30.0
SUB_STEPS_A_HALF_LIFE = 6
SODIUM_SULPHATE_G_MOL = 142.04
"""Without water; from memory (IUPAC weights)."""
DRY_L = 0.02
"""No pot is followed below so much liquor a kilogram of fibre, or a twentieth of a litre."""
GAS_HALF_LIFE_25_S, GAS_HALF_LIFE_90_S = 10800.0, 600.0
"""Until half of the carbonic acid has left a pot: 3 h at 25 C, 10 min at 90 C, in equal factors between [assumed, times or divided by 3]."""
STEADY_PH = 0.05
"""Where no draw's pH moved by more than this in a block, the next one is looked for further on in the same direction."""


@dataclass(slots=True)
class PotState:
    """Moles, grams and litres of every draw."""

    mol: dict[str, Array]
    strong_cation: Array
    strong_anion: Array
    volume_l: Array
    going: Going
    laid: bool = False
    ph: Array = field(default_factory=lambda: np.zeros(0))
    strength: Array = field(default_factory=lambda: np.zeros(0))
    ph_step: Array = field(default_factory=lambda: np.zeros(0))
    strength_step: Array = field(default_factory=lambda: np.zeros(0))
    ln_ratio: list[Array] = field(default_factory=list)
    ln_ratio_dye: Array = field(default_factory=lambda: np.zeros(0))
    bound_eq_l: Array = field(default_factory=lambda: np.zeros(0))
    solved: SolvedMany | None = None
    offset: Array = field(default_factory=lambda: np.zeros(1))
    """What a reading moves the pH by."""
    steamed_l: Array = field(default_factory=lambda: np.zeros(0))
    dye_in_g: Array = field(default_factory=lambda: np.zeros(0))
    dye_out_g: Array = field(default_factory=lambda: np.zeros(0))


@dataclass(slots=True)
class Kept:
    """What is remembered of one block, by draw."""

    ph: list[Array] = field(default_factory=list)
    water_l: list[Array] = field(default_factory=list)
    steamed_l: list[Array] = field(default_factory=list)
    on_g: list[Array] = field(default_factory=list)
    dye_error: float = 0.0
    acid_error: float = 0.0


def fresh_state(run: PotRun, drawn: Drawn) -> PotState:
    """An empty pot."""
    n, dyes, fibres = drawn.n, len(run.dyes), len(run.fibres)
    return PotState(
        mol={name: np.zeros(n) for name in FAMILIES},
        strong_cation=np.zeros(n),
        strong_anion=np.zeros(n),
        volume_l=np.zeros(n),
        going=Going(np.zeros((n, dyes)), np.zeros((n, dyes, fibres)), np.zeros((n, dyes, fibres))),
        ph=np.full(n, 7.0),
        strength=np.zeros(n),
        ph_step=np.zeros(n),
        strength_step=np.zeros(n),
        ln_ratio=[np.ones(n) for _ in range(fibres)],
        ln_ratio_dye=np.ones(n),
        bound_eq_l=np.zeros(n),
        offset=np.full(n, run.ph_offset),
        steamed_l=np.zeros(n),
        dye_in_g=np.zeros((n, dyes)),
        dye_out_g=np.zeros((n, dyes)),
    )


class Pot:
    """The pot's rules for one set of draws."""

    def __init__(self, run: PotRun, drawn: Drawn, loops: Engine | None = None) -> None:
        self.run, self.drawn = run, drawn
        self.loops = loops or engine()
        self.mass_kg = np.array([one.mass_g / 1000 for one in run.fibres])
        self.wool = [place for place, one in enumerate(run.fibres) if one.kind != "nylon"]
        self.has_skin = np.array([one.kind == "wool" for one in run.fibres], dtype=bool)
        self.names = [dye.name for dye in run.dyes]
        self.least_l = max(0.05, DRY_L * float(self.mass_kg.sum()))
        self.cold = (drawn.pieces_cold, drawn.pieces_hot)
        self.hot = None if run.vessel is None else tuple(hot_pot(run.vessel, 1.0, run.fibre_g, lid=lid) for lid in (False, True))
        self.boils_c = boiling_point_c(run.around.altitude_m)

    def happen(self, state: PotState, event: Event) -> None:
        """One event, all draws."""
        drawn = self.drawn
        before_l = state.volume_l
        match event:
            case AddWater(volume_ml=volume_ml):
                litres = volume_ml / 1000 * drawn.volume
                equivalents = drawn.alkalinity_mg_l / MG_L_PER_EQ_L * litres
                state.volume_l = state.volume_l + litres
                state.strong_cation = state.strong_cation + equivalents
                state.mol["carbonate"] = state.mol["carbonate"] + drawn.carbon * equivalents
            case PourOff(volume_ml=volume_ml):
                self._pour_off(state, volume_ml)
                return
            case AddAcid(acid=acid, amount=amount):
                self._acid(state, acid, amount * drawn.label[acid.kind])
                state.volume_l = state.volume_l + (amount / 1000 if acid.unit == "ml" else 0.0)
            case AddDye(grams=grams, volume_ml=volume_ml):
                added = np.zeros(len(self.names))
                for name, mass_g in grams:
                    added[self.names.index(name)] += mass_g
                state.dye_in_g = state.dye_in_g + added
                state.volume_l = state.volume_l + volume_ml / 1000
                state.going.bath_g_l = (state.going.bath_g_l * before_l[:, None] + added) / np.maximum(state.volume_l, 1e-9)[:, None]
                return
            case AddSalt(mass_g=mass_g):
                state.mol["sulphate"] = state.mol["sulphate"] + mass_g / SODIUM_SULPHATE_G_MOL
                state.strong_cation = state.strong_cation + 2 * mass_g / SODIUM_SULPHATE_G_MOL
            case LayIn(presoak_mol=presoak):
                state.laid = True
                for name, mol in presoak:
                    state.mol[name] = state.mol[name] + mol
        state.going.bath_g_l = state.going.bath_g_l * (before_l / np.maximum(state.volume_l, 1e-9))[:, None]

    def _acid(self, state: PotState, acid: AcidAsBought, amount: Array) -> None:
        brought = acid.in_bath(1.0, 1000.0)
        for name in FAMILIES:
            mol = getattr(brought, name)
            if mol:
                state.mol[name] = state.mol[name] + mol * amount

    def _pour_off(self, state: PotState, volume_ml: float) -> None:
        """The liquor's share of everything; what is on the fibre stays, and so do the ions that stand against it."""
        left = np.maximum(state.volume_l - volume_ml / 1000, self.least_l)
        share = np.minimum(left / state.volume_l, 1.0)
        bound = self._bound_eq(state)
        held = self.held(state)
        for name in ("acetate", "citrate"):
            inside = state.mol[name] * self._held_share(state, name) * held
            state.mol[name] = (state.mol[name] - inside) * share + inside
        for name in ("ammonium", "sulphate", "carbonate"):
            state.mol[name] = state.mol[name] * share
        state.strong_anion = state.strong_anion * share
        state.strong_cation = (state.strong_cation + bound) * share - bound
        state.dye_out_g = state.dye_out_g + state.going.bath_g_l * (state.volume_l - left)[:, None]
        state.volume_l = left

    def held(self, state: PotState) -> Array:
        """What fibre holds of undissociated acid over the bath."""
        if not state.laid:
            return np.zeros(self.drawn.n)
        return np.asarray(self.drawn.undissociated_l_kg @ self.mass_kg / state.volume_l)

    def _held_share(self, state: PotState, name: str) -> Array:
        """Dissolved undissociated acid over all of that acid."""
        assert state.solved is not None
        return state.solved.undissociated_share.get(name, np.zeros(self.drawn.n))

    def _totals(self, state: PotState) -> Totals:
        volume = state.volume_l
        families = {name: mol / volume for name, mol in state.mol.items()}
        return Totals(families, state.strong_cation / volume, state.strong_anion / volume, self.held(state), self.drawn.pk_lean)

    def _sponges(self, state: PotState) -> list[SpongeMany]:
        drawn, found = self.drawn, []
        acid = np.einsum("nd,ndf->nf", drawn.dye_acid_mol_g, state.going.fibre_g_kg)
        for place, mass in enumerate(self.mass_kg):
            found.append(
                SpongeMany(
                    mass / state.volume_l,
                    drawn.sites[:, place],
                    drawn.internal_k,
                    drawn.internal_water_l_kg[:, place],
                    acid[:, place],
                    state.ln_ratio[place],
                )
            )
        return found

    def _bound_eq(self, state: PotState) -> Array:
        """Acid on all fibres, eq: the charge of what is dissolved, turned round."""
        return state.bound_eq_l * state.volume_l

    def solve(self, state: PotState, temp_c: float) -> None:
        """The pH now."""
        sponges = self._sponges(state) if state.laid else []
        ahead = np.maximum(state.strength + state.strength_step, 0.0)
        solved = self.loops.solve(self._totals(state), temp_c, sponges, state.ph + state.ph_step, ahead)
        steady = not np.any(np.abs(solved.ph - state.ph) > STEADY_PH)
        state.ph_step = solved.ph - state.ph if steady else 0.0 * state.ph
        state.strength_step = solved.ionic_strength_mol_l - state.strength if steady else 0.0 * state.ph
        state.solved, state.ph, state.strength, state.bound_eq_l = solved, solved.ph, solved.ionic_strength_mol_l, solved.bound_eq_l
        if sponges:
            state.ln_ratio = [one.ln_ratio for one in sponges]

    def read(self, state: PotState, reading: PhReading) -> None:
        """The reading is taken: offset = weight (reading + its error - pH), by draw; the model is corrected by its error, as far as the reading is sure."""
        state.offset = self.run.ph_offset + reading.weight * (reading.ph + reading.half_width * self.drawn.misread - state.ph - self.run.ph_offset)

    def block(self, state: PotState, start_s: float, end_s: float) -> None:
        """From one solved moment to the next."""
        span = end_s - start_s
        if span <= 0:
            return
        middle_c = 0.5 * (self.run.temp_c(start_s) + self.run.temp_c(end_s - 1e-9))
        if state.laid and self.names and len(self.mass_kg):
            self._dye(state, middle_c, self._off_c(start_s, end_s, middle_c), span)
        self._steam(state, middle_c, span, self.run.covered(0.5 * (start_s + end_s)))
        self._gas(state, middle_c, span)

    def _off_c(self, start_s: float, end_s: float, middle_c: float) -> Array:
        """How far each draw's liquor is off the centre line's: by its thermometer, and in a jar by its own lag."""
        drawn, run = self.drawn, self.run
        if run.lag is None or drawn.n == 1:
            return drawn.temp_off_c
        ends = behind_many(run.programme, drawn.lag_s, np.array([start_s, end_s]))
        return np.asarray(drawn.temp_off_c + ends.mean(axis=0) - middle_c)

    def _dye(self, state: PotState, temp_c: float, off_c: Array, span: float) -> None:
        drawn, run = self.drawn, self.run
        warm = np.minimum(temp_c + off_c, self.boils_c)[:, None]
        speed = drawn.diffusion_95 * relative_rate(warm[:, :, None], drawn.activation_j_mol) / FIBRE_RADIUS_M**2
        skin = np.where(self.has_skin, 1 / (OFF_RATE * speed * drawn.skin[:, None, None]), 0.0) if self.has_skin.any() else None
        rates = Rates(
            self._partition(state, warm),
            drawn.saturation_g_kg,
            ON_RATE * speed,
            self._supply(temp_c, warm, run.stirred)[:, :, None],
            drawn.partition_share,
            skin,
        )
        half_life = log(2) * _middle(state.volume_l) / float(self.mass_kg.sum()) / _middle(rates.supply_l_kg_s)
        steps = max(1, ceil(span / min(SUB_STEP_S, max(3.0, half_life / SUB_STEPS_A_HALF_LIFE)) - 1e-9))
        self.loops.go_on(state.going, rates, self.mass_kg, state.volume_l, span / steps, steps)

    def _partition(self, state: PotState, warm: Array) -> Array:
        drawn = self.drawn
        assert state.solved is not None
        counted = counted_anions_eq_l(state.solved.anions_eq_l)
        ph = state.ph + state.offset
        water = drawn.internal_water_l_kg[:, self.wool[0]] if self.wool else np.full(drawn.n, 0.4)
        filled, state.ln_ratio_dye = self.loops.filled(10.0**-ph, counted, np.full(drawn.n, WOOL_SITES_MOL_KG), drawn.internal_k, water, state.ln_ratio_dye)
        kp = partition(drawn.ionic, drawn.neutral, filled[:, None], drawn.sulphonates, counted[:, None], warm, drawn.heat_j_mol)
        return np.asarray(kp[:, :, None] * drawn.partition_factor)

    def _supply(self, temp_c: float, warm: Array, stirred: bool) -> Array:
        drawn = self.drawn
        diffusion = water_diffusion_m2_s(temp_c, 1.0) * drawn.water_diffusion[:, None] / pieces(warm, *self.cold) ** (1 / 3)
        return np.asarray(supply_l_kg_s(diffusion, film_m(warm, stirred) * drawn.film[:, None]))

    def _steam(self, state: PotState, temp_c: float, span: float, lid: bool) -> None:
        if self.hot is None:
            return
        over_law = self.drawn.evaporation_lid if lid else self.drawn.evaporation
        lost = evaporation_kg_s(self.hot[lid], min(temp_c, self.boils_c), self.run.around) * span * over_law
        left = np.maximum(state.volume_l - lost, np.minimum(self.least_l, state.volume_l))
        state.going.bath_g_l = state.going.bath_g_l * (state.volume_l / left)[:, None]
        state.steamed_l = state.steamed_l + state.volume_l - left
        state.volume_l = left

    def _gas(self, state: PotState, temp_c: float, span: float) -> None:
        assert state.solved is not None
        share = min(1.0, max(0.0, (temp_c - 25.0) / 65.0))
        half_life = exp(log(GAS_HALF_LIFE_25_S) * (1 - share) + log(GAS_HALF_LIFE_90_S) * share)
        leaves = 1 - np.exp(-log(2) * span / half_life * self.drawn.gas_leaves)
        over = np.maximum(state.solved.carbonic_mol_l - co2_dissolved_mol_l(temp_c), 0.0)
        state.mol["carbonate"] = np.maximum(state.mol["carbonate"] - leaves * over * state.volume_l, 0.0)

    def remember(self, state: PotState, kept: Kept) -> None:
        """The moment's figures, and how far dye and charge are off on the first draw."""
        on_g = np.einsum("ndf,f->nd", state.going.fibre_g_kg, self.mass_kg)
        kept.ph.append(state.ph + state.offset)
        kept.water_l.append(state.volume_l)
        kept.steamed_l.append(state.steamed_l)
        kept.on_g.append(on_g)
        there = on_g[0] + state.going.bath_g_l[0] * state.volume_l[0] + state.dye_out_g[0]
        given = state.dye_in_g[0]
        if given.size:
            kept.dye_error = max(kept.dye_error, float(np.max(np.abs(there - given) / np.maximum(given, 1e-12) * (given > 0))))
        assert state.solved is not None
        ions = max(float(state.solved.ionic_strength_mol_l[0]), 1e-9)
        kept.acid_error = max(kept.acid_error, abs(float(state.solved.left_over[0])) / ions)


def _middle(values: Array) -> float:
    """The median."""
    return float(values.flat[0]) if values.size == 1 else float(np.median(values))
