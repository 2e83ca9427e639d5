"""The craw against the kernel's own calls, its growth with limbs and ribs, and its picture and display mesh."""

from __future__ import annotations

import statistics
import time
from collections.abc import Iterator
from typing import Any

import manifold3d
import numpy as np

from tests.bench.measure import Row, Work, in_turns, paired
from worker.files.glb import write_glb
from worker.picture import draw, finish_from_request, prepare
from worker.picture.thumbnails import png_bytes
from worker.request import Request, read_request
from worker.solid.join import joined
from worker.solid.trunk import mesh_of

GLITTER = {"colour": "#7a4a1e", "glitter": {"colour": "orangered", "size_mm": 0.6, "per_cm3": 40}}
LEGS = (1, 2, 4, 8)
PITCHES = (8.0, 4.0, 2.0)


def rows() -> Iterator[Row]:
    """Joining, growth, picture, display mesh."""
    request = read_request({"style": "craw", "finish": GLITTER})
    yield _against_bare_calls(request)
    yield from _growth(request)
    yield from _looks(request)


def _against_bare_calls(request: Request) -> Row:
    meshes = [mesh_of(strand, 0.02) for strand in request.style.strands(request.params)]
    arrays = [(points, faces.astype(np.uint64)) for points, faces in meshes]

    def bare() -> None:
        bodies = [manifold3d.Manifold(manifold3d.Mesh64(points, faces)) for points, faces in arrays]
        manifold3d.Manifold.batch_boolean(bodies, manifold3d.OpType.Add).num_tri()

    pair = paired(lambda: joined(request.style.strands(request.params), 0.02), bare, rounds=9)
    triangles = len(joined(request.style.strands(request.params), 0.02).triangles)
    return Row(
        "craw of defaults, parameters to checked solid",
        f"{pair.ours:.0f} ms, {triangles:,} triangles",
        f"the bare kernel calls (ingest of {len(meshes)} strands, one union): {pair.rival:.0f} ms",
        f"{pair.times_as_long:.2f} times as long",
        "under 1.5",
    )


def _growth(request: Request) -> Iterator[Row]:
    def work(**changed: Any) -> Work:
        strands = request.style.strands({**request.params, **changed})
        return lambda: joined(strands, 0.02)

    # Eight pairs are more than a request may ask for; shorter legs stand close enough for them.
    legs = in_turns({str(n): work(leg_pairs=n, leg_root=1.2, leg_tip=0.8) for n in LEGS}, rounds=3)
    ribs = in_turns({str(p): work(rib_pitch=p, rib_depth=0.5) for p in PITCHES}, rounds=3)
    yield _exponent("craw with 1, 2, 4 and 8 pairs of legs", list(LEGS), list(legs.values()))
    yield _exponent("craw with ribs 8, 4 and 2 mm apart", [1 / p for p in PITCHES], list(ribs.values()))


def _exponent(what: str, sizes: list[float] | list[int], times: list[float]) -> Row:
    slope = statistics.linear_regression(np.log(sizes).tolist(), np.log(times).tolist()).slope
    measured = ", ".join(f"{milliseconds:.0f}" for milliseconds in times)
    return Row(what, f"{measured} ms of CPU", "their number", f"exponent {slope:.2f}", "at most 1.1")


def _looks(request: Request) -> Iterator[Row]:
    finish = finish_from_request(request.normal["finish"])
    for name, bar_kb, each in (
        ("worm", 250, read_request({"style": "beaded_worm", "finish": GLITTER})),
        ("craw", 800, request),
    ):
        solid = joined(each.style.strands(each.params), 0.02)

        def picture(width: int, height: int, solid: Any = solid) -> Work:
            return lambda: draw(prepare(solid.vertices, solid.triangles, finish), width=width, height=height)

        image = draw(prepare(solid.vertices, solid.triangles, finish), width=800, height=600)
        pair = paired(picture(800, 600), lambda image=image: png_bytes(image), rounds=9)
        small = in_turns({"small": picture(256, 192)}, rounds=9, clock=time.perf_counter)["small"]
        yield Row(
            f"picture of a {name}, 800 x 600, warm",
            f"{pair.ours:.0f} ms ({small:.0f} ms at 256 x 192)",
            f"its PNG encoding alone: {pair.rival:.0f} ms",
            f"{pair.times_as_long:.1f} times as long",
            "under 250 ms",
        )
        display = write_glb(
            solid.vertices, solid.triangles, rgb=finish.colour, translucency=finish.clarity, body=solid.body
        )
        yield Row(
            f"bait.glb of a {name}",
            f"{len(display) / 1000:.0f} kB",
            "",
            f"{len(display) / 1000:.0f} kB",
            f"under {bar_kb} kB",
        )
