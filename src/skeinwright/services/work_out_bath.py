"""Work out the pH of a bath, or the acid that brings it to a pH."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from skeinwright.core.bath.acids import AMMONIUM_SULPHATE, CITRIC, LABEL_SPREAD, USUAL_VINEGAR, AcidAsBought, AcidDose
from skeinwright.core.bath.fibre import INTERNAL_PK, INTERNAL_WATER_L_KG, NYLON_SITES_MOL_KG, WOOL_SITES_MOL_KG, Sponge, sponges_of
from skeinwright.core.bath.guards import (
    SPOON_SPREAD,
    Guard,
    acid_guards,
    alkalinity_guards,
    donor_guards,
    ph_guards,
    refusals,
    spoon_guards,
    warnings,
    wetting_guards,
)
from skeinwright.core.bath.ph import Bath, PhForecast, forecast_ph
from skeinwright.core.bath.spoons import CRYSTALS_G_ML, in_spoons
from skeinwright.core.bath.target import AcidForPh, acid_for_ph
from skeinwright.core.bath.titles import TEST_TITLES
from skeinwright.core.bath.uptake_of_acid import TEST_BEFORE_THE_DYE, AcidUptake, acid_for_ph_after, acid_uptake
from skeinwright.core.bath.waters import ASSUMED_ALKALINITY, CARBON_PER_ALKALINITY, GIVEN_SPREAD, stated_alkalinity
from skeinwright.core.foundations.doses import parse_amount, parse_fibre
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.estimate import Estimate
from skeinwright.core.foundations.numbers import read_number
from skeinwright.core.foundations.quantities import Habits, Kind, parse, say

ACIDS = ("vinegar", "citric", "ammonium-sulphate")


@dataclass(frozen=True, kw_only=True, slots=True)
class BathRequest:
    """What was typed. `water` is the final volume; a bare number is mg/L for `alkalinity` and C for `temp`. Empty means not said.

    `wool` is the weight of all the yarn, `nylon` the share of nylon in it (0.25 or 25 %), `superwash` whether its wool is.
    """

    water: str
    vinegar: str = ""
    vinegar_strength: str = ""
    citric: str = ""
    ammonium_sulphate: str = ""
    alkalinity: str = ""
    temp: str = ""
    open: bool = False
    wool: str = ""
    superwash: bool = False
    nylon: str = ""
    target_ph: str = ""
    acid: str = ""
    habits: Habits = field(default_factory=Habits)


@dataclass(frozen=True, kw_only=True, slots=True)
class BathFigures:
    """The pH with its 90 % interval, the figures for closed and open water, the acid for the target where one was asked for, and what was understood.

    With yarn, `forecast` is the bath as mixed and `uptake` what the yarn makes of it; the target is then the pH after uptake.
    """

    forecast: PhForecast
    uptake: AcidUptake | None
    acid: AcidForPh | None
    inputs: dict[str, str]
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]
    spoons: str = ""
    """The acid for the target in the dyer's own spoons, where it can be said in them."""

    @property
    def ph(self) -> Estimate:
        """The pH of the bath, the acid for the target included."""
        return self.forecast.ph

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object: `acid_ml` (vinegar) or `acid_g` (crystals) and `acid_in_spoons` where a target was asked for.

        `ph_closed` and `ph_open` are the pH (with yarn: after uptake) of water that keeps its carbon dioxide and of water at rest with air.
        With yarn `ph_after_uptake` and `acid_bound_mmol` as well.
        """
        plain: dict[str, Any] = {"ph": round(self.ph.value, 4), "ph_low": round(self.ph.low, 4), "ph_high": round(self.ph.high, 4)}
        both = self.forecast if self.uptake is None else self.uptake.after
        plain |= {"ph_closed": round(both.closed, 4), "ph_open": round(both.open, 4)}
        if self.uptake is not None:
            after, bound = self.uptake.after.ph, self.uptake.bound_mmol
            plain |= {"ph_after_uptake": round(after.value, 4), "ph_after_uptake_low": round(after.low, 4), "ph_after_uptake_high": round(after.high, 4)}
            plain |= {"acid_bound_mmol": float(f"{bound.value:.6g}"), "acid_bound_mmol_ci": [float(f"{bound.low:.3g}"), float(f"{bound.high:.3g}")]}
        if self.acid is not None:
            plain[f"acid_{self.acid.amount.unit}"] = float(f"{self.acid.amount.value:.6g}")
            plain["acid_in_spoons"] = self.spoons
        return {**plain, "inputs": self.inputs, "warnings": list(self.warnings), "assumed": list(self.assumed)}


def work_out_bath(request: BathRequest) -> BathFigures:
    """The pH of water with acid in it, before and, with yarn, after it has taken its share; with `target_ph`, the acid that brings it there, in this water.

    15 ml of 5 % vinegar in 4 l, alkalinity 120 mg/L, 25 C: pH 5.15. Raises BadInput where a value cannot be read, a guard refuses it,
    or the target is out of reach.
    """
    reading = _Reading(request)
    bath = reading.bath()
    target, acid = reading.target()
    sponges = reading.yarn()
    found = None
    if acid is not None:
        found = acid_for_ph_after(bath, acid, target, sponges) if sponges else acid_for_ph(bath, acid, target)
        bath = replace(bath, doses=(*bath.doses, AcidDose(acid, found.amount.value)))
    uptake = acid_uptake(bath, sponges) if sponges else None
    forecast = forecast_ph(bath) if uptake is None else uptake.before
    guards = [*reading.guards, *ph_guards(forecast.ph.value), *((donor_guards(acid, found.amount.value, bath.volume_ml)) if found and acid else ())]
    test = (TEST_BEFORE_THE_DYE,) if sponges else ()
    said = (
        *warnings(guards),
        *_spread_said(found),
        *_both_said(forecast if uptake is None else uptake.after, request.open, uptake is not None),
        *forecast.notes,
        *test,
    )
    spoons = in_spoons(found.amount.value, found.amount.unit, acid.kind, request.habits) if found is not None and acid is not None else ""
    return BathFigures(forecast=forecast, uptake=uptake, acid=found, inputs=reading.inputs, warnings=said, assumed=tuple(reading.assumed), spoons=spoons)


def _both_said(forecast: PhForecast, is_open: bool, with_yarn: bool) -> tuple[str, ...]:
    """The pH with and without carbon dioxide, of the bath as mixed or, where there is yarn, once it has its share."""
    yarn = " with the yarn in" if with_yarn else ""
    if not forecast.shows_both:
        return ()
    if is_open:
        return (f"Before the carbon dioxide has left, just after mixing, the pH{yarn} is nearer {forecast.closed:.1f}.",)
    return (f"As the carbon dioxide leaves, in a simmering pot, the pH{yarn} rises towards {forecast.open:.1f}.",)


def _spread_said(found: AcidForPh | None) -> tuple[str, ...]:
    if found is None:
        return ()
    low, high = (say("volume" if found.amount.unit == "ml" else "mass", end, digits=2) for end in (found.amount.low, found.amount.high))
    return (f"The acid that is really needed may lie between {low} and {high} (90 %): start with {low}, measure, and go on from there.",)


class _Reading:
    """The request read value by value; keeps what was understood, assumed and warned of on the way."""

    def __init__(self, request: BathRequest) -> None:
        self.request, self.habits = request, request.habits
        self.inputs: dict[str, str] = {}
        self.assumed: list[str] = []
        self.guards: list[Guard] = []
        self.vinegar: AcidAsBought | None = None
        self.volume_ml = 0.0

    def bath(self) -> Bath:
        """The bath before any acid for a target."""
        volume_ml = self.volume_ml = self._value("volume", self.request.water, "water")
        doses = tuple(self._doses(volume_ml))
        return Bath(volume_ml=volume_ml, temp_c=self._temp(), alkalinity=self._alkalinity(), doses=doses, open_to_air=self._open())

    def target(self) -> tuple[float, AcidAsBought | None]:
        """The pH asked for and the acid to reach it with; (7, None) where none was asked for."""
        name = self.request.acid.strip().lower().replace(" ", "-")
        if not self.request.target_ph.strip():
            if name:
                raise BadInput("An acid is named, but no target pH; give both or neither.", where="acid")
            return 7.0, None
        target = self._value("ph", self.request.target_ph, "target pH")
        if name not in ACIDS:
            raise BadInput(f"Say which acid is to bring the bath there: {', '.join(ACIDS)}.", where="acid", text=self.request.acid)
        self.inputs["acid"] = name
        acid = self._vinegar_bought() if name == "vinegar" else CITRIC if name == "citric" else AMMONIUM_SULPHATE
        self._assume_label(acid)
        return target, acid

    def yarn(self) -> tuple[Sponge, ...]:
        """The yarn as sponges of acid; none where none is named."""
        if not self.request.wool.strip():
            if self.request.superwash or self.request.nylon.strip():
                raise BadInput("Say how much yarn there is: --wool '100 g' is the weight of all of it, nylon and all.", where="wool")
            return ()
        fibre = parse_fibre(self.request.wool, where="wool", habits=self.habits)
        self.inputs["wool"] = fibre.echo
        nylon = self._nylon()
        kind = "superwash wool" if self.request.superwash else "wool"
        self.inputs["yarn"] = f"{kind}, {say('fraction', nylon)} nylon" if nylon else kind
        sites = f"{WOOL_SITES_MOL_KG:g} mol of sites to a kilogram of wool (+-4 %), {NYLON_SITES_MOL_KG:g} of nylon (0.02 to 0.07)"
        inside = f"pK {INTERNAL_PK:g} inside it (+-0.15), {INTERNAL_WATER_L_KG:g} l of water in a kilogram (0.3 to 0.6)"
        self.assumed.append(f"fibre: {sites}, {inside}; a pH read with the yarn in the bath tells")
        self.guards += wetting_guards(self.volume_ml, fibre.total_g)
        return sponges_of(fibre.total_g, (("wool", 1 - nylon), ("nylon", nylon)))

    def _nylon(self) -> float:
        text = self.request.nylon.strip()
        if not text:
            return 0.0
        share = float(read_number(text, where="nylon").value) if _is_share(text) else parse("fraction", text, where="nylon", habits=self.habits).value
        if not 0 <= share <= 1:
            raise BadInput("The share of nylon lies between 0 and 1 (0.25 or 25 %).", where="nylon", text=text)
        return share

    def _value(self, kind: Kind, text: str, where: str) -> float:
        read = parse(kind, text, where=where, habits=self.habits)
        self.inputs[where] = read.echo
        return read.value

    def _doses(self, volume_ml: float) -> list[AcidDose]:
        doses = []
        if self.request.vinegar.strip():
            amount = self._value("volume", self.request.vinegar, "vinegar")
            if amount > volume_ml:
                raise BadInput("There is more vinegar than bath; the water is the final volume, with all acids in it.", where="vinegar")
            doses.append(AcidDose(self._vinegar_bought(), amount))
        for acid, text in ((CITRIC, self.request.citric), (AMMONIUM_SULPHATE, self.request.ammonium_sulphate)):
            if text.strip():
                doses.append(self._crystals(acid, text))
        for dose in doses:
            self._assume_label(dose.acid)
        return doses

    def _crystals(self, acid: AcidAsBought, text: str) -> AcidDose:
        read = parse_amount(text, where=acid.kind, habits=self.habits)
        self.inputs[acid.kind] = read.echo
        if read.kind == "mass":
            return AcidDose(acid, read.value)
        grams = read.value * CRYSTALS_G_ML[acid.kind]
        self.inputs[acid.kind] += f", about {say('mass', grams, digits=2)}"
        self.assumed.append(f"{acid.kind}: a millilitre of crystals weighs {CRYSTALS_G_ML[acid.kind]:g} g (+-30 %)")
        self.guards += spoon_guards("tsp", acid.kind, acid.kind)
        return AcidDose(acid, grams, SPOON_SPREAD)

    def _vinegar_bought(self) -> AcidAsBought:
        if self.vinegar is not None:
            return self.vinegar
        strength = USUAL_VINEGAR
        if self.request.vinegar_strength.strip():
            strength = self._value("strength", self.request.vinegar_strength, "vinegar strength")
        else:
            self.assumed.append("vinegar: 5 % (5 g of acetic acid in 100 ml)")
        self.vinegar = AcidAsBought("vinegar", strength)
        found = acid_guards(self.vinegar, "vinegar strength")
        for guard in refusals(found):
            raise BadInput(guard.sentence, where=guard.where)
        self.guards += found
        return self.vinegar

    def _assume_label(self, acid: AcidAsBought) -> None:
        sentence = f"{acid.kind}: within {LABEL_SPREAD[acid.kind] * 100:g} % of its label"
        if sentence not in self.assumed:
            self.assumed.append(sentence)

    def _temp(self) -> float:
        if not self.request.temp.strip():
            self.assumed.append("temperature: 25 C")
            return 25.0
        return self._value("temperature", _with_unit(self.request.temp, "C"), "temp")

    def _alkalinity(self) -> Estimate:
        if not self.request.alkalinity.strip():
            self.assumed.append(f'{ASSUMED_ALKALINITY.note}; the test "{TEST_TITLES["alkalinity"]}" tells')
            return ASSUMED_ALKALINITY
        given = self._value("alkalinity", _with_unit(self.request.alkalinity, "mg/L"), "alkalinity")
        self.assumed.append(f"alkalinity: within {GIVEN_SPREAD * 100:g} % of the figure given")
        found = alkalinity_guards(given)
        for guard in refusals(found):
            raise BadInput(guard.sentence, where=guard.where, text=self.request.alkalinity)
        self.guards += found
        return stated_alkalinity(given)

    def _open(self) -> bool:
        if not self.request.open:
            self.assumed.append(f"closed water: the carbon dioxide has not left yet, {CARBON_PER_ALKALINITY:g} mol of it to one of alkalinity (0.99 to 1.22)")
        self.inputs["open"] = "yes" if self.request.open else "no"
        return self.request.open


def _is_share(text: str) -> bool:
    """True for a bare number."""
    return text.strip()[-1].isdigit() or text.strip().endswith((".", ","))


def _with_unit(text: str, unit: str) -> str:
    """A bare number with the unit that it has here by agreement."""
    return f"{text} {unit}" if text.strip() and text.strip()[-1].isdigit() else text
