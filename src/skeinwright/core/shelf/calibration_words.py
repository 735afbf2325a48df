"""A calibration as a person reads it: what was measured, in words, its value and its spread."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.shelf.calibration import Calibration

_WORDS: dict[str, tuple[str, str]] = {
    "alkalinity": ("Alkalinity", "mg/L"),
    "evaporation_factor": ("Evaporation, lid off", "times still air"),
    "evaporation_factor_lid": ("Evaporation, lid on", "times a usual lid in still air"),
    "strike_factor": ("Strike", "times untreated wool"),
    "nylon_preference": ("Nylon takes of a trace of dye", "times what wool takes"),
    "nylon_full_g_kg": ("Nylon is full at", "g/kg"),
    "rate_factor": ("Speed into the fibre", "times its class"),
    "partition_factor": ("Hold on the fibre", "times its class"),
    "footprint_mm": ("Footprint of a grain", "mm"),
    "grain_mm": ("Radius of a grain", "mm"),
    "grain_sd": ("Grains differ by a factor of", ""),
    "spread_length_mm": ("Spread along the strands", "mm"),
    "spread_across_mm": ("Spread across the strands", "mm"),
    "strike_85_per_s": ("Strike in the pan at 85 °C", "in a second"),
    "wet_match": ("Wet it looks deeper", "times K/S"),
    "relax_length": ("Length kept after washing", "times its wet length"),
    "relax_width": ("Thickness after washing", "times its wet thickness"),
    "stitch_mm": ("Yarn in a stitch", "mm"),
    "wet_length_mm": ("Wet strand, between its threads", "mm"),
    "wet_wraps": ("Wet strand, wraps", ""),
    "wet_width_mm": ("Wet strand, thickness", "mm"),
}


@dataclass(frozen=True, slots=True)
class Said:
    """The words of a calibration: `label`, `value` with its unit, and `spread` ("90 of 100 lie between ... and ..." in figures)."""

    label: str
    value: str
    spread: str

    @property
    def sentence(self) -> str:
        """All in one line: "Footprint of a grain: 0.31 mm (0.27 to 0.36)"."""
        return f"{self.label}: {self.value} ({self.spread})"


def say_calibration(one: Calibration) -> Said:
    """Its words. Figures have two digits, alkalinity none behind the point: nothing finer than a test of this kind can tell."""
    label, unit = _WORDS.get(one.quantity, (one.quantity.replace("_", " ").capitalize(), one.unit))
    value, low, high = (_figure(number, one.quantity) for number in (one.value, one.low, one.high))
    return Said(label, f"{value} {unit}".strip(), f"{low} to {high}")


def _figure(number: float, quantity: str) -> str:
    if quantity == "alkalinity" or abs(number) >= 100:
        return f"{number:.0f}"
    text = f"{number:.2g}"
    return f"{float(text):f}".rstrip("0").rstrip(".") if "e" in text else text
