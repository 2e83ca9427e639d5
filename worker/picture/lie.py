"""How the colours of a bait of several plastics lie: one over the other, or one inside the other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from worker.picture.colour import Triple


@dataclass(frozen=True, slots=True)
class Laminate:
    """Colours in linear light, the back's first, and the heights in the mould, mm and falling, where each two meet."""

    colours: tuple[Triple, ...]
    heights: tuple[float, ...]


@dataclass(frozen=True, slots=True, eq=False)
class CoreShot:
    """The skin's colour and the core's in linear light, and the core's closed mesh, (n, 3) mm and (m, 3): where the
    bait's is, and posed like it."""

    colours: tuple[Triple, Triple]
    vertices: NDArray[np.float64]
    triangles: NDArray[np.int64]


Lie = Laminate | CoreShot
