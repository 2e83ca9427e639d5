"""`bait.glb`: the display mesh as binary glTF 2.0 (ISO/IEC 12113), in metres, y up.

Why own code: trimesh writes positions and normals as floats, 24 bytes a vertex where KHR_mesh_quantization needs 12,
and knows neither that extension nor the materials that make plastic look soft; pygltflib is a tree of data classes
that packs nothing. What is left to do, two buffers and one JSON object, is this page. The tests read the files with
trimesh and, where node is there, with the Khronos validator.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import ArrayLike, NDArray

from worker.files.display import DEVIATION_MM, display_mesh
from worker.files.layers import layered
from worker.files.mesh_arrays import Corners, Points, area_vectors, dot, volume
from worker.files.soft_plastic import EXTENSIONS, core_plastic, soft_plastic
from worker.picture.finish import Finish
from worker.picture.lie import CoreShot, Laminate
from worker.solid.simplify import KernelBody

_UNSIGNED_SHORT, _UNSIGNED_INT, _BYTE = 5123, 5125, 5120
_TRIANGLES = 4
_VERTICES, _INDICES = 34962, 34963  # what a buffer view is for
_SKIN = np.dtype([("position", "<u2", 3), ("_", "<u2"), ("normal", "i1", 3), ("__", "i1")])
_NORMAL_AT = 8
"""One side of a vertex, 12 bytes: parts begin at multiples of four, as glTF 2.0 asks (3.6.2.4)."""

_TOP = 65535  # of 16 bits


@dataclass(frozen=True)
class _Part:
    """Triangles of one plastic: the node that has them, corners (m, 3), and their material."""

    node: str
    corners: Corners
    material: dict[str, object]


def write_glb(
    vertices: ArrayLike,
    triangles: ArrayLike,
    finish: Finish,
    *,
    deviation_mm: float = DEVIATION_MM,
    body: KernelBody | None = None,
) -> bytes:
    """The display mesh of a closed mesh, `vertices` (n, 3) in mm and `triangles` (m, 3), as a GLB file.

    Each plastic of a laminate has its own triangles and material; a core is a node of its own within the bait's. A
    `deviation_mm` of 0 says that the mesh is a display mesh already, `body` is as in `display_mesh`.
    Axes: glTF's x is ours (nose to tail), its y our z (to the back), its z our -y; so a viewer that looks along -z,
    as they all do, shows the bait from its right side, back up, nose left. Positions are whole numbers of a step of
    1/65535 of the greatest extent (2 micrometres for a 127 mm bait), not normalised ones, for then a reader that
    knows nothing of the extension still gets them right by the node's scale and translation; normals are in 1/127.
    Raises GeometryFailed for a mesh that is not closed.
    """
    mesh = display_mesh(vertices, triangles, deviation_mm, body)
    surface = area_vectors(mesh.vertices, mesh.triangles)
    # The mean way through a convex body is four times its volume over its surface (Cauchy).
    thickness = 4 * volume(mesh.vertices, mesh.triangles) / float(np.sqrt(dot(surface, surface)).sum())
    layer = np.zeros(len(mesh.triangles), np.int64)
    if isinstance(finish.lie, Laminate):
        mesh, layer = layered(mesh, finish.lie.heights)
    points, normals = mesh.vertices[mesh.owner], mesh.normals
    core: Corners | None = None
    if isinstance(finish.lie, CoreShot):
        within = display_mesh(finish.lie.vertices, finish.lie.triangles, 0.0)
        core = within.corners + len(points)
        points, normals = (
            np.concatenate([points, within.vertices[within.owner]]),
            np.concatenate([normals, within.normals]),
        )
    skin, corner, step = _quantised(points, normals)
    parts = [
        _Part("bait", mesh.corners[layer == number], soft_plastic(each, thickness, step))
        for number, each in enumerate(finish.each)
        if (layer == number).any()
    ]
    if core is not None:
        parts.append(_Part("core", core, core_plastic(finish.each[1])))
    small = len(skin) <= _TOP  # the last number of 16 bits is not an index: it restarts a strip
    indices = np.concatenate([part.corners for part in parts]).astype("<u2" if small else "<u4")
    return _container(_header(skin, indices, parts, corner, step), skin.tobytes() + indices.tobytes())


def _quantised(points: Points, normals: Points) -> tuple[NDArray[np.void], list[float], float]:
    """Points and normals on a grid of 16 bits, the grid's lowest corner and its step, both in metres."""
    nanometres = np.rint(_turned(points) * 1e6)
    low, high = nanometres.min(axis=0), nanometres.max(axis=0)
    step = ceil(float((high - low).max()) / _TOP)
    skin = np.zeros(len(nanometres), _SKIN)
    skin["position"] = np.rint((nanometres - low) / step)
    skin["normal"] = np.rint(_turned(normals) * 127)
    return skin, [value / 1e9 for value in low.tolist()], step / 1e9


def _turned(rows: Points) -> Points:
    return np.stack([rows[:, 0], rows[:, 2], -rows[:, 1]], axis=1)


def _header(
    skin: NDArray[np.void],
    indices: NDArray[np.unsignedinteger],
    parts: Sequence[_Part],
    corner: list[float],
    step: float,
) -> dict[str, object]:
    low, high = (getattr(skin["position"], end)(axis=0).tolist() for end in ("min", "max"))
    part = {"bufferView": 0, "count": len(skin), "type": "VEC3"}
    index_type = _UNSIGNED_SHORT if indices.itemsize == 2 else _UNSIGNED_INT
    runs, begin = [], 0
    for each in parts:
        offset = {"byteOffset": begin * indices.itemsize} if begin else {}
        count = {"componentType": index_type, "count": each.corners.size, "type": "SCALAR"}
        runs.append({"bufferView": 1, **offset, **count})
        begin += each.corners.size
    names = list(dict.fromkeys(each.node for each in parts))
    shared = {"POSITION": 0, "NORMAL": 1}
    primitives = [
        {"attributes": shared, "indices": 2 + number, "material": number, "mode": _TRIANGLES}
        for number in range(len(parts))
    ]
    place = {"scale": [step] * 3, "translation": corner}
    return {
        "asset": {"generator": "Pourwright", "version": "2.0"},
        "extensionsUsed": sorted([*EXTENSIONS, "KHR_mesh_quantization"]),
        "extensionsRequired": ["KHR_mesh_quantization"],
        "scene": 0,
        "scenes": [{"nodes": list(range(len(names)))}],
        "nodes": [{"name": name, "mesh": number, **place} for number, name in enumerate(names)],
        "meshes": [
            {
                "name": name,
                "primitives": [p for p, each in zip(primitives, parts, strict=True) if each.node == name],
            }
            for name in names
        ],
        "materials": [each.material for each in parts],
        "accessors": [
            {**part, "componentType": _UNSIGNED_SHORT, "min": low, "max": high},
            {**part, "componentType": _BYTE, "byteOffset": _NORMAL_AT, "normalized": True},
            *runs,
        ],
        "bufferViews": [
            {"buffer": 0, "byteLength": skin.nbytes, "byteStride": _SKIN.itemsize, "target": _VERTICES},
            {"buffer": 0, "byteOffset": skin.nbytes, "byteLength": indices.nbytes, "target": _INDICES},
        ],
        "buffers": [{"byteLength": skin.nbytes + indices.nbytes}],
    }


def _container(header: dict[str, object], data: bytes) -> bytes:
    """The two chunks of a GLB file, each filled up to a multiple of four bytes (glTF 2.0, section 4.4)."""
    text = json.dumps(header, separators=(",", ":"), allow_nan=False).encode()
    chunks = b""
    for kind, content, filler in ((b"JSON", text, b" "), (b"BIN\0", data, b"\0")):
        content += filler * (-len(content) % 4)
        chunks += struct.pack("<I4s", len(content), kind) + content
    return struct.pack("<4sII", b"glTF", 2, 12 + len(chunks)) + chunks
