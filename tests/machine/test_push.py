"""Messages to browsers, by way of a push service on this machine that decrypts them."""

from __future__ import annotations

import json
import ssl
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from email.utils import format_datetime
from time import monotonic
from typing import TYPE_CHECKING

import pytest

from coach.machine import push, vapid
from coach.machine.delivery import SENT, seconds_of
from coach.machine.outside import INTERNET, Outside
from coach.machine.push import Push, endpoint_fault, sent
from coach.machine.push_encryption import recipient
from machine.push_service import Browser, PushService

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.machine.delivery import Delivery

NOW = datetime(2027, 1, 25, 7, 30, tzinfo=UTC)
SAYS = {"title": "Make the bed", "body": "4 lines today"}
BROWSER = Browser()
KEY = vapid.new_key()
UNANSWERED = "The push service did not say whether it took the message."
CONTACT = "mailto:keeper@tern-street.example"


@pytest.fixture(scope="module")
def running(tmp_path_factory: pytest.TempPathFactory) -> Iterator[PushService]:
    with PushService(tmp_path_factory.mktemp("push")) as service:
        yield service


@pytest.fixture
def service(running: PushService) -> PushService:
    running.status, running.headers, running.raw = 201, {}, None
    running.got.clear()
    return running


def message(service: PushService) -> Push:
    return Push(
        service.endpoint,
        recipient(BROWSER.key, BROWSER.auth),
        json.dumps(SAYS).encode(),
        ttl=6 * 3600,
        topic="today",
        authorization=vapid.authorization(KEY, service.endpoint, NOW, CONTACT),
    )


def send(service: PushService) -> Delivery:
    return sent(message(service), service.outside())


def test_a_message_arrives_and_only_the_browser_reads_it(service: PushService) -> None:
    assert send(service) == SENT
    assert service.read(BROWSER) == SAYS
    ((path, headers, body),) = service.got
    assert path == "/send/abc?d=1"
    assert {name: headers[name] for name in ("ttl", "topic", "urgency", "content-encoding")} == {
        "ttl": "21600",
        "topic": "today",
        "urgency": "low",
        "content-encoding": "aes128gcm",
    }
    assert headers["authorization"].startswith("vapid t=")
    assert b"bed" not in body


@pytest.mark.parametrize("status", [404, 410])
def test_a_subscription_that_is_over_is_gone(service: PushService, status: int) -> None:
    service.status = status
    assert send(service).result == "gone"


@pytest.mark.parametrize(
    ("status", "retry_after", "wait"),
    [(429, "120", 120), (503, "", None), (500, "soon", None), (429, "9" * 12, 86400)],
)
def test_a_service_that_is_busy_is_asked_again_later(
    service: PushService, status: int, retry_after: str, wait: int | None
) -> None:
    service.status = status
    service.headers = {"Retry-After": retry_after} if retry_after else {}
    found = send(service)
    assert (found.result, found.wait) == ("later", wait)
    assert str(status) in found.why


@pytest.mark.parametrize("status", [301, 302, 307, 308, 400, 401, 403, 413])
def test_what_it_does_not_take_is_refused_and_nobody_is_followed_elsewhere(
    service: PushService, status: int
) -> None:
    service.status, service.headers = status, {"Location": service.endpoint, "Content-Length": "0"}
    assert send(service).result == "refused"
    assert len(service.got) == 1


@pytest.mark.parametrize(
    "raw",
    [
        b"",
        b"SSH-2.0-x\r\n\r\n",
        b"HTTP/1.1 201 " + b"x" * 70_000,
        b"HTTP/1.1 100 Continue\r\n\r\n" * 3000,
        b"HTTP/1.1 201 Created\r\n" + b"X: y\r\n" * 9000,
    ],
    ids=["nothing", "another protocol", "a long line", "only promises", "a long head"],
)
def test_an_answer_that_is_none_is_read_no_further_than_it_may(service: PushService, raw: bytes) -> None:
    service.raw = raw
    found = send(service)
    assert (found.result, found.why) == ("refused", UNANSWERED)


def test_a_service_that_is_slow_is_waited_for_so_long_and_no_longer(
    service: PushService, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(push, "SECONDS", 0.3)
    service.raw = b"HTTP/1.1 201 Created\r\n"
    service.pause = 1.0
    began = monotonic()
    try:
        assert send(service).why == UNANSWERED
    finally:
        service.pause = 0.0
    assert monotonic() - began < 0.9


def test_a_host_that_cannot_prove_its_name_is_told_nothing(service: PushService) -> None:
    as_other = service.outside("push.example.org")
    endpoint = service.endpoint.replace("example.net", "example.org")
    found = sent(replace(message(service), endpoint=endpoint), as_other)
    assert (found.result, service.got) == ("later", [])
    assert "not valid for 'push.example.org'" in found.why


def test_a_host_whose_certificate_nobody_vouches_for_is_told_nothing(service: PushService) -> None:
    stranger = replace(service.outside(), context=ssl.create_default_context)
    assert sent(message(service), stranger).result == "later"
    assert service.got == []


def test_the_service_itself_connects_to_nothing_on_this_machine(service: PushService) -> None:
    inside = replace(INTERNET, look_up=lambda *_: ("127.0.0.1",), ports=frozenset({service.port}))
    found = sent(message(service), inside)
    assert (found.result, service.got) == ("refused", [])
    assert sent(message(service)).result == "refused"


@pytest.mark.parametrize(
    "endpoint",
    [
        "",
        "push.example.net",
        "http://push.example.net/x",
        "ftp://push.example.net/x",
        "https:///x",
        "https://ana@push.example.net/x",
        "https://push.example.net\\@127.0.0.1/x",
        "https://push.example.net:22/x",
        "https://push.example.net:http/x",
        "https://push.example.net/x y",
        "https://push.example.net/x\r\nHost: y",
        "https://push.example.net/ü",
        "https://[::1]/x",
        "https://[::1/x",
        "https://127.0.0.1/x",
        "https://2130706433/x",
        "https://localhost/x",
        "https://router.local/x",
        "https://push.example.net/" + "x" * 2048,
    ],
)
def test_an_address_that_is_no_push_service_is_refused_with_words(endpoint: str) -> None:
    public = Outside(look_up=lambda *_: ("8.8.8.8",))
    said = endpoint_fault(endpoint, public)
    assert said.endswith((".", "out."))
    assert "127.0.0.1/x" not in said


@pytest.mark.parametrize(
    "address", ["127.0.0.1", "192.168.1.1", "10.0.0.1", "::1", "fe80::1%eth0", "169.254.169.254"]
)
def test_a_name_that_leads_home_is_refused_as_somebody_subscribes(address: str) -> None:
    said = endpoint_fault("https://push.example.net/x", Outside(look_up=lambda *_: (address,)))
    assert said == "push.example.net leads to this machine, a private network or nowhere in the internet."


def test_a_push_service_of_the_internet_is_taken_and_one_that_is_not_found_is_not() -> None:
    there, nowhere = Outside(look_up=lambda *_: ("8.8.8.8",)), Outside(look_up=lambda *_: ())
    assert endpoint_fault("https://push.example.net/x", there) == ""
    assert "not found" in endpoint_fault("https://push.example.net/x", nowhere)


@pytest.mark.parametrize("topic", ["", "x" * 33, "to day", "heute,", "día"])
def test_a_topic_that_push_services_refuse_goes_nowhere(service: PushService, topic: str) -> None:
    assert sent(replace(message(service), topic=topic), service.outside()).result == "refused"
    assert service.got == []


def test_a_service_is_asked_to_keep_a_message_for_a_day_at_most(service: PushService) -> None:
    for ttl in (-5, 10**9):
        sent(replace(message(service), ttl=ttl), service.outside())
    assert [headers["ttl"] for _, headers, _ in service.got] == ["0", "86400"]


def test_a_wait_may_be_told_as_a_date() -> None:
    later = format_datetime(NOW + timedelta(minutes=5), usegmt=True)
    assert seconds_of(later, NOW) == 300
    assert seconds_of(format_datetime(NOW - timedelta(days=9), usegmt=True), NOW) == 0
