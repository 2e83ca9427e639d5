"""Test pieces that a maker poured and measured, and the plastic's figures that they tell."""
