"""The record of every bait: what is asked, what is waiting, what is finished. No geometry and no HTTP.

A finished bait is a folder of files with a manifest, which is the truth about it (`artifacts`). The store,
a Redis or Valkey server, holds only what is not finished, and for a while how baits ended without a manifest
(`baits` for those who ask, `attempts` for those who work).
"""
