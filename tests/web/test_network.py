"""What is known of the home network follows the machine's addresses, and the certificate with them."""

from __future__ import annotations

from datetime import UTC, datetime
from ipaddress import ip_address
from typing import TYPE_CHECKING

from coach.machine.addresses import Address
from coach.machine.tls import HouseholdTls
from coach.web import network
from coach.web.network import Network

if TYPE_CHECKING:
    from pathlib import Path

    import pytest

BEFORE = (Address(ip_address("192.168.50.1"), "wlan0"),)
AFTER = (Address(ip_address("192.168.50.77"), "wlan0"), Address(ip_address("fe80::1"), "wlan0"))


def test_an_address_that_changes_is_offered_and_stands_in_the_certificate_without_a_restart(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tls = HouseholdTls(tmp_path / "certificates", BEFORE, datetime.now(UTC))
    home = Network(8420, BEFORE, tls=tls, tls_port=8443)
    context, authority = tls.context, tls.authority.pem
    monkeypatch.setattr(network, "private_addresses", lambda: AFTER)
    home.look()
    assert home.hosts == ("192.168.50.77",)
    assert ip_address("192.168.50.77") in tls.leaf.addresses
    assert (tls.context, tls.authority.pem) == (context, authority)


def test_a_name_outlasts_an_address_so_it_is_offered_first() -> None:
    home = Network(8420, AFTER, tls_port=8443)
    assert list(home.names.values()) == ["https://steading.local:8443", "https://192.168.50.77:8443"]
    assert home.plain("[fd00::7]") == "http://[fd00::7]:8420"
