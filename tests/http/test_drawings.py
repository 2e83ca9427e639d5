"""Drawings of parameters over HTTP: addressed by the schema, kept, tagged, and never in anyone's way."""

from __future__ import annotations

import threading
import time

import pytest
from flask.testing import FlaskClient

from service.drawings import Drawings
from tests.http.test_problems import problem
from worker.errors import Busy
from worker.styles import STYLES, Style

ADDRESS = "/v1/styles/beaded_worm/drawings/bead_diameter.svg"


def test_a_schema_leads_to_its_drawing(client: FlaskClient) -> None:
    schema = client.get("/v1/styles/beaded_worm").json["params_schema"]["properties"]["bead_diameter"]
    assert schema["x-drawing"] == ADDRESS
    drawn = client.get(ADDRESS)
    assert (drawn.status_code, drawn.mimetype) == (200, "image/svg+xml")
    assert drawn.data.startswith(b"<svg ") and b"20 mm" in drawn.data
    assert "default-src 'none'" in drawn.headers["Content-Security-Policy"]


def test_it_is_asked_about_again_by_its_tag(client: FlaskClient) -> None:
    first = client.get(ADDRESS)
    again = client.get(ADDRESS, headers={"If-None-Match": first.headers["ETag"]})
    assert again.status_code == 304 and again.data == b""
    assert client.head(ADDRESS).headers["ETag"] == first.headers["ETag"]


@pytest.mark.parametrize(
    ("path", "named"),
    [
        ("/v1/styles/hair_worm/drawings/length.svg", "beaded_worm"),
        ("/v1/styles/beaded_worm/drawings/colour.svg", "bead_diameter"),
        ("/v1/styles/beaded_worm/drawings/length.bead.svg", "bead_diameter"),
    ],
)
def test_what_is_not_there_is_404_and_names_what_is(client: FlaskClient, path: str, named: str) -> None:
    assert named in problem(client.get(path), 404, "not-found")["detail"]


def test_it_is_read_only(client: FlaskClient) -> None:
    problem(client.post(ADDRESS), 405, "method-not-allowed")


def test_each_is_made_once_one_at_a_time_and_the_line_is_short() -> None:
    running, done = threading.Event(), threading.Event()
    made: list[str] = []

    def slow(style: Style, parameter: str) -> str:
        running.set()
        done.wait(30)
        made.append(parameter)
        return f"<svg>{parameter}</svg>"

    drawings, worm = Drawings(slow, waiting=2), STYLES["beaded_worm"]
    asked = ["length", "length", "bead_count"]
    threads = [threading.Thread(target=drawings, args=(worm, parameter)) for parameter in asked]
    threads[0].start()
    assert running.wait(30)
    for thread in threads[1:]:
        thread.start()
    deadline = time.monotonic() + 30
    while not drawings.full and time.monotonic() < deadline:
        time.sleep(0.001)
    with pytest.raises(Busy):
        drawings(worm, "taper")
    done.set()
    for thread in threads:
        thread.join(30)
    assert sorted(made) == ["bead_count", "length"], "whoever waited for the same one got the one that was made"
    content, etag = drawings(worm, "length")
    assert content == b"<svg>length</svg>" and etag.startswith('"')
    assert len(made) == 2
