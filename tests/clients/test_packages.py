"""The clients stand alone: nothing of the service, one package at most, and what their manifests say is there."""

from __future__ import annotations

import ast
import json
import re
import sys
import tomllib
from pathlib import Path

from tests.stack import ROOT

PYTHON = ROOT / "openapi" / "clients" / "python"
TYPESCRIPT = ROOT / "openapi" / "clients" / "typescript"
OURS = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]


def imported(file: Path) -> set[str]:
    """The top names that a module imports, wherever in it."""
    found = set()
    for node in ast.walk(ast.parse(file.read_text())):
        if isinstance(node, ast.Import):
            found |= {name.name.partition(".")[0] for name in node.names}
        elif isinstance(node, ast.ImportFrom):
            found.add((node.module or "").partition(".")[0])
    return found


def test_the_python_client_needs_what_it_says_and_nothing_of_the_service() -> None:
    project = tomllib.loads((PYTHON / "pyproject.toml").read_text())
    modules = [*(PYTHON / "pourwright_client").glob("*.py")]
    outside = set().union(*map(imported, modules)) - sys.stdlib_module_names - {"pourwright_client"}
    assert outside == {re.split(r"[<>=]", need)[0] for need in project["project"]["dependencies"]} == {"urllib3"}
    assert project["project"]["version"] == OURS["version"]
    assert project["project"]["requires-python"] == OURS["requires-python"].partition(",")[0]
    assert project["tool"]["setuptools"]["packages"] == ["pourwright_client"]
    assert (PYTHON / "pourwright_client" / "py.typed").exists()
    assert all(len(file.read_text().splitlines()) <= 250 for file in modules)


def test_the_shop_needs_flask_and_the_client() -> None:
    outside = imported(ROOT / "openapi" / "examples" / "storefront" / "shop.py") - sys.stdlib_module_names
    assert outside == {"flask", "pourwright_client"}


def test_the_typescript_client_needs_nothing_and_brings_what_it_names() -> None:
    package = json.loads((TYPESCRIPT / "package.json").read_text())
    assert "dependencies" not in package and package["version"] == OURS["version"]
    for place in package["exports"]["."].values():
        assert (TYPESCRIPT / place).exists()
    for file in (TYPESCRIPT / "dist").glob("*.js"):
        assert all(name.startswith("./") for name in re.findall(r'from "([^"]+)"', file.read_text())), file.name


def test_both_clients_carry_the_licence() -> None:
    licence = (ROOT / "LICENSE").read_text()
    assert (PYTHON / "LICENSE").read_text() == (TYPESCRIPT / "LICENSE").read_text() == licence
