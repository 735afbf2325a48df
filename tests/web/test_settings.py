"""The settings page: the drain's limits with what is said of them, and the first start that is asked once."""

from __future__ import annotations

from html import unescape

import pytest
from starlette.testclient import TestClient

from skeinwright.core.safety.drain import drain_limits
from skeinwright.core.shelf.settings import Settings
from skeinwright.services.change_settings import change_settings, say_settings
from skeinwright.services.check_ruler import CheckRuler, check_ruler
from skeinwright.services.get_settings import get_settings
from skeinwright.services.is_first_start import is_first_start
from skeinwright.services.set_up_studio import set_up_studio
from skeinwright.services.studio import Studio


def test_the_limits_of_the_drain_say_what_they_rest_on(client: TestClient, studio: Studio, post) -> None:  # type: ignore[no-untyped-def]
    page = unescape(client.get("/settings").text)
    for field in ("drain_low_ph", "drain_high_ph", "drain_source"):
        assert f'name="{field}"' in page
    assert page.count(drain_limits(Settings()).said) == 2
    assert "not verified" in drain_limits(Settings()).said
    said = {"drain_low_ph": "6,5", "drain_high_ph": "9", "drain_source": "town sewer works, letter of May 2026"}
    page = unescape(post("/settings", said).text)
    settings = get_settings(studio)
    assert (settings.drain_low_ph, settings.drain_high_ph, settings.drain_source) == (6.5, 9.0, said["drain_source"])
    assert page.count("Drain: pH 6.5 to 9 (town sewer works, letter of May 2026).") == 2
    assert f'value="{said["drain_source"]}"' in page
    wrong = post("/settings", {"drain_low_ph": "9", "drain_high_ph": "6"})
    assert wrong.status_code == 422
    assert "must be below the highest" in wrong.text


@pytest.mark.parametrize("name", ["", "Harbour Room"])
def test_a_studio_that_was_set_up_is_not_asked_again(client: TestClient, studio: Studio, name: str) -> None:
    assert is_first_start(studio)
    assert client.get("/").url.path == "/start"
    set_up_studio(studio, name=name)
    assert not is_first_start(studio)
    assert client.get("/").url.path == "/"
    assert client.get("/start").url.path == "/"


def test_settings_that_are_kept_as_they_were_begin_a_studio_too(studio: Studio) -> None:
    change_settings(studio, say_settings(studio))
    assert not is_first_start(studio)


def test_a_changed_setting_is_named_and_taken_back_and_nothing_else_is(client: TestClient, studio: Studio, post) -> None:  # type: ignore[no-untyped-def]
    page = post("/settings", say_settings(studio) | {"currency": "kr", "spoons": "metric"}).text
    assert "Changed in the settings: Spoons and cups, Currency." in page
    first = page.split('name="changes" value="')[1].split('"')[0]
    check_ruler(studio, CheckRuler(printer="by the door", across="200 mm", upright="200 mm"))
    again = post("/undo", {"changes": first, "back": "/settings"})
    assert again.url.path == "/settings"
    assert (get_settings(studio).currency, get_settings(studio).spoons) == ("", "us")
    assert [printer.name for printer in get_settings(studio).printers] == ["by the door"], "what was written since stays"
    assert not is_first_start(studio), "and nobody is asked again how to begin"
    back = again.text.split('name="changes" value="')[1].split('"')[0]
    post("/undo", {"changes": back, "back": "/settings"})
    assert get_settings(studio).currency == "kr"
    post("/settings", say_settings(studio) | {"currency": "SEK"})
    assert "A setting has been changed since" in post("/undo", {"changes": first, "back": "/settings"}).text
    assert get_settings(studio).currency == "SEK"
    assert "The settings are as they were." in post("/settings", say_settings(studio)).text
