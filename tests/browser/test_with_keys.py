"""The page of a service that asks for keys: it calls through the named one, which the browser never sees."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from service.keys.book import KeyBook
from service.keys.key import new_key
from service.scopes import Scope
from tests.http.keys import NOW
from tests.http.running import service
from tests.requires import requires

pytestmark = [pytest.mark.browser, requires("browser")]


def test_the_page_does_all_it_does_and_holds_no_key(tmp_path: Path) -> None:
    from tests.browser.page import browser

    book = KeyBook(tmp_path / "keys.json")
    made, token = new_key("window", (Scope.READ, Scope.BUILD), "", NOW, None)
    book.add(made)
    with service(workers=True, keys_file=tmp_path / "keys.json", try_key=made.id) as running:
        assert running.call("POST", "/v1/estimates", {"style": "grub"}).status == 401
        with browser(f"http://127.0.0.1:{running.port}") as page:
            page.look(800)
            page.open()
            page.one("#files .act").click()
            page.until(lambda: page.all("#files li"), 60)
            link = page.one("#files li a").get_attribute("href")
            assert page.script("return (await fetch(arguments[0])).status", link) == 200
            assert page.script("return document.cookie") == ""
            sent = [entry["message"] for entry in page.driver.get_log("performance")]
            assert any("/v1/estimates" in one for one in sent)
            assert not any(token in one or token.rpartition("_")[2] in one for one in sent)
            methods = (json.loads(one)["message"] for one in sent)
            asked = [one["params"]["request"] for one in methods if one["method"] == "Network.requestWillBeSent"]
            assert not any("authorization" in {name.lower() for name in one["headers"]} for one in asked)
            assert page.complaints() == []
            # Revoked, it closes at once, and the page says so instead of falling still.
            book.revoke(made.id, NOW)
            page.script(
                "const s = document.querySelector(\"[data-pointer='/params/core_diameter'] input\");"
                "s.value = '7'; s.dispatchEvent(new Event('input'))"
            )
            page.until(lambda: "key" in page.text("#news"))
