"""Keys: who may ask, and for what. Made, listed and revoked by `python -m service.keys`."""
