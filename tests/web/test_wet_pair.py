"""The margin of a colourway shows its colour dry and wet, and says what that rests on."""

from __future__ import annotations

import re
from datetime import date

from starlette.testclient import TestClient

from skeinwright.core.colour.spaces import hex_to_lab
from skeinwright.core.colourway.colourway import Colourway, Step
from skeinwright.core.colourway.usual_bath import usual_bath
from skeinwright.core.shelf.calibration import WET, Calibration
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.keep_calibration import keep_calibration
from skeinwright.services.save_colourway import save_colourway
from skeinwright.services.set_up_studio import set_up_studio
from skeinwright.services.studio import Studio

BASE = "Quay Sock"


def _block(client: TestClient, place: str) -> str:
    text = client.get(place).text
    assert "How far it may be off" in text
    return text.split("dry-and-wet")[1].split("</section>")[0] if "dry-and-wet" in text else ""


def test_the_colour_wet_is_darker_and_of_the_same_hue_and_a_test_of_the_base_narrows_it(client: TestClient, studio: Studio) -> None:
    set_up_studio(studio, demo=True)
    assumed = _block(client, "/colourways/1")
    dry, wet = (hex_to_lab(found) for found in re.findall(r'fill="(#\w{6})"', assumed))
    assert 5 < dry.L - wet.L < 25  # 9 to 18 on dyed nylon for m of 2 to 4, by the colour note's own trial on measured textiles
    assert "assumed: three pieces seen wet and dry would tell" in assumed
    assert f'href="/tests/wet?base={BASE.replace(" ", "+")}"' in assumed
    keep_calibration(
        studio,
        Calibration(test="wet", of_kind="base", of=BASE, quantity=WET, value=2.0, low=1.9, high=2.1, unit="times", made_on=date(2026, 11, 20)),
    )
    tested = _block(client, "/colourways/1")
    less_wet = hex_to_lab(re.findall(r'fill="(#\w{6})"', tested)[1])
    assert less_wet.L > wet.L
    assert "your own test of 2026-11-20" in tested
    assert "Test it" not in tested
    within = [float(re.search(r"Wet, likely within ([\d.]+)", text)[1]) for text in (assumed, tested)]  # type: ignore[index]
    assert within[1] < within[0]


def test_where_the_colour_is_not_known_there_is_no_pair(client: TestClient, studio: Studio) -> None:
    set_up_studio(studio, demo=True)
    add_to_shelf(studio, "dye", {"name": "Unseen"})
    bath = Colourway(name="Unseen bath", steps=usual_bath([Step("add dye", {"dye": "Unseen", "depth": "1 %"})], "Citric acid"), bases=(BASE,))
    kept, _ = save_colourway(studio, bath)
    text = client.get(f"/colourways/{kept.id}").text
    assert "colour not known" in text
    assert "dry-and-wet" not in text
