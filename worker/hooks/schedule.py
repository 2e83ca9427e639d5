"""When a delivery that failed is tried again: the schedule that the Standard Webhooks specification advises."""

from __future__ import annotations

MINUTE, HOUR = 60.0, 3600.0
# Seconds from one try to the next; after these ten tries, some 75 hours, a webhook that took nothing is disabled.
DELAYS_S = (5.0, 5 * MINUTE, 30 * MINUTE, 2 * HOUR, 5 * HOUR, 10 * HOUR, 14 * HOUR, 20 * HOUR, 24 * HOUR)
TRIES = 1 + len(DELAYS_S)
JITTER = 0.1
LONGEST_ASKED_S = 24 * HOUR


def next_delay(tries: int, chance: float, asked_s: float | None = None) -> float | None:
    """Seconds until the next try after so many have failed; None where that was the last.

    Up to a tenth more by `chance`, from 0 to 1, so that what failed together is not tried together; and not sooner
    than the receiver asked for (`Retry-After`), within a day.
    """
    if tries >= TRIES:
        return None
    return max(DELAYS_S[tries - 1] * (1 + JITTER * chance), min(asked_s or 0.0, LONGEST_ASKED_S))
