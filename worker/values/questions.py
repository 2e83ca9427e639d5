"""Every check that there is: its name, its question, and the limit that a request may set in its place."""

from __future__ import annotations

from dataclasses import dataclass

from worker.values.parameter import Parameter


@dataclass(frozen=True, slots=True)
class Check:
    """One question put to a bait. `limit` and `view` are what `checks.<name>` of a request may set; None: nothing."""

    name: str
    question: str
    unit: str
    limit: Parameter | None = None
    view: Parameter | None = None


def _limit(title: str, default: float, minimum: float, maximum: float, unit: str, more: str = "") -> Parameter:
    return Parameter(
        "limit", "number", title, f"{title}{more}.", default=default, minimum=minimum, maximum=maximum, unit=unit
    )


_VIEW = Parameter(
    "view",
    "choice",
    "How weak places are found",
    "plane: the sections of the strands. cut: least cuts through the joined solid besides, whatever their shape, in a "
    "build alone; it takes half a second more for a worm, three for a craw, five with twenty limbs, and tells "
    "tear_sections. Where a cut is weaker than every plane and fails, a few changed shapes are cut for a remedy.",
    default="plane",
    choices=("plane", "cut"),
)

CHECKS: dict[str, Check] = {
    check.name: check
    for check in (
        Check("single_piece", "Does it leave the mould in one piece?", "pieces"),
        Check(
            "overlap",
            "Do the beads run into each other enough?",
            "",
            _limit("Least overlap", 0.12, 0, 0.9, ""),
        ),
        Check("joint_pull", "Does every joint hold the pull that is asked of it?", "N", view=_VIEW),
        Check(
            "hook_tear_out",
            "Does the hook hold in the plastic?",
            "N",
            _limit("Pull that the hook has to hold", 5, 0.1, 200, "N"),
        ),
        Check(
            "hook_clearance",
            "Does the hook's point come clear of the plastic?",
            "mm",
            _limit("Gape that has to stay free", 3, 0, 30, "mm"),
        ),
        Check("hook_slot", "Does the slot take the hook?", "mm"),
        Check(
            "thin_feature",
            "Does every part fill?",
            "mm",
            _limit(
                "Thinnest part that passes",
                1.2,
                0.4,
                6,
                "mm",
                ", two thirds of it of what grows out of the trunk, but 0.8 mm",
            ),
        ),
        Check("rod_overhang", "Is the rod long enough to be measured over an edge?", "mm"),
        Check("fill", "Does plastic fill the thinnest part of a mould of this material?", "mm"),
        Check("undercut", "Does the bait come out of its mould's halves?", "of the width"),
        Check("trapped", "Can the plastic give way wherever the mould lies behind it?", "mm2"),
        Check("core", "Does a pin leave everything that is hollow?", "hollows"),
        Check("open_face", "Is the whole bait made in an open mould?", "of the bait"),
        Check("island", "Is each part of the mould one piece?", "pieces"),
        Check("vent", "Has every extremity that fills last a way out for the air?", "extremities"),
        Check("gate", "Is the bait fed through a gate and a sprue that stay open long enough?", "of the thickness"),
        Check("wall", "Is there wall enough around the cavities?", "mm"),
        Check("bed", "Do the parts of the mould fit the machine that makes them?", "of the bed"),
        Check("pour_temperature", "Does the plastic fuse at the pour, and stay sound?", "°C"),
        Check("master_wall", "Does every part of the master print?", "mm"),
        Check("master_bed", "Does the master lie on the printer's bed?", "of the room"),
    )
}
