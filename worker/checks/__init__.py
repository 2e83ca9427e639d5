"""Checks: numbers in, a verdict and remedies out."""
