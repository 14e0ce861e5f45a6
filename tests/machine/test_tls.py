"""The service's certificate: taken by OpenSSL, renewed in good time, and shown without a new start."""

from __future__ import annotations

import ssl
from datetime import datetime, timedelta
from ipaddress import ip_address
from typing import TYPE_CHECKING

import pytest
from cryptography import x509
from cryptography.x509.oid import ExtendedKeyUsageOID

from coach.errors import NotReady
from coach.machine import leaf
from coach.machine.addresses import Address
from coach.machine.leaf import LEAF_FILE
from coach.machine.tls import HouseholdTls
from machine.places import HOME, NOW, WIFI, copied, handshake, household

if TYPE_CHECKING:
    from pathlib import Path

    from coach.machine.authority import Authority

OTHER = Address(ip_address("10.0.0.9"), "eth0")


@pytest.fixture
def tls(home: Authority, tmp_path: Path) -> HouseholdTls:
    return HouseholdTls(copied(home, tmp_path), HOME, NOW)


@pytest.mark.parametrize(
    "name",
    [
        "steading.home.arpa",
        "steading.local",
        "192.168.1.20",
        "fd12:3456::20",
        "localhost",
        "127.0.0.1",
        "::1",
    ],
)
def test_whoever_trusts_the_authority_takes_each_name_and_address(tls: HouseholdTls, name: str) -> None:
    assert handshake(tls.context, tls.authority.pem, name)


def test_a_name_that_is_not_in_it_is_refused(tls: HouseholdTls) -> None:
    with pytest.raises(ssl.SSLCertVerificationError, match="mismatch"):
        handshake(tls.context, tls.authority.pem, "10.0.0.9")


def test_whoever_trusts_another_home_refuses_it(tls: HouseholdTls, tmp_path: Path) -> None:
    with pytest.raises(ssl.SSLCertVerificationError, match="unable to get local issuer"):
        handshake(tls.context, household(tmp_path / "other").pem, "steading.local")


def test_nothing_older_than_tls_1_2_is_spoken(tls: HouseholdTls) -> None:
    assert tls.context.minimum_version == ssl.TLSVersion.TLSv1_2


def test_it_is_good_for_397_days_at_most_and_for_servers_alone(tls: HouseholdTls) -> None:
    certificate = tls.leaf.certificate
    purposes = certificate.extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
    assert tls.leaf.until - tls.leaf.since < timedelta(days=397)
    assert list(purposes) == [ExtendedKeyUsageOID.SERVER_AUTH]
    assert not certificate.extensions.get_extension_for_class(x509.BasicConstraints).value.ca
    assert tls.leaf.path.stat().st_mode & 0o777 == 0o600


def test_a_clock_that_is_seconds_behind_takes_it(tls: HouseholdTls) -> None:
    """OpenSSL compares with the real clock, so the certificate is made by one that is five seconds ahead."""
    ahead = datetime.now(NOW.tzinfo) + timedelta(seconds=5)
    (tls.authority.folder / LEAF_FILE).unlink()
    assert tls.renew(HOME, ahead) == "there was none that can be used"
    assert handshake(tls.context, tls.authority.pem, "steading.local")


def test_the_next_start_shows_the_same_one(tls: HouseholdTls) -> None:
    again = HouseholdTls(tls.authority.folder, HOME, NOW + timedelta(days=300))
    assert again.leaf.certificate == tls.leaf.certificate


def test_it_is_renewed_when_29_days_are_left_and_not_at_31(tls: HouseholdTls) -> None:
    before = tls.leaf
    assert tls.renew(HOME, before.until - timedelta(days=31)) is None
    assert tls.renew(HOME, before.until - timedelta(days=29)) == f"it is good until {before.until:%Y-%m-%d}"
    assert tls.leaf.until > before.until + timedelta(days=300)


def test_a_new_address_is_taken_in_and_shown_by_the_context_in_use(tls: HouseholdTls) -> None:
    before = handshake(tls.context, tls.authority.pem, "steading.local")
    assert tls.renew((*HOME, OTHER), NOW) == "it lacks 10.0.0.9"
    after = handshake(tls.context, tls.authority.pem, "10.0.0.9")
    assert after != before
    assert handshake(tls.context, tls.authority.pem, "steading.local") == after
    assert tls.renew((*HOME, OTHER), NOW) is None


def test_an_address_that_has_gone_renews_nothing(tls: HouseholdTls) -> None:
    assert tls.renew((WIFI,), NOW) is None


def test_what_another_process_renewed_is_shown_as_well(tls: HouseholdTls) -> None:
    HouseholdTls(tls.authority.folder, (*HOME, OTHER), NOW)
    assert tls.renew((*HOME, OTHER), NOW) is None
    assert handshake(tls.context, tls.authority.pem, "10.0.0.9")


def test_link_local_ipv6_is_left_out_since_no_browser_can_be_sent_there(tls: HouseholdTls) -> None:
    assert tls.renew((*HOME, Address(ip_address("fe80::20"), "wlan0")), NOW) is None


def test_of_very_many_addresses_it_is_for_those_that_are_offered_first(
    tls: HouseholdTls,
) -> None:
    many = [Address(ip_address(f"10.0.{number}.1"), "eth0") for number in range(40)]
    tls.renew(many, NOW)
    assert tls.leaf.addresses == (*leaf.LOOPBACK, *(one.ip for one in many[:32]))


def test_one_made_by_a_clock_that_was_ahead_is_made_anew(tls: HouseholdTls) -> None:
    tls.renew((*HOME, OTHER), NOW + timedelta(days=2000))
    assert (
        tls.renew((*HOME, OTHER), NOW) == "it begins in the future, so it was made while the clock was wrong"
    )
    assert handshake(tls.context, tls.authority.pem, "steading.local")


def test_a_clock_behind_the_authority_makes_none_that_begins_before_it(tls: HouseholdTls) -> None:
    tls.renew((*HOME, OTHER), NOW - timedelta(days=300))
    assert tls.leaf.since == tls.authority.since
    assert handshake(tls.context, tls.authority.pem, "steading.local")


def test_it_never_outlives_the_authority_and_is_not_made_anew_for_that(tls: HouseholdTls) -> None:
    late = tls.authority.until - timedelta(days=20)
    tls.renew(HOME, late)
    assert tls.leaf.until == tls.authority.until
    assert tls.renew(HOME, late + timedelta(days=1)) is None


@pytest.mark.parametrize("content", [b"", b"no key", None])
def test_one_that_cannot_be_used_is_made_anew(tls: HouseholdTls, content: bytes | None) -> None:
    path = tls.authority.folder / LEAF_FILE
    if content is None:
        path.chmod(0o644)
    else:
        path.write_bytes(content)
    again = HouseholdTls(tls.authority.folder, HOME, NOW)
    assert handshake(again.context, tls.authority.pem, "steading.local")
    assert path.stat().st_mode & 0o777 == 0o600


def test_one_of_another_authority_is_made_anew(tls: HouseholdTls, tmp_path: Path) -> None:
    other = household(tmp_path / "other")
    (other.folder / LEAF_FILE).write_bytes(tls.leaf.path.read_bytes())
    (other.folder / LEAF_FILE).chmod(0o600)
    assert leaf.current(other, HOME, NOW)[1] == "it was signed by another authority"


def test_a_folder_that_takes_nothing_leaves_the_certificate_in_use(
    tls: HouseholdTls, monkeypatch: pytest.MonkeyPatch
) -> None:
    def read_only(*_given: object) -> int:
        raise OSError(30, "Read-only file system")

    monkeypatch.setattr("coach.machine.key_files.os.open", read_only)
    with pytest.raises(NotReady, match="Read-only file system"):
        tls.renew((*HOME, OTHER), NOW)
    assert handshake(tls.context, tls.authority.pem, "steading.local")
