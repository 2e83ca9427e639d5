"""Where a ball rests on two ellipses at once, by Newton's rule: ten times cheaper than a bracketed search."""

from __future__ import annotations

import numpy as np

from worker.strands.roots import Array

MOST_STEPS, SETTLED = 8, 1e-9
"""The rule doubles the digits at each step: after one shorter than 1e-9 there is nothing left to gain."""


def meeting_of_ellipses(middle: Array, half_length: Array, half_height: Array, radius: float) -> Array | None:
    """Along x, the centre of the ball of `radius` that rests on each ellipse and the next, all on the line y = 0; mm.

    Half-way between them where it falls through. None where the rule does not settle: then a search has to tell.

    In the cosine c of the normal at the touching point, with h^2 = b^2 + (a^2 - b^2) c^2 the support, the centre is
    at X = c (a^2 / h + r), Y = sqrt(1 - c^2) (b^2 / h + r); it moves by dX = (a^2 b^2 / h^3 + r) dc along the slope
    dY / dX = -c / sqrt(1 - c^2). Two ellipses, two cosines, two equations.
    """
    reach = half_length + radius
    front, rear = middle - reach, middle + reach
    found = (rear[:-1] + front[1:]) / 2
    held = np.flatnonzero(rear[:-1] > front[1:])
    if len(held) == 0:
        return found
    pair = np.stack([held, held + 1])
    m, a, b = middle[pair], half_length[pair], half_height[pair]
    a_squared, b_squared = a * a, b * b
    # Right at once for circles.
    squares = reach[pair] * reach[pair]
    start = (m[0] + m[1]) / 2 + (squares[0] - squares[1]) / (2 * (m[1] - m[0]))
    cosine = np.minimum(np.maximum((start - m) / reach[pair], -1.0), 1.0)
    for _ in range(MOST_STEPS):
        sine = np.sqrt(np.maximum(1.0 - cosine * cosine, 1e-12))
        support = np.sqrt(b_squared + (a_squared - b_squared) * cosine * cosine)
        x = m + cosine * (a_squared / support + radius)
        y = sine * (b_squared / support + radius)
        rate, fall = a_squared * b_squared / (support * support * support) + radius, cosine / sine
        apart, above = x[0] - x[1], y[0] - y[1]
        steeper = fall[0] - fall[1]
        if not bool(np.all(steeper > 1e-6)):
            return None
        move = (above + fall[1] * apart) / steeper
        step = np.stack([move, move + apart]) / rate
        cosine = np.minimum(np.maximum(cosine + step, -1.0), 1.0)
        if float(np.abs(step).max(initial=0.0)) < SETTLED:
            between = (x[0] >= m[0]) & (x[0] <= m[1]) & (y[0] > 0) & (np.abs(cosine) < 1).all(axis=0)
            found[held] = x[0] + move
            return found if bool(np.all(between)) else None
    return None
