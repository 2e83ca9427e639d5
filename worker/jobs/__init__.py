"""The processes that build: workers and the steward that feeds them. `python -m worker.jobs` runs them.

Never loaded by the service; it names the one job function by its dotted name.
"""
