"""What `make load` and `make bench` write: their places in a file, percentiles, exit status."""

from __future__ import annotations

import sys
import time
from pathlib import Path
from types import ModuleType

import pytest

import tests.bench.__main__ as bench
import tests.load.__main__ as load
from tests.bench.measure import Row
from tests.bench.sections import between_marks
from tests.load.__main__ import main
from tests.load.figures import Figure, as_table, percentile, watched

ROOT = Path(__file__).resolve().parents[2]
BEGIN, END = "<!-- make load -->", "<!-- end of make load -->"


@pytest.mark.parametrize("name", ["make load", "make bench"])
def test_the_readme_has_one_place_for_each(name: str) -> None:
    text = (ROOT / "README.md").read_text()
    assert between_marks(between_marks(text, name, "one"), name, "two") == between_marks(text, name, "two")


@pytest.mark.parametrize("content", ["", BEGIN, END, END + BEGIN, BEGIN + END + END, BEGIN + BEGIN + END])
def test_a_file_without_its_place_is_left_alone(content: str) -> None:
    with pytest.raises(ValueError, match="make load"):
        between_marks(content, "make load", "text")


@pytest.mark.parametrize(("share", "expected"), [(50, 50), (99, 99), (100, 100), (1, 1)])
def test_percentiles_by_nearest_rank(share: int, expected: int) -> None:
    """Of 1 to 100 the nearest rank is the number itself (ISO 3534-1's empirical quantile)."""
    assert percentile(list(range(100, 0, -1)), share) == expected
    assert percentile([3.0, 1.0, 2.0], 99) == 3.0 and percentile([7.0], 50) == 7.0


def section(monkeypatch: pytest.MonkeyPatch, held: bool | None) -> None:
    made = ModuleType("tests.load.existing")
    made.figures = lambda: iter([Figure("what", "ours", "against", "1", "at least 2", held)])  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, made.__name__, made)


@pytest.mark.parametrize(
    ("held", "status", "told"), [(True, 0, "held"), (False, 1, "missed"), (None, 0, "| at least 2 |  |")]
)
def test_a_missed_bar_is_told_and_ends_with_1(
    held: bool | None, status: int, told: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    section(monkeypatch, held)
    file = tmp_path / "README.md"
    file.write_text(f"before\n{BEGIN}\nof yesterday\n{END}\nafter\n")
    assert main(["--write", str(file), "existing"]) == status
    written = file.read_text()
    assert told in written and "of yesterday" not in written
    assert written.startswith("before\n") and written.endswith("after\n")


@pytest.mark.parametrize("folder", [load, bench], ids=["load", "bench"])
def test_every_section_is_a_module_and_no_other_is_taken(folder: ModuleType) -> None:
    where = Path(str(folder.__file__)).parent
    assert all((where / f"{name}.py").is_file() for name in folder.SECTIONS)
    assert folder.main(["nothing"]) == 2


def test_the_bench_writes_what_it_was_asked_for(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    made = ModuleType("tests.bench.craws")
    made.rows = lambda: iter([Row("what", "ours", "against", "1", "stated"), "And a sentence."])  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, made.__name__, made)
    file = tmp_path / "README.md"
    file.write_text("before\n<!-- make bench -->\nof yesterday\n<!-- end of make bench -->\nafter\n")
    assert bench.main(["--write", str(file), "craws"]) == 0
    written = file.read_text()
    assert "| what | ours | against | 1 | stated |\n\nAnd a sentence.\n\n<!-- end" in written
    assert written.startswith("before\n") and written.endswith("after\n") and "yesterday" not in written


def test_our_own_work_is_not_counted_as_others() -> None:
    """A core that we keep busy ourselves may not appear as somebody else's: others' share and ours fill the machine."""
    with watched() as beside:
        until = time.process_time() + 0.3
        while time.process_time() < until:
            pass
    assert 0 <= beside.share <= 1
    assert "7 %" in as_table([type(beside)(0.07).of(Figure("a", "b", "c", "d", "e"))])
