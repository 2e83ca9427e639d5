"""A real browser on a page of another origin: what it may read of us, keys, limits and refusals included."""

from __future__ import annotations

import html
import json
import re
import shutil
import subprocess
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest

from tests.http.running import service
from tests.http.test_callers import keys
from tests.requires import requires

PAGE = """<!doctype html><title>shop</title><pre id="told"></pre><script>
(async () => {
  const told = [];
  for (const key of KEYS) {
    try {
      const headers = {"Content-Type": "application/json", "Authorization": `Bearer ${key}`, "Prefer": "wait=0",
                       "Idempotency-Key": '"one"'};
      const answer = await fetch("SERVICE/v1/baits", {method: "POST", headers, body: '{"style": "grub"}'});
      const said = Object.fromEntries(["Location", "Retry-After", "RateLimit", "WWW-Authenticate"].map(
        name => [name, answer.headers.get(name)]));
      told.push([answer.status, said, (await answer.json()).status]);
    } catch (error) { told.push("blocked"); }
  }
  document.getElementById("told").textContent = JSON.stringify(told);
})();
</script>"""


@contextmanager
def shop(page: list[str]) -> Iterator[str]:
    """An origin of its own that serves the page."""

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            content = page[0].encode()
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.send_header("Content-Length", str(len(content)))
            self.end_headers()
            self.wfile.write(content)

        def log_message(self, format: str, *args: object) -> None:
            """Says nothing."""

    with ThreadingHTTPServer(("127.0.0.1", 0), Handler) as server:
        serving = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05})
        serving.start()
        try:
            yield f"http://127.0.0.1:{server.server_port}"
        finally:
            server.shutdown()
            serving.join()


def seen(address: str, profile: Path) -> Any:
    """What the page's script wrote once it had run."""
    browser = shutil.which("chromium") or shutil.which("chromium-browser")
    assert browser
    words = ["--headless=new", "--no-sandbox", "--disable-gpu", "--no-proxy-server", f"--user-data-dir={profile}"]
    command = [browser, *words, "--virtual-time-budget=10000", "--dump-dom", f"{address}/"]
    page = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True).stdout
    (told,) = re.findall(r'<pre id="told">(.*?)</pre>', page, re.DOTALL)
    return json.loads(html.unescape(told))


@pytest.mark.proof
@pytest.mark.browser
@requires("browser")
def test_a_page_of_a_named_origin_reads_all_it_needs_and_any_other_nothing(
    tmp_path: Path, proof_row: Callable[[str, object, object], None]
) -> None:
    page = [""]
    with shop(page) as named, shop(page) as other, service(workers=False, cors_origins=named) as running:
        token = keys(running, "make", "--caller", "alder")
        texts = {"SERVICE": f"http://127.0.0.1:{running.port}", "KEYS": json.dumps([token, "wrong"])}
        page[0] = re.sub("SERVICE|KEYS", lambda found: texts[found[0]], PAGE)
        (good, refused), blocked = seen(named, tmp_path / "named"), seen(other, tmp_path / "other")
    read = [good[0], refused[0], *blocked]
    proof_row(
        "CORS in Chromium: good key and bad from a named origin, then both from another", read, "202, 401, blocked"
    )
    assert good[0] == 202 and good[2] == "accepted"
    assert good[1]["Location"].startswith("/v1/baits/") and good[1]["Retry-After"] == "1"
    assert good[1]["RateLimit"].startswith('"baits";r=')
    assert refused[0] == refused[2] == 401 and 'error="invalid_token"' in refused[1]["WWW-Authenticate"]
    assert blocked == ["blocked", "blocked"]
