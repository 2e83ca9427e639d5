"""Where finished baits and batches are kept, as the settings have it: folders, or a bucket."""

from __future__ import annotations

from pathlib import Path

from worker.records.artifact_store import ArtifactStore
from worker.records.artifacts import FolderArtifacts
from worker.records.batch_documents import BatchDocuments, Documents
from worker.records.bucket import FOR_SERVICE, Bucket, Haste, Place
from worker.records.bucket_artifacts import BucketArtifacts
from worker.records.bucket_documents import BucketDocuments
from worker.settings import Settings


def open_artifacts(settings: Settings, haste: Haste = FOR_SERVICE, until: float | None = None) -> ArtifactStore:
    """The place of finished baits; a bucket is spoken to on first use, and not after `until` (monotonic seconds)."""
    place = bucket_of(settings)
    if place is None:
        return FolderArtifacts(_folder(settings))
    return BucketArtifacts(Bucket(place, haste, until))


def open_documents(settings: Settings, haste: Haste = FOR_SERVICE) -> Documents:
    """The place of what is kept of batches."""
    place = bucket_of(settings)
    return BatchDocuments(_folder(settings)) if place is None else BucketDocuments(Bucket(place, haste))


def bucket_of(settings: Settings) -> Place | None:
    """The bucket of these settings, where they name one."""
    if not isinstance(settings.artifacts, str):
        return None
    bucket, _, prefix = settings.artifacts.removeprefix("s3://").partition("/")
    return Place(
        bucket,
        prefix,
        settings.aws_endpoint_url,
        settings.aws_region,
        settings.aws_access_key_id,
        settings.aws_secret_access_key,
        settings.aws_session_token,
    )


def _folder(settings: Settings) -> Path:
    return settings.artifacts if isinstance(settings.artifacts, Path) else settings.state_dir
