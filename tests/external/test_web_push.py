"""Messages to browsers, against the standards' own examples and against another implementation.

Sources: M. Thomson, RFC 8291, Message Encryption for Web Push, 2017, §5 and appendix A,
https://www.rfc-editor.org/rfc/rfc8291; M. Thomson and P. Beverloo, RFC 8292, Voluntary Application Server
Identification (VAPID) for Web Push, 2017, §2 and §3, https://www.rfc-editor.org/rfc/rfc8292; the library
http-ece, by the author of both, which decrypts.
"""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import UTC, datetime, timedelta

import http_ece
import pytest
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.errors import Malformed
from coach.machine import base64url, vapid
from coach.machine.push_encryption import LAST_RECORD, MOST_BYTES, encrypted, recipient, sealed
from machine.push_service import Browser

SAYS = b"When I grow up, I want to be a watermelon"
OUR_KEY = "yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw"
ITS_PUBLIC = "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4"
ITS_KEY = "q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94"
AUTH = "BTBZMqHH6r4Tts7J_aSIgg"
SALT = "DGv6ra1nlYgDCS1FRnbzlw"
MESSAGE = (
    "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27ml"
    "mlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPT"
    "pK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN"
)
CONTACT = "mailto:keeper@tern-street.example"
ENDPOINT = "https://push.example.net:443/push/JzLQ3raZJfFBR0aqvOMsLrt54w4rJUsV"
NOW = datetime(2027, 1, 25, 7, 30, tzinfo=UTC)


def bytes_of(text: str) -> bytes:
    return base64url.read(text, "It")


def private(text: str) -> ec.EllipticCurvePrivateKey:
    return ec.derive_private_key(int.from_bytes(bytes_of(text), "big"), ec.SECP256R1())


def test_the_example_of_rfc_8291_byte_for_byte() -> None:
    made = sealed(SAYS + LAST_RECORD, recipient(ITS_PUBLIC, AUTH), private(OUR_KEY), bytes_of(SALT))
    assert made == bytes_of(MESSAGE)


def test_the_browser_of_that_example_reads_it() -> None:
    read = http_ece.decrypt(bytes_of(MESSAGE), private_key=private(ITS_KEY), auth_secret=bytes_of(AUTH))
    assert read == SAYS


@settings(deadline=None, max_examples=30)
@given(st.binary(max_size=MOST_BYTES), st.sampled_from([0, 1024]))
def test_another_implementation_reads_what_we_send_whatever_it_says(message: bytes, padded_to: int) -> None:
    browser = Browser()
    body = encrypted(message, recipient(browser.key, browser.auth), padded_to)
    assert browser.read(body) == message
    assert len(body) <= 4096


def test_the_length_of_a_message_tells_nothing_of_it() -> None:
    browser = Browser()
    whom = recipient(browser.key, browser.auth)
    assert len({len(encrypted(b"x" * length, whom, 1024)) for length in (0, 1, 500, 1024)}) == 1


def test_no_two_messages_have_a_key_or_a_salt_in_common() -> None:
    browser = Browser()
    whom = recipient(browser.key, browser.auth)
    made = [encrypted(SAYS, whom) for _ in range(5)]
    assert len({one[:16] for one in made}) == len({one[21:86] for one in made}) == 5


def test_what_is_too_long_for_every_push_service_is_refused() -> None:
    with pytest.raises(Malformed, match="at most 3993 bytes"):
        encrypted(b"x" * (MOST_BYTES + 1), recipient(ITS_PUBLIC, AUTH))


@pytest.mark.parametrize(
    ("key", "auth"),
    [
        ("", AUTH),
        (ITS_PUBLIC, ""),
        (ITS_PUBLIC, AUTH + "AA"),
        ("B" + "A" * 86, AUTH),
        (ITS_PUBLIC[:-1] + "8", AUTH),
        ("?" * 87, AUTH),
        (ITS_PUBLIC, "ö" * 22),
    ],
)
def test_keys_of_a_browser_that_are_none_are_refused(key: str, auth: str) -> None:
    with pytest.raises(Malformed):
        recipient(key, auth)


def read_token(header: str) -> tuple[dict[str, object], dict[str, object]]:
    """The two halves of a token, after its signature was found to be that of the key beside it."""
    assert header.startswith("vapid t=")
    token, key = header.removeprefix("vapid t=").split(", k=")
    said, _, signature = token.rpartition(".")
    raw = bytes_of(signature)
    numbers = int.from_bytes(raw[:32], "big"), int.from_bytes(raw[32:], "big")
    public = ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), bytes_of(key))
    public.verify(encode_dss_signature(*numbers), said.encode(), ec.ECDSA(hashes.SHA256()))
    head, claims = (json.loads(bytes_of(part)) for part in said.split("."))
    return head, claims


def test_a_token_says_who_sends_to_whom_and_until_when_and_its_signature_holds() -> None:
    key = vapid.new_key()
    header = vapid.authorization(key, ENDPOINT, NOW, CONTACT)
    head, claims = read_token(header)
    assert head == {"typ": "JWT", "alg": "ES256"}
    assert (claims["aud"], claims["sub"]) == ("https://push.example.net", CONTACT)
    assert header.endswith(f", k={vapid.public_key(key)}")


@given(st.datetimes(datetime(2026, 1, 1), datetime(2030, 1, 1), timezones=st.just(UTC)))  # noqa: DTZ001
@settings(deadline=None, max_examples=40)
def test_a_token_ends_within_a_day_and_lasts_for_hours(now: datetime) -> None:
    _, claims = read_token(vapid.authorization(OUR_KEY, ENDPOINT, now, CONTACT))
    ends = datetime.fromtimestamp(int(str(claims["exp"])), UTC)
    assert timedelta(hours=10) < ends - now < timedelta(hours=24)


def test_a_day_has_three_tokens_at_most_however_often_one_is_asked_for() -> None:
    every = (NOW + timedelta(minutes=10 * step) for step in range(24 * 6))
    assert len({vapid.authorization(OUR_KEY, ENDPOINT, at, CONTACT) for at in every}) == 3


def test_another_process_signs_the_same_token() -> None:
    code = (
        "from datetime import datetime; from coach.machine import vapid; "
        f"now = datetime.fromisoformat({NOW.isoformat()!r}); "
        f"print(vapid.authorization({OUR_KEY!r}, {ENDPOINT!r}, now, {CONTACT!r}))"
    )
    made = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert made.strip() == vapid.authorization(OUR_KEY, ENDPOINT, NOW, CONTACT)


def test_the_public_key_is_the_point_that_browsers_ask_for() -> None:
    assert vapid.public_key(ITS_KEY) == ITS_PUBLIC


@pytest.mark.parametrize("text", ["", "AA", "?", "A" * 43, base64url.written(b"\xff" * 32)])
def test_a_kept_key_that_is_none_is_said_to_be_none(text: str) -> None:
    with pytest.raises(Malformed):
        vapid.public_key(text)


@pytest.mark.parametrize(
    "contact", ["mailto:ana@home.example", "https://home.example", "https://steading.example.org/about"]
)
def test_a_contact_with_a_domain_of_the_internet_is_taken(contact: str) -> None:
    assert vapid.contact_fault(contact) == ""


@pytest.mark.parametrize(
    "contact",
    [
        "",
        "ana@home.example",
        "mailto:ana@localhost",
        "mailto:ana",
        "mailto:ana@steading.local",
        "mailto:ana@home.arpa",
        "mailto:a@b@home.example",
        "mailto:ana@192.168.1.2",
        "http://home.example",
        "https://localhost",
        "https://127.0.0.1",
        "https://[::1]",
        "https://[",
        "mailto:ana@home.example\r\nX: y",
        "mailto:äna@home.example",
    ],
)
def test_a_contact_that_push_services_refuse_is_refused_here(contact: str) -> None:
    assert vapid.contact_fault(contact)
