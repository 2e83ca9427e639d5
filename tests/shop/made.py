"""Requests and moulds that the tests of shot, master and sheet share."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from worker.checks.subject import Subject
from worker.request import read_request
from worker.values.mould_figures import MouldFigures

MOULD = MouldFigures(
    kind="injected",
    material="aluminium",
    cavities=2,
    cavity_volume=6000.0,
    channels_volume=400.0,
    sprue_volume=1300.0,
    sprue_diameter=8.0,
    sprue_length=30.0,
    runner_length=20.0,
    runner_diameter=6.0,
    projected_area=1800.0,
    gate_width=5.0,
    gate_depth=3.0,
    gate_length=4.0,
    thickest=9.2,
    thickest_area=66.0,
    block_length=180.0,
    block_width=80.0,
    block_height=40.0,
)
NO_SHRINKAGE = {"low": 0, "typical": 0, "high": 0, "source": "a bar of our own"}


def mould(**changed: Any) -> MouldFigures:
    """A mould of two cavities."""
    return replace(MOULD, **changed)


def subject(style: str = "beaded_worm", **members: Any) -> Subject:
    """A request's subject."""
    return Subject(read_request({"style": style, **members}))
