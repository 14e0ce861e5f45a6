"""The certificate that the service shows, for its names and present addresses, renewed in good time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from ipaddress import IPv4Address, IPv6Address, ip_address
from typing import TYPE_CHECKING

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from coach.errors import NotReady
from coach.machine.addresses import LOOPBACK_NAME, NAMES, for_browsers
from coach.machine.authority import BACKDATED, joined, parts, usage
from coach.machine.key_files import read_private, replace

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

    from coach.machine.addresses import IP, Address
    from coach.machine.authority import Authority

LEAF_FILE = "service-key.pem"
"""The key and its certificate, in one file, so that a start never meets halves of two renewals."""

DAYS = 397
"""How long it is good, about 13 months (docs/decisions/31-a-household-authority.md says why)."""

RENEWED_BEFORE = timedelta(days=30)
"""How much is left when it is renewed, so that weeks in which Steading does not run cost nothing."""

MOST_ADDRESSES = 32
"""Addresses that stand in it: those that would be offered first."""

LOOPBACK = (ip_address("127.0.0.1"), ip_address("::1"))


@dataclass(frozen=True, slots=True)
class Leaf:
    """The certificate that the service shows.

    Attributes:
        path: The file with its key, as `ssl` loads it.
        certificate: Itself.
    """

    path: Path
    certificate: x509.Certificate

    @property
    def since(self) -> datetime:
        """From when on it is good."""
        return self.certificate.not_valid_before_utc

    @property
    def until(self) -> datetime:
        """Until when it is good."""
        return self.certificate.not_valid_after_utc

    @property
    def names(self) -> tuple[str, ...]:
        """The host names that it is for."""
        return tuple(self._alternatives.get_values_for_type(x509.DNSName))

    @property
    def addresses(self) -> tuple[IP, ...]:
        """The addresses that it is for."""
        found = self._alternatives.get_values_for_type(x509.IPAddress)
        return tuple(one for one in found if isinstance(one, (IPv4Address, IPv6Address)))

    @property
    def _alternatives(self) -> x509.SubjectAlternativeName:
        return self.certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value


def current(authority: Authority, found: Iterable[Address], now: datetime) -> tuple[Leaf, str | None]:
    """The certificate to show now, and why it was made anew; None where the one that was there is good.

    Args:
        authority: What signs it.
        found: The machine's private addresses.
        now: The machine's time.

    Raises:
        NotReady: It cannot be written.
    """
    wanted = wanted_addresses(found)
    leaf = _kept(authority)
    reason = "there was none that can be used" if leaf is None else why_renew(leaf, authority, wanted, now)
    if leaf is not None and reason is None:
        return leaf, None
    path = authority.folder / LEAF_FILE
    content = sign(authority, (*NAMES, LOOPBACK_NAME), wanted, now)
    replace(path, content)
    return Leaf(path, parts(content, path)[1]), reason


def read(folder: Path) -> Leaf | None:
    """The certificate that a folder holds; None if it holds none. Nothing is changed.

    Raises:
        NotReady: It cannot be read, or others may read its key.
    """
    path = folder / LEAF_FILE
    content = read_private(path)
    return None if content is None else Leaf(path, parts(content, path)[1])


def why_renew(leaf: Leaf, authority: Authority, wanted: Sequence[IP], now: datetime) -> str | None:
    """Why a certificate has to be made anew, in words that follow “because”; None if it is good."""
    if leaf.certificate.issuer != authority.certificate.subject or not _signed(leaf, authority):
        return "it was signed by another authority"
    if leaf.since > max(now, authority.since):
        return "it begins in the future, so it was made while the clock was wrong"
    if leaf.until - now < RENEWED_BEFORE and leaf.until < authority.until:
        return f"it is good until {leaf.until:%Y-%m-%d}"
    missing = [name for name in (*NAMES, LOOPBACK_NAME) if name not in leaf.names]
    missing += [str(one) for one in wanted if one not in leaf.addresses]
    return f"it lacks {', '.join(missing)}" if missing else None


def sign(authority: Authority, names: Sequence[str], addresses: Sequence[IP], now: datetime) -> bytes:
    """A new key with a certificate for these names and addresses, as the text of one file.

    What lies outside the authority's limits can be signed, and is refused by whoever looks at it.
    """
    key = ec.generate_private_key(ec.SECP256R1())
    # A clock that stands before the authority was made is wrong, and phones know better.
    since = max(now.replace(microsecond=0) - BACKDATED, authority.since)
    until = min(since + timedelta(days=DAYS, seconds=-1), authority.until)
    issuer = authority.certificate
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, names[0])])
    alternatives = [*map(x509.DNSName, names), *map(x509.IPAddress, addresses)]
    signed_by = x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.key.public_key())
    return joined(
        key,
        x509.CertificateBuilder(issuer.subject, subject, key.public_key(), x509.random_serial_number())
        .not_valid_before(since)
        .not_valid_after(until)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(usage("digital_signature"), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(alternatives), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(signed_by, critical=False)
        .sign(authority.key, hashes.SHA256()),
    )


def wanted_addresses(found: Iterable[Address]) -> tuple[IP, ...]:
    """The addresses that it should be for: those a browser can be sent to, and the machine's own."""
    return (*LOOPBACK, *dict.fromkeys(one.ip for one in for_browsers(found)[:MOST_ADDRESSES]))


def _signed(leaf: Leaf, authority: Authority) -> bool:
    try:
        leaf.certificate.verify_directly_issued_by(authority.certificate)
    except (ValueError, TypeError, InvalidSignature):
        return False
    return True


def _kept(authority: Authority) -> Leaf | None:
    """The one that is kept, if it can be used: one that cannot is made anew and costs nobody anything."""
    try:
        return read(authority.folder)
    except NotReady:
        return None
