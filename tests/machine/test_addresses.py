from __future__ import annotations

from ipaddress import ip_network

import pytest

from coach.machine.addresses import (
    for_browsers,
    host_is_known,
    host_is_loopback,
    is_at_home,
    is_loopback,
    is_private,
    offered,
    private_addresses,
)
from machine.places import adapter

EDGES = [
    ("10.0.0.0/8", "9.255.255.255", "11.0.0.0"),
    ("172.16.0.0/12", "172.15.255.255", "172.32.0.0"),
    ("192.168.0.0/16", "192.167.255.255", "192.169.0.0"),
    ("169.254.0.0/16", "169.253.255.255", "169.255.0.0"),
    ("fc00::/7", "fbff:ffff:ffff:ffff:ffff:ffff:ffff:ffff", "fe00::"),
    ("fe80::/10", "fe7f:ffff:ffff:ffff:ffff:ffff:ffff:ffff", "fec0::"),
]


@pytest.mark.parametrize(("network", "before", "after"), EDGES)
def test_a_private_network_ends_where_its_standard_says(network: str, before: str, after: str) -> None:
    inside = ip_network(network)
    assert is_private(inside[0])
    assert is_private(inside[-1])
    assert not is_at_home(before)
    assert not is_at_home(after)


@pytest.mark.parametrize("address", ["127.0.0.1", "127.9.9.9", "::1", "::ffff:127.0.0.1"])
def test_loopback_is_this_machine(address: str) -> None:
    assert is_loopback(address)
    assert is_at_home(address)
    assert not is_private(address)


@pytest.mark.parametrize("address", ["::ffff:192.168.1.4", "::ffff:c0a8:104", "fe80::1%eth0"])
def test_another_spelling_of_a_private_address_is_private(address: str) -> None:
    assert is_private(address)


@pytest.mark.parametrize(
    "address",
    [
        "::ffff:8.8.8.8",
        "::192.168.1.4",  # the deprecated IPv4-compatible form maps nothing
        "64:ff9b::192.168.1.4",
        "2002:c0a8:104::1",
        "100.64.0.1",  # a provider's network (RFC 6598) is not the home's
        "0.0.0.0",  # noqa: S104  nobody's address
        "::",
        "224.0.0.251",
        "192.168.1",
        "192.168.01.4",
        "3232235780",
        "steading.local",
        "",
    ],
)
def test_anything_else_is_not_at_home(address: str) -> None:
    assert not is_at_home(address)


@pytest.mark.parametrize(
    "name",
    [
        "steading.home.arpa",
        "STEADING.local",
        "steading.local.",
        "localhost",
        "127.0.0.1",
        "[::1]",
        "192.168.1.4",
        "[fd12::4]",
        "[fe80::1%eth0]",
        "[fe80::1%25eth0]",
        "[::ffff:10.0.0.4]",
    ],
)
def test_the_service_answers_to_its_names_and_private_addresses(name: str) -> None:
    assert host_is_known(name)


@pytest.mark.parametrize(
    "name",
    [
        "evil.example",
        "steading.home.arpa.evil.example",
        "a.steading.local",
        "steading.local..",
        "8.8.8.8",
        "[2001:db8::1]",
        "[::ffff:8.8.8.8]",
        "fd12::4",
        "[192.168.1.4]",
        "[192.168.1.4",
        "192.168.1.4.evil.example",
        "0xc0a80104",
        "",
        "[]",
        ".",
    ],
)
def test_it_answers_to_no_other_name(name: str) -> None:
    assert not host_is_known(name)


def test_only_loopback_names_are_this_machines_own() -> None:
    assert all(map(host_is_loopback, ("localhost", "LOCALHOST.", "127.0.0.1", "[::1]")))
    assert not any(map(host_is_loopback, ("steading.local", "192.168.1.4", "[fd12::4]", "localhost.example")))


def test_addresses_come_in_the_order_one_would_offer_them() -> None:
    found = private_addresses(
        [
            adapter("lo", "127.0.0.1", "::1"),
            adapter("docker0", "172.17.0.1"),
            adapter("tailscale0", "100.101.102.103", "fd7a:115c:a1e0::5"),
            adapter("eth0", "fe80::1", "169.254.3.4", "fd12::4", "2001:db8::4", "203.0.113.9"),
            adapter("wlan0", "192.168.1.4"),
        ]
    )
    assert [one.host for one in found] == [
        "192.168.1.4",
        "[fd12::4]",
        "169.254.3.4",
        "[fe80::1]",
        "172.17.0.1",
        "[fd7a:115c:a1e0::5]",
    ]
    assert [one.host for one in for_browsers(found)][3:] == ["172.17.0.1", "[fd7a:115c:a1e0::5]"]
    assert [one.host for one in offered(found)] == ["192.168.1.4", "[fd12::4]", "169.254.3.4"]


def test_where_there_is_nothing_else_the_address_of_a_tunnel_is_offered() -> None:
    assert [one.host for one in offered(private_addresses([adapter("wg0", "10.8.0.2")]))] == ["10.8.0.2"]


@pytest.mark.parametrize("name", ["docker0", "br-3f1a2b3c4d5e", "vethab12", "virbr0", "utun3", "wg0", "tun0"])
def test_adapters_that_lead_elsewhere_are_told_by_their_names(name: str) -> None:
    assert private_addresses([adapter(name, "10.0.0.4")])[0].is_virtual


@pytest.mark.parametrize("name", ["eth0", "wlp2s0", "en0", "br0", "br-lan", "Wi-Fi", "Ethernet", "end0"])
def test_adapters_of_the_home_are_told_too(name: str) -> None:
    assert not private_addresses([adapter(name, "10.0.0.4")])[0].is_virtual


def test_this_machine_tells_its_addresses() -> None:
    assert all(is_private(one.ip) for one in private_addresses())
