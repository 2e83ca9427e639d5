"""`python -m worker.records.check_bucket`: try the bucket of this environment, in a process that forks no other.

0 where it will do or there is none, 1 where it does not answer, 2 where it will not do; the reason on standard error.
"""

from __future__ import annotations

import subprocess
import sys
import uuid

from worker.errors import ArtifactsUnavailable, SettingsInvalid
from worker.records.bucket import FOR_SERVICE, Bucket, refused
from worker.records.bucket_artifacts import ASIDE
from worker.records.places import bucket_of
from worker.settings import Settings, load


def check_bucket(settings: Settings) -> None:
    """Try all that we need. Raises SettingsInvalid where it would not do, ArtifactsUnavailable where it is away.

    A server that passes over `If-None-Match` would let a second writer win, and nobody would notice.
    """
    place = bucket_of(settings)
    if place is None:
        return
    # Under a name that a sweep removes where we do not.
    bucket, key, content = Bucket(place, FOR_SERVICE), f"{ASIDE}/removed-{uuid.uuid4().hex}", b'["local","",""]'
    try:
        made, again = bucket.create(key, content), bucket.create(key, content)
        listed = [one.key for one in bucket.below(ASIDE)]
        read = bucket.get(key)
        bucket.delete([key])
        left = bucket.look(key)
    except ArtifactsUnavailable as away:
        if (why := refused(away)) is None:
            raise
        raise SettingsInvalid(f"POURWRIGHT_ARTIFACTS: the bucket refuses us: {why}") from away
    if not made or again:
        raise SettingsInvalid("POURWRIGHT_ARTIFACTS: the bucket's server does not heed If-None-Match")
    if key not in listed or read != content or left is not None:
        raise SettingsInvalid("POURWRIGHT_ARTIFACTS: the bucket does not show at once what is written and removed")


def check_apart(settings: Settings) -> str | None:
    """The same for a process that is about to fork. Returns a caution where the bucket does not answer."""
    if bucket_of(settings) is None:
        return None
    done = subprocess.run([sys.executable, "-m", "worker.records.check_bucket"], stderr=subprocess.PIPE, text=True)
    said = done.stderr.strip().rpartition("\n")[2]
    if done.returncode == 2:
        raise SettingsInvalid(said)
    return said if done.returncode else None


def main() -> int:
    """See the module."""
    try:
        check_bucket(load())
    except (SettingsInvalid, ArtifactsUnavailable) as reason:
        print(reason.detail, file=sys.stderr)
        return 2 if isinstance(reason, SettingsInvalid) else 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
