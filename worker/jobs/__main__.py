"""`python -m worker.jobs`: the pool of workers with its steward, until SIGTERM or SIGINT."""

from __future__ import annotations

import os
import sys

# One thread a worker for linear algebra, as there is a worker a core. Read when NumPy is first imported.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from worker.errors import PourwrightError, SettingsInvalid, StoreUnavailable
from worker.jobs.start import run_pool
from worker.settings import load


def main() -> int:
    """Returns 2 where the settings or the store cannot be used."""
    try:
        run_pool(load())
    except (SettingsInvalid, StoreUnavailable) as refused:
        print(_sentence(refused), file=sys.stderr)
        return 2
    return 0


def _sentence(error: PourwrightError) -> str:
    return f"{error.title}: {error.detail}"


if __name__ == "__main__":
    sys.exit(main())
