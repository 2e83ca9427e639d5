"""Every setting of service and workers, declared once: name, kind, default, range, meaning.

`load()` reads them from the environment and refuses at once with a sentence for each one that cannot be used.
`python -m worker.settings` tells the values of this environment, or writes the table of the manual.
"""

from worker.settings.declared import SETTINGS, Settings, load
from worker.settings.kinds import PREFIX, Setting

__all__ = ["PREFIX", "SETTINGS", "Setting", "Settings", "load"]
