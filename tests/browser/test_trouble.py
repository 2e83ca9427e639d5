"""The page in trouble: what cannot be, a service that is away, a browser without 3D; and what helps everybody."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.http.running import Service
from tests.requires import requires

if TYPE_CHECKING:
    from tests.browser.page import Page

pytestmark = [pytest.mark.browser, requires("browser")]

CORE = "[data-pointer='/params/core_diameter']"
SLIDE = "const s = arguments[0]; s.value = arguments[1]; s.dispatchEvent(new Event('input'))"

PICTURE = "const img = document.querySelector('#stage img'); return img?.naturalWidth > 100 ? img.src : null"


def slide(page: Page, to: str) -> None:
    page.script(SLIDE, page.one(f"{CORE} input[type=range]"), to)


def test_what_cannot_be_is_said_beside_its_number_and_goes_when_it_can(window: Page) -> None:
    window.look(1440)
    window.open()
    kept = window.text("#weakest")
    slide(window, "12")
    window.until(lambda: window.all(".fault"))
    assert window.text(f"{CORE} .fault").strip("✕ ") == (
        "A core of 12 mm does not go into beads of 8.5 mm; at most 8.075 mm does."
    )
    assert window.text("#weakest") == kept and "last that could" in window.text("#news")
    slide(window, "7")
    window.until(lambda: not window.all(".fault"))
    assert not window.one("#news").is_displayed()
    window.until(lambda: window.shown != "")
    window.complaints()  # Chromium itself notes every 422


def test_a_service_that_is_away_is_told_and_gone_on_with_when_it_is_back(window: Page) -> None:
    window.look(1440)
    window.open()
    before = window.estimated
    network = {"latency": 0, "downloadThroughput": -1, "uploadThroughput": -1}
    window.driver.execute_cdp_cmd("Network.enable", {})
    window.driver.execute_cdp_cmd("Network.emulateNetworkConditions", {"offline": True, **network})
    slide(window, "6.5")
    window.until(lambda: "away" in window.text("#news"))
    assert window.estimated == before
    window.driver.execute_cdp_cmd("Network.emulateNetworkConditions", {"offline": False, **network})
    window.until(lambda: window.estimated != before)
    assert window.text("#news") == ""
    window.complaints()  # and every call that failed


def test_without_3d_there_is_a_picture(served: Service) -> None:
    from tests.browser.page import FLAT, browser

    with browser(f"http://127.0.0.1:{served.port}", *FLAT) as flat:
        flat.open()
        flat.until(lambda: flat.script(PICTURE))
        assert "draws no solids" in flat.text("#stage-note") and flat.text("#weakest")
        assert flat.violations() == []


def test_graphics_that_are_taken_away_leave_a_picture_that_follows(window: Page) -> None:
    """`WEBGL_lose_context` (Khronos) does what a phone does to a page that was long out of sight."""
    window.look(1440)
    window.open()
    window.script(
        "document.querySelector('#stage canvas').getContext('webgl2').getExtension('WEBGL_lose_context').loseContext()"
    )
    first = window.until(lambda: window.script(PICTURE))
    assert not window.all("#stage canvas") and "stopped drawing solids" in window.text("#stage-note")
    assert not window.one("#poses").is_displayed()
    slide(window, "7")
    window.until(lambda: window.script(PICTURE) not in (None, first))
    assert window.violations() == []
    window.open()
    assert window.all("#stage canvas") and not window.all("#stage img")


UNREAD = {
    "house style of its own": {"style": "anothers", "house_style": {"base": "grub"}, "params": {}},
    "strands": {"strands": []},
    "no style that the service has": {"style": "anothers", "params": {}},
    "no request": "no request",
}


@pytest.mark.parametrize("why", UNREAD)
def test_an_address_that_the_page_cannot_open_is_said_until_something_is_changed(window: Page, why: str) -> None:
    window.look(800)
    if why == "no request":
        window.driver.get("about:blank")
        window.driver.get(f"{window.origin}/try#%7B")
    else:
        window.open(UNREAD[why])
    window.until(lambda: why in window.text("#news"))
    assert window.one("#news").is_displayed() and window.text("#slip .slip-said")
    before = window.estimated
    slide(window, "7")
    window.until(lambda: window.estimated != before)
    assert window.text("#news") == ""


def test_an_address_of_a_bait_that_cannot_be_is_mended_on_the_page(window: Page) -> None:
    window.look(800)
    window.open({"style": "jointed_worm", "params": {"core_diameter": "12 mm"}}, ready=False)
    window.until(lambda: window.all(f"{CORE} .fault"), 60)
    assert window.text("#news") == "The bait in the address cannot be; change what is marked."
    slide(window, "7")
    window.until(lambda: window.shown not in ("", "None"), 60)
    assert window.text("#news") == "" and not window.all(".fault")
    window.complaints()  # Chromium itself notes every 422


def test_an_address_may_leave_its_parameters_out(window: Page) -> None:
    window.look(800)
    window.open({"style": "grub"})
    assert window.text("#news") == "" and "grub" in window.text("#slip .slip-said")


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("width", [360, 1440])
def test_axe_finds_nothing_and_nothing_is_wider_than_the_window(window: Page, width: int, dark: bool) -> None:
    window.look(width, dark)
    # With a fault, a remedy, an open slider and all that is folded away in view.
    window.open({"style": "jointed_worm", "params": {"core_diameter": "3 mm"}})
    window.script("for (const each of document.querySelectorAll('details')) each.open = true")
    window.one(f"{CORE} .number").click()
    window.script("document.getElementById('front').scrollIntoView()")
    window.until(lambda: window.all("#front .point"), 60)
    assert window.script("return document.documentElement.scrollWidth") <= width
    assert window.violations() == []
