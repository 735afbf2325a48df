"""The photo sheet found in a photograph: its marks, which size of sheet, and how millimetres become pixels.

All corners of all marks that are seen fix a homography by least squares, and where four marks are seen also one coefficient of lens distortion
    u = c + (h - c) (1 + k |h - c|^2 / d^2)
with h the undistorted place, c the middle of the picture and d half its diagonal.
The distance that remains at the corners, in millimetres on the page, tells a bent sheet from a flat one and A4 from Letter.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from skeinwright.core.measure.sheet import SHEETS, Sheet

Array = NDArray[np.float64]
Grey = NDArray[np.uint8]

LOOK_PX = 2000
"""The long side at which marks are looked for first; their corners are then settled at full size."""
CORNERS_FOR_LENS = 16
LENS_GAIN_MM = 0.02
"""The lens coefficient is kept only where it takes this much off the miss; else it would fit the corners' own noise."""
_SIDES_ALIKE = 3.0
"""The longest side of a mark may be three times its shortest: more is no photograph from above."""


@dataclass(frozen=True, slots=True)
class Found:
    """Where the sheet lies. `homography` (3, 3) takes page millimetres to undistorted pixels; `lens_k` is the coefficient above, 0 for none."""

    sheet: Sheet
    ids: tuple[int, ...]
    corners_px: Array
    """(n, 4, 2), in the order of `ids`."""
    homography: Array
    lens_k: float
    centre_px: tuple[float, float]
    half_diagonal_px: float
    rms_mm: float
    px_per_mm: float
    """In the photograph as taken, at the middle of the window."""

    def to_px(self, page_mm: Array) -> Array:
        """Pixels (..., 2) of places on the page (..., 2), in mm."""
        return _project(self.homography, self.lens_k, self.centre_px, self.half_diagonal_px, page_mm)


@dataclass(frozen=True, slots=True)
class NotFound:
    """How many of the four marks were seen, and whether what was seen can be a sheet lying on a table."""

    seen: int
    crossed: bool = False


def find_sheet(grey: Grey) -> Found | NotFound:
    """The sheet in a grey picture (rows, columns) of bytes, or how much of it was seen. At least three marks are needed."""
    marks = _marks(grey)
    ids = tuple(sorted(marks))
    if len(ids) < 3:
        return NotFound(len(ids))
    corners = np.stack([marks[each] for each in ids])
    if not _can_be_a_sheet(corners):
        return NotFound(len(ids), crossed=True)
    with np.errstate(all="ignore"):  # a wild quadrangle may send a place to infinity; its miss then tells
        fits = [_fitted(sheet, ids, corners, grey.shape) for sheet in SHEETS.values()]
    return min(fits, key=lambda fit: fit.rms_mm if np.isfinite(fit.rms_mm) else np.inf)


def _marks(grey: Grey) -> dict[int, Array]:
    """The corners of the marks 0-3, settled at full size. Of two with one id the larger is meant."""
    import cv2

    long_side = max(grey.shape)
    scale = min(1.0, LOOK_PX / long_side)
    small = grey if scale == 1.0 else np.asarray(cv2.resize(grey, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    seen = _seen(small)
    if len(seen) < 4 and scale < 1.0:
        whole = _seen(grey)
        if len(whole) > len(seen):
            return whole
    if scale == 1.0:
        return seen
    return {mark: _settled(grey, (corners + 0.5) / scale - 0.5) for mark, corners in seen.items()}


def _seen(grey: Grey) -> dict[int, Array]:
    import cv2

    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    settings.cornerRefinementWinSize = 5
    detector = cv2.aruco.ArucoDetector(cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_5X5_50), settings)
    corners, ids, _ = detector.detectMarkers(grey)
    found: dict[int, Array] = {}
    numbers = [] if ids is None else [int(number) for number in np.asarray(ids).ravel()]
    for quad, number in zip(corners, numbers, strict=True):
        points = np.asarray(quad, dtype=float).reshape(4, 2)
        if number < 4 and (number not in found or _area(points) > _area(found[number])):
            found[number] = points
    return found


def _settled(grey: Grey, corners: Array) -> Array:
    import cv2

    side = float(np.linalg.norm(corners - np.roll(corners, 1, axis=0), axis=1).min())
    reach = int(np.clip(side / 14, 3, 12))  # half a module: further off lies the next corner
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 40, 0.01)
    settled = cv2.cornerSubPix(grey, corners.astype(np.float32).reshape(-1, 1, 2).copy(), (reach, reach), (-1, -1), stop)
    found: Array = np.asarray(settled, dtype=float).reshape(4, 2)
    return found


def _area(points: Array) -> float:
    x, y = points[:, 0], points[:, 1]
    return 0.5 * float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))


def _can_be_a_sheet(corners: Array) -> bool:
    """Each mark clockwise and of even sides, and the marks clockwise round the sheet, as ids run, without crossing."""
    middles = corners.mean(axis=1)
    for quad in corners:
        sides = np.linalg.norm(quad - np.roll(quad, 1, axis=0), axis=1)
        if _area(quad) <= 0 or sides.max() > _SIDES_ALIKE * sides.min():
            return False
    turns = [_area(np.stack([middles[place - 1], middles[place], middles[(place + 1) % len(middles)]])) for place in range(len(middles))]
    return min(turns) > 0


def _fitted(sheet: Sheet, ids: tuple[int, ...], corners: Array, shape: tuple[int, ...]) -> Found:
    import cv2

    page = np.array([sheet.corners_mm(each) for each in ids], dtype=float)
    homography, _ = cv2.findHomography(page.reshape(-1, 1, 2), corners.reshape(-1, 1, 2), 0)
    centre = ((shape[1] - 1) / 2, (shape[0] - 1) / 2)
    half = float(np.hypot(shape[0], shape[1])) / 2
    found = _with(sheet, ids, corners, np.asarray(homography, dtype=float), 0.0, centre, half, page)
    if page.shape[0] * 4 < CORNERS_FOR_LENS:
        return found
    bent = _with_lens(found, page)
    return bent if bent.rms_mm < found.rms_mm - LENS_GAIN_MM else found


def _with_lens(found: Found, page: Array) -> Found:
    from scipy.optimize import least_squares

    start = found.homography / found.homography[2, 2]
    scale = np.abs(start).ravel()[:8] + 1e-9

    def taken(parameters: Array) -> tuple[Array, float]:
        return np.append(parameters[:8] * scale, 1.0).reshape(3, 3), float(parameters[8]) * 0.05

    def off(parameters: Array) -> Array:
        homography, lens_k = taken(parameters)
        return (_project(homography, lens_k, found.centre_px, found.half_diagonal_px, page) - found.corners_px).ravel()

    solved = least_squares(off, np.append(start.ravel()[:8] / scale, 0.0), method="lm")
    homography, lens_k = taken(np.asarray(solved.x, dtype=float))
    if abs(lens_k) > 0.2:
        return found
    return _with(found.sheet, found.ids, found.corners_px, homography, lens_k, found.centre_px, found.half_diagonal_px, page)


def _with(sheet: Sheet, ids: tuple[int, ...], corners: Array, homography: Array, lens_k: float, centre: tuple[float, float], half: float, page: Array) -> Found:
    def scale_at(place: Array) -> Any:
        steps = np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]]) + place
        at = _project(homography, lens_k, centre, half, steps)
        return np.sqrt(abs(np.linalg.det(np.stack([at[1] - at[0], at[2] - at[0]]))))

    miss_px = np.linalg.norm(_project(homography, lens_k, centre, half, page) - corners, axis=-1)
    miss_mm = miss_px / np.array([[scale_at(point) for point in quad] for quad in page])
    window = sheet.window
    middle = np.array([window.x_mm + window.w_mm / 2, window.y_mm + window.h_mm / 2])
    return Found(sheet, ids, corners, homography, lens_k, centre, half, float(np.sqrt(np.mean(miss_mm**2))), float(scale_at(middle)))


def _project(homography: Array, lens_k: float, centre: tuple[float, float], half: float, page_mm: Array) -> Array:
    page = np.asarray(page_mm, dtype=float)
    x, y = page[..., 0], page[..., 1]
    h = homography
    w = h[2, 0] * x + h[2, 1] * y + h[2, 2]
    u = (h[0, 0] * x + h[0, 1] * y + h[0, 2]) / w
    v = (h[1, 0] * x + h[1, 1] * y + h[1, 2]) / w
    if lens_k:
        du, dv = u - centre[0], v - centre[1]
        stretch = 1 + lens_k * (du * du + dv * dv) / half**2
        u, v = centre[0] + du * stretch, centre[1] + dv * stretch
    return np.stack([u, v], axis=-1)
