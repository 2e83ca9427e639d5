"""The settings themselves, and reading all of them at once."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from worker.errors import Fault, SettingsInvalid
from worker.settings import kinds
from worker.settings.kinds import PREFIX, Setting, choice, declare, whole


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """All settings, checked. Each field is read from POURWRIGHT_ and its name in capitals."""

    host: str = declare(
        "127.0.0.1",
        "host",
        "a host name or an IP address",
        "Address on which the service listens; without keys, loopback alone.",
        kinds.host,
    )
    port: int = whole(8080, 0, 65535, "Port on which the service listens; 0 takes a free one.")
    store_url: str | None = declare(
        None,
        "URL",
        "a redis://, rediss:// or unix:// URL",
        "The Redis or Valkey server; unset, we run our own.",
        kinds.store_url,
        secret=True,
    )
    state_dir: Path = declare(  # noqa: RUF009 - a dataclass field by another name
        kinds.state_folder,
        "folder",
        "a folder",
        "Keys, with our own store its data, and what POURWRIGHT_ARTIFACTS does not put elsewhere.",
        kinds.folder,
    )
    artifacts: Path | str | None = declare(  # noqa: RUF009
        None,
        "folder or bucket",
        "a folder, or s3:// with a bucket's name and up to 8 folders in it",
        "Finished baits and batches, for all hosts of one store; unset, the state folder.",
        kinds.artifacts,
    )
    aws_endpoint_url: str | None = declare(
        None,
        "URL",
        "http:// or https:// with a host, perhaps a port, and no path",
        "Where the bucket's server is; unset, that of the region at AWS.",
        kinds.endpoint,
        variable="AWS_ENDPOINT_URL",
    )
    aws_region: str = declare(
        "us-east-1",
        "region",
        "up to 64 of a-z, 0-9 and -",
        "The region of the bucket.",
        kinds.region,
        variable="AWS_REGION",
    )
    aws_access_key_id: str | None = declare(
        None,
        "word",
        "a word of up to 4096 printable ASCII characters",
        "Who we are to the bucket; unset, whom the machine, container or workload is given to be.",
        kinds.credential,
        variable="AWS_ACCESS_KEY_ID",
    )
    aws_secret_access_key: str | None = declare(
        None,
        "secret",
        "a word of up to 4096 printable ASCII characters",
        "What proves it; with AWS_ACCESS_KEY_ID or not at all.",
        kinds.credential,
        secret=True,
        variable="AWS_SECRET_ACCESS_KEY",
    )
    aws_session_token: str | None = declare(
        None,
        "secret",
        "a word of up to 4096 printable ASCII characters",
        "What goes with both where they are good for a time only.",
        kinds.credential,
        secret=True,
        variable="AWS_SESSION_TOKEN",
    )
    keys_file: Path | None = declare(  # noqa: RUF009
        None, "file", "a file in a folder", "The keys of callers; unset, keys.json in the state folder.", kinds.file
    )
    try_key: str | None = declare(
        None,
        "id",
        "the id of a key, 12 hex digits as `make keys` lists them",
        "The key that the page at /try calls through, with its rate for all who use it; unset, there is no page where "
        "there are keys.",
        kinds.key_id,
    )
    cors_origins: tuple[str, ...] = declare(
        (),
        "origins",
        "a list of origins parted by commas, such as https://shop.example, without path or *",
        "Origins whose pages a browser may let read the answers.",
        kinds.origins,
    )
    link_secrets: tuple[str, ...] = declare(
        (),
        "secrets",
        "a list of secrets parted by commas, each of 32 to 256 letters, digits and _+/=-",
        "What signs links to files: the first signs, all verify; unset, the file link_secrets in the state folder.",
        kinds.link_secrets,
        secret=True,
    )
    workers: int = whole(kinds.cores, 1, 256, "Worker processes; each builds one bait at a time.")
    job_limit_s: int = whole(30, 1, 3600, "Seconds that one build may take; it is ended two seconds later at most.")
    job_memory_mib: int = whole(2048, 1024, 1_048_576, "Address space in MiB that one build may take.")
    fit_limit_s: int = whole(600, 1, 86_400, "Seconds that one fit may take; it is ended two seconds later at most.")
    queue_limit: int = whole(100, 1, 1_000_000, "Single baits that may wait; more are refused with 503.")
    fit_queue_limit: int = whole(100, 1, 1_000_000, "Fits that may wait; more are refused with 503.")
    batch_queue_limit: int = whole(10_000, 1, 10_000_000, "Baits of batches that may wait; more are refused with 503.")
    batch_queue_limit_per_caller: int = whole(2000, 1, 10_000_000, "The same of one caller.")
    batch_days: int = whole(30, 1, 36_500, "Days for which a batch can be looked at once it has ended; its baits stay.")
    estimates_per_minute: int = whole(
        1200,
        0,
        1_000_000,
        "Estimates, and measurements of plastics, that a caller with a key may ask for in a minute, then 429; 0: any "
        "number.",
    )
    baits_per_minute: int = whole(
        600, 0, 1_000_000, "Baits that a caller with a key may ask for in a minute, then 429; 0: any number."
    )
    batches_per_minute: int = whole(
        60, 0, 1_000_000, "Batches that a caller with a key may ask for in a minute, then 429; 0: any number."
    )
    fits_per_minute: int = whole(
        120, 0, 1_000_000, "Fits that a caller with a key may ask for in a minute, then 429; 0: any number."
    )
    links_per_minute: int = whole(
        600, 0, 1_000_000, "Links that a caller with a key may ask for in a minute, then 429; 0: any number."
    )
    changes_per_minute: int = whole(
        120,
        0,
        1_000_000,
        "Times that a caller with a key may put or remove plastics and webhooks in a minute, then 429; 0: any number.",
    )
    keep_hours: int = whole(
        720, 0, 1_000_000, "Hours for which a bait is kept after it was last asked for, then 404; 0: any time."
    )
    keep_mib: int = whole(
        10_240, 0, 1_000_000_000, "MiB of finished baits that are kept, those asked for last; 0: any amount."
    )
    sweep_every_s: int = whole(300, 1, 86_400, "Seconds between two looks for baits that are to be removed.")
    web_threads: int = whole(64, 2, 1024, "Threads of the service.")
    waiters: int = whole(48, 0, 1023, "Requests that may wait for a bait at once; fewer than the threads.")
    estimate_waiting: int = whole(8, 0, 1000, "Estimates that may wait their turn; more are refused with 503.")
    drawing_waiting: int = whole(16, 0, 1000, "Drawings that may wait their turn; more are refused with 503.")
    body_limit_bytes: int = whole(262_144, 1024, 67_108_864, "Largest body of a request, in bytes; above it 413.")
    webhook_origins: tuple[str, ...] = declare(
        (),
        "origins",
        "a list of origins parted by commas, such as http://127.0.0.1:9000, without path or *",
        "Origins that webhooks may lead to although they are private, plain http or on another port.",
        kinds.origins,
    )
    webhook_limit_s: int = whole(20, 1, 60, "Seconds that one delivery to a webhook may take.")
    metrics_port: int = whole(0, 0, 65535, "Port of `/metrics`, beside the service's own; 0: none.")
    metrics_host: str = declare(
        "127.0.0.1",
        "host",
        "a host name or an IP address",
        "Address on which `/metrics` is served; it asks for no key.",
        kinds.host,
    )
    log_format: str = choice("json", ("json", "text"), "A JSON object a line, or plain text.")
    log_level: str = choice("info", ("debug", "info", "warning", "error"), "Least level of what is logged.")


SETTINGS: tuple[Setting, ...] = tuple(
    Setting(one.metadata["variable"] or PREFIX + one.name.upper(), *one.metadata["declared"])
    for one in fields(Settings)
)


def load(environ: Mapping[str, str] = os.environ) -> Settings:
    """Read all settings. Raises SettingsInvalid that names each one that cannot be used and what it takes."""
    values: dict[str, Any] = {}
    wrong: list[Fault] = []
    for setting, one in zip(SETTINGS, fields(Settings), strict=True):
        try:
            values[one.name] = setting.value(environ)
        except ValueError as reason:
            wrong.append(Fault(f"/{setting.name}", "not-allowed", str(reason), setting.allowed))
    if "waiters" in values and "web_threads" in values and values["waiters"] >= values["web_threads"]:
        detail = (
            f"POURWRIGHT_WAITERS: {values['waiters']} is not fewer than POURWRIGHT_WEB_THREADS "
            f"({values['web_threads']}), and someone must answer while they wait"
        )
        wrong.append(Fault("/POURWRIGHT_WAITERS", "not-together", detail, f"at most {values['web_threads'] - 1}"))
    in_bucket = isinstance(values.get("artifacts"), str)
    if in_bucket and (values.get("aws_access_key_id") is None) != (values.get("aws_secret_access_key") is None):
        lacking = "AWS_ACCESS_KEY_ID" if values.get("aws_access_key_id") is None else "AWS_SECRET_ACCESS_KEY"
        if not any(fault.pointer == f"/{lacking}" for fault in wrong):
            detail = f"{lacking}: unset, and the other of AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY is set"
            wrong.append(Fault(f"/{lacking}", "not-together", detail, "both or neither"))
    if wrong:
        raise SettingsInvalid("; ".join(fault.detail for fault in wrong), wrong)
    return Settings(**values)
