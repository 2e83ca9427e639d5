"""What pictures and the display mesh of a bait cost, arrays in and picture out, warm."""

from __future__ import annotations

import statistics
import time
from collections.abc import Iterator
from typing import Any

from tests.bench.measure import Row, Work, in_turns
from worker.checks.subject import Subject
from worker.files.glb import write_glb
from worker.picture import draw, turntable
from worker.picture.thumbnails import png_bytes
from worker.request import read_request
from worker.showing import Shown, finish_of, shown
from worker.solid.join import joined

GLITTER = {"colour": "#7a4a1e", "glitter": {"colour": "orangered", "size_mm": 0.6, "per_cm3": 40}}
LAMINATE = {"method": "laminate", "colours": [{"colour": "#39401c"}, {"colour": "#d9d64a"}]}
CORE = {"method": "core_shot", "colours": [{"colour": "#dfe3d2"}, {"colour": "#ff4d1a"}]}
SMALL, LARGE = (256, 192), (800, 600)

BAITS: tuple[tuple[str, dict[str, Any], str], ...] = (
    ("a worm", {"style": "beaded_worm"}, "moulded"),
    ("a craw", {"style": "craw"}, "moulded"),
    ("a creature", {"style": "creature"}, "moulded"),
    ("a paddle tail, which fills the frame", {"style": "paddle_tail"}, "moulded"),
    ("a tube, all slivers", {"style": "tube"}, "moulded"),
    ("a craw of two colours", {"style": "craw", "shot": LAMINATE}, "moulded"),
    ("a stick with a core", {"style": "stick_worm", "shot": CORE}, "moulded"),
    ("a stick that droops", {"style": "stick_worm"}, "drooping"),
)
LIGHT = {"a worm": 250, "a craw": 800}
"""kB that their bait.glb may weigh."""


def rows() -> Iterator[Row]:
    """Pictures of baits small and large, the display mesh, the turntable."""
    for name, asked, pose in BAITS:
        subject = Subject(read_request({**asked, "finish": GLITTER}))
        solid = joined(subject.strands, 0.02, subject.hollows)
        yield from _drawn(name, shown(subject, solid, pose))
        if name in LIGHT:
            weight = len(write_glb(solid.vertices, solid.triangles, finish_of(subject, solid), body=solid.body)) / 1000
            yield Row(f"bait.glb of {name}", f"{weight:.0f} kB", "", f"{weight:.0f} kB", f"under {LIGHT[name]} kB")
        if name == "a worm":
            yield _turned(shown(subject, solid))


def _drawn(name: str, bait: Shown) -> Iterator[Row]:
    def picture(size: tuple[int, int]) -> Work:
        return lambda: draw(bait.prepared, width=size[0], height=size[1])

    image = draw(bait.prepared, width=LARGE[0], height=LARGE[1])
    encoded = in_turns({"png": lambda: png_bytes(image)}, rounds=5, clock=time.perf_counter)["png"]
    for size, most in ((SMALL, 60), (LARGE, 250)):
        wall, own = _clocked(picture(size), rounds=7)
        yield Row(
            f"picture of {name}, {size[0]} x {size[1]}, warm",
            f"{wall:.0f} ms ({own:.0f} ms of CPU)",
            f"encoding 800 x 600 as PNG alone: {encoded:.0f} ms",
            f"{wall / encoded:.1f} times as long",
            f"under {most} ms",
        )


def _clocked(work: Work, rounds: int) -> tuple[float, float]:
    """Median ms by the wall's clock and by the process's own, of the same rounds."""
    work()
    walls, owns = [], []
    for _ in range(rounds):
        wall, own = time.perf_counter(), time.process_time()
        work()
        walls.append(time.perf_counter() - wall)
        owns.append(time.process_time() - own)
    return statistics.median(walls) * 1000, statistics.median(owns) * 1000


def _turned(bait: Shown) -> Row:
    begin = time.perf_counter()
    content = turntable(bait.prepared, (480, 240), 24, 3.0, "white")["turntable.webp"]
    spent = time.perf_counter() - begin
    return Row("turntable of a worm, 24 frames of 480 x 240", f"{spent:.1f} s", "", f"{len(content) / 1000:.0f} kB", "")
