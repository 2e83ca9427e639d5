"""A batch that is not taken leaves no document behind, and its caller hears why, whatever else goes wrong then."""

from __future__ import annotations

import pytest

from tests.stack import Stack, please
from worker.errors import ArtifactsUnavailable, Busy, PourwrightError
from worker.records.artifacts import FolderArtifacts
from worker.records.batch_documents import BatchDocuments
from worker.records.batches import Batches, Item

ITEMS = [Item(number, None, please("nothing", n=number)) for number in range(3)]
AWAY = ArtifactsUnavailable("The bucket does not answer.")


def raising(error: Exception) -> object:
    def call(*_: object, **__: object) -> None:
        raise error

    return call


def documents(records: Stack) -> list[str]:
    return [one.name for one in records.settings.state_dir.glob("batches/**/*") if one.is_file()]


def test_one_that_the_bucket_of_baits_keeps_from_being_taken(records: Stack, monkeypatch: pytest.MonkeyPatch) -> None:
    batches = Batches.open(records.settings)
    with monkeypatch.context() as patched, pytest.raises(ArtifactsUnavailable):
        patched.setattr(FolderArtifacts, "note_uses", raising(AWAY))
        batches.submit("local", ITEMS)
    assert documents(records) == []
    assert batches.submit("local", ITEMS).status == "accepted" and documents(records)


@pytest.mark.parametrize("trouble", [AWAY, OSError("read-only")])
def test_why_it_was_not_taken_is_told_though_its_document_stays(
    records: Stack, monkeypatch: pytest.MonkeyPatch, trouble: Exception
) -> None:
    batches = Batches.open(records.settings)
    batches._most = 1
    monkeypatch.setattr(BatchDocuments, "delete", raising(trouble))
    with pytest.raises((PourwrightError, OSError)) as told:
        batches.submit("local", ITEMS)
    assert isinstance(told.value, Busy)
