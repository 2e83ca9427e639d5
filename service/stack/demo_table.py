"""The demo's table: one row a bait, figures with their units in the heading."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

HEADINGS = (
    "label",
    "length mm",
    "width mm",
    "volume mm3",
    "weakest joint",
    "pull N",
    "limit N",
    "verdicts",
    "time s",
)
FIGURES = {1, 2, 3, 5, 6, 8}  # columns that are set to the right


def row(label: str, bait: Mapping[str, Any] | None, seconds: float) -> tuple[str, ...]:
    """A bait's row; None stands for one that did not end well."""
    if bait is None:
        return (label, "-", "-", "-", "-", "-", "-", "not built", f"{seconds:.2f}")
    metrics = bait["metrics"]
    size = (
        f"{metrics['length_mm']:.2f}",
        f"{metrics['max_width_mm']:.2f}",
        f"{metrics['volume_mm3']:.1f}",
    )
    return (label, *size, *_weakest(metrics), verdicts(bait["checks"]), f"{seconds:.2f}")


def _weakest(metrics: Mapping[str, Any]) -> tuple[str, str, str]:
    joint = metrics["weakest_joint"]
    if joint is None:
        return (f"none, in {metrics['pieces']} pieces" if metrics["pieces"] > 1 else "none", "-", "-")
    where = f"{joint['kind']} at {joint['station_mm']:.1f} mm"
    return (where, f"{joint['pull_n']:.1f}", f"{joint['limit_n']:.1f}")


def verdicts(checks: Sequence[Mapping[str, Any]]) -> str:
    """What failed and what asks for caution by name, the rest by number: "fail: overlap; 3 pass"."""
    heard = [check for check in checks if not check["silenced"]]
    parts = []
    for verdict in ("fail", "caution"):
        if named := [check["check"] for check in heard if check["verdict"] == verdict]:
            parts.append(f"{verdict}: {', '.join(named)}")
    passed = sum(check["verdict"] == "pass" for check in heard)
    if passed or not parts:
        parts.append(f"{passed} pass")
    return "; ".join(parts)


def table(rows: Sequence[Sequence[str]]) -> str:
    """Rows under their headings, columns as wide as they need."""
    everything = [HEADINGS, *rows]
    widths = [max(len(line[column]) for line in everything) for column in range(len(HEADINGS))]
    lines = [
        "  ".join(
            cell.rjust(width) if column in FIGURES else cell.ljust(width)
            for column, (cell, width) in enumerate(zip(line, widths, strict=True))
        ).rstrip()
        for line in everything
    ]
    rule = "  ".join("-" * width for width in widths)
    return "\n".join([lines[0], rule, *lines[1:]])
