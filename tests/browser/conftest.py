"""One service with workers and one browser for all tests of the page."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

from tests.http.running import Service, service

if TYPE_CHECKING:
    from tests.browser.page import Page


@pytest.fixture(scope="session")
def served() -> Iterator[Service]:
    with service(workers=True) as made:
        yield made


@pytest.fixture(scope="session")
def window(served: Service) -> Iterator[Page]:
    from tests.browser.page import browser

    with browser(f"http://127.0.0.1:{served.port}") as made:
        yield made


@pytest.fixture
def page(window: Page) -> Iterator[Page]:
    """The window as a reader comes to it, and nothing in its console afterwards."""
    window.look(1440)
    window.complaints()
    window.asked()
    yield window
    assert window.complaints() == []
    assert window.asked() <= {window.origin.removeprefix("http://")}
