"""Long texts packed for whoever takes that, each form with a tag of its own (RFC 9110, 8.8.3.3 and 12.5.5)."""

from __future__ import annotations

import gzip
import json

import pytest
from flask.testing import FlaskClient

HERE = "/v1/styles/alderbank"
OURS = {"base": "jointed_worm", "label": "Alderbank", "bounds": {"length": {"minimum": "4 in", "maximum": "5 in"}}}
PACKED = {"Accept-Encoding": "br, gzip"}
TEXTS = ("/v1/styles", "/v1/styles/craw", "/v1/openapi.json", "/docs", "/try/words.json")


@pytest.mark.parametrize("path", TEXTS)
def test_it_is_packed_to_whoever_takes_that_and_asked_about_again(client: FlaskClient, path: str) -> None:
    plain, packed = client.get(path), client.get(path, headers=PACKED)
    assert "Content-Encoding" not in plain.headers and packed.headers["Content-Encoding"] == "gzip"
    assert gzip.decompress(packed.data) == plain.data and len(packed.data) < len(plain.data) / 2
    assert packed.headers["Content-Type"] == plain.headers["Content-Type"]
    for answer, sent in ((plain, {}), (packed, PACKED)):
        assert "Accept-Encoding" in answer.vary
        again = client.get(path, headers={**sent, "If-None-Match": answer.headers["ETag"]})
        assert again.status_code == 304 and not again.data and "Accept-Encoding" in again.vary
    # The tag of one form does not stand for the other.
    assert client.get(path, headers={**PACKED, "If-None-Match": plain.headers["ETag"]}).status_code == 200
    assert client.head(path, headers=PACKED).headers["Content-Encoding"] == "gzip"


@pytest.mark.parametrize("told", ["gzip;q=0", "identity", "br", ""])
def test_it_is_plain_to_whoever_does_not_take_it(client: FlaskClient, told: str) -> None:
    answer = client.get("/v1/styles", headers={"Accept-Encoding": told})
    assert "Content-Encoding" not in answer.headers and json.loads(answer.data)["styles"]


def test_a_list_with_a_style_of_ones_own_is_packed_anew_when_that_changes(client: FlaskClient) -> None:
    def listed() -> dict[str, str]:
        answer = client.get("/v1/styles", headers=PACKED)
        assert answer.headers["Content-Encoding"] == "gzip"
        told = client.get("/v1/styles")
        assert gzip.decompress(answer.data) == told.data
        return {style["name"]: style["title"] for style in json.loads(told.data)["styles"]}

    client.put(HERE, json=OURS)
    first = listed()
    client.put(HERE, json={**OURS, "label": "Weir"})
    assert listed() != first


def test_the_tag_of_what_can_be_changed_is_one_for_all(client: FlaskClient) -> None:
    """A browser takes packed answers and may not say otherwise: what it is given has to be good for `If-Match`."""
    client.put(HERE, json=OURS)
    tag = client.get(HERE, headers=PACKED).headers["ETag"]
    assert client.put(HERE, json={**OURS, "label": "Weir"}, headers={"If-Match": tag}).status_code == 200
