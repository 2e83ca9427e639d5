"""An even round rod held level by one end, that droops under its own weight: which stiffness lets its tip fall so far.

While the fall is small the tip hangs w L^4 / 8 EI below the hold (Roark's Formulas for Stress and Strain, table 8.1);
beyond that the chain of `bending.hanging` is hung under more and less weight until it falls as far as was measured.
"""

from __future__ import annotations

import math
from functools import lru_cache

from scipy.optimize import brentq

from worker.measures.bending.backbone import LINKS
from worker.measures.bending.hanging import Chain, hung

SMALL = 8.0
"""w L^3 / EI over the tip's fall by the length, while that is small."""
CLOSE = 1e-7
"""Of ln(w L^3 / EI): far below what the chain's own links leave, a thousandth."""


@lru_cache(maxsize=1024)  # pieces of earlier calls are reckoned with again
def load_that_drops(share: float) -> float:
    """w L^3 / EI, without a unit, at which the tip hangs `share` of the rod's length below its hold; 0 < share < 1."""
    # A rod that bends far falls by less than small turns would have it, so this is never too much.
    low = math.log(SMALL * share)
    high = low + 1.0
    while _fallen(high) < share:
        low, high = high, high + 1.0
    return math.exp(float(brentq(lambda load: _fallen(load) - share, low - 1e-3, high, xtol=CLOSE)))


def _fallen(load: float) -> float:
    """The tip's fall over the length, at the logarithm of w L^3 / EI: the chain of a beam of length 1 and EI of 1."""
    link, weight = 1 / LINKS, math.exp(load) / LINKS
    loads = tuple(link * weight * (LINKS - place - 0.5) for place in range(LINKS))
    return link * sum(math.sin(angle) for angle in hung(Chain((link,) * LINKS, _springs(), loads)))


def _springs() -> tuple[float, ...]:
    # Between the hold and the first link's middle lies half a link.
    return (2.0 * LINKS, *(float(LINKS),) * (LINKS - 1))
