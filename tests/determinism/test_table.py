"""The committed table of digests: the one expected value of our own. Held to in every run."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.determinism.digests import digests
from tests.determinism.table import Table, fault
from worker.files.table import FILES
from worker.request.identity import engine


@pytest.fixture(scope="module")
def built() -> Table:
    return Table(engine(), digests())


def test_bytes_change_only_with_the_engine_and_the_table_with_both(built: Table) -> None:
    wrong = fault(Table.read(), built)
    assert wrong is None, wrong


def test_every_file_that_there_is_stands_in_the_table(built: Table) -> None:
    assert {file for files in built.files.values() for file in files} == set(FILES)


def test_the_table_tells_what_is_wrong(tmp_path: Path) -> None:
    table = Table("pourwright=1", {"a worm": {"bait.stl": "00", "metrics.json": "11"}})
    table.write(tmp_path / "digests.json")
    assert Table.read(tmp_path / "digests.json") == table
    assert fault(table, table) is None
    other = {"a worm": {"bait.stl": "01", "metrics.json": "11"}}
    assert "Raise REVISION" in (fault(table, replace(table, files=other)) or "")
    assert "bait.stl of 'a worm'" in (fault(table, replace(table, files=other)) or "")
    assert "commit the table" in (fault(table, Table("pourwright=2", other)) or "")
    assert "commit the table" in (fault(table, replace(table, engine="pourwright=2")) or "")
    fewer = replace(table, files={"a worm": {"bait.stl": "00"}})
    assert "metrics.json of 'a worm'" in (fault(table, fewer) or "")
    assert "metrics.json of 'a worm'" in (fault(fewer, table) or "")
