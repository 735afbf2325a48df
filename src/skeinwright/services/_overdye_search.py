"""The search behind `find_overdyes`: recipes over all the colours of a skein at once, and what belongs to each that is chosen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from skeinwright.core.forecast.dye_facts import DyeFacts, deepest_of, fibre_g_of, said_doses
from skeinwright.core.foundations.errors import BadInput
from skeinwright.core.shelf.lab_text import parse_lab
from skeinwright.core.shelf.swatch import Lab
from skeinwright.services.overdye_on_skein import Overdye

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from skeinwright.core.colour.dye_set import DyeSet
    from skeinwright.core.colour.weighable import Dose
    from skeinwright.core.forecast.dyeing import BaseForecast
    from skeinwright.core.forecast.ground import Ground
    from skeinwright.core.measure.overdye_choice import Choice, Over
    from skeinwright.services.find_overdyes import FindOverdyes
    from skeinwright.services.run_in_background import Tell

    Array = NDArray[np.float64]

NOT_DARK = "Nothing on this shelf, as deep as you allow, brings the skein's colours together enough; these come nearest to it."
MOST_DYES = 3
_FULL_RADIUS = 2.5
"""The radius of 90 % in three dimensions is 2.5 standard deviations (chi, 3 degrees of freedom)."""


@dataclass(frozen=True, slots=True)
class Solved:
    why: str
    choice: Choice
    doses: dict[str, float]
    amounts: tuple[Dose, ...]
    mean: Lab
    forecast: BaseForecast
    cost_minor: float | None


class Search:
    """Looks for overdyes of the spectra that `overdye_on_skein` hands in, and keeps what belongs to each."""

    def __init__(self, facts: DyeFacts, request: FindOverdyes, tell: Tell) -> None:
        self.facts, self.request, self.tell = facts, request, tell
        self.names = _names(facts, request.dyes)
        self.target = _target(request.target)
        self.deepest = deepest_of(request.deepest)
        self.fibre_g = fibre_g_of(request.fibre)
        self.doser = None if self.fibre_g is None else facts.doser(self.fibre_g)
        if not 1 <= request.max_dyes <= MOST_DYES:
            raise BadInput(f"An overdye has 1 to {MOST_DYES} dyes.", where="most")
        self.solved: list[Solved] = []
        self.warnings: tuple[str, ...] = ()
        self.uneven = 0.0

    def find(self, spectra: Array) -> list[Overdye]:
        """The overdyes as `overdye_on_skein` wants them."""
        import numpy as np

        from skeinwright.core.measure.overdye_choice import Over, near_and_dark, nearest_to

        piece = self.request.reading.pieces[self.request.piece]
        shares = np.array([piece.ground_share, *(share for _, share in piece.others)])
        over = Over([self._set(one) for one in spectra], shares / shares.sum())
        self.uneven = float(over.uneven(np.zeros((1, len(self.names))))[0])
        self.tell(0.4, "Looking for overdyes.")
        if self.target is None:
            choices, enough = near_and_dark(over, self._weighable(self._grid(over)))
            self.warnings = () if enough else (NOT_DARK,)
        else:
            choices = nearest_to(over, self._weighable(self._near(over, spectra)), np.array(self.target.values))
        self.tell(0.7, "Painting them on the skein.")
        self.solved = [self._whole(choice, over, spectra) for choice in choices]
        return [Overdye(said_doses(one.doses), over.spectra(one.choice.depths[None])[:, 0]) for one in self.solved]

    def _set(self, spectrum: Array) -> DyeSet:
        return self.facts.dye_set(self._ground(spectrum), self.names)

    def _ground(self, spectrum: Array) -> Ground:
        from skeinwright.core.forecast.ground import ground_of_spectrum
        from skeinwright.core.measure.stated import crest_spread

        assert self.request.reading.correction is not None
        sd = crest_spread(self.request.reading.correction.spread_de00) / _FULL_RADIUS  # the skein's colours were read on the crests
        return ground_of_spectrum(spectrum, self.request.base, sd=sd, observer_changed=True)  # a photo's Lab is of 2 degrees, the forecast's of 10

    def _limits(self) -> Array:
        import numpy as np

        return np.array([min(self.deepest, self.request.limits.get(name, np.inf)) for name in self.names])

    def _grid(self, over: Over) -> Array:
        from skeinwright.core.measure.overdye_choice import grid

        return grid(over.sets[0], self._limits(), self.request.max_dyes)

    def _near(self, over: Over, spectra: Array) -> Array:
        """Recipes that bring the skein's mean, and its ground alone, near the target."""
        import numpy as np

        from skeinwright.core.colour.match import Wanted, find_matches

        assert self.target is not None
        limits = dict(zip(self.names, (float(one) for one in self._limits()), strict=True))
        wanted = Wanted(lab=self.target, max_dyes=self.request.max_dyes, deepest=self.deepest, limits=limits)
        rows = []
        for ground in (np.einsum("k,kb->b", over.shares, spectra), spectra[0]):
            found = find_matches(self._set(ground), wanted, rng=np.random.default_rng(self.request.seed))
            rows += [over.sets[0].depths_of(match.doses) for match in found.matches if match.doses]
            self.tell(0.55, "Looking for overdyes.")
        return np.array(rows).reshape(-1, len(self.names))

    def _weighable(self, depths: Array) -> Array:
        """The recipes as they can be weighed or pipetted, where the fibre's weight is known; those that fall to no dye are left out."""
        import numpy as np

        if self.doser is not None and len(depths):
            names = self.names
            depths = np.array([self._over_names(self._rounded(dict(zip(names, row, strict=True)))[1]) for row in depths])
        kept = depths[depths.sum(axis=1) > 0]
        if not len(kept):
            raise BadInput("No recipe is left: allow more dyes, deeper ones, or more fibre.", where="dyes")
        return np.unique(kept, axis=0)

    def _over_names(self, doses: Mapping[str, float]) -> list[float]:
        return [doses.get(name, 0.0) for name in self.names]

    def _rounded(self, doses: Mapping[str, float]) -> tuple[tuple[Dose, ...], dict[str, float]]:
        from skeinwright.core.colour.weighable import rounded

        assert self.doser is not None
        return rounded({name: depth for name, depth in doses.items() if depth > 0}, self.doser)

    def _whole(self, choice: Choice, over: Over, spectra: Array) -> Solved:
        import numpy as np

        from skeinwright.core.colour.match import cost_minor
        from skeinwright.core.forecast.dyeing import forecast_dyeing
        from skeinwright.core.picture.describe import colour_words

        doses = over.sets[0].doses_of(choice.depths)
        amounts = self._rounded(doses)[0] if self.doser is not None else ()
        _, mean = over.after(choice.depths[None])
        L, a, b = (float(value) for value in mean[0])
        forecast = forecast_dyeing(
            doses,
            self.facts.dyes,
            self._ground(np.einsum("k,kb->b", over.shares, spectra)),
            rng=np.random.default_rng(self.request.seed),
            undyed=self.facts.undyed,
            models=self.facts.models(),
            fibre_g=self.fibre_g,
        )
        why = choice.why or colour_words((L, a, b)).capitalize()
        return Solved(why, choice, doses, amounts, Lab(L, a, b, "D65", 2), forecast, cost_minor(doses, self.facts.prices()))


def _names(facts: DyeFacts, allowed: Sequence[str]) -> tuple[str, ...]:
    names = tuple(sorted({facts.name(name, where="dyes") for name in allowed} or {dye.name for dye in facts.known}))
    if not names:
        raise BadInput("No dye has a swatch: without one its colour is not known.", where="dyes")
    return names


def _target(typed: str) -> Lab | None:
    """The target under D65 and 2 degree, in which the photo's colours stand; None where nothing was wished for."""
    from skeinwright.core.colour.recover import recover
    from skeinwright.core.colour.spaces import hex_to_lab, spectrum_to_lab

    said = typed.strip()
    if not said:
        return None
    lab = hex_to_lab(said) if said.startswith("#") else parse_lab(said, where="target")
    if (lab.illuminant, lab.observer) == ("D65", 2):
        return lab
    L, a, b = (float(value) for value in spectrum_to_lab(recover(lab).reflectance, "D65", 2))
    return Lab(L, a, b, "D65", 2)
