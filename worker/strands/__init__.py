"""Strands: sections carried along paths, as arithmetic on arrays. No meshes here; lengths in millimetres."""
