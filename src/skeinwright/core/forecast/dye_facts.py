"""What the colour services need to know of dyes: their swatches and models, the undyed yarns, prices, jars."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING

from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.foundations.quantities import HABITS, Habits, parse, parse_dose, parse_fibre, say
from skeinwright.core.shelf.items import Dye, Solution
from skeinwright.core.shelf.lab_text import parse_lab, write_lab
from skeinwright.core.shelf.swatch import ASSUMED_UNDYED, Lab, Swatch

if TYPE_CHECKING:
    from skeinwright.core.colour.dye_set import DyeSet
    from skeinwright.core.colour.ladder import DyeModel
    from skeinwright.core.colour.tables import Array
    from skeinwright.core.colour.weighable import Doser
    from skeinwright.core.forecast.ground import Ground

MOST_OF_A_DYE = 0.2
"""No recipe is asked for with more of one dye than a fifth of the fibre's weight [assumed]."""
Spectrum = tuple[tuple[float, float], ...]
"""(wavelength nm, reflectance 0-1) pairs."""


@dataclass(frozen=True, kw_only=True, slots=True)
class DyeFacts:
    """Dyes, the undyed colour by base (its spectrum too, where it was measured), and solutions on hand.

    From a table of swatches (`read_dye_table`) or from the shelf (`gather_dyes`).
    """

    dyes: tuple[Dye, ...]
    undyed: Mapping[str, Lab] = field(default_factory=dict)
    spectra: Mapping[str, Spectrum] = field(default_factory=dict)
    solutions: tuple[Solution, ...] = ()
    assumed: tuple[str, ...] = ()
    bases: tuple[str, ...] | None = None
    """The names of all bases of the shelf, so that a slip of the pen is no base of assumed colour; None where a table is all there is."""

    @property
    def known(self) -> tuple[Dye, ...]:
        """The dyes whose colour is known, from at least one swatch with a depth above 0."""
        return tuple(dye for dye in self.dyes if any(swatch.depth > 0 for swatch in dye.swatches))

    def models(self) -> dict[str, DyeModel]:
        """The model of each dye whose colour is known, by name; fitted once."""
        return {dye.name: fitted(dye.swatches, tuple(self._under(swatch.base) for swatch in dye.swatches)) for dye in self.known}

    def bases_under(self, dye: Dye) -> Array:
        """Reflectance (n, 31) of the undyed yarn under each of a dye's swatches: measured, else the smoothest with its Lab, assumed where that is not known."""
        import numpy as np

        return np.array([spectrum_of(self._under(swatch.base)) for swatch in dye.swatches])

    def _under(self, base: str) -> Lab | Spectrum:
        return self.spectra.get(base) or self.undyed.get(base, ASSUMED_UNDYED)

    def dye_set(self, ground: Ground, names: tuple[str, ...] | None = None) -> DyeSet:
        """The known dyes over a ground, for many forecasts at once. Raises BadInput where no dye's colour is known."""
        from skeinwright.core.colour.dye_set import dye_set

        models = self.models()
        chosen = names if names is not None else tuple(sorted(models))
        if not chosen:
            raise BadInput("No dye has a swatch: without one its colour is not known.", where="dyes")
        return dye_set(models, ground.spectrum, names=chosen, base=ground.name)

    def prices(self) -> dict[str, float]:
        """Minor units of money for a gram of dye at full strength, where the jar's price and weight are known."""
        return {dye.name: dye.price_minor / dye.jar_g / dye.strength for dye in self.dyes if dye.price_minor is not None and dye.jar_g}

    def strengths(self) -> dict[str, float]:
        """The strength of each jar."""
        return {dye.name: dye.strength for dye in self.dyes}

    def pipetted(self) -> dict[str, float]:
        """Grams of powder in a millilitre of each dye that stands ready as a solution of its own."""
        return {solution.parts[0][0]: solution.strength for solution in self.solutions if len(solution.parts) == 1}

    def doser(self, fibre_g: float) -> Doser:
        """How amounts are taken on this much fibre: from the jars, or from the solutions that stand ready."""
        from skeinwright.core.colour.weighable import Doser

        return Doser(fibre_g=fibre_g, solutions=self.pipetted(), strengths=self.strengths())

    def depths(self, doses: tuple[str, ...] | list[str], *, where: str = "dose", habits: Habits = HABITS) -> dict[str, float]:
        """Depths (fractions) by dye from "Kelp=0.5 %"; a dye is found whatever its capitals, and may be given once. Raises BadInput."""
        if not doses:
            raise BadInput("No dose was given. Write one as 'Kelp=0.5 %'.", where=where)
        known = {dye.name.casefold(): dye.name for dye in self.known}
        read: dict[str, float] = {}
        for text in doses:
            said, equals, amount = text.rpartition("=")
            if not equals or not said.strip():
                raise BadInput(f"'{text}' is not a dose. Write it as 'Kelp=0.5 %'.", where=where, text=text)
            name = self.name(said, known, where)
            if name in read:
                raise BadInput(f"{name} is given twice. Add its doses up.", where=where, text=text)
            dose = parse_dose(amount, where=f"{where} of {name}", habits=habits)
            if dose.kind != "fraction":
                sentence = f"'{amount.strip()}' is not a depth of shade. Write it as per cent of the fibre's weight."
                raise BadInput(sentence, where=f"{where} of {name}", text=text)
            read[name] = dose.value
        return read

    def name(self, said: str, known: Mapping[str, str] | None = None, where: str = "dye") -> str:
        """The dye's own name for what was typed. Raises BadInput where its colour is not known."""
        known = known if known is not None else {dye.name.casefold(): dye.name for dye in self.known}
        found = known.get(" ".join(said.split()).casefold())
        if found is None:
            raise BadInput(f"{said.strip()} has no swatch here: its colour is not known. Known are {', '.join(known.values()) or 'no dyes'}.", where=where)
        return found

    def ground(self, base_lab: str = "", base: str = "") -> tuple[Ground, str]:
        """The undyed ground from a typed Lab, or a base's name, or the only undyed yarn that is known; and what it is, in words. Raises BadInput."""
        from skeinwright.core.forecast.ground import ground_of

        def known_ground(name: str) -> Ground:
            spectrum = self.spectra.get(name)
            return ground_of(self.undyed[name], name) if spectrum is None else _measured_ground(spectrum, name)

        if base_lab.strip():
            lab = parse_lab(base_lab, where="base-lab")
            return ground_of(lab, base), f"{base} {write_lab(lab)}".strip()
        names = {name.casefold(): name for name in self.undyed}
        if base and base.casefold() in names:
            name = names[base.casefold()]
            return known_ground(name), f"{name} {write_lab(self.undyed[name])}"
        if base and self.bases is not None and base.casefold() not in (name.casefold() for name in self.bases):
            raise BadInput(f"There is no base called '{base[:40]}' on the shelf. It has {', '.join(sorted(self.bases)) or 'none'}.", where="base", text=base)
        if base:
            return ground_of(None, base), f"{base} {write_lab(ASSUMED_UNDYED)} (assumed)"
        different = {lab.values: name for name, lab in self.undyed.items()}
        if len(different) > 1:
            raise BadInput(f"There are several undyed bases ({', '.join(different.values())}). Say which one with --base.", where="base")
        if self.undyed:
            name, lab = next(iter(self.undyed.items()))
            return known_ground(name), f"{name} {write_lab(lab)}".strip()
        return ground_of(None), f"{write_lab(ASSUMED_UNDYED)} (assumed)"


@lru_cache(maxsize=512)
def fitted(swatches: tuple[Swatch, ...], under: tuple[Lab | Spectrum, ...]) -> DyeModel:
    """The model of a dye from its swatches, each on the undyed yarn `under` it; kept by what went into it."""
    import numpy as np

    from skeinwright.core.colour.ladder import fit_dye

    return fit_dye(swatches, np.array([spectrum_of(one) for one in under]))


def spectrum_of(under: Lab | Spectrum) -> Array:
    """Reflectance (31,) of undyed yarn: as it was measured, else the smoothest with its Lab."""
    from skeinwright.core.colour.recover import recover
    from skeinwright.core.colour.spectra import on_bands

    return recover(under).reflectance if isinstance(under, Lab) else on_bands(under)


def _measured_ground(spectrum: Spectrum, name: str) -> Ground:
    from skeinwright.core.colour.spectra import on_bands
    from skeinwright.core.forecast.ground import ground_of_spectrum

    return ground_of_spectrum(on_bands(spectrum), name)


def in_pct(doses: Mapping[str, float]) -> dict[str, float]:
    """Depths as per cent of the fibre's weight, to five significant figures."""
    return {name: float(f"{100 * depth:.5g}") for name, depth in doses.items()}


def said_doses(doses: Mapping[str, float]) -> str:
    """Doses in words: "0.5 % Kelp, 0.2 % Ember"."""
    return ", ".join(f"{say('fraction', depth)} {name}" for name, depth in doses.items()) or "no dye"


def lab_list(lab: Lab | Array) -> list[float]:
    """L*, a*, b* to two decimals: nothing finer is known."""
    return [round(float(value), 2) for value in (lab.values if isinstance(lab, Lab) else lab)]


def deepest_of(typed: str) -> float:
    """The most of any one dye as typed ("4 %"), as a fraction; the usual one where nothing was typed. Raises BadInput."""
    from skeinwright.core.colour.match import DEEPEST

    if not typed.strip():
        return DEEPEST
    value = float(parse("fraction", typed, where="deepest").value)
    if not 0 < value <= MOST_OF_A_DYE:
        raise BadInput(f"The most of one dye lies between 0 and {100 * MOST_OF_A_DYE:g} % of the fibre's weight.", where="deepest", text=typed)
    return value


def fibre_g_of(typed: str) -> float | None:
    """Grams of fibre as typed ("200 g", "2 skeins of 115 g"); None where nothing was typed. Raises BadInput."""
    return float(parse_fibre(typed).total_g) if typed.strip() else None
