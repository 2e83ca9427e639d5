"""The example shop over the running service: from the form to the slip, and what it says when that cannot be."""

from __future__ import annotations

import importlib.util
import io
import re
from decimal import Decimal
from html import unescape
from typing import Any

import pytest
from flask.testing import FlaskClient
from PIL import Image
from pourwright_client import Client

from tests.clients.stand_in import problem, stand_in
from tests.stack import ROOT

SHOP = ROOT / "openapi" / "examples" / "storefront" / "shop.py"
FORM = {"length": "4-1/2 in", "beads": "11", "bead": "8.5 mm", "core": "5.5 mm", "salt": "10", "grade": "soft"}
FORM |= {"colour": "brown", "count": "50"}


def load_shop() -> Any:
    spec = importlib.util.spec_from_file_location("storefront_shop", SHOP)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


shop_module = load_shop()


@pytest.fixture(scope="module")
def pourwright(address: str) -> Client:
    return Client(address, key="")


@pytest.fixture(scope="module")
def shop(pourwright: Client) -> FlaskClient:
    client: FlaskClient = shop_module.create_app(pourwright).test_client()
    return client


def test_from_the_form_to_the_slip(shop: FlaskClient, pourwright: Client) -> None:
    assert 'name="core" value="5.5 mm"' in shop.get("/").text
    ordered = shop.post("/slips", data=FORM)
    assert ordered.status_code == 303
    bait_id = re.fullmatch(r"/slips/([0-9a-f]{64})\?count=50", ordered.headers["Location"])
    assert bait_id is not None
    slip = shop.get(ordered.headers["Location"])
    told = unescape(slip.text).replace("\N{NO-BREAK SPACE}", " ")
    assert "A 4-1/2 in worm of 11 beads of 8.5 mm on a 5.5 mm core, soft, 10 % salt, brown." in told
    assert f"Bait {bait_id[1]}" in told and "children" in told
    # From the shop's list: 0.55 and 0.06 a gram, a tenth off from fifty on.
    mass_g = Decimal(str(pourwright.bait(bait_id[1]).metrics["mass_g"]))
    one = round((Decimal("0.55") + Decimal("0.06") * mass_g) * Decimal("0.9"), 2)
    assert f"50 at {one} €" in told and f"<strong>{one * 50} €</strong>" in told
    picture = shop.get(f"/pictures/{bait_id[1]}.webp")
    with Image.open(io.BytesIO(picture.data)) as image:
        assert image.format == "WEBP" and f'width="{image.width}" height="{image.height}"' in slip.text
    assert slip.headers["Content-Security-Policy"].startswith("default-src 'self'")


def test_what_is_wrong_stands_beside_its_field(shop: FlaskClient) -> None:
    refused = shop.post("/slips", data={**FORM, "beads": "<b>", "core": "15 mm", "salt": "90"})
    assert refused.status_code == 422
    beside = dict(re.findall(r'<p class="fault" id="(\w+)-fault">(.*?)</p>', refused.text))
    assert beside.keys() == {"beads", "salt"} and 'value="&lt;b&gt;"' in refused.text and "<b>" not in refused.text
    together = shop.post("/slips", data={**FORM, "core": "15 mm"})
    assert together.status_code == 422 and 'id="core-fault">A core of 15 mm' in together.text
    assert 'id="count-fault"' in shop.post("/slips", data={**FORM, "count": "0"}).text


def test_what_would_tear_is_not_sold_and_a_remedy_is_one_press_away(shop: FlaskClient) -> None:
    weak = shop.post("/slips", data={**FORM, "core": "2 mm"})
    assert weak.status_code == 422 and "of the 15 N asked" in weak.text
    offers = re.findall(r'<form method="post"[^>]*>(.*?)<button>Order it with', weak.text, re.DOTALL)
    assert offers
    for offer in offers:
        data = {name: unescape(value) for name, value in re.findall(r'name="(\w+)" value="([^"]*)"', offer)}
        assert data.keys() == FORM.keys() and data != FORM
        assert shop.post("/slips", data=data).status_code == 303


def test_no_slip_and_no_workshop(shop: FlaskClient) -> None:
    assert shop.get(f"/slips/{'0' * 64}").status_code == 404
    with stand_in({"/v1/estimates": [problem(503, "Full.", Retry_After="40")]}) as there:
        away = shop_module.create_app(Client(there.address, key="", patience_s=1)).test_client()
        busy = away.post("/slips", data=FORM)
        assert (busy.status_code, busy.headers["Retry-After"]) == (503, "40") and "Nothing was ordered" in busy.text
    gone = away.post("/slips", data=FORM)
    assert gone.status_code == 503 and "Nothing was ordered" in gone.text


@pytest.mark.parametrize(
    ("length_mm", "words"),
    # 25.4 mm an inch, exactly (international yard and pound agreement of 1959).
    [
        (114.3, "4-1/2 in"),
        (127, "5 in"),
        (120.65, "4-3/4 in"),
        (115, "115 mm"),
        (19.05, "3/4 in"),
        (77.7875, "3-1/16 in"),
    ],
)
def test_lengths_as_a_maker_writes_them(length_mm: float, words: str) -> None:
    assert shop_module.inches(length_mm) == words
