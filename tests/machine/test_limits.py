"""What the authority signs beyond its limits is refused by OpenSSL (RFC 5280 §6.1.4)."""

from __future__ import annotations

import ssl
from ipaddress import ip_address
from typing import TYPE_CHECKING

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from coach.machine import leaf
from coach.machine.authority import BACKDATED, joined
from machine.places import NOW, handshake

if TYPE_CHECKING:
    from pathlib import Path

    from coach.machine.authority import Authority

BEYOND = 47
"""X509_V_ERR_PERMITTED_VIOLATION of OpenSSL's x509_vfy.h."""


def shown(home: Authority, folder: Path, *, name: str = "", address: str = "") -> ssl.SSLContext:
    """A server with a certificate that the authority signed for one name or one address."""
    names, addresses = ([name] if name else []), ([ip_address(address)] if address else [])
    if not name:
        names = ["steading.home.arpa"]
    file = folder / "signed.pem"
    file.write_bytes(leaf.sign(home, names, addresses, NOW))
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(file)
    return context


@pytest.mark.parametrize("name", ["steading.home.arpa", "steading.local", "localhost"])
def test_a_name_of_the_home_is_taken(home: Authority, tmp_path: Path, name: str) -> None:
    assert handshake(shown(home, tmp_path, name=name), home.pem, name)


@pytest.mark.parametrize(
    "address",
    ["10.1.2.3", "172.31.0.9", "192.168.1.20", "169.254.7.7", "fd12::20", "fe80::20", "127.0.0.1", "::1"],
)
def test_a_private_address_is_taken(home: Authority, tmp_path: Path, address: str) -> None:
    assert handshake(shown(home, tmp_path, address=address), home.pem, address)


@pytest.mark.parametrize(
    "name",
    ["bank.example", "home.arpa", "other.home.arpa", "steading.local.example", "xsteading.local", "com"],
)
def test_a_certificate_for_another_name_is_refused(home: Authority, tmp_path: Path, name: str) -> None:
    with pytest.raises(ssl.SSLCertVerificationError) as refused:
        handshake(shown(home, tmp_path, name=name), home.pem, name)
    assert refused.value.verify_code == BEYOND


@pytest.mark.parametrize("address", ["203.0.113.9", "8.8.8.8", "127.0.0.2", "2001:db8::9", "192.169.0.1"])
def test_a_certificate_for_an_address_elsewhere_is_refused(
    home: Authority, tmp_path: Path, address: str
) -> None:
    with pytest.raises(ssl.SSLCertVerificationError) as refused:
        handshake(shown(home, tmp_path, address=address), home.pem, address)
    assert refused.value.verify_code == BEYOND


def test_an_authority_below_it_is_refused(home: Authority, tmp_path: Path) -> None:
    below, key = ec.generate_private_key(ec.SECP256R1()), ec.generate_private_key(ec.SECP256R1())
    middle = _signed(home.certificate.subject, home.key, "below", below, authority=True)
    last = _signed(middle.subject, below, "steading.home.arpa", key, authority=False)
    file = tmp_path / "chain.pem"
    file.write_bytes(joined(key, last) + joined(below, middle).partition(b"KEY-----\n")[2])
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(file)
    with pytest.raises(ssl.SSLCertVerificationError, match="path length"):
        handshake(context, home.pem, "steading.home.arpa")


def _signed(
    issuer: x509.Name,
    signs: ec.EllipticCurvePrivateKey,
    name: str,
    key: ec.EllipticCurvePrivateKey,
    *,
    authority: bool,
) -> x509.Certificate:
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])
    names = x509.SubjectAlternativeName([x509.DNSName("steading.home.arpa")])
    return (
        x509.CertificateBuilder(issuer, subject, key.public_key(), x509.random_serial_number())
        .not_valid_before(NOW - BACKDATED)
        .not_valid_after(NOW + leaf.RENEWED_BEFORE)
        .add_extension(x509.BasicConstraints(authority, None), critical=True)
        .add_extension(names, critical=False)
        .sign(signs, hashes.SHA256())
    )


def test_the_limits_are_critical_and_it_signs_nothing_but_servers(home: Authority) -> None:
    found = home.certificate.extensions
    basic = found.get_extension_for_class(x509.BasicConstraints)
    usage = found.get_extension_for_class(x509.KeyUsage)
    assert (basic.critical, basic.value.ca, basic.value.path_length) == (True, True, 0)
    assert (usage.critical, usage.value.key_cert_sign, usage.value.crl_sign) == (True, True, True)
    assert not usage.value.digital_signature
    assert found.get_extension_for_class(x509.NameConstraints).critical
    purposes = found.get_extension_for_class(x509.ExtendedKeyUsage).value
    assert list(purposes) == [ExtendedKeyUsageOID.SERVER_AUTH]
