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
from math import ceil

import numpy as np
from numpy.typing import ArrayLike, NDArray

from worker.files.display import DEVIATION_MM, DisplayMesh, display_mesh
from worker.files.mesh_arrays import Points, area_vectors, dot, volume
from worker.files.soft_plastic import EXTENSIONS, soft_plastic
from worker.solid.simplify import KernelBody

_UNSIGNED_SHORT, _UNSIGNED_INT, _BYTE = 5123, 5125, 5120
_VERTICES, _INDICES = 34962, 34963  # what a buffer view is for
_SKIN = np.dtype([("position", "<u2", 3), ("_", "<u2"), ("normal", "i1", 3), ("__", "i1")])
_NORMAL_AT = 8
"""One side of a vertex, 12 bytes: parts begin at multiples of four, as glTF 2.0 asks (3.6.2.4)."""

_TOP = 65535  # of 16 bits


def write_glb(
    vertices: ArrayLike,
    triangles: ArrayLike,
    *,
    rgb: Sequence[float],
    translucency: float = 0.4,
    reach_mm: float = 4.0,
    deviation_mm: float = DEVIATION_MM,
    body: KernelBody | None = None,
) -> bytes:
    """The display mesh of a closed mesh, `vertices` (n, 3) in mm and `triangles` (m, 3), as a GLB file.

    `rgb` is the plastic's colour in linear light, 0 to 1; `translucency` (0 to 1) the share of light that goes in and
    `reach_mm` how far it gets. A `deviation_mm` of 0 says that the mesh is a display mesh already, `body` is as in
    `display_mesh`.
    Axes: glTF's x is ours (nose to tail), its y our z (to the back), its z our -y; so a viewer that looks along -z,
    as they all do, shows the bait from its right side, back up, nose left. Positions are whole numbers of a step of
    1/65535 of the greatest extent (2 micrometres for a 127 mm bait), not normalised ones, for then a reader that
    knows nothing of the extension still gets them right by the node's scale and translation; normals are in 1/127.
    Raises GeometryFailed for a mesh that is not closed and ValueError for a colour or share outside 0 to 1.
    """
    if len(rgb) != 3 or not all(0 <= share <= 1 for share in (*rgb, translucency)) or not 0 < reach_mm < 1e6:
        raise ValueError(f"no plastic has colour {rgb!r}, translucency {translucency!r}, reach {reach_mm!r}")
    mesh = display_mesh(vertices, triangles, deviation_mm, body)
    surface = area_vectors(mesh.vertices, mesh.triangles)
    # The mean way through a convex body is four times its volume over its surface (Cauchy).
    thickness = 4 * volume(mesh.vertices, mesh.triangles) / float(np.sqrt(dot(surface, surface)).sum())
    skin, corner, step = _quantised(mesh)
    small = len(skin) <= _TOP  # the last number of 16 bits is not an index: it restarts a strip
    indices = mesh.corners.astype("<u2" if small else "<u4")
    header = _header(skin, indices, corner, step)
    header["materials"] = [soft_plastic(rgb, translucency, reach_mm, thickness, step)]
    return _container(header, skin.tobytes() + indices.tobytes())


def _quantised(mesh: DisplayMesh) -> tuple[NDArray[np.void], list[float], float]:
    """The sides of the vertices on a grid of 16 bits, the grid's lowest corner and its step, both in metres."""
    nanometres = np.rint(_turned(mesh.vertices[mesh.owner]) * 1e6)
    low, high = nanometres.min(axis=0), nanometres.max(axis=0)
    step = ceil(float((high - low).max()) / _TOP)
    skin = np.zeros(len(nanometres), _SKIN)
    skin["position"] = np.rint((nanometres - low) / step)
    skin["normal"] = np.rint(_turned(mesh.normals) * 127)
    return skin, [value / 1e9 for value in low.tolist()], step / 1e9


def _turned(rows: Points) -> Points:
    return np.stack([rows[:, 0], rows[:, 2], -rows[:, 1]], axis=1)


def _header(
    skin: NDArray[np.void], indices: NDArray[np.unsignedinteger], corner: list[float], step: float
) -> dict[str, object]:
    low, high = (getattr(skin["position"], end)(axis=0).tolist() for end in ("min", "max"))
    part = {"bufferView": 0, "count": len(skin), "type": "VEC3"}
    index_type = _UNSIGNED_SHORT if indices.itemsize == 2 else _UNSIGNED_INT
    return {
        "asset": {"generator": "Pourwright", "version": "2.0"},
        "extensionsUsed": sorted([*EXTENSIONS, "KHR_mesh_quantization"]),
        "extensionsRequired": ["KHR_mesh_quantization"],
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "nodes": [{"name": "bait", "mesh": 0, "scale": [step] * 3, "translation": corner}],
        "meshes": [
            {
                "name": "bait",
                "primitives": [{"attributes": {"POSITION": 0, "NORMAL": 1}, "indices": 2, "material": 0}],
            }
        ],
        "accessors": [
            {**part, "componentType": _UNSIGNED_SHORT, "min": low, "max": high},
            {**part, "componentType": _BYTE, "byteOffset": _NORMAL_AT, "normalized": True},
            {"bufferView": 1, "componentType": index_type, "count": indices.size, "type": "SCALAR"},
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
