"""The locks hold what runs, and nothing of the machine that wrote them."""

from __future__ import annotations

import ast
import importlib.metadata
import re
import sys
from pathlib import Path

import pytest

from tests.setup.fakes import ROOT

LAYERS = ("run", "dev", "kernel", "tools", "bucket")


def pins(layer: str) -> dict[str, str]:
    """Package to version, from a lock."""
    text = (ROOT / "requirements" / f"{layer}.lock").read_text()
    return dict(re.findall(r"^([a-z0-9][a-z0-9-]*)==(\S+)", text, re.MULTILINE))


@pytest.mark.parametrize("layer", LAYERS)
def test_every_line_is_a_pin_with_hashes_and_names_no_index(layer: str) -> None:
    text = (ROOT / "requirements" / f"{layer}.lock").read_text()
    for entry in text.replace("\\\n", " ").splitlines():
        if not entry.startswith("#"):
            assert re.fullmatch(r"[a-z0-9-]+==\S+( ; [^#]*?)?(\s+--hash=sha256:[0-9a-f]{64})+", entry), entry


def test_all_locks_agree() -> None:
    run, dev = pins("run"), pins("dev")
    assert run.items() <= dev.items()
    kernel = pins("kernel")
    assert {name: dev[name] for name in kernel.keys() & dev.keys()}.items() <= kernel.items()


def test_what_lacks_wheels_or_serves_tests_alone_stays_out_of_the_run_lock() -> None:
    names = " ".join(pins("run"))
    for unwanted in ("ocp", "lib3mf", "embreex", "pytest", "hypothesis"):
        assert unwanted not in names


def imported_packages() -> dict[str, Path]:
    """Each outside package that worker/ and service/ import anywhere, and a file that does."""
    found: dict[str, Path] = {}
    for folder in ("worker", "service"):
        for file in (ROOT / folder).rglob("*.py"):
            for node in ast.walk(ast.parse(file.read_text())):
                if isinstance(node, ast.Import):
                    modules = [alias.name for alias in node.names]
                elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                    modules = [node.module]
                else:
                    continue
                found |= {module.partition(".")[0]: file for module in modules}
    ours = {"worker", "service"} | sys.stdlib_module_names
    return {name: file for name, file in found.items() if name not in ours}


def test_all_that_is_imported_is_in_the_run_lock() -> None:
    locked = set(pins("run"))
    distributions = importlib.metadata.packages_distributions()
    for module, file in imported_packages().items():
        # An extension module that stands alone in its wheel is listed nowhere; it is named like its package.
        carriers = distributions.get(module, [module])
        names = {re.sub(r"[-_.]+", "-", name).lower() for name in carriers}
        assert names & locked, f"{file.relative_to(ROOT)} imports {module}, which requirements/run.lock lacks"
