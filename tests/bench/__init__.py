"""Measurements against named rivals and floors: `make bench`. Figures are stated, never asserted."""
