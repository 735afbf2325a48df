"""The winding sheet of a self-striping plan as PDF: the way of the yarn round its pegs, and what to wind of each colour."""

from __future__ import annotations

from skeinwright.files.sheets.sheets import winding_pdf
from skeinwright.services.plan_stripes import StripePlanRequest, plan_stripes
from skeinwright.services.studio import Studio


def make_winding_sheet(studio: Studio, request: StripePlanRequest) -> bytes:
    """A tagged PDF of one page or more. Raises as `plan_stripes` does."""
    return winding_pdf(plan_stripes(studio, request).to_plain(), studio.now().date())
