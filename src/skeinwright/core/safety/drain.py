"""The pH limits of the drain, as a dyer reads them: their own from the settings, or the usual range with a word that it is not theirs."""

from __future__ import annotations

from dataclasses import dataclass

from skeinwright.core.shelf.settings import DRAIN_HIGH_PH, DRAIN_LOW_PH, Settings


@dataclass(frozen=True, slots=True)
class DrainLimits:
    """Liquor between these goes down the drain without being neutralised; `source` is the paper that the dyer took them from."""

    low_ph: float = DRAIN_LOW_PH
    high_ph: float = DRAIN_HIGH_PH
    source: str = ""

    @property
    def said(self) -> str:
        """One line for slip and sheet; it always defers to the local code."""
        limits = f"Drain: pH {self.low_ph:g} to {self.high_ph:g}"
        if self.source:
            return f"{limits} ({self.source}). Outside of it neutralise first; defer to your local code."
        if (self.low_ph, self.high_ph) == (DRAIN_LOW_PH, DRAIN_HIGH_PH):
            return f"{limits} is taken as a rule until your settings hold your own limit, and is not verified: defer to your local code."
        return f"{limits}, your own limit, not verified until your settings say where it comes from: defer to your local code."


def drain_limits(settings: Settings) -> DrainLimits:
    """The limits in a studio's settings."""
    return DrainLimits(settings.drain_low_ph, settings.drain_high_ph, settings.drain_source.strip())
