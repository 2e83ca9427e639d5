"""The master: the bait made larger by all that shrinks after it, and whether it prints."""
