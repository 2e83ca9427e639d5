"""What the tests of craws share."""

from __future__ import annotations

import pytest

from tests.craw.drawn_craws import craw
from worker.solid.join import joined
from worker.solid.solid import Solid


@pytest.fixture(scope="package")
def default_solid() -> Solid:
    """The mesh of a craw with nothing but defaults."""
    return joined(craw(), 0.02)
