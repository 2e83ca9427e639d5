"""The same requests in other environments: not one byte differs."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.determinism.digests import Digests
from tests.determinism.environments import ODD, PLAIN, SINGLE, Environment
from tests.determinism.requests import QUICK, REQUESTS
from tests.determinism.table import differing


def test_an_odd_environment_gives_the_same_bytes() -> None:
    assert differing(PLAIN.digests(QUICK), ODD.digests(QUICK)) == []


@pytest.fixture(scope="module")
def plain() -> Digests:
    return PLAIN.digests(REQUESTS)


@pytest.mark.proof
@pytest.mark.parametrize("environment", [*SINGLE, ODD], ids=lambda environment: environment.name)
def test_every_environment_gives_the_same_bytes(
    environment: Environment, plain: Digests, proof_row: Callable[[str, object, object], None]
) -> None:
    built = environment.digests(REQUESTS)
    assert built.keys() == plain.keys()
    different = differing(plain, built)
    count = sum(len(files) for files in plain.values())
    proof_row(f"same bytes: of {count} files of {len(plain)} requests different, {environment.name}", len(different), 0)
    assert different == []
