"""The dyer's own facts: what stands on the shelf.

All are frozen dataclasses without identity: the name is the key within its kind, and documents (colourways, imports) refer to it.
Units inside: grams, millilitres, millimetres, seconds, C, watts, fractions 0-1, money in minor units. `None` always means "not known".
Per cent, cups, inches and the like exist only at the rim.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from skeinwright.core.shelf.field import ask
from skeinwright.core.shelf.swatch import Lab, Swatch

Parts = tuple[tuple[str, float], ...]
"""(name, share) pairs; shares add up to 1."""

NOT_KNOWN = "not known"
DYE_CLASSES = (NOT_KNOWN, "levelling", "half-milling", "milling", "super-milling", "1:2 premetallised", "1:1 premetallised")
"""Classes of acid dyes as the trade's textbooks name them (Broadbent 2001, ch. 13)."""

AUXILIARY_KINDS = ("salt", "leveller", "wetter", "thickener", "soda", "wash", "other")
ACID_KINDS = ("vinegar", "citric", "ammonium sulphate")
VESSEL_SHAPES = ("rectangle", "round")
VESSEL_MATERIALS = (NOT_KNOWN, "stainless steel", "enamel", "aluminium", "glass", "plastic")
HEAT_KINDS = ("burner", "oven", "steamer", "slow cooker", "water bath")
ENERGY_KINDS = (NOT_KNOWN, "gas", "electric plate", "induction")


@dataclass(frozen=True, kw_only=True, slots=True)
class Dye:
    """A jar of dye powder, with what its maker says and the dyer's own swatches."""

    kind: ClassVar[str] = "dye"
    name: str = ask("Name", "text", need=True)
    maker: str = ask("Maker", "text", default="", more=True)
    dye_class: str = ask(
        "Class", "choice", default=NOT_KNOWN, choices=DYE_CLASSES, help="How the dye behaves in the pot. Leave it at 'not known' unless the maker says it."
    )
    maker_acid: str = ask("What the maker says of acid", "text", default="", more=True)
    maker_heat: str = ask("What the maker says of heat", "text", default="", more=True)
    strength: float = ask(
        "Strength", "fraction", default=1.0, unit="%", help="100 % unless your jar is weaker or stronger than the one your recipes were made with."
    )
    jar_g: float | None = ask("Jar", "mass", default=None, unit="g")
    price_minor: int | None = ask("Price of the jar", "money", default=None)
    on_hand_g: float | None = ask("On hand", "mass", default=None, unit="g")
    batch: str = ask("Batch", "text", default="", more=True)
    supplier_statement: str = ask(
        "Supplier's statement",
        "text",
        default="",
        more=True,
        help="What your supplier states in writing, for example about restricted amines; name the paper and its date.",
    )
    safety_sheet: str = ask("Safety sheet", "link", default="", more=True)
    notes: str = ask("Notes", "long text", default="", more=True)
    swatches: tuple[Swatch, ...] = ask("Swatches", "swatches", default=())

    @property
    def is_metal_complex(self) -> bool:
        """True where the class says that the dye carries chromium or cobalt in a complex."""
        return "premetallised" in self.dye_class


@dataclass(frozen=True, kw_only=True, slots=True)
class Solution:
    """One dye or a mix of dyes dissolved in water at a known strength."""

    kind: ClassVar[str] = "solution"
    name: str = ask("Name", "text", need=True)
    parts: Parts = ask("Dyes", "parts", need=True, help="One dye, or a mix: '3 Kelp : 1 Ember'.")
    strength: float = ask("Strength", "fraction", need=True, unit="%", help="Grams of powder in 100 ml of solution.")
    volume_ml: float | None = ask("Made", "volume", default=None, unit="ml")
    on_hand_ml: float | None = ask("On hand", "volume", default=None, unit="ml")
    made_on: date | None = ask("Made on", "date", default=None)
    keeps_days: int = ask("Keeps for (days)", "count", default=180, more=True, help="Half a year is common practice; your dye's maker may say otherwise.")
    acid: str = ask("Acid in it", "text", default="", more=True, help="For example 'vinegar 5 %, 20 ml' in the whole bottle.")
    batch: str = ask("Batch", "text", default="", more=True)
    notes: str = ask("Notes", "long text", default="", more=True)

    def age_days(self, today: date) -> int | None:
        """Days since it was made, or None where that is not known."""
        return None if self.made_on is None else (today - self.made_on).days


@dataclass(frozen=True, kw_only=True, slots=True)
class Blend:
    """A dry blend of powders in a shaker."""

    kind: ClassVar[str] = "blend"
    name: str = ask("Name", "text", need=True)
    parts: Parts = ask("Powders", "parts", need=True, help="'3 Kelp : 1 Ember'. Citric acid may be one of them.")
    grain_mm: float | None = ask("Grain", "length", default=None, unit="mm", more=True)
    on_hand_g: float | None = ask("In the shaker", "mass", default=None, unit="g")
    made_on: date | None = ask("Made on", "date", default=None)
    notes: str = ask("Notes", "long text", default="", more=True)


@dataclass(frozen=True, kw_only=True, slots=True)
class Auxiliary:
    """Salt, leveller, wetter, thickener, soda or wash."""

    kind: ClassVar[str] = "auxiliary"
    name: str = ask("Name", "text", need=True)
    does: str = ask("What it is", "choice", need=True, choices=AUXILIARY_KINDS)
    pack_g: float | None = ask("Pack", "mass", default=None, unit="g")
    price_minor: int | None = ask("Price of the pack", "money", default=None)
    on_hand_g: float | None = ask("On hand", "mass", default=None, unit="g")
    batch: str = ask("Batch", "text", default="", more=True)
    safety_sheet: str = ask("Safety sheet", "link", default="", more=True)
    notes: str = ask("Notes", "long text", default="", more=True)


@dataclass(frozen=True, kw_only=True, slots=True)
class Leftover:
    """Liquor that is kept for another pot."""

    kind: ClassVar[str] = "leftover"
    name: str = ask("Name", "text", need=True)
    volume_ml: float = ask("Volume", "volume", need=True, unit="ml")
    dyes_g: Parts = ask("Dye still in it", "amounts", default=(), help="'Kelp 0.2 g, Ember 0.05 g', as far as you can tell.")
    ph: float | None = ask("pH", "ph", default=None)
    kept_on: date | None = ask("Kept on", "date", default=None)
    from_lot: str = ask("From lot", "text", default="", more=True)
    notes: str = ask("Notes", "long text", default="", more=True)

    def dyes_in(self, volume_ml: float) -> Parts:
        """(dye, grams of powder) in so much of it, at most all; nothing where the dye or the volume is not known."""
        share = min(1.0, volume_ml / self.volume_ml) if self.volume_ml > 0 else 0.0
        return tuple((name, grams * share) for name, grams in self.dyes_g if share > 0)


@dataclass(frozen=True, kw_only=True, slots=True)
class Base:
    """An undyed yarn as it is bought."""

    kind: ClassVar[str] = "base"
    name: str = ask("Name", "text", need=True)
    fibres: Parts = ask("Fibre", "parts", need=True, help="'75 % wool, 25 % nylon'.")
    skein_g: float = ask("Skein", "mass", need=True, unit="g", help="The put-up: what one skein weighs as it is sold.")
    length_mm: float = ask("Length", "length", need=True, unit="m", help="How far one skein runs.")
    superwash: bool | None = ask("Superwash", "yes no", default=None)
    plies: int | None = ask(
        "Plies twisted together", "count", default=None, help="Count them at a cut end. '4 ply' on a label may be a thickness, not a count."
    )
    twist: str = ask("Twist", "twist", default="medium", help="soft, medium, high, or turns per metre.")
    round_mm: float | None = ask("Once round", "length", default=None, unit="m", help="The skein's circumference.")
    undyed: Lab | None = ask("Undyed colour", "lab", default=None, help="L, a, b of the yarn as it is before dye. Assumed 93, 0, 8 until you say.")
    price_minor: int | None = ask("Price of a skein", "money", default=None)
    on_hand: int | None = ask("Skeins on hand", "count", default=None)
    batch: str = ask("Batch", "text", default="", more=True)
    maker: str = ask("Maker", "text", default="", more=True)
    strike_factor: float | None = ask("Strike against untreated wool", "fraction", default=None, unit="%", more=True, help="Filled by a test; leave it empty.")
    relax_length: float | None = ask(
        "Length kept after washing",
        "fraction",
        default=None,
        unit="%",
        more=True,
        help="Dry length of a marked strand, over its wet length. Filled on the base page.",
    )
    relax_width: float | None = ask(
        "Thickness after washing", "fraction", default=None, unit="%", more=True, help="Dry thickness over wet thickness. Filled on the base page."
    )
    notes: str = ask("Notes", "long text", default="", more=True)

    @property
    def tex(self) -> float:
        """Grams per kilometre (ISO 1144): 1e6 skein_g / length_mm."""
        return 1e6 * self.skein_g / self.length_mm

    def share(self, fibre: str) -> float:
        """The share of one fibre, 0 where the base has none of it."""
        return sum(share for name, share in self.fibres if name.casefold() == fibre.casefold())


@dataclass(frozen=True, kw_only=True, slots=True)
class Acid:
    """An acid as it is bought."""

    kind: ClassVar[str] = "acid"
    name: str = ask("Name", "text", need=True)
    acid: str = ask("Kind", "choice", need=True, choices=ACID_KINDS)
    strength: float | None = ask("Strength", "fraction", default=None, unit="%", help="For vinegar: grams of acetic acid in 100 ml, as the label says.")
    monohydrate: bool | None = ask("Citric: monohydrate", "yes no", default=None, more=True)
    price_minor: int | None = ask("Price of the pack", "money", default=None)
    pack_g: float | None = ask("Pack", "mass", default=None, unit="g", help="For vinegar one millilitre counts as one gram.")
    on_hand_g: float | None = ask("On hand", "mass", default=None, unit="g")
    notes: str = ask("Notes", "long text", default="", more=True)


@dataclass(frozen=True, kw_only=True, slots=True)
class Water:
    """The water out of one tap."""

    kind: ClassVar[str] = "water"
    name: str = ask("Name", "text", need=True)
    alkalinity_mg_l: float | None = ask(
        "Alkalinity",
        "alkalinity",
        default=None,
        unit="mg/L",
        help="As calcium carbonate; also mmol/L, meq/L, German or French degrees, grains. Your water report has it.",
    )
    ph: float | None = ask("pH", "ph", default=None)
    source: str = ask("Where the figure comes from", "text", default="", help="'report 2026', 'strip', 'titration'.")
    measured_on: date | None = ask("Measured on", "date", default=None, more=True)
    notes: str = ask("Notes", "long text", default="", more=True)


@dataclass(frozen=True, kw_only=True, slots=True)
class Vessel:
    """A pot, pan or jar."""

    kind: ClassVar[str] = "vessel"
    name: str = ask("Name", "text", need=True)
    shape: str = ask("Shape from above", "choice", need=True, choices=VESSEL_SHAPES)
    length_mm: float = ask("Length or diameter", "length", need=True, unit="cm", help="Measured inside.")
    width_mm: float | None = ask("Width", "length", default=None, unit="cm", help="Measured inside; leave it empty for a round pot.")
    height_mm: float = ask("Height", "length", need=True, unit="cm", help="Measured inside.")
    material: str = ask("Material", "choice", default=NOT_KNOWN, choices=VESSEL_MATERIALS)
    lid: bool | None = ask("Lid", "yes no", default=None)
    stands_on: str = ask(
        "Stands on",
        "text",
        default="",
        help="The burner or other heat that this pot usually stands on: how fast it warms follows. A jar in a water bath warms behind its bath.",
    )
    mass_g: float | None = ask("Weight when empty", "mass", default=None, unit="g", more=True)
    notes: str = ask("Notes", "long text", default="", more=True)


@dataclass(frozen=True, kw_only=True, slots=True)
class Heat:
    """A burner, oven, steamer, slow cooker or water bath."""

    kind: ClassVar[str] = "heat"
    name: str = ask("Name", "text", need=True)
    does: str = ask("What it is", "choice", need=True, choices=HEAT_KINDS)
    energy: str = ask("Energy", "choice", default=NOT_KNOWN, choices=ENERGY_KINDS)
    power_w: float | None = ask("Power", "power", default=None, unit="W")
    holds: int = ask("Holds", "count", default=1, help="How many pots, or jars in a water bath.")
    circuit: str = ask("Circuit", "text", default="", help="Sources on one circuit share its fuse; give them the same name.", more=True)
    notes: str = ask("Notes", "long text", default="", more=True)


Item = Dye | Solution | Blend | Auxiliary | Leftover | Base | Acid | Water | Vessel | Heat
KINDS: dict[str, type] = {cls.kind: cls for cls in (Dye, Solution, Blend, Auxiliary, Leftover, Base, Acid, Water, Vessel, Heat)}
DRAWERS: dict[str, tuple[str, ...]] = {
    "Dyes": ("dye", "solution", "blend", "auxiliary", "leftover"),
    "Bases": ("base",),
    "Acids and water": ("acid", "water"),
    "Pots and burners": ("vessel", "heat"),
}
"""Which kinds lie in which drawer of the shelf."""
