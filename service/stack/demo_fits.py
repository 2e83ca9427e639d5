"""The demo's fits: each searched over HTTP, its best bait ordered, and what was built held to what was told of it."""

from __future__ import annotations

import time
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from service.stack.client import Client, DemoFailed
from service.stack.demo_files import write_files

FOUND_WITHIN_S = 600.0
AGREE = 0.01
"""What an estimate and a build may tell otherwise of one bait, as a share."""


def search_all(
    client: Client, fits: Sequence[Mapping[str, Any]], names: Sequence[str], out: Path, built_within_s: float
) -> list[str]:
    """Search for one after the other, order what was found, write the files of both, say how it goes.

    `names` are the folders below `out`. Returns what failed, a sentence each.
    """
    failures = []
    for number, (request, name) in enumerate(zip(fits, names, strict=True), start=1):
        label = str(request["label"])
        print(f"fit {number}/{len(fits)}  {label} ...", end="", flush=True)
        begun = time.monotonic()
        try:
            fit = client.ask("/v1/fits", request, FOUND_WITHIN_S)
            if fit["status"] != "successful":
                raise DemoFailed(f"it ended {fit['status']}: {(fit.get('problem') or {}).get('detail', 'no reason')}")
            seconds = time.monotonic() - begun
            write_files(client, fit, out / name)
            print(f" {fit['answer']['outcome']} in {seconds:.2f} s, files in out/{name}", flush=True)
            for sentence in _told(fit["answer"]):
                print(f"      {sentence}", flush=True)
            _order(client, fit["answer"], out / name, built_within_s)
        except DemoFailed as failure:
            print(" failed", flush=True)
            failures.append(f"{label}: {failure}")
    return failures


def _told(answer: Mapping[str, Any]) -> Iterator[str]:
    """The best bait, what binds or is missed, and what would have to give."""
    if answer["best"] is not None:
        yield f"{answer['goal']['text']}: {answer['best']['text']}"
    told = [each["text"] for each in answer.get("requirements", ()) if each["binds"] or not each["met"]]
    yield from (*told, *(each["text"] for each in (*answer.get("gives", ()), *answer.get("reasons", ()))))


def _order(client: Client, answer: Mapping[str, Any], folder: Path, within_s: float) -> None:
    """Build the best bait as it stands in the answer. Raises DemoFailed where its figures are not those told."""
    best = answer["best"]
    if best is None:
        return
    bait = client.ask("/v1/baits", best["request"], within_s)
    if bait["status"] != "successful" or bait["id"] != best["bait"]:
        raise DemoFailed(f"its best bait {best['bait']} ended {bait['status']} as {bait['id']}")
    write_files(client, bait, folder, besides=True)
    for name in ("mass_g", "flexibility_ratio"):
        told, built = best["metrics"][name], bait["metrics"][name]
        if abs(told - built) > AGREE * abs(built):
            raise DemoFailed(f"{name} was told as {told} and is {built} of the bait that was built")
    print(f"      built: {bait['metrics']['mass_g']:.2f} g, as it was told.", flush=True)
