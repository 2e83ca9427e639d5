"""The page at `/try`: its files as they were built, and the session by which it asks where the service has keys."""
