"""The demo's fits, against a service of the test's own: what was found is ordered, and must be what was told."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, cast

import pytest

from service.stack.client import Client, DemoFailed
from service.stack.demo_fits import search_all

BAIT = "ab" * 32
TOLD = {"mass_g": 6.03, "flexibility_ratio": 3.2}
BINDS = {"binds": True, "met": True, "text": "It holds 15 N of the 15 N asked."}
LOOSE = {"binds": False, "met": True, "text": "It is one piece."}


def answer(**changes: Any) -> dict[str, Any]:
    best = {"bait": BAIT, "request": {"style": "grub"}, "text": "bead count 16.", "metrics": TOLD}
    told = {
        "outcome": "met",
        "goal": {"text": "the least mass"},
        "best": best,
        "requirements": [BINDS, LOOSE],
        "gives": [],
    }
    return told | changes


class Service:
    """Answers as it is told to."""

    def __init__(self, fit: dict[str, Any], bait: dict[str, Any] | None = None) -> None:
        fit = {"status": "successful", "files": [{"name": "fit.json"}]} | fit
        built = {"status": "successful", "id": BAIT, "files": [{"name": "bait.stl"}], "metrics": TOLD} | (bait or {})
        self.answers = {"/v1/fits": fit, "/v1/baits": built}
        self.asked: list[tuple[str, Mapping[str, Any]]] = []

    def ask(self, path: str, request: Mapping[str, Any], within_s: float) -> dict[str, Any]:
        self.asked.append((path, request))
        if "goal" in request and request["goal"] == "anything":
            raise DemoFailed("POST /v1/fits was answered 422")
        return self.answers[path]

    def fetch(self, file: Mapping[str, Any]) -> bytes:
        return str(file["name"]).encode()


def searched(service: Service, out: Path, **request: Any) -> list[str]:
    return search_all(cast("Client", service), [{"label": "limber", **request}], ["limber"], out, 1.0)


def test_what_was_found_is_ordered_and_lies_beside_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "limber").mkdir()
    (tmp_path / "limber" / "old.stl").touch()
    service = Service({"answer": answer()})
    assert searched(service, tmp_path) == []
    assert service.asked == [("/v1/fits", {"label": "limber"}), ("/v1/baits", {"style": "grub"})]
    assert {file.name for file in (tmp_path / "limber").iterdir()} == {"fit.json", "bait.stl"}
    said = capsys.readouterr().out
    assert "the least mass: bead count 16." in said and BINDS["text"] in said and "6.03 g" in said
    assert LOOSE["text"] not in said


def test_ranges_without_a_bait_are_no_failure_of_the_demo(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    nothing = {"outcome": "none", "best": None, "reasons": [{"text": "A core is thinner than its beads."}]}
    service = Service({"answer": nothing})
    assert searched(service, tmp_path) == [] and len(service.asked) == 1
    assert "A core is thinner" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("service", "request_", "said"),
    [
        (Service({"answer": answer()}, {"metrics": TOLD | {"mass_g": 6.2}}), {}, "mass_g was told as 6.03 and is 6.2"),
        (Service({"answer": answer()}, {"id": "cd" * 32}), {}, "ended successful as cdcd"),
        (Service({"answer": answer()}, {"status": "failed"}), {}, "ended failed"),
        (Service({"status": "failed", "problem": {"detail": "It took too long."}}), {}, "It took too long."),
        (Service({}), {"goal": "anything"}, "answered 422"),
    ],
    ids=["other figures", "another bait", "not built", "not found", "refused"],
)
def test_what_goes_wrong_is_told_and_the_demo_goes_on(
    tmp_path: Path, service: Service, request_: dict[str, Any], said: str
) -> None:
    (failure,) = searched(service, tmp_path, **request_)
    assert failure.startswith("limber: ") and said in failure
