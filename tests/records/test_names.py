"""Names that can stand in a key, a path and a job's id."""

from __future__ import annotations

import re

import pytest
from rq.job import validate_job_id

from worker.records import batch_scripts, names, outbox_scripts, script_parts, scripts
from worker.records.names import AttemptName, BaitName

ID = "0123456789abcdef" * 4


@pytest.mark.parametrize("caller", ["local", "a", "a-b_c", "0" * 64])
def test_a_job_id_can_be_read_back_and_is_one_that_the_queue_takes(caller: str) -> None:
    attempt = BaitName(caller, ID).attempt(12)
    validate_job_id(attempt.job_id)
    assert AttemptName.parse(attempt.job_id) == attempt
    assert BaitName.parse(attempt.bait.member) == attempt.bait


def test_equal_baits_of_two_callers_are_two_jobs() -> None:
    assert BaitName("a", ID).attempt(1).job_id != BaitName("b", ID).attempt(1).job_id


@pytest.mark.parametrize("caller", ["", "..", ".aside", "a/b", "a:b", "A", "a" * 65, "a\n", "é"])
def test_what_could_not_stand_in_a_path_or_key_is_no_caller(caller: str) -> None:
    with pytest.raises(ValueError, match="is not a caller"):
        BaitName(caller, ID)


@pytest.mark.parametrize("bait_id", ["", ID[:-1], ID + "0", ID.upper(), "../" + ID[3:], ID + "\n"])
def test_what_is_no_digest_is_no_bait(bait_id: str) -> None:
    with pytest.raises(ValueError, match="is not a bait's id"):
        BaitName("local", bait_id)


@pytest.mark.parametrize("job_id", ["", ID, f"local-{ID}", f"local-{ID}-0", f"local-{ID}-x", f"-{ID}-1"])
def test_what_is_none_of_our_jobs(job_id: str) -> None:
    with pytest.raises(ValueError, match="is not the id of one of our jobs"):
        AttemptName.parse(job_id)


def test_scripts_write_no_name_that_is_not_here() -> None:
    scripts_of = (scripts, script_parts, batch_scripts, outbox_scripts)
    texts = [text for module in scripts_of for text in vars(module).values() if isinstance(text, str)]
    written = {found for text in texts for found in re.findall(r"\bP \.\. '([^']*)'", text)}
    bait = BaitName("a", "0" * 64)
    made = [
        *(value for value in vars(names).values() if isinstance(value, str) and value.startswith(names.PREFIX)),
        *(bait.record, bait.ending, bait.wants),
        *(one("x") for one in (names.steward, names.worker, names.webhooks, names.open_batches)),
        *(one("x") for one in (names.plastics, names.house_styles)),
        *(one("x") for one in (names.hook_standings, names.messages, names.deliveries)),
        *(one("single", "x") for one in (names.line, names.poured_in, names.open_batch)),
        *(one(lane) for lane in names.LANES for one in (names.lane_callers, names.in_flight)),
    ]
    known = {name.removeprefix(names.PREFIX) for name in made}
    assert len(written) > 15 and "outbox" in written
    for name in written:
        assert name in known or any(one.startswith(name) for one in known if name.endswith(":")), name
    assert not [text for text in texts if "'pourwright" in text.replace(f"local P = '{names.PREFIX}'", "")]
