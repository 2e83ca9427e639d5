"""What can be called: one module a resource, and one line here."""

from __future__ import annotations

from service.openapi.calls import baits, batches, estimates, files, fits, links, service, styles, webhooks
from service.openapi.calls.call import Item

RESOURCES = (styles, estimates, baits, batches, files, fits, links, webhooks, service)


def paths() -> dict[str, Item]:
    """Every address with its methods."""
    return {address: item for resource in RESOURCES for address, item in resource.paths().items()}
