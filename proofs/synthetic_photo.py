"""Photographs of yarn on a photo sheet that were never taken: spectra, strands, light, lens, sensor and file, with the truth known exactly.

    .venv/bin/python proofs/synthetic_photo.py [FILE.jpg]      writes one, to look at

Nothing that makes a picture uses the code that draws forecasts, or the code that reads photographs; only where things lie on the page is shared,
and what counts as a faint colour (its distance from the ground's shading ray).
Dyes are absorption bands, mixed as K/S band by band; light, sensor and observer are sums over 400-700 nm in steps of 10 nm. The observer and daylight
come from colour-science. Sensors, tone curves, lamps other than daylight and the yarn's shading are invented.
"""

from __future__ import annotations

import io
import struct
import sys
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from skeinwright.core.measure.oklab import oklab
from skeinwright.core.measure.ray import ray_distance
from skeinwright.core.measure.sheet import A4, COLOURS_SRGB, GREYS_LINEAR, MARKER_MM, Box, Sheet

Array = NDArray[Any]


@cache
def _library() -> Any:
    """colour-science, and not a file of this folder that may bear its name."""
    kept = sys.path[:]
    sys.path[:] = [place for place in kept if Path(place or ".").resolve() != Path(__file__).resolve().parent]
    try:
        import colour
    finally:
        sys.path[:] = kept
    return colour


NM = np.arange(400.0, 701.0, 10.0)
LIGHTS = ("daylight", "open shade", "tungsten", "good LED", "poor LED", "shop tube")


# ---------------------------------------------------------------- spectra


@cache
def _observer() -> Array:
    colour = _library()
    shape = colour.SpectralShape(400, 700, 10)
    return np.asarray(colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape).values)


@cache
def lamp(name: str) -> Array:
    """The light's power at each band, 1 at 560 nm or so."""
    colour = _library()
    if name in ("D65", "daylight", "open shade"):
        kelvin = {"D65": 6504.0, "daylight": 6000.0, "open shade": 9000.0}[name]
        made = colour.sd_CIE_illuminant_D_series(colour.temperature.CCT_to_xy_CIE_D(kelvin))
        power = np.interp(NM, made.wavelengths, made.values)
    elif name == "tungsten":
        power = NM**-5 / (np.exp(1.4388e7 / (NM * 2850.0)) - 1)
    elif name == "good LED":
        power = 0.75 * bell(NM, 452, 12) + bell(NM, 560, 62) + 0.75 * bell(NM, 630, 45)
    elif name == "poor LED":
        power = 1.35 * bell(NM, 447, 9) + bell(NM, 557, 46)
    elif name == "shop tube":
        power = 0.9 * bell(NM, 437, 7) + 0.5 * bell(NM, 490, 9) + 1.5 * bell(NM, 545, 8) + 1.4 * bell(NM, 611, 9) + 0.12
    else:
        raise ValueError(name)
    return np.asarray(power / power.max())


def bell(nm: Array, middle: float, width: float) -> Array:
    """exp(-(nm - middle)^2 / (2 width^2))."""
    return np.exp(-((nm - middle) ** 2) / (2 * width**2))


def xyz_of(reflectance: Array) -> Array:
    """XYZ (D65, 2 degree, a perfect white Y = 100) of spectra (..., 31)."""
    weight = _observer() * lamp("D65")[:, None]
    return np.asarray(reflectance @ weight / weight[:, 1].sum() * 100)


def lab_of_xyz(xyz: Array) -> Array:
    """CIELAB of XYZ (D65, 2 degree), with this module's own white."""
    ratio = np.asarray(xyz) / xyz_of(np.ones(31))
    f = np.where(ratio > 216 / 24389, np.cbrt(ratio), (24389 / 27 * ratio + 16) / 116)
    return np.stack([116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], axis=-1)


def lab_of(reflectance: Array) -> Array:
    """Lab (D65, 2 degree) of spectra (..., 31)."""
    return lab_of_xyz(xyz_of(reflectance))


WOOL = 0.90 - 0.32 * np.exp(-(NM - 400) / 70)
PAPER = 0.90 - 0.02 * bell(NM, 400, 25)
INK = np.full(31, 0.045)
TABLE = 0.18 + 0.22 * (NM - 400) / 300


def absorb(base: Array, *dyes: Array) -> Array:
    """The reflectance of a base that carries dyes given as K/S (31,): sums in K/S, band by band."""
    ks = (1 - base) ** 2 / (2 * base) + sum(dyes, np.zeros(31))
    return np.asarray(1 + ks - np.sqrt(ks * ks + 2 * ks))


def random_dye(rng: np.random.Generator, depth: float | None = None) -> Array:
    """K/S (31,) of an invented dye: one or two bands of absorption and a little everywhere."""
    depth = float(np.exp(rng.uniform(np.log(0.3), np.log(9)))) if depth is None else depth
    bands = bell(NM, rng.uniform(410, 660), rng.uniform(25, 60)) + rng.uniform(0, 0.5) * bell(NM, rng.uniform(400, 680), rng.uniform(20, 50))
    return np.asarray(depth * (bands + rng.uniform(0.005, 0.06)))


# ---------------------------------------------------------------- what lies on the table


@dataclass(frozen=True)
class Yarn:
    """One skein or swatch: where (mm), which way its strands run, the dye of its ground as K/S, its specks as (K/S, how many in 10 cm2, diameter mm)."""

    box: Box
    ground: Array
    specks: tuple[tuple[Array, float, float], ...] = ()
    upright: bool = False
    pitch_mm: float = 1.7


@dataclass(frozen=True)
class Scene:
    """A sheet with yarn on it. `card` lays 24 known patches into the slot; `insert` the grey insert under the yarn."""

    yarns: tuple[Yarn, ...]
    sheet: Sheet = A4
    card: bool = True
    insert: bool = False
    seed: int = 0


@dataclass(frozen=True)
class Shot:
    """How it was taken. Lengths in the picture are in shares of its width; `distortion` is k of u = c + d (1 + k r^2), r = 1 in the corner."""

    light: str = "daylight"
    second_light: str = ""
    camera: int = 0
    width_px: int = 2600
    gradient: float = 0.25
    shadow: float = 0.0
    tilt: float = 0.04
    turn_deg: float = 3.0
    fills: float = 0.93
    distortion: float = 0.0
    bend_mm: float = 0.0
    blur_px: float = 0.7
    noise: float = 0.006
    white_error: float = 0.02
    exposure: float = 0.82
    contrast: float = 0.5
    saturation: float = 1.05
    sharpen: float = 0.0
    profile: str = "srgb"
    quality: int = 93
    orientation: int = 1
    covered: tuple[int, ...] = ()
    no_sheet: bool = False
    seed: int = 0


@dataclass(frozen=True)
class YarnTruth:
    """What is exactly so of one yarn: Lab of the fibre's ground and specks, Lab of the mean light over the whole outline, area."""

    core_lab: Array
    mean_lab: Array
    speck_labs: tuple[Array, ...]
    speck_shares: tuple[float, ...]
    area_cm2: float
    middle_mm: tuple[float, float]
    contrast: float = 1.0
    """The least ray distance of a speck's colour from the ground (1 without specks), and the least distance of two of them, in Oklab."""
    apart: float = 1.0


@dataclass(frozen=True)
class Taken:
    """A photograph as a file, the truth of what it shows, and the reference's CSV."""

    data: bytes
    yarns: tuple[YarnTruth, ...]
    reference_csv: str
    greys_csv: str
    px_per_mm: float
    pixels: Array = field(repr=False)


CANVAS_PX_PER_MM = 10.0


def card_spectra() -> Array:
    """24 spectra of an invented card: 6 greys and 18 colours."""
    rng = np.random.default_rng(77)
    greys = [np.full(31, level) for level in (0.035, 0.09, 0.19, 0.36, 0.59, 0.88)]
    colours = []
    while len(colours) < 18:
        one = absorb(np.full(31, 0.88), random_dye(rng, float(rng.uniform(0.5, 8))))
        if np.hypot(*lab_of(one)[1:]) > 14:
            colours.append(one)
    return np.array(greys + colours)


def card_boxes(sheet: Sheet) -> list[Box]:
    """Where the patches of the card lie."""
    left = sheet.slot.x_mm + (sheet.slot.w_mm - (11 * 16 + 12)) / 2
    return [Box(left + 16 * (place % 12), 173.5 + 14 * (place // 12), 12, 12) for place in range(24)]


def reference_csv(sheet: Sheet, error: float = 0.2, greys_only: bool = False) -> str:
    """The card as a dyer would describe it, each value read with a small error."""
    rng = np.random.default_rng(5)
    lines = ["x_mm,y_mm,w_mm,h_mm,L,a,b"]
    for place, (box, lab) in enumerate(zip(card_boxes(sheet), lab_of(card_spectra()), strict=True)):
        L, a, b = lab + rng.normal(0, error, 3)
        if place < 6 or not greys_only:
            lines.append(f"{box.x_mm + 1.5:.2f},{box.y_mm + 1.5:.2f},9,9,{L:.2f},{a:.2f},{b:.2f}")
    return "\n".join(lines) + "\n"


# ---------------------------------------------------------------- the page in raw light


@dataclass(frozen=True)
class _Camera:
    sensor: Array
    matrix: Array


@cache
def _camera(seed: int, light: str) -> _Camera:
    """Sensitivities (31, 3), and the matrix that the maker fitted to ordinary colours under daylight, or under an incandescent lamp for lamps like it."""
    rng = np.random.default_rng(1000 + seed)
    middles = np.array([602, 538, 457]) + rng.normal(0, 5, 3)
    widths = np.array([33, 39, 28]) + rng.normal(0, 2, 3)
    sensor = np.stack([bell(NM, middle, width) for middle, width in zip(middles, widths, strict=True)], axis=1)
    sensor[:, 0] += 0.08 * bell(NM, 450, 20)
    learn = np.random.default_rng(9)
    known = np.array([absorb(np.full(31, learn.uniform(0.3, 0.95)), random_dye(learn, float(learn.uniform(0, 4)))) for _ in range(200)])
    preset = "tungsten" if light == "tungsten" else "D65"
    raw = known @ (sensor * lamp(preset)[:, None])
    raw /= np.ones(31) @ (sensor * lamp(preset)[:, None])
    wanted = linear_srgb(xyz_of(known))
    matrix = np.linalg.lstsq(raw, wanted, rcond=None)[0].T
    return _Camera(sensor, matrix / matrix.sum(axis=1, keepdims=True))


_SRGB = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
_P3 = np.array([[0.48657095, 0.26566769, 0.19821729], [0.22897456, 0.69173852, 0.07928691], [0.0, 0.04511338, 1.04394437]])
"""Display P3 with the white D65, from its chromaticities (0.680 0.320, 0.265 0.690, 0.150 0.060)."""


def linear_srgb(xyz: Array) -> Array:
    """Linear sRGB of XYZ (D65), white exactly 1."""
    return np.asarray((xyz / xyz_of(np.ones(31)) * _SRGB.sum(axis=1)) @ np.linalg.inv(_SRGB).T)


def _paint(canvas: Array, box: Box, colour: Array) -> None:
    x0, y0, x1, y1 = (round(v * CANVAS_PX_PER_MM) for v in (box.x_mm, box.y_mm, box.right_mm, box.bottom_mm))
    canvas[y0:y1, x0:x1] = colour


def _smooth_noise(rng: np.random.Generator, shape: tuple[int, int], cell_px: float) -> Array:
    coarse = rng.normal(size=(int(shape[0] / cell_px) + 3, int(shape[1] / cell_px) + 3)).astype(np.float32)
    return np.asarray(cv2.resize(coarse, (shape[1], shape[0]), interpolation=cv2.INTER_CUBIC))


def _strands(rng: np.random.Generator, shape: tuple[int, int], yarn: Yarn) -> Array:
    """The shading of strands side by side, 1 on the crests: a round profile, each strand a little different, the ply's slope across it."""
    rows, columns = (shape[1], shape[0]) if yarn.upright else shape
    v, u = np.mgrid[0:columns, 0:rows].astype(np.float32).transpose(0, 2, 1) / CANVAS_PX_PER_MM
    u = u + 0.9 * _smooth_noise(rng, (rows, columns), 220) + 0.10 * _smooth_noise(rng, (rows, columns), 30)
    number = np.floor(u / yarn.pitch_mm)
    x = u / yarn.pitch_mm - number
    round_profile = np.sqrt(np.clip(1 - (2 * x - 1) ** 2, 0, 1))
    own = np.random.default_rng(int(rng.integers(1 << 30))).uniform(0.90, 1.0, 4096)[(number.astype(int) + 400) % 4096]
    ply = 1 - 0.16 * (0.5 + 0.5 * np.cos(2 * np.pi * (v / 3.1 + x * 0.8 + number * 0.37))) ** 3
    shade = (0.30 + 0.70 * round_profile) * own * ply * (1 - 0.03 * np.abs(_smooth_noise(rng, (rows, columns), 3)))
    return np.asarray(shade.T if yarn.upright else shade, dtype=np.float32)


def _outline(rng: np.random.Generator, box: Box, shape: tuple[int, int]) -> Array:
    """A rounded, slightly wavy outline, as 0-1 with a soft edge of one canvas pixel."""
    y, x = np.mgrid[0 : shape[0], 0 : shape[1]].astype(np.float32)
    half_w, half_h = box.w_mm * CANVAS_PX_PER_MM / 2, box.h_mm * CANVAS_PX_PER_MM / 2
    wave = 4 * _smooth_noise(rng, shape, 90)
    radius = min(half_w, half_h) * 0.35
    qx, qy = np.abs(x - shape[1] / 2) - half_w + radius, np.abs(y - shape[0] / 2) - half_h + radius
    distance = np.hypot(np.maximum(qx, 0), np.maximum(qy, 0)) + np.minimum(np.maximum(qx, qy), 0) - radius + wave
    return np.asarray(np.clip(0.5 - distance, 0, 1))


def _lay(canvas: Array, yarn: Yarn, band: Array, rng: np.random.Generator) -> YarnTruth:
    """Paint one yarn into the raw canvas (its light falls through `band` (31, 3)), and say what it truly is."""
    pad = 3.0
    area = yarn.box.grown(pad)
    x0, y0 = round(area.x_mm * CANVAS_PX_PER_MM), round(area.y_mm * CANVAS_PX_PER_MM)
    shape = (round(area.h_mm * CANVAS_PX_PER_MM), round(area.w_mm * CANVAS_PX_PER_MM))
    outline = _outline(rng, yarn.box, shape)
    shade = _strands(rng, shape, yarn)
    ground = absorb(WOOL, yarn.ground)
    spectra = [ground]
    amounts = np.zeros(shape, np.float32)
    which = np.zeros(shape, np.int8)
    for number, (dye, per_10_cm2, diameter) in enumerate(yarn.specks, 1):
        count = rng.poisson(per_10_cm2 * yarn.box.w_mm * yarn.box.h_mm / 1000)
        for _ in range(count):
            _speck(amounts, which, number, diameter, rng)
        spectra.append(absorb(WOOL, yarn.ground, dye))
    # one colour for each amount of dye from none to all, mixed as K/S
    levels = np.linspace(0, 1, 33)
    raw = np.broadcast_to(ground @ band, (*shape, 3)).astype(np.float32).copy()
    xyz = np.broadcast_to(xyz_of(ground), (*shape, 3)).astype(np.float32).copy()
    for number, (dye, _, _) in enumerate(yarn.specks, 1):
        table = np.array([absorb(WOOL, yarn.ground, level * dye) for level in levels])
        here = which == number
        step = amounts[here] * 32
        low = np.clip(step.astype(int), 0, 31)
        part = (step - low)[:, None]
        for target, values in ((raw, table @ band), (xyz, xyz_of(table))):
            target[here] = values[low] * (1 - part) + values[low + 1] * part
    shadow = cv2.GaussianBlur(outline, (0, 0), 9)
    shadow = np.roll(shadow, (6, 5), (0, 1))
    where = canvas[y0 : y0 + shape[0], x0 : x0 + shape[1]]
    where *= (1 - 0.30 * shadow)[..., None]
    cover = outline[..., None]
    where[...] = where * (1 - cover) + raw * shade[..., None] * cover
    mean_xyz = (xyz * (shade * outline)[..., None]).sum(axis=(0, 1)) / outline.sum()
    shares = tuple(float((outline * (which == number) * (amounts >= 0.5)).sum() / outline.sum()) for number in range(1, len(yarn.specks) + 1))
    middle = (yarn.box.x_mm + yarn.box.w_mm / 2, yarn.box.y_mm + yarn.box.h_mm / 2)
    area_cm2 = float(outline.sum()) / CANVAS_PX_PER_MM**2 / 100
    labs = tuple(lab_of(each) for each in spectra[1:])
    return YarnTruth(lab_of(ground), lab_of_xyz(mean_xyz), labs, shares, area_cm2, middle, *_how_plain(np.array(spectra)))


def _how_plain(spectra: Array) -> tuple[float, float]:
    """How far the least of the specks' colours lies off the ground's ray, and how near two of them are; light as read, relative to paper."""
    seen = oklab(linear_srgb(xyz_of(spectra)) / 0.9)
    pairs = [float(np.linalg.norm(seen[i] - seen[j])) for i in range(1, len(seen)) for j in range(1, i)]
    return float(min(ray_distance(seen[1:], seen[0]), default=1.0)), min(pairs, default=1.0)


def _speck(amounts: Array, which: Array, number: int, diameter_mm: float, rng: np.random.Generator) -> None:
    size = diameter_mm * float(np.exp(rng.normal(0, 0.25))) * CANVAS_PX_PER_MM / 2
    y, x = rng.uniform(0, amounts.shape[0]), rng.uniform(0, amounts.shape[1])
    reach = int(size * 1.6) + 4
    r0, r1, c0, c1 = max(int(y) - reach, 0), int(y) + reach, max(int(x) - reach, 0), int(x) + reach
    rows, columns = np.mgrid[r0 : min(r1, amounts.shape[0]), c0 : min(c1, amounts.shape[1])]
    if rows.size == 0:
        return
    angle = rng.uniform(0, np.pi)
    dx, dy = columns - x, rows - y
    along, across = dx * np.cos(angle) + dy * np.sin(angle), -dx * np.sin(angle) + dy * np.cos(angle)
    distance = np.hypot(along / 1.15, across * 1.15) - size
    amount = (0.5 - 0.5 * np.tanh(distance / 2.2)).astype(np.float32)
    here = amounts[rows, columns]
    more = amount > here
    amounts[rows, columns] = np.where(more, amount, here)
    which[rows, columns] = np.where(more, number, which[rows, columns])


def _page(scene: Scene, band: Array) -> tuple[Array, tuple[YarnTruth, ...]]:
    """The page in raw light of even brightness, and the truth of its yarns."""
    sheet = scene.sheet
    canvas = np.empty((round(sheet.height_mm * CANVAS_PX_PER_MM), round(sheet.width_mm * CANVAS_PX_PER_MM), 3), np.float32)
    canvas[...] = PAPER @ band
    ink = INK @ band
    for number, (x, y) in enumerate(sheet.marks):
        _paint(canvas, Box(x, y, MARKER_MM, MARKER_MM), ink)
        bits = cv2.aruco.generateImageMarker(cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_5X5_50), number, 7)
        module = MARKER_MM / 7
        for row, column in np.argwhere(bits > 0):
            _paint(canvas, Box(x + column * module, y + row * module, module, module), PAPER @ band)
    for box, level in zip(sheet.greys, GREYS_LINEAR, strict=True):
        _paint(canvas, box, (PAPER * level * (1 + 0.03 * (NM - 550) / 150)) @ band)
    for box, text in zip(sheet.colours, COLOURS_SRGB, strict=True):
        red, green, blue = (int(text[i : i + 2], 16) / 255 for i in (1, 3, 5))
        _paint(canvas, box, (PAPER * (0.03 + 0.8 * (red**2.2 * bell(NM, 640, 50) + green**2.2 * bell(NM, 545, 40) + blue**2.2 * bell(NM, 450, 40)))) @ band)
    _paint(canvas, Box(sheet.ruler.x_mm, 33.9, 200, 0.2), ink)
    for mm in range(201):
        _paint(canvas, Box(sheet.ruler.x_mm + mm - 0.1, 34 - (3.5 if mm % 10 == 0 else 1.5), 0.2, 3.5 if mm % 10 == 0 else 1.5), ink)
    if scene.insert:
        _paint(canvas, sheet.window, (0.19 * PAPER) @ band)
    if scene.card:
        _paint(canvas, Box(sheet.slot.x_mm + 1, 172.5, sheet.slot.w_mm - 2, 28), np.full(31, 0.06) @ band)
        for box, spectrum in zip(card_boxes(sheet), card_spectra(), strict=True):
            _paint(canvas, box, spectrum @ band)
    rng = np.random.default_rng(scene.seed)
    return canvas, tuple(_lay(canvas, yarn, band, rng) for yarn in scene.yarns)


# ---------------------------------------------------------------- taking the photograph


def take(scene: Scene, shot: Shot) -> Taken:
    """The photograph as a JPEG file, and the truth."""
    rng = np.random.default_rng([shot.seed, 7])
    camera = _camera(shot.camera, shot.light)
    band = camera.sensor * lamp(shot.light)[:, None]
    white = PAPER @ band
    canvas, truth = _page(scene, band / white)
    _light_up(canvas, scene, shot, camera, white, rng)
    photo, px_per_mm = _through_lens(canvas, scene, shot, band / white, rng)
    pixels = _developed(photo, shot, camera, rng)
    data = _file(pixels, shot)
    return Taken(data, truth, reference_csv(scene.sheet), reference_csv(scene.sheet, greys_only=True), px_per_mm, pixels)


def _light_up(canvas: Array, scene: Scene, shot: Shot, camera: _Camera, white: Array, rng: np.random.Generator) -> None:
    """Multiply by the light's fall over the page, a second lamp from one side, a shadow's edge."""
    rows, columns = canvas.shape[:2]
    y, x = np.mgrid[-1 : 1 : complex(0, rows), -1 : 1 : complex(0, columns)].astype(np.float32)
    angle = rng.uniform(0, 2 * np.pi)
    along = (x * np.cos(angle) + y * np.sin(angle)) / 1.3
    field_ = np.exp(-shot.gradient * (0.5 * along + 0.18 * along**2)) * (1 - 0.10 * (x * x + y * y) * min(1.0, shot.gradient * 4))
    if shot.second_light:
        other = camera.sensor * lamp(shot.second_light)[:, None]
        tint = (PAPER @ other) / white
        tint /= tint.mean()
        share = (0.5 + 0.5 * np.clip(x * 1.1, -1, 1))[..., None] * 0.6
        canvas *= 1 - share + share * tint.astype(np.float32)
    if shot.shadow:
        edge = 0.3 + 0.12 * y - x
        field_ = field_ * (1 - shot.shadow / (1 + np.exp(-edge * 40)))
    canvas *= field_[..., None] if field_.ndim == 2 else field_
    for number in range(4) if shot.no_sheet else shot.covered:
        x, y = scene.sheet.marks[number]
        _paint(canvas, Box(x - 5, y - 5, 20, 20), np.array([0.3, 0.3, 0.3]))


def _through_lens(canvas: Array, scene: Scene, shot: Shot, band: Array, rng: np.random.Generator) -> tuple[Array, float]:
    """The page seen by the camera: perspective, a turned sheet, lens distortion, the table round it, blur."""
    width, height = shot.width_px, round(shot.width_px * 0.75)
    page_w, page_h = canvas.shape[1], canvas.shape[0]
    if shot.bend_mm:
        y, x = np.mgrid[0:page_h, 0:page_w].astype(np.float32)
        lift = shot.bend_mm * CANVAS_PX_PER_MM * np.sin(np.pi * x / page_w) * np.sin(np.pi * y / page_h * 1.5)
        canvas = cv2.remap(canvas, x + lift, y + 0.6 * lift, cv2.INTER_LINEAR)
    angle = np.radians(shot.turn_deg)
    across, down = (abs(np.cos(angle)) * one + abs(np.sin(angle)) * other for one, other in ((page_w, page_h), (page_h, page_w)))
    scale = shot.fills * min(width / across, height / down)  # the turned sheet is in the picture as a whole
    corners = (np.array([[0, 0], [page_w, 0], [page_w, page_h], [0, page_h]]) - [page_w / 2, page_h / 2]) * scale
    corners = corners @ np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]]) + [width / 2, height / 2]
    corners = corners + rng.uniform(-1, 1, (4, 2)) * shot.tilt * width * 0.5
    pixel = np.array([[0, 0], [page_w, 0], [page_w, page_h], [0, page_h]], np.float32) - 0.5
    matrix = cv2.getPerspectiveTransform(pixel, corners.astype(np.float32))
    sharp = canvas
    if scale < 0.9:
        sharp = cv2.GaussianBlur(canvas, (0, 0), 0.45 / scale)
    table = (TABLE @ band).astype(np.float32)
    if shot.distortion:
        y, x = np.mgrid[0:height, 0:width].astype(np.float32)
        cx, cy, half = (width - 1) / 2, (height - 1) / 2, np.hypot(width, height) / 2
        dx, dy = x - cx, y - cy
        r2 = (dx * dx + dy * dy) / half**2
        for _ in range(3):  # the inverse of the distortion, by turns
            stretch = 1 + shot.distortion * r2
            r2 = ((dx / stretch) ** 2 + (dy / stretch) ** 2) / half**2
        stretch = 1 + shot.distortion * r2
        ux, uy = cx + dx / stretch, cy + dy / stretch
        inverse = np.linalg.inv(matrix)
        w = inverse[2, 0] * ux + inverse[2, 1] * uy + inverse[2, 2]
        map_x = ((inverse[0, 0] * ux + inverse[0, 1] * uy + inverse[0, 2]) / w).astype(np.float32)
        map_y = ((inverse[1, 0] * ux + inverse[1, 1] * uy + inverse[1, 2]) / w).astype(np.float32)
        photo = cv2.remap(sharp, map_x, map_y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=table.tolist())
    else:
        photo = cv2.warpPerspective(sharp, matrix, (width, height), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=table.tolist())
    if shot.blur_px:
        photo = cv2.GaussianBlur(photo, (0, 0), shot.blur_px)
    return photo, scale * CANVAS_PX_PER_MM


def _developed(photo: Array, shot: Shot, camera: _Camera, rng: np.random.Generator) -> Array:
    """What the phone makes of it: noise, white balance, its matrix, more saturation, its tone curve, sharpening, 8 bits in sRGB or P3."""
    noisy = photo * np.float32(shot.exposure)
    noisy += rng.standard_normal(noisy.shape, dtype=np.float32) * (np.float32(shot.noise) * np.sqrt(np.maximum(noisy, 0) + np.float32(0.02)))
    grey = np.array([0.2126, 0.7152, 0.0722])
    stronger = shot.saturation * np.eye(3) + (1 - shot.saturation) * np.outer(np.ones(3), grey)
    gamut = np.linalg.inv(_P3) @ _SRGB if shot.profile == "p3" else np.eye(3)
    whole = gamut @ stronger @ camera.matrix @ np.diag(1 + shot.white_error * rng.normal(size=3))
    linear = noisy.reshape(-1, 3) @ whole.T.astype(np.float32)
    steps = np.arange(65536) / 65535
    curve = np.where(steps <= 0.0031308, 12.92 * steps, 1.055 * steps ** (1 / 2.4) - 0.055)
    curve = (curve - 0.10 * shot.contrast * np.sin(2 * np.pi * curve) / np.pi).astype(np.float32)
    encoded = curve[(np.clip(linear, 0, 1) * np.float32(65535) + np.float32(0.5)).astype(np.uint16)].reshape(photo.shape)
    if shot.sharpen:
        encoded = encoded + shot.sharpen * (encoded - cv2.GaussianBlur(encoded, (0, 0), 1.5))
    return np.asarray(np.clip(encoded * 255 + 0.5, 0, 255).astype(np.uint8))


def _file(pixels: Array, shot: Shot) -> bytes:
    from PIL import Image

    picture = Image.fromarray(pixels)
    turned = {1: picture, 3: picture.transpose(Image.Transpose.ROTATE_180), 6: picture.transpose(Image.Transpose.ROTATE_90)}[shot.orientation]
    exif = Image.Exif()
    exif[0x0112] = shot.orientation
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 30.0, 12.0), 3: "W", 4: (0.0, 7.0, 39.0)})
    target = io.BytesIO()
    more = {"icc_profile": p3_profile()} if shot.profile == "p3" else {}
    turned.save(target, "JPEG", quality=shot.quality, subsampling=2, exif=exif, **more)
    return target.getvalue()


def p3_profile() -> bytes:
    """An ICC profile (version 2, matrix and curve) of Display P3, its primaries adapted to D50 by Bradford's matrix."""
    colour = _library()
    adapt = colour.adaptation.matrix_chromatic_adaptation_VonKries(_P3.sum(axis=1), np.array([0.9642, 1.0, 0.8249]), transform="Bradford")
    d50 = adapt @ _P3

    def fixed(values: Array) -> bytes:
        return b"XYZ \0\0\0\0" + b"".join(struct.pack(">i", round(float(value) * 65536)) for value in values)

    steps = np.arange(1024) / 1023
    curve = np.where(steps <= 0.04045, steps / 12.92, ((steps + 0.055) / 1.055) ** 2.4)
    trc = b"curv\0\0\0\0" + struct.pack(">I", 1024) + np.rint(curve * 65535).astype(">u2").tobytes()
    text = b"text\0\0\0\0none\0"
    name = b"Wide gamut\0"
    desc = b"desc\0\0\0\0" + struct.pack(">I", len(name)) + name + b"\0" * 78
    tags = [(b"desc", desc), (b"cprt", text), (b"wtpt", fixed(np.array([0.9642, 1.0, 0.8249])))]
    tags += [(b"rXYZ", fixed(d50[:, 0])), (b"gXYZ", fixed(d50[:, 1])), (b"bXYZ", fixed(d50[:, 2])), (b"rTRC", trc), (b"gTRC", trc), (b"bTRC", trc)]
    table, body, offset = b"", b"", 132 + 12 * len(tags)
    for tag, content in tags:
        padded = content + b"\0" * (-len(content) % 4)
        table += struct.pack(">4sII", tag, offset + len(body), len(content))
        body += padded
    head = struct.pack(">I4sI4s4s4s", offset + len(body), b"none", 0x02400000, b"mntr", b"RGB ", b"XYZ ")
    head += struct.pack(">6H", 2026, 1, 1, 0, 0, 0) + b"acsp" + b"\0" * 28 + struct.pack(">3i", 63190, 65536, 54061) + b"\0" * 48
    return head + struct.pack(">I", len(tags)) + table + body


# ---------------------------------------------------------------- scenes to take


def ladder_scene(seed: int, count: int = 8, *, sheet: Sheet = A4, card: bool = True) -> Scene:
    """A row of swatches of random dyes."""
    rng = np.random.default_rng([seed, 1])
    pitch = sheet.window.w_mm / count
    yarns = tuple(
        Yarn(Box(sheet.window.x_mm + pitch * place + 2.5, 62, pitch - 6, 84), random_dye(rng), upright=place % 2 == 0, pitch_mm=float(rng.uniform(1.0, 2.2)))
        for place in range(count)
    )
    return Scene(yarns, sheet, card, seed=seed)


def skein_scene(seed: int, *, specks: int = 2, sheet: Sheet = A4, card: bool = True, pale: bool = False, insert: bool = False) -> Scene:
    """One skein: a ground with specks of other colours over it."""
    rng = np.random.default_rng([seed, 2])
    ground = np.zeros(31) if pale else random_dye(rng, float(rng.uniform(0.1, 1.2)))
    marks = tuple((random_dye(rng, float(rng.uniform(4, 9))), 9.0, float(rng.uniform(2.5, 5))) for _ in range(specks))
    return Scene((Yarn(Box(sheet.window.x_mm + 18, 66, 170, 76), ground, marks, pitch_mm=float(rng.uniform(1.4, 2.0))),), sheet, card, insert, seed)


def main(arguments: list[str]) -> int:
    """Write one photograph to look at, or say what this file is."""
    if not arguments:
        print("synthetic_photo makes the photographs that photo_colour measures; name a file to write one.")
        return 0
    made = take(skein_scene(3), Shot(light="daylight", distortion=0.02, profile="p3"))
    with open(arguments[0], "wb") as file:
        file.write(made.data)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
