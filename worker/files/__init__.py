"""The files of a bait. `table` stands without the writers, so that a web process can read it."""
