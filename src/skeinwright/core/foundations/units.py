"""Units that dyers use, with their exact size in the base unit of each kind.

US customary units: NIST Handbook 44, Appendix C (`nist-hb44`); spoons and cups there are exact binary shares of the gallon of 231 cubic inches.
A metric cup of 250 ml and the Australian tablespoon of 20 ml are from memory. Hardness degrees follow their definitions: German, 10 mg/L of CaO;
French, 10 mg/L of CaCO3; English (Clark), one grain per imperial gallon; gpg, one grain per US gallon. Molar masses: CaCO3 100.087, CaO 56.077 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction as F
from typing import Literal

Kind = Literal[
    "mass", "volume", "length", "time", "temperature", "fraction", "strength", "rate", "alkalinity", "power", "energy", "money", "count",
    "ratio", "per_skein", "volume_per_skein", "twist", "ph", "cover",
]  # fmt: skip
"""Base units: mass g, volume ml, length mm, time s, temperature C, fraction and strength 0-1, rate C/min, alkalinity mg/L as CaCO3, power W, energy kWh,
money minor units, count 1, ratio (30:1 is 30), per_skein g, volume_per_skein ml, twist turns per metre, ph 1, cover mm above the yarn."""

Spoons = Literal["us", "metric", "au"]


@dataclass(frozen=True, slots=True)
class Habits:
    """How this dyer writes: which spoons, how large a drop, which currency ("" until it is known)."""

    spoons: Spoons = "us"
    drop_ml: float = 0.05
    currency: str = ""


HABITS = Habits()
"""US spoons and a drop of 0.05 ml, until the dyer says otherwise."""


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: its name as written out, its size in base units, and other spellings (lower case)."""

    name: str
    size: F
    spellings: tuple[str, ...] = ()
    offset: F = F(0)
    """Added after the size is applied; for temperatures only."""


INCH = F("25.4")
POUND_G = F("453.59237")
GRAIN_MG = POUND_G * 1000 / 7000
GALLON_ML = F("3785.411784")
IMPERIAL_GALLON_ML = F("4546.09")
CACO3 = F("100.087")
CAO = F("56.077")


def _u(name: str, size: F | int | str, *spellings: str, offset: F | int = 0) -> Unit:
    return Unit(name, F(size), spellings, F(offset))


_WEIGHT = ("owf", "wof", "owg", "dos", "on weight of fibre", "on weight of fiber", "on weight of goods", "depth of shade")
_ON_FIBRE = tuple(f"{sign}{how}" for sign in ("% ", "%", "per cent ", "percent ") for how in _WEIGHT)


_FIXED: dict[str, tuple[Unit, ...]] = {
    "mass": (
        _u("g", 1, "gm", "gram", "grams", "gramme", "grammes"),
        _u("kg", 1000, "kilo", "kilos", "kilogram", "kilograms"),
        _u("mg", F(1, 1000), "milligram", "milligrams"),
        _u("oz", POUND_G / 16, "ounce", "ounces"),
        _u("lb", POUND_G, "lbs", "pound", "pounds"),
    ),
    "volume": (
        _u("ml", 1, "cc", "millilitre", "millilitres", "milliliter", "milliliters"),
        _u("l", 1000, "litre", "litres", "liter", "liters"),
        _u("cl", 10, "centilitre", "centilitres"),
        _u("dl", 100, "decilitre", "decilitres"),
        _u("US tsp", GALLON_ML / 768, "us teaspoon", "us teaspoons"),
        _u("US tbsp", GALLON_ML / 256, "us tablespoon", "us tablespoons"),
        _u("US cup", GALLON_ML / 16, "us cups"),
        _u("metric tsp", 5, "metric teaspoon", "metric teaspoons"),
        _u("metric tbsp", 15, "metric tablespoon", "metric tablespoons"),
        _u("metric cup", 250, "metric cups"),
        _u("Australian tsp", 5, "australian teaspoon", "australian teaspoons", "au tsp"),
        _u("Australian tbsp", 20, "australian tablespoon", "australian tablespoons", "au tbsp"),
        _u("Australian cup", 250, "australian cups", "au cup", "au cups"),
        _u("fl oz", GALLON_ML / 128, "us fl oz", "fl. oz", "floz", "fluid ounce", "fluid ounces"),
        _u("US pint", GALLON_ML / 8, "us pints", "us pt"),
        _u("US quart", GALLON_ML / 4, "us quarts", "us qt"),
        _u("US gallon", GALLON_ML, "us gallons", "us gal"),
        _u("UK pint", IMPERIAL_GALLON_ML / 8, "uk pints", "uk pt", "imperial pint", "imperial pints"),
        _u("UK gallon", IMPERIAL_GALLON_ML, "uk gallons", "uk gal", "imperial gallon", "imperial gallons"),
    ),
    "length": (
        _u("mm", 1, "millimetre", "millimetres", "millimeter", "millimeters"),
        _u("cm", 10, "centimetre", "centimetres", "centimeter", "centimeters"),
        _u("m", 1000, "metre", "metres", "meter", "meters"),
        _u("km", 1000000, "kilometre", "kilometres"),
        _u("in", INCH, "inch", "inches", '"', "″"),
        _u("ft", 12 * INCH, "foot", "feet"),
        _u("yd", 36 * INCH, "yds", "yard", "yards"),
    ),
    "time": (
        _u("s", 1, "sec", "secs", "second", "seconds"),
        _u("min", 60, "mins", "minute", "minutes"),
        _u("h", 3600, "hr", "hrs", "hour", "hours"),
        _u("d", 86400, "day", "days"),
    ),
    "temperature": (
        _u("C", 1, "°c", "° c", "degc", "deg c", "celsius", "degrees c", "degrees celsius", "℃"),
        _u("F", F(5, 9), "°f", "° f", "degf", "deg f", "fahrenheit", "degrees f", "degrees fahrenheit", "℉", offset=F(-160, 9)),
    ),
    "fraction": (
        _u("%", F(1, 100), "per cent", "percent", "pct", *_ON_FIBRE),
    ),
    "strength": (
        _u("%", F(1, 100), "per cent", "percent", "pct", "% w/v", "% solution", "% w/w", "g/100 ml", "g/100ml", "g per 100 ml"),
        _u("g/l", F(1, 1000), "g per l", "g per litre", "g/litre", "mg/ml"),
    ),
    "rate": (
        _u("C/min", 1, "°c/min", "c per min", "c per minute", "c a minute", "°c per min", "°c per minute", "c/minute"),
        _u("C/h", F(1, 60), "°c/h", "c per h", "c per hour", "°c per hour", "c/hour"),
        _u("F/min", F(5, 9), "°f/min", "f per min", "f per minute", "f a minute", "°f per min", "°f per minute", "f/minute"),
        _u("F/h", F(5, 540), "°f/h", "f per h", "f per hour", "°f per hour", "f/hour"),
    ),
    "alkalinity": (
        _u("mg/L", 1, "mg/l", "mg/l caco3", "mg/l as caco3", "mg caco3/l", "mg per l", "mg per litre"),
        _u("ppm", 1, "ppm caco3", "ppm as caco3"),
        _u("mmol/L", CACO3, "mmol/l", "mmol/l caco3", "mmol/l as caco3"),
        _u("meq/L", CACO3 / 2, "meq/l", "mval/l", "mmol/l hco3", "mmol/l acid", "mmol/l hco3-"),
        _u("dH", 10 * CACO3 / CAO, "dh", "°dh", "° dh", "°d", "odh", "dkh", "°dkh", "kh", "°kh", "german degrees", "degrees german"),
        _u("fH", 10, "fh", "°fh", "° fh", "°f", "french degrees", "degrees french"),
        _u("gpg", GRAIN_MG * 1000 / GALLON_ML, "grains", "grains per gallon", "gr/gal", "grains/gallon"),
        _u("e", GRAIN_MG * 1000 / IMPERIAL_GALLON_ML, "°e", "° e", "clark", "°clark", "clark degrees", "degrees clark", "english degrees"),
    ),
    "power": (_u("W", 1, "watt", "watts"), _u("kW", 1000, "kilowatt", "kilowatts")),
    "energy": (_u("kWh", 1), _u("Wh", F(1, 1000)), _u("MJ", F(10, 36), "mj")),
    "per_skein": (
        _u("g per skein", 1, "g/skein", "g a skein", "g each", "grams per skein"),
        _u("mg per skein", F(1, 1000), "mg/skein", "mg a skein"),
        _u("oz per skein", POUND_G / 16, "oz/skein", "oz a skein"),
    ),
    "twist": (
        _u("turns per metre", 1, "turns per meter", "turns per m", "turns/m", "turns a metre", "t/m", "tpm", "/m"),
        _u("turns per inch", 1000 / INCH, "turns/inch", "turns/in", "tpi"),
    ),
}  # fmt: skip


def _spoons(habits: Habits) -> tuple[Unit, ...]:
    tsp, tbsp, cup = {
        "us": (GALLON_ML / 768, GALLON_ML / 256, GALLON_ML / 16),
        "metric": (F(5), F(15), F(250)),
        "au": (F(5), F(20), F(250)),
    }[habits.spoons]
    units = (
        _u("tsp", tsp, "tsps", "teaspoon", "teaspoons"),
        _u("tbsp", tbsp, "tbsps", "tbs", "tablespoon", "tablespoons"),
        _u("cup", cup, "cups"),
        _u("drops", F(str(habits.drop_ml)), "drop"),
    )
    if habits.spoons != "us":
        return units
    return (*units, _u("pint", GALLON_ML / 8, "pints", "pt"), _u("quart", GALLON_ML / 4, "quarts", "qt"), _u("gallon", GALLON_ML, "gallons", "gal"))


def units_of(kind: str, habits: Habits) -> tuple[Unit, ...]:
    """Every unit of a kind as this dyer means it; () where the kind has none (count, money, ratio, ph)."""
    if kind == "volume":
        return _FIXED["volume"] + _spoons(habits)
    if kind == "volume_per_skein":
        return tuple(
            Unit(f"{u.name} per skein", u.size, tuple(f"{s}{how}" for s in (u.name.lower(), *u.spellings) for how in ("/skein", " a skein", " per skein")))
            for u in units_of("volume", habits)
        )
    return _FIXED.get(kind, ())


def find_unit(kind: str, said: str, habits: Habits) -> Unit | None:
    """The unit spelled `said` (any case, any spacing), or None."""
    plain = plain_unit(said)
    for unit in units_of(kind, habits):
        if plain == unit.name.lower() or plain in unit.spellings:
            return unit
    return None


def plain_unit(said: str) -> str:
    """`said` in lower case with single spaces and without a full stop at the end: "Tbsp." is "tbsp"."""
    return "/".join(part.strip() for part in " ".join(said.lower().split()).removesuffix(".").split("/"))


ACCEPTED = {
    "mass": "g, kg, mg, oz or lb",
    "volume": "ml, l, tsp, tbsp, cups, drops or fl oz",
    "length": "mm, cm, m, in, ft or yd",
    "time": "s, min or h",
    "temperature": "C or F",
    "fraction": "%",
    "strength": "% or g/l",
    "rate": "C/min or F/min",
    "alkalinity": "mg/L, ppm, meq/L, mmol/L, dH, fH, gpg or e (Clark)",
    "power": "W or kW",
    "energy": "kWh, Wh or MJ",
    "per_skein": "g per skein",
    "volume_per_skein": "ml per skein",
    "twist": "turns per metre",
}
"""What is accepted, in the order of use, for sentences."""

NAMES = {
    "mass": "a weight",
    "volume": "a volume",
    "length": "a length",
    "time": "a time",
    "temperature": "a temperature",
    "fraction": "a per cent",
    "strength": "a strength",
    "rate": "a heating rate",
    "alkalinity": "an alkalinity",
    "power": "a power",
    "energy": "an energy",
    "money": "an amount of money",
    "count": "a whole number",
    "ratio": "a liquor ratio",
    "per_skein": "a weight per skein",
    "volume_per_skein": "a volume per skein",
    "twist": "a twist",
    "ph": "a pH",
    "cover": "a depth of water over the yarn",
}
"""What each kind is called in a sentence."""

LIKELY = {
    "mass": "g",
    "volume": "ml",
    "length": "cm",
    "time": "min",
    "fraction": "%",
    "strength": "%",
    "rate": "C/min",
    "alkalinity": "mg/L",
    "power": "W",
    "energy": "kWh",
    "per_skein": "g per skein",
    "volume_per_skein": "ml per skein",
    "twist": "turns per metre",
}
"""The unit that is suggested, never supplied, where a bare number was typed."""
