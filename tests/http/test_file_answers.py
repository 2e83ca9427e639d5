"""Files: tags, ranges, digests, names, and what is not served."""

from __future__ import annotations

import base64
import hashlib
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from tests.http.fakes import FakeBaits
from tests.http.test_problems import problem

CONTENT = bytes(range(256)) * 8
SHA256 = hashlib.sha256(CONTENT).hexdigest()
TAG = f'"{SHA256}"'


def fetch(client: FlaskClient, path: str, method: str = "GET", **options: Any) -> Any:
    """The answer, read to its end and closed, as a server would."""
    return client.open(path, method=method, buffered=True, **options)


@pytest.fixture
def path(client: FlaskClient, baits: FakeBaits, worm: dict[str, Any]) -> str:
    response = client.post("/v1/baits", json=worm)
    baits.succeed(response.json["id"], **{"bait.stl": CONTENT, "metrics.json": b"{}"})
    return f"{response.headers['Location']}/files/bait.stl"


def test_a_file_comes_with_all_that_a_client_needs_to_keep_it(client: FlaskClient, path: str) -> None:
    response = fetch(client, path)
    assert response.status_code == 200 and response.data == CONTENT
    assert response.headers["Content-Type"] == "model/stl"
    assert response.headers["Content-Length"] == str(len(CONTENT))
    assert response.headers["ETag"] == TAG
    assert response.headers["Cache-Control"] == "public, max-age=31536000, immutable"
    assert response.headers["Accept-Ranges"] == "bytes"
    assert "Last-Modified" not in response.headers
    # RFC 9530: a structured field, the digest a byte sequence between colons
    assert response.headers["Repr-Digest"] == f"sha-256=:{base64.b64encode(hashlib.sha256(CONTENT).digest()).decode()}:"


def test_head_tells_the_same_without_the_bytes(client: FlaskClient, baits: FakeBaits, path: str) -> None:
    get, head = fetch(client, path), fetch(client, path, "HEAD")
    asked = baits.path_asked
    assert head.status_code == 200 and head.data == b""
    told, again = ({**each.headers, "X-Request-Id": "each its own"} for each in (get, fetch(client, path, "HEAD")))
    assert told == again
    assert baits.path_asked == asked


@pytest.mark.parametrize("method", ["GET", "HEAD"])
def test_304_is_answered_before_the_file_is_touched(
    client: FlaskClient, baits: FakeBaits, path: str, method: str
) -> None:
    response = fetch(client, path, method, headers={"If-None-Match": TAG})
    assert response.status_code == 304 and response.data == b""
    assert response.headers["ETag"] == TAG and "immutable" in response.headers["Cache-Control"]
    assert baits.path_asked == 0


@pytest.mark.parametrize(
    ("wanted", "content", "content_range"),
    [
        ("bytes=0-83", CONTENT[:84], "bytes 0-83/2048"),
        ("bytes=2040-", CONTENT[2040:], "bytes 2040-2047/2048"),
        ("bytes=-8", CONTENT[-8:], "bytes 2040-2047/2048"),
        ("bytes=-9999", CONTENT, "bytes 0-2047/2048"),
        ("bytes=2000-9999", CONTENT[2000:], "bytes 2000-2047/2048"),
    ],
    ids=["first", "from", "last", "more than there is", "past the end"],
)
def test_a_range_is_206(client: FlaskClient, path: str, wanted: str, content: bytes, content_range: str) -> None:
    response = fetch(client, path, headers={"Range": wanted})
    assert response.status_code == 206 and response.data == content
    assert response.headers["Content-Range"] == content_range
    assert response.headers["Content-Length"] == str(len(content))
    assert response.headers["ETag"] == TAG and response.headers["Repr-Digest"].startswith("sha-256=:")


@pytest.mark.parametrize(
    "headers",
    [
        {"Range": "bytes=0-3,8-9"},
        {"Range": "bytes=9-3"},
        {"Range": "lines=1-2"},
        {"Range": "bytes=0-3", "If-Range": '"other"'},
    ],
)
def test_what_cannot_be_cut_is_sent_whole(client: FlaskClient, path: str, headers: dict[str, str]) -> None:
    response = fetch(client, path, headers=headers)
    assert response.status_code == 200 and response.data == CONTENT
    assert "Content-Range" not in response.headers


def test_a_range_after_the_end_is_416_and_says_how_long_the_file_is(client: FlaskClient, path: str) -> None:
    response = fetch(client, path, headers={"Range": "bytes=2048-"})
    problem(response, 416, "range-not-satisfiable")
    assert response.headers["Content-Range"] == "bytes */2048"


def test_the_condition_comes_before_the_range(client: FlaskClient, path: str) -> None:
    # RFC 9110, 13.2.2: step 3 before step 5
    assert fetch(client, path, headers={"If-None-Match": TAG, "Range": "bytes=0-3"}).status_code == 304
    problem(fetch(client, path, headers={"If-Match": '"x"', "Range": "bytes=0-3"}), 412, "precondition-failed")
    assert fetch(client, path, headers={"If-Range": TAG, "Range": "bytes=0-3"}).status_code == 206


def test_the_name_to_save_under_says_which_bait_it_is(client: FlaskClient, path: str) -> None:
    bait_id = path.split("/")[3]
    assert fetch(client, path).headers["Content-Disposition"] == f"attachment; filename=beaded_worm-{bait_id[:8]}.stl"
    metrics = fetch(client, path.replace("bait.stl", "metrics.json")).headers["Content-Disposition"]
    assert metrics == f"inline; filename=beaded_worm-{bait_id[:8]}-metrics.json"


@pytest.mark.parametrize(
    "name",
    [
        "other.stl",
        "manifest.json",
        "..",
        "%2e%2e",
        "..%2fmanifest.json",
        "%2fetc%2fpasswd",
        "bait.stl%00",
        "BAIT.STL",
    ],
)
def test_only_what_the_manifest_lists_is_served(client: FlaskClient, baits: FakeBaits, path: str, name: str) -> None:
    (baits.folder / "manifest.json").write_text("{}")
    response = fetch(client, path.replace("bait.stl", name))
    assert response.status_code in (404, 405)
    problem(response, 404, "not-found")
    assert baits.path_asked == 0


def test_a_bait_under_way_has_no_file(client: FlaskClient) -> None:
    path = client.post("/v1/baits", json={"style": "jointed_worm"}).headers["Location"]
    problem(fetch(client, f"{path}/files/bait.stl"), 404, "not-found")
    problem(fetch(client, f"/v1/baits/{'0' * 64}/files/bait.stl"), 404, "not-found")


def test_a_file_that_was_cleared_away_is_410_while_the_manifest_lives(
    client: FlaskClient, baits: FakeBaits, path: str
) -> None:
    Path(baits.folder / "bait.stl").unlink()
    problem(fetch(client, path), 410, "expired")
