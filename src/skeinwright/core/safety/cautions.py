"""The cautions that the product says, one row each, with what kind of statement each is and where it comes from.

A caution never says that something is safe. It names its kind: `law` (with the place), `standard`, `advice` (of a public body), `practice` (of the trade).
Local code, the maker's safety sheet and licensed practice always go first. Where the text of a law was not compared with its current edition, `note` says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

CautionKind = Literal["law", "standard", "advice", "practice"]

NOT_VERIFIED = "Not verified against the current text; check before you rely on it."


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution. `head` is its short word on a slip; `source` a key of docs/sources.bib or "common practice"; `place` where a law or a body speaks."""

    key: str
    kind: CautionKind
    place: str
    head: str
    sentence: str
    source: str
    note: str = ""
    on_slip: bool = True
    """False for background that a page can open, but that would only fill up a slip."""

    @property
    def stands(self) -> str:
        """What kind of statement it is, in words: "law, US employers"; "practice"."""
        return f"{self.kind}, {self.place}" if self.place else self.kind


def _practice(key: str, head: str, sentence: str, *, on_slip: bool = True) -> Caution:
    return Caution(key, "practice", "", head, sentence, "common practice", on_slip=on_slip)


_TABLE = (
    # open powder
    _practice("powder", "OPEN POWDER", "Respirator on and fitted, eye protection on, one jar open at a time and shut again, damp cloth down."),
    Caution(
        "powder transfer",
        "advice",
        "US, NIOSH",
        "POWDER",
        "Taking powder out of open containers raises most of the dust: slow smooth movements, ventilation at the place, gloves, sleeves and apron.",
        "niosh-hc13",
        on_slip=False,
    ),
    _practice(
        "powder draught",
        "NO DRAUGHT",
        "Fan off for these minutes only, flames out first. No food, children or pets in the room. No phone until the jars are shut.",
    ),
    _practice("powder heat", "NOT OVER STEAM", "Heat off and steam settled, or the pan off the burner, before a jar is opened: hot air carries dust up."),
    _practice("powder after", "JARS SHUT", "Wipe down damp, then ventilation on before the heat."),
    Caution(
        "dye dust",
        "advice",
        "UK, HSE",
        "DYE DUST",
        "Keep exposure to dyes of every kind low: some reactive dyes are known to sensitise the lungs, and for many dyes the effects are not known.",
        "hse-textile-dyes",
        on_slip=False,
    ),
    _practice(
        "metal complex", "METAL DYE", "This dye carries chromium or cobalt: gloves, no skin contact, and ask your works before its liquor goes down a drain."
    ),
    # acids
    _practice("vinegar hot", "VINEGAR VAPOUR", "Ventilate. A particle filter does not stop acetic vapour; hot vinegar gives off far more than cold."),
    Caution(
        "acetic limit",
        "law",
        "US employers",
        "ACETIC ACID IN AIR",
        "Acetic acid in the air of a workplace stays at or below 10 ppm (25 mg/m3) over eight hours (29 CFR 1910.1000, table Z-1).",
        "cfr-29-1910-1000",
        NOT_VERIFIED,
        on_slip=False,
    ),
    Caution(
        "acetic short",
        "advice",
        "US, NIOSH",
        "ACETIC ACID IN AIR",
        "Not above 15 ppm over 15 minutes; noses and eyes are irritated above about 26 ppm.",
        "niosh-idlh-acetic",
        NOT_VERIFIED,
        on_slip=False,
    ),
    _practice("acid strong", "STRONG ACID", "Goggles and gloves; acid into water, never water into acid."),
    _practice("citric dust", "CITRIC POWDER", "It irritates eyes: eye protection, pour low and slowly."),
    _practice("citric aluminium", "ALUMINIUM", "Citric acid pits aluminium: use stainless steel, enamel or glass."),
    _practice("no bleach", "NO BLEACH", "Never acid or ammonium salts near bleach, on worktops neither: they give off poisonous gas."),
    _practice("ammonium soda", "NO SODA", "Ammonium liquor with soda gives off ammonia: keep them apart, in the drain too."),
    # heat
    Caution(
        "scald",
        "practice",
        "",
        "SCALDS",
        "Water at 60 C burns deeply in about three seconds. Nothing hot is carried; let it cool below 45 C before hands go in.",
        "moritz-1947",
        "Times from safety pages after the paper; the paper itself was not seen.",
    ),
    _practice("stay", "HEAT IS ON", "Stay in the room. Look at the water line every 15 minutes; a reminder never takes the place of looking."),
    _practice("lid", "STEAM", "Open lids and steamed rolls away from your face."),
    _practice("jars", "JARS", "Never seal a jar tight and never move it from hot to cold: glass breaks."),
    _practice("lift", "HEAVY LIFT", "Wet yarn is heavy: lift with two hooks or a basket, in parts, when it has cooled."),
    _practice("flame indoors", "NO OUTDOOR BURNER", "Never an outdoor burner indoors: carbon monoxide.", on_slip=False),
    # colour remover
    _practice("remover", "COLOUR REMOVER", "Keep it dry until use, small amounts, ventilate well, gloves and goggles. Never with acid: sulphur dioxide."),
    # after
    _practice(
        "drain",
        "DRAIN",
        "Cool first. Neutralise to the pH limits of your settings, slowly, it foams. Never a storm drain; with a septic tank ask first. "
        "Defer to your local code.",
    ),
    Caution(
        "drain ph",
        "law",
        "US, non-domestic, to a public sewer",
        "DRAIN",
        "Nothing below pH 5.0 goes to a public sewer unless the works is built for it (40 CFR 403.5(b)); local limits are often tighter.",
        "cfr-40-403",
        NOT_VERIFIED,
        on_slip=False,
    ),
    Caution(
        "drain hazardous",
        "law",
        "US",
        "DRAIN",
        "Liquor at pH 2 or below, or 12.5 or above, counts as hazardous waste (40 CFR 261.22): use strong citric solution up.",
        "cfr-40-261",
        NOT_VERIFIED,
        on_slip=False,
    ),
    _practice("day end", "END OF DAY", "All heat off: count the pots."),
    _practice("kitchen", "DYE ONLY", "Nothing used for dye goes back to food. Gloves off before phone, face or food."),
)

CAUTIONS: dict[str, Caution] = {caution.key: caution for caution in _TABLE}
"""Every caution by its key."""


def cautions_of(keys: tuple[str, ...], *, slip: bool = False) -> tuple[Caution, ...]:
    """The cautions with these keys, in their order, without repeats; unknown keys are left out. With `slip` only those that are printed."""
    found = (CAUTIONS[key] for key in dict.fromkeys(keys) if key in CAUTIONS)
    return tuple(caution for caution in found if caution.on_slip or not slip)
