"""What a photograph must be before a number is taken from it, each test with a sentence that says what to do.

Limits come from trials on synthetic photographs (docs/explanation/models/photo.md); a value beyond the second refuses the photo.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Verdict(StrEnum):
    """Whether figures may be taken from a photo."""

    ACCEPT = "accept"
    WARN = "warn"
    REFUSE = "refuse"


@dataclass(frozen=True, slots=True)
class Gate:
    """One test: what was looked at, its value, how it came out, and what to tell where it is not plainly good."""

    name: str
    value: float
    verdict: Verdict
    message: str = ""


@dataclass(frozen=True, slots=True)
class Limits:
    """From `warn` on a test warns, from `refuse` on it refuses; where `low` is set, small values are the bad ones."""

    warn: float
    refuse: float
    low: bool = False

    def of(self, value: float) -> Verdict:
        """How a value comes out."""
        sign = -1.0 if self.low else 1.0
        if sign * value > sign * self.refuse:
            return Verdict.REFUSE
        return Verdict.WARN if sign * value > sign * self.warn else Verdict.ACCEPT


LIMITS = {
    "px_per_mm": Limits(6, 4, low=True),
    "blur_mm": Limits(0.4, 0.8),
    "paper_blown": Limits(0.02, 0.30),
    "paper_dark": Limits(0.25, 0.08, low=True),
    "yarn_clipped": Limits(0.01, 0.05),
    "paper_residual": Limits(0.03, 0.05),
    "two_lights": Limits(0.06, 0.12),
    "rms_mm": Limits(0.25, 0.5),
    "overshoot": Limits(0.08, 9.0),
}
MOVE_CLOSER = "Too far away: move closer, so that the sheet fills the picture."
AGAIN = "Take the photo again"


def judge(name: str, value: float) -> Gate:
    """The test `name` at `value`."""
    verdict = LIMITS[name].of(value)
    return Gate(name, value, verdict, "" if verdict is Verdict.ACCEPT else _sentence(name, value, verdict))


def marks_gate(seen: int, crossed: bool = False) -> Gate:
    """How many of the four corner marks were seen."""
    if crossed:
        return Gate("marks", seen, Verdict.REFUSE, "The corner marks do not lie as on one flat sheet. Show one sheet only, flat, and not in a mirror.")
    if seen >= 4:
        return Gate("marks", seen, Verdict.ACCEPT)
    counted = f"I can see {seen or 'none'} of the 4 corner marks"
    if seen == 3:
        return Gate("marks", seen, Verdict.WARN, f"{counted}: the measure rests on three. Keep all four in the picture, uncovered.")
    causes = "Often the picture is blurred, a mark is covered or cut off, or this is another sheet."
    return Gate("marks", seen, Verdict.REFUSE, f"{counted}. {causes} {AGAIN}, sharp, with all four marks in it.")


def worst(gates: tuple[Gate, ...]) -> Verdict:
    """The verdict on the photo: that of its worst test."""
    found = {gate.verdict for gate in gates}
    return next((each for each in (Verdict.REFUSE, Verdict.WARN) if each in found), Verdict.ACCEPT)


def _sentence(name: str, value: float, verdict: Verdict) -> str:
    refused = verdict is Verdict.REFUSE
    pct = f"{100 * value:.0f} %"
    sentences = {
        "px_per_mm": MOVE_CLOSER,
        "blur_mm": f"Blurred: spots under {max(value, 0.6):.1f} mm cannot be measured."
        + (f" {AGAIN}: tap on the yarn to focus, and hold still." if refused else ""),
        "paper_blown": f"The paper is over-exposed on {pct} of the sheet"
        + (f", so the light cannot be evened. {AGAIN}, darker." if refused else "; a darker photo would be surer."),
        "paper_dark": "The photo is dark" + (f". {AGAIN} in more light." if refused else ": colours are less sure. More light would help."),
        "yarn_clipped": f"Sheen or over-exposure covers {pct} of the yarn." + (f" {AGAIN} in softer light, darker." if refused else ""),
        "paper_residual": "A shadow crosses the sheet"
        + (f". {AGAIN}: step back, so that nothing throws a shadow." if refused else ", or the paper is not clean."),
        "two_lights": "Two kinds of light fall on the sheet" + (f". {AGAIN} by the window, with lamps off." if refused else ": turn lamps off by daylight."),
        "rms_mm": "The sheet is bent"
        + (f", or the lens bends the picture. {AGAIN}: lay it flat, use the main lens from 40 to 60 cm." if refused else " a little. Lay it flat."),
        "overshoot": "The phone has sharpened the picture: edge widths are unreliable.",
    }
    return sentences[name]
