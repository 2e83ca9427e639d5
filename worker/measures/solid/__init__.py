"""Where a solid tears, whatever its shape: minimum cuts on a grid, measured again on the surface itself."""
