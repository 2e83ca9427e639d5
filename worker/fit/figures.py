"""Every figure that a fit can be asked for: its name, unit and range; declared once. `gauge.py` works them out."""

from __future__ import annotations

from dataclasses import dataclass

from worker.values.parameter import Kind, Parameter

BEHAVIOURS = ("floats", "suspends", "sinks")


@dataclass(frozen=True)
class Figure:
    """One figure. `parameter` has its title, unit and range; `words` say it of a bait: `{}` is the value.

    `costly` figures need the volume of the whole bait, which takes most of an estimate's time where there are limbs.
    """

    parameter: Parameter
    words: str
    costly: bool = False

    @property
    def name(self) -> str:
        """What a request calls it."""
        return self.parameter.name

    @property
    def unit(self) -> str:
        """As the answer says it; empty of what has none."""
        return self.parameter.unit

    @property
    def counted(self) -> bool:
        """Whether it is a number, and not a word."""
        return self.parameter.kind != "choice"

    def say(self, value: float | str | None) -> str:
        """The value in words, with its unit."""
        if value is None:
            return f"{self.parameter.title.lower()} unknown"
        told = f"{value:.4g}" if isinstance(value, (int, float)) else value
        return self.words.format(f"{told} {self.unit}".rstrip() if self.unit else told)


def _figure(
    name: str,
    title: str,
    text: str,
    unit: str,
    most: float,
    words: str,
    *,
    least: float = 0.0,
    kind: Kind = "number",
    costly: bool = False,
) -> Figure:
    parameter = Parameter(name, kind, title, text, default=least, minimum=least, maximum=most, step=0.01, unit=unit)
    return Figure(parameter, words, costly)


def _in_water(water: str, words: str) -> tuple[Figure, ...]:
    behaviour = Parameter(
        f"{water}_behaviour",
        "choice",
        f"Behaviour in {words}",
        "floats, suspends or sinks, whatever its density within its range.",
        default="sinks",
        choices=BEHAVIOURS,
    )
    speed = f"{water}_sink_rate_mm_s"
    level = f"{water}_attitude_deg"
    return (
        Figure(behaviour, f"{{}} in {words}", costly=True),
        _figure(
            speed,
            f"Sink rate in {words}",
            "On a slack line; of what floats how fast it rises.",
            "mm/s",
            5000,
            f"{{}} in {words}",
            costly=True,
        ),
        _figure(
            level,
            f"Attitude in {words}",
            "Nose down from level in free fall.",
            "deg",
            90,
            f"{{}} nose down in {words}",
            least=-90.0,
            costly=True,
        ),
    )


FIGURES: dict[str, Figure] = {
    figure.name: figure
    for figure in (
        _figure(
            "pull_over_limit",
            "Weakest joint over its limit",
            "What the weakest joint holds over what is asked of it: 1 just holds.",
            "",
            1000,
            "{} times the pull asked",
        ),
        _figure(
            "trunk_pull_n",
            "Pull that the trunk holds",
            "Of its weakest joint; of a trunk without a neck, of its thinnest place.",
            "N",
            5000,
            "{} held by the trunk",
        ),
        _figure(
            "weakest_pull_n",
            "Pull of the weakest joint",
            "Of the joint with the smallest pull over its limit, on the trunk or on a limb.",
            "N",
            5000,
            "{} held by the weakest joint",
        ),
        _figure(
            "neck_mm",
            "Thinnest neck of the trunk",
            "Diameter of the circle of its area.",
            "mm",
            60,
            "a neck of {}",
            kind="length",
        ),
        _figure(
            "overlap",
            "Overlap of beads",
            "Least 1 - pitch over mean bead length; below 0 the beads stand apart.",
            "",
            1,
            "an overlap of {}",
            least=-10.0,
        ),
        _figure(
            "flexibility_ratio",
            "Flexibility ratio",
            "How much more easily the bait bends than the same bait without its relief.",
            "",
            100000,
            "a flexibility ratio of {}",
        ),
        _figure(
            "tip_give_up_down_mm_per_mn",
            "Tip give up and down",
            "How far the tip gives for each millinewton.",
            "mm/mN",
            100000,
            "{} up and down at the tip",
            costly=True,
        ),
        _figure(
            "tip_give_side_mm_per_mn",
            "Tip give to the side",
            "How far the tip gives for each millinewton.",
            "mm/mN",
            100000,
            "{} to the side at the tip",
            costly=True,
        ),
        _figure(
            "bending_length_mm",
            "Bending length",
            "How stiff it is for its weight: the cantilever test of cloth.",
            "mm",
            5000,
            "a bending length of {}",
            kind="length",
            costly=True,
        ),
        _figure("length_mm", "Length", "Overall, as moulded.", "mm", 600, "{} long", kind="length", costly=True),
        _figure("max_width_mm", "Width", "Greatest.", "mm", 300, "{} wide", kind="length", costly=True),
        _figure("max_height_mm", "Height", "Greatest.", "mm", 300, "{} high", kind="length", costly=True),
        _figure("volume_mm3", "Volume", "Of the plastic in it.", "mm3", 5e6, "{} of plastic", costly=True),
        _figure("mass_g", "Mass", "Of the bait, bare.", "g", 10000, "{}", costly=True),
        _figure(
            "baits_per_litre",
            "Baits from a litre",
            "Of plastic, sprue and loss not counted.",
            "",
            1e6,
            "{} baits from a litre",
            costly=True,
        ),
        _figure(
            "thinnest_mm",
            "Thinnest feature",
            "Diameter of the largest ball that passes it; tips left out.",
            "mm",
            60,
            "{} at the thinnest",
            kind="length",
        ),
        _figure(
            "hook_hold_n",
            "Hook hold",
            "The pull at which the wire cuts through; with a rig.",
            "N",
            2000,
            "{} held by the hook",
        ),
        _figure(
            "hook_clearance_mm",
            "Hook clearance",
            "Of the gape, what the plastic leaves free; with a rig.",
            "mm",
            60,
            "{} of gape free",
            least=-100.0,
            kind="number",
        ),
        *_in_water("fresh_water", "fresh water"),
        *_in_water("salt_water", "salt water"),
        *_in_water("fresh_water_rigged", "fresh water with its rig"),
        *_in_water("salt_water_rigged", "salt water with its rig"),
    )
}
"""Every figure by name."""

WITH_A_RIG = ("hook_hold_n", "hook_clearance_mm", *(name for name in FIGURES if "_rigged_" in name))
"""Figures that a bait has with a rig only."""
COUNTED = tuple(name for name, figure in FIGURES.items() if figure.counted)
"""Figures that can be the greatest or the least."""
