"""From strands to closed meshes: the one place that knows manifold3d."""
