"""From a bait to the mould that it comes out of: parting, halves, channels, vents, and what is checked of them."""
