"""A mould as an answer tells it, and as its files and pictures show it."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import numpy as np

from worker.files.stl import write_stl
from worker.files.threemf import write_3mf_parts
from worker.mould.columns import Columns
from worker.mould.layout import Placed
from worker.mould.mould import Mould
from worker.mould.undercut import Undercut
from worker.picture.mould_half import Note, mould_half
from worker.strands.roots import Array
from worker.values.parameter import six_digits

JUDGEMENT = (
    "Vent depths, walls, undercut limits, gate and sprue are common practice without a source: try one cavity before "
    "you cut eight."
)
_UNITS = {"volume": "mm3", "area": "mm2"}


def mould_figures(mould: Mould) -> dict[str, Any]:
    """`metrics.mould`."""
    told = {_named(name): _figure(value) for name, value in asdict(mould.figures).items()}
    plan = mould.plan
    gating = None if plan is None else plan.gating
    return {
        **told,
        "shot_volume_mm3": six_digits(mould.figures.shot_volume),
        "growth": six_digits(mould.cavity.frame.growth),
        "parting": {
            **mould.cavity.frame.describe(),
            "searched": mould.cavity.searched,
            "form": "flat" if mould.cavity.face is None else "following",
            "steepest_deg": mould.cavity.steepest_deg,
        },
        "gate_side": None if gating is None else gating.feed.side,
        "fed_thickness_mm": None if gating is None else six_digits(gating.feed.thickness),
        "wall_mm": six_digits(mould.wall),
        "vent_depth_mm": mould.material.vent.typical,
        "vents": 0 if plan is None else sum(vent is not None for each in plan.vents for _, vent in each),
        "balance": six_digits(round(mould.balance, 9)),
        "triangles": {name: len(half.triangles) for name, half in mould.parts.items()},
        "pins": [
            {"hollow": pin.strand, "diameter_mm": six_digits(2 * pin.radius), "out_at": pin.end} for pin in mould.pins
        ],
        "judgement": JUDGEMENT,
    }


def _named(name: str) -> str:
    if name in ("kind", "material", "cavities"):
        return name
    return f"{name}_{next((unit for word, unit in _UNITS.items() if word in name), 'mm')}"


def _figure(value: Any) -> Any:
    return six_digits(value) if isinstance(value, float) else value


def face_up(half: str, points: Array) -> Array:
    """Places of a half, (n, 2 or 3), as it lies with its parting face up: the upper one is turned over its length."""
    if half != "upper":
        return points
    return np.asarray(points * np.array([1.0, -1.0, -1.0])[: points.shape[1]] + 0.0)


def mould_files(mould: Mould, shrunk: int) -> dict[str, bytes]:
    """The bytes of every file, by name; pictures are `shrunk` times as small."""
    files: dict[str, bytes] = {}
    parts = []
    for name, half in mould.parts.items():
        vertices = face_up(name, half.vertices)
        files[f"mould_{name}.stl"] = write_stl(vertices, half.triangles)
        parts.append((name, vertices, half.triangles))
    files["mould.3mf"] = write_3mf_parts(parts)
    if mould.plan is None:
        return files
    for name, undercut in zip(("lower", "upper"), mould.cavity.undercuts, strict=True):
        if name in mould.halves:
            files[f"mould_{name}.png"] = _picture(mould, mould.plan.placed, name, undercut, shrunk)
    return files


def _picture(mould: Mould, lying: list[Placed], name: str, undercut: Undercut, shrunk: int) -> bytes:
    half = mould.halves[name]
    vertices = face_up(name, half.vertices)
    length, width, height = half.extent
    sizes = f"{length:g} x {width:g} x {round(height, 1):g} mm"
    title = f"{_title(mould, name)}, {mould.material.name}: {sizes}, parting face up"
    squares = np.argwhere(undercut.behind)
    columns = mould.cavity.columns
    middles = np.column_stack([columns.x0 + columns.cell * squares[:, 0], columns.y0 + columns.cell * squares[:, 1]])
    placed = [face_up(name, each.points(middles)) for each in lying]
    return mould_half(
        vertices,
        half.triangles,
        title,
        np.concatenate(placed),
        columns.cell,
        _notes(columns, lying[0], name, undercut),
        shrunk,
    )


def _title(mould: Mould, name: str) -> str:
    return f"{name.capitalize()} half" if len(mould.halves) > 1 else "Open mould"


def _notes(columns: Columns, first: Placed, name: str, undercut: Undercut) -> list[Note]:
    worst = undercut.worst
    if worst is None:
        return []
    at = np.array([[columns.x0 + columns.cell * worst[0], columns.y0 + columns.cell * worst[1]]])
    place = face_up(name, first.points(at))[0]
    depth, width = float(undercut.depth[worst]), float(undercut.width[worst])
    words = f"{depth:.2f} mm deep, {100 * depth / width:.0f} % of the width there"
    if undercut.held[worst]:
        words = f"{depth:.2f} mm deep: plastic holds the mould here"
    return [Note((float(place[0]), float(place[1])), words)]
