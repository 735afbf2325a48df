"""What the recipe pages ask in the same way: which base, over what, how much fibre; and their addresses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlencode

from starlette.datastructures import FormData
from starlette.requests import Request

from skeinwright.core.forecast.dye_facts import DyeFacts
from skeinwright.core.foundations.errors import BadInput
from skeinwright.services.find_base_ground import BaseGround, find_base_ground
from skeinwright.services.gather_dyes import gather_dyes
from skeinwright.services.list_colourways import list_colourways
from skeinwright.services.list_lots import ListLots, list_lots
from skeinwright.services.list_shelf import list_shelf
from skeinwright.services.studio import Studio
from skeinwright.web.act import text

FIBRE = "100 g"
MOST_LOTS = 40
TOOLS = (
    ("recipes", "Target"),
    ("recipes_fade", "Fade"),
    ("recipes_reach", "What the shelf can reach"),
    ("recipes_triangle", "Mixing triangle"),
    ("recipes_use_up", "Use it up"),
    ("overdye", "Overdye a skein"),
)
"""The pages beside one another, by route name."""


@dataclass(frozen=True, slots=True)
class Where:
    """What is dyed, as typed: the base's name, the lot that it lies over ("" for undyed yarn), the weight of fibre, the bath ("" as the swatches')."""

    base: str
    over: str = ""
    fibre: str = FIBRE
    liquor: str = ""

    @property
    def said(self) -> dict[str, str]:
        """As fields of a form or an address."""
        return {"base": self.base, "over": self.over, "fibre": self.fibre, "liquor": self.liquor}


@dataclass(frozen=True, slots=True)
class Choices:
    """What can be chosen from: names of bases, dyes whose colour is known, (number, name) of colourways, (code, title) of lots."""

    bases: tuple[str, ...] = ()
    dyes: tuple[str, ...] = ()
    colourways: tuple[tuple[int, str], ...] = ()
    lots: tuple[tuple[str, str], ...] = ()
    facts: DyeFacts = field(default_factory=lambda: DyeFacts(dyes=()), repr=False)

    @property
    def base_pairs(self) -> list[tuple[str, str]]:
        """Bases as options: value, word."""
        return [(name, name) for name in self.bases]

    @property
    def lot_pairs(self) -> list[tuple[str, str]]:
        """Lots as options."""
        return [(code, f"{code} {title}") for code, title in self.lots]

    @property
    def dye_pairs(self) -> list[tuple[str, str]]:
        """Dyes as options."""
        return [(name, name) for name in self.dyes]


def choices_of(studio: Studio) -> Choices:
    """All of them."""
    facts = gather_dyes(studio)
    return Choices(
        bases=tuple(kept.thing.name for kept in list_shelf(studio, "base")),
        dyes=tuple(sorted(dye.name for dye in facts.known)),
        colourways=tuple((kept.id, kept.thing.name) for kept in list_colourways(studio)),
        lots=tuple((line.code, line.title) for line in list_lots(studio, ListLots(limit=MOST_LOTS))),
        facts=facts,
    )


def where_in(said: Mapping[str, str], choices: Choices) -> Where:
    """What was asked; the first base where none was."""
    base = said.get("base", "").strip() or (choices.bases[0] if choices.bases else "")
    return Where(base, said.get("over", "").strip(), said.get("fibre", "").strip() or FIBRE, said.get("liquor", "").strip())


def ground_of(request: Request, where: Where) -> BaseGround:
    """The ground that a recipe is made for. Raises BadInput."""
    return find_base_ground(request.app.state.studio, where.base, where.over)


def said_in(form: FormData) -> dict[str, str]:
    """The fields of `Where` in a form."""
    return {key: text(form, key) for key in ("base", "over", "fibre", "liquor")}


def doses_in(form: FormData | Mapping[str, Any], name: str = "dose") -> list[str]:
    """The doses of a form or an address, each "Kelp=0.5 %"."""
    found = form.getlist(name) if hasattr(form, "getlist") else [form.get(name, "")]
    return [one.strip() for one in found if isinstance(one, str) and one.strip()]


def said_doses_of(doses: Mapping[str, float]) -> list[str]:
    """Depths as doses to be sent again."""
    return [f"{name}={100 * depth:.6g} %" for name, depth in doses.items()]


def address(path: str, said: Mapping[str, str | Sequence[str]]) -> str:
    """The path with what was said, without what is empty."""
    given = {key: value for key, value in said.items() if value}
    return f"{path}?{urlencode(given, doseq=True)}" if given else path


def tools(request: Request) -> list[dict[str, Any]]:
    """The words that lead from one recipe page to the next; base, fibre and water go with them."""
    kept = {key: request.query_params.get(key, "") for key in ("base", "over", "fibre", "liquor")}
    made = []
    for name, word in TOOLS:
        path = str(request.app.url_path_for(name))
        made.append({"word": word, "url": address(path, kept), "here": request.url.path == path})
    return made


def problem_of(error: Exception | None) -> dict[str, str]:
    """{where: sentence} of one problem; "" where it names no field."""
    if error is None:
        return {}
    where = (error.where or "") if isinstance(error, BadInput) else ""
    return {where: getattr(error, "sentence", str(error))}
