"""Drawings that explain a parameter: a bait's silhouettes at a few of its values, from arithmetic alone, as SVG."""

from worker.drawing.dials import drawing_names
from worker.drawing.sheet import drawing

__all__ = ["drawing", "drawing_names"]
