"""The gate of the Python client, started as a pipeline starts it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.clients.programs import DEMO, GOOD, IMPOSSIBLE, WEAK, folder_of, gate
from tests.clients.stand_in import PLACE, Scripted, bait, problem, stand_in


@pytest.mark.parametrize("how", ["--build", None])
def test_it_names_each_failed_check_with_its_remedy_s_place(address: str, tmp_path: Path, how: str | None) -> None:
    asked = folder_of(
        tmp_path / "asked", a=GOOD, b=WEAK, c=IMPOSSIBLE, d={"style": "beaded_worm", "params": {"taper": 9}}
    )
    (asked / "e.json").write_text("{")
    ended = gate(address, *sorted(asked.glob("*.json")), *([how] if how else []))
    assert ended.returncode == 1 and ended.stderr == "", ended.stderr
    a, b, c, d, e = ended.stdout.split(f"{asked}/")[1:]
    assert a == "a.json: holds\n"
    lines = b.splitlines()
    assert lines[0] == "b.json: falls short" and lines[1].startswith("    joint_pull: fail 3.59")
    assert ", limit 15 N. 10 beads of 9 mm hang on a core of 2 mm" in lines[1]
    place, _, value = lines[2].removeprefix("      remedy: ").partition(" (")[0].partition(" = ")
    assert place == "/params/core_diameter"
    assert "    /params/core_diameter: A core of 15 mm" in c and "    /params/taper: " in d
    assert e.startswith("e.json: falls short\n    no JSON: ") and e.endswith("1 of 5 hold\n")
    # The remedy that it prints opens it.
    mended = {**WEAK, "params": {**WEAK["params"], "core_diameter": json.loads(value)}}
    opened = gate(address, folder_of(tmp_path / "mended", b=mended) / "b.json")
    assert opened.returncode == 0 and opened.stdout.endswith("b.json: holds\n1 of 1 hold\n")


def test_what_is_silenced_is_let_pass_and_told(address: str, tmp_path: Path) -> None:
    silenced = {**WEAK, "checks": {"joint_pull": {"silence": True}}}
    ended = gate(address, folder_of(tmp_path / "asked", one=silenced) / "one.json")
    assert (
        ended.returncode == 0 and "one.json: holds\n    joint_pull: fails, and the request silences it." in ended.stdout
    )


def test_the_demo_falls_short_where_it_is_meant_to(address: str) -> None:
    ended = gate(address, *sorted(DEMO.glob("0*.json")))
    short = {Path(line.partition(":")[0]).stem for line in ended.stdout.splitlines() if line.endswith(": falls short")}
    assert ended.returncode == 1 and short == {"05_beads_that_part", "06_core_too_thin"}


def test_a_bait_that_failed_falls_short_with_its_reason(tmp_path: Path) -> None:
    with stand_in({"/v1/baits": [Scripted(201, bait("failed"), {"Location": PLACE})]}) as there:
        ended = gate(there.address, folder_of(tmp_path / "asked", one=GOOD) / "one.json", "--build")
    assert ended.returncode == 1
    assert "one.json: falls short\n    failed: " in ended.stdout and "The solid took too long." in ended.stdout


def test_what_could_not_be_tried_is_no_bait_s_fault(tmp_path: Path) -> None:
    one = folder_of(tmp_path / "asked", one=GOOD) / "one.json"
    with stand_in({"/v1/estimates": [problem(503, "Full.", Retry_After="60")]}) as there:
        busy = gate(there.address, one, "--patience", "2")
    assert busy.returncode == 2 and "one.json: not tried\n    busy: Full." in busy.stdout
    gone = gate(there.address, one, "--patience", "1")
    assert gone.returncode == 2 and "not tried: no answer" in gone.stdout and gone.stderr == ""
    assert gate(there.address, tmp_path / "none.json").returncode == 2
    assert gate(there.address).returncode == 2
