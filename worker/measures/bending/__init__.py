"""How a bait bends: at its tip under a small force, and under its own weight."""
