"""Times the pictures: first light of each view, recolouring, and writing a file. Prints a table (best of three).

python benchmarks/pictures.py
"""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

from skeinwright.core.picture.ladder import ladder, wound
from skeinwright.core.picture.light import render
from skeinwright.core.picture.look import StrandLook
from skeinwright.core.picture.strand import strand
from skeinwright.core.picture.views import VIEWS
from skeinwright.files.pictures import picture_bytes

LOOK = StrandLook()
COLOUR = (0.02, 0.12, 0.18)


def best_ms(work: Callable[[], object], times: int = 3) -> float:
    """Least time of several, in milliseconds."""
    taken = []
    for _ in range(times):
        start = perf_counter()
        work()
        taken.append(perf_counter() - start)
    return 1000.0 * min(taken)


def first(function: Callable[..., object], **arguments: object) -> Callable[[], object]:
    """A call that finds nothing in the cache."""

    def call() -> object:
        function.cache_clear()  # type: ignore[attr-defined]
        return function(LOOK, **arguments)

    return call


def main() -> None:
    """Prints the table."""
    rows = [
        (f"{view}, first light, {w} x {h}", best_ms(first(function, width=w, height=h)))
        for view, function in VIEWS.items()
        for w, h in ((900, 600), (1200, 800))
    ]
    rows.append(("strand, first light, 720 x 48", best_ms(first(strand))))
    for width, height in ((900, 600), (1200, 800)):
        light = VIEWS["twisted"](LOOK, width=width, height=height)
        picture = render(light, COLOUR)
        rows.append((f"recolour, {width} x {height}", best_ms(lambda light=light: render(light, COLOUR))))
        rows.extend(
            (f"{form} bytes, {width} x {height}", best_ms(lambda form=form, picture=picture: picture_bytes(picture, form)))
            for form in ("png", "jpeg", "webp")
        )
    wound(720, 48)
    rows.append(("ladder of 6, 720 x 48", best_ms(lambda: ladder([COLOUR] * 6))))
    for name, ms in rows:
        print(f"{name:44s} {ms:8.1f} ms")


if __name__ == "__main__":
    main()
