"""The page in a browser: what it weighs, how long until its first solid, and from a slider to the figure.

Chromium draws without a graphics card here, on the processors that the service runs on; a reader's device has its own.
"""

from __future__ import annotations

import gzip
import shutil
import statistics
from collections.abc import Iterator
from typing import TYPE_CHECKING

from service.page.files import BUILT
from service.stack.demo_stack import HOST, running_stack
from tests.bench.measure import Row

if TYPE_CHECKING:
    from tests.browser.page import Page

LOADS, MOVES = 5, 30
PAUSE_MS = 250
"""Between two moves of the slider, so that each is answered by itself."""
WATCH = (
    "new MutationObserver(() => { const stage = document.getElementById('stage');"
    " if (stage?.dataset.shows && !window.solidAt) window.solidAt = performance.now(); })"
    ".observe(document, {subtree: true, childList: true, attributes: true, attributeFilter: ['data-shows']})"
)
MOVE = """
const [value, done] = arguments;
const slider = document.querySelector("[data-pointer='/params/core_diameter'] input[type=range]");
const before = document.body.dataset.bait;
let began = 0;
new MutationObserver((_, watcher) => {
  if (document.body.dataset.bait === before) return;
  watcher.disconnect();
  done(performance.now() - began);
}).observe(document.body, {attributes: true, attributeFilter: ['data-bait']});
slider.value = value;
began = performance.now();
slider.dispatchEvent(new Event('input'));
"""
ASK = """
const [value, done] = arguments;
const began = performance.now();
const told = JSON.parse(document.querySelector('#request pre').textContent);
told.params.core_diameter = value;
fetch('/v1/estimates', {method: 'POST', headers: {'Content-Type': 'application/json'}, body: JSON.stringify(told)})
  .then(answer => answer.json()).then(() => done(performance.now() - began));
"""


def rows() -> Iterator[Row | str]:
    """The service is started for this; where there is no browser, the weight alone."""
    plain = {file.name: file.read_bytes() for file in BUILT.iterdir() if file.suffix != ".txt"}
    packed = sum(min(len(one), len(gzip.compress(one, 9, mtime=0))) for one in plain.values())
    whole = sum(map(len, plain.values())) / 1000
    yield Row(
        "the page at /try, its letters and three.js with it",
        f"{packed / 1000:.0f} kB packed",
        f"{whole:.0f} kB plain",
        "",
        "",
    )
    if not shutil.which("chromedriver"):
        yield "The page was not timed: there is no Chromium with its driver."
        return
    from tests.browser.page import browser

    with running_stack() as (client, _), browser(f"http://{HOST}:{client.port}") as page:
        yield _loads(page)
        yield _moves(page)


def _loads(page: Page) -> Row:
    """Each with nothing kept from before, but for a service that has answered once."""
    page.driver.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": WATCH})
    page.open()
    solid, figure = [], []
    for _ in range(LOADS):
        page.driver.execute_cdp_cmd("Network.clearBrowserCache", {})
        page.open()
        solid.append(float(page.script("return window.solidAt")))
        figure.append(float(page.script("return performance.getEntriesByType('navigation')[0].domInteractive")))
    against = f"its document read after {statistics.median(figure):.0f} ms"
    told = f"{statistics.median(solid):.0f} ms, {max(solid):.0f} ms at the most of {LOADS}"
    return Row("from the address to the first solid, on loopback, nothing kept", told, against, "", "")


def _moves(page: Page) -> Row:
    moved, asked = [], []
    for turn in range(MOVES):
        # A step of the slider each, and between them values that it does not take: nothing is answered from before.
        moved.append(float(page.driver.execute_async_script(MOVE, f"{5 + turn / 10:.1f}")))
        page.driver.execute_async_script(f"setTimeout(arguments[0], {PAUSE_MS})")
        asked.append(float(page.driver.execute_async_script(ASK, f"{5.05 + turn / 10:.2f} mm")))
    middle, long = statistics.median(moved), statistics.quantiles(moved, n=10)[-1]
    return Row(
        "from a slider to the figure on the page, a jointed worm",
        f"{middle:.0f} ms at the median, nine of ten under {long:.0f} ms",
        f"such an estimate alone, asked by the browser: {statistics.median(asked):.0f} ms",
        f"{middle:.0f} ms",
        "under 50 ms",
    )
