"""Three overdyes for a skein in a photo: over all its colours at once, near a target or near what it is, shown on its own picture."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from skeinwright.core.forecast.dye_facts import DyeFacts, in_pct, lab_list
from skeinwright.core.foundations.errors import PhotoRefused
from skeinwright.core.shelf.swatch import Lab
from skeinwright.services._overdye_search import Search
from skeinwright.services.overdye_on_skein import OverdyeOnSkein, overdye_on_skein

if TYPE_CHECKING:
    from skeinwright.core.colour.weighable import Dose
    from skeinwright.core.measure.reading import PhotoReading
    from skeinwright.services.run_in_background import Tell

DEEPER = "Dye can only make the skein deeper: what is lighter or clearer than its ground cannot be reached."


@dataclass(frozen=True, kw_only=True, slots=True)
class FindOverdyes:
    """A photo that was read, and what is wanted: a `target` (Lab as typed, or hex), or nothing, which means whatever is near and dark enough.

    `dyes` are the names allowed (all that are known where empty), `deepest` the most of any one ("4 %"), `limits` {dye: fraction} what there is of it;
    `base` is the yarn's, `fibre` its weight ("100 g"); then amounts are rounded to what can be weighed or pipetted.
    """

    reading: PhotoReading
    piece: int = 0
    target: str = ""
    dyes: Sequence[str] = ()
    max_dyes: int = 2
    deepest: str = ""
    limits: Mapping[str, float] = field(default_factory=dict)
    base: str = ""
    fibre: str = ""
    seed: int = 1


@dataclass(frozen=True, kw_only=True, slots=True)
class FoundOverdye:
    """One overdye: why it is shown, its doses {dye: fraction}, the skein's colours after it (ground first), their mean, its picture (JPEG).

    `away` is how far all of the skein then lies from the target (from what it is now, where nothing was wished for); `uneven` how far its colours still part.
    """

    why: str
    doses: Mapping[str, float]
    amounts: tuple[Dose, ...]
    colours: tuple[Lab, ...]
    mean: Lab
    away_de00: float
    uneven_de00: float
    spread_de00: float | None
    cost_minor: float | None
    notes: tuple[str, ...]
    picture: bytes = field(repr=False)

    def to_plain(self) -> dict[str, Any]:
        """As a JSON object, without its picture."""
        return {
            "why": self.why,
            "doses": in_pct(self.doses),
            "amounts": [dose.to_plain() for dose in self.amounts],
            "lab": lab_list(self.mean),
            "colours": [lab_list(one) for one in self.colours],
            "away_de00": round(self.away_de00, 2),
            "uneven_de00": round(self.uneven_de00, 2),
            "spread_de00": None if self.spread_de00 is None else round(self.spread_de00, 2),
            "cost_minor_per_100g": None if self.cost_minor is None else round(self.cost_minor, 2),
            "notes": list(self.notes),
        }


@dataclass(frozen=True, kw_only=True, slots=True)
class OverdyesFound:
    """The skein as it is, and up to three overdyes. Lab is D65, 2 degree."""

    picture: bytes = field(repr=False)
    size_px: tuple[int, int]
    colours: tuple[Lab, ...]
    shares: tuple[float, ...]
    uneven_de00: float
    photo_de00: float
    rests_on: str
    target: Lab | None
    shown: tuple[FoundOverdye, ...]
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]

    @property
    def spreads_de00(self) -> tuple[float, ...]:
        """How well each colour of the skein is known, as where it was measured: the ground first, which is surer than the others."""
        from skeinwright.core.measure.stated import crest_spread, other_spread

        return (crest_spread(self.photo_de00), *(other_spread(self.photo_de00) for _ in self.colours[1:]))

    def to_plain(self) -> dict[str, Any]:
        """As one JSON object."""
        colours = zip(self.colours, self.shares, self.spreads_de00, strict=True)
        return {
            "illuminant": "D65",
            "observer": 2,
            "skein": [{"lab": lab_list(lab), "share": round(share, 4), "spread_de00": round(spread, 2)} for lab, share, spread in colours],
            "uneven_de00": round(self.uneven_de00, 2),
            "photo_spread_de00": round(self.photo_de00, 2),
            "rests_on": self.rests_on,
            "target": None if self.target is None else lab_list(self.target),
            "overdyes": [one.to_plain() for one in self.shown],
            "warnings": list(self.warnings),
            "assumed": list(self.assumed),
        }


def find_overdyes(facts: DyeFacts, request: FindOverdyes, tell: Tell | None = None) -> OverdyesFound:
    """At most three overdyes. Raises BadInput for a wish or dye that cannot be read, PhotoRefused where the photo gave no colours."""
    reading = request.reading
    if not 0 <= request.piece < len(reading.pieces) or reading.correction is None:
        raise PhotoRefused(" ".join(reading.messages) or "There is no such piece of yarn in this photo.")
    search = Search(facts, request, tell or (lambda fraction, sentence: None))
    made = overdye_on_skein(OverdyeOnSkein(reading=reading, find=search.find, piece=request.piece))
    shown = tuple(
        FoundOverdye(
            why=one.why,
            doses=one.doses,
            amounts=one.amounts,
            colours=picture.colours,
            mean=one.mean,
            away_de00=one.choice.away,
            uneven_de00=one.choice.uneven,
            spread_de00=one.forecast.spread_de00,
            cost_minor=one.cost_minor,
            notes=one.forecast.notes,
            picture=picture.picture,
        )
        for one, picture in zip(search.solved, made.shown, strict=True)
    )
    return OverdyesFound(
        picture=made.picture,
        size_px=made.size_px,
        colours=made.colours,
        shares=made.shares,
        uneven_de00=search.uneven,
        photo_de00=reading.correction.spread_de00,
        rests_on=reading.correction.rests_on,
        target=search.target,
        shown=shown,
        warnings=tuple(dict.fromkeys((*reading.messages, *reading.warnings, *search.warnings, DEEPER))),
        assumed=tuple(dict.fromkeys((*reading.assumed, *made.assumed, *facts.assumed, *(note for one in search.solved for note in one.forecast.assumed)))),
    )
