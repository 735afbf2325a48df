"""Trends, grids, quick against full, and balances of the spread model over many conditions; writes docs/proof/spread.md and the gallery beside the model's
page.

    .venv/bin/python proofs/spread.py [SEEDS]

It shows what the model does, never what yarn does: every rate is assumed. tests/property/test_spread_trends.py keeps three seeds of the trends.
"""

from __future__ import annotations

import platform
import subprocess
import sys
import time
import tomllib
from datetime import date
from pathlib import Path

from skeinwright.wiring import one_thread_for_small_matrices

one_thread_for_small_matrices()

import numpy as np  # noqa: E402
from PIL import Image  # noqa: E402

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests"))

from invented_dyes import UNDYED, invented, ladder  # noqa: E402
from skeinwright.core.bath.acids import VINEGAR, AcidDose  # noqa: E402
from skeinwright.core.colour.mixing import mix  # noqa: E402
from skeinwright.core.colour.recover import recover  # noqa: E402
from skeinwright.core.colour.spaces import spectrum_to_xyz, xyz_to_srgb  # noqa: E402
from skeinwright.core.colourway.document import read_colourway_document  # noqa: E402
from skeinwright.core.forecast.dyeing import fit_dyes  # noqa: E402
from skeinwright.core.spread.acid import half_mobile, sites_filled  # noqa: E402
from skeinwright.core.spread.derive import Pot, sites_filled_in, sites_mmol_g  # noqa: E402
from skeinwright.core.spread.figures import figures  # noqa: E402
from skeinwright.core.spread.grid import panel  # noqa: E402
from skeinwright.core.spread.quick import quick  # noqa: E402
from skeinwright.core.spread.session import session_of  # noqa: E402
from skeinwright.core.spread.skein import grid_error, moved_to  # noqa: E402
from skeinwright.core.spread.stepper import Spreading, full  # noqa: E402
from spread_cases import case  # noqa: E402

PANEL = panel(256, 0.02)
GALLERY = ROOT / "docs" / "explanation" / "models"
DEPTHS = ((0.0, "damp, no free water"), (0.15, "1.5 mm"), (0.4, "4 mm"), (1.0, "10 mm"))
ACIDS = (
    ("never", 0.0, 0.0, 0.0), ("late", 0.3, 0.0, 600.0), ("little", 0.03, 0.0, 0.0), ("in the fibre", 0.3, 0.0, 0.0), ("in the powder, 4:1", 0.03, 0.0084, 0.0)
)  # fmt: skip
"""(in words, share of the sites filled in the end, mmol in a mg of powder, seconds after the powder at which it comes)."""
TEMPS = (65.0, 85.0, 96.0)
ACID, LAID, HOT = {"do": "add acid", "acid": "vinegar 5 %", "amount": "30 ml"}, {"do": "lay in"}, {"do": "heat", "to": "85 C"}
POWDER, HALF = ({"do": "sprinkle", "dye": "Kelp", "amount": grams} for grams in ("0.15 g", "0.075 g"))
HOLD, TEN_MIN, TURN = {"do": "hold", "time": "30 min"}, {"do": "wait", "time": "10 min"}, {"do": "turn"}


def water(volume: str) -> dict[str, str]:
    """The first step of a session."""
    return {"do": "fill", "volume": volume}


SESSIONS = {
    "hot, 1.2 l, two rounds": [water("1.2 l"), ACID, LAID, HOT, HALF, TEN_MIN, TURN, HALF, HOLD],
    "hot, shallow": [water("500 ml"), ACID, LAID, HOT, POWDER, HOLD],
    "painted, steamed": [
        {"do": "soak", "water": "300 ml"}, ACID, LAID, {"do": "squeeze"}, {"do": "paint", "dye": "Kelp", "amount": "0.15 g", "over": "0-40 cm"},
        {"do": "steam", "time": "30 min"},
    ],
    "hot, no acid": [water("700 ml"), LAID, HOT, POWDER, HOLD],
    "cold under 10 mm, turned, then heated": [water("1.2 l"), ACID, LAID, POWDER, TEN_MIN, TURN, HOT, HOLD],
    "kettle of 4 l, poured, held at 85 C": [water("4 l"), ACID, ACID, LAID, HOT, {"do": "pour", "dye": "Kelp", "amount": "0.5 g", "over": "all"}, HOLD],
}  # fmt: skip
"""100 g of plain wool, a half-milling dye, and all else at the program's defaults."""
SHOWN = 160


def one(depth: float, phi: float, seed: int, *, temp_c: float = 85.0, acid: float = 0.0, late_s: float = 0.0, dyes: int = 1) -> Spreading:
    """One panel."""
    damp = depth == 0
    session = case(depth, phi, temp_c, dyes=dyes, load_mg_cm2=0.1 / dyes, held_g_g=1.2 if damp else 3.0, powder_acid=acid, evaporates=not damp, late_s=late_s)
    return full(session, PANEL, seed)


def row(label: str, runs: list[Spreading]) -> str:
    """Means over the seeds: half-width, contrast, back over front, back contrast over front's, share struck of what dissolved, worst balance."""
    all_ = [figures(run) for run in runs]
    struck = [run.ledger.fibre_mg.sum() / (run.ledger.added_mg.sum() - run.ledger.powder_mg.sum()) for run in runs]
    values = [
        np.mean([f.half_width_mm for f in all_]), np.mean([f.contrast for f in all_]), np.mean([f.front_back for f in all_]),
        np.mean([f.back_contrast / f.contrast for f in all_]), np.mean(struck),
    ]  # fmt: skip
    worst = max(run.ledger.error for run in runs)
    return f"| {label} | " + " | ".join(f"{value:.2f}" for value in values) + f" | {worst:.0e} |"


def quick_row(label: str, depth: float, phi: float, seed: int) -> str:
    """The quick forecast against the full one, same grains."""
    session = case(depth, phi, load_mg_cm2=0.1)
    start = time.process_time()
    a = quick(session, PANEL, seed)
    taken = time.process_time() - start
    b = full(session, PANEL, seed)
    r = float(np.corrcoef(a.dye[0, 0].ravel(), b.dye[0, 0].ravel())[0, 1])
    off = float(np.linalg.norm(a.dye - b.dye) / np.linalg.norm(b.dye))
    return f"| {label} | {r:.4f} | {off:.2f} | {figures(a).front_back:.2f} / {figures(b).front_back:.2f} | {1e3 * taken:.0f} |"


def session_row(label: str, steps: list[dict[str, str]]) -> str:
    """The quick forecast of a whole session against the full one, same grains, on a panel."""
    document = {"name": "One of these", "fibre": {"mass": "100 g"}, "dye": [{"name": "Kelp", "class": "half-milling"}], "step": steps}
    session = moved_to(session_of(read_colourway_document(document)), PANEL)
    runs = quick(session, PANEL, 1), full(session, PANEL, 1)
    a, b = (figures(run) for run in runs)
    on = " / ".join(f"{run.ledger.on_fibre[0]:.2f}" for run in runs)
    r = float(np.corrcoef(*(run.dye[0, 0].ravel() for run in runs))[0, 1])
    widths = f"{a.half_width_mm:.2f} / {b.half_width_mm:.2f}"
    return f"| {label} | {on} | {a.contrast:.2f} / {b.contrast:.2f} | {widths} | {a.front_back:.2f} / {b.front_back:.2f} | {r:.3f} |"


def acid_rows() -> list[str]:
    """The closed form, set at one amount of acid, against core/bath's own balance at others."""
    kinds, fibre, water = (("wool", 1.0),), 100.0, 300.0
    sites = sites_mmol_g(kinds) * fibre

    def phi(vinegar_ml: float) -> float:
        return sites_filled_in(Pot(kinds=kinds, fibre_g=fibre, water_ml=water, alkalinity_mg_l=80.0, acids=(AcidDose(VINEGAR, vinegar_ml),)))

    def total(vinegar_ml: float) -> float:
        return 1000 * vinegar_ml * VINEGAR.mol_per_unit - 80 / 50043 * water

    a_half = half_mobile(total(20.0), phi(20.0), sites)
    rows = []
    for ml in (2.0, 5.0, 10.0, 20.0, 40.0, 80.0):
        closed = float(sites_filled(np.array(total(ml)), sites, a_half))
        rows.append(f"| {ml:g} | {phi(ml):.3f} | {closed:.3f} |")
    return rows


def picture(planes: list[list[np.ndarray]], path: Path) -> None:
    """A contact sheet of panels, colours of three invented dyes by Kubelka-Munk."""
    rng = np.random.default_rng(4)
    names = ("Kelp", "Ember", "Rosehip")
    models = fit_dyes([ladder(name, invented(rng), (0.1, 0.5, 2)) for name in names], {"Quay Sock": UNDYED})
    base = recover(UNDYED).reflectance
    sheet = np.full((len(planes) * (SHOWN + 6) + 6, len(planes[0]) * (SHOWN + 6) + 6, 3), 200, np.uint8)
    for i, line in enumerate(planes):
        for j, plane in enumerate(line):
            piece = plane[:, :SHOWN, :SHOWN].reshape(3, -1).astype(float)
            spectra = mix(base, np.array([models[name].ks_at(amounts) for name, amounts in zip(names, piece, strict=True)]))
            srgb, _ = xyz_to_srgb(spectrum_to_xyz(spectra, "D65", 2))
            top, left = 6 + i * (SHOWN + 6), 6 + j * (SHOWN + 6)
            sheet[top : top + SHOWN, left : left + SHOWN] = np.asarray(srgb).reshape(SHOWN, SHOWN, 3)
    Image.fromarray(sheet).quantize(128).save(path, optimize=True)


def gallery() -> None:
    """Two sheets: depth x acid, and depth x heat (front beside back)."""
    picture(
        [[one(depth, phi, 3, acid=acid, late_s=late, dyes=3).dye[:, 0] for _, phi, acid, late in ACIDS[1:]] for depth, _ in DEPTHS],
        GALLERY / "spread_depth_acid.png",
    )
    sheets = []
    for depth, _ in DEPTHS[1:]:
        runs = [one(depth, 0.15, 3, temp_c=temp, dyes=3) for temp in TEMPS]
        sheets.append([run.dye[:, face] for run in runs for face in (0, 1)])
    picture(sheets, GALLERY / "spread_depth_heat.png")


def main() -> None:
    """Run all and write the table."""
    seeds = range(1, 1 + (int(sys.argv[1]) if len(sys.argv) > 1 else 5))
    file = session_of(read_colourway_document(tomllib.loads((ROOT / "tests" / "reference" / "data" / "three_rounds.toml").read_text())))
    found = grid_error(file, 1)
    commit = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, cwd=ROOT, check=False).stdout.strip()
    head = "| case | half-width mm | contrast | back/front | back contrast/front's | struck | worst balance |\n|---|---|---|---|---|---|---|"
    depth_rows = [
        row(f"{words}, acid {name}", [one(depth, phi, s, acid=acid, late_s=late) for s in seeds]) for depth, words in DEPTHS for name, phi, acid, late in ACIDS
    ]
    heat_rows = [row(f"{words}, {temp:.0f} C", [one(depth, 0.15, s, temp_c=temp) for s in seeds]) for depth, words in DEPTHS[1:] for temp in TEMPS]
    lines = [
        "# Spread: trends, grids, balances",
        "",
        f"What the model does under {len(list(seeds))} seeds a case, one middling dye of 0.1 mg/cm2 on a panel of 5.1 cm, 25 minutes. Every rate is assumed:",
        "nothing here says what real yarn does.",
        "",
        f"Made by `python3 run.py prove spread` on {date.today()}, {platform.system()} {platform.machine()}, Python {platform.python_version()}, "
        f"at or after commit {commit}.",
        "",
        "## Depth and acid, 85 C",
        "",
        "Late acid: as much as in the fibre, into the water ten minutes after the powder, as dyers do it. Never: none at all.",
        "",
        head,
        *depth_rows,
        "",
        "## Depth and heat, acid sites 15 % filled",
        "",
        head,
        *heat_rows,
        "",
        "## Quick against full, same grains",
        "",
        "| case | correlation | relative L2 | back/front quick / full | quick, CPU ms |",
        "|---|---|---|---|---|",
        *[quick_row(f"{words}, phi {phi:g}", depth, phi, 1) for depth, words in DEPTHS[1:] for phi in (0.03, 0.3)],
        "",
        "| session, quick / full | on the fibre | contrast of the face | half-width, mm | back over front | correlation of the face |",
        "|---|---|---|---|---|---|",
        *[session_row(label, steps) for label, steps in SESSIONS.items()],
        "",
        "## Two grids, one code",
        "",
        f"The session of tests/reference/data/three_rounds.toml on a 3 cm patch: {found.sentence}",
        f"Half-width {found.coarse.half_width_mm:.2f} mm against {found.fine.half_width_mm:.2f} mm, "
        f"contrast {found.coarse.contrast:.2f} against {found.fine.contrast:.2f}.",
        "",
        "## Acid: the closed form against core/bath",
        "",
        "100 g of wool in 300 ml, alkalinity 80 mg/L; the form is set at 20 ml of 5 % vinegar and read at other amounts.",
        "",
        "| vinegar, ml | sites filled, core/bath | closed form |",
        "|---|---|---|",
        *acid_rows(),
        "",
    ]
    (ROOT / "docs" / "proof" / "spread.md").write_text("\n".join(lines))
    gallery()
    print("\n".join(lines))


if __name__ == "__main__":
    main()
