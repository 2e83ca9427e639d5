"""The craw against the kernel's own calls, and its growth with limbs and ribs."""

from __future__ import annotations

import statistics
from collections.abc import Iterator
from typing import Any

import manifold3d
import numpy as np

from tests.bench.measure import Row, Work, in_turns, paired
from worker.request import Request, read_request
from worker.solid.join import joined
from worker.solid.trunk import mesh_of

LEGS = (1, 2, 4, 8)
PITCHES = (8.0, 4.0, 2.0)


def rows() -> Iterator[Row]:
    """Joining, growth."""
    request = read_request({"style": "craw"})
    yield _against_bare_calls(request)
    yield from _growth(request)


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
