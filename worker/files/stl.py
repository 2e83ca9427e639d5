"""Binary STL: a header, a count, and fifty bytes a facet.

Written here and not by a mesh library, because those take the facet normals through BLAS, whose last bit changes with
the processor, and because equal requests have to give equal bytes.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

HEADER = b"Binary STL by Pourwright; millimetres; x from nose to tail, y to the left, z to the back".ljust(80)[:80]
"""Must not begin with `solid`, which readers take for the text form."""

_FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])


def write_stl(vertices: NDArray[np.float64], triangles: NDArray[np.int64]) -> bytes:
    """84 + 50 m bytes of the closed mesh: vertices (n, 3) in mm, triangles (m, 3) outward."""
    corners = vertices[triangles].astype("<f4")
    first, second, third = (corners[:, corner].astype(np.float64) for corner in range(3))
    one, two = second - first, third - first
    normal = np.stack(
        [
            one[:, 1] * two[:, 2] - one[:, 2] * two[:, 1],
            one[:, 2] * two[:, 0] - one[:, 0] * two[:, 2],
            one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0],
        ],
        axis=1,
    )
    length = np.sqrt(normal[:, 0] ** 2 + normal[:, 1] ** 2 + normal[:, 2] ** 2)
    facets = np.zeros(len(triangles), dtype=_FACET)
    facets["normal"] = normal / np.where(length > 0, length, 1.0)[:, None] + 0.0
    facets["corners"] = corners
    return HEADER + len(triangles).to_bytes(4, "little") + facets.tobytes()
