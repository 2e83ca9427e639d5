"""`python -m tests.browser.look FOLDER [ADDRESS]`: the page at 360 and 1,440 pixels, light and dark, to look at."""

from __future__ import annotations

import base64
import sys
import time
from pathlib import Path

from tests.browser.page import Page, browser

BAITS = {
    "worm": None,
    "weak": {"style": "jointed_worm", "params": {"length": "4-1/2 in", "core_diameter": "3 mm"}},
    "craw": {"style": "craw", "params": {"length": "3-3/4 in"}},
}


def main(folder: Path, address: str) -> None:
    """Write them."""
    folder.mkdir(parents=True, exist_ok=True)
    with browser(address) as page:
        for width in (360, 1440):
            for dark in (False, True):
                for name, request in BAITS.items():
                    page.look(width, dark)
                    page.open(request)
                    _whole(page, folder / f"{name}-{width}-{'dark' if dark else 'light'}.png")


def _whole(page: Page, file: Path) -> None:
    page.script("document.getElementById('front').scrollIntoView()")
    page.until(lambda: page.all("#front .point") or "No bait" in page.text("#front"), 60)
    page.script("scrollTo(0, 0)")
    time.sleep(2)  # the finer solid
    taken = page.driver.execute_cdp_cmd("Page.captureScreenshot", {"captureBeyondViewport": True})
    file.write_bytes(base64.b64decode(taken["data"]))


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2] if len(sys.argv) > 2 else "http://127.0.0.1:8080")
