"""A studio in a folder of its own, and a browser without a screen for it."""

from __future__ import annotations

import warnings
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import httpx
import pytest

from skeinwright.services.add_swatch import add_swatch
from skeinwright.services.add_to_shelf import add_to_shelf
from skeinwright.services.set_up_studio import set_up_studio
from skeinwright.services.studio import Studio
from skeinwright.store.store import Store
from skeinwright.web.app import create_app

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # Starlette announces that a later release will want another client library
    from starlette.testclient import TestClient

Post = Callable[..., httpx.Response]
HOME = "http://127.0.0.1:8470"


@pytest.fixture
def studio(tmp_path: Path) -> Iterator[Studio]:
    """A studio in which nothing was done yet; its clock stands still."""
    store = Store.open(tmp_path / "studio.skeinwright")
    yield Studio(tmp_path / "studio.skeinwright", store, tmp_path / "photos", lambda: datetime(2026, 11, 24, 10, 0))
    store.close()


@pytest.fixture
def filled(studio: Studio) -> Studio:
    """The same with one thing of each kind."""
    set_up_studio(studio, name="Harbour Room")
    for kind, said in (
        ("dye", {"name": "Kelp", "jar_g": "50 g", "on_hand_g": "4 g"}),
        ("dye", {"name": "Rosehip"}),
        ("solution", {"name": "Kelp one", "parts": "Kelp", "strength": "1 %", "made_on": "2026-01-02"}),
        ("blend", {"name": "Shore", "parts": "3 Kelp : 1 Rosehip"}),
        ("auxiliary", {"name": "Soft wash", "does": "wash"}),
        ("leftover", {"name": "Green rest", "volume_ml": "2 l"}),
        ("base", {"name": "Quay Sock", "fibres": "75 % wool, 25 % nylon", "skein_g": "100 g", "length_mm": "400 m", "plies": "4"}),
        ("acid", {"name": "Vinegar", "acid": "vinegar", "strength": "5 %"}),
        ("water", {"name": "Tap", "alkalinity_mg_l": "80 mg/L"}),
        ("vessel", {"name": "Steam pan", "shape": "rectangle", "length_mm": "50 cm", "width_mm": "30 cm", "height_mm": "10 cm"}),
        ("vessel", {"name": "Big pot", "shape": "round", "length_mm": "32 cm", "height_mm": "28 cm"}),
        ("heat", {"name": "Left burner", "does": "burner"}),
    ):
        add_to_shelf(studio, kind, said)
    for depth, colour in (("0.2 %", "75, -15, 5"), ("1 %", "55, -25, 2"), ("3 %", "35, -22, 0")):
        add_swatch(studio, "Kelp", {"depth": depth, "colour": colour})
    return studio


@pytest.fixture
def client(studio: Studio) -> Iterator[TestClient]:
    """A browser on the studio's own address; mistakes of ours are shown as the page that a person would see."""
    with TestClient(create_app(studio), base_url=HOME, raise_server_exceptions=False) as made:
        yield made


@pytest.fixture
def post(client: TestClient) -> Post:
    """Sends a form as one of our own pages does: with the token of the cookie and an Origin."""

    def send(path: str, data: dict[str, str] | None = None, **more: Any) -> httpx.Response:
        client.get("/settings")
        token = client.cookies["skeinwright_csrf"]
        return client.post(path, data={**(data or {}), "csrf_token": token}, headers={"origin": HOME}, **more)

    return send
