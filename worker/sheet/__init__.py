"""The bench sheet: all of a bait that whoever pours it has to have at hand, on one or two pages."""
