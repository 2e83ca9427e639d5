"""Measures: numbers from strands (`strand`, arithmetic) and from the solid (`solid`)."""
