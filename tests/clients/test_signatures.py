"""Whether the Python client tells signed calls from others: against the published example and the reference library."""

from __future__ import annotations

import json
from datetime import UTC, datetime

import pytest
from pourwright_client import NotSigned
from pourwright_client.webhooks import require_signed, verify
from standardwebhooks.webhooks import Webhook as Reference

# The worked example that the Standard Webhooks libraries share, in whose tests and guide it stands.
SECRET = "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"
OTHER = "whsec_C2FVsBQIhrscChlQIMV+b5sSYspob7oD"
BODY = b'{"test": 2432232314}'
SENT = 1614265330
HEADERS = {
    "Webhook-Id": "msg_p5jXN8AQM9LWM0D4loKWxJek",
    "Webhook-Timestamp": str(SENT),
    "Webhook-Signature": "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=",
}
EVENT = {
    "type": "fit.failed",
    "timestamp": "2026-03-04T05:06:07Z",
    "data": {
        "id": "ab",
        "status": "failed",
        "attempt": 1,
        "links": {"self": "/v1/fits/ab"},
        "problem": {"detail": "No."},
    },
}


def test_the_published_example_holds() -> None:
    assert require_signed(HEADERS, BODY, SECRET, now=SENT + 1) == "msg_p5jXN8AQM9LWM0D4loKWxJek"


def test_an_event_that_the_reference_library_signed_is_read() -> None:
    body = json.dumps(EVENT)
    now = datetime.now(UTC)
    signatures = [Reference(key).sign("msg_1", now, body) for key in (OTHER, SECRET)]
    headers = {"webhook-id": "msg_1", "webhook-timestamp": str(int(now.timestamp()))}
    headers["webhook-signature"] = " ".join(["v1a,AAAA", *signatures])
    for secrets in (SECRET, OTHER, [SECRET, OTHER], iter([OTHER])):
        event = verify(headers, body.encode(), secrets)
        assert (event.message, event.type, event.about, event.status) == ("msg_1", "fit.failed", "ab", "failed")
        assert event.problem is not None and event.problem.detail == "No."


@pytest.mark.parametrize(
    ("change", "body", "now"),
    [
        pytest.param({}, BODY + b" ", SENT, id="another body"),
        pytest.param({}, BODY, SENT + 301, id="too late"),
        pytest.param({}, BODY, SENT - 301, id="too early"),
        pytest.param({"Webhook-Id": "msg_2"}, BODY, SENT, id="another message"),
        pytest.param({"Webhook-Timestamp": str(SENT + 1)}, BODY, SENT, id="another time"),
        pytest.param({"Webhook-Timestamp": "soon"}, BODY, SENT, id="no time"),
        pytest.param({"Webhook-Timestamp": "١٦١٤٢٦٥٣٣٠"}, BODY, SENT, id="digits of another script"),
        pytest.param({"Webhook-Signature": ""}, BODY, SENT, id="no signature"),
        pytest.param({"Webhook-Signature": "v1,"}, BODY, SENT, id="an empty signature"),
        pytest.param({"Webhook-Signature": "v1,\u00e9"}, BODY, SENT, id="a signature that is no base64"),
        pytest.param(
            {"Webhook-Signature": HEADERS["Webhook-Signature"].replace("v1", "v2")}, BODY, SENT, id="another version"
        ),
    ],
)
def test_what_is_not_signed_is_refused(change: dict[str, str], body: bytes, now: int) -> None:
    with pytest.raises(NotSigned):
        require_signed({**HEADERS, **change}, body, SECRET, now=now)


def test_other_secrets_and_no_event_are_refused_and_no_secret_is_our_own_fault() -> None:
    with pytest.raises(NotSigned, match="none of the secrets"):
        require_signed(HEADERS, BODY, [OTHER], now=SENT)
    with pytest.raises(NotSigned, match="none of the secrets"):
        require_signed(HEADERS, BODY, [], now=SENT)
    with pytest.raises(NotSigned, match="no event"):
        verify(HEADERS, BODY, SECRET, now=SENT)
    with pytest.raises(ValueError, match="a secret is"):
        require_signed(HEADERS, BODY, "whsec_", now=SENT)
