"""`python -m worker.hooks`: the courier, until SIGTERM or SIGINT."""

from __future__ import annotations

import logging
import signal
import sys

from worker.errors import SettingsInvalid, StoreUnavailable
from worker.hooks.courier import Courier
from worker.hooks.sending import Sender
from worker.records.connect import for_steward
from worker.records.logs import log_to_stderr
from worker.settings import load

_log = logging.getLogger("worker.hooks")


def main() -> int:
    """Returns 2 where the settings cannot be used. A store that is away is waited for."""
    try:
        settings = load()
        log_to_stderr(settings.log_level, settings.log_format)
        courier = Courier(settings, for_steward(settings), Sender(settings.webhook_limit_s))
    except (SettingsInvalid, StoreUnavailable) as refused:
        print(f"{refused.title}: {refused.detail}", file=sys.stderr)
        return 2
    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, lambda *_: courier.stop())
    _log.info("the courier begins")
    courier.run()
    _log.info("the courier has ended")
    return 0


if __name__ == "__main__":
    sys.exit(main())
