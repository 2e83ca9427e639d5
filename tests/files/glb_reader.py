"""GLB files taken apart by the rules of glTF 2.0 alone, to hold ours against."""

from __future__ import annotations

import json
import struct
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

_COMPONENTS = {5120: "<i1", 5121: "<u1", 5122: "<i2", 5123: "<u2", 5125: "<u4", 5126: "<f4"}


@dataclass(frozen=True)
class ReadGlb:
    """The JSON, and what is in it: positions in metres after the nodes' transform, normals, and the triangles of the
    node "bait"; `parts` has those of every primitive by the number of its material."""

    header: dict[str, Any]
    positions: NDArray[np.float64]
    normals: NDArray[np.float64]
    triangles: NDArray[np.int64]
    parts: dict[int, NDArray[np.int64]]

    @property
    def in_our_axes(self) -> NDArray[np.float64]:
        """Positions in mm, x to the tail, y to the left, z to the back."""
        x, y, z = self.positions.T * 1000
        return np.stack([x, -z, y], axis=1)

    @property
    def normals_in_our_axes(self) -> NDArray[np.float64]:
        x, y, z = self.normals.T
        return np.stack([x, -z, y], axis=1)


def read_glb(content: bytes) -> ReadGlb:
    """Section 4.4 (container) and 3.6 (accessors) of the glTF 2.0 specification."""
    magic, version, length = struct.unpack_from("<4sII", content)
    assert (magic, version, length) == (b"glTF", 2, len(content))
    chunks, at = {}, 12
    while at < len(content):
        size, kind = struct.unpack_from("<I4s", content, at)
        assert size % 4 == 0
        chunks[kind] = content[at + 8 : at + 8 + size]
        at += 8 + size
    assert list(chunks) == [b"JSON", b"BIN\0"]
    header = json.loads(chunks[b"JSON"])
    nodes = {node["name"]: node for node in header["nodes"]}
    assert header["scenes"] == [{"nodes": list(range(len(nodes)))}]
    meshes = {name: header["meshes"][node["mesh"]]["primitives"] for name, node in nodes.items()}
    every = [part for primitives in meshes.values() for part in primitives]
    assert all(part["attributes"] == {"POSITION": 0, "NORMAL": 1} for part in every)

    def accessor(number: int) -> NDArray[np.float64]:
        entry = header["accessors"][number]
        view = header["bufferViews"][entry["bufferView"]]
        kind = np.dtype(_COMPONENTS[entry["componentType"]])
        width = {"SCALAR": 1, "VEC3": 3}[entry["type"]]
        stride = view.get("byteStride", kind.itemsize * width)
        start = view.get("byteOffset", 0) + entry.get("byteOffset", 0)
        assert start % kind.itemsize == 0 and start + stride * (entry["count"] - 1) <= len(chunks[b"BIN\0"])
        rows = np.ndarray((entry["count"], width), kind, chunks[b"BIN\0"], start, (stride, kind.itemsize))
        if "min" in entry:
            assert rows.min(axis=0).tolist() == entry["min"] and rows.max(axis=0).tolist() == entry["max"]
        values = rows.astype(np.float64)
        if entry.get("normalized"):
            values = np.maximum(values / np.iinfo(kind).max, -1.0)
        return values

    def triangles(part: dict[str, Any]) -> NDArray[np.int64]:
        return accessor(part["indices"]).astype(np.int64).reshape(-1, 3)

    (scale,) = {tuple(node["scale"]) for node in nodes.values()}
    (corner,) = {tuple(node["translation"]) for node in nodes.values()}
    bait = np.concatenate([triangles(part) for part in meshes["bait"]])
    parts = {part["material"]: triangles(part) for part in every}
    return ReadGlb(header, accessor(0) * scale + corner, accessor(1), bait, parts)
