"""One message to one browser, by way of its push service (RFC 8030)."""

from __future__ import annotations

import re
from dataclasses import dataclass
from time import monotonic
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import h11

from coach.errors import Malformed
from coach.machine.delivery import SENT, Delivery, cause_of, seconds_of
from coach.machine.outside import HTTPS, INTERNET, Refused, remaining
from coach.machine.push_encryption import encrypted

if TYPE_CHECKING:
    from socket import socket

    from coach.machine.outside import Outside
    from coach.machine.push_encryption import Recipient

SECONDS = 10
"""How long one message may take in all, with finding the service and shaking hands."""

ANSWER_BYTES = 16 * 1024
"""What is read of an answer; its headers are enough to know what came of the message."""

ENDPOINT_CHARACTERS = 2048
"""How long the address of a browser may be."""

TOPIC_CHARACTERS = 32
"""RFC 8030 §5.4."""

PADDED_TO = 2048
"""Bytes that every message is brought to, so that its length does not tell which lesson it names."""

MOST_TTL = 24 * 60 * 60
"""Seconds that a push service is asked to keep a message at most."""

_VISIBLE = re.compile(r"[!-~]+")
_TOPIC = re.compile(rf"[A-Za-z0-9_-]{{1,{TOPIC_CHARACTERS}}}")
_GONE = (404, 410)
_TOO_MANY, _FAILED = 429, 500


@dataclass(frozen=True, slots=True)
class Push:
    """A message to a browser.

    Attributes:
        endpoint: Where its push service takes messages for it.
        whom: What it is encrypted for.
        payload: What the browser reads.
        ttl: Seconds for which it is of use.
        topic: A later message of the same topic takes the place of one that still waits there.
        authorization: Who we are (`vapid.authorization`).
    """

    endpoint: str
    whom: Recipient
    payload: bytes
    ttl: int
    topic: str
    authorization: str


def endpoint_fault(endpoint: str, outside: Outside = INTERNET) -> str:
    """Why nothing is sent to an address, in words for whoever gave it; empty where it may be.

    It looks the name up, so that an address at home is refused before anything is kept.
    """
    try:
        outside.addresses(*_host_and_port(endpoint))
    except Refused as refused:
        return str(refused)
    except OSError:
        return "The push service of this browser is not found in the network. Try again when it is there."
    return ""


def sent(push: Push, outside: Outside = INTERNET) -> Delivery:
    """Send one message, and say what came of it."""
    until = monotonic() + SECONDS
    try:
        request, body = _request(push)
        name, port = _host_and_port(push.endpoint)
        with outside.connected(name, port, until) as line:
            talk = _asked(line, request, body, until)
            return _meaning(line, talk, until)
    except (Refused, Malformed) as refused:
        return Delivery("refused", str(refused))
    except (OSError, h11.ProtocolError) as error:
        return Delivery("later", f"The push service was not reached: {cause_of(error)}.")


def _host_and_port(endpoint: str) -> tuple[str, int]:
    """The host and port of an address.

    Raises:
        Refused: It is none that messages go to.
    """
    try:
        parts = urlsplit(endpoint)
        port = parts.port or HTTPS
    except ValueError:
        raise Refused("The address of the push service cannot be read.") from None
    if not _VISIBLE.fullmatch(endpoint) or len(endpoint) > ENDPOINT_CHARACTERS or "\\" in endpoint:
        raise Refused("The address of the push service cannot be read.")
    if parts.scheme != "https" or not parts.hostname or "@" in parts.netloc:
        raise Refused("The address of a push service begins with https:// and the name of its host.")
    return parts.hostname, port


def _request(push: Push) -> tuple[h11.Request, bytes]:
    if not _TOPIC.fullmatch(push.topic):
        raise Malformed(f"“{push.topic}” is no topic of a push message.")
    body = encrypted(push.payload, push.whom, PADDED_TO)
    parts = urlsplit(push.endpoint)
    target = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    headers = {
        "Host": parts.netloc,
        "Authorization": push.authorization,
        "Content-Encoding": "aes128gcm",
        "Content-Type": "application/octet-stream",
        "Content-Length": str(len(body)),
        "TTL": str(max(0, min(push.ttl, MOST_TTL))),
        "Topic": push.topic,
        "Urgency": "low",
        "Connection": "close",
    }
    return h11.Request(method="POST", target=target, headers=list(headers.items())), body


def _asked(line: socket, request: h11.Request, body: bytes, until: float) -> h11.Connection:
    """Send a request whole."""
    talk = h11.Connection(h11.CLIENT, max_incomplete_event_size=ANSWER_BYTES)
    line.settimeout(remaining(until))
    line.sendall(
        b"".join(talk.send(part) or b"" for part in (request, h11.Data(data=body), h11.EndOfMessage()))
    )
    return talk


def _answered(line: socket, talk: h11.Connection, until: float) -> h11.Response:
    """The head of the answer; where it leads elsewhere is not looked at."""
    taken = 0
    while True:
        event = talk.next_event()
        if isinstance(event, h11.Response):
            return event
        if event is h11.NEED_DATA:
            line.settimeout(remaining(until))
            got = line.recv(4096)
            taken += len(got)
            talk.receive_data(got)
        if taken > ANSWER_BYTES or isinstance(event, h11.ConnectionClosed):
            raise OSError("no answer that can be read")


def _meaning(line: socket, talk: h11.Connection, until: float) -> Delivery:
    """What the service says to a message that it has been sent."""
    try:
        answer = _answered(line, talk, until)
    except (OSError, h11.ProtocolError):
        # Better none than two.
        return Delivery("refused", "The push service did not say whether it took the message.")
    status = answer.status_code
    if 200 <= status < 300:  # noqa: PLR2004  what HTTP calls successful
        return SENT
    if status in _GONE:
        return Delivery("gone", "The browser has ended its subscription.")
    if status == _TOO_MANY or status >= _FAILED:
        headers = dict(answer.headers)
        wait = seconds_of(headers.get(b"retry-after", b"").decode("ascii", "replace"))
        return Delivery("later", f"The push service answers {status}.", wait)
    return Delivery("refused", f"The push service answers {status}.")
