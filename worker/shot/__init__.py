"""The shot: how much plastic a pour takes and of what, how it fills, cools and what it costs."""
