"""Where the picture is taken from. Nose to the left in every view but the front one."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from worker.picture.body import Body
from worker.picture.vector import Doubles, Floats, dot, normalised

View = str | tuple[float, float]

VIEWS: dict[str, tuple[float, float]] = {
    "three_quarter": (38.0, 30.0),
    "top": (0.0, 90.0),
    "side": (0.0, 0.0),
    "front": (90.0, 0.0),
}
"""Azimuth and elevation in degrees. Azimuth 0 looks from the right side of the bait, 90 at its nose."""

Bounds = tuple[float, float, float, float]

_FLAT = ("top", "side", "front")
_DISTANCE = 5.0
"""Camera distance over the bait's half diagonal: a portrait lens, no bulging nose."""


@dataclass(frozen=True)
class Camera:
    """A view of one body in a frame of `width` by `height` pixels.

    `right`, `up` and `back` (towards the camera) are unit rows; `scale` is pixels per mm, in perspective at the
    body's middle; (`left`, `top`) is the first pixel of the window that holds the silhouette, `columns` by `rows`.
    """

    right: Floats
    up: Floats
    back: Floats
    azimuth: float
    elevation: float
    perspective: bool
    distance: float
    scale: float
    middle: tuple[float, float]
    width: int
    height: int
    left: int
    top: int
    columns: int
    rows: int

    def project(self, x: Floats, y: Floats, z: Floats, fineness: int = 1) -> tuple[Floats, Floats, Floats]:
        """Window coordinates, in 1/`fineness` pixels, and depth in mm (greater is farther, always positive)."""
        across, along, depth = _flat_coordinates(self, x, y, z)
        step = np.float32(self.scale * fineness)
        column = across * step + np.float32((self.width / 2 - self.middle[0] * self.scale - self.left) * fineness)
        row = np.float32((self.height / 2 + self.middle[1] * self.scale - self.top) * fineness) - along * step
        return column, row, depth

    def rays(self, column: Floats, row: Floats) -> Floats:
        """Unit directions of sight through window coordinates in pixels."""
        if not self.perspective:
            return np.broadcast_to(-self.back, (len(column), 3))
        across, along = (q * np.float32(1 / self.distance) for q in self._flat(column, row))
        rays = np.empty((len(column), 3), np.float32)
        for axis in range(3):
            rays[:, axis] = across * self.right[axis] + along * self.up[axis] - self.back[axis]
        return normalised(rays)

    def points(self, column: Floats, row: Floats, depth: Floats, rays: Floats) -> Floats:
        """Places in mm that are seen through window coordinates in pixels at a depth."""
        points: Floats
        if self.perspective:
            eye = self.back * np.float32(self.distance)
            points = eye + rays * (depth / -dot(rays, self.back))[:, None]
            return points
        across, along = self._flat(column, row)
        toward = np.float32(self.distance) - depth
        points = across[:, None] * self.right + along[:, None] * self.up + toward[:, None] * self.back
        return points

    def _flat(self, column: Floats, row: Floats) -> tuple[Floats, Floats]:
        """Window coordinates as mm across and along the picture at the middle's depth."""
        step = np.float32(1 / self.scale)
        across = (column + np.float32(self.left - self.width / 2)) * step + np.float32(self.middle[0])
        along = (np.float32(self.height / 2 - self.top) - row) * step + np.float32(self.middle[1])
        return across, along


def _flat_coordinates(camera: Camera, x: Floats, y: Floats, z: Floats) -> tuple[Floats, Floats, Floats]:
    """Places across and along the picture in mm at the middle's depth, and depth in mm."""
    across, along, toward = (x * q[0] + y * q[1] + z * q[2] for q in (camera.right, camera.up, camera.back))
    depth = np.float32(camera.distance) - toward
    if camera.perspective:
        shrink = np.float32(camera.distance) / depth
        across, along = across * shrink, along * shrink
    return across, along, depth


def angles(view: View) -> tuple[float, float]:
    """Azimuth and elevation of a named or given view, in degrees. Raises ValueError for an unknown one."""
    if isinstance(view, str):
        if view not in VIEWS:
            raise ValueError(f"a view is one of {', '.join(VIEWS)} or (azimuth, elevation), not {view!r}")
        return VIEWS[view]
    azimuth, elevation = view
    if not (math.isfinite(azimuth) and -90 <= elevation <= 90):
        raise ValueError(f"azimuth {azimuth} or elevation {elevation} is out of range")
    return float(azimuth), float(elevation)


def axes(view: View) -> tuple[Doubles, Doubles, Doubles]:
    """Unit directions right, up and back (towards the camera) of a view."""
    azimuth, elevation = (math.radians(angle) for angle in angles(view))
    sa, ca, se, ce = math.sin(azimuth), math.cos(azimuth), math.sin(elevation), math.cos(elevation)
    return np.array([ca, -sa, 0.0]), np.array([sa * se, ca * se, ce]), np.array([-sa * ce, -ca * ce, se])


def extent(body: Body, view: View) -> Bounds:
    """Least and greatest place of the silhouette across and along the picture, in mm at the body's middle."""
    across, along, _ = _flat_coordinates(_draft(body, view, 1, 1), body.x, body.y, body.z)
    return float(across.min()), float(across.max()), float(along.min()), float(along.max())


def frame(
    body: Body,
    view: View,
    width: int,
    height: int,
    margin: float,
    pixels_per_mm: float | None = None,
    bounds: Bounds | None = None,
) -> Camera:
    """The camera that holds the whole silhouette, or as much of the picture as `bounds`, as of `extent`, tells.

    `margin` is the free share of width and height at each edge. With `pixels_per_mm` the scale is fixed, so that
    several views can be drawn alike; raises ValueError when the silhouette would then be cut.
    """
    own = extent(body, view)
    x0, x1, y0, y1 = own if bounds is None else bounds
    # Two pixels stay free even without a margin: one for the edge's own smoothing, one for rounding.
    room_x, room_y = max(1.0, width * (1 - 2 * margin) - 2), max(1.0, height * (1 - 2 * margin) - 2)
    fitting = min(room_x / max(x1 - x0, 1e-9), room_y / max(y1 - y0, 1e-9))
    scale = fitting if pixels_per_mm is None else pixels_per_mm
    if not 0 < scale <= max(fitting, min(width / max(x1 - x0, 1e-9), height / max(y1 - y0, 1e-9)) * 0.999):
        raise ValueError(f"at {scale:g} pixels per mm the bait does not fit into {width} x {height}")
    centre = 0.5 * (x0 + x1), 0.5 * (y0 + y1)
    x0, x1, y0, y1 = own
    left = max(0, math.floor(width / 2 + (x0 - centre[0]) * scale) - 1)
    right_end = min(width, math.ceil(width / 2 + (x1 - centre[0]) * scale) + 1)
    top = max(0, math.floor(height / 2 - (y1 - centre[1]) * scale) - 1)
    bottom = min(height, math.ceil(height / 2 - (y0 - centre[1]) * scale) + 1)
    return replace(
        _draft(body, view, width, height),
        scale=scale,
        middle=centre,
        left=left,
        top=top,
        columns=right_end - left,
        rows=bottom - top,
    )


def _draft(body: Body, view: View, width: int, height: int) -> Camera:
    """A camera in the right place whose scale and window are not settled yet."""
    right, up, back = (axis.astype(np.float32) for axis in axes(view))
    return Camera(
        right,
        up,
        back,
        *angles(view),
        perspective=not (isinstance(view, str) and view in _FLAT),
        distance=_DISTANCE * body.radius,
        scale=1.0,
        middle=(0.0, 0.0),
        width=width,
        height=height,
        left=0,
        top=0,
        columns=width,
        rows=height,
    )
