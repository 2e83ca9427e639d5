"""The reference page: complete, on its own, and safe to open."""

from __future__ import annotations

import base64
import hashlib
import re
from html.parser import HTMLParser

import pytest
from flask.testing import FlaskClient

from service.openapi import document
from service.reference_page import render
from worker.drawing import drawing_names
from worker.open_form.examples import EXAMPLES
from worker.styles import STYLES


class Page(HTMLParser):
    """What a page refers to, and the ids that it has."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.links: list[str] = []
        self.ids: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        for name, value in attrs:
            if name in ("href", "src", "action"):
                self.links.append(value or "")
            elif name in ("id", "aria-labelledby"):
                (self.ids if name == "id" else self.links).append(value if name == "id" else f"#{value}")  # type: ignore[arg-type]
            assert not name.startswith("on") and name != "style"


def test_it_is_one_page_of_html_that_needs_nothing_else(client: FlaskClient) -> None:
    response = client.get("/docs")
    assert response.headers["Content-Type"] == "text/html; charset=utf-8"
    page = Page(response.text)
    assert not {"script", "link", "iframe", "object", "form"} & set(page.tags)
    assert len(page.ids) == len(set(page.ids))
    for link in page.links:
        assert link.startswith("/") or link[1:] in page.ids, link


def test_its_policy_allows_its_own_styles_alone(client: FlaskClient) -> None:
    response = client.get("/docs")
    (style,) = re.findall(r"<style>(.*?)</style>", response.text, re.DOTALL)
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    policy = response.headers["Content-Security-Policy"]
    assert f"style-src 'sha256-{digest}'" in policy and "default-src 'none'" in policy
    assert "unsafe" not in policy and "img-src 'self'" in policy


def test_every_parameter_of_a_style_and_every_example_has_its_drawing_and_none_is_fetched_before_it_is_seen(
    client: FlaskClient,
) -> None:
    images = re.findall(r"<img ([^>]*)>", client.get("/docs").text)
    sources = [re.search(r'src="([^"]*)"', image) for image in images]
    drawn = [(style.name, name) for style in STYLES.values() for name in drawing_names(style)]
    told = [source and source[1] for source in sources]
    worked = [f"/docs/open-form/{example.name}.svg" for example in EXAMPLES]
    assert told == ["/docs/bargain.svg", *(f"/v1/styles/{s}/drawings/{n}.svg" for s, n in drawn), *worked]
    assert all('loading="lazy"' in image and "alt=" in image for image in images)


def test_it_tells_of_every_call_status_parameter_and_member(client: FlaskClient) -> None:
    text = client.get("/docs").text
    described = document()
    for path, item in described["paths"].items():
        assert f"<code>{path}</code>" in text
        for method, operation in item.items():
            if method != "parameters":
                assert operation["operationId"] in text
    for style in STYLES.values():
        assert f'id="style-{style.name}"' in text
        for parameter in style.parameters:
            assert f"<code>{parameter.name}</code>" in text
    for name in described["components"]["schemas"]:
        assert f'id="{name}"' in text or name == "Request"


@pytest.mark.parametrize("style", sorted(STYLES))
def test_it_says_what_of_the_dress_a_style_does_not_take(client: FlaskClient, style: str) -> None:
    """What the service refuses as unknown is what the page says is left out, and nothing else."""
    every = [
        "head",
        "nose_smooth",
        "flat_belly",
        "hook_slot",
        "jig_bore",
        "weight_bore",
        "rattle_pocket",
        "eye",
        "egg_band",
    ]
    values = {"head": "blunt", "hook_slot": "back"}
    sent = {"style": style, "params": {name: values.get(name, 0) for name in every}}
    refused = [error["pointer"] for error in client.post("/v1/estimates", json=sent).json.get("errors", [])]
    left = [name for name in every if f"/params/{name}" in refused]
    article = client.get("/docs").text.split(f'<article aria-labelledby="style-{style}">')[1].split("</article>")[0]
    told = re.search(r"leaves no place for (.*?), which the open form", article)
    if left in ([], every):
        assert told is None
    else:
        assert told and told[1].split(", ") == [name.replace("_", " ") for name in left]


def test_text_from_the_document_is_shown_and_never_run() -> None:
    hostile = document()
    hostile["info"]["summary"] = "<script>alert(1)</script>"
    assert "<script>" not in render(hostile)
