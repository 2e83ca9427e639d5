"""For all tests: no test sees the settings of whoever runs it."""

from __future__ import annotations

import os

import pytest

pytest_plugins = ["tests.requires", "tests.proof_table", "tests.fault_table"]

_KEPT = {"POURWRIGHT_REQUIRE"}


@pytest.fixture(autouse=True, scope="session")
def no_settings_from_outside() -> None:
    """A POURWRIGHT_PORT or a store's address in the shell must change no test; nor who somebody is to AWS."""
    for name in [name for name in os.environ if name.startswith(("POURWRIGHT_", "AWS_")) and name not in _KEPT]:
        del os.environ[name]
