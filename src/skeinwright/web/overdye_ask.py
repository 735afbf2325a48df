"""What is asked on the overdye page, as it stands in its address; and the work that answers it, in the background."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass

from starlette.datastructures import QueryParams
from starlette.requests import Request

from skeinwright.core.forecast.dye_facts import DyeFacts, fibre_g_of
from skeinwright.core.foundations.errors import BadInput, ManyBadInputs, PhotoRefused
from skeinwright.services.find_overdyes import FindOverdyes, OverdyesFound, find_overdyes
from skeinwright.services.find_photo import find_photo
from skeinwright.services.list_readings import list_readings
from skeinwright.services.read_outlines import read_outlines
from skeinwright.services.read_skein import ReadSkein, read_skein
from skeinwright.services.run_in_background import Job, Tell, run_in_background
from skeinwright.services.studio import Studio
from skeinwright.web.measure_ask import asked_before
from skeinwright.web.page import studio_of
from skeinwright.web.recipe_form import FIBRE, address

WAIT_S = 0.6
MOST = ("1", "2", "3")
Answer = OverdyesFound | BadInput | ManyBadInputs | PhotoRefused


@dataclass(frozen=True, slots=True)
class Asked:
    """The same as typed; `lot` is the lot whose skein it is, "" for none."""

    photo: str = ""
    lot: str = ""
    piece: str = "1"
    frame: str = ""
    white: str = ""
    target: str = ""
    dyes: tuple[str, ...] = ()
    most: str = "2"
    deepest: str = "4 %"
    base: str = ""
    fibre: str = FIBRE

    @property
    def url(self) -> str:
        """The address that asks the same."""
        said = {name: getattr(self, name) for name in ("photo", "lot", "piece", "frame", "white", "target", "most", "deepest", "base", "fibre")}
        usual = Asked()
        return address("/overdye", {**{key: value for key, value in said.items() if value != getattr(usual, key)}, "dye": self.dyes})


def asked_in(query: QueryParams, studio: Studio) -> Asked:
    """What an address says. A lot without a photo takes the photo in which it was measured last, and the base that it was measured on."""
    usual, lot = Asked(), query.get("lot", "").strip().upper()[:20]
    photo, base = query.get("photo", "").strip(), query.get("base", "").strip()
    if lot and not photo and query.get("other") is None:
        kept = [one.thing for one in list_readings(studio, lot) if one.thing.state == "dry"]
        photo, base = (str(kept[0].photo), base or kept[0].base) if kept else ("", base)
    most = query.get("most", usual.most)
    return Asked(
        photo=photo if photo.isdigit() else "",
        lot=lot,
        piece=query.get("piece", usual.piece).strip() or usual.piece,
        frame=query.get("frame", "").strip(),
        white=query.get("white", "").strip(),
        target=query.get("target", "").strip(),
        dyes=tuple(sorted(query.getlist("dye"))),
        most=most if most in MOST else usual.most,
        deepest=query.get("deepest", "").strip() or usual.deepest,
        base=base,
        fibre=query.get("fibre", "").strip() or usual.fibre,
    )


def answer_of(request: Request, asked: Asked, facts: DyeFacts) -> Answer | Job:
    """The overdyes, or what is wrong with what was asked, or the job that is still at it (or failed)."""
    studio = studio_of(request)
    path = find_photo(studio, int(asked.photo))

    def work(tell: Tell) -> Answer:
        tell(0.05, "Reading the skein's colours.")
        try:
            return _found(studio, asked, facts, path.read_bytes(), tell)
        except (BadInput, ManyBadInputs, PhotoRefused) as problem:  # it belongs beside its field, not to the job
            return problem

    return run_in_background(studio, "Looking for overdyes.", work, key=_key(studio, asked, facts), then=asked.url).wait(WAIT_S)


def _found(studio: Studio, asked: Asked, facts: DyeFacts, data: bytes, tell: Tell) -> OverdyesFound:
    before = asked_before(studio, int(asked.photo))
    reading = read_skein(
        ReadSkein(photo=data, frame=asked.frame, white=asked.white, reference=before.reference, outlines=read_outlines(before.outlines), seed=studio.seed),
        lambda share, sentence: tell(0.3 * share, sentence),
    )
    number = int(asked.piece) if asked.piece.isdigit() else 0
    if not 1 <= number <= len(reading.pieces):
        raise BadInput(f"There is no piece {asked.piece[:10]} in this photo: {len(reading.pieces)} were found, counted from the left.", where="piece")
    tell(0.3, "Looking for overdyes.")
    return find_overdyes(
        facts,
        FindOverdyes(
            reading=reading,
            piece=number - 1,
            target=asked.target,
            dyes=asked.dyes,
            max_dyes=int(asked.most),
            deepest=asked.deepest,
            limits=_in_the_jars(facts, asked.fibre),
            base=asked.base,
            fibre=asked.fibre,
            seed=studio.seed,
        ),
        tell,
    )


def _in_the_jars(facts: DyeFacts, fibre: str) -> dict[str, float]:
    """The deepest that each jar still gives on this much fibre, of those whose weight is known."""
    fibre_g = fibre_g_of(fibre) or 100.0
    return {dye.name: dye.on_hand_g * dye.strength / fibre_g for dye in facts.known if dye.on_hand_g is not None}


def _key(studio: Studio, asked: Asked, facts: DyeFacts) -> str:
    """One key for all that an answer depends on."""
    before = asked_before(studio, int(asked.photo))
    whole = json.dumps([asked.url, before.reference, before.outlines, repr(facts), studio.seed])
    return f"overdye:{hashlib.sha256(whole.encode()).hexdigest()}"
