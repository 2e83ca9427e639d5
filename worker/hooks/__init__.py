"""Telling callers' own servers how their baits ended, by the Standard Webhooks specification.

`python -m worker.hooks` is the courier: a process of its own that takes endings out of the outbox, signs them and
delivers them. What is kept between its rounds stands in `worker.records.outbox`.
"""
