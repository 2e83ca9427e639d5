"""What a bait does in water: its net mass, whether it floats, how fast it sinks and how it lies as it does."""
