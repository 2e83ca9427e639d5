"""A mould against the bait's own build, and files of meshes against a plain copy of their bytes in memory."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

import trimesh

from tests.bench.measure import Row, in_turns, paired
from worker.build import build
from worker.checks.subject import Subject
from worker.files.stl import write_stl
from worker.files.threemf import write_3mf
from worker.mould import mould_of
from worker.mould.checks import check_mould
from worker.mould.told import mould_figures
from worker.request import Request, read_request
from worker.solid.join import joined
from worker.solid.solid import Solid

BAITS: tuple[tuple[str, Mapping[str, Any]], ...] = (
    ("a beaded worm", {"style": "beaded_worm"}),
    ("a stick worm", {"style": "stick_worm"}),
    ("a craw in a flat face", {"style": "craw", "mould": {"parting": {"form": "flat"}}}),
    ("a craw", {"style": "craw"}),
    ("a lizard", {"style": "lizard"}),
)
ROUNDS = 5


def rows() -> Iterator[Row]:
    """Each bait's mould, then what it takes to write a craw."""
    for words, body in BAITS:
        yield from _mould(words, body)
    subject = Subject(read_request({"style": "craw"}))
    solid = joined(subject.strands, subject.request.tolerance, subject.hollows)
    yield from _written(solid)


def _mould(words: str, body: Mapping[str, Any]) -> Iterator[Row]:
    """CPU time of two whole builds, which differ by the mould, its checks and its files; and of the mould alone, its
    figures and checks, without files and pictures.
    """
    without = {name: value for name, value in body.items() if name != "mould"}
    plain, moulded = read_request(without), read_request({**body, "outputs": [*plain_outputs(without), "mould"]})
    solid = joined(Subject(moulded).strands, moulded.tolerance, Subject(moulded).hollows)
    took = in_turns(
        {
            "plain": lambda: build(plain),
            "moulded": lambda: build(moulded),
            "mould": lambda: _geometry(moulded, solid),
        },
        ROUNDS,
    )
    own, extra = took["plain"], took["moulded"] - took["plain"]
    yield Row(
        f"{words}: what a mould adds to its build, files and pictures included",
        f"{extra:.0f} ms of CPU",
        f"the bait's own build: {own:.0f} ms",
        f"{extra / own:.2f} of it",
        "under 1",
    )
    yield Row(
        f"{words}: of that the halves, their figures and their checks",
        f"{took['mould']:.0f} ms of CPU",
        f"the bait's own build: {own:.0f} ms",
        f"{took['mould'] / own:.2f} of it",
        "stated",
    )


def _geometry(request: Request, solid: Solid) -> None:
    subject = Subject(request)
    mould = mould_of(subject, solid)
    if mould is None:
        raise ValueError("the request asks for no mould")
    mould_figures(mould)
    check_mould(subject, mould)


def plain_outputs(body: Mapping[str, Any]) -> tuple[str, ...]:
    """What a request asks for that names no outputs."""
    return tuple(read_request(body).outputs)


def _written(solid: Solid) -> Iterator[Row]:
    writers: tuple[tuple[str, Callable[[], bytes]], ...] = (
        ("STL", lambda: write_stl(solid.vertices, solid.triangles)),
        ("3MF", lambda: write_3mf(solid.vertices, solid.triangles)),
    )
    for name, write in writers:
        yield _against_a_copy(name, write, solid)

    def rival() -> bytes:
        """A mesh of its own each time, for it keeps the normals that ours works out, too."""
        return bytes(trimesh.Trimesh(solid.vertices, solid.triangles, process=False).export(file_type="stl"))

    pair = paired(writers[0][1], rival, 15)
    yield Row(
        "the same STL",
        f"{pair.ours:.2f} ms",
        f"trimesh {trimesh.__version__}: {pair.rival:.2f} ms",
        f"{pair.times_as_long:.2f} times as long",
        "stated",
    )


def _against_a_copy(name: str, write: Callable[[], bytes], solid: Solid) -> Row:
    content = write()
    pair = paired(write, lambda: bytearray(content), 15)
    return Row(
        f"{name} of a craw of {len(solid.triangles):,} triangles",
        f"{pair.ours:.2f} ms, {len(content) / 1e6:.2f} MB",
        f"a copy of those bytes in memory: {pair.rival:.2f} ms",
        f"{pair.times_as_long:.0f} times as long",
        "stated",
    )
