"""The bending length of an uneven bait: the cloth trade's cantilever test, done on the chain.

A strip is pushed over an edge until the line from the edge to its tip falls 41.5 degrees below level; half of what then
overhangs is its bending length. Of an even strip that is (EI / w)^(1/3): its elastica falls so far at w l^3 / EI of
8.004, and 8.004^(-1/3) = 0.4999, so the two are one figure (Peirce, The handle of cloth as a measurable quantity,
Journal of the Textile Institute 21 (1930); ISO 9073-7 and ASTM D1388 use the angle).
"""

from __future__ import annotations

import math

from worker.measures.bending.hanging import Chain, chord, hung

CHORD = math.radians(41.5)
TIP = math.radians(53.865)
"""At which the tip of an even strip then hangs: where to begin."""
MOST_TRIES, CLOSE = 60, 1e-8


def bending_length(chain: Chain, angles: list[float]) -> float:
    """mm, of a chain that hangs by `angles` from its hold.

    Where its whole length falls by less, from how many times as heavy it would have to be to fall so far: by likeness
    the cube root of that times half its length.
    """
    if chord(chain.links, angles) < CHORD:
        return sum(chain.links) / 2 * math.cbrt(_times_as_heavy(chain, chord(chain.links, angles)))
    # The tip hangs steeper than the chord, and a tip that hangs as the whole does is steep enough.
    low, high, middle = CHORD, angles[-1], min(TIP, angles[-1])
    under, over = _overhung(chain, low)[1] - CHORD, chord(chain.links, angles) - CHORD
    for _ in range(MOST_TRIES):
        miss = _overhung(chain, middle)[1] - CHORD
        if abs(miss) < CLOSE:
            break
        # The end that stays is given less weight, so that both come nearer (Anderson and Bjorck's rule).
        if miss < 0:
            low, under, over = middle, miss, over * _less(miss, under)
        else:
            high, over, under = middle, miss, under * _less(miss, over)
        middle = low + (high - low) * under / (under - over)
    return _overhung(chain, middle)[0] / 2


def _less(miss: float, replaced: float) -> float:
    share = 1 - miss / replaced
    return share if share > 0 else 0.5


def _overhung(chain: Chain, tip: float) -> tuple[float, float]:
    """How much overhangs, mm, where the tip hangs by `tip`, and its chord; from the tip on, until a link is level.

    Past the hold itself the chord counts as straight down.
    """
    angle, moment, along, down, length = tip, 0.0, 0.0, 0.0, 0.0
    for place in range(len(chain.links) - 1, -1, -1):
        link, spring, load = chain.links[place], chain.springs[place], chain.loads[place]
        cosine, sine = math.cos(angle), math.sin(angle)
        moment += load * cosine
        before = angle - moment / spring
        if before <= 0:
            # Level between this link's middle and the one's before it, or the hold.
            rest = link / 2
            share = angle / (angle - before) * (rest + (chain.links[place - 1] / 2 if place else 0.0))
            return (
                length + rest + share,
                math.atan2(
                    down + rest * sine + share * math.sin(angle / 2),
                    along + rest * cosine + share * math.cos(angle / 2),
                ),
            )
        length, along, down, angle = length + link, along + link * cosine, down + link * sine, before
    return length, math.pi / 2


def _times_as_heavy(chain: Chain, fallen: float) -> float:
    """The factor on the weight at which the chord falls 41.5 degrees."""
    low, under = 0.0, math.log(math.tan(fallen) / math.tan(CHORD))
    high, over = -under, 0.0
    for _ in range(MOST_TRIES):
        links = chain.links
        over = math.log(math.tan(chord(links, hung(chain.heavier(math.exp(high))))) / math.tan(CHORD))
        if abs(over) < CLOSE or high == low:
            break
        low, under, high = high, over, high - over * (high - low) / (over - under)
    return math.exp(high)
