"""Our closed mesh against the kernel's and against the floor."""

from __future__ import annotations

import math
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.bench.floor import plain_worm
from tests.bench.kernel import ANGULAR_LIMIT, KernelWorm
from tests.bench.measure import Row, paired
from tests.bench.worms import DIAMETER, SIXTEEN, TOLERANCE
from worker.checks.subject import Subject
from worker.files.stl import write_stl
from worker.request import read_request
from worker.solid.solid import Solid
from worker.solid.trunk import solid_of
from worker.strands.fineness import SAG_SHARE, corners

VOLUME_ERROR = 0.001
"""Ours stays within it whatever the tolerance; the kernel's mesh is brought to it."""


def rows() -> Iterator[Row | str]:
    """Rows, and a sentence in place of those that cannot be measured here."""
    yield from _against_floor()
    try:
        kernel = KernelWorm()
    except ImportError as reason:
        yield f"Not measured against the solid-modelling kernel: its bindings are absent ({reason}; `make kernel`)."
        return
    yield from _against_kernel(kernel)


def _solid() -> Solid:
    return solid_of(Subject(read_request(SIXTEEN)).trunk, TOLERANCE)


def _against_floor() -> Iterator[Row]:
    radius = DIAMETER / 2
    plain_corners = 2 * math.ceil(math.pi / math.acos(1 - TOLERANCE / radius) / 2)
    yield _beside_floor(SAG_SHARE * TOLERANCE, corners(radius, TOLERANCE), "as fine as ours", "under 1.5")
    yield _beside_floor(TOLERANCE, plain_corners, "coarser: plain chords at our tolerance", "")


def _beside_floor(sag: float, around: int, words: str, bar: str) -> Row:
    ours, plain = _solid(), plain_worm(sag, around)
    pair = paired(_solid, lambda: plain_worm(sag, around).volume(), rounds=31)
    return Row(
        "16-bead worm, request to checked solid",
        f"{pair.ours:.1f} ms, {len(ours.triangles):,} triangles",
        f"floor (outline, rings, one ingest), {words}: {pair.rival:.1f} ms, {plain.num_tri():,} triangles, volume "
        f"{100 * (plain.volume() / ours.volume - 1):+.2f} %",
        f"{pair.times_as_long:.2f} times as long",
        bar,
    )


def _against_kernel(kernel: KernelWorm) -> Iterator[Row]:
    deflection, meshed = kernel.deflection_for(VOLUME_ERROR)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "worm.stl"

        def ours() -> None:
            solid = _solid()
            file.write_bytes(write_stl(solid.vertices, solid.triangles))

        pair = paired(ours, lambda: kernel.stl(deflection, file), rounds=5)
    solid = _solid()
    off = 100 * (solid.volume / kernel.exact_volume - 1)
    kernel_off = 100 * (meshed.volume / kernel.exact_volume - 1)
    yield Row(
        "16-bead worm, request to STL on disk",
        f"{pair.ours:.1f} ms, {len(solid.triangles):,} triangles, volume {off:+.4f} %",
        f"OpenCASCADE, revolve of exact arcs, mesh, STL: {pair.rival:.0f} ms, {meshed.triangles:,} triangles, volume "
        f"{kernel_off:+.3f} % (deflection {1000 * deflection:.1f} micrometres, found by bisection; angular limit "
        f"{ANGULAR_LIMIT:g} rad; all cores)",
        f"{pair.times_faster:.0f} times faster",
        "at least 10",
    )
