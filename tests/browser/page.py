"""The page in Debian's Chromium, driven from here, with all that it said and asked for."""

from __future__ import annotations

import contextlib
import json
import shutil
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from urllib.parse import quote, urlsplit

from selenium import webdriver
from selenium.common.exceptions import NoSuchElementException
from selenium.webdriver.chrome.service import Service as DriverService
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement

AXE = Path(__file__).parent / "axe" / "axe.min.js"
WORDS = ("--headless=new", "--no-sandbox", "--no-proxy-server", "--hide-scrollbars", "--force-color-profile=srgb")
SOFTWARE = ("--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--ignore-gpu-blocklist")
FLAT = ("--disable-gpu", "--disable-3d-apis")


class Page:
    """One window on the page of one service."""

    def __init__(self, driver: webdriver.Chrome, origin: str) -> None:
        self.driver = driver
        self.origin = origin

    def open(self, request: object = None, ready: bool = True) -> None:
        """Load the page anew, about a request of its own where one is given."""
        self.driver.get("about:blank")
        self.driver.get(f"{self.origin}/try" + (f"#{quote(json.dumps(request))}" if request else ""))
        if ready:
            self.until(lambda: self.script("return document.getElementById('stage').dataset.shows"), 60)

    def script(self, text: str, *arguments: object) -> Any:
        """What a function of this body returns in the page."""
        return self.driver.execute_script(text, *arguments)

    def one(self, selector: str) -> WebElement:
        """The first element of a CSS selector."""
        return self.driver.find_element(By.CSS_SELECTOR, selector)

    def all(self, selector: str) -> list[WebElement]:
        """Every element of a CSS selector."""
        return self.driver.find_elements(By.CSS_SELECTOR, selector)

    def text(self, selector: str) -> str:
        """Its text, unseen parts included; asked in one call, for the page may draw the element anew meanwhile."""
        found = self.script("const one = document.querySelector(arguments[0]); return one && one.textContent", selector)
        if found is None:
            raise NoSuchElementException(selector)
        return " ".join(str(found).split())

    def until(self, what: Callable[[], Any], seconds: float = 20) -> Any:
        """The first true value, asked until the time is up."""
        end = time.monotonic() + seconds
        while not (value := what()):
            assert time.monotonic() < end, f"not within {seconds} s; the page says {self.text('#news')!r}"
            time.sleep(0.05)
        return value

    @property
    def estimated(self) -> str:
        """The id of the bait whose figures are shown."""
        return str(self.script("return document.body.dataset.bait"))

    @property
    def shown(self) -> str:
        """The id of the bait whose solid is shown."""
        return str(self.script("return document.getElementById('stage').dataset.shows"))

    def picked(self) -> str:
        """What the stage looks like, as a text that changes with it."""
        return self.one("#stage").screenshot_as_base64

    def _log(self, kind: str) -> Any:
        read: Any = self.driver.get_log  # which the library gives no types
        return read(kind)

    def complaints(self) -> list[str]:
        """What the console holds since it was last asked: errors, warnings, refusals of the policy."""
        return [entry["message"] for entry in self._log("browser") if entry["level"] in ("SEVERE", "WARNING")]

    def asked(self) -> set[str]:
        """The hosts that the browser was sent to since it was last asked."""
        told = (json.loads(entry["message"])["message"] for entry in self._log("performance"))
        urls = (one["params"]["request"]["url"] for one in told if one["method"] == "Network.requestWillBeSent")
        return {urlsplit(url).netloc for url in urls if urlsplit(url).scheme not in ("about", "data", "blob")}

    def look(self, width: int, dark: bool = False, still: bool = False) -> None:
        """See it so wide, in these colours, with or without motion."""
        metrics = {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": width < 600}
        self.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
        features = [
            {"name": "prefers-color-scheme", "value": "dark" if dark else "light"},
            {"name": "prefers-reduced-motion", "value": "reduce" if still else "no-preference"},
        ]
        self.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})

    def violations(self) -> list[str]:
        """What axe-core finds wrong, rule and element."""
        self.script(AXE.read_text(encoding="utf-8"))
        found = self.driver.execute_async_script("axe.run(document).then(arguments[arguments.length - 1])")
        return [f"{one['id']}: {node['html'][:160]}" for one in found["violations"] for node in one["nodes"]]


@contextlib.contextmanager
def browser(origin: str, *more: str) -> Iterator[Page]:
    """A browser of its own, gone afterwards."""
    options = webdriver.ChromeOptions()
    options.binary_location = shutil.which("chromium") or shutil.which("chromium-browser") or ""
    for word in (*WORDS, *(more or SOFTWARE)):
        options.add_argument(word)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    driver = webdriver.Chrome(options=options, service=DriverService(shutil.which("chromedriver")))
    try:
        driver.set_script_timeout(60)
        made = Page(driver, origin)
        made.look(1440)
        yield made
    finally:
        driver.quit()
