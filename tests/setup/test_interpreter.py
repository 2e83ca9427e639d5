"""Which Python is chosen: each is run, and not only found."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from tests.setup.fakes import ROOT, bare_path, broken_shim, interpreter, shell


class Chooser:
    """setup/environment.sh with a builder that only says which Python it was given."""

    def __init__(self, folder: Path) -> None:
        self.path = bare_path(folder / "bin")
        self.setup = folder / "check out" / "setup"
        self.setup.mkdir(parents=True)
        for name in ("environment.sh", "interpreter.py"):
            shutil.copy(ROOT / "setup" / name, self.setup)
        (self.setup / "environment.py").write_text(
            "import os, sys\n"
            "print(os.path.basename(sys.executable), *sys.argv[1:])\n"
            "assert os.environ['PYTHONNOUSERSITE'] == '1' and 'PYTHONPATH' not in os.environ\n"
        )

    def run(self, **environment: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            ["sh", str(self.setup / "environment.sh"), "run", "dev"],
            env={"PATH": str(self.path), "PYTHONPATH": "/nowhere"} | environment,
            capture_output=True,
            text=True,
        )

    def chosen(self, **environment: str) -> str:
        done = self.run(**environment)
        assert done.returncode == 0, done.stderr
        name, *layers = done.stdout.split()
        assert layers == ["run", "dev"]
        return name


@pytest.fixture
def chooser(tmp_path: Path) -> Chooser:
    return Chooser(tmp_path)


def test_python3_comes_first(chooser: Chooser) -> None:
    interpreter(chooser.path / "python3", (3, 12))
    interpreter(chooser.path / "python3.14", (3, 14))
    assert chooser.chosen() == "python3"


def test_a_broken_shim_is_passed_over(chooser: Chooser) -> None:
    broken_shim(chooser.path / "python3")
    broken_shim(chooser.path / "python3.14")
    interpreter(chooser.path / "python3.12", (3, 12))
    assert chooser.chosen() == "python3.12"


@pytest.mark.parametrize("version", [(3, 10), (3, 15), (2, 7)])
def test_a_python3_of_the_wrong_age_is_passed_over_for_the_newest(chooser: Chooser, version: tuple[int, int]) -> None:
    interpreter(chooser.path / "python3", version)
    interpreter(chooser.path / "python3.11", (3, 11))
    interpreter(chooser.path / "python3.13", (3, 13))
    assert chooser.chosen() == "python3.13"


def test_another_implementation_and_an_incomplete_one_are_passed_over(chooser: Chooser) -> None:
    interpreter(chooser.path / "python3", (3, 11), name="pypy")
    interpreter(chooser.path / "python3.13", (3, 13), complete=False)
    interpreter(chooser.path / "python3.12", (3, 12))
    assert chooser.chosen() == "python3.12"


def test_what_python_names_is_taken_wherever_it_lies(chooser: Chooser, tmp_path: Path) -> None:
    interpreter(chooser.path / "python3", (3, 12))
    own = interpreter(tmp_path / "else where" / "mine", (3, 11))
    assert chooser.chosen(PYTHON=str(own)) == "mine"


@pytest.mark.parametrize("version", [(3, 10), (3, 15)])
def test_what_python_names_is_refused_and_not_replaced(
    chooser: Chooser, tmp_path: Path, version: tuple[int, int]
) -> None:
    interpreter(chooser.path / "python3", (3, 12))
    own = interpreter(tmp_path / "mine", version)
    done = chooser.run(PYTHON=str(own))
    assert done.returncode == 1 and done.stdout == ""
    assert f"it is Python {version[0]}.{version[1]}.1" in done.stderr
    assert f"PYTHON={own} cannot be used" in done.stderr


def test_without_any_the_sentence_says_what_was_tried_and_what_to_install(chooser: Chooser) -> None:
    broken_shim(chooser.path / "python3")
    interpreter(chooser.path / "python3.12", (3, 10))
    shell(chooser.path / "python3.11", "kill -SEGV $$")
    done = chooser.run()
    assert done.returncode == 1
    assert "No usable Python was found" in done.stderr and "apt-get install python3" in done.stderr
