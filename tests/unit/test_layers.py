"""The house's own rules: who may import whom, what stays out of the web process, and how long a module may be."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
LONGEST = 250
HEAVY = ("manifold3d", "trimesh", "PIL", "ortools", "reportlab")


def _modules(*packages: str) -> dict[str, Path]:
    found = {}
    for package in packages:
        for path in sorted((ROOT / package).rglob("*.py")):
            parts = path.relative_to(ROOT).with_suffix("").parts
            found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


MODULES = _modules("worker", "service")


@cache
def _imports(name: str, *, everywhere: bool = True) -> frozenset[str]:
    """Our own modules that one imports; only when it is loaded itself, unless `everywhere`."""
    return frozenset(_within(ast.parse(MODULES[name].read_text()), name, everywhere))


def _within(node: ast.AST, importer: str, everywhere: bool) -> Iterator[str]:
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.Import):
            yield from (alias.name for alias in child.names if alias.name in MODULES)
        elif isinstance(child, ast.ImportFrom):
            assert child.level == 0, f"{importer} imports by dots"
            below = {f"{child.module}.{alias.name}" for alias in child.names} & set(MODULES)
            yield from below or {str(child.module)} & set(MODULES)
        elif everywhere or not _comes_later(child):
            yield from _within(child, importer, everywhere)


def _comes_later(node: ast.AST) -> bool:
    """Whether what stands in it is not run when the module is loaded."""
    if isinstance(node, ast.If):
        return "TYPE_CHECKING" in ast.dump(node.test)
    return isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef))


def _loaded_with(name: str) -> frozenset[str]:
    """What loading a module loads: its imports, and the packages that these lie in and it does not."""
    found = _imports(name, everywhere=False)
    parents = {".".join(target.split(".")[:depth]) for target in found for depth in range(1, target.count(".") + 1)}
    return frozenset(target for target in found | (parents & set(MODULES)) if not _below(name, target))


def _below(name: str, package: str) -> bool:
    return name == package or name.startswith(package + ".")


# Who must not know whom; reading upward from the strands.
FORBIDDEN = [
    ("worker", "service"),
    ("worker.values", "worker.request"),
    ("worker.values", "worker.styles"),
    ("worker.strands", "worker.solid"),
    ("worker.strands", "worker.styles"),
    ("worker.strands", "worker.request"),
    ("worker.strands", "worker.measures"),
    ("worker.strands", "worker.checks"),
    ("worker.styles", "worker.solid"),
    ("worker.styles", "worker.checks"),
    ("worker.measures", "worker.solid"),
    ("worker.measures.strand", "worker.measures.solid"),
    ("worker.measures", "worker.checks"),
    ("worker.checks", "worker.solid"),
    ("worker.checks", "worker.files"),
    ("worker.request", "worker.solid"),
    ("worker.solid", "worker.files"),
    ("worker.solid", "worker.request"),
    ("worker.picture", "worker.request"),
    ("worker.drawing", "worker.solid"),
    ("worker.drawing", "worker.picture"),
    ("worker.drawing", "worker.request"),
    ("worker.styles", "worker.drawing"),
    ("worker.strands", "worker.drawing"),
    ("worker.records", "worker.solid"),
    ("worker.records", "worker.strands"),
    ("worker.records", "worker.build"),
    ("worker.estimate", "worker.solid"),
    ("worker.estimate", "worker.cutting"),
    ("worker.shot", "worker.solid"),
    ("worker.master", "worker.solid"),
    ("worker.sheet", "worker.request"),
    ("service", "worker.build"),
    ("service", "worker.solid"),
    ("service", "worker.picture"),
    ("service", "worker.sheet"),
]


@pytest.mark.parametrize(("below", "above"), FORBIDDEN)
def test_no_import_goes_up(below: str, above: str) -> None:
    guilty = [
        (name, target) for name in MODULES if _below(name, below) for target in _imports(name) if _below(target, above)
    ]
    assert guilty == []


def test_no_import_goes_in_a_circle() -> None:
    """By what is imported when a module is loaded, packages on the way to it included."""
    graph = {name: _loaded_with(name) for name in MODULES}
    done: set[str] = set()

    def walk(name: str, on_the_way: tuple[str, ...]) -> None:
        assert name not in on_the_way, " -> ".join((*on_the_way[on_the_way.index(name) :], name))
        if name in done:
            return
        for target in sorted(graph[name]):
            walk(target, (*on_the_way, name))
        done.add(name)

    for name in sorted(graph):
        walk(name, ())


@pytest.mark.parametrize(
    "module", ["worker.request", "worker.estimate", "worker.styles", "worker.files.table", "worker.drawing"]
)
def test_what_the_web_process_needs_loads_no_geometry(module: str) -> None:
    program = f"import sys, {module}; print(*sorted(set({HEAVY!r}) & set(sys.modules)))"
    ran = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True)
    assert ran.stdout.split() == []


def test_an_estimate_answers_without_a_mesh_library() -> None:
    program = (
        "import sys\n"
        f"for name in {HEAVY!r}: sys.modules[name] = None\n"
        "from worker.estimate import estimate\n"
        "from worker.request import read_request\n"
        "from worker.styles import STYLES\n"
        "for style in STYLES.values(): print(estimate(read_request(dict(style.example)))['metrics']['length_mm'])\n"
    )
    ran = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True)
    assert all(float(length) > 40 for length in ran.stdout.split())


@pytest.mark.parametrize("name", sorted(MODULES))
def test_a_module_is_short_and_says_what_it_is(name: str) -> None:
    text = MODULES[name].read_text()
    assert len(text.splitlines()) <= LONGEST
    tree = ast.parse(text)
    assert not tree.body or ast.get_docstring(tree), "a module begins with what it is"


def _public(tree: ast.Module) -> Iterator[ast.FunctionDef | ast.ClassDef]:
    for node in tree.body:
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("_"):
            yield node


@pytest.mark.parametrize("name", [name for name in sorted(MODULES) if _below(name, "worker")])
def test_what_is_public_is_told(name: str) -> None:
    tree = ast.parse(MODULES[name].read_text())
    untold = [node.name for node in _public(tree) if not ast.get_docstring(node)]
    assert untold == []


@pytest.mark.parametrize("name", [name for name in sorted(MODULES) if _below(name, "worker")])
def test_annotations_are_kept_as_written(name: str) -> None:
    text = MODULES[name].read_text()
    if any(isinstance(node, (ast.FunctionDef, ast.ClassDef)) for node in ast.walk(ast.parse(text))):
        assert "from __future__ import annotations" in text
