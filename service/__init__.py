"""HTTP only: what a caller may ask and what he is answered. Everything about baits stands in `worker`."""
