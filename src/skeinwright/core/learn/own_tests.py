"""The tests that a dyer can make in her own pots: what each is for, what it takes, its steps with the cautions at the moment of risk, what it cannot tell.

A page, a command and a how-to all read this; each test's fields stand with the service that works it out. Which gain comes first is the bath note's ranking.
"""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.bath.fibre import fibre_kind
from skeinwright.core.bath.titles import TEST_TITLES
from skeinwright.core.shelf.items import Base, Item


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do, with the keys of the cautions (`core.safety.cautions`) that belong to it."""

    text: str
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Place:
    """A place that is pointed at in a photo: its key, what it is called, and whether it may be left out."""

    key: str
    label: str
    need: bool = True


@dataclass(frozen=True, slots=True)
class OwnTest:
    """One test. `picks` says which field names a thing of the shelf, and of which kind; `of` is the field that names what is tested.

    `quantities` are those that it puts on the shelf's things; `until_then` says what is assumed without it. `photo` is "", "places" (colours that are pointed
    at, at `places`) or "sheet" (a photo on the photo sheet).
    """

    key: str
    title: str
    purpose: str
    needs: str
    steps: tuple[Step, ...]
    of: str
    of_kind: str
    quantities: tuple[str, ...]
    until_then: str
    improves: str
    cannot: str = ""
    photo: str = ""
    places: tuple[Place, ...] = ()
    picks: tuple[tuple[str, str], ...] = ()


_SAMPLES = tuple(Place(f"s{number}", f"Sample {number}", number <= 2) for number in range(1, 7))
_STRANDS = tuple(Place(f"s{number}", f"Strand {number}", number <= 2) for number in range(1, 6))
_WET = tuple(Place(f"{state[0]}{number}", f"Piece {number}, {state}") for number in range(1, 4) for state in ("dry", "wet"))

_TABLE = (
    OwnTest(
        "alkalinity",
        TEST_TITLES["alkalinity"],
        "A pot of cold water, a spoon of vinegar, a strip or a meter. It narrows every pH, and the acid for a pH, more than anything else does.",
        "Cold tap water, vinegar of a known strength, pH strips or a meter.",
        (
            Step("Measure cold tap water into a clean pot, with nothing else in it: no yarn, no dye.", ("kitchen",)),
            Step("Stir in a measured amount of vinegar; aim at a pH between 4 and 5.5, where the water shows.", ("no bleach",)),
            Step("Wait a minute and read the pH. A strip is ± 0.5, a meter that was set today ± 0.1."),
        ),
        "water",
        "water",
        ("alkalinity",),
        "unless your water report says, 120 mg/L (20 to 300) is assumed",
        "The pH of every pot, the acid for a target pH, and the dose of soda for the drain.",
        "One reading tells the alkalinity only: not the hardness, and not how it changes over the year.",
        picks=(("water", "water"),),
    ),
    OwnTest(
        "liquor",
        TEST_TITLES["liquor"],
        "Small glasses of liquor, lifted while a piece dyes, seen beside the fresh liquor. They tell how fast this dye goes on and how much of it in the end.",
        "A small pot, a weighed piece of undyed yarn, one dye, six small equal glasses, white paper, a phone.",
        (
            Step("Wet the yarn. Mix the bath with acid and dye, no yarn in it, and test the pH before the dye.", ("powder", "powder heat")),
            Step("Fill one glass with fresh liquor, one with fresh liquor and as much water, one with water."),
            Step("Hold the bath at one temperature. Lay the yarn in, start a clock, keep it moving.", ("scald", "stay")),
            Step("Lift a glass full after about 5, 15, 30 and 60 minutes, always from the same place, with a ladle.", ("scald",)),
            Step("Stand all glasses on white paper, in daylight, filled to one height; photograph them from above, or judge each against the fresh one."),
        ),
        "dye",
        "dye",
        ("rate_factor", "partition_factor"),
        "the dye's class, times or divided by 5 in speed and 3 in partition, is assumed",
        "How early this dye strikes, how level it is, what stays in the liquor.",
        "One run cannot tell a fast dye from a well stirred pot: early samples and stirring help. It holds for this dye on this yarn.",
        "places",
        (Place("fresh", "Fresh liquor"), Place("half", "Half strength", False), Place("clear", "Water"), *_SAMPLES),
        (("dye", "dye"), ("base", "base")),
    ),
    OwnTest(
        "superwash",
        TEST_TITLES["superwash"],
        "Two small pieces in one bath for ten minutes. It says how much earlier your superwash base takes its dye, and so how even it will be.",
        "A small piece of the superwash base and one of untreated wool, of one weight; later a fully dyed piece of each.",
        (
            Step("Wet both pieces. Mix a bath with acid and a pale dose of one dye.", ("powder", "powder heat")),
            Step("Lay both into the bath at 60 °C for ten minutes. Take both out and rinse them cold.", ("scald", "stay")),
            Step("Beside fully dyed pieces of each, say how much of its full depth each has got, or point at all of them in one photo."),
        ),
        "base",
        "base",
        ("strike_factor",),
        "7.5 times as fast (3.5 to 22) at 60 °C is assumed",
        "How early the base strikes, whether the acid should wait, how even it will be.",
        "A piece that is nearly done tells little: both must still be on their way.",
        "places",
        (
            Place("undyed", "Undyed yarn"),
            Place("u", "Untreated piece"),
            Place("uf", "Untreated, fully dyed"),
            Place("s", "Superwash piece"),
            Place("sf", "Superwash, fully dyed"),
        ),
        (("base", "base"),),
    ),
    OwnTest(
        "nylon",
        TEST_TITLES["nylon"],
        "A piece of wool and one of nylon dyed together, pale and then deep. It says how much of a pale dose nylon takes in a blend, and where wool overtakes.",
        "Undyed wool and undyed nylon, weighed, one dye; daylight to compare them in.",
        (
            Step("Weigh both pieces and wet them. Dye them in one pot, pale, until the liquor is clear.", ("powder", "powder heat", "scald")),
            Step("Dry them. Say how many times as deep the nylon looks as the wool, or point at both in a photo, beside undyed pieces."),
            Step("If you can, do it again deep, with fresh pieces: only that tells how much nylon holds.", ("powder", "scald")),
        ),
        "base",
        "base",
        ("nylon_preference",),
        "5 times (2 to 15) is assumed for a trace of dye",
        "The colour of blends: pale depths that sit on the nylon, deep ones on the wool.",
        "Yarn and sheen differ, so a depth seen is only roughly a depth on the fibre; the interval allows a factor of 1.25.",
        "places",
        (Place("w0", "Undyed wool"), Place("n0", "Undyed nylon"), Place("w", "Wool"), Place("n", "Nylon")),
        (("base", "base"),),
    ),
    OwnTest(
        "strike",
        "Strands lifted while colour strikes",
        "Single strands taken out of the pan after 30, 60 and 120 seconds, beside the finished yarn. They tell how fast colour strikes in your pan.",
        "A pan as you work in it, a few short strands of the base wetted with its acid, one dye in solution, cold water to stop them.",
        (
            Step("Soak the strands as you soak your yarn. Bring the pan to its temperature with dye in the water.", ("powder", "powder heat", "vinegar hot")),
            Step("Put all strands in at once and start a clock.", ("scald", "stay")),
            Step("Lift one after 30 s, one after 60 s, one after 120 s, with a hook, straight into cold water.", ("scald",)),
            Step("Leave one for half an hour: it is the finished one. Dry all, photograph them on white, or judge each against the finished one."),
        ),
        "base",
        "base",
        ("strike_85_per_s",),
        "0.03 in a second (0.003 to 0.15) at 85 °C is assumed",
        "How far powder and pours travel before they strike; together with the spread length it tells how fast dye spreads.",
        "It holds for this dye, acid and temperature.",
        "places",
        (Place("undyed", "Undyed strand"), Place("finished", "Finished strand"), *_STRANDS),
        (("base", "base"),),
    ),
    OwnTest(
        "evaporation",
        TEST_TITLES["evaporation"],
        "The pot weighed before and after half an hour of heat. It says how fast this pot loses water, with or without its lid.",
        "A scale that takes the filled pot, a thermometer, a clock. No dye and no yarn.",
        (
            Step("Fill the pot with plain water as high as you work, on the scale (a full pot is heavy), put its lid or a plate on, and weigh it cold."),
            Step("Heat it with the cover on. At the temperature, set the lid as you work (on or off) and start the clock.", ("stay",)),
            Step("Hold the temperature for half an hour or so, then put the cover on and turn the heat off.", ("lid",)),
            Step("Let it cool on the burner below 45 °C, cover on, and weigh it again with everything that was on it before.", ("scald",)),
        ),
        "vessel",
        "vessel",
        ("evaporation_factor", "evaporation_factor_lid"),
        "still air, times 0.65 to 1.35, is assumed; with the lid on 8 % of that, times 0.53 to 2",
        "The falling line, top-ups, and the dry-pan reminder.",
        "It holds for this pot in this room: a fan or a hood doubles it. A reminder never takes the place of looking.",
        picks=(("vessel", "vessel"),),
    ),
    OwnTest(
        "footprint",
        "The powder's footprint on wet paper",
        "A pinch of powder on wet paper, photographed on the photo sheet. It tells how large a stain one grain makes before heat takes a hand.",
        "Thick wet paper (filter or watercolour), the photo sheet, a phone; a milligram scale if you have one.",
        (
            Step("Lay wet paper, without puddles, over the window of the photo sheet. The pan and its steam are far away.", ("powder heat",)),
            Step("Sprinkle a very little powder from high up, so that the stains stand alone; shut the jar.", ("powder", "powder draught", "powder after")),
            Step("Wait until the grains have dissolved (a minute or two), then photograph the whole sheet from above."),
            Step("Or measure a dozen stains or more across with a rule, the small ones too."),
        ),
        "dye",
        "dye",
        ("footprint_mm", "grain_mm", "grain_sd"),
        "0.3 mm (grains of 0.12 mm, stains 2.5 radii wide) is assumed",
        "The size of speckles, and the powder for a wanted coverage.",
        "Paper is not yarn: the stain is that of cold water. Without the powder's weight the grain itself is only known through an assumed stain.",
        "sheet",
        picks=(("dye", "dye"),),
    ),
    OwnTest(
        "spread-length",
        "How far colour spreads, from a speckled skein",
        "A photo of a speckled test skein. The grain of its pattern tells how far dye went along and across the strands before it struck.",
        "A piece of the base, speckled with one dye as you work, dried, at least 5 by 5 cm laid flat; the photo sheet; the powder's footprint, if you can.",
        (
            Step("Speckle a piece with one dye, sparsely, in the water and acid that you use; finish and dry it.", ("powder", "powder heat", "scald")),
            Step("Lay it flat in the window of the photo sheet, its strands along the long side. Photograph the whole sheet from above."),
        ),
        "base",
        "base",
        ("spread_length_mm",),
        "0.5 mm (0.13 to 1.9) is assumed",
        "The softness of speckles and of the edges of pours.",
        "One photo of a finished skein tells how far dye went, and the stain of a grain; never how fast it spread and how fast it struck apart.",
        "sheet",
        picks=(("base", "base"), ("dye", "dye")),
    ),
    OwnTest(
        "wet",
        "Wet against dry",
        "Three pieces of a base in different colours, seen dry and wet. It says how much deeper this yarn looks wet, so that a wet skein can be judged.",
        "Three dyed pieces of one base or more, pale to deep, each of them twice: one dry, one soaked and squeezed. Or one piece seen before and after.",
        (
            Step("Soak one of each pair in plain water for a quarter of an hour, squeeze it, and lay it beside its dry twin on white paper."),
            Step("Photograph all of them in soft daylight with no glare on the water: turn them until nothing shines."),
            Step("Point at dry and wet in the photo, or read both with an instrument. Skeins that you measured wet and dry count by themselves."),
        ),
        "base",
        "base",
        ("wet_match",),
        "2.8 times (1.9 to 4.2) is assumed",
        "The colour of a wet skein in the pot or on the rack, and what a wet one will be once it is dry.",
        "It holds for yarn as wet as these pieces were; a dripping skein and a spun one differ.",
        "places",
        _WET,
        (("base", "base"),),
    ),
)

OWN_TESTS: dict[str, OwnTest] = {one.key: one for one in _TABLE}
"""Every test by its key, those with the greatest gain first."""


def suits(test: OwnTest, item: Item) -> bool:
    """True where the test says something of this thing of the shelf: superwash bases, bases with nylon, everything else."""
    if isinstance(item, Base) and test.key == "superwash":
        return bool(item.superwash)
    if isinstance(item, Base) and test.key == "nylon":
        return any(fibre_kind(name) == "nylon" and share > 0 for name, share in item.fibres)
    return True
