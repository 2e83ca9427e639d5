"""Plots of a bait's figures along the bait: SVG, from strands and metrics alone."""

from worker.plots.joints import joints_svg

__all__ = ["joints_svg"]
