"""What the plot says in words: where it tears first, at what pull, and what is asked."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from worker.checks.subject import Subject
from worker.measures.solid.tear_section import TRUNK_ENDS
from worker.plots.scales import in_inches

HOLDS = {"pass": "it holds", "caution": "it comes close", "fail": "it falls short"}

ALIKE = 1.005
"""Joints whose pull over what is asked is within this of the weakest's are as weak (judgement)."""


def where_it_tears(subject: Subject, metrics: Mapping[str, Any]) -> tuple[str, str]:
    """Two lines that answer: where does it tear first, at what pull, and what is asked?"""
    if subject.pieces > 1:
        return f"It is in {subject.pieces} pieces.", "No joint holds them together, so nothing has to tear."
    weakest = metrics["weakest_joint"]
    if weakest is None:
        pull = subject.rod_pull
        held = "it holds" if pull >= subject.joint_limit else "it falls short"
        return (
            "It has no neck to tear at.",
            f"Where it is thinnest it holds {pull:.3g} N; {subject.joint_limit:.3g} N is asked: {held}.",
        )
    return (
        f"It tears first {place_of(subject, weakest)}{_as_weak(weakest, metrics)}.",
        f"It does so at a pull of about {weakest['pull_n']:.3g} N ({weakest['pull_low_n']:.3g} to "
        f"{weakest['pull_high_n']:.3g} N); {weakest['limit_n']:.3g} N is asked: {HOLDS[weakest['verdict']]}.",
    )


def _as_weak(weakest: Mapping[str, Any], metrics: Mapping[str, Any]) -> str:
    """How many more joints are as weak: a worm whose beads are all alike tears at any of them."""
    if weakest.get("view") == "cut":
        return ""
    least = weakest["pull_n"] / weakest["limit_n"]
    others = sum(
        1
        for joint in metrics["joints"]
        if joint["joint"] != weakest["joint"] and joint["pull_n"] / joint["limit_n"] <= least * ALIKE
    )
    if others == 0:
        return ""
    return f"; {others} other{' is' if others == 1 else 's are'} as weak"


def place_of(subject: Subject, joint: Mapping[str, Any]) -> str:
    """A joint's place, as a maker would point at it."""
    station = joint["station_mm"]
    length = f"{station:.3g} mm ({in_inches(station)})"
    if joint.get("view") == "cut":
        gone = "peels" if joint["mode"] == "peel" else "tears"
        from_where = "the nose" if joint["strand"] in TRUNK_ENDS else "its root"
        return f"where the {joint['strand'].replace('_', ' ')} {gone} off, {length} from {from_where}"
    if subject.group_of(joint["joint"] - 1).strand_kind == "trunk":
        return f"at joint {joint['joint']}, {length} from the nose"
    if joint["kind"] == "ligament":
        return f"at the {joint['strand']}s, {length} from the nose"
    if joint["kind"] == "root":
        return f"at the root of the {joint['strand']}"
    return f"at the {joint['strand']}, {length} from its root"
