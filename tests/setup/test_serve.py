"""`serve` and `demo`: the whole stack, from its start to nothing being left of it."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import psutil
import pytest

from service.stack.client import Client, DemoFailed
from service.stack.demo import build_all, folder_names, read_requests
from service.stack.demo_stack import running_stack
from service.stack.demo_table import row, table, verdicts
from service.stack.serve import claimable_port
from tests.setup.fakes import ROOT
from tests.stack import eventually


class Served:
    """`python -m service.stack.serve` on a free port."""

    def __init__(self, state: Path, **settings: str) -> None:
        environment = os.environ | {"POURWRIGHT_STATE_DIR": str(state), "POURWRIGHT_PORT": "0"} | settings
        self.process = subprocess.Popen(
            [sys.executable, "-m", "service.stack.serve"],
            cwd=ROOT,
            env=environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )

    def listening(self) -> str:
        """Its first line, once it is up."""
        assert self.process.stdout
        return self.process.stdout.readline()

    def end(self) -> tuple[int, str]:
        said = self.process.communicate(timeout=90)[1]
        return self.process.returncode, said


@pytest.fixture
def serve(tmp_path: Path) -> Iterator[Served]:
    served = Served(tmp_path / "state")
    yield served
    if served.process.poll() is None:
        served.process.kill()
    served.process.communicate()


def processes(served: Served) -> list[psutil.Process]:
    """It and all below it."""
    top = psutil.Process(served.process.pid)
    return [top, *top.children(recursive=True)]


def are_gone(known: list[psutil.Process]) -> bool:
    return not any(one.is_running() and one.status() != psutil.STATUS_ZOMBIE for one in known)


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_serve_runs_all_of_it_and_stops_all_in_order(serve: Served, number: signal.Signals) -> None:
    assert serve.listening().startswith("Pourwright listens on http://127.0.0.1:")
    known = processes(serve)
    commands = [" ".join(one.cmdline()) for one in known]
    for part in ("-server", "worker.jobs", "worker.hooks", "gunicorn"):
        assert any(part in command for command in commands), commands
    serve.process.send_signal(number)
    code, said = serve.end()
    assert code == 0 and "killed" not in said
    assert are_gone(known)


@pytest.mark.faults
@pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells a child of its parent's end")
def test_nothing_outlives_a_killed_serve(serve: Served) -> None:
    serve.listening()
    known = processes(serve)
    serve.process.kill()
    serve.end()
    eventually(lambda: are_gone(known), 60)


def test_a_port_that_is_taken_is_said_before_anything_starts(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        code, said = Served(tmp_path / "state", POURWRIGHT_PORT=str(port)).end()
    assert code == 1 and said.count("\n") == 1
    assert f"port {port}: another program listens on it" in said and "POURWRIGHT_PORT" in said
    assert not (tmp_path / "state").exists()


def test_settings_that_cannot_be_used_are_named_at_once(tmp_path: Path) -> None:
    code, said = Served(tmp_path / "state", POURWRIGHT_WORKERS="none", POURWRIGHT_HOST="a b").end()
    assert code == 2 and "POURWRIGHT_WORKERS" in said and "POURWRIGHT_HOST" in said and "Traceback" not in said


def test_a_free_port_can_be_listened_on() -> None:
    port = claimable_port("127.0.0.1", 0)
    with socket.create_server(("127.0.0.1", port)):
        assert port > 0


@pytest.mark.proof
def test_demo_builds_writes_and_leaves_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every request that ships with us, and one that the service refuses."""
    requests = [*read_requests(ROOT / "demo_requests"), {"label": "No such", "style": "anvil"}]
    others = set(psutil.Process().children(recursive=True))  # stores and stacks that other tests keep
    with running_stack() as (client, log):
        state = log.parent
        known = [child for child in psutil.Process().children(recursive=True) if child not in others]
        rows, failures = build_all(client, requests, tmp_path / "out")
    assert are_gone(known) and len(known) > 4 and not state.exists()
    assert [line[0] for line in rows] == [request["label"] for request in requests]
    assert rows[-1][-2] == "not built" and all(line[-2] != "not built" for line in rows[:-1])
    assert len(failures) == 1 and failures[0].startswith("No such: POST /v1/baits was answered 422")
    for name in folder_names([request["label"] for request in requests[:-1]]):
        assert {"bait.stl", "metrics.json"} <= {file.name for file in (tmp_path / "out" / name).iterdir()}
    assert any("fail: " in line[-2] for line in rows), "the demo is to show a bad bait, too"
    printed = capsys.readouterr().out
    assert "Remedy: " in printed and f"{len(requests)}/{len(requests)}  No such ... not built" in printed


def test_labels_become_safe_folder_names_no_two_alike() -> None:
    labels = ["Weir 4-1/2", "weir 4-1-2", "../../etc", "", "  . ", 'Äsche 5"', "x" * 300, "a\x00b\nc"]
    names = folder_names(labels)
    assert names[:3] == ["Weir 4-1-2", "weir 4-1-2 2", "etc"]
    assert names[3:6] == ["bait", "bait 2", "Äsche 5"]
    assert len(names[6]) == 60 and names[7] == "a-b-c"


def test_a_request_file_that_is_no_request_is_named(tmp_path: Path) -> None:
    with pytest.raises(DemoFailed, match="There is no request"):
        read_requests(tmp_path)
    (tmp_path / "first.json").write_text("[1]")
    with pytest.raises(DemoFailed, match=r"first\.json .* is not a request"):
        read_requests(tmp_path)
    (tmp_path / "first.json").write_text("{")
    with pytest.raises(DemoFailed, match=r"first\.json .* is not JSON"):
        read_requests(tmp_path)
    (tmp_path / "first.json").write_text(json.dumps({"style": "beaded_worm"}))
    assert read_requests(tmp_path) == [{"label": "first", "style": "beaded_worm"}]


def test_a_service_that_is_away_is_told_in_a_sentence() -> None:
    port = claimable_port("127.0.0.1", 0)
    with pytest.raises(DemoFailed, match=r"POST /v1/baits got no answer: .*refused"):
        Client("127.0.0.1", port).build({"style": "beaded_worm"}, 1)


def test_table_shows_verdicts_by_name_and_leaves_silenced_ones_out() -> None:
    def check(name: str, verdict: str, silenced: bool = False) -> dict[str, object]:
        return {"check": name, "verdict": verdict, "silenced": silenced}

    checks = [check("overlap", "fail"), check("joint_pull", "caution"), check("thin_feature", "pass")]
    assert verdicts([*checks, check("undercut", "fail", True)]) == "fail: overlap; caution: joint_pull; 1 pass"
    metrics = {"length_mm": 127, "max_width_mm": 9, "volume_mm3": 6441.9, "weakest_joint": None, "pieces": 3}
    lines = table([row("A label", {"metrics": metrics, "checks": []}, 0.5), row("B", None, 1)]).splitlines()
    assert lines[2].split("  ")[0] == "A label" and "none, in 3 pieces" in lines[2]
    right_edge = lines[0].index("volume mm3") + len("volume mm3")
    assert lines[2][:right_edge].endswith(" 6441.9") and lines[3][:right_edge].endswith(" -")
    assert "not built" in lines[3]


DEMO_STACK = """
import signal, time
signal.signal(signal.SIGINT, signal.default_int_handler)  # a shell's background jobs are started deaf to it
from service.stack.demo_stack import running_stack
try:
    with running_stack() as (client, log):
        print(log.parent, flush=True)
        time.sleep(600)
except KeyboardInterrupt:
    print("ended", flush=True)
"""


@pytest.mark.faults
def test_ctrl_c_ends_a_demo_and_more_of_them_only_hurry_it() -> None:
    demo = subprocess.Popen(
        [sys.executable, "-c", DEMO_STACK], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert demo.stdout
    state = Path(demo.stdout.readline().strip())
    assert state.is_dir()
    known = psutil.Process(demo.pid).children(recursive=True)
    assert len(known) > 4
    while demo.poll() is None and state.exists():  # an impatient thumb
        demo.send_signal(signal.SIGINT)
        with suppress(subprocess.TimeoutExpired):
            demo.wait(0.1)
    said, complaint = demo.communicate()
    assert (said, complaint) == ("ended\n", "")
    assert are_gone(known) and not state.exists()
