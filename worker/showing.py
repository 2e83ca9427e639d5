"""What the pictures of a bait show: its mesh as it is posed, and its finish with every colour where it lies."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from worker.checks.subject import Subject
from worker.handling import bending_in, spread_in
from worker.measures.hook.along import trunk_length
from worker.picture.colour import linear_from_hex
from worker.picture.core import core_mesh
from worker.picture.finish import Finish, finish_from_request
from worker.picture.lie import CoreShot, Laminate
from worker.picture.pose import Bend, bend_of, stations_of
from worker.picture.refine import refined
from worker.picture.scene import Prepared, prepare
from worker.picture.shares import heights_of_shares
from worker.shot.colours import colours_of, core_length
from worker.solid.solid import Solid
from worker.strands.roots import Array

_STEP_MM = 3.0
"""Along a bait that is bent, its triangles reach no farther: about a turn of 15 mm they lie within 0.1 mm of it."""


@dataclass(frozen=True)
class Shown:
    """A bait's mesh, (n, 3) mm and (m, 3), its finish, and the bend that it is shown in, None as it is moulded."""

    solid: Solid
    finish: Finish
    bend: Bend | None = None

    @property
    def prepared(self) -> Prepared:
        """It, ready to be drawn. Raises GeometryFailed where its mesh is none."""
        if self.bend is None:
            return prepare(self.solid.vertices, self.solid.triangles, self.finish)
        finish = self.finish
        vertices, triangles = refined(self.solid.vertices, np.asarray(self.solid.triangles, np.int64), _STEP_MM)
        if isinstance(finish.lie, CoreShot):
            finish = replace(finish, lie=replace(finish.lie, vertices=self.bend.bent(finish.lie.vertices)))
        return prepare(self.bend.bent(vertices), triangles, finish, vertices[:, 2], floats=True)


def shown(subject: Subject, solid: Solid, pose: str = "moulded") -> Shown:
    """A subject's bait in a pose of `picture.pose`."""
    return Shown(solid, finish_of(subject, solid), bend_in(subject) if pose == "drooping" else None)


def finish_of(subject: Subject, solid: Solid) -> Finish:
    """The finish of a request, in the colours that its shot pours where it tells some."""
    normal = subject.request.normal
    finish, shot = finish_from_request(normal["finish"]), normal.get("shot")
    if shot is None or not shot["colours"]:
        return finish
    trunk = trunk_length(subject.trunk_strands)
    poured = colours_of(shot, normal["finish"]["colour"], trunk, solid.volume)
    colours = tuple(linear_from_hex(each.colour) for each in poured)
    finish = replace(finish, colour=colours[0])
    if shot["method"] == "laminate":
        shares = [each.share for each in poured]
        return replace(finish, lie=Laminate(colours, heights_of_shares(solid.vertices, solid.triangles, shares)))
    if shot["method"] == "core_shot":
        long, across = core_length(shot, trunk), float(shot["core_diameter"])
        half = 0.5 * (long - across)
        line = _line(subject, np.linspace(0.5 * trunk - half, 0.5 * trunk + half, 65))
        return replace(finish, lie=CoreShot((colours[0], colours[1]), *core_mesh(line, 0.5 * across)))
    return finish


def bend_in(subject: Subject) -> Bend | None:
    """How the bait's trunk hangs in air; None where it does not bend as one."""
    bending = bending_in(subject, spread_in(subject))
    if bending is None:
        return None
    places = stations_of(bending.hold, trunk_length(subject.trunk_strands), len(bending.hanging))
    return bend_of(_line(subject, places), bending.hanging)


def _line(subject: Subject, stations: Array) -> Array:
    """The trunk's middle at `stations`, mm from the nose, (n, 3): of several strands on the plane between them."""
    trunk = subject.trunk_strands
    if len(trunk) == 1:
        points: Array = trunk[0].path.frames(stations)[0]
        return points
    zero = np.zeros(len(stations))
    return np.stack([stations, zero, zero], axis=1)
